//! What is expected of the next planting.

/// What is expected of the next planting: in days, in °C·days, or a share from 0 to 1.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct Estimate {
    /// Half of such plantings lie below it.
    pub middle: f64,
    /// One planting of ten lies below it.
    pub low: f64,
    /// One planting of ten lies above it; from low to high is the 80 % interval.
    pub high: f64,
    /// How many of the grower's plantings it comes from at its level, unfinished ones among them.
    pub from_plantings: u32,
    /// How many of these have not come so far yet: 'longer than so far' is all they say.
    pub unfinished: u32,
    /// How many neighbours' gardens it rests on besides.
    pub neighbours: u32,
    /// The nearest level at which there was a planting.
    pub level: Level,
    /// Whether it rests on a number of plants that was a guess.
    pub is_about: bool,
}

/// How near to the planting an estimate was found.
#[derive(Clone, Copy, Debug, PartialEq, Eq, PartialOrd, Ord)]
pub enum Level {
    /// Plantings of the variety, drawn towards those of the crop and towards the table.
    Variety,
    /// Plantings of other varieties of the crop, drawn towards the table.
    Crop,
    /// Neighbours' plantings, drawn towards the table: nothing was grown here in this way.
    Neighbours,
    /// The crop sheet alone: nothing was grown here in this way.
    Table,
}

impl Estimate {
    /// Whether a value lies in the 80 % interval, ends included.
    pub fn contains(&self, value: f64) -> bool {
        self.low <= value && value <= self.high
    }
}
