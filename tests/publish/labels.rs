//! Labels to print, and the way of the tasks into a phone.

use crate::support::garden::Written;

fn garden() -> Written {
    Written::new()
        .with("places/tubs.md", "---\nname: Tin tubs\nkind: container\ncontainers: 4\nvolume: 20 L\n---\n")
        .entry(
            "2026-03-01",
            "plantings:\n  - {id: t-1, crop: tomato, variety: Low Sun, sown: 6, place: Pot, for: Tin tubs}\n  - \
             {id: rad, crop: radish, sown: 40, place: Tin tubs}\n  - {id: leek-late, crop: leek, for: Tin tubs}",
            "",
        )
        .entry("2026-05-20", "events: [{planting: rad, is: finished}]", "")
        .on("2026-05-30")
}

/// The texts of the labels, in the order in which they lie on the paper.
fn labels(page: &str) -> Vec<String> {
    let label = |part: &str| {
        let words = part.split_once("</li>").expect("an end").0;
        let mut text = String::new();
        let mut is_tag = false;
        for char in words.chars() {
            match char {
                '<' => is_tag = true,
                '>' => is_tag = false,
                _ if !is_tag => text.push(char),
                _ => {}
            }
        }
        text.split_whitespace().collect::<Vec<_>>().join(" ")
    };
    page.split("<ul class=\"labels")
        .skip(1)
        .flat_map(|list| list.split("<li>").skip(1).map(label))
        .collect()
}

/// What grows and what is to be sown, first what still lacks its date; nothing that is over, and no id.
#[test]
fn each_living_planting_has_a_label() {
    let site = garden().site();
    let expected =
        ["leek Sown: ______________ Tin tubs", "tomato Low Sun Sown on 1 March 2026 Tin tubs"];
    for path in ["labels/index.html", "labels/a4-24/index.html", "labels/letter-30/index.html"] {
        assert_eq!(labels(site.text(path)), expected, "{path}");
        assert!(!site.text(path).contains("<svg"), "no address, no code");
    }
    let site = Written::new().site();
    let none = site.text("labels/index.html");
    assert!(labels(none).is_empty() && none.contains("Nothing grows yet"));
}

/// Ready-cut sheets hold as many labels as they hold, and no more.
#[test]
fn sheets_are_filled_one_by_one() {
    let lines =
        (0..25).map(|number| format!("  - {{id: r{number}, crop: radish, sown: 3, place: Bed}}"));
    let lines = format!("plantings:\n{}", lines.collect::<Vec<_>>().join("\n"));
    let site = Written::new().entry("2026-05-01", &lines, "").site();
    let sheets = |path: &str| -> Vec<usize> {
        let page = site.text(path);
        page.split("<ul class=\"labels").skip(1).map(|list| list.matches("<li>").count()).collect()
    };
    assert_eq!(sheets("labels/index.html"), [25]);
    assert_eq!(sheets("labels/a4-24/index.html"), [24, 1]);
    assert_eq!(sheets("labels/a4-21/index.html"), [21, 4]);
    assert_eq!(sheets("labels/letter-30/index.html"), [25]);
}

#[test]
fn the_feed_has_a_code_where_its_address_is_known() {
    let site = garden().site();
    let unknown = site.text("tasks/subscribe/index.html");
    assert!(unknown.contains("site-address") && !unknown.contains("<svg"), "{unknown}");
    let site = garden().also_set("site-address: https://beans.example/yard/").site();
    let page = site.text("tasks/subscribe/index.html");
    assert!(page.contains("href=\"webcal://beans.example/yard/tasks.ics\""), "{page}");
    assert!(page.contains("<code>https://beans.example/yard/tasks.ics</code>"));
    assert_eq!(page.matches("<svg class=\"qr-code\"").count(), 1);
    assert!(site.text("tasks/index.html").contains("tasks/subscribe/index.html"));
    assert_eq!(site.text("labels/index.html").matches("<svg class=\"qr-code\"").count(), 2);
}
