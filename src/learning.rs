//! What the grower's own plantings teach: how long things take here, how much comes up, how it is picked.
//!
//! *What is learned from.* Every planting of the journal whose beginning and end of a span are both noted;
//! one whose end has not come yet says 'longer than so far' (censored). Never pooled: under cover and in
//! the open, spring and autumn, young plants and sets. Plants of one sowing that were split count once for
//! what they shared. What cannot be read is left out and never guessed (`spans.rs` says what).
//!
//! *Durations, degree days, picking interval, season length* are handled as natural logarithms `y`, in a
//! normal model of three levels (Gelman et al., *Bayesian Data Analysis*, 3rd ed., ch. 3.3 and 5.4;
//! Efron & Morris, *JASA* 70 (1975) 311–319):
//!
//! ```text
//! planting  y ~ N(θᵥ, σ²)      variety  θᵥ ~ N(m, σ²/4)      crop here  m ~ N(table, σ²)
//! σ² ~ scaled inverse χ²(4, σ₀²)
//! ```
//!
//! So the table is worth 1 planting to the crop, and the crop 4 plantings to a variety. With `n` plantings
//! of a variety, their mean `ȳ`, and `w = 4n/(4 + n)` for each of the others,
//!
//! ```text
//! P  = 1 + Σ w (others)           m₋ = (table + Σ w ȳ (others)) / P
//! κ  = 1 / (1/P + 1/4)            θ  = (κ m₋ + n ȳ) / (κ + n)
//! s² = (4σ₀² + Σ(y − θᵥ)² + 4Σ(θᵥ − m)² + (m − table)²) / (4 + N)
//! next planting: θ ± t(4 + N) · s · √(1 + 1/(κ + n))
//! ```
//!
//! where `N` counts the plantings of all varieties and `t` is Student's. The table's range is taken as the
//! 80 % interval of a planting: σ₀ is such that with no plantings the interval is the table's range. A
//! variety with a range of its own is compared with that one: `y` counts from the middle of its range.
//!
//! *Censored* values enter as normal pseudodata that have the slope and the curvature of their likelihood
//! `1 − Φ(z)`, `z = (y − θ)/σ` (BDA3 ch. 16.2; J. Tobin, *Econometrica* 26 (1958) 24–36): with
//! `λ = φ(z)/(1 − Φ(z))` the weight is `λ(λ − z)`, between 0 and 1, and the value `θ + σλ/weight`; repeated
//! until nothing moves. Their share in `s²` is the expected square `σ²(1 + zλ)` (Dempster, Laird & Rubin,
//! *JRSS B* 39 (1977) 1–38).
//!
//! *Germination* is beta-binomial, see [`germination`]. The worths (1, 4, 4) are trug's choice, no source;
//! the tests state how the intervals hold when the truth is another. Plantings of one year share their
//! weather and are yet taken as independent: that makes intervals from a single season too narrow.

pub mod estimate;
pub mod germination;
pub mod lessons;
pub mod quantity;
pub mod scores;
pub mod stand;

mod pickings;
mod posterior;
mod spans;
mod table;
#[cfg(test)]
mod trials;
mod warmth;

use std::collections::BTreeMap;

use chrono::NaiveDate;

use crate::catalogue::CropId;
use crate::climate::conditions::Conditions;
use crate::dates;
use crate::garden::model::Garden;
use crate::garden::planting::PlantingId;
use crate::learning::estimate::{Estimate, Level};
use crate::learning::germination::Tray;
use crate::learning::posterior::Sample;
use crate::learning::quantity::{Kind, Quantity, Span};
use crate::learning::spans::Wait;
use crate::names;
use crate::stages::Milestone;

/// What a garden's plantings teach, as it stands on the garden's day.
#[derive(Clone, Debug)]
pub struct Learned {
    samples: BTreeMap<(CropId, Quantity, Kind), Vec<Sample>>,
    trays: BTreeMap<(CropId, Kind), Vec<Tray>>,
    waits: Vec<Wait>,
}

impl Learned {
    /// Reads the plantings of a garden.
    pub fn of(garden: &Garden, conditions: &Conditions) -> Learned {
        let waits = spans::waits(garden);
        let tomorrow = dates::shift(garden.today, 1);
        let mut samples: BTreeMap<_, Vec<Sample>> = BTreeMap::new();
        for wait in &waits {
            let sample = wait.as_of(tomorrow);
            samples.entry(wait.group()).or_default().extend(sample);
        }
        for (group, sample) in warmth::samples(garden, conditions, &waits) {
            samples.entry(group).or_default().push(sample);
        }
        for (group, sample) in pickings::samples(garden) {
            samples.entry(group).or_default().push(sample);
        }
        samples.retain(|_, samples| !samples.is_empty());
        Learned { samples, trays: germination::trays(garden), waits }
    }

    /// What to expect of the next planting of a crop, and of a variety where it is named.
    ///
    /// The result is in the quantity's unit: days, °C·days, or a share from 0 to 1. None if there is
    /// neither a planting nor a value in the table. `kind` is that of the planting to come: where and
    /// when it begins ([`Kind::of_beginning`]).
    pub fn estimate(
        &self,
        garden: &Garden,
        crop: CropId,
        variety: Option<&str>,
        quantity: Quantity,
        kind: Kind,
    ) -> Option<Estimate> {
        let variety_key = names::folded(variety.unwrap_or_default());
        if quantity == Quantity::Germination {
            let trays = self.trays.get(&(crop, kind)).map_or(&[][..], Vec::as_slice);
            return Some(germination::estimate(trays, &variety_key));
        }
        let samples = self.samples.get(&(crop, quantity, kind)).map_or(&[][..], Vec::as_slice);
        posterior::estimate(garden.catalogue.get(crop), quantity, &variety_key, samples)
    }

    /// What to expect of a planting that has begun: the day from which it counts, and how many days from
    /// then on to a milestone.
    ///
    /// It counts from the last beginning that leads there: from planting out rather than from sowing. A
    /// planting that was split off before it had a beginning of its own counts from that of the whole. None
    /// if it has not begun, is a perennial, or nothing is known.
    pub fn expected(
        &self,
        garden: &Garden,
        planting: PlantingId,
        to: Milestone,
    ) -> Option<(NaiveDate, Estimate)> {
        let own = self.waits.iter().filter(|wait| wait.planting == planting && wait.span.to == to);
        let Some(wait) = own.max_by_key(|wait| wait.start) else {
            return self.expected(garden, garden.planting(planting).parent?, to);
        };
        let variety = garden.planting(planting).variety.as_deref();
        let quantity = Quantity::Days(wait.span);
        let estimate = self.estimate(garden, wait.crop, variety, quantity, wait.kind)?;
        Some((wait.start, estimate))
    }

    /// The kinds in which a crop was grown here, for a quantity.
    pub fn kinds(&self, crop: CropId, quantity: Quantity) -> Vec<Kind> {
        let trays = self.trays.keys().filter(|_| quantity == Quantity::Germination);
        let trays = trays.map(|(crop, kind)| (*crop, *kind));
        let samples = self.samples.keys().filter(|group| group.1 == quantity);
        let of_crop = samples.map(|(crop, _, kind)| (*crop, *kind)).chain(trays);
        of_crop.filter(|group| group.0 == crop).map(|group| group.1).collect()
    }

    /// Everything the plantings of a crop taught, in each kind of beginning: not what the table says alone.
    pub fn of_crop(&self, garden: &Garden, crop: CropId) -> Vec<(Quantity, Kind, Estimate)> {
        let spans = Span::ALL.iter();
        let others = [Quantity::Germination, Quantity::PickingInterval, Quantity::SeasonLength];
        let all = spans
            .clone()
            .map(|span| Quantity::Days(*span))
            .chain(spans.map(|span| Quantity::DegreeDays(*span)))
            .chain(others);
        let mut found = Vec::new();
        for quantity in all {
            for kind in self.kinds(crop, quantity) {
                let estimate = self.estimate(garden, crop, None, quantity, kind);
                let known = estimate.filter(|estimate| estimate.level != Level::Table);
                found.extend(known.map(|estimate| (quantity, kind, estimate)));
            }
        }
        found
    }
}
