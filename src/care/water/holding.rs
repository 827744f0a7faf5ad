//! How much of the water in soil or mix a plant can take.

use crate::care::water::estimate::Estimate;
use crate::names::folded;

/// What soil of a place is taken to be, and the water in it that plants can take.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct Holding {
    /// What it is taken to be.
    pub taken_as: SoilKind,
    /// Between drained and wilting, as a share of the volume.
    pub share: Estimate,
}

/// What soil is taken to be.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub enum SoilKind {
    /// A texture that the grower named.
    Loam,
    /// Likewise.
    Sand,
    /// Likewise.
    Clay,
    /// Likewise.
    Silt,
    /// Soil of which nobody wrote what it is.
    Unnamed,
    Mix,
}

/// FAO-56 table 19, θFC − θWP in m³/m³: rows loam, sand, clay and silt, read; a soil without a name may be any.
const TEXTURES: [(&str, SoilKind, Estimate); 4] = [
    ("loam", SoilKind::Loam, Estimate::between(0.13, 0.18)),
    ("sand", SoilKind::Sand, Estimate::between(0.05, 0.11)),
    ("clay", SoilKind::Clay, Estimate::between(0.12, 0.20)),
    ("silt", SoilKind::Silt, Estimate::between(0.16, 0.20)),
];
const ANY_SOIL: Estimate = Estimate::between(0.05, 0.20);

/// Available water of container substrates after drainage: Southern Nursery Association, *Best Management
/// Practices* (Yeager et al. 2007), 25–35 % of the volume, from memory. An assumption for any mix: what is in it
/// moves it, and so does the height of the pot.
const MIX: Estimate = Estimate::between(0.25, 0.35);

/// What a place's soil holds; `soil` in the grower's words, and what stands in a container without a word is mix.
pub fn of(soil: Option<&str>, is_container: bool) -> Holding {
    let Some(word) = soil.map(folded) else {
        return match is_container {
            true => Holding { taken_as: SoilKind::Mix, share: MIX },
            false => Holding { taken_as: SoilKind::Unnamed, share: ANY_SOIL },
        };
    };
    let texture = TEXTURES.iter().find(|(name, ..)| *name == word);
    match texture {
        Some((_, taken_as, share)) => Holding { taken_as: *taken_as, share: *share },
        None => Holding { taken_as: SoilKind::Mix, share: MIX },
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    /// Source: FAO-56 table 19, read.
    #[test]
    fn table_19() {
        let loam = of(Some("Loam"), false);
        assert_eq!((loam.share.low, loam.share.high), (0.13, 0.18));
        assert_eq!(of(Some("sand"), true).share.high, 0.11);
        assert_eq!(of(Some("potting-mix"), true).taken_as, SoilKind::Mix);
        assert_eq!(of(None, true).taken_as, SoilKind::Mix);
        assert_eq!(of(None, false).taken_as, SoilKind::Unnamed);
    }
}
