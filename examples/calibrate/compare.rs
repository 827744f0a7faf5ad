//! The windows of the calendar held against those of one region.

use std::collections::{BTreeMap, BTreeSet};

use chrono::{Datelike, NaiveDate};

use super::published::{Region, Window};
use trug::calendar::thresholds::{Group, Thresholds};
use trug::calendar::{self, GrowingYear, Round};
use trug::catalogue::{Catalogue, CropSheet};
use trug::dates::Period;
use trug::place_kind::Cover;

/// A published and a computed window belong to each other if they touch when widened by so many days …
const APART: i64 = 30;
/// … or, where the source tells one end only, if those ends are no further apart.
const ONE_END: i64 = 75;
/// Days of beginning so far outside every published window are offered where the source has none.
const OUTSIDE: i64 = 21;

/// The errors of the ends, days, ours less published; 0 within what the published end may mean.
#[derive(Clone, Debug, Default)]
pub(crate) struct Ends {
    pub(crate) openings: Vec<i64>,
    pub(crate) closings: Vec<i64>,
    pub(crate) harvests: Vec<i64>,
    /// Ends of starts that were published, matched or not.
    pub(crate) published: [usize; 2],
    pub(crate) without_window: usize,
    pub(crate) without_round: usize,
    pub(crate) unwanted: usize,
    pub(crate) windows: usize,
    pub(crate) lines: Vec<String>,
}

impl Ends {
    pub(crate) fn add(&mut self, other: Ends) {
        self.openings.extend(other.openings);
        self.closings.extend(other.closings);
        self.harvests.extend(other.harvests);
        self.published = [0, 1].map(|end| self.published[end] + other.published[end]);
        self.without_window += other.without_window;
        self.without_round += other.without_round;
        self.unwanted += other.unwanted;
        self.windows += other.windows;
        self.lines.extend(other.lines);
    }

    /// What the fit makes small: days of error, those beyond 45 no worse than 45, and as much for each published
    /// window without ours or beside ours.
    pub(crate) fn loss(&self) -> f64 {
        let size = |error: &i64| (error.abs() as f64 - 5.0).clamp(0.0, 45.0);
        let ends = self.openings.iter().map(size).sum::<f64>()
            + self.closings.iter().map(size).sum::<f64>();
        let harvests = 0.3 * self.harvests.iter().map(size).sum::<f64>();
        let missing = 100.0 * (self.without_window + self.without_round) as f64;
        ends + harvests + missing + 35.0 * self.unwanted as f64
    }

    pub(crate) fn print(&self, title: &str) {
        let within = |errors: &[i64], days: i64, of: usize| {
            let near = errors.iter().filter(|error| error.abs() <= days).count();
            format!("{:.0} %", 100.0 * near as f64 / of.max(1) as f64)
        };
        let (o, c, h) = (&self.openings, &self.closings, &self.harvests);
        println!(
            "{title}: openings within 2/3 weeks {}/{} of {}, closings {}/{} of {}; of all published starts openings {} of {}, closings {} of {}; harvest ends within 3 weeks {} of {}; of {} windows none at all {}, no such round {}, offered where the source has none {}; loss {:.0}",
            within(o, 14, o.len()),
            within(o, 21, o.len()),
            o.len(),
            within(c, 14, c.len()),
            within(c, 21, c.len()),
            c.len(),
            within(o, 21, self.published[0]),
            self.published[0],
            within(c, 21, self.published[1]),
            self.published[1],
            within(h, 21, h.len()),
            h.len(),
            self.windows,
            self.without_window,
            self.without_round,
            self.unwanted,
            self.loss(),
        );
    }
}

/// Days of a year of 365 days, from 0. The end may lie in the next year.
type Span = (i64, i64);

/// The errors in a region: of one group of crops, or of all.
pub(crate) fn ends_of(
    catalogue: &Catalogue,
    region: &Region,
    thresholds: &Thresholds,
    group: Option<Group>,
) -> Ends {
    let years = region.years.clone().map(|year| year.by(*thresholds));
    let mut known: BTreeMap<&str, Vec<Round>> = BTreeMap::new();
    let mut ends = Ends::default();
    for window in region.windows.iter().filter(|window| window.is_advised) {
        let sheets = sheets(catalogue, &window.crop);
        let own = sheets.first().map(Group::of);
        if group.is_some() && group != own {
            continue;
        }
        let rounds = known.entry(&window.crop).or_insert_with(|| rounds(sheets, &years));
        compare(&mut ends, region, window, rounds);
    }
    ends.unwanted = unwanted(region, &known, &mut ends.lines);
    ends
}

/// The crop, and its varieties: an overwintering onion is an onion.
fn sheets(catalogue: &Catalogue, name: &str) -> Vec<CropSheet> {
    let name = name.split(" (").next().unwrap_or(name);
    let Some(id) = catalogue.find(name) else { return Vec::new() };
    let crop = catalogue.get(id);
    let varieties =
        crop.varieties.iter().map(|(variety, _)| crop.sheet_of(Some(variety)).into_owned());
    std::iter::once(crop.sheet.clone()).chain(varieties.filter(is_of_autumn)).collect()
}

fn is_of_autumn(sheet: &CropSheet) -> bool {
    sheet.autumn_night_low.is_some()
}

fn rounds(sheets: Vec<CropSheet>, years: &[GrowingYear; 3]) -> Vec<Round> {
    let middle = years[1].days();
    sheets.iter().flat_map(|sheet| calendar::rounds_in(sheet, years, middle, Cover::None)).collect()
}

fn of_kind(rounds: &[Round], what: &str) -> Vec<Span> {
    let pick = |round: &Round| match what {
        "sow under cover" => round.sow_under_cover,
        "sow outdoors" => round.sow_outdoors,
        "plant out" => round.plant_out,
        _ => round.harvest,
    };
    let spans: BTreeSet<Span> = rounds.iter().filter_map(pick).map(span).collect();
    spans.into_iter().collect()
}

fn span(window: Period) -> Span {
    let from = i64::from(window.from.ordinal0()).min(364);
    (from, from + (window.days() - 1).min(364))
}

fn compare(ends: &mut Ends, region: &Region, window: &Window, rounds: &[Round]) {
    let is_start = window.what != "harvest";
    ends.windows += 1;
    if is_start {
        ends.published[0] += usize::from(window.from.is_some());
        ends.published[1] += usize::from(window.to.is_some());
    }
    let other = if window.what == "sow outdoors" { "plant out" } else { "sow outdoors" };
    let mut ours = of_kind(rounds, &window.what);
    if ours.is_empty() && is_start {
        ours = of_kind(rounds, other);
    }
    let line = format!("{} | {} | {} | {}", region.name, window.crop, window.what, window.told);
    if ours.is_empty() {
        ends.without_window += 1;
        ends.lines.push(format!("no window | {line}"));
        return;
    }
    let touching: Vec<_> = ours.iter().filter_map(|ours| errors(window, *ours)).collect();
    let shown: Vec<String> = ours.iter().map(|ours| told(*ours)).collect();
    if touching.is_empty() {
        ends.without_round += 1;
        ends.lines.push(format!("no round  | {line} | {}", shown.join(" ")));
        return;
    }
    let least = |errors: Vec<i64>| errors.into_iter().min_by_key(|error| error.abs());
    let opening = least(touching.iter().filter_map(|errors| errors.0).collect());
    let closing = least(touching.iter().filter_map(|errors| errors.1).collect());
    if is_start {
        ends.openings.extend(opening);
        ends.closings.extend(closing);
    } else {
        ends.harvests.extend(opening.into_iter().chain(closing));
    }
    ends.lines.push(format!("{opening:?} {closing:?} | {line} | {}", shown.join(" ")));
}

/// The errors of both ends if the two windows belong to each other.
fn errors(window: &Window, ours: Span) -> Option<(Option<i64>, Option<i64>)> {
    let length = ours.1 - ours.0 + 1;
    let whole = window.from == Some((0, 30)) && window.to == Some((334, 364));
    let opening = window.from.map(|band| error(ours.0, band));
    let closing = window.to.map(|band| error(ours.1, band));
    let belongs = match (window.from, window.to) {
        (Some(from), Some(to)) => {
            whole
                || !days(from.0 - APART, to.1 + APART + turn(from.0, to.1))
                    .is_disjoint(&days(ours.0, ours.1))
        }
        _ => opening.or(closing).is_some_and(|error| error.abs() <= ONE_END),
    };
    let is_both = window.from.is_some() && window.to.is_some();
    if belongs && is_both && (whole || length >= 360) {
        return Some((Some(0), Some(0)));
    }
    belongs.then_some((opening, closing))
}

/// A year, if a window's end lies before its beginning.
fn turn(from: i64, to: i64) -> i64 {
    if to < from { 365 } else { 0 }
}

fn days(from: i64, to: i64) -> BTreeSet<i64> {
    (from..=to.min(from + 364)).map(|day| day.rem_euclid(365)).collect()
}

fn error(ours: i64, (first, last): (i64, i64)) -> i64 {
    let around = |a: i64, b: i64| (a - b + 182).rem_euclid(365) - 182;
    if (ours - first).rem_euclid(365) <= last - first {
        return 0;
    }
    let (early, late) = (around(ours, first), around(ours, last));
    if early.abs() < late.abs() { early } else { late }
}

/// Crops that are offered for more than three weeks outside every published window of a source that covers the
/// year, or for more than two in months in which it says not to.
fn unwanted(region: &Region, known: &BTreeMap<&str, Vec<Round>>, lines: &mut Vec<String>) -> usize {
    let mut found = 0;
    let starts =
        region.windows.iter().filter(|w| ["sow outdoors", "plant out"].contains(&w.what.as_str()));
    let crops: BTreeSet<&str> = starts.clone().map(|window| window.crop.as_str()).collect();
    for crop in crops {
        let Some(rounds) = known.get(crop) else { continue };
        let ours: BTreeSet<i64> = ["sow outdoors", "plant out"]
            .iter()
            .flat_map(|what| of_kind(rounds, what))
            .flat_map(|(from, to)| days(from, to))
            .collect();
        let windows: Vec<&Window> =
            starts.clone().filter(|window| window.crop == crop && window.is_advised).collect();
        let spans: Option<Vec<Span>> = windows
            .iter()
            .map(|window| {
                Some((
                    window.from?.0 - OUTSIDE,
                    window.to?.1 + OUTSIDE + turn(window.from?.0, window.to?.1),
                ))
            })
            .collect();
        let Some(spans) = spans.filter(|_| region.is_complete) else { continue };
        let allowed: BTreeSet<i64> =
            spans.into_iter().flat_map(|(from, to)| days(from, to)).collect();
        let outside = ours.difference(&allowed).count() as i64;
        if outside > OUTSIDE {
            found += 1;
            lines.push(format!("unwanted  | {} | {crop} | {outside} days", region.name));
        }
    }
    found
}

fn told((from, to): Span) -> String {
    let date = |day: i64| {
        let first = NaiveDate::from_ymd_opt(2026, 1, 1).expect("a date");
        trug::dates::shift(first, day.rem_euclid(365)).format("%m-%d").to_string()
    };
    format!("{}..{}", date(from), date(to))
}
