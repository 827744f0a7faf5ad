//! How a harvest grew in the course of a season, and of earlier ones to the same day.

use chrono::NaiveDate;

use crate::catalogue::CropId;
use crate::dates::Period;
use crate::garden::model::{Garden, Season};
use crate::garden::records::HarvestRecord;
use crate::results::comparisons::to_date;
use crate::results::yields::measures::Weighed;
use crate::results::yields::{self, Whose, Yield};
use crate::units::MassUnit;

/// A season's harvest to a day.
#[derive(Clone, Debug, PartialEq)]
pub struct Curve {
    pub season: Season,
    /// Its days that count.
    pub days: Period,
    /// The sum at the end of them.
    pub sum: Yield,
    /// What had been picked by the evening of each day of picking, grams, earliest first.
    pub points: Vec<(NaiveDate, f64)>,
    /// The first day of the journal, if the season had begun before it.
    pub journal_begins: Option<NaiveDate>,
}

/// The harvest of a season and of those before it, latest first: of a crop, or of all that was weighed.
///
/// The season of the garden's day goes to that day, and the earlier ones to the same day of theirs; a season that is
/// over goes to its end, as do those before it.
pub fn of_seasons(
    garden: &Garden,
    season: Season,
    crop: Option<CropId>,
    weighed: Weighed,
) -> Vec<Curve> {
    let is_now = season == garden.season();
    let begins = to_date::journal_begins(garden);
    let until = |season: Season| {
        if is_now { to_date::to_same_day(season, garden.today) } else { season.days }
    };
    let is_told = |days: Period| begins.is_none_or(|begins| begins <= days.to);
    let earlier = to_date::earlier(garden, season).into_iter();
    let earlier = earlier.filter(|season| is_told(until(*season)));
    let curve = |season: Season| {
        let days = until(season);
        let of_it = |harvest: &&HarvestRecord| {
            crop.is_none_or(|crop| yields::whose(garden, harvest) == Whose::Crop(crop))
        };
        let harvests: Vec<_> = garden.harvests_in(days).iter().filter(of_it).collect();
        Curve {
            season,
            days,
            points: points(&harvests, weighed),
            sum: Yield::of(harvests),
            journal_begins: begins.filter(|day| *day > days.from),
        }
    };
    [season].into_iter().chain(earlier).map(curve).collect()
}

/// Sums by the evening of each day of picking; what was weighed otherwise is not in them.
fn points(harvests: &[&HarvestRecord], weighed: Weighed) -> Vec<(NaiveDate, f64)> {
    let mut points: Vec<(NaiveDate, f64)> = Vec::new();
    let mut sum = 0.0;
    for harvest in harvests.iter().filter(|harvest| harvest.is_cured == (weighed == Weighed::Dried))
    {
        let Some(weight) = harvest.weight else { continue };
        sum += MassUnit::Gram.measure(weight);
        match points.last_mut() {
            Some((date, so_far)) if *date == harvest.date => *so_far = sum,
            _ => points.push((harvest.date, sum)),
        }
    }
    points
}
