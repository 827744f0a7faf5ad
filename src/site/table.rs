//! Tables that leave the site as files, row by row. What is not known stays `None` to the last column.

use chrono::NaiveDate;
use serde::Serialize;

/// One picking, as a line of `harvests.csv`.
#[derive(Clone, Debug, PartialEq, Serialize)]
pub struct HarvestRow {
    /// The day of the picking.
    pub date: NaiveDate,
    /// The planting's id, or several as they were weighed together.
    pub planting: String,
    pub crop: String,
    pub variety: Option<String>,
    /// Where it grew on that day.
    pub place: Option<String>,
    /// Weight in grams, rounded by whoever fills the row.
    pub weight_g: Option<f64>,
    /// How many, in `unit`.
    pub count: Option<u32>,
    /// What was counted: fruits, bunches, heads.
    pub unit: Option<String>,
    /// How good it was.
    pub quality: Option<String>,
    /// Whether it was weighed after curing.
    pub cured: Option<bool>,
    /// The grower's note.
    pub note: Option<String>,
}
