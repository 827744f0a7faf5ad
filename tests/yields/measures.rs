//! What a planting gave for each plant, square metre and litre. All figures are worked by hand.

use trug::results::yields::ground::Basis;
use trug::results::yields::measures::{Measures, Per, Weighed, of_planting};
use trug::results::yields::plants::Counted;
use trug::results::yields::why_not::WhyNot;

use crate::yields::written::{Written, find};

fn measures(written: &Written, id: &str) -> Measures {
    let garden = written.garden();
    of_planting(&garden, find(&garden, id))
}

/// Grams for each, to a thousandth, and whether they are about right.
fn per(measures: &Measures, per: Per) -> Result<(f64, bool), WhyNot> {
    let rate = measures.per(per, Weighed::Fresh)?;
    Ok(((rate.grams * 1e3).round() / 1e3, rate.is_about))
}

/// Eight sown, six out in half of the bed, one lost later: 3 kg.
fn kale() -> Written {
    Written::new()
        .plant("2026-04-01", "id: k, crop: kale, sown: 8, place: shelf, for: bed, uses: 2 m²")
        .event("2026-04-09", "planting: k, is: emerged, count: 7")
        .event("2026-05-20", "planting: k, is: planted out, count: 6, place: bed")
        .event("2026-06-20", "planting: k, is: lost, count: 1, place: bed")
        .picked("2026-08-01", "planting: k, weight: 1.2 kg")
        .picked("2026-09-01", "planting: k, weight: 1800 g")
}

#[test]
fn by_the_plants_that_were_planted_out() {
    let kale = measures(&kale(), "k");
    assert_eq!(kale.plants.as_ref().map(|p| (p.number, p.counted)), Ok((6, Counted::PlantedOut)));
    assert_eq!(per(&kale, Per::Plant), Ok((500.0, false))); // 3000 / 6
    assert_eq!(per(&kale, Per::SquareMetre), Ok((1500.0, false))); // 3000 / 2
    assert_eq!(per(&kale, Per::Litre), Ok((5.0, false))); // 2 m² × 0.3 m = 600 L
}

#[test]
fn of_what_is_sown_where_it_grows_by_the_plants_left_after_thinning() {
    let sown = Written::new()
        .plant("2026-04-01", "id: c, crop: carrot, sown: 90, place: bed")
        .picked("2026-08-01", "planting: c, weight: 960 g, count: 20, unit: roots");
    // Seeds are not plants.
    assert_eq!(per(&measures(&sown, "c"), Per::Plant), Err(WhyNot::NotCounted));
    let up = sown.event("2026-04-20", "planting: c, is: emerged, count: about 70");
    let came_up = measures(&up, "c");
    assert_eq!(came_up.plants.as_ref().map(|p| (p.number, p.counted)), Ok((70, Counted::CameUp)));
    let thinned =
        measures(&up.clone().event("2026-05-10", "planting: c, is: thinned, count: 30"), "c");
    assert_eq!(thinned.plants.as_ref().map(|p| (p.number, p.counted)), Ok((40, Counted::Thinned)));
    assert_eq!(per(&thinned, Per::Plant), Ok((24.0, true)));
    // Alone in the bed it has all of it: 4.8 m², 1440 L.
    assert_eq!(thinned.ground.basis, Basis::Whole);
    assert_eq!(per(&thinned, Per::SquareMetre), Ok((200.0, false)));
    assert_eq!(per(&thinned, Per::Litre), Ok((0.667, false)));
    assert_eq!(
        per(&measures(&up.event("2026-05-10", "planting: c, is: thinned"), "c"), Per::Plant),
        Err(WhyNot::NotCounted)
    );
}

#[test]
fn containers_are_a_share_of_the_place() {
    let tomato = Written::new()
        .plant("2026-05-20", "id: t, crop: tomato, bought: 3, at: potted on, place: shelf, for: pots, uses: 3 containers")
        .event("2026-05-28", "planting: t, is: planted out")
        .picked("2026-08-01", "planting: t, weight: 7.2 kg");
    let tomato = measures(&tomato, "t");
    assert_eq!(per(&tomato, Per::Plant), Ok((2400.0, false)));
    assert_eq!(per(&tomato, Per::Litre), Ok((160.0, false))); // three of 15 L
    // Their tops, 0.18 m², would make 39 kg of a square metre.
    assert!(matches!(per(&tomato, Per::SquareMetre), Err(WhyNot::InContainers(_))));
    let in_bed = Written::new()
        .plant(
            "2026-05-20",
            "id: t, crop: tomato, bought: 3, at: planted out, place: bed, uses: 3 containers",
        )
        .picked("2026-08-01", "planting: t, weight: 7.2 kg");
    let in_bed = measures(&in_bed, "t");
    assert!(matches!(per(&in_bed, Per::SquareMetre), Err(WhyNot::NoContainers(_))));
    assert_eq!(per(&in_bed, Per::Plant), Ok((2400.0, false)));
}

#[test]
fn company_in_the_place_withholds_the_ground_unless_it_is_shared() {
    let beans = Written::new()
        .plant("2026-05-20", "id: corn, crop: sweetcorn, bought: 8, at: planted out, place: plot")
        .picked("2026-09-01", "planting: corn, weight: 4 kg");
    assert_eq!(per(&measures(&beans, "corn"), Per::SquareMetre), Ok((400.0, false)));
    assert!(matches!(per(&measures(&beans, "corn"), Per::Litre), Err(WhyNot::NoDepth(_))));
    let company = "id: bean, crop: climbing bean, bought: 8, at: planted out, place: plot";
    let crowded = beans.clone().plant("2026-06-01", company);
    let garden = crowded.garden();
    let bean = find(&garden, "bean");
    let corn = of_planting(&garden, find(&garden, "corn"));
    assert_eq!(per(&corn, Per::SquareMetre), Err(WhyNot::NotAlone(vec![bean])));
    let shared = beans
        .plant("2026-06-01", &format!("{company}, shares-with: corn"))
        .picked("2026-09-02", "planting: bean, weight: 1 kg");
    assert_eq!(per(&measures(&shared, "corn"), Per::SquareMetre), Ok((400.0, false)));
    assert_eq!(per(&measures(&shared, "bean"), Per::SquareMetre), Ok((100.0, false)));
    assert!(matches!(measures(&shared, "bean").ground.basis, Basis::Shared(_)));
    // Whoever came when the other had gone was alone.
    let after = Written::new()
        .plant("2026-03-20", "id: a, crop: broad bean, bought: 8, at: planted out, place: plot")
        .event("2026-06-20", "planting: a, is: finished")
        .plant("2026-06-20", "id: b, crop: leek, bought: 20, at: planted out, place: plot")
        .picked("2026-11-01", "planting: b, weight: 5 kg");
    assert_eq!(per(&measures(&after, "b"), Per::SquareMetre), Ok((500.0, false)));
}

#[test]
fn a_row_is_as_wide_as_the_crop_sheet_says_and_only_about_right() {
    let sheet = "---\ncrop: beetroot\nspacing: {in-row: 10 cm, between-rows: 20-30 cm}\n---\n";
    let beet = Written::new()
        .file("crops/beetroot.md", sheet)
        .plant("2026-04-10", "id: b, crop: beetroot, sown: 40, place: bed, uses: 2 m row")
        .picked("2026-07-20", "planting: b, weight: 1 kg");
    // 2 m × 0.25 m = 0.5 m²
    assert_eq!(per(&measures(&beet, "b"), Per::SquareMetre), Ok((2000.0, true)));
    assert_eq!(measures(&beet, "b").ground.basis, Basis::Row);
}

#[test]
fn what_was_weighed_together_or_dried_is_kept_apart() {
    let together = kale().picked("2026-09-03", "planting: k, weight: 300 g");
    assert_eq!(per(&measures(&together, "k"), Per::Plant), Ok((550.0, false)));
    let together = kale()
        .plant("2026-04-02", "id: m, crop: mizuna, sown: 30, place: bed, uses: 1 m²")
        .picked("2026-09-03", "planting: [k, m], weight: 300 g");
    assert_eq!(per(&measures(&together, "k"), Per::Plant), Err(WhyNot::WeighedTogether));
    let dried = kale().picked("2026-09-03", "planting: k, weight: 60 g, cured: true");
    let dried = measures(&dried, "k");
    assert_eq!(per(&dried, Per::Plant), Ok((500.0, false)));
    assert_eq!(dried.per(Per::Plant, Weighed::Dried).map(|rate| rate.grams), Ok(10.0));
    assert_eq!(dried.sum.weighed(), Err(WhyNot::FreshAndDried));
}

/// Four of twelve go on as a planting of their own after planting out, three before it.
#[test]
fn plants_that_went_on_as_a_planting_of_their_own_are_counted_there() {
    let leeks = Written::new()
        .plant("2026-03-20", "id: l, crop: leek, sown: 20, place: shelf, for: bed")
        .event("2026-04-05", "planting: l, is: emerged, count: 15")
        .event("2026-06-01", "planting: l, is: planted out, count: 3, as: early, place: plot")
        .event("2026-06-10", "planting: l, is: planted out, count: 12, place: bed")
        .event("2026-07-01", "planting: l, is: moved, count: 4, as: moved-on, place: pots")
        .picked("2026-10-01", "planting: l, weight: 1.6 kg")
        .picked("2026-10-01", "planting: early, weight: 600 g")
        .picked("2026-10-02", "planting: moved-on, weight: 400 g");
    assert_eq!(per(&measures(&leeks, "l"), Per::Plant), Ok((200.0, false)));
    assert_eq!(per(&measures(&leeks, "early"), Per::Plant), Ok((200.0, false)));
    assert_eq!(per(&measures(&leeks, "moved-on"), Per::Plant), Ok((100.0, false)));
}

/// Four pots alone, and the ground they stand on is said: 6 kg of 1.5 m², and of 60 L.
#[test]
fn the_ground_of_containers_counts_if_it_is_said() {
    let tomato = Written::new()
        .plant(
            "2026-05-20",
            "id: t, crop: tomato, bought: 4, at: planted out, place: pots, uses: 1.5 m²",
        )
        .picked("2026-08-01", "planting: t, weight: 6 kg");
    let tomato = measures(&tomato, "t");
    assert_eq!(per(&tomato, Per::SquareMetre), Ok((4000.0, false)));
    assert_eq!(per(&tomato, Per::Litre), Ok((100.0, false)));
}

/// Five plants: 6 kg alone and 3.5 kg together with another, so 1.2 to 1.9 kg each.
#[test]
fn a_joint_picking_leaves_bounds() {
    let two = Written::new()
        .plant(
            "2026-05-20",
            "id: t, crop: tomato, bought: 5, at: planted out, place: bed, uses: 2 m²",
        )
        .plant("2026-05-20", "id: u, crop: tomato, bought: 5, at: planted out, place: plot")
        .picked("2026-08-01", "planting: t, weight: 6 kg")
        .picked("2026-08-08", "planting: [t, u], weight: 3500 g");
    let bounds = measures(&two, "t").bounds_per_plant().expect("bounds");
    assert!((bounds.0 - 1200.0).abs() < 1e-9 && (bounds.1 - 1900.0).abs() < 1e-9, "{bounds:?}");
    assert_eq!(per(&measures(&two, "t"), Per::Plant), Err(WhyNot::WeighedTogether));
    assert_eq!(measures(&two, "u").bounds_per_plant(), None, "nothing of its own was weighed");
    let unweighed = two.picked("2026-08-09", "planting: [t, u], count: 4");
    assert_eq!(measures(&unweighed, "t").bounds_per_plant(), None);
}

/// Twelve set out, eight taken by slugs on the fifth day, one lost after the first picking: 6 kg are 500 g for each that
/// was set out and 1500 g for each that bore.
#[test]
fn plants_that_bore_are_told_beside_those_that_were_set_out() {
    let lettuce = Written::new()
        .plant("2026-05-20", "id: l, crop: lettuce, bought: 12, at: planted out, place: bed")
        .event("2026-05-25", "planting: l, is: lost, count: 8, because: slugs")
        .picked("2026-07-01", "planting: l, weight: 6 kg")
        .event("2026-07-02", "planting: l, is: lost, count: 1");
    let lettuce = measures(&lettuce, "l");
    assert_eq!(per(&lettuce, Per::Plant), Ok((500.0, false)));
    assert_eq!((lettuce.bore, lettuce.per_bearing(Weighed::Fresh)), (Some(4), Some(1500.0)));
    assert_eq!(measures(&kale(), "k").bore, Some(5));
}
