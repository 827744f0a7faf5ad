//! What was learned reaches the dates of the next planting.

use std::collections::BTreeMap;

use trug::findings::Findings;
use trug::garden::model::Garden;
use trug::learning::quantity::{Beginning, Quantity, Span};
use trug::origin::FileId;
use trug::publish::{Day, Inputs, proof};
use trug::source::files::Files;
use trug::stage::Stage;
use trug::stages::Milestone;

use crate::learning::gardens::Writer;

/// Three sowings of radish that came up after 12 days each, far from the sheet's 4; then a fourth.
fn garden() -> Garden {
    let mut files = vec![(
        "garden.yaml".to_owned(),
        b"name: Mill Lane\nplace: {latitude: 51.2, longitude: 3.2}\n".to_vec(),
    )];
    for (number, sown, up) in [
        (1, "2026-03-20", "2026-04-01"),
        (2, "2026-04-02", "2026-04-14"),
        (3, "2026-04-20", "2026-05-02"),
    ] {
        let entry = format!(
            "---\ndate: {up}\nplantings: [{{id: rad-{number}, crop: radish, sown: 40, on: {sown}}}]\n\
             events: [{{planting: rad-{number}, is: emerged}}]\n---\n"
        );
        files.push((format!("journal/{number}.md"), entry.into_bytes()));
    }
    let last = "---\ndate: 2026-05-10\nplantings: [{id: rad-4, crop: radish, sown: 40}]\n---\n";
    files.push(("journal/4.md".to_owned(), last.into()));
    let content = Files::new(FileId(0), files);
    let day = Day::Fixed("2026-05-11".parse().expect("a date"));
    let (garden, problems) = proof(&Inputs {
        content,
        theme: Files::default(),
        day,
        earlier_feeds: BTreeMap::new(),
        earlier_photos: BTreeMap::new(),
    });
    assert!(problems.is_empty(), "{problems:?}");
    garden
}

#[test]
fn the_next_sowing_is_expected_by_what_the_last_ones_took() {
    let garden = garden();
    let findings = Findings::of(&garden);
    let last = garden.find_planting("rad-4").expect("the last sowing");
    let lesson = findings.lessons_of(last)[0];
    // The first was sown before the journal began, the last is the one that waits.
    assert_eq!(lesson.estimate.from_plantings, 2);
    let to_emerge = Span::new(Beginning::Sown, Milestone::Stage(Stage::Emerged));
    assert_eq!(lesson.quantity, Quantity::Warmth(to_emerge));
    let emerged = Milestone::Stage(Stage::Emerged);
    let dates = findings.stages_of(last).iter().find(|dates| dates.what == emerged);
    let expected = dates.and_then(|dates| dates.expected).expect("a range");
    // The others took 12 days of late March and of April: 10 May is warmer, and slower than the sheet's 3 to 4 days at 29 °C.
    let day = |text: &str| text.parse::<chrono::NaiveDate>().expect("a date");
    assert!(expected.from > day("2026-05-15") && expected.to <= day("2026-05-23"), "{expected:?}");
    // What is finished or learned from keeps its own sheet.
    assert_eq!(garden.planting(last).sheet.emerges_in, None);
}

/// Two years of kohlrabi that took 90 days from the tray to the plate, where the sheet says 40 to 60; the third year's plants
/// are in their tray, which is not where they are meant to grow.
#[test]
fn what_is_still_in_its_tray_learns_from_what_was_set_out() {
    let mut writer = Writer::new();
    for (year, id) in [("2024", "k1"), ("2025", "k2"), ("2026", "k3")] {
        let begun = format!("id: {id}, crop: kohlrabi, sown: 20, place: shelf, for: bed");
        writer = writer.begins(&format!("{year}-04-01"), &begun);
    }
    for (year, id) in [("2024", "k1"), ("2025", "k2")] {
        let out = format!("planting: {id}, is: planted out, place: bed");
        writer =
            writer.event(&format!("{year}-05-06"), &out).picks(id, &[&format!("{year}-08-04")]);
    }
    let garden = writer.on("2026-04-20");
    let out_to_harvest = Span::new(Beginning::PlantedOut, Milestone::FirstHarvest);
    let findings = Findings::of(&garden);
    let last = garden.find_planting("k3").expect("the third");
    let mut lessons = findings.lessons_of(last).iter();
    let lesson = lessons
        .find(|lesson| lesson.quantity == Quantity::Warmth(out_to_harvest))
        .expect("a lesson");
    assert_eq!(lesson.estimate.from_plantings, 2);
    let mut stages = findings.stages_of(last).iter();
    let harvest = stages.find(|dates| dates.what == Milestone::FirstHarvest);
    let expected = harvest.and_then(|dates| dates.expected).expect("a range");
    // 60 days after 6 May is 5 July: by the sheet alone it would be over by then.
    assert!(expected.to > "2026-07-20".parse().expect("a date"), "{expected:?}");
}
