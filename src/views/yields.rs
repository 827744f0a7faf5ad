//! Sums of pickings as they are shown.

use chrono::NaiveDate;
use serde::Serialize;

use crate::agronomy::yields::Yield;
use crate::units::System;
use crate::views::amount::Amount;

/// A sum of pickings.
#[derive(Clone, Debug, PartialEq, Serialize)]
pub struct YieldView {
    /// Fresh weight.
    pub fresh: Option<Amount>,
    /// Weight after drying.
    pub cured: Option<Amount>,
    /// Numbers by what was counted.
    pub counts: Vec<Amount>,
    /// How many pickings.
    pub pickings: u32,
    /// How many of them nobody weighed.
    pub unweighed: u32,
    /// The first day.
    pub first: Option<NaiveDate>,
    /// The last day.
    pub last: Option<NaiveDate>,
}

impl YieldView {
    /// A sum as it is shown in the garden's units.
    pub fn new(sum: &Yield, system: System) -> YieldView {
        YieldView {
            fresh: sum.fresh.map(|mass| Amount::mass(mass, system)),
            cured: sum.cured.map(|mass| Amount::mass(mass, system)),
            counts: sum.counts.iter().map(|(unit, number)| Amount::count(*number, unit)).collect(),
            pickings: sum.pickings,
            unweighed: sum.unweighed,
            first: sum.first,
            last: sum.last,
        }
    }
}
