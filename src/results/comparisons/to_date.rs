//! This season and earlier ones, each to the same day.
//!
//! A season that is not over is held against the same part of the earlier ones: pickings after the same day of theirs
//! do not count, and a planting counts in a season if it stood where it was to grow by that day of it.

use chrono::NaiveDate;

use crate::catalogue::CropId;
use crate::dates::{MonthDay, Period, shift};
use crate::garden::model::{Garden, Season};
use crate::garden::planting::PlantingId;
use crate::results::comparisons::sides::{Told, rate, usual_way};
use crate::results::comparisons::standing;
use crate::results::comparisons::{LeftOut, Member, What};
use crate::results::yields::measures::{self, Per, Rate, Weighed};

/// From a season's first day to the day of it that has the date of `today`; 28 February where it has no 29th.
pub fn to_same_day(season: Season, today: NaiveDate) -> Period {
    let day = MonthDay::of(today).next_on_or_after(season.days.from);
    Period { from: season.days.from, to: day.min(season.days.to) }
}

/// The seasons before this one that the journal tells of, latest first.
pub fn earlier(garden: &Garden, season: Season) -> Vec<Season> {
    let begins = journal_begins(garden).unwrap_or(season.days.from);
    let before = |season: &Season| garden.season_of(shift(season.days.from, -1));
    std::iter::successors(Some(before(&season)), |season| Some(before(season)))
        .take_while(|season| season.days.to >= begins)
        .collect()
}

/// The first day that an entry or a picking is of.
pub fn journal_begins(garden: &Garden) -> Option<NaiveDate> {
    let entry = garden.entries.first().map(|entry| entry.date);
    let picking = garden.harvests.first().map(|harvest| harvest.date);
    entry.into_iter().chain(picking).min()
}

/// Every planting of a crop in every season in which it stood by the day, this season's and earlier ones'.
pub(super) fn members(garden: &Garden, crop: CropId, per: Per) -> (Weighed, Vec<Told>) {
    let season = garden.season();
    let mut stood: Vec<(PlantingId, What, Period)> = Vec::new();
    let earlier = earlier(garden, season).into_iter();
    let seasons = earlier.map(|season| (season, What::EarlierSeasons));
    for (season, what) in seasons.chain([(season, What::ThisSeason)]) {
        let days = to_same_day(season, garden.today);
        let own = garden.plantings_of(crop).iter().map(|id| (*id, garden.planting(*id)));
        let stood_by_then = own.filter(|(_, planting)| {
            let set_out = standing::set_out(garden, planting);
            set_out.is_some_and(|day| day <= days.to)
                && planting.finished.is_none_or(|finished| finished >= days.from)
        });
        stood.extend(stood_by_then.map(|(id, _)| (id, what.clone(), days)));
    }
    let stood = in_one_season(garden, stood);
    let measured = stood.iter().map(|(id, _, days)| measures::in_period(garden, *id, *days));
    let weighed = usual_way(measured);
    let told = stood.into_iter().map(|(id, what, days)| {
        let planting = garden.planting(id);
        if planting.is_perennial {
            return (id, Err(LeftOut::StandsForYears));
        }
        if planting.is_older_than_journal
            && journal_begins(garden).is_none_or(|day| day > days.from)
        {
            return (id, Err(LeftOut::OlderThanJournal));
        }
        let measures = measures::in_period(garden, id, days);
        let member = rate(&measures, per, weighed).map(|Rate { grams, is_about }| {
            let (unweighed, stood) = (measures.sum.unweighed, standing::stood(garden, planting));
            Member { planting: id, grams, is_about, unweighed, stood, season: days }
        });
        (id, member.map(|member| (what, member)))
    });
    (weighed, told.collect())
}

/// A planting that stands in two seasons counts in one: that of its first picking, else the first in which it stood. A
/// season is not held against itself.
fn in_one_season(
    garden: &Garden,
    stood: Vec<(PlantingId, What, Period)>,
) -> Vec<(PlantingId, What, Period)> {
    let picked = |id: PlantingId| garden.harvests_of(id).next().map(|harvest| harvest.date);
    let season_of = |day: NaiveDate| garden.season_of(day).days.from;
    let is_home = |(id, _, days): &(PlantingId, What, Period)| {
        let own = stood.iter().filter(|(other, ..)| other == id).map(|(.., days)| days.from);
        let of_picking = picked(*id).map(season_of);
        let home = of_picking.filter(|from| own.clone().any(|own| own == *from)).or(own.min());
        home == Some(days.from)
    };
    stood.iter().filter(|one| is_home(one)).cloned().collect()
}

#[cfg(test)]
mod tests {
    use super::*;

    fn date(text: &str) -> NaiveDate {
        text.parse().unwrap()
    }

    fn season(from: &str, to: &str) -> Season {
        Season { days: Period { from: date(from), to: date(to) } }
    }

    #[test]
    fn the_same_day_of_a_season() {
        let last = |season, today| to_same_day(season, date(today)).to;
        assert_eq!(last(season("2025-01-01", "2025-12-31"), "2026-06-20"), date("2025-06-20"));
        assert_eq!(last(season("2025-01-01", "2025-12-31"), "2028-02-29"), date("2025-02-28"));
        assert_eq!(last(season("2024-07-01", "2025-06-30"), "2026-02-11"), date("2025-02-11"));
        assert_eq!(last(season("2024-07-01", "2025-06-30"), "2025-09-02"), date("2024-09-02"));
        assert_eq!(last(season("2025-01-01", "2025-12-31"), "2026-12-31"), date("2025-12-31"));
    }
}
