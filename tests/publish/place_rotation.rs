//! Which family comes back to the same soil too soon.

use serde_json::{Value, json};
use trug::catalogue::Catalogue;
use trug::diagnostics::codes::Code;

use crate::support::garden::Written;

const TUBS: &str = "---\nname: Tubs\nkind: container\ncontainers: 2\nvolume: 40 L\n---\n";

/// Tomatoes in both tubs in 2025, cleared on 10 October, and peppers there since 1 June 2026.
fn tubs(between: &str) -> Written {
    let garden = Written::new()
        .with("places/tubs.md", TUBS)
        .entry("2025-05-20", "plantings: [{id: tom-25, crop: tomato, bought: 2, at: planted out, place: tubs, uses: 2 containers}]", "")
        .entry("2025-10-10", "events: [{planting: tom-25, is: finished}]", "");
    let garden = match between {
        "" => garden,
        refill => {
            garden.entry("2026-04-02", &format!("care: [{{place: tubs, did: refill{refill}}}]"), "")
        }
    };
    garden.entry("2026-06-01", "plantings: [{id: pep-26, crop: pepper, bought: 2, at: planted out, place: tubs, uses: 2 containers}]", "")
}

fn too_soon(garden: &Written, slug: &str) -> (Value, usize) {
    let (site, problems) = garden.site_and_problems();
    assert!(problems.iter().all(|problem| problem.code == Code::FamilyTooSoon), "{problems:#?}");
    (site.place(slug)["too_soon"].clone(), problems.len())
}

#[test]
fn rest_counts_from_the_day_the_family_left() {
    let (found, told) = too_soon(&tubs(""), "tubs");
    let expected = json!([{
        "planting": "pep-26", "family": "Solanaceae", "before": "tom-25",
        "rest_until": "2028-10-10", "may_be_apart": false,
    }]);
    assert_eq!((found, told), (expected, 1));
}

#[test]
fn all_new_mix_starts_the_count_anew_and_half_does_not() {
    assert_eq!(too_soon(&tubs(", old: 0%"), "tubs"), (json!([]), 0));
    assert_eq!(too_soon(&tubs(", with: loam"), "tubs"), (json!([]), 0));
    assert_eq!(too_soon(&tubs(", old: 50%"), "tubs").1, 1);
}

#[test]
fn where_both_find_room_side_by_side_the_page_tells_and_the_keyboard_is_silent() {
    let garden = |room: &str| {
        Written::new()
            .entry(
                "2025-03-20",
                &format!(
                    "plantings: [{{id: pea-25, crop: pea, sown: 80, place: bed, uses: {room}}}]"
                ),
                "",
            )
            .entry("2025-07-20", "events: [{planting: pea-25, is: finished}]", "")
            .entry(
                "2026-05-20",
                "plantings: [{id: bean-26, crop: dwarf bean, sown: 30, place: bed, uses: 1.2 m²}]",
                "",
            )
    };
    // The bed has 3.6 m².
    let (found, told) = too_soon(&garden("2.4 m²"), "bed");
    assert_eq!((&found[0]["may_be_apart"], told), (&json!(true), 0));
    assert_eq!(found[0]["rest_until"], "2027-07-20");
    let (found, told) = too_soon(&garden("2.5 m²"), "bed");
    assert_eq!((&found[0]["may_be_apart"], told), (&json!(false), 1));
}

#[test]
fn sowings_of_one_season_are_one_crop_and_history_is_not_accused() {
    let garden = Written::new()
        .entry(
            "2026-04-01",
            "plantings: [{id: let-26, crop: lettuce, sown: 10, place: bed, uses: 3 m²}]",
            "",
        )
        .entry("2026-05-25", "events: [{planting: let-26, is: finished}]", "")
        .entry(
            "2026-05-26",
            "plantings: [{id: let-26-b, crop: lettuce, sown: 10, place: bed, uses: 3 m²}]",
            "",
        );
    assert_eq!(too_soon(&garden, "bed"), (json!([]), 0));
    let over = tubs("").entry("2026-06-18", "events: [{planting: pep-26, is: finished}]", "");
    assert_eq!(too_soon(&over, "tubs"), (json!([]), 0));
}

#[test]
fn autumn_onions_and_summer_leeks_are_two_crops_of_one_family() {
    let garden = Written::new()
        .entry("2025-10-20", "plantings: [{id: garlic-25, crop: garlic, planted: 60, place: bed, uses: 3 m²}]", "")
        .entry("2026-06-10", "events: [{planting: garlic-25, is: finished}]", "")
        .entry("2026-06-12", "plantings: [{id: leek-26, crop: leek, bought: 40, at: planted out, place: bed, uses: 2 m²}]", "");
    assert_eq!(too_soon(&garden, "bed").0[0]["before"], "garlic-25");
}

#[test]
fn families_from_before_the_journal_count_by_their_year_under_any_of_their_names() {
    let bed = |history: &str| {
        let sheet = format!(
            "---\nname: Low bed\nkind: bed\nlength: 1 m\nwidth: 1 m\nfamily-history: {history}\n---\n"
        );
        Written::new().with("places/low-bed.md", &sheet).entry(
            "2026-05-01",
            "plantings: [{id: pea-26, crop: pea, sown: 40, place: low-bed}]",
            "",
        )
    };
    let (found, _) = too_soon(&bed("{2024: [Leguminosae, Apiaceae]}"), "low-bed");
    assert_eq!(found[0]["before"], "2024");
    // Two years of rest after 2024 are 2025 and 2026.
    assert_eq!(found[0]["rest_until"], "2026-12-31");
    assert_eq!(too_soon(&bed("{2023: Fabaceae}"), "low-bed"), (json!([]), 0));
}

/// University of Connecticut IPM, 'Rotation periods suggested to help control vegetable diseases' (table,
/// read): the shortest period it gives for the commonest disease of each.
#[test]
fn years_of_rest_are_those_of_the_connecticut_table() {
    let catalogue = Catalogue::built_in();
    for (crop, years) in [
        ("cabbage", 2..=3),   // black rot
        ("aubergine", 3..=3), // fruit rot
        ("cucumber", 2..=2),  // scab
        ("pumpkin", 2..=2),
        ("pea", 2..=2),
        ("beetroot", 3..=3),  // leaf spot
        ("lettuce", 3..=3),   // bottom rot, drop
        ("sweetcorn", 3..=3), // leaf blight
    ] {
        let id = catalogue.find(crop).unwrap_or_else(|| panic!("{crop}"));
        let rest = catalogue.get(id).sheet.rest_years.unwrap();
        assert!(years.contains(&rest), "{crop}: {rest}");
    }
}
