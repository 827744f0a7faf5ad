//! Comparisons in whole gardens, small ones worked by hand.

use trug::garden::model::Garden;
use trug::results::bootstrap::NoInterval;
use trug::results::comparisons::curve::{self, Curve};
use trug::results::comparisons::standing::Stood;
use trug::results::comparisons::{self, Caution, Comparison, LeftOut, Question, What};
use trug::results::yields::measures::{Per, Weighed};
use trug::results::yields::why_not::WhyNot;

use crate::support::garden::Written;

fn read(written: &Written) -> Garden {
    trug::publish::proof(&written.inputs()).0
}

fn compare(written: &Written, question: Question, per: Per) -> Option<Comparison> {
    let garden = read(written);
    let crop = garden.catalogue.find("courgette").expect("a crop");
    comparisons::of_crop(&garden, crop, question, per)
}

/// Courgettes that were set out in a place, gave so much in three pickings, and were cleared.
fn grown(
    written: Written,
    id: &str,
    variety: &str,
    place: &str,
    plants: u32,
    grams: u32,
) -> Written {
    growing(written, id, variety, place, plants, grams).entry(
        "2025-10-01",
        &format!("events:\n  - {{planting: {id}, is: finished}}"),
        "",
    )
}

/// Three varieties, each in a tub and in a bed of the same year: pairs that agree. Nothing is said of how much.
#[test]
fn few_plantings_say_which_side_probably_gave_more() {
    let mut written = Written::new();
    for (variety, pot, bed) in [("Amber", 3900, 3000), ("Frill", 1300, 1000), ("Plain", 6600, 5100)]
    {
        written = grown(written, &format!("{variety}-p").to_lowercase(), variety, "Pot", 1, pot);
        written = grown(written, &format!("{variety}-b").to_lowercase(), variety, "Bed", 1, bed);
    }
    let found = compare(&written, Question::ContainerOrSoil, Per::Plant).expect("two sides");
    let likely = found.likely[0];
    assert_eq!(found.sides[likely.first].what, What::Containers);
    assert!(found.gaps.is_empty() && (0.85..0.999).contains(&likely.chance), "{likely:?}");
    // Of the varieties the best is told from the next, and still more surely from the last.
    let found = compare(&written, Question::Variety, Per::Plant).expect("three sides");
    let likely = found.likely[0];
    let name = |side: usize| found.sides[side].what.clone();
    assert_eq!(name(likely.first), What::Variety("Plain".to_owned()));
    assert_eq!(name(likely.second), What::Variety("Amber".to_owned()));
    assert!((0.7..0.999).contains(&likely.chance), "{likely:?}");
    assert!(found.likely[1].chance > likely.chance, "{:?}", found.likely);
    let page = written.site_and_problems().0;
    let page = page.text("comparisons/courgette-places/index.html");
    assert!(page.contains("probably gave more") && page.contains("How much more"), "{page}");
}

/// Five years that differ fourfold, in each a bed and a pot of one variety, apart by 100, 200, 150, 250 and 300 g a plant: a mean of
/// 200, with √(25,000 / 4 / 5) = 35 g of standard error. As ten weights without their years they would be told apart by nothing.
#[test]
fn a_good_year_is_not_a_good_place() {
    let mut written = Written::new();
    for (year, weather, apart) in
        [(2021, 500, 100), (2022, 2000, 200), (2023, 900, 150), (2024, 1500, 250), (2025, 700, 300)]
    {
        for (place, grams) in [("Bed", weather + apart), ("Pot", weather)] {
            let id = format!("{}-{year}", place.to_lowercase());
            let begun = format!(
                "plantings:\n  - {{id: {id}, crop: courgette, variety: Nero, place: {place}, bought: 1, \
                 at: planted out, uses: 1.5 m²}}"
            );
            let picked = format!("harvests:\n  - {{planting: {id}, weight: {grams} g}}");
            let over = format!("events:\n  - {{planting: {id}, is: finished}}");
            written = written
                .entry(&format!("{year}-05-12"), &begun, "")
                .entry(&format!("{year}-08-10"), &picked, "")
                .entry(&format!("{year}-10-01"), &over, "");
        }
    }
    let found = compare(&written, Question::ContainerOrSoil, Per::Plant).expect("two sides");
    let gap = &found.gaps[0];
    let is_bed_first = found.sides[gap.first].what == What::Soil;
    let difference = gap.difference.expect("an interval");
    let middle = if is_bed_first { difference.middle } else { -difference.middle };
    assert!((middle - 200.0).abs() < 1e-6, "{difference:?}");
    // Student's t with four degrees of freedom would reach 2.13 × 35 = 75 g to either side.
    let reach = (difference.high - difference.low) / 2.0;
    assert!((55.0..95.0).contains(&reach), "{reach}");
}

/// The same, not cleared.
fn growing(
    written: Written,
    id: &str,
    variety: &str,
    place: &str,
    plants: u32,
    grams: u32,
) -> Written {
    let begun = format!(
        "plantings:\n  - {{id: {id}, crop: courgette, variety: {variety}, place: {place}, \
         bought: {plants}, at: planted out, uses: 1.5 m²}}"
    );
    let third = grams / 3;
    let picked = |grams: u32| format!("harvests:\n  - {{planting: {id}, weight: {grams} g}}");
    written
        .entry("2025-05-12", &begun, "")
        .entry("2025-07-10", &picked(third), "")
        .entry("2025-08-10", &picked(third), "")
        .entry("2025-09-10", &picked(grams - 2 * third), "")
}

/// Grams in the bed and in pots. Two plants each, so half of it for a plant:
/// 1500, 1800, 1650, 2100, 1950 (mean 1800) and 900, 1200, 1050, 750, 1350 (mean 1050).
const IN_BED: [u32; 5] = [3000, 3600, 3300, 4200, 3900];
const IN_POTS: [u32; 5] = [1800, 2400, 2100, 1500, 2700];

fn five_each() -> Written {
    let mut written = Written::new();
    for (number, (bed, pot)) in IN_BED.into_iter().zip(IN_POTS).enumerate() {
        written = grown(written, &format!("bed-{number}"), "Nero", "Bed", 2, bed);
        written = grown(written, &format!("pot-{number}"), "Nero", "Pot", 2, pot);
    }
    written
}

fn ids(written: &Written, comparison: &Comparison, what: &What) -> Vec<String> {
    let garden = read(written);
    let side = comparison.sides.iter().find(|side| side.what == *what).expect("a side");
    side.members.iter().map(|member| garden.planting(member.planting).id.to_string()).collect()
}

fn left_out(written: &Written, comparison: &Comparison) -> Vec<(String, LeftOut)> {
    let garden = read(written);
    let all = comparison.left_out.iter();
    all.map(|(id, why)| (garden.planting(*id).id.to_string(), why.clone())).collect()
}

/// Worked by hand. The interval: the squares of the deviations add up to 225,000 g² on either side, so that
/// 2 × 225,000 / 4 / 5 = 22,500 stand under the root and the standard error is 150 g; Student's
/// t with 8 degrees of freedom would reach 1.86 × 150 = 279 g to either side (any table of t, one tenth in both
/// tails), and this interval should be no further from it than a quarter.
#[test]
fn five_plantings_each_by_hand() {
    let found = compare(&five_each(), Question::ContainerOrSoil, Per::Plant).expect("two sides");
    let means: Vec<_> = found.sides.iter().map(|side| (side.what.clone(), side.mean())).collect();
    assert_eq!(means, [(What::Containers, Some(1050.0)), (What::Soil, Some(1800.0))]);
    assert_eq!(found.weighed, Weighed::Fresh);
    let gap = found.gaps[0].difference.expect("an interval");
    assert_eq!((found.gaps.len(), found.gaps[0].first, found.gaps[0].second), (1, 0, 1));
    assert_eq!(gap.middle, -750.0);
    assert!((209.0..349.0).contains(&(gap.high - gap.middle)), "{gap:?}");
    assert_eq!((found.left_out, found.cautions), (vec![], vec![]));

    let by_ground = compare(&five_each(), Question::ContainerOrSoil, Per::SquareMetre).unwrap();
    assert_eq!(by_ground.sides[1].mean(), Some(2400.0));
}

#[test]
fn four_are_too_few_however_many_plants_they_had() {
    let written = (0..4).fold(Written::new(), |written, number| {
        let written = grown(written, &format!("bed-{number}"), "Nero", "Bed", 40, 90_000 + number);
        let written = grown(written, &format!("pot-{number}"), "Nero", "Pot", 40, 9_000 + number);
        grown(written, &format!("more-{number}"), "Nero", "Pot", 40, 8_000 + number)
    });
    let found = compare(&written, Question::ContainerOrSoil, Per::Plant).unwrap();
    assert_eq!(found.gaps, []);
    assert_eq!(found.sides[1].members.len(), 4);
    assert_eq!((found.sides[0].members.len(), found.sides[1].mean()), (8, None));
}

#[test]
fn what_is_not_known_whole_is_left_out_with_its_reason() {
    let written = growing(five_each(), "late", "Nero", "Bed", 2, 9000);
    let written = grown(written, "half", "Nero", "Bed", 2, 9000).entry(
        "2025-08-20",
        "harvests:\n  - {planting: half, count: 3}",
        "",
    );
    let written = grown(written, "joined", "Nero", "Bed", 2, 9000).entry(
        "2025-08-21",
        "harvests:\n  - {planting: [joined, bed-4], weight: 2 kg}",
        "",
    );
    let written = written
        .entry(
            "2025-05-14",
            "plantings:\n  - {id: silent, crop: courgette, place: Pot, bought: 2, at: planted out}\n  \
             - {id: eaten, crop: courgette, place: Pot, bought: 2, at: planted out}",
            "",
        )
        .entry("2025-05-20", "events:\n  - {planting: eaten, is: lost, count: 2, because: slugs}", "")
        .entry("2025-09-20", "events:\n  - {planting: silent, is: finished}", "");
    let found = compare(&written, Question::ContainerOrSoil, Per::Plant).unwrap();
    let together = LeftOut::Withheld(WhyNot::WeighedTogether);
    assert_eq!(
        left_out(&written, &found),
        [
            ("bed-4".to_owned(), together.clone()),
            ("late".to_owned(), LeftOut::Growing),
            ("half".to_owned(), LeftOut::NotWeighed(1)),
            ("joined".to_owned(), together),
            ("silent".to_owned(), LeftOut::NothingPicked),
        ]
    );
    // What slugs took gave nothing, and that counts.
    let pots = ids(&written, &found, &What::Containers);
    assert_eq!(pots, ["pot-0", "pot-1", "pot-2", "pot-3", "pot-4", "eaten"]);
    assert_eq!(found.sides[0].mean(), Some(1050.0 * 5.0 / 6.0));
    // Four are left in the bed.
    assert_eq!(found.gaps, []);
}

#[test]
fn varieties_side_by_side_and_what_else_differs() {
    let mut written = five_each();
    for number in 0..5 {
        written = grown(written, &format!("gold-{number}"), "Rugosa", "Pot", 2, 1200 + 60 * number);
    }
    let found = compare(&written, Question::Variety, Per::Plant).unwrap();
    let names: Vec<_> = found.sides.iter().map(|side| side.what.clone()).collect();
    let variety = |name: &str| What::Variety(name.to_owned());
    assert_eq!(names, [variety("Nero"), variety("Rugosa")]);
    assert_eq!(found.sides[1].mean(), Some(660.0));
    assert!(found.gaps[0].difference.unwrap().low > 0.0);
    assert_eq!(found.cautions, [], "both stood in pots in the same season");

    let only_bed = (0..2).fold(Written::new(), |written, number| {
        let written = grown(written, &format!("b-{number}"), "Nero", "Bed", 2, 900);
        grown(written, &format!("p-{number}"), "Rugosa", "Pot", 2, 900)
    });
    let apart = compare(&only_bed, Question::Variety, Per::Plant).unwrap();
    assert_eq!(apart.cautions, [Caution::NoKindInCommon]);
    let apart = compare(&only_bed, Question::ContainerOrSoil, Per::Plant).unwrap();
    assert_eq!(apart.cautions, [Caution::NoVarietyInCommon]);
}

#[test]
fn all_alike_is_no_proof() {
    let written = (0..5).fold(Written::new(), |written, number| {
        let written = grown(written, &format!("bed-{number}"), "Nero", "Bed", 2, 3000);
        grown(written, &format!("pot-{number}"), "Nero", "Pot", 2, 1500)
    });
    let found = compare(&written, Question::ContainerOrSoil, Per::Plant).unwrap();
    assert_eq!(found.gaps[0].difference, Err(NoInterval::NoScatter));
}

/// Two plants: 400 g by 20 June 2025 and 2 kg after it; 500 g by 20 June 2026. For a plant 200 g against 250 g.
#[test]
fn an_unfinished_season_is_held_against_the_same_days() {
    let begun = |id: &str| {
        format!(
            "plantings:\n  - {{id: {id}, crop: courgette, place: Bed, bought: 2, at: planted out}}"
        )
    };
    let picked =
        |id: &str, grams: u32| format!("harvests:\n  - {{planting: {id}, weight: {grams} g}}");
    let written = Written::new()
        .entry("2025-05-01", &begun("last"), "")
        .entry("2025-06-01", &picked("last", 150), "")
        .entry("2025-06-20", &picked("last", 250), "")
        .entry("2025-06-21", &picked("last", 2000), "")
        .entry("2025-06-22", &begun("too-late"), "")
        .entry("2025-10-01", "events:\n  - {planting: [last, too-late], is: finished}", "")
        .entry("2026-05-02", &begun("now"), "")
        .entry("2026-06-18", &picked("now", 500), "");
    let found = compare(&written, Question::SeasonToDate, Per::Plant).unwrap();
    assert_eq!(found.sides[0].what, What::ThisSeason);
    assert_eq!(found.sides[0].values(), [250.0]);
    assert_eq!(found.sides[1].values(), [200.0]);
    assert_eq!((found.gaps.len(), found.left_out.len()), (0, 0));
    assert_eq!(found.sides[0].members[0].stood, Stood::Soil);

    let garden = read(&written);
    let curves = curve::of_seasons(&garden, garden.season(), None, Weighed::Fresh);
    let ends: Vec<_> = curves.iter().map(end).collect();
    assert_eq!(ends, [("2026".to_owned(), Some(500.0)), ("2025".to_owned(), Some(400.0))]);
    assert_eq!(curves[1].journal_begins, Some("2025-05-01".parse().unwrap()));

    // A season that is over is shown whole.
    let last = garden.season_of("2025-06-01".parse().unwrap());
    let curves = curve::of_seasons(&garden, last, None, Weighed::Fresh);
    assert_eq!(curves.iter().map(end).collect::<Vec<_>>(), [("2025".to_owned(), Some(2400.0))]);
}

fn end(curve: &Curve) -> (String, Option<f64>) {
    (curve.season.name(), curve.points.last().map(|(_, grams)| *grams))
}

/// Set out in May 2025 and picked until March 2026: it stands in both seasons, and counts in that of its first picking.
#[test]
fn a_planting_is_not_held_against_itself() {
    let written = Written::new()
        .entry(
            "2025-05-01",
            "plantings: [{id: k, crop: kale, place: Bed, bought: 2, at: planted out}]",
            "",
        )
        .entry("2025-06-10", "harvests: [{planting: k, weight: 400 g}]", "")
        .entry("2026-03-10", "harvests: [{planting: k, weight: 300 g}]", "")
        .entry("2026-03-20", "events: [{planting: k, is: finished}]", "");
    let garden = read(&written);
    let kale = garden.catalogue.find("kale").expect("a crop");
    let found = comparisons::of_crop(&garden, kale, Question::SeasonToDate, Per::Plant);
    assert!(found.is_none(), "{found:?}");
}

/// What the page and garden.json say is what was worked by hand above.
#[test]
fn the_page_and_the_file_say_the_same() {
    let site = five_each().site();
    let data = site.data();
    let all = data["comparisons"].as_array().unwrap();
    let found =
        all.iter().find(|one| one["question"] == "containers or soil" && one["per"] == "plant");
    let found = found.unwrap();
    assert_eq!(
        (&found["sides"][0]["mean_g"], &found["sides"][1]["mean_g"]),
        (&1050.0.into(), &1800.0.into())
    );
    assert_eq!(found["differences"][0]["middle_g"], -750.0);
    let list = site.text("comparisons/index.html");
    let verdict =
        "About 750\u{a0}g more for each plant from beds and open ground than from containers (";
    assert!(list.contains(verdict), "{list}");
    assert!(site.text("crops/courgette/index.html").contains(verdict));
    let page = site.text("comparisons/courgette-places/index.html");
    assert!(page.contains(verdict));
    assert_eq!(page.matches("class=\"plot compared\"").count(), 2);
    // Ten plantings, for each plant and for each square metre.
    assert_eq!(page.matches("<g transform=").count(), 20);
    assert_eq!(page.matches("<tr><th scope=\"row\">").count(), 20);

    let four = five_each().entry(
        "2025-09-12",
        "harvests:\n  - {planting: [bed-0, pot-0], weight: 1 kg}",
        "",
    );
    let site = four.site();
    let told = site.text("comparisons/courgette-places/index.html");
    let probably = "Beds and open ground probably gave more for each plant than containers";
    assert!(told.contains("it takes 5 plantings on each side") && !told.contains("About 7"));
    assert!(told.to_lowercase().contains(&probably.to_lowercase()), "{told}");
    let list = site.text("comparisons/index.html");
    assert!(list.to_lowercase().contains(&probably.to_lowercase()), "{list}");
}
