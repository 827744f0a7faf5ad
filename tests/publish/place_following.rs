//! When there is room, and what can still follow and be picked in time.

use chrono::NaiveDate;
use serde_json::{Value, json};

use crate::support::garden::{Written, day};

fn date(value: &Value) -> NaiveDate {
    day(value.as_str().unwrap_or_else(|| panic!("no date: {value}")))
}

/// A bed that is full of garlic until July.
fn garlic_bed() -> Written {
    Written::new().entry(
        "2025-09-25",
        "plantings: [{id: garlic-25, crop: garlic, planted: 60, place: bed, uses: 3.5 m²}]",
        "",
    )
}

fn names(opening: &Value) -> Vec<&str> {
    let followers = opening["can_follow"].as_array().unwrap();
    followers.iter().map(|follower| follower["crop"].as_str().unwrap()).collect()
}

/// After garlic, quick leaves and roots are still sown, and nothing that needs a summer: what University of
/// California, Iowa State and RHS pages on late-summer sowing name alike (from memory).
#[test]
fn after_garlic_come_quick_leaves_and_roots_and_no_fruit_of_summer() {
    let bed = garlic_bed().site().place("bed");
    let [opening] = bed["openings"].as_array().unwrap().as_slice() else { panic!("{bed:#}") };
    assert_eq!(opening["left_by"], json!(["garlic-25"]));
    assert_eq!(opening["free"]["area_m2"], 3.6);
    assert_eq!(opening["until"], json!(null));
    let names = names(opening);
    for quick in ["lettuce", "radish", "spinach", "turnip", "rocket"] {
        assert!(names.contains(&quick), "{quick} in {names:?}");
    }
    for summer in ["tomato", "aubergine", "sweet-potato", "pumpkin", "parsnip", "brussels-sprouts"]
    {
        assert!(!names.contains(&summer), "{summer} in {names:?}");
    }
    // Garlic's own family has had no rest, so it stands behind all others.
    let followers = opening["can_follow"].as_array().unwrap();
    let rests = followers.iter().map(|one| !one["rest_until"].is_null());
    assert!(rests.collect::<Vec<_>>().is_sorted(), "{followers:#?}");
}

/// What must hold of every follower of the demo, whatever it is.
#[test]
fn everything_that_can_follow_begins_after_the_room_is_free_and_is_picked_before_frost() {
    let data = Written::demo().site_and_problems().0.data();
    let frost = date(&data["climate"]["first_frost"]["p50"]);
    let today = date(&data["on"]);
    let (mut seen, mut tender) = (0, 0);
    for place in data["places"].as_array().unwrap() {
        for opening in place["openings"].as_array().unwrap() {
            let from = date(&opening["from"]);
            for one in opening["can_follow"].as_array().unwrap() {
                let begin = (date(&one["begin"]["from"]), date(&one["begin"]["to"]));
                assert!(from <= begin.0 && begin.0 <= begin.1, "{one:#}");
                assert_eq!(one["spare_days"], (begin.1 - begin.0).num_days());
                if let Some(sow) = one["sow_under_cover"].as_object() {
                    assert!(today <= date(&sow["from"]), "{one:#}");
                    assert!(date(&sow["from"]) < begin.0, "{one:#}");
                }
                let is_open =
                    ["bed", "container", "ground"].contains(&place["kind"].as_str().unwrap());
                let tender_crops =
                    ["dwarf-bean", "cucumber", "courgette", "basil", "climbing-bean"];
                if is_open && tender_crops.contains(&one["crop"].as_str().unwrap()) {
                    assert!(date(&one["first_picking"]["to"]) < frost, "{one:#}");
                    tender += 1;
                }
                seen += 1;
            }
        }
    }
    assert!(seen > 100 && tender > 5, "{seen} {tender}");
}

#[test]
fn what_is_meant_for_the_room_next_takes_it_back() {
    let garden = garlic_bed().entry(
        "2026-06-15",
        "plantings: [{id: garlic-26, crop: garlic, aim: 60, for: bed, uses: 3.5 m²}]",
        "",
    );
    let bed = garden.site_and_problems().0.place("bed");
    let opening = &bed["openings"][0];
    let comes = date(&bed["meant"][0]["comes"]["to"]);
    assert_eq!(date(&opening["until"]), comes.pred_opt().unwrap(), "{opening:#}");
    // Nothing is offered that would still stand when the garlic comes.
    for one in opening["can_follow"].as_array().unwrap() {
        assert!(date(&one["first_picking"]["to"]) < comes, "{one:#}");
    }
    assert!(!opening["can_follow"].as_array().unwrap().is_empty(), "{bed:#}");
}

#[test]
fn a_small_pot_or_a_shady_place_gets_only_what_is_content_with_it() {
    let garden = Written::new()
        .with("places/pots.md", "---\nname: Pots\nkind: container\nvolume: 5 L\n---\n")
        .with(
            "places/yard.md",
            "---\nname: Yard\nkind: bed\nlength: 2 m\nwidth: 1 m\nsun: 4\n---\n",
        );
    let site = garden.entry("2026-06-01", "title: nothing yet", "").site();
    let (pots, yard, bed) = (site.place("pots"), site.place("yard"), site.place("bed"));
    assert_eq!(bed["openings"][0]["from"], "2026-06-20");
    let pots = names(&pots["openings"][0]);
    assert!(pots.contains(&"lettuce") && !pots.contains(&"dwarf-bean"), "{pots:?}");
    let yard = names(&yard["openings"][0]);
    assert!(yard.contains(&"lettuce") && !yard.contains(&"dwarf-bean"), "{yard:?}");
    let bed = names(&bed["openings"][0]);
    assert!(bed.contains(&"dwarf-bean") && bed.contains(&"courgette"), "{bed:?}");
}
