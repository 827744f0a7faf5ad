//! The journal: its order, its addresses, its links, and whom its lines are about.

use crate::support::garden::Written;

/// Where `text` first stands in a page.
fn at(page: &str, text: &str) -> usize {
    page.find(text).unwrap_or_else(|| panic!("{text} is not in {page}"))
}

#[test]
fn entries_stand_by_date_then_by_path_whatever_they_are_called() {
    let entry = |date: &str, title: &str| {
        format!("---\ndate: {date}\ntitle: {title}\n---\n{title} prose\n")
    };
    let site = Written::new()
        .with("journal/z/first.md", &entry("2026-05-01", "Alpha"))
        .with("journal/b.md", &entry("2026-05-02", "Charlie"))
        .with("journal/a.md", &entry("2026-05-02", "Bravo"))
        .with("journal/0.md", &entry("2026-05-03", "Delta"))
        .site();
    let month = site.text("journal/2026/05/index.html");
    let order =
        ["Alpha prose", "Bravo prose", "Charlie prose", "Delta prose"].map(|text| at(month, text));
    assert!(order.is_sorted(), "{order:?}");
    // Earlier and later go through all of them.
    let bravo = site.text("journal/2026/05/02-bravo/index.html");
    assert!(bravo.contains("01-alpha/index.html") && bravo.contains("02-charlie/index.html"));
    let alpha = site.text("journal/2026/05/01-alpha/index.html");
    assert!(!alpha.contains("rel=\"prev\"") && alpha.contains("rel=\"next\""));
    let feed = site.text("journal.xml");
    assert!(at(feed, "Delta") < at(feed, "Charlie") && at(feed, "Bravo") < at(feed, "Alpha"));
}

#[test]
fn two_entries_of_one_day_work_together_in_the_order_of_growth() {
    // The file that comes first tells the later stage; on one day stages happen in their order.
    let site = Written::new()
        .entry("2026-04-01", "plantings: [{id: tom-26, crop: tomato, sown: 12, place: Pot}]", "")
        .with(
            "journal/a.md",
            "---\ndate: 2026-05-02\nevents: [{planting: tom-26, is: pricked out, count: 8}]\n---\n",
        )
        .with(
            "journal/b.md",
            "---\ndate: 2026-05-02\nevents: [{planting: tom-26, is: emerged, count: 10}]\n---\n",
        )
        .site();
    let planting = site.planting("tom-26");
    assert_eq!((&planting["stage"], &planting["plants"]), (&"pricked out".into(), &10.into()));
    let titles = site.files.keys().filter(|path| path.starts_with("journal/2026/05/02"));
    assert_eq!(titles.count(), 2);
}

#[test]
fn a_line_may_tell_of_an_earlier_day() {
    let site = Written::new()
        .entry(
            "2026-05-10",
            "plantings: [{id: pea-26, crop: pea, sown: 30, place: Bed, on: 2026-04-12}]\nevents: [{planting: pea-26, is: emerged, on: 2026-04-25}]",
            "Catching up.",
        )
        .site();
    assert_eq!(site.stays("pea-26"), ["bed 2026-04-12 now"]);
    let stages = site.planting("pea-26")["stages"].as_array().unwrap().clone();
    let emerged = stages.iter().find(|stage| stage["stage"] == "emerged").unwrap();
    assert_eq!(emerged["actual"], "2026-04-25");
}

#[test]
fn what_is_dated_later_does_not_exist_yet() {
    let garden = Written::new()
        .entry("2026-04-01", "title: Now\nplantings: [{id: tom-26, crop: tomato, sown: 12, place: Pot}]", "")
        .entry("2026-06-25", "title: Qfuture\nplantings: [{id: pea-26, crop: pea, sown: 30, place: Bed}]\nevents: [{planting: tom-26, is: finished}]", "Qfuture");
    let (site, problems) = garden.site_and_problems();
    assert_eq!(problems.len(), 1, "{problems:#?}");
    assert_eq!(site.holding("qfuture"), Vec::<&str>::new());
    assert_eq!(site.holding("pea-26"), Vec::<&str>::new());
    assert_eq!(site.planting("tom-26")["stage"], "sown");
    assert_eq!(garden.on("2026-06-25").site().planting("tom-26")["stage"], "finished");
}

/// Three plantings in two places; each case says which of them the line is about.
#[test]
fn lines_are_about_a_planting_a_place_or_a_crop_except_some() {
    let begun = "plantings:\n  - {id: tom-a, crop: tomato, sown: 5, place: Bed}\n  - {id: tom-b, crop: tomato, sown: 6, place: Pot}\n  - {id: pea-a, crop: pea, sown: 7, place: Bed}";
    for (subject, expected) in [
        ("planting: tom-a", ["tom-a"].as_slice()),
        ("planting: [tom-a, pea-a]", &["tom-a", "pea-a"]),
        ("place: Bed", &["tom-a", "pea-a"]),
        ("place: [bed, POT]", &["tom-a", "tom-b", "pea-a"]),
        ("crop: tomato", &["tom-a", "tom-b"]),
        ("crop: [tomato, pea], except: tom-b", &["tom-a", "pea-a"]),
        ("crop: tomato, except: Pot", &["tom-a"]),
        ("place: Bed, except: pea", &["tom-a"]),
    ] {
        let site = Written::new()
            .entry("2026-04-01", begun, "")
            .entry("2026-04-15", &format!("events: [{{{subject}, is: emerged}}]"), "")
            .site();
        let emerged: Vec<&str> = ["tom-a", "tom-b", "pea-a"]
            .into_iter()
            .filter(|id| site.planting(id)["stage"] == "emerged")
            .collect();
        assert_eq!(emerged, expected, "{subject}");
    }
}

#[test]
fn a_place_means_what_was_alive_there_on_that_day() {
    let site = Written::new()
        .entry("2026-03-01", "plantings: [{id: old, crop: radish, sown: 50, place: Bed}, {id: new, crop: lettuce, sown: 9, place: Pot}]", "")
        .entry("2026-04-20", "events: [{planting: old, is: finished}]", "")
        .entry("2026-05-01", "events: [{planting: new, is: planted out, place: Bed}]", "")
        .entry("2026-05-10", "care: [{place: Bed, did: water, amount: 9 L, note: qwatered}]", "")
        .site();
    assert!(site.text("plantings/new/index.html").contains("qwatered"));
    assert!(!site.text("plantings/old/index.html").contains("qwatered"));
    assert!(site.text("places/bed/index.html").contains("new"));
}

#[test]
fn links_lead_to_pages_that_are_there() {
    let site = Written::new()
        .entry(
            "2026-04-01",
            "title: Links\nplantings: [{id: tom-26, crop: tomato, sown: 5, place: Bed}]",
            "[[tom-26]], [[crop:tomato]], [[place:Bed]] and `[[code]]`.",
        )
        .site();
    let entry = site.text("journal/2026/04/01-links/index.html");
    for path in ["plantings/tom-26/index.html", "crops/tomato/index.html", "places/bed/index.html"]
    {
        assert!(entry.contains(&format!("href=\"../../../../{path}\"")), "{path} {entry}");
        assert!(site.files.contains_key(path));
    }
    assert!(entry.contains("[[code]]"));
}
