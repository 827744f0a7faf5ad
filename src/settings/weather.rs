//! The usual weather as the grower gives it: monthly means, and dates of frost.

use crate::dates::{self, MonthDay};
use crate::diagnostics::codes::Code;
use crate::diagnostics::problem::{Problem, Problems};
use crate::diagnostics::words::Tick;
use crate::origin::Written;
use crate::source::fields::Fields;
use crate::source::front_matter::{Map, Node, Value};
use crate::source::nodes::number_of;
use crate::units::{self, System, TemperatureUnit};

/// Monthly means, January first.
#[derive(Clone, Copy, Debug, Default)]
pub struct MonthlyMeans {
    /// Mean daily low, °C.
    pub low_c: Option<[f64; 12]>,
    /// Mean daily high, °C.
    pub high_c: Option<[f64; 12]>,
    /// Rain of the month, mm.
    pub rain_mm: Option<[f64; 12]>,
}

/// Frost dates as given.
#[derive(Clone, Copy, Debug, Default)]
pub struct FrostGiven {
    /// Dates of the last frost of spring.
    pub last_spring: FrostLevels,
    /// Dates of the first frost of autumn.
    pub first_autumn: FrostLevels,
    /// The share of years that have any frost, 0 to 1, where that was said.
    pub share_of_years: Option<f64>,
    /// The chance of frost the grower is willing to take, 0 to 1.
    pub risk: Option<f64>,
}

/// Dates at three levels of chance.
#[derive(Clone, Copy, Debug, Default)]
pub struct FrostLevels {
    /// Nine years of ten.
    pub p90: Option<MonthDay>,
    /// One year of two.
    pub p50: Option<MonthDay>,
    /// One year of ten.
    pub p10: Option<MonthDay>,
}

pub(super) fn read_climate(map: &Map, units: System, problems: &mut Problems) -> MonthlyMeans {
    let mut fields = Fields::new(map, "climate in garden.yaml", problems);
    let to_celsius = |value: f64| match units {
        System::Metric => value,
        System::Us => TemperatureUnit::Fahrenheit.of(value).0,
    };
    let to_mm = |value: f64| match units {
        System::Metric => value,
        System::Us => value * 25.4,
    };
    let low = fields.node("low", problems);
    let high = fields.node("high", problems);
    let rain = fields.node("rain", problems);
    let means = MonthlyMeans {
        low_c: low
            .and_then(|node| twelve("low", node, -150.0, problems))
            .map(|l| l.map(to_celsius)),
        high_c: high
            .and_then(|node| twelve("high", node, -150.0, problems))
            .map(|l| l.map(to_celsius)),
        rain_mm: rain.and_then(|node| twelve("rain", node, 0.0, problems)).map(|l| l.map(to_mm)),
    };
    fields.finish(problems);
    if let (Some(lows), Some(highs), Some(node)) = (means.low_c, means.high_c, low)
        && let Some(month) = (0..12).find(|month| lows[*month] > highs[*month])
    {
        let at = match &node.value {
            Value::List(items) => items[month].at,
            _ => node.at,
        };
        problems.add(
            Problem::new(Code::BadNumber, at, "the low of this month is above its high")
                .hint("perhaps the two lists are exchanged, or a month is missing in one"),
        );
        return MonthlyMeans { low_c: None, high_c: None, ..means };
    }
    means
}

fn twelve(key: &str, node: &Node, lowest: f64, problems: &mut Problems) -> Option<[f64; 12]> {
    let items: &[Node] = match &node.value {
        Value::List(items) => items,
        _ => &[],
    };
    if items.len() != 12 {
        let message = format!(
            "{} should be twelve numbers, January first; here are {}",
            Tick(key),
            items.len()
        );
        problems.add(
            Problem::new(Code::TwelveMonths, node.at, message)
                .hint("write [1.6, 1.5, …] with a mean for every month"),
        );
        return None;
    }
    let numbers: Vec<f64> = items
        .iter()
        .filter_map(|item| number_of(key, item, lowest, 5000.0, "a number", problems))
        .map(|number| number.value)
        .collect();
    numbers.try_into().ok()
}

pub(super) fn read_frost(map: &Map, problems: &mut Problems) -> FrostGiven {
    let mut fields = Fields::new(map, "frost in garden.yaml", problems);
    let share = fields.read("years", problems, units::percent);
    let share = share.map(|share| Written::new(share.value.0.min(1.0), share.at));
    let mut levels = |key: &'static str, is_spring: bool, problems: &mut Problems| {
        let map = fields.map(key, problems);
        map.map_or(FrostLevels::default(), |map| levels(map, is_spring, share.as_ref(), problems))
    };
    let given = FrostGiven {
        last_spring: levels("last-spring", true, problems),
        first_autumn: levels("first-autumn", false, problems),
        share_of_years: share.as_ref().map(|share| share.value),
        risk: fields.read("risk", problems, units::percent).and_then(|risk| {
            if (0.01..=0.99).contains(&risk.value.0) {
                return Some(risk.value.0);
            }
            problems.add(
                Problem::new(Code::BadNumber, risk.at, "`risk` should be between 1% and 99%")
                    .hint("10% is a usual choice: frost in one year of ten"),
            );
            None
        }),
    };
    fields.finish(problems);
    given
}

/// In spring the safer date is the later one, in autumn the earlier one.
fn levels(
    map: &Map,
    is_spring: bool,
    share: Option<&Written<f64>>,
    problems: &mut Problems,
) -> FrostLevels {
    let mut fields = Fields::new(map, "a list of frost dates", problems);
    let p90 = fields.read("90%", problems, dates::month_day);
    let p50 = fields.read("50%", problems, dates::month_day);
    let p10 = fields.read("10%", problems, dates::month_day);
    fields.finish(problems);
    if let (Some(p50), Some(p10)) = (&p50, &p10)
        && is_exchanged(p50.value, p10.value, is_spring)
    {
        let message = if is_spring {
            "the 10% date should be later than the 50% date: after it, frost comes in only one \
             year of ten"
        } else {
            "the 10% date should be earlier than the 50% date: before it, frost has come in only \
             one year of ten"
        };
        problems.add(
            Problem::new(Code::BadDate, p10.at, message)
                .also(p50.at, "the 50% date")
                .hint("perhaps the two are exchanged"),
        );
    }
    for (chance, day) in [(0.9, &p90), (0.5, &p50), (0.1, &p10)] {
        let (Some(day), Some(share)) = (day, share) else { continue };
        if share.value <= chance {
            let percent = |share: f64| (100.0 * share).round();
            problems.add(
                Problem::new(
                    Code::BadDate,
                    day.at,
                    format!(
                        "there is no {}% date where frost comes in {}% of years",
                        percent(chance),
                        percent(share.value)
                    ),
                )
                .also(share.at, "the years with frost")
                .hint("leave this date out, or the years with frost"),
            );
        }
    }
    let day = |written: Option<Written<MonthDay>>| written.map(|day| day.value);
    FrostLevels { p90: day(p90), p50: day(p50), p10: day(p10) }
}

/// Compared on the shorter way round the year, so that a season may lie across the new year.
fn is_exchanged(p50: MonthDay, p10: MonthDay, is_spring: bool) -> bool {
    let day = |day: MonthDay| i64::from(day.month()) * 31 + i64::from(day.day());
    let ahead = (day(p10) - day(p50)).rem_euclid(372);
    let is_later = ahead < 186;
    ahead != 0 && is_later != is_spring
}
