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
    /// What it says.
    pub words: PlotWords,
    /// Its measures.
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
    /// Its plantings.
    pub dots: Vec<Dot>,
    /// Its mean, where there are enough of them.
    pub mean: Option<Mean>,
}

/// A planting.
#[derive(Clone, Debug, PartialEq, Serialize)]
pub struct Dot {
    /// From the left.
    pub x: f64,
    /// From the top.
    pub y: f64,
    /// Its shape: where it stood.
    pub stood: &'static str,
    /// Its id.
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
                stood: shape(member.stood),
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

/// The shape of a mark.
pub fn shape(stood: Stood) -> &'static str {
    match stood {
        Stood::Containers => "containers",
        Stood::Soil => "soil",
        Stood::UnderCover => "under-cover",
        Stood::Several | Stood::Unknown => "elsewhere",
    }
}
