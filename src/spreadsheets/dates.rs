//! Dates as spreadsheets write them: the column decides which figure is the day.

use chrono::NaiveDate;

/// In which order the figures of a date stand.
#[derive(Clone, Copy, Debug, PartialEq, Eq, clap::ValueEnum)]
pub(crate) enum Order {
    /// 3/4/2025 is the third of April.
    DayFirst,
    /// 3/4/2025 is the fourth of March.
    MonthFirst,
}

/// The dates of a column, and how they were read; in the same order, none where a cell holds no date.
pub(super) struct Dates {
    pub(super) days: Vec<Option<NaiveDate>>,
    /// How, if it had to be decided.
    pub(super) how: Option<String>,
}

/// A date as far as it says itself.
enum Figures {
    Sure(NaiveDate),
    /// Two figures of which either may be the day, and the year.
    Either(u32, u32, i32),
}

/// Reads a column; each cell comes with its line.
pub(super) fn column(cells: &[(usize, &str)], told: Option<Order>) -> Result<Dates, String> {
    let figures: Vec<_> = cells.iter().map(|(line, cell)| (*line, *cell, figures(cell))).collect();
    let either = |wanted: fn(u32, u32) -> bool| {
        figures.iter().find(|(_, _, figures)| {
            matches!(figures, Some(Figures::Either(first, second, _)) if wanted(*first, *second))
        })
    };
    let (day_first, month_first) = (either(|first, _| first > 12), either(|_, second| second > 12));
    let any = either(|_, _| true);
    let (order, how) = match (any, told, day_first, month_first) {
        (None, ..) => (Order::DayFirst, None),
        (_, Some(order), ..) => (order, None),
        (_, None, Some((line, cell, _)), None) => {
            (Order::DayFirst, Some(format!("the day stands first: line {line} has {cell}")))
        }
        (_, None, None, Some((line, cell, _))) => {
            (Order::MonthFirst, Some(format!("the month stands first: line {line} has {cell}")))
        }
        (_, None, Some((line, one, _)), Some((other_line, other, _))) => {
            return Err(format!(
                "the dates contradict each other: {one} in line {line}, {other} in line {other_line}; mend one \
                 of the two, or say --date-order day-first or --date-order month-first"
            ));
        }
        (Some((line, cell, _)), None, None, None) => {
            return Err(format!(
                "the dates may be read in two ways ({cell} in line {line}), and no line decides it; say \
                 --date-order day-first or --date-order month-first"
            ));
        }
    };
    let day = |figures: &Option<Figures>| match figures {
        None => None,
        Some(Figures::Sure(day)) => Some(*day),
        Some(Figures::Either(first, second, year)) => match order {
            Order::DayFirst => NaiveDate::from_ymd_opt(*year, *second, *first),
            Order::MonthFirst => NaiveDate::from_ymd_opt(*year, *first, *second),
        },
    };
    Ok(Dates { days: figures.iter().map(|(_, _, figures)| day(figures)).collect(), how })
}

fn figures(cell: &str) -> Option<Figures> {
    // A time behind the date says nothing of a day.
    let cell = match cell.split_once(['T', ' ']) {
        Some((date, time))
            if time.starts_with(|c: char| c.is_ascii_digit()) && time.contains(':') =>
        {
            date
        }
        _ => cell,
    };
    if let Some(day) = with_name(cell) {
        return Some(Figures::Sure(day));
    }
    if cell.len() == 8 && cell.bytes().all(|byte| byte.is_ascii_digit()) {
        return NaiveDate::parse_from_str(cell, "%Y%m%d").ok().map(Figures::Sure);
    }
    let parts: Vec<&str> = cell.trim_end_matches('.').split(['-', '/', '.']).collect();
    let [first, second, third] = parts.as_slice() else { return None };
    let number = |text: &str| -> Option<u32> {
        let is_plain =
            (1..=4).contains(&text.len()) && text.bytes().all(|byte| byte.is_ascii_digit());
        if is_plain { text.parse().ok() } else { None }
    };
    let (a, b, c) = (number(first)?, number(second)?, number(third)?);
    if first.len() == 4 {
        return NaiveDate::from_ymd_opt(a as i32, b, c).map(Figures::Sure);
    }
    let year = match third.len() {
        4 => c as i32,
        2 => 2000 + c as i32,
        _ => return None,
    };
    if !(1..=31).contains(&a) || !(1..=31).contains(&b) {
        return None;
    }
    // Dots stand between day, month and year, in this order, wherever they do.
    if cell.contains('.') {
        return NaiveDate::from_ymd_opt(year, b, a).map(Figures::Sure);
    }
    Some(if a == b {
        Figures::Sure(NaiveDate::from_ymd_opt(year, a, b)?)
    } else {
        Figures::Either(a, b, year)
    })
}

/// `3 Apr 2025`, `April 3, 2025`, `3-Apr-25`.
fn with_name(cell: &str) -> Option<NaiveDate> {
    let forms =
        ["%d %b %Y", "%d %B %Y", "%b %d %Y", "%B %d %Y", "%d-%b-%Y", "%d-%b-%y", "%d %b %y"];
    let plain = cell.replace(',', "");
    if !plain.chars().any(char::is_alphabetic) {
        return None;
    }
    let sensible = |day: &NaiveDate| chrono::Datelike::year(day) > 1000;
    forms.iter().find_map(|form| NaiveDate::parse_from_str(&plain, form).ok().filter(sensible))
}

#[cfg(test)]
mod tests {
    use super::*;

    fn read(cells: &[&str], told: Option<Order>) -> Result<Vec<String>, String> {
        let cells: Vec<_> =
            cells.iter().enumerate().map(|(index, cell)| (index + 2, *cell)).collect();
        let text = |day: &Option<NaiveDate>| day.map_or("?".to_owned(), |day| day.to_string());
        column(&cells, told).map(|dates| dates.days.iter().map(text).collect())
    }

    #[test]
    fn the_column_decides_or_the_grower_is_asked() {
        assert_eq!(read(&["4/3/2025", "23/3/2025"], None).unwrap(), ["2025-03-04", "2025-03-23"]);
        assert_eq!(read(&["4/3/25", "3/23/25"], None).unwrap(), ["2025-04-03", "2025-03-23"]);
        assert!(read(&["4/3/2025", "5/5/2025"], None).unwrap_err().contains("--date-order"));
        assert!(read(&["4/23/2025", "23/4/2025"], None).unwrap_err().contains("contradict"));
        assert_eq!(read(&["4/3/2025"], Some(Order::MonthFirst)).unwrap(), ["2025-04-03"]);
    }

    #[test]
    fn what_needs_no_decision() {
        let cells = [
            "3.4.2025",
            "03.04.25",
            "2025-04-03",
            "20250403",
            "3 Apr 2025",
            "April 3, 2025",
            "2025/4/3 00:00",
        ];
        assert!(read(&cells, None).unwrap().iter().all(|day| day == "2025-04-03"));
        assert_eq!(read(&["spring", "31.2.2025", "1.2"], None).unwrap(), ["?", "?", "?"]);
    }
}
