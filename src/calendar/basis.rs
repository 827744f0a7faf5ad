//! What all tasks of a garden rest on: its conditions, and the growing years around its season.

use crate::calendar::{self, GrowingYear};
use crate::climate::conditions::Conditions;
use crate::dates::{Period, shift};
use crate::garden::model::Garden;

/// Climate, frost, and the growing years around a season.
#[derive(Clone, Debug)]
pub struct Basis {
    /// Climate and frost.
    pub conditions: Conditions,
    /// The days of the garden's season.
    pub season: Period,
    /// The growing year in which the middle of the season lies, between its neighbours.
    pub years: [GrowingYear; 3],
}

impl Basis {
    /// The basis of a garden on its day.
    pub fn of(garden: &Garden) -> Basis {
        let conditions = Conditions::of(garden);
        let season = garden.season().days;
        let years = calendar::years_around(&conditions, shift(season.from, season.days() / 2));
        Basis { conditions, season, years }
    }
}
