//! Plots as values: geometry from `charts`, rounded amounts, and the words that tell the same to who cannot see them.

pub mod dots;
pub mod months;
pub mod seasons;

use serde::Serialize;

use crate::charts::axis::Tick;
use crate::site::amount::{Amount, decimals};
use crate::site::message::Message;
use crate::units::{MassUnit, System};

/// What every plot says besides what it draws.
#[derive(Clone, Debug, PartialEq, Serialize)]
pub struct PlotWords {
    /// What it shows; unique on a page together with `id`.
    pub title: Message,
    /// Unit and what is counted.
    pub unit: Message,
    /// What there is to see, sentence by sentence, for who cannot see it.
    pub told: Vec<Message>,
    /// The beginning of the ids on the page that belong to it.
    pub id: String,
}

/// A round value along an axis.
#[derive(Clone, Debug, PartialEq, Serialize)]
pub struct Mark {
    pub at: f64,
    /// The value; the last has the unit, the others have none.
    pub label: Amount,
    /// Whether it is the last.
    pub is_last: bool,
}

/// A unit of weight for a whole plot, by the largest value in it.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub struct PlotUnit(MassUnit);

impl PlotUnit {
    /// The unit that suits the largest of these, in grams.
    pub fn of(grams: impl IntoIterator<Item = f64>, system: System) -> PlotUnit {
        let largest = grams.into_iter().fold(0.0, f64::max);
        PlotUnit(system.mass_unit(MassUnit::Gram.of(largest)))
    }

    /// Grams in it.
    pub fn measure(self, grams: f64) -> f64 {
        self.0.measure(MassUnit::Gram.of(grams))
    }

    /// Round values as they are written along an axis.
    pub fn marks(self, ticks: &[Tick], places: usize) -> Vec<Mark> {
        let mark = |(index, tick): (usize, &Tick)| {
            let is_last = index + 1 == ticks.len();
            let unit = if is_last { self.0.symbol() } else { "" };
            let number = decimals(tick.value, places);
            let label = Amount { number, unit: unit.to_owned(), about: false };
            Mark { at: tick.at, label, is_last }
        };
        ticks.iter().enumerate().map(mark).collect()
    }
}

/// Grams as they are shown.
pub fn weight(grams: f64, system: System) -> Amount {
    Amount::mass(MassUnit::Gram.of(grams), system)
}
