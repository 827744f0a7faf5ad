//! Potting mixes by parts: litres of each ingredient, bags to buy, what the store lacks.
//!
//! All volumes are loose volumes, as a bucket measures them. What a mix loses when it settles is made up for by
//! mixing more.

use crate::garden::model::Garden;
use crate::garden::place::Place;
use crate::garden::vessel;
use crate::names::folded;
use crate::settings::stock::Stock;
use crate::sheets::mix::{MixKind, MixSheet};
use crate::units::{Amount, Fill, Range, Volume, VolumeUnit};

/// A potting mix: ingredients by parts.
#[derive(Clone, Copy, Debug)]
pub struct Recipe<'a> {
    /// The sheet it stands on.
    pub sheet: &'a MixSheet,
    parts: &'a [(crate::origin::Written<String>, f64)],
    settles: f64,
}

/// So much of a mix, and what goes into it.
#[derive(Clone, Debug, PartialEq)]
pub struct Batch {
    /// What is to be filled, once the mix has settled.
    pub fill: Range<Volume>,
    /// What is to be mixed: `fill / (1 - settles)`.
    pub loose: Range<Volume>,
    /// Ingredients in the order of the recipe.
    pub ingredients: Vec<Ingredient>,
}

/// An ingredient of a batch.
#[derive(Clone, Debug, PartialEq)]
pub struct Ingredient {
    /// Its name, as the recipe has it.
    pub what: String,
    /// How much of it goes in.
    pub needed: Range<Volume>,
    /// What the store holds of it and comes in, if garden.yaml says.
    pub stored: Option<Stored>,
}

/// An ingredient in the store. All of it answers to the larger end of what is needed.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct Stored {
    /// How much there is; nothing if it is kept by weight, which no volume can be held against.
    pub there: Option<Volume>,
    /// What is lacking, if anything is.
    pub lacking: Option<Volume>,
    /// What has to be bought, where the size of a bag is known.
    pub bags: Option<Bags>,
}

/// Bags to buy.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct Bags {
    pub number: u32,
    /// What one holds.
    pub size: Volume,
    /// What is left of store and bags together when the batch is mixed.
    pub left_over: Volume,
}

/// How much mix the store is enough for.
#[derive(Clone, Debug, PartialEq)]
pub struct Enough {
    pub loose: Volume,
    /// The same when it has settled.
    pub fill: Volume,
    /// The ingredient that runs out first.
    pub runs_out: String,
}

impl<'a> Recipe<'a> {
    /// The recipe of a sheet, if it is that of a mix.
    pub fn of(sheet: &'a MixSheet) -> Option<Recipe<'a>> {
        match &sheet.is {
            MixKind::Mix { parts, settles } => Some(Recipe { sheet, parts, settles: *settles }),
            MixKind::Feed { .. } => None,
        }
    }

    /// Ingredients with their share of the whole, 0 to 1.
    pub fn shares(&self) -> impl Iterator<Item = (&'a str, f64)> {
        let all: f64 = self.parts.iter().map(|(_, parts)| parts).sum();
        self.parts.iter().map(move |(what, parts)| (what.value.as_str(), parts / all))
    }

    /// Ingredients with their number of parts, as written.
    pub fn parts(&self) -> impl Iterator<Item = (&'a str, f64)> {
        self.parts.iter().map(|(what, parts)| (what.value.as_str(), *parts))
    }

    /// The share of its volume that it loses by settling, 0 to 1.
    pub fn settles(&self) -> f64 {
        self.settles
    }

    /// What goes into as much of it as is to be filled, against what is in the store.
    pub fn batch(&self, fill: Range<Volume>, stock: &[Stock]) -> Batch {
        let loose = fill.map(|volume| volume / (1.0 - self.settles));
        let ingredient = |(what, share): (&str, f64)| {
            let needed = loose.map(|volume| volume * share);
            let stored = in_store(what, stock).map(|kept| stored(kept, needed.high));
            Ingredient { what: what.to_owned(), needed, stored }
        };
        Batch { fill, loose, ingredients: self.shares().map(ingredient).collect() }
    }

    /// How much of it can be mixed from the store; nothing unless every ingredient is kept there by volume.
    pub fn enough_for(&self, stock: &[Stock]) -> Option<Enough> {
        let mut least: Option<(Volume, &str)> = None;
        for (what, share) in self.shares() {
            let there = in_store(what, stock)?.there?;
            let loose = there / share;
            if least.is_none_or(|(volume, _)| loose < volume) {
                least = Some((loose, what));
            }
        }
        let (loose, runs_out) = least?;
        let fill = loose * (1.0 - self.settles);
        Some(Enough { loose, fill, runs_out: runs_out.to_owned() })
    }
}

/// What is bought as it is: it is all that goes in.
pub fn as_it_is(name: &str, fill: Range<Volume>, stock: &[Stock]) -> Batch {
    let stored = in_store(name, stock).map(|kept| stored(kept, fill.high));
    Batch {
        fill,
        loose: fill,
        ingredients: vec![Ingredient { what: name.to_owned(), needed: fill, stored }],
    }
}

/// The store once this has been mixed from it, with the bags that were bought for it.
pub fn used_up(batch: &Batch, stock: &[Stock]) -> Vec<Stock> {
    let nothing = VolumeUnit::Litre.of(0.0);
    let mut left = stock.to_vec();
    for ingredient in &batch.ingredients {
        let Some(Stored { there: Some(there), bags, .. }) = ingredient.stored else { continue };
        let rest = bags.map_or(there - ingredient.needed.high, |bags| bags.left_over);
        let mut rest = Some(if rest > nothing { rest } else { nothing });
        let lines = left.iter_mut();
        for line in lines.filter(|line| folded(&line.what.value) == folded(&ingredient.what)) {
            line.amount = Amount::Volume(rest.take().unwrap_or(nothing));
        }
    }
    left
}

/// A mix or feed by its name or the name of its file.
pub fn find<'a>(garden: &'a Garden, name: &str) -> Option<&'a MixSheet> {
    garden.mixes.iter().find(|sheet| is_called(sheet, name))
}

/// Whether a mix or feed is called so.
pub fn is_called(sheet: &MixSheet, name: &str) -> bool {
    let name = folded(name);
    folded(&sheet.name.value) == name || folded(&sheet.stem) == name
}

/// What something to be filled takes.
pub fn to_fill(fill: Fill) -> Range<Volume> {
    match fill {
        Fill::Volume(volume) => Range::single(volume),
        Fill::Pots { count, pot } => vessel::pot_range(pot).map(|one| one * f64::from(count)),
    }
}

/// What the containers of a place take, or the soil of a bed; nothing if no sizes tell.
pub fn to_fill_place(place: &Place) -> Option<Range<Volume>> {
    let containers = f64::from(place.containers.unwrap_or(1));
    let of_vessels = place.vessel.map(|vessel| vessel.holds.map(|one| one * containers));
    of_vessels.or(place.soil_volume.map(Range::single))
}

/// Both together.
pub fn and(a: Range<Volume>, b: Range<Volume>) -> Range<Volume> {
    Range { low: a.low + b.low, high: a.high + b.high }
}

/// The lines of the store about one thing, together.
#[derive(Clone, Copy)]
struct Kept {
    there: Option<Volume>,
    bag: Option<Volume>,
}

fn in_store(what: &str, stock: &[Stock]) -> Option<Kept> {
    let mut found = None;
    for line in stock.iter().filter(|line| folded(&line.what.value) == folded(what)) {
        let before = found.unwrap_or(Kept { there: Some(VolumeUnit::Litre.of(0.0)), bag: None });
        found = Some(Kept {
            there: before.there.zip(by_volume(line.amount)).map(|(before, more)| before + more),
            bag: line.bag.and_then(by_volume).or(before.bag),
        });
    }
    found
}

fn by_volume(amount: Amount) -> Option<Volume> {
    match amount {
        Amount::Volume(volume) => Some(volume),
        Amount::Mass(_) => None,
    }
}

fn stored(kept: Kept, needed: Volume) -> Stored {
    let nothing = VolumeUnit::Litre.of(0.0);
    let lacking = kept.there.map(|there| needed - there).filter(|lack| *lack > nothing);
    let bags = kept.bag.zip(kept.there).zip(lacking).map(|((size, there), lack)| {
        // A bag too many would be bought for a rounding error without this.
        let number =
            (VolumeUnit::Litre.measure(lack) / VolumeUnit::Litre.measure(size) - 1e-9).ceil();
        Bags { number: number as u32, size, left_over: there + size * number - needed }
    });
    Stored { there: kept.there, lacking, bags }
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::origin::{Origin, Written};
    use crate::units;
    use proptest::prelude::*;

    fn mix(parts: &[(&str, f64)], settles: f64) -> MixSheet {
        let written = |text: &str| Written::new(text.to_owned(), Origin::Nowhere);
        let parts = parts.iter().map(|(what, parts)| (written(what), *parts)).collect();
        MixSheet {
            name: written("a mix"),
            stem: "a-mix".to_owned(),
            is: MixKind::Mix { parts, settles },
            manure: None,
            prose: String::new(),
        }
    }

    fn stock(lines: &[(&str, &str, Option<&str>)]) -> Vec<Stock> {
        let line = |(what, amount, bag): &(&str, &str, Option<&str>)| Stock {
            what: Written::new((*what).to_owned(), Origin::Nowhere),
            amount: units::amount(amount).unwrap(),
            bag: bag.map(|bag| units::amount(bag).unwrap()),
        };
        lines.iter().map(line).collect()
    }

    fn litres(volume: Volume) -> f64 {
        VolumeUnit::Litre.measure(volume)
    }

    fn single(litres: f64) -> Range<Volume> {
        Range::single(VolumeUnit::Litre.of(litres))
    }

    fn assert_near(ours: f64, by_hand: f64) {
        assert!((ours - by_hand).abs() < 1e-9, "{ours} is not {by_hand}");
    }

    /// By hand: 90 L settled at 10 % are 100 L loose; of 5 parts one is 20 L. The store has 15 L perlite of the
    /// 20 L, a bag of 10 L covers the rest and leaves 5 L.
    #[test]
    fn parts_become_litres_and_bags() {
        let sheet = mix(&[("compost", 3.0), ("perlite", 1.0), ("sand", 1.0)], 0.1);
        let recipe = Recipe::of(&sheet).unwrap();
        let stock = stock(&[
            ("Compost", "40 L", Some("50 L")),
            ("compost", "10 L", None),
            ("perlite", "15 L", Some("10 L")),
            ("sand", "25 kg", Some("25 kg")),
        ]);
        let batch = recipe.batch(single(90.0), &stock);
        assert_near(litres(batch.loose.high), 100.0);
        let needed: Vec<f64> = batch.ingredients.iter().map(|one| litres(one.needed.low)).collect();
        assert_near(needed[0], 60.0);
        assert_near(needed[1], 20.0);
        assert_near(needed[2], 20.0);

        let compost = batch.ingredients[0].stored.unwrap();
        assert_near(litres(compost.there.unwrap()), 50.0);
        assert_near(litres(compost.lacking.unwrap()), 10.0);
        let bags = compost.bags.unwrap();
        assert_eq!(bags.number, 1);
        assert_near(litres(bags.left_over), 40.0);
        let bags = batch.ingredients[1].stored.unwrap().bags.unwrap();
        assert_eq!(bags.number, 1);
        assert_near(litres(bags.left_over), 5.0);
        // Sand is kept by weight: nothing is said of whether it is enough.
        let sand = batch.ingredients[2].stored.unwrap();
        assert_eq!((sand.there, sand.lacking, sand.bags), (None, None, None));
        assert_eq!(recipe.enough_for(&stock), None);
    }

    /// By hand: of 15 L perlite in two lines 10 L go; of 5 L sand 8 L are wanted, and a bag of 10 L leaves 7 L.
    #[test]
    fn what_was_mixed_is_gone() {
        let sheet = mix(&[("perlite", 10.0), ("sand", 8.0), ("bark", 2.0)], 0.0);
        let recipe = Recipe::of(&sheet).unwrap();
        let stock = stock(&[
            ("perlite", "9 L", None),
            ("Perlite", "6 L", None),
            ("sand", "5 L", Some("10 L")),
            ("bark", "1 L", None),
        ]);
        let left = used_up(&recipe.batch(single(20.0), &stock), &stock);
        let next = recipe.batch(single(1.0), &left);
        let there: Vec<f64> =
            next.ingredients.iter().map(|one| litres(one.stored.unwrap().there.unwrap())).collect();
        [5.0, 7.0, 0.0].iter().zip(there).for_each(|(by_hand, ours)| assert_near(ours, *by_hand));
    }

    /// By hand: 50 L compost are enough for 50 / 0.75 = 66.7 L, 10 L perlite for 10 / 0.25 = 40 L.
    #[test]
    fn the_store_is_enough_until_the_first_runs_out() {
        let sheet = mix(&[("compost", 3.0), ("perlite", 1.0)], 0.2);
        let recipe = Recipe::of(&sheet).unwrap();
        let enough =
            recipe.enough_for(&stock(&[("compost", "50 L", None), ("perlite", "10 L", None)]));
        let enough = enough.unwrap();
        assert_eq!(enough.runs_out, "perlite");
        assert_near(litres(enough.loose), 40.0);
        assert_near(litres(enough.fill), 32.0);
    }

    /// 24 pots of 2 L are 48 L; in gallons, 6 pots of a gallon are 6 gal = 22.712 L (NIST Handbook 44).
    #[test]
    fn what_is_filled_is_told_in_pots_or_litres() {
        let fill = |text: &str| to_fill(units::fill(text).unwrap());
        assert_near(litres(fill("24 x 2 L pot").high), 48.0);
        assert!((litres(fill("6 x 1 gal pot").low) - 22.712_470_704).abs() < 1e-9);
        let small = fill("24 x 9 cm pot");
        // 24 · 0.729 L · 0.37 and 0.55
        assert_near(litres(small.low), 6.473_52);
        assert_near(litres(small.high), 9.622_8);
        assert_near(litres(and(small, fill("40 L")).low), 46.473_52);
    }

    proptest! {
        /// What goes in is what is to be mixed, and bags with the store are always enough and never one too many.
        #[test]
        fn nothing_is_lost_and_no_bag_is_too_many(
            parts in proptest::collection::vec(1_u32..20, 1..6),
            settles in 0_u32..50,
            fill in 1_u32..5000,
            there in 0_u32..500,
            size in 1_u32..100,
        ) {
            let names: Vec<String> = (0..parts.len()).map(|n| format!("i{n}")).collect();
            let list: Vec<(&str, f64)> =
                names.iter().map(String::as_str).zip(parts.iter().map(|n| f64::from(*n))).collect();
            let sheet = mix(&list, f64::from(settles) / 100.0);
            let recipe = Recipe::of(&sheet).unwrap();
            let (there_l, size_l) = (format!("{there} L"), format!("{size} L"));
            let stock = stock(&[("i0", there_l.as_str(), Some(size_l.as_str()))]);
            let batch = recipe.batch(single(f64::from(fill)), &stock);
            let sum: f64 = batch.ingredients.iter().map(|one| litres(one.needed.high)).sum();
            prop_assert!((sum - litres(batch.loose.high)).abs() < 1e-6);
            let settled = litres(batch.loose.high) * (1.0 - f64::from(settles) / 100.0);
            prop_assert!((settled - f64::from(fill)).abs() < 1e-6);
            let stored = batch.ingredients[0].stored.unwrap();
            if let Some(bags) = stored.bags {
                let left = litres(bags.left_over);
                prop_assert!(left > -1e-6 && left < f64::from(size) + 1e-6, "{left}");
            } else {
                prop_assert!(litres(batch.ingredients[0].needed.high) <= f64::from(there) + 1e-6);
            }
        }
    }
}
