//! Germination tests, and which seed each of them was about.
//!
//! A test names its seed in the grower's words: 'leek seed 2023', 'beans, Pieter 2025', 'kale-24 seed'. These are
//! compared with the packets word by word. A planting's id means seed saved from it. A year decides: a packet of
//! another year is another seed. What fits packets of two crops alike is left open rather than guessed.

use std::collections::BTreeSet;

use chrono::Datelike;
use statrs::distribution::{Beta, ContinuousCDF};

use crate::catalogue::CropId;
use crate::garden::model::Garden;
use crate::garden::shown::Shown;
use crate::names::folded;
use crate::raising::seeds::packets::Packet;

/// A test, and the seed it was about.
#[derive(Clone, Debug, PartialEq)]
pub struct Trial {
    /// Which of the garden's tests.
    pub test: usize,
    pub seed: Option<TestedSeed>,
}

/// The seed that a test was about, as far as its words tell.
#[derive(Clone, Debug, PartialEq)]
pub struct TestedSeed {
    pub crop: CropId,
    /// The variety, where it can only be one.
    pub variety: Option<Shown>,
    /// The packet, where it can only be one.
    pub packet: Option<usize>,
    /// The year of the seed, where it is told.
    pub year: Option<u32>,
}

impl TestedSeed {
    /// Full years of the seed in a calendar year.
    pub fn age_in(&self, year: i32) -> Option<i64> {
        self.year.map(|printed| i64::from(year) - i64::from(printed))
    }
}

/// The 80 % interval of the share of all seeds of a packet of which `sprouted` of `tried` came up: Jeffreys'
/// interval, Beta(x + ½, n − x + ½), open to 0 or 1 where none or all did (L. Brown, T. Cai and A. DasGupta,
/// *Statistical Science* 16 (2001) 101–133).
pub fn interval(tried: u32, sprouted: u32) -> (f64, f64) {
    let (tried, sprouted) = (f64::from(tried), f64::from(sprouted.min(tried)));
    let Ok(beta) = Beta::new(sprouted + 0.5, tried - sprouted + 0.5) else { return (0.0, 1.0) };
    let low = if sprouted == 0.0 { 0.0 } else { beta.inverse_cdf(0.1) };
    let high = if sprouted == tried { 1.0 } else { beta.inverse_cdf(0.9) };
    (low, high)
}

/// Words that tell nothing of which seed it is.
const EMPTY_WORDS: &[&str] = &["seed", "from", "of", "the", "my", "our", "own", "saved", "at"];

/// All tests with their seed, in the garden's order.
pub(super) fn of(garden: &Garden, packets: &[Packet]) -> Vec<Trial> {
    let of_test = |(index, _)| Trial { test: index, seed: tested(garden, packets, index) };
    garden.tests.iter().enumerate().map(of_test).collect()
}

fn tested(garden: &Garden, packets: &[Packet], test: usize) -> Option<TestedSeed> {
    let text = garden.tests[test].seed.compared(folded);
    if let Some(parent) = saved_from(garden, &text) {
        let planting = garden.planting(parent);
        // Seed is ripe in the year in which its parent was picked or cleared.
        let year =
            planting.finished.map(|day| day.year()).and_then(|year| u32::try_from(year).ok());
        return Some(TestedSeed {
            crop: planting.crop,
            variety: planting.variety.clone(),
            packet: packets.iter().position(|packet| {
                packet
                    .from
                    .as_deref()
                    .is_some_and(|from| folded(from).contains(&folded(&planting.id)))
            }),
            year,
        });
    }
    let words = words(&text);
    let year = words.iter().find_map(|word| year(word));
    let of_year = |packet: &Packet| year.is_none() || packet.year.is_none() || packet.year == year;
    let scored = packets.iter().enumerate().filter(|(_, packet)| of_year(packet));
    let scored: Vec<(usize, u32)> = scored
        .map(|(index, packet)| (index, score(garden, packet, &words, &text)))
        .filter(|(_, score)| *score > 0)
        .collect();
    let best = scored.iter().map(|(_, score)| *score).max();
    let Some(best) = best else { return by_crop_alone(garden, &words, year) };
    let best: Vec<usize> =
        scored.iter().filter(|(_, score)| *score == best).map(|(index, _)| *index).collect();
    let crop = packets[best[0]].crop;
    if best.iter().any(|index| packets[*index].crop != crop) {
        return None;
    }
    let variety = &packets[best[0]].variety;
    let is_one_variety = best.iter().all(|index| packets[*index].variety == *variety);
    Some(TestedSeed {
        crop,
        variety: variety.clone().filter(|_| is_one_variety),
        packet: (best.len() == 1).then(|| best[0]),
        year: year.or(packets[best[0]].year.filter(|_| best.len() == 1)),
    })
}

/// The planting whose id stands in the text.
fn saved_from(garden: &Garden, text: &str) -> Option<crate::garden::planting::PlantingId> {
    let is_split = |char: char| char.is_whitespace() || ",;:()'\"".contains(char);
    text.split(is_split).filter(|word| !word.is_empty()).find_map(|word| garden.find_planting(word))
}

/// A crop of which something was grown here, though no packet of it is known.
fn by_crop_alone(
    garden: &Garden,
    words: &BTreeSet<String>,
    year: Option<u32>,
) -> Option<TestedSeed> {
    let grown: BTreeSet<CropId> = garden.plantings().map(|(_, planting)| planting.crop).collect();
    let score = |id: &CropId| crop_score(garden, *id, words);
    let best = grown.iter().map(score).max().filter(|best| *best > 0)?;
    let mut found = grown.iter().filter(|id| score(id) == best);
    let crop = *found.next()?;
    let is_one = found.next().is_none();
    is_one.then_some(TestedSeed { crop, variety: None, packet: None, year })
}

/// How many words tell of a packet; none if its crop and its variety are not among them.
fn score(garden: &Garden, packet: &Packet, words_of_test: &BTreeSet<String>, text: &str) -> u32 {
    let crop = crop_score(garden, packet.crop, words_of_test);
    let variety = packet.variety.as_deref().map(folded);
    let variety = variety.filter(|name| text.contains(name.as_str()));
    if crop == 0 && variety.is_none() {
        return 0;
    }
    let from = words(&folded(packet.from.as_deref().unwrap_or_default()));
    let from = from.intersection(words_of_test).count() as u32;
    crop + 4 * u32::from(variety.is_some()) + 2 * from
}

fn crop_score(garden: &Garden, crop: CropId, words_of_test: &BTreeSet<String>) -> u32 {
    let crop = garden.catalogue.get(crop);
    let names = std::iter::once(&crop.name).chain(&crop.also_called);
    let common = |name: &String| words(&folded(name)).intersection(words_of_test).count() as u32;
    names.map(common).max().unwrap_or(0)
}

/// The words of a text without their plural, and without those that tell nothing.
fn words(text: &str) -> BTreeSet<String> {
    let words = text.split(|char: char| !char.is_alphanumeric()).filter(|word| !word.is_empty());
    words.map(singular).filter(|word| !EMPTY_WORDS.contains(&word.as_str())).collect()
}

/// `beans` → `bean`, `tomatoes` → `tomato`, `chillies` → `chilli`
fn singular(word: &str) -> String {
    let stem = match word.strip_suffix("oes") {
        Some(stem) => return format!("{stem}o"),
        None => word.strip_suffix("lies").map(|stem| format!("{stem}li")),
    };
    stem.or_else(|| word.strip_suffix('s').filter(|stem| stem.len() > 2).map(str::to_owned))
        .unwrap_or_else(|| word.to_owned())
}

fn year(word: &str) -> Option<u32> {
    word.parse().ok().filter(|year| (1900..=2200).contains(year))
}

#[cfg(test)]
mod tests {
    use super::*;

    /// Judge: `scipy.stats.beta` (`tests/judges/make_reference/seed_numbers.py`). Within 1e-5: statrs looks for
    /// its quantiles by halving.
    #[test]
    fn the_interval_of_a_test_as_scipy_has_it() {
        let table = include_str!("../../../tests/reference/seed_tests.csv");
        assert!(table.lines().count() > 8);
        for line in table.lines().skip(1) {
            let row: Vec<f64> = line.split(',').map(|cell| cell.parse().unwrap()).collect();
            let (low, high) = interval(row[0] as u32, row[1] as u32);
            assert!(
                (low - row[2]).abs() < 1e-5 && (high - row[3]).abs() < 1e-5,
                "{line}: {low} {high}"
            );
        }
    }

    #[test]
    fn words_without_their_plural() {
        let found = words("tomatoes, chillies and beans of 2023; peas");
        let wanted = ["tomato", "chilli", "and", "bean", "2023", "pea"];
        assert_eq!(found, wanted.map(str::to_owned).into_iter().collect());
        assert_eq!(year("2023"), Some(2023));
        assert_eq!(year("24"), None);
    }
}
