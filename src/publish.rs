//! The whole trip: what was written → the garden → what is computed → pages → bytes.
//!
//! It runs in memory: files, theme and day are handed in, pages go into a
//! [`Sink`](crate::render::sink::Sink). Nothing below asks the clock, the environment or the disk.

use chrono::{DateTime, NaiveDate, Utc};

use crate::diagnostics::problem::{Problem, Problems};
use crate::garden::build::build;
use crate::garden::model::Garden;
use crate::reading;
use crate::source::files::Files;

/// Everything a trip starts from.
#[derive(Debug)]
pub struct Inputs {
    /// The content folder.
    pub content: Files,
    /// The theme: the built-in one, with files of a theme folder laid over it.
    pub theme: Files,
    /// The day that is computed for.
    pub day: Day,
}

/// The day that is computed for.
#[derive(Clone, Copy, Debug)]
pub enum Day {
    /// This day.
    Fixed(NaiveDate),
    /// The day it is at this moment in the garden's time zone.
    At(DateTime<Utc>),
}

impl Day {
    fn in_zone(self, zone: chrono_tz::Tz) -> NaiveDate {
        match self {
            Day::Fixed(date) => date,
            Day::At(moment) => moment.with_timezone(&zone).date_naive(),
        }
    }
}

/// Reads and checks everything; writes nothing.
pub fn proof(inputs: &Inputs) -> (Garden, Vec<Problem>) {
    let mut problems = Problems::new();
    let garden = read_garden(inputs, &mut problems);
    (garden, problems.into_sorted())
}

fn read_garden(inputs: &Inputs, problems: &mut Problems) -> Garden {
    let written = reading::read_all(&inputs.content, problems);
    let today = inputs.day.in_zone(written.settings.position.time_zone);
    build(written, today, problems)
}
