//! The readers of `2026-02-22` and `04-22`.

use chrono::{Datelike, NaiveDate};

use crate::dates::guess::{MONTHS, Meant, meant};
use crate::dates::{MonthDay, Trouble, shift};

/// The years that are read.
const YEARS: std::ops::RangeInclusive<u32> = 1800..=2200;

/// Reads a date in the form `2026-02-22`, of the years 1800 to 2200.
///
/// ```
/// use trug::dates;
/// assert_eq!(dates::date("2026-02-22").unwrap().to_string(), "2026-02-22");
/// assert_eq!(dates::date("2026-02-30").unwrap_err().mended(), Some("2026-02-28"));
/// assert_eq!(dates::date("22 Feb 2026").unwrap_err().mended(), Some("2026-02-22"));
/// assert_eq!(dates::date("03/04/2026").unwrap_err().mended(), None);
/// ```
pub fn date(text: &str) -> Result<NaiveDate, Trouble> {
    let text = text.trim();
    if text.is_empty() {
        return Err(Trouble::Empty);
    }
    if let Some([year, month, day]) = digits(text, [4, 2, 2]) {
        return full(year, month, day);
    }
    let guess = |year, month, day| full(year, month, day).ok().map(|date| date.to_string());
    Err(match meant(text) {
        Some(Meant::Date { year, month, day }) => {
            Trouble::NotADate { mended: guess(year, month, day) }
        }
        Some(Meant::Either { year, first, second }) => either(Some(year), first, second),
        Some(Meant::ShortYear) => Trouble::ShortYear,
        Some(Meant::MonthDay { .. } | Meant::EitherMonthDay { .. }) | None => {
            Trouble::NotADate { mended: None }
        }
    })
}

/// Reads a year of the years 1800 to 2200, in four digits.
///
/// ```
/// use trug::dates;
/// assert_eq!(dates::year("2022"), Some(2022));
/// assert_eq!(dates::year("22"), None);
/// ```
pub fn year(text: &str) -> Option<i32> {
    let [year] = digits(text.trim(), [4])?;
    YEARS.contains(&year).then_some(year as i32)
}

/// Reads a day of the year in the form `04-22`; `02-29` is one.
///
/// ```
/// use trug::dates;
/// assert_eq!(dates::month_day("04-22").unwrap().to_string(), "04-22");
/// assert_eq!(dates::month_day("22 April").unwrap_err().mended(), Some("04-22"));
/// ```
pub fn month_day(text: &str) -> Result<MonthDay, Trouble> {
    let text = text.trim();
    if text.is_empty() {
        return Err(Trouble::Empty);
    }
    if let Some([month, day]) = digits(text, [2, 2]) {
        return yearly(month, day);
    }
    let guess = |month, day| MonthDay::new(month, day).map(|yearly| yearly.to_string());
    Err(match meant(text) {
        Some(Meant::MonthDay { month, day } | Meant::Date { month, day, .. }) => {
            Trouble::NotAMonthDay { mended: guess(month, day) }
        }
        Some(Meant::EitherMonthDay { first, second } | Meant::Either { first, second, .. }) => {
            either(None, first, second)
        }
        Some(Meant::ShortYear) | None => Trouble::NotAMonthDay { mended: None },
    })
}

/// A date of three numbers.
fn full(year: u32, month: u32, day: u32) -> Result<NaiveDate, Trouble> {
    if !YEARS.contains(&year) {
        return Err(Trouble::YearOutOfReach { year });
    }
    // At most 2200, so the cast is exact.
    let of = |month, day| NaiveDate::from_ymd_opt(year as i32, month, day);
    if let Some(date) = of(month, day) {
        return Ok(date);
    }
    let Some(first) = of(month, 1) else {
        let mended = of(day, month).map(|date| date.to_string());
        return Err(Trouble::NoSuchMonth { month, mended });
    };
    // 31 days after the first is always in the next month.
    let last = shift(shift(first, 31).with_day(1).unwrap_or(first), -1);
    Err(no_such_day(month, day, last, last.to_string()))
}

/// A day of the year of two numbers.
fn yearly(month: u32, day: u32) -> Result<MonthDay, Trouble> {
    if let Some(yearly) = MonthDay::new(month, day) {
        return Ok(yearly);
    }
    match full(2000, month, day) {
        Err(Trouble::NoSuchDay { month: name, last, mended }) => {
            let mended = mended.and(MonthDay::new(month, last)).map(|yearly| yearly.to_string());
            Err(Trouble::NoSuchDay { month: name, last, mended })
        }
        _ => {
            let mended = MonthDay::new(day, month).map(|yearly| yearly.to_string());
            Err(Trouble::NoSuchMonth { month, mended })
        }
    }
}

/// The last day of the month is meant only where somebody took the month for a longer one.
fn no_such_day(month: u32, day: u32, last: NaiveDate, mended: String) -> Trouble {
    Trouble::NoSuchDay {
        month: name_of(month),
        last: last.day(),
        mended: (29..=31).contains(&day).then_some(mended),
    }
}

fn either(year: Option<u32>, first: u32, second: u32) -> Trouble {
    let of = |day: u32, month: u32| match year {
        Some(year) => format!("{day} {} {year}", name_of(month)),
        None => format!("{day} {}", name_of(month)),
    };
    Trouble::Ambiguous { day_first: of(first, second), month_first: of(second, first) }
}

fn name_of(month: u32) -> &'static str {
    let index = (month as usize).wrapping_sub(1);
    MONTHS.get(index).copied().unwrap_or("that month")
}

/// Groups of so many digits each, with hyphens between them and nothing else.
fn digits<const N: usize>(text: &str, lengths: [usize; N]) -> Option<[u32; N]> {
    let mut numbers = [0; N];
    let mut groups = text.split('-');
    for (number, length) in numbers.iter_mut().zip(lengths) {
        let group = groups.next()?;
        if group.len() != length || !group.bytes().all(|b| b.is_ascii_digit()) {
            return None;
        }
        *number = group.parse().ok()?;
    }
    groups.next().is_none().then_some(numbers)
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn dates_that_are_meant() {
        for text in [
            "22/02/2026",
            "02/22/2026",
            "22.2.2026",
            "22-02-2026",
            "2026/2/22",
            "2026-2-22",
            "2026.02.22",
            "20260222",
            "2026 02 22",
            "2026‑02‑22",
            "2026–02–22",
            "22 Feb 2026",
            "22nd February 2026",
            "22. feb. 2026",
            "Feb 22, 2026",
            "February 22nd 2026",
            "2026 Feb 22",
            "22-Feb-2026",
            "Sunday 22 February 2026",
            "Sun, 22 Feb 2026",
            "2026-02-22T10:15",
            "2026-02-22 10:15:00",
            "2026-02-22T10:15:00Z",
        ] {
            let mended = Some("2026-02-22".to_owned());
            assert_eq!(date(text), Err(Trouble::NotADate { mended }), "{text}");
        }
        assert_eq!(date("2026-2-5").unwrap_err().mended(), Some("2026-02-05"));
        assert_eq!(date("04/04/2026").unwrap_err().mended(), Some("2026-04-04"));
    }

    #[test]
    fn dates_that_nobody_can_guess() {
        let ambiguous = Trouble::Ambiguous {
            day_first: "3 April 2026".to_owned(),
            month_first: "4 March 2026".to_owned(),
        };
        assert_eq!(date("03/04/2026"), Err(ambiguous));
        for text in ["22/02/26", "26-02-22", "22 Feb 26", "1/2/3"] {
            assert_eq!(date(text), Err(Trouble::ShortYear), "{text}");
        }
        for text in [
            "yesterday",
            "2026",
            "2026-02",
            "04-22",
            "30/02/2026",
            "2026-02-22-01",
            "2026-02-22b",
            "22feb2026",
            "-",
            "٢٠٢٦-٠٢-٢٢",
        ] {
            assert_eq!(date(text), Err(Trouble::NotADate { mended: None }), "{text}");
        }
        assert_eq!(date(" "), Err(Trouble::Empty));
    }

    #[test]
    fn days_that_do_not_exist() {
        let mended = |text: &str| date(text).unwrap_err().mended().map(str::to_owned);
        assert_eq!(mended("2026-02-29").as_deref(), Some("2026-02-28"));
        assert_eq!(mended("2024-02-30").as_deref(), Some("2024-02-29"));
        assert_eq!(mended("2026-04-31").as_deref(), Some("2026-04-30"));
        assert_eq!(mended("2026-12-32"), None);
        assert_eq!(mended("2026-12-00"), None);
        assert_eq!(mended("2026-22-02").as_deref(), Some("2026-02-22"));
        assert_eq!(mended("2026-13-13"), None);
        assert_eq!(
            date("2026-04-31").unwrap_err().message(),
            "there is no such day: April has the days 1 to 30 here"
        );
        assert_eq!(date("1799-12-31"), Err(Trouble::YearOutOfReach { year: 1799 }));
        assert_eq!(date("2201-01-01"), Err(Trouble::YearOutOfReach { year: 2201 }));
        assert!(date("1800-01-01").is_ok() && date("2200-12-31").is_ok());
    }

    #[test]
    fn years_that_are_read() {
        for (text, read) in [("2026", 2026), (" 1800 ", 1800), ("2200", 2200)] {
            assert_eq!(year(text), Some(read));
        }
        for text in ["", "26", "02026", "1799", "2201", "2026-27", "year"] {
            assert_eq!(year(text), None, "{text}");
        }
    }

    #[test]
    fn days_of_the_year() {
        let mended = |text: &str| month_day(text).unwrap_err().mended().map(str::to_owned);
        assert_eq!(month_day("02-29"), Ok(MonthDay::new(2, 29).unwrap()));
        for text in
            ["22-04", "4-22", "04/22", "22.4.", "22 April", "Apr 22nd", "2026-04-22", "--04-22"]
        {
            assert_eq!(mended(text).as_deref(), Some("04-22"), "{text}");
        }
        assert_eq!(mended("4-5").as_deref(), Some("04-05"));
        assert_eq!(mended("12-4").as_deref(), Some("12-04"));
        assert_eq!(mended("25-4").as_deref(), Some("04-25"));
        assert_eq!(mended("02-30").as_deref(), Some("02-29"));
        assert_eq!(mended("13-13"), None);
        let ambiguous =
            Trouble::Ambiguous { day_first: "4 May".to_owned(), month_first: "5 April".to_owned() };
        assert_eq!(month_day("04/05"), Err(ambiguous));
        assert_eq!(month_day("spring"), Err(Trouble::NotAMonthDay { mended: None }));
    }
}
