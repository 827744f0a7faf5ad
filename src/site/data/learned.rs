//! What the grower's plantings taught, and how well past dates held, in garden.json.

use chrono::NaiveDate;
use schemars::JsonSchema;
use serde::Serialize;

use crate::findings::Findings;
use crate::garden::model::Garden;
use crate::learning::quantity::Quantity;
use crate::learning::said::{self, Ahead, Kept};
use crate::learning::{Took, scores};
use crate::site::amount::rounded;
use crate::stages::Milestone;
use crate::stages::usual_weather::UsualWeather;

#[derive(Debug, JsonSchema, Serialize)]
pub(super) struct LearnedData {
    /// A slug.
    crop: String,
    /// From what to what, or `germination`, `picking interval`, `season length`; in degree days
    /// with `warmth` before it.
    what: String,
    /// Whether begun under cover.
    under_cover: bool,
    /// The time of the year: `spring` or `autumn`, of seed also `summer`.
    half: &'static str,
    /// `days`, `share` or `degree_days_c`: above the sheet's base, of no day more than its usual weather brings.
    unit: &'static str,
    /// Nine plantings of ten lie above it (the 80 % range); to 0.01.
    low: f64,
    /// The middle of the range, to 0.01.
    middle: f64,
    /// Nine plantings of ten lie below it, to 0.01.
    high: f64,
    /// How many of the grower's plantings taught it.
    from_plantings: u32,
    /// How many neighbours' gardens taught it besides.
    from_neighbours: u32,
}

/// How long one planting took for something: from a day of its own to the day it came.
#[derive(Debug, JsonSchema, Serialize)]
pub(super) struct TookData {
    /// A slug.
    crop: String,
    /// `null` if none was named.
    variety: Option<String>,
    /// From what to what: `planted out to first harvest`.
    what: String,
    /// Whether begun under cover.
    under_cover: bool,
    /// The time of the year: `spring` or `autumn`, of seed also `summer`.
    half: &'static str,
    /// The year in which the growing year of the beginning began.
    season: i32,
    /// The day from which it counts.
    from: NaiveDate,
    /// How many days it took; half a day if it came on the same day.
    days: f64,
}

#[derive(Debug, JsonSchema, Serialize)]
pub(super) struct ScoreData {
    /// From what to what, or `all`.
    what: String,
    /// How many dates came.
    number: u32,
    /// Mean absolute error of the crop table, to 0.01 days.
    table_error_days: f64,
    /// The same of what was learned, to 0.01 days.
    learned_error_days: f64,
    /// How many came within the range.
    in_range: u32,
}

/// How well the ranges held that the site showed.
#[derive(Debug, JsonSchema, Serialize)]
pub(super) struct ShownData {
    /// The stage, or `first harvest`.
    what: &'static str,
    /// How long before: `first showing`, `30 days` or `14 days`.
    ahead: &'static str,
    /// How many ranges.
    number: u32,
    /// How many of them held.
    held: u32,
    /// By how much their middles were wrong, the mean to 0.01 days.
    error_days: f64,
    /// How wide they were, the mean to 0.01 days.
    width_days: f64,
}

pub(super) fn learned(garden: &Garden, findings: &Findings) -> Vec<LearnedData> {
    let mut rows = Vec::new();
    for (id, crop) in garden.catalogue.crops() {
        for (quantity, kind, estimate) in findings.learned.of_crop(garden, id) {
            let (unit, size) = match quantity {
                Quantity::Warmth(span) => {
                    // Seed comes up by a measure of its own, which has no unit of the trade.
                    let usual = UsualWeather::of(&crop.sheet, span.to, &findings.conditions);
                    let Some(a_day) = usual.and_then(|usual| usual.degree_days()) else { continue };
                    ("degree_days_c", a_day)
                }
                Quantity::Germination => ("share", 1.0),
                _ => ("days", 1.0),
            };
            rows.push(LearnedData {
                crop: crop.slug.clone(),
                what: quantity_key(quantity),
                under_cover: kind.is_under_cover,
                half: kind.time.word(),
                unit,
                low: rounded(estimate.low * size, 2),
                middle: rounded(estimate.middle * size, 2),
                high: rounded(estimate.high * size, 2),
                from_plantings: estimate.from_plantings,
                from_neighbours: estimate.neighbours,
            });
        }
    }
    rows.sort_by(|a, b| (&a.crop, &a.what).cmp(&(&b.crop, &b.what)));
    rows
}

pub(super) fn took(garden: &Garden, findings: &Findings) -> Vec<TookData> {
    let row = |took: Took| TookData {
        crop: garden.catalogue.get(took.crop).slug.clone(),
        variety: garden.planting(took.planting).variety.clone().map(String::from),
        what: took.span.key(),
        under_cover: took.kind.is_under_cover,
        half: took.kind.time.word(),
        season: took.season,
        from: took.from,
        days: took.days,
    };
    findings.learned.took().into_iter().map(row).collect()
}

pub(super) fn forecasts(findings: &Findings) -> Vec<ScoreData> {
    let forecasts = &findings.forecasts;
    let all = scores::score(forecasts).map(|score| ("all".to_owned(), score));
    let by_span = scores::by_span(forecasts);
    let by_span = by_span.into_iter().map(|(span, score)| (span.key(), score));
    let row = |(what, score): (String, scores::Score)| ScoreData {
        what,
        number: score.number,
        table_error_days: rounded(score.table_days, 2),
        learned_error_days: rounded(score.learned_days, 2),
        in_range: score.in_interval,
    };
    by_span.chain(all).map(row).collect()
}

fn quantity_key(quantity: Quantity) -> String {
    match quantity {
        Quantity::Days(span) => span.key(),
        Quantity::Warmth(span) => format!("warmth, {}", span.key()),
        Quantity::Germination => "germination".to_owned(),
        Quantity::PickingInterval => "picking interval".to_owned(),
        Quantity::SeasonLength => "season length".to_owned(),
    }
}

pub(super) fn shown(findings: &Findings) -> Vec<ShownData> {
    let row = |(what, ahead, kept): (Milestone, Ahead, Kept)| ShownData {
        what: what.word(),
        ahead: match ahead {
            Ahead::First => "first showing",
            Ahead::Month => "30 days",
            Ahead::Fortnight => "14 days",
        },
        number: kept.number,
        held: kept.held,
        error_days: rounded(kept.off_days, 2),
        width_days: rounded(kept.width_days, 2),
    };
    said::scored(&findings.told).into_iter().map(row).collect()
}
