//! The garden as it was known earlier: everything is dated, so each earlier day can be built again.
//!
//! Of a day itself there are several such gardens. When it begins only its weather is known; then its
//! entries come one after the other, in the order of their paths; then the rows of picking tables.
//!
//! What is not dated (garden.yaml, crop sheets, places, mixes) counts as if it had always been as it is now,
//! and so does an entry that was written later, or changed later, than its date says.

use std::iter;

use chrono::NaiveDate;

use crate::diagnostics::problem::Problems;
use crate::garden::build::{WrittenGarden, build};
use crate::garden::model::Garden;
use crate::journal::entry::Entry;
use crate::journal::harvest::Harvest;
use crate::sheets::weather::WeatherRow;

/// A day, and how much of what is dated on it is known.
#[derive(Clone, Copy, Debug, PartialEq, Eq, PartialOrd, Ord)]
pub struct Turn {
    /// The day.
    pub day: NaiveDate,
    /// How many of its entries, and one more for its rows of picking tables.
    pub number: u32,
}

/// What was written, laid out in the order in which it became known.
#[derive(Clone, Debug)]
pub struct Past {
    /// What is not dated; its lists of dated things are empty.
    undated: WrittenGarden,
    entries: Vec<Entry>,
    pickings: Vec<(NaiveDate, Harvest)>,
    weather: Vec<WeatherRow>,
}

impl Past {
    /// Lays it out. Prose is left behind: nothing that is computed depends on it.
    pub fn of(mut written: WrittenGarden) -> Past {
        let mut entries = std::mem::take(&mut written.entries);
        for entry in &mut entries {
            entry.prose = String::new();
            entry.links.clear();
        }
        entries.sort_by(|a, b| (a.date.value, &a.path).cmp(&(b.date.value, &b.path)));
        let pickings = std::mem::take(&mut written.pickings);
        let weather = std::mem::take(&mut written.weather);
        Past { undated: written, entries, pickings, weather }
    }

    /// Every turn up to the end of `today`, newest first, back to the first entry or picking.
    pub fn turns(&self, today: NaiveDate) -> impl Iterator<Item = Turn> {
        let first_entry = self.entries.first().map(|entry| entry.date.value);
        let first_picking = self.pickings.iter().map(|(date, _)| *date).min();
        let first = first_entry.into_iter().chain(first_picking).min();
        let first = first.unwrap_or(today).min(today);
        let days = iter::successors(Some(today), NaiveDate::pred_opt);
        days.take_while(move |day| *day >= first).flat_map(|day| {
            (0..=self.last_number(day)).rev().map(move |number| Turn { day, number })
        })
    }

    /// The garden as it was known at a turn. After the last turn of a day it is the garden of that day.
    pub fn garden(&self, turn: Turn) -> Garden {
        let Turn { day, number } = turn;
        let before = self.entries.partition_point(|entry| entry.date.value < day);
        let of_day = self.entries_of(day).len();
        let known = usize::try_from(number).unwrap_or(usize::MAX);
        let is_picked = |date: NaiveDate| date < day || (date == day && known > of_day);
        let pickings = self.pickings.iter().filter(|(date, _)| is_picked(*date));
        let written = WrittenGarden {
            entries: self.entries[..before + known.min(of_day)].to_vec(),
            pickings: pickings.cloned().collect(),
            weather: self.weather.clone(),
            ..self.undated.clone()
        };
        build(written, day, &mut Problems::new())
    }

    fn entries_of(&self, day: NaiveDate) -> &[Entry] {
        let from = self.entries.partition_point(|entry| entry.date.value < day);
        let to = self.entries.partition_point(|entry| entry.date.value <= day);
        &self.entries[from..to]
    }

    fn last_number(&self, day: NaiveDate) -> u32 {
        let is_picked = self.pickings.iter().any(|(date, _)| *date == day);
        let entries = u32::try_from(self.entries_of(day).len()).unwrap_or(u32::MAX - 1);
        entries + u32::from(is_picked)
    }
}
