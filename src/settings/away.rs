//! When the grower is away, and who looks after the garden then.

use chrono::NaiveDate;

use crate::dates::{self, MonthDay};
use crate::diagnostics::codes::Code;
use crate::diagnostics::problem::{Problem, Problems};
use crate::source::fields::Fields;
use crate::source::front_matter::Map;

/// Days on which the grower is away.
#[derive(Clone, Debug)]
pub struct Away {
    /// First day: of a certain year, or of every year.
    pub from: AwayDay,
    /// Last day.
    pub to: AwayDay,
    /// Who looks after the garden.
    pub helper: Option<String>,
}

/// A day of a certain year, or of every year.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub enum AwayDay {
    /// Of a certain year.
    Date(NaiveDate),
    Yearly(MonthDay),
}

pub(super) fn read(map: &Map, problems: &mut Problems) -> Option<Away> {
    let mut fields = Fields::new(map, "a line under away", problems);
    let from = fields.read("from", problems, away_day);
    let from = fields.demand("from", from, "08-01");
    let to = fields.read("to", problems, away_day);
    let to = fields.demand("to", to, "08-14");
    let helper = fields.text("helper", problems).map(|helper| helper.value);
    fields.finish(problems);
    let (from, to) = (from?, to?);
    let same_kind = matches!(
        (from.value, to.value),
        (AwayDay::Date(_), AwayDay::Date(_)) | (AwayDay::Yearly(_), AwayDay::Yearly(_))
    );
    let is_backwards = matches!(
        (from.value, to.value), (AwayDay::Date(from), AwayDay::Date(to)) if from > to
    );
    if !same_kind || is_backwards {
        problems.add(
            Problem::new(Code::BadDate, to.at, "`to` should be a day after `from`")
                .also(from.at, "from")
                .hint("write both as 08-01 (every year) or both as 2026-08-01"),
        );
        return None;
    }
    Some(Away { from: from.value, to: to.value, helper })
}

fn away_day(text: &str) -> Result<AwayDay, dates::Trouble> {
    if text.len() <= 5 {
        dates::month_day(text).map(AwayDay::Yearly)
    } else {
        dates::date(text).map(AwayDay::Date)
    }
}
