//! The calendar page says why a window opens and closes on its days.

use crate::support::garden::{Site, Written};

/// The sentences of a crop's row in the table, in the order of its windows.
fn sentences(site: &Site, crop: &str) -> Vec<String> {
    let page = site.text("calendar/index.html");
    let row = page.find(&format!("crops/{crop}/index.html\">")).and_then(|_| {
        page.split("<tr>")
            .find(|row| row.contains(&format!("crops/{crop}/index.html")) && row.contains("<td>"))
    });
    let row = row.unwrap_or_else(|| panic!("no row of {crop}"));
    let asides = row.split("<div class=\"aside\">").skip(1);
    asides.map(|rest| without_tags(rest.split("</div>").next().unwrap())).collect()
}

fn without_tags(html: &str) -> String {
    let mut inside = false;
    let kept = html.chars().filter(|sign| {
        let was = inside;
        inside = (inside || *sign == '<') && *sign != '>';
        !was && *sign != '<'
    });
    kept.collect()
}

/// As on a page, where a number and its unit are never parted.
fn said(sentences: &[&str]) -> Vec<String> {
    sentences.iter().map(|text| text.replace("~", "\u{a0}")).collect()
}

#[test]
fn with_winters_frost_and_warmth_open_a_window() {
    let site = Written::new().site();
    assert_eq!(
        sentences(&site, "tomato"),
        said(&[
            "so that it is ready to be planted out from 15 May to 20 June",
            "from 15 May: day and night above 13~°C on average; until 20 June: begun later, it would \
             ripen into frost",
        ])
    );
    assert_eq!(
        sentences(&site, "garlic"),
        said(&[
            "from 13 September: 42~days before the usual first frost; until 14 November: 63~days later it \
                is late for roots to grow before winter"
        ])
    );
}

/// A mild coast with some frost: there frost, not warmth, opens the window of what is tender, and the day of frost is
/// told with it.
#[test]
fn where_spring_is_warm_and_frost_comes_late_it_is_frost() {
    let site = Written::new()
        .settings(
            "name: Sound\nplace: {latitude: 47.41, longitude: 8.54}\nunits: us\nclimate:\n  \
             low: [40, 41, 44, 48, 54, 58, 60, 60, 56, 50, 44, 40]\n  \
             high: [60, 62, 66, 70, 76, 80, 82, 82, 78, 70, 64, 60]\n\
             frost: {last-spring: {50%: 04-20, 10%: 05-10}, first-autumn: {50%: 10-25, 10%: 10-08}}\n",
        )
        .site();
    let tomato = sentences(&site, "tomato");
    assert!(
        tomato[1].starts_with("from 3 May: 7\u{a0}days before the last frost at 1 in 10 (10 May);"),
        "{tomato:?}"
    );
}
