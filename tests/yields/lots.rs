//! Sums under headings: peaks, mean pieces, pooled rates, losses and costs. All figures are worked by hand.

use trug::garden::model::Garden;
use trug::garden::shown::Shown;
use trug::results::yields::book::{Among, Book, Only};
use trug::results::yields::costs;
use trug::results::yields::losses::losses;
use trug::results::yields::lot::Lot;
use trug::results::yields::measures::{Per, Weighed};
use trug::results::yields::why_not::WhyNot;
use trug::units::MassUnit;

use crate::yields::written::{Written, day, find};

/// Two plantings of peas with a radish between one of them.
fn peas() -> Written {
    Written::new()
        .plant("2026-04-01", "id: p1, crop: pea, planted: 10, place: bed, uses: 2 m²")
        .plant("2026-04-01", "id: p2, crop: pea, planted: 20, place: pots, uses: 2 containers")
        .plant("2026-04-02", "id: r, crop: radish, sown: 60, place: bed, shares-with: p1")
        .picked("2026-06-01", "planting: p1, weight: 100 g, count: 10, unit: pods")
        .picked("2026-06-05", "planting: p1, weight: 300 g")
        .picked("2026-06-11", "planting: p2, weight: 200 g, count: 30, unit: pods")
        .picked("2026-06-12", "planting: p2, count: 5, unit: pods")
        .picked("2026-06-20", "planting: [p1, r], weight: 50 g")
}

fn all(garden: &Garden) -> Lot {
    Book::of(garden)
        .lots(garden, Among::All, |_| Some(()))
        .remove(&())
        .expect("something was picked")
}

fn grams(mass: trug::units::Mass) -> f64 {
    (MassUnit::Gram.measure(mass) * 1e3).round() / 1e3
}

#[test]
fn the_peak_is_the_heaviest_run_of_seven_days() {
    let lot = all(&peas().garden());
    // 1 to 7 June 400 g; 5 to 11 June 300 + 200 g; 11 June on 200 g; 20 June on 50 g.
    let peak = lot.peak.expect("four days of picking");
    assert_eq!((peak.from, grams(peak.weight)), (day("2026-06-05"), 500.0));
    let two = Written::new()
        .plant("2026-04-01", "id: p, crop: pea, planted: 10, place: bed")
        .picked("2026-06-01", "planting: p, weight: 1 kg")
        .picked("2026-06-05", "planting: p, weight: 1 kg");
    assert_eq!(all(&two.garden()).peak, None);
}

#[test]
fn a_piece_is_weighed_by_pickings_with_weight_and_number() {
    let lot = all(&peas().garden());
    // 300 g of 40 pods; the five that nobody weighed are not among them.
    let mean = lot.means[&("pods".to_owned(), Weighed::Fresh)];
    assert_eq!((grams(mean.weight), mean.pieces), (7.5, 40));
    assert_eq!((lot.sum.pickings, lot.sum.unweighed, lot.sum.uncounted), (5, 1, 2));
    let bunches = Written::new()
        .plant("2026-04-01", "id: k, crop: kale, bought: 2, at: planted out, place: bed")
        .picked("2026-06-01", "planting: k, weight: 400 g, count: 2, unit: bunches");
    assert!(all(&bunches.garden()).means.is_empty());
}

#[test]
fn what_was_partly_weighed_with_others_is_in_no_rate() {
    let garden = peas().garden();
    let rate = all(&garden).rate(Per::Plant, Weighed::Fresh).expect("the other planting");
    // p2 alone: 200 g of 20 plants; p1 shared a picking with the radish.
    assert_eq!((rate.grams, rate.plantings, rate.of), (10.0, 1, 3));
    let dried = all(&garden).rate(Per::Plant, Weighed::Dried);
    assert_eq!(dried, Err(WhyNot::NothingWeighed));
}

/// Twelve were set out, slugs took four on the fifth day: 960 g are 80 g for each that was set out, 120 g for each that bore;
/// with ten of another planting of the variety and 500 g, 1,460 g by 22 and by 18.
#[test]
fn plants_that_slugs_took_are_told_beside_those_that_bore() {
    let garden = Written::new()
        .plant(
            "2026-05-01",
            "id: a, crop: kale, variety: Curly, bought: 12, at: planted out, place: bed",
        )
        .entry("2026-05-06", "events: [{planting: a, is: lost, count: 4, because: slugs}]")
        .picked("2026-07-01", "planting: a, weight: 960 g");
    let rate = |written: &Written| all(&written.garden()).rate(Per::Plant, Weighed::Fresh).unwrap();
    let alone = rate(&garden);
    assert_eq!((alone.grams, alone.bearing), (80.0, Some(120.0)));
    let both = garden
        .plant(
            "2026-05-01",
            "id: b, crop: kale, variety: Curly, bought: 10, at: planted out, place: plot",
        )
        .picked("2026-07-02", "planting: b, weight: 500 g");
    let both = rate(&both);
    assert!(
        (both.grams - 1460.0 / 22.0).abs() < 1e-9
            && (both.bearing.unwrap() - 1460.0 / 18.0).abs() < 1e-9
    );
}

/// 10 plants gave 1,000 g alone and 5 of another variety 500 g; 300 g more were weighed together: 1,000 to 1,300 g by ten,
/// 500 to 800 g by five.
#[test]
fn varieties_that_were_weighed_together_once_have_bounds() {
    let garden = Written::new()
        .plant("2026-04-01", "id: a, crop: pea, variety: Ladder, planted: 10, place: bed")
        .plant("2026-04-01", "id: b, crop: pea, variety: Lantern, planted: 5, place: bed")
        .picked("2026-06-01", "planting: a, weight: 1000 g")
        .picked("2026-06-02", "planting: b, weight: 500 g")
        .picked("2026-06-05", "planting: [a, b], weight: 300 g")
        .garden();
    let varieties = Book::of(&garden).lots(&garden, Among::All, |picked| match picked.variety {
        Only::One(variety) => Some(variety.to_owned()),
        _ => None,
    });
    let bounds = |variety: &str| varieties[variety].bounds_per_plant.unwrap();
    assert_eq!((bounds("Ladder"), bounds("Lantern")), ((100.0, 130.0), (100.0, 160.0)));
    assert_eq!(varieties["Ladder"].rate(Per::Plant, Weighed::Fresh), Err(WhyNot::WeighedTogether));
    // What can be told needs none.
    assert_eq!(all(&peas().garden()).bounds_per_plant, None);
}

#[test]
fn ground_that_two_share_counts_once() {
    let shared = Written::new()
        .plant("2026-04-01", "id: p1, crop: pea, planted: 10, place: bed, uses: 2 m²")
        .plant("2026-04-02", "id: r, crop: radish, sown: 60, place: bed, shares-with: p1")
        .picked("2026-06-01", "planting: p1, weight: 1 kg")
        .picked("2026-05-05", "planting: r, weight: 500 g");
    let rate = all(&shared.garden()).rate(Per::SquareMetre, Weighed::Fresh).expect("both known");
    assert_eq!((rate.grams, rate.plantings), (750.0, 2)); // 1500 g of 2 m²
}

#[test]
fn a_picking_is_sorted_by_what_its_plantings_have_in_common() {
    let garden = peas().garden();
    let book = Book::of(&garden);
    let last = book.pickings(&garden).last().expect("five pickings");
    let bed = garden.find_place("bed").expect("a bed");
    assert_eq!((last.place, last.variety), (Only::One(bed), Only::Unknown));
    let apart = peas().picked("2026-06-21", "planting: [p1, p2], weight: 1 kg").garden();
    let book = Book::of(&apart);
    let last = book.pickings(&apart).last().expect("six pickings");
    assert_eq!((last.place, last.kind), (Only::Several, Only::Several));
}

#[test]
fn a_kilogram_costs_what_names_the_crop() {
    let paid = "costs: [{what: seed, price: 1.20, for: pea}, {what: netting, price: 3.00, for: p1}, \
                {what: compost, price: 9.00}, {what: hose, price: 20, for: bed}]";
    let garden = peas().entry("2026-03-01", paid).garden();
    let pea = garden.planting(find(&garden, "p1")).crop;
    assert!((costs::of_crop(&garden, pea).sum - 4.2).abs() < 1e-9);
    let book = Book::of(&garden);
    let p1 = find(&garden, "p1");
    let each = costs::per_kilogram(costs::of_planting(&garden, p1), &book.of_planting(p1).sum);
    assert!((each.expect("weighed and paid") - 7.5).abs() < 1e-9); // 3.00 for 400 g
    let p2 = find(&garden, "p2");
    let none = costs::per_kilogram(costs::of_planting(&garden, p2), &book.of_planting(p2).sum);
    assert_eq!(none, Err(WhyNot::NoCosts));
    // What still waits for its first picking is in no kilogram.
    let waiting = peas()
        .plant("2026-10-20", "id: p3, crop: pea, planted: 40, place: plot")
        .entry("2026-10-21", "costs: [{what: seed, price: 5, for: p3}]")
        .garden();
    assert_eq!(costs::of_crop(&waiting, pea).lines, 1);
    assert_eq!(costs::of_crop_so_far(&waiting, pea).lines, 0);
}

#[test]
fn losses_say_how_many_and_why() {
    let lost = peas()
        .event("2026-05-01", "planting: p1, is: lost, count: 3, because: slugs")
        .event("2026-07-01", "planting: p2, is: finished, because: mildew")
        .event("2026-07-02", "planting: p1, is: finished");
    let garden = lost.garden();
    let told: Vec<_> = losses(&garden, garden.plantings().map(|(id, _)| id))
        .into_iter()
        .map(|loss| (loss.plants.number, loss.is_end, loss.because.unwrap_or_default()))
        .collect();
    assert_eq!(
        told,
        [(Some(3), false, Shown::ours("slugs")), (Some(20), true, Shown::ours("mildew"))]
    );
}
