//! What a crop is like besides when it is begun: its seed, the cold it needs or dreads, its flowers, its ripeness,
//! how it is stored and how its season is ended.

use crate::catalogue::sheet::CropSheet;
use crate::catalogue::sheet_reader::{value, words};
use crate::diagnostics::problem::Problems;
use crate::source::fields::Fields;
use crate::units::{self, Celsius, Days, Hours, Range};
use crate::worded::worded;

worded! {
    /// What is done to seed before it is sown.
    #[derive(Clone, Copy, Debug, PartialEq, Eq)]
    pub enum SeedTreatment {
        /// Laid in water for some hours.
        Soak = "soak",
        /// Its coat is nicked or rubbed.
        Scarify = "scarify",
        /// Kept moist and cold for some weeks.
        Chill = "chill",
        /// Set in light and warmth to sprout before planting: potatoes.
        Sprout = "sprout",
        /// A seed ball is rubbed apart.
        Rub = "rub",
    }
}

/// Cold that a crop needs: garlic to make cloves, rhubarb to sprout, fruit bushes to flower.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct Chill {
    /// Days as cold as this count.
    pub below: Celsius,
    pub days: Range<Days>,
}

/// What makes a crop run to seed. Each cause alone is enough.
#[derive(Clone, Copy, Debug, Default, PartialEq)]
pub struct Bolting {
    /// Days with a mean below this count as cold.
    pub cold_below: Option<Celsius>,
    /// After so many cold days young plants run to seed.
    pub cold_days: Option<Range<Days>>,
    /// Days with a mean above this.
    pub warm_above: Option<Celsius>,
    /// Days longer than this.
    pub day_length: Option<Hours>,
}

/// Temperatures in which flowers set fruit.
#[derive(Clone, Copy, Debug, Default, PartialEq)]
pub struct FruitSet {
    pub night: Option<Range<Celsius>>,
    pub day: Option<Range<Celsius>>,
}

worded! {
    /// What the flowers of a crop need to bear.
    #[derive(Clone, Copy, Debug, PartialEq, Eq)]
    pub enum Pollination {
        /// One plant bears alone.
        SelfFertile = "self-fertile",
        /// Another variety in flower near it.
        AnotherVariety = "another variety",
        /// Male and female plants.
        MaleAndFemale = "male and female plants",
        /// A block of short rows, for the wind.
        Block = "block",
        /// It fruits without pollen.
        Parthenocarpic = "parthenocarpic",
    }
}

/// How a crop is dried before it is stored.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct Curing {
    /// For so long.
    pub days: Range<Days>,
    /// So warm.
    pub at: Option<Range<Celsius>>,
}

/// How a crop is stored.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct Keeping {
    /// It keeps so long.
    pub days: Range<Days>,
    /// So cold.
    pub at: Option<Range<Celsius>>,
}

worded! {
    /// What is done when a crop's season is over.
    #[derive(Clone, Copy, Debug, PartialEq, Eq)]
    pub enum EndOfSeason {
        /// Lifted when ripe.
        Lift = "lift",
        /// Lifted before hard frost.
        LiftBeforeFrost = "lift before frost",
        /// Stands in the ground through winter and is lifted as wanted.
        LiftAsWanted = "lift as wanted",
        /// Cut down to the ground; the root stays.
        CutDown = "cut down",
        /// The wood or canes that have borne are cut out.
        PruneOut = "prune out",
        /// Cleared away.
        Clear = "clear",
    }
}

worded! {
    /// Which part of a plant is eaten.
    #[derive(Clone, Copy, Debug, PartialEq, Eq)]
    pub enum EatenPart {
        /// A fruit, in the kitchen's sense or the botanist's.
        Fruit = "fruit",
        /// A pod, with or without its seeds.
        Pod = "pod",
        /// Leaves, also as a head.
        Leaf = "leaf",
        /// A root that swells.
        Root = "root",
        Bulb = "bulb",
        /// A stem, also with its flower buds.
        Stem = "stem",
        /// A tuber, corm or rhizome.
        Tuber = "tuber",
        Seed = "seed",
    }
}

/// `before-sowing` under `seed`.
pub(super) fn seed_treatment(
    seed: &mut Fields<'_>,
    problems: &mut Problems,
) -> Option<Vec<SeedTreatment>> {
    words(seed, "before-sowing", SeedTreatment::ALL, problems)
}

/// The keys at the top of a sheet.
pub(super) fn read(fields: &mut Fields<'_>, sheet: &mut CropSheet, problems: &mut Problems) {
    sheet.bulbing_day_length =
        value(fields.read("bulbing-day-length", problems, units::hours_range));
    sheet.chill = chill(fields, problems);
    sheet.bolting = bolting(fields, problems);
    sheet.fruit_set = fruit_set(fields, problems);
    sheet.killed_at = value(fields.read("killed-at", problems, units::temperature));
    sheet.pollination = value(fields.word("pollination", Pollination::ALL, problems));
    sheet.pieces = value(fields.read("pieces", problems, units::number_range));
    sheet.ripe_when = value(fields.text("ripe-when", problems));
    sheet.curing = stored(fields, "curing", problems).map(|(days, at)| Curing { days, at });
    sheet.keeping = stored(fields, "keeping", problems).map(|(days, at)| Keeping { days, at });
    sheet.eaten = value(fields.word("eaten", EatenPart::ALL, problems));
    sheet.end_of_season = value(fields.word("end-of-season", EndOfSeason::ALL, problems));
}

fn chill(fields: &mut Fields<'_>, problems: &mut Problems) -> Option<Chill> {
    let mut part = Fields::new(fields.map("chill", problems)?, "chill", problems);
    let below = part.read("below", problems, units::temperature);
    let below = part.demand("below", below, "10 °C");
    let days = part.read("for", problems, units::days_range);
    let days = part.demand("for", days, "6-8 weeks");
    part.finish(problems);
    Some(Chill { below: below?.value, days: days?.value })
}

fn bolting(fields: &mut Fields<'_>, problems: &mut Problems) -> Option<Bolting> {
    let mut part = Fields::new(fields.map("bolting", problems)?, "bolting", problems);
    let found = Bolting {
        cold_below: value(part.read("below", problems, units::temperature)),
        cold_days: value(part.read("for", problems, units::days_range)),
        warm_above: value(part.read("above", problems, units::temperature)),
        day_length: value(part.read("day-length", problems, units::hours)),
    };
    part.finish(problems);
    Some(found)
}

fn fruit_set(fields: &mut Fields<'_>, problems: &mut Problems) -> Option<FruitSet> {
    let mut part = Fields::new(fields.map("fruit-set", problems)?, "fruit-set", problems);
    let found = FruitSet {
        night: value(part.read("night", problems, units::temperature_range)),
        day: value(part.read("day", problems, units::temperature_range)),
    };
    part.finish(problems);
    Some(found)
}

fn stored(
    fields: &mut Fields<'_>,
    key: &'static str,
    problems: &mut Problems,
) -> Option<(Range<Days>, Option<Range<Celsius>>)> {
    let mut part = Fields::new(fields.map(key, problems)?, key, problems);
    let days = part.read("for", problems, units::days_range);
    let days = part.demand("for", days, "10-14 days");
    let at = value(part.read("at", problems, units::temperature_range));
    part.finish(problems);
    Some((days?.value, at))
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::catalogue::sheet_reader::read_crop;
    use crate::origin::FileId;
    use crate::source::files::File;
    use crate::source::front_matter::read_markdown;

    fn sheet(lines: &str) -> (CropSheet, Vec<String>) {
        let bytes = format!("---\ncrop: test\n{lines}\n---\n").into_bytes();
        let file = File { id: FileId(0), path: "crops/test.md".to_owned(), bytes };
        let mut problems = Problems::new();
        let map = read_markdown(&file, &mut problems).and_then(|document| document.fields);
        let crop = read_crop(&map.expect("front matter"), "test", &mut problems);
        let told = problems.into_sorted().into_iter().map(|problem| problem.message).collect();
        (crop.expect("a crop").sheet, told)
    }

    #[test]
    fn each_key_is_read() {
        let (sheet, told) = sheet(
            "seed: {depth: 1-2 cm, per-station: 2-3, before-sowing: [soak, scarify]}\n\
             bulbing-day-length: 13-14 hours\nchill: {below: 10 °C, for: 6-8 weeks}\n\
             bolting: {below: 10 °C, for: 10 days, above: 24 °C, day-length: 14 h}\n\
             fruit-set: {night: 13-24 °C, day: 18-32 °C}\nkilled-at: -8 °C\npieces: 4-12\n\
             pollination: block\nripe-when: the silks are brown\n\
             curing: {for: 10-14 days, at: 24-29 °C}\nkeeping: {for: 12-24 weeks, at: 0-4 °C}\n\
             end-of-season: lift before frost\neaten: seed",
        );
        assert_eq!(told, Vec::<String>::new());
        assert_eq!(sheet.seed_treatment, Some(vec![SeedTreatment::Soak, SeedTreatment::Scarify]));
        assert_eq!(sheet.seeds_per_station.map(|range| range.high), Some(3.0));
        assert_eq!(sheet.chill.map(|chill| chill.days.low), Some(Days(42)));
        assert_eq!(sheet.bolting.and_then(|bolting| bolting.warm_above), Some(Celsius(24.0)));
        assert_eq!(sheet.fruit_set.and_then(|set| set.night?.low.into()), Some(Celsius(13.0)));
        assert_eq!(sheet.most_pieces(), Some(12));
        assert_eq!(sheet.killed_at, Some(Celsius(-8.0)));
        assert_eq!(sheet.pollination, Some(Pollination::Block));
        assert_eq!(sheet.keeping.map(|keeping| keeping.days.high), Some(Days(168)));
        assert_eq!(sheet.end_of_season, Some(EndOfSeason::LiftBeforeFrost));
        assert_eq!(sheet.eaten, Some(EatenPart::Seed));
    }

    #[test]
    fn a_wrong_word_is_told() {
        let (sheet, told) = sheet("end-of-season: lifting\nchill: {below: 10 °C}");
        assert_eq!((sheet.end_of_season, sheet.chill), (None, None));
        assert_eq!(told.len(), 2, "{told:?}");
    }
}
