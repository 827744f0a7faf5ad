//! The sides of a comparison with every planting as a mark.

use serde::Serialize;

use crate::charts::dots::{self, Dots, Mean};
use crate::garden::model::Garden;
use crate::results::comparisons::Comparison;
use crate::results::comparisons::standing::Stood;
use crate::site::amount::Amount;
use crate::site::comparisons::{question, rate, side_name, unit};
use crate::site::frame::planting_name;
use crate::site::message::Message;
use crate::site::plots::{Mark, PlotUnit, PlotWords};

/// Every planting as a mark.
#[derive(Clone, Debug, PartialEq, Serialize)]
pub struct DotsPlot {
    pub words: PlotWords,
    pub plot: Dots,
    /// Round values along the foot.
    pub values: Vec<Mark>,
    /// The sides, from the top.
    pub rows: Vec<DotsRow>,
}

/// A side.
#[derive(Clone, Debug, PartialEq, Serialize)]
pub struct DotsRow {
    /// What its plantings have in common, and how many they are.
    pub name: Message,
    /// The line on which its name stands.
    pub name_at: f64,
    /// The line its marks stand on.
    pub ground: f64,
    pub dots: Vec<Dot>,
    /// Its mean, where there are enough of them.
    pub mean: Option<Mean>,
}

/// A planting.
#[derive(Clone, Debug, PartialEq, Serialize)]
pub struct Dot {
    pub x: f64,
    pub y: f64,
    /// Its shape, a path in the language of SVG: where it stood.
    pub mark: &'static str,
    /// Its name.
    pub planting: Message,
    /// What it gave.
    pub amount: Amount,
}

/// The plot of a comparison.
pub fn of(garden: &Garden, comparison: &Comparison, id: String) -> DotsPlot {
    let system = garden.settings.units;
    let per = comparison.per;
    let shown = |grams: f64| rate(grams, per, system);
    let all = comparison.sides.iter().flat_map(|side| side.values()).map(shown);
    let in_unit = PlotUnit::of(all, system);
    let sides: Vec<(Vec<f64>, Option<f64>)> = comparison
        .sides
        .iter()
        .map(|side| {
            let values = side.values().into_iter().map(|grams| in_unit.measure(shown(grams)));
            (values.collect(), side.mean().map(|grams| in_unit.measure(shown(grams))))
        })
        .collect();
    let plot = dots::rows(&sides);
    let mut told = Vec::new();
    let mut rows = Vec::new();
    for (side, row) in comparison.sides.iter().zip(&plot.rows) {
        let count = side.members.len() as u64;
        let name = Message::new("compare.side")
            .with("side", side_name(garden, &side.what))
            .with("count", count);
        let dots: Vec<Dot> = side
            .members
            .iter()
            .zip(&row.marks)
            .map(|(member, mark)| Dot {
                x: mark.x,
                y: mark.y,
                mark: outline(member.stood),
                planting: planting_name(garden, member.planting),
                amount: Amount {
                    about: member.is_about,
                    ..crate::site::plots::weight(shown(member.grams), system)
                },
            })
            .collect();
        told.push(name.clone());
        rows.push(DotsRow { name, name_at: row.name_at, ground: row.ground, dots, mean: row.mean });
    }
    let title = question(garden, comparison);
    let words = PlotWords { title, unit: unit(comparison, system), told, id };
    let values = in_unit.marks(&plot.values, plot.decimals);
    DotsPlot { words, plot, values, rows }
}

/// What the marks stand for.
#[derive(Clone, Debug, PartialEq, Serialize)]
pub struct MarkKey {
    /// What there is to see of the plane of one.
    pub view_box: &'static str,
    pub marks: Vec<MarkKind>,
    /// The line at a mean; a path.
    pub mean: &'static str,
}

/// A kind of mark.
#[derive(Clone, Debug, PartialEq, Serialize)]
pub struct MarkKind {
    /// Its shape, a path.
    pub mark: &'static str,
    /// Where such plantings stood.
    pub name: Message,
}

/// What the marks stand for.
pub fn key() -> MarkKey {
    let kind = |stood| MarkKind { mark: outline(stood), name: stood_words(stood) };
    let kinds = [Stood::Soil, Stood::Containers, Stood::UnderCover, Stood::Unknown];
    MarkKey { view_box: "-7 -7 14 14", marks: kinds.map(kind).into(), mean: "M0 -7V7" }
}

/// The shape of a mark around its middle: a dot, a square, a triangle, a square on its tip.
fn outline(stood: Stood) -> &'static str {
    match stood {
        Stood::Soil => "M-4.6 0a4.6 4.6 0 1 0 9.2 0a4.6 4.6 0 1 0 -9.2 0z",
        Stood::Containers => "M-4.3 -4.3h8.6v8.6h-8.6z",
        Stood::UnderCover => "M0 -5l5 9.4h-10z",
        Stood::Several | Stood::Unknown => "M0 -5.4l5.4 5.4l-5.4 5.4l-5.4 -5.4z",
    }
}

/// Where a planting stood.
pub fn stood_words(stood: Stood) -> Message {
    Message::new(format!("stood.{}", stood_key(stood)))
}

pub fn stood_key(stood: Stood) -> &'static str {
    match stood {
        Stood::Containers => "containers",
        Stood::Soil => "soil",
        Stood::UnderCover => "under-cover",
        Stood::Several | Stood::Unknown => "elsewhere",
    }
}
