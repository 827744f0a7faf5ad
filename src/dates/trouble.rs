//! What can be wrong with a written date: data first, words last.

/// Why a text is no date. Every `mended` is a whole text which the same reader accepts.
#[derive(Clone, Debug, PartialEq, Eq)]
pub enum Trouble {
    /// Nothing is written.
    Empty,
    /// Not in the form `2026-02-22`.
    NotADate {
        /// The same day in that form, where only one day can be meant.
        mended: Option<String>,
    },
    /// Not in the form `04-22`.
    NotAMonthDay {
        /// The same day in that form, where only one day can be meant.
        mended: Option<String>,
    },
    /// `03/04/2026`: in some countries 3 April, in others 4 March.
    Ambiguous {
        /// With the day first, written out: `3 April`.
        day_first: String,
        /// With the month first: `4 March`.
        month_first: String,
    },
    /// `22-02-26`: which of the numbers is the year, and of which century?
    ShortYear,
    /// `2026-13-01`.
    NoSuchMonth {
        /// The month as written.
        month: u32,
        /// With month and day changed over, where that is a date.
        mended: Option<String>,
    },
    /// `2026-02-30`.
    NoSuchDay {
        month: &'static str,
        /// The last day of that month.
        last: u32,
        /// That last day as a date.
        mended: Option<String>,
    },
    /// A year before 1800 or after 2200.
    YearOutOfReach {
        /// The year as written.
        year: u32,
    },
}

impl Trouble {
    /// What is wrong, for a gardener; a mended text is left to [`Trouble::mended`].
    pub fn message(&self) -> String {
        match self {
            Trouble::Empty => "nothing is written here: a date looks like `2026-02-22`".to_owned(),
            Trouble::NotADate { .. } => {
                "this is not a date: write year, month and day like `2026-02-22`".to_owned()
            }
            Trouble::NotAMonthDay { .. } => {
                "this is not a day of the year: write month and day like `04-22`".to_owned()
            }
            Trouble::Ambiguous { day_first, month_first } => format!(
                "this can be read as {day_first} or as {month_first}: write the year first, then \
                 month and day, like `2026-02-22`"
            ),
            Trouble::ShortYear => {
                "the year needs four digits: write year, month and day like `2026-02-22`".to_owned()
            }
            Trouble::NoSuchMonth { month, .. } => {
                format!("there is no month {month}: the months are 01 to 12")
            }
            Trouble::NoSuchDay { month, last, .. } => {
                format!("there is no such day: {month} has the days 1 to {last} here")
            }
            Trouble::YearOutOfReach { year } => {
                format!("the year {year} is out of reach: years from 1800 to 2200 are read")
            }
        }
    }

    /// A whole text to write instead, which the same reader accepts.
    pub fn mended(&self) -> Option<&str> {
        match self {
            Trouble::NotADate { mended }
            | Trouble::NotAMonthDay { mended }
            | Trouble::NoSuchMonth { mended, .. }
            | Trouble::NoSuchDay { mended, .. } => mended.as_deref(),
            _ => None,
        }
    }
}
