//! Expected stages against published emergence tables and hand-made sums.

use trug::dates::shift;
use trug::stage::Stage;
use trug::stages::Milestone;

use crate::tasks::written::{Scene, Written, day};

const FIRST_HARVEST: Milestone = Milestone::FirstHarvest;

fn expected(scene: &Scene, planting: &str, what: Milestone) -> Option<(String, String)> {
    let dates = scene.stages(planting).into_iter().find(|dates| dates.what == what)?;
    dates.expected.map(|range| (range.from.to_string(), range.to.to_string()))
}

fn range(from: &str, to: &str) -> Option<(String, String)> {
    Some((from.to_owned(), to.to_owned()))
}

/// Source: J. Harrington and P. Minges, 'Vegetable seed germination' (University of California, 1954),
/// days to emergence by soil temperature; the values here are from memory. Colder than this seed may
/// take longer than the range says: it ends at four times the days at the best temperature (lettuce at
/// 5 °C: 15 days in the table, 12 here).
#[test]
fn seed_comes_up_when_the_published_table_says() {
    let rows = [
        ("lettuce", 10, 7),
        ("lettuce", 15, 4),
        ("carrot", 10, 17),
        ("carrot", 15, 10),
        ("carrot", 20, 7),
        ("tomato", 15, 14),
        ("tomato", 20, 8),
        ("tomato", 25, 6),
        ("pea", 10, 14),
        ("pea", 15, 9),
        ("pea", 20, 8),
        ("radish", 10, 11),
        ("radish", 15, 6),
        ("cucumber", 20, 6),
        ("cucumber", 25, 4),
    ];
    for (crop, degrees, published) in rows {
        let place = format!("---\nname: shelf\nkind: shelf\ntemperature: {degrees} °C\n---\n");
        let scene = Written::new()
            .file("places/shelf.md", &place)
            .plant("2026-03-01", &format!("id: a, crop: {crop}, place: shelf, for: bed, sown: 20"))
            .on("2026-03-01");
        let emerged = scene.stages("a")[1].expected.unwrap();
        let came = shift(day("2026-03-01"), published);
        assert!(
            emerged.contains(came),
            "{crop} at {degrees} °C: {emerged:?}, published {published}"
        );
        assert!(emerged.days() < 4 * published, "{crop} at {degrees} °C: {emerged:?}");
    }
}

/// Days of the sheet: tomato 5–7 weeks under cover, hardened off for 7 to 10 days, flowers 14–28 and
/// fruit 70–90 days after planting out, picked for 8–12 weeks.
#[test]
fn a_raised_crop_is_counted_from_sowing_then_from_planting_out() {
    let written = Written::new()
        .in_usual_weather()
        .plant("2026-03-10", "id: tom, crop: tomato, place: shelf, for: bed, sown: 12");
    let scene = written.on("2026-03-10");
    assert_eq!(
        expected(&scene, "tom", Milestone::Stage(Stage::PlantedOut)),
        range("2026-04-14", "2026-04-28")
    );
    assert_eq!(
        expected(&scene, "tom", Milestone::Stage(Stage::HardeningOff)),
        range("2026-04-04", "2026-04-07")
    );
    assert_eq!(expected(&scene, "tom", FIRST_HARVEST), range("2026-06-23", "2026-07-27"));

    let out = written.clone().event("2026-05-16", "planting: tom, is: planted out, place: bed");
    let scene = out.on("2026-05-20");
    // What was expected stands beside what came.
    let dates = scene.stages("tom");
    let planted_out = dates.iter().find(|d| d.what == Milestone::Stage(Stage::PlantedOut)).unwrap();
    assert_eq!(planted_out.actual, Some(day("2026-05-16")));
    assert_eq!(planted_out.expected.unwrap().from, day("2026-04-14"));
    let hard = written.event("2026-05-08", "planting: tom, is: hardening off").on("2026-05-09");
    let hardening = Milestone::Stage(Stage::HardeningOff);
    assert_eq!(expected(&hard, "tom", hardening), range("2026-04-04", "2026-04-07"));
    assert_eq!(
        expected(&hard, "tom", Milestone::Stage(Stage::PlantedOut)),
        range("2026-05-15", "2026-05-15")
    );
    assert_eq!(
        expected(&scene, "tom", Milestone::Stage(Stage::Flowering)),
        range("2026-05-30", "2026-06-13")
    );
    assert_eq!(expected(&scene, "tom", FIRST_HARVEST), range("2026-07-25", "2026-08-14"));

    // Flowers on 8 June: 80 ± 10 less 21 ± 7 days are 59 ± √(10² + 7² − 10·7) = 59 ± 8.9 more.
    let scene = out.event("2026-06-08", "planting: tom, is: flowering").on("2026-06-09");
    assert_eq!(expected(&scene, "tom", FIRST_HARVEST), range("2026-07-28", "2026-08-15"));
    let end = Milestone::Stage(Stage::Finished);
    assert_eq!(expected(&scene, "tom", end), range("2026-09-22", "2026-11-07"));
}

/// Put off by whole weeks, from 14–28 April to 2 June, and then 70–90 days.
#[test]
fn planting_out_that_is_late_moves_the_harvest() {
    let written = Written::new()
        .in_usual_weather()
        .plant("2026-03-10", "id: tom, crop: tomato, place: shelf, for: bed, sown: 12");
    let scene = written.on("2026-05-30");
    assert_eq!(
        expected(&scene, "tom", Milestone::Stage(Stage::PlantedOut)),
        range("2026-04-14", "2026-04-28")
    );
    assert_eq!(expected(&scene, "tom", FIRST_HARVEST), range("2026-08-11", "2026-08-31"));
}

/// 10 and 20 °C every day make 10.6 degree days above 4.4 °C; 694 of them, less or more a fifth, take
/// 52.4 to 78.6 days (by hand).
#[test]
fn a_sum_of_warmth_is_followed_outdoors_and_not_under_glass() {
    let climate = "climate: {low: [10,10,10,10,10,10,10,10,10,10,10,10], \
                   high: [20,20,20,20,20,20,20,20,20,20,20,20]}";
    let garden = format!(
        "name: Weir Cottage\nplace: {{latitude: 51, longitude: 5, time-zone: Europe/Brussels}}\n{climate}\n"
    );
    let written = Written::new().file("garden.yaml", &garden);
    let outdoors = written.clone().plant("2026-03-01", "id: pea, crop: pea, place: bed, sown: 40");
    let sown = day("2026-03-01");
    let scene = outdoors.on("2026-03-02");
    let found = expected(&scene, "pea", FIRST_HARVEST);
    assert_eq!(found, range(&shift(sown, 53).to_string(), &shift(sown, 79).to_string()));
    // A warm observed week of 18 degree days a day instead of 10.6 brings it forward by about 5 days.
    let rows: String = (1..=7).map(|d| format!("2026-03-0{d},17.4,27.4,\n")).collect();
    let warm = outdoors.file("weather/2026.csv", &format!("date,low,high,rain\n{rows}"));
    let found = expected(&warm.on("2026-03-08"), "pea", FIRST_HARVEST);
    assert_eq!(found, range(&shift(sown, 48).to_string(), &shift(sown, 74).to_string()));
    // Under glass without a temperature of its own the sheet's 60–70 days count.
    let glass = written.plant("2026-03-01", "id: pea, crop: pea, place: house, sown: 40");
    let found = expected(&glass.on("2026-03-02"), "pea", FIRST_HARVEST);
    assert_eq!(found, range(&shift(sown, 60).to_string(), &shift(sown, 70).to_string()));
}

/// Common practice, no source: broad beans of autumn are picked from the end of May into June, those of
/// March in June; garlic planted in October is lifted from mid-June into July.
#[test]
fn what_stands_the_winter_has_days_of_its_own() {
    let scene = Written::new()
        .plant("2025-11-02", "id: autumn, crop: broad bean, variety: Mine, place: bed, sown: 24")
        .plant(
            "2026-03-20",
            "id: spring, crop: broad bean, variety: Aquadulce, place: bed, sown: 24",
        )
        .plant("2025-10-18", "id: garlic, crop: garlic, place: bed, planted: 40")
        .on("2026-04-01");
    assert_eq!(expected(&scene, "autumn", FIRST_HARVEST), range("2026-05-21", "2026-06-30"));
    assert_eq!(expected(&scene, "autumn", Milestone::Stage(Stage::Flowering)), None);
    assert_eq!(expected(&scene, "spring", FIRST_HARVEST), range("2026-06-08", "2026-06-28"));
    assert_eq!(expected(&scene, "garlic", FIRST_HARVEST), range("2026-06-15", "2026-07-25"));
    // Cloves show after they were set out.
    let up = Milestone::Stage(Stage::Emerged);
    assert_eq!(expected(&scene, "garlic", up), range("2025-11-01", "2025-11-17"));
}

#[test]
fn a_perennial_is_expected_as_it_came_last_year() {
    let scene = Written::new()
        .plant("2024-04-01", "id: berry, crop: strawberry, planted: 8, place: bed, lasts: years")
        .event("2025-05-02", "planting: berry, is: flowering")
        .pick("2025-06-01", "berry")
        .pick("2025-06-20", "berry")
        .on("2026-04-01");
    let flowers = Milestone::Stage(Stage::Flowering);
    assert_eq!(expected(&scene, "berry", flowers), range("2026-04-18", "2026-05-16"));
    assert_eq!(expected(&scene, "berry", FIRST_HARVEST), range("2026-05-18", "2026-06-15"));
}
