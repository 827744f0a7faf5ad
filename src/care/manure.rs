//! Manure and the like: raw, or composted.

use crate::care::mixes::is_called;
use crate::garden::model::Garden;
use crate::names::folded;
use crate::sheets::mix::{Manure, MixKind};

/// Words for what animals leave (common practice, no source).
const MANURE: [&str; 8] =
    ["manure", "muck", "dung", "droppings", "slurry", "litter", "farmyard", "fym"];

/// Words for manure that was composted or heated. Aged manure is not: 7 CFR 205.203(c) asks for composting.
const COMPOSTED: [&str; 6] = ["composted", "rotted", "compost", "pelleted", "pellets", "heated"];

/// The class of a product: by the sheet of the mix or feed, else by its words.
pub(crate) fn class_of(garden: &Garden, product: &str) -> Option<Manure> {
    let Some(mix) = garden.mixes.iter().find(|mix| is_called(mix, product)) else {
        return by_words(product);
    };
    let parts = match &mix.is {
        MixKind::Mix { parts, .. } => parts.as_slice(),
        MixKind::Feed { .. } => &[],
    };
    let in_it = || parts.iter().filter_map(|(name, _)| by_words(&name.value));
    mix.manure.or_else(|| by_words(product)).or_else(|| in_it().max())
}

/// Whether it is raw manure.
pub(crate) fn is_raw(garden: &Garden, product: Option<&str>) -> bool {
    product.and_then(|product| class_of(garden, product)) == Some(Manure::Raw)
}

/// Green manure is a crop.
fn by_words(product: &str) -> Option<Manure> {
    let product = folded(product);
    let words: Vec<&str> = product.split(|sign: char| !sign.is_alphanumeric()).collect();
    let has = |list: &[&str]| words.iter().any(|word| list.contains(word));
    let is_green = words.windows(2).any(|pair| pair == ["green", "manure"]);
    match has(&MANURE) && !is_green {
        true if has(&COMPOSTED) => Some(Manure::Composted),
        true => Some(Manure::Raw),
        false => None,
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn words_tell_raw_from_composted() {
        for raw in ["fresh horse muck", "cow manure", "Chicken-litter", "aged manure"] {
            assert_eq!(by_words(raw), Some(Manure::Raw), "{raw}");
        }
        for composted in
            ["well-rotted manure", "composted farmyard manure", "pelleted chicken manure"]
        {
            assert_eq!(by_words(composted), Some(Manure::Composted), "{composted}");
        }
        for other in ["green manure", "garden compost", "leaf-feed"] {
            assert_eq!(by_words(other), None, "{other}");
        }
    }
}
