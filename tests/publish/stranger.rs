//! A stranger's garden: another half of the earth, terse entries, odd names, things bought and divided.

use serde_json::json;

use crate::support::garden::Written;

fn stranger() -> Written {
    Written::lying_in("tests/publish/stranger").on("2026-02-10")
}

#[test]
fn what_is_known_late_is_known() {
    let (site, problems) = stranger().site_and_problems();
    let told: Vec<_> = problems.iter().map(|problem| problem.code.word()).collect();
    assert!(told.iter().all(|code| *code == "picked-in-wait"), "{problems:#?}");
    // A year is a date, and shown as no more than a year.
    let page = site.text("plantings/rhu/index.html");
    assert!(page.contains("since 2022") && page.contains("some day in 2022"));
    // Room that is known at planting out, and whose it is: ground of the lean-to, and litres of the tins, whose ground nobody told.
    let page = site.text("plantings/tom/index.html");
    assert!(page.contains("as “uses” says"), "{page}");
    let page = site.text("plantings/tom-tins/index.html");
    assert!(page.contains("no “uses” says how much ground") && page.contains("Per soil"), "{page}");
    assert_eq!(site.planting("pep-bed")["variety"], "Sweet Banana");
    assert_eq!(site.planting("pep")["variety"], json!(null));
}

#[test]
fn bought_plants_in_a_bed_stand_out_and_are_watered() {
    let garden = stranger();
    let site = garden.site_and_problems().0;
    let zuc = site.planting("zuc");
    assert_eq!((&zuc["stage"], &zuc["plants"]), (&json!("planted out"), &json!(2)));
    let page = site.text("plantings/zuc/index.html");
    let water = page.split_once("id=\"water\"").expect("water figures").1;
    assert!(water.split_once("</section>").unwrap().0.contains("A day like today"), "{water}");
    // Two plants in the tins, planted in the stage they were in.
    let shop = garden.on("2024-12-20").site_and_problems().0;
    assert_eq!(shop.planting("tom-shop")["stage"], "planted out");
    // Where they are potted on or planted out later, they were only waiting.
    let waiting = stranger()
        .entry(
            "2026-01-02",
            "plantings: [{id: c, crop: celery, bought: 6, at: potted on, place: No. 3}]",
            "",
        )
        .entry("2026-01-20", "events: [{planting: c, is: planted out, place: the Ugly Bed}]", "");
    let before = waiting.clone().on("2026-02-10").site_and_problems();
    assert!(
        before.1.iter().all(|problem| problem.code.word() == "picked-in-wait"),
        "{:#?}",
        before.1
    );
    assert_eq!(before.0.stays("c"), ["no-3 2026-01-02 2026-01-20", "the-ugly-bed 2026-01-20 now"]);
}

#[test]
fn a_split_has_the_dates_of_its_own_plants_only() {
    let site = Written::new()
        .entry("2026-03-01", "plantings: [{id: k, crop: kale, sown: 9, place: Pot}]", "")
        .entry("2026-03-12", "events: [{planting: k, is: emerged, count: 7}]", "")
        .entry("2026-05-01", "events: [{planting: k, is: planted out, count: 3, place: Bed}]", "")
        .entry("2026-05-20", "events: [{planting: k, is: potted on, count: 4, as: k-late, pot: 2 L pot, because: no room yet}]", "")
        .site();
    let late = site.planting("k-late");
    let came = |stage: &str| {
        let stages = late["stages"].as_array().unwrap();
        let found = stages.iter().find(|row| row["stage"] == stage);
        found.map_or(json!(null), |row| row["actual"].clone())
    };
    assert_eq!((came("emerged"), came("planted out")), (json!("2026-03-12"), json!(null)));
    let page = site.text("plantings/k-late/index.html");
    assert!(page.contains("no room yet") && page.contains("2 L pot"));
}

#[test]
fn a_picked_tomato_fruits() {
    let garden = Written::new()
        .entry("2026-03-01", "plantings: [{id: tom, crop: tomato, sown: 3, place: Bed}, {id: kal, crop: kale, sown: 6, place: Bed}]", "")
        .entry("2026-03-20", "events: [{planting: [tom, kal], is: emerged}]", "")
        .entry("2026-06-01", "harvests: [{planting: tom, weight: 90 g}, {planting: kal, weight: 200 g}]", "");
    let site = garden.site();
    assert_eq!(site.planting("tom")["stage"], "fruiting");
    assert_eq!(site.planting("kal")["stage"], "emerged");
    // It is no line that somebody wrote.
    let page = site.text("plantings/tom/index.html");
    let history = page.split_once("<h2 id=\"history\"").unwrap().1;
    assert!(history.contains("Picked") && !history.contains("Fruiting"), "{history}");
    // Flowers noted after the first picking are late, and no contradiction.
    let late = garden.entry("2026-06-03", "events: [{planting: tom, is: flowering}]", "");
    assert_eq!(late.site().planting("tom")["stage"], "fruiting");
}

#[test]
fn an_early_flower_plants_nothing_out() {
    let garden = Written::new()
        .with("places/shelf.md", "---\nname: Shelf\nkind: shelf\ntemperature: 20 °C\n---\n")
        .entry(
            "2026-02-20",
            "plantings: [{id: pep, crop: pepper, sown: 6, place: Shelf, for: Bed}]",
            "",
        )
        .entry("2026-03-06", "events: [{planting: pep, is: emerged, count: 6}]", "")
        .entry("2026-04-04", "events: [{planting: pep, is: potted on, count: 6}]", "")
        .entry("2026-05-01", "events: [{planting: pep, is: flowering}]", "")
        .on("2026-05-04");
    let site = garden.site();
    assert_eq!(site.planting("pep")["stage"], "potted on");
    let page = site.text("plantings/pep/index.html");
    assert!(page.contains("Flowering") && page.contains("1 May"), "what was written is shown");
    let tasks = site.text("tasks/index.html");
    assert!(tasks.contains("Harden off") && tasks.contains("Plant out"), "{tasks}");
    let out = garden
        .entry("2026-05-20", "events: [{planting: pep, is: planted out}]", "")
        .on("2026-05-21");
    assert_eq!(out.site().planting("pep")["stage"], "planted out");
}

#[test]
fn a_crops_page_lists_its_tasks_with_their_ids() {
    let garden = Written::new().also_set("tasks: {tomato: {side-shoots: off}}");
    let site = garden.site();
    let page = site.text("crops/tomato/index.html");
    let tasks = page.split_once("id=\"tasks\"").unwrap().1.split_once("</section>").unwrap().0;
    assert!(
        tasks.contains("<code>tie</code>") && tasks.contains("<code>magnesium</code>"),
        "{tasks}"
    );
    let row = tasks.split("<tr>").find(|row| row.contains("<code>side-shoots</code>")).unwrap();
    assert!(
        row.contains(">off<") && row.contains("from planting out on, every 5 to 7 days"),
        "{row}"
    );
}

/// What is due in the week after next is told by crop where it is of several plantings, and by planting where it is of one.
#[test]
fn a_week_that_is_far_off_names_a_crop_once() {
    let site = Written::new()
        .entry(
            "2026-05-20",
            "plantings:\n  - {id: a, crop: radish, variety: Flare, sown: 30, place: Bed}\n  \
             - {id: b, crop: radish, variety: Cork, sown: 30, place: Bed}\n  \
             - {id: c, crop: spinach, variety: Rope, sown: 30, place: Bed}",
            "",
        )
        .on("2026-05-21")
        .site();
    let page = site.text("tasks/index.html");
    let weeks = &page[page.find("task-week").expect("weeks")..];
    assert!(weeks.contains("<bdi>Radish</bdi>") && !weeks.contains("Radish Flare"), "{weeks}");
    assert!(weeks.contains("Spinach Rope"), "{weeks}");
}
