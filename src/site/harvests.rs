//! The harvest pages: one for each season, with totals by crop and month.

use std::collections::{BTreeMap, BTreeSet};

use chrono::{Datelike, NaiveDate};
use serde::Serialize;

use crate::dates::{Period, shift};
use crate::findings::Findings;
use crate::garden::model::{Garden, Season};
use crate::garden::records::HarvestRecord;
use crate::results::yields::book::Among;
use crate::results::yields::ground;
use crate::results::yields::measures::Weighed;
use crate::results::yields::{self, Whose, Yield};
use crate::site::amount::{Amount, grams};
use crate::site::came_of_it::{self, Heads};
use crate::site::comparisons::ComparisonsView;
use crate::site::costs::SeasonCosts;
use crate::site::frame::{Frame, Link};
use crate::site::growth_lines::{self, GrowthView};
use crate::site::heading::Heading;
use crate::site::message::Message;
use crate::site::page::{Area, Page, Part};
use crate::site::pickings::{MonthOfPickings, PickingsView};
use crate::site::plots;
use crate::site::plots::months::MonthsPlot;
use crate::site::plots::seasons::SeasonsPlot;
use crate::site::sums::{By, sums};
use crate::site::table::HarvestRow;
use crate::site::yields::{LotRow, YieldView};
use crate::units::MassUnit;

/// The harvests of a season.
#[derive(Clone, Debug, PartialEq, Serialize)]
pub struct HarvestsView {
    pub frame: Frame,
    pub season: String,
    /// All seasons with a harvest, newest first.
    pub seasons: Vec<Link>,
    /// All of it, beside the season before.
    pub lead: Option<Message>,
    /// The months of the season in which something was picked, by a day in each.
    pub months: Vec<NaiveDate>,
    /// A row for each crop.
    pub rows: Vec<HarvestRowView>,
    /// The sum of all rows, month by month and in all.
    pub total: HarvestRowView,
    pub heads: Heads,
    /// By crop and variety.
    pub varieties: Vec<LotRow>,
    /// By place, by the whole ground of each.
    pub places: Vec<LotRow>,
    /// By kind of place.
    pub kinds: Vec<LotRow>,
    /// By season, newest first.
    pub by_season: Vec<LotRow>,
    /// What was spent in the season.
    pub costs: Option<SeasonCosts>,
    /// What was picked month by month, drawn.
    pub months_plot: Option<MonthsPlot>,
    /// Beside earlier seasons, drawn.
    pub seasons_plot: Option<SeasonsPlot>,
    /// In which weeks, drawn.
    pub year: Option<GrowthView>,
    pub comparisons: String,
    /// To every picking, month by month.
    pub pickings: Vec<MonthOfPickings>,
}

/// A crop's harvest by month.
#[derive(Clone, Debug, PartialEq, Serialize)]
pub struct HarvestRowView {
    /// The crop; nothing for what was weighed together and for the total.
    pub crop: Option<Link>,
    /// By month, in the order of the months; nothing where nothing was picked.
    pub months: Vec<Option<YieldView>>,
    pub total: YieldView,
}

impl Page for HarvestsView {
    type Key = Season;

    const PART: Part = Part { key: "harvests", href: "harvests/index.html", area: Area::Picked };
    const TEMPLATE: &'static str = "harvests.html";

    /// The seasons in which something was picked, newest first; the current one is always there.
    fn keys(garden: &Garden) -> Vec<Season> {
        let mut seasons: Vec<Season> = vec![garden.season()];
        let mut earlier = &garden.harvests[..];
        while let Some(last) = earlier.last() {
            let season = garden.season_of(last.date);
            if !seasons.contains(&season) {
                seasons.push(season);
            }
            let before = earlier.partition_point(|harvest| harvest.date < season.days.from);
            earlier = &earlier[..before];
        }
        seasons
    }

    fn path(garden: &Garden, &season: &Season) -> String {
        Self::PART.of_season(garden, season)
    }

    fn view(garden: &Garden, findings: &Findings, &season: &Season) -> Self {
        let system = garden.settings.units;
        let days = season.days;
        let all: Vec<&HarvestRecord> = garden.harvests_in(days).iter().collect();
        let mut by_crop: BTreeMap<Whose, Vec<&HarvestRecord>> = BTreeMap::new();
        for harvest in &all {
            by_crop.entry(yields::whose(garden, harvest)).or_default().push(harvest);
        }
        let months: Vec<NaiveDate> = months_of(days)
            .into_iter()
            .filter(|day| all.iter().any(|harvest| harvest.date.month() == day.month()))
            .collect();
        let row = |whose, own: &[&HarvestRecord]| {
            HarvestRowView::new(garden, (days.from, &months), whose, own)
        };
        let mut rows: Vec<HarvestRowView> =
            by_crop.iter().map(|(whose, own)| row(Some(*whose), own)).collect();
        rows.sort_by(|a, b| (a.crop.is_none(), &a.crop).cmp(&(b.crop.is_none(), &b.crop)));
        let by = |by, among| came_of_it::rows(garden, &sums(garden, &findings.book, by, among));
        let own = Among::Season(days.from);
        let title = Message::new("title.harvests").with("season", season.name());
        HarvestsView {
            frame: Frame::new::<Self>(garden, &season, title),
            season: season.name(),
            lead: in_a_sentence(garden, season),
            seasons: Self::keys(garden)
                .into_iter()
                .map(|season| Link::new(season.name(), Self::path(garden, &season)))
                .collect(),
            total: row(None, &all),
            months_plot: plots::months::of_season(garden, days, None, Weighed::Fresh),
            seasons_plot: plots::seasons::of(garden, season, None, Weighed::Fresh),
            year: growth_lines::of_season(garden, findings, season),
            comparisons: ComparisonsView::path(garden, &()),
            months,
            rows,
            heads: Heads::new(system),
            varieties: came_of_it::by_name(by(By::Variety, own)),
            places: came_of_it::by_name(by(By::Place, own)),
            kinds: by(By::Kind, own),
            by_season: by(By::Season, Among::All).into_iter().rev().collect(),
            costs: SeasonCosts::new(garden, days),
            pickings: PickingsView::months(garden, days),
        }
    }
}

impl HarvestRowView {
    /// What was picked in a season, by its first day, and in its months: of whom is said, or of all.
    fn new(
        garden: &Garden,
        (season, months): (NaiveDate, &[NaiveDate]),
        whose: Option<Whose>,
        own: &[&HarvestRecord],
    ) -> HarvestRowView {
        let view = |sum: &Yield, of: Heading| {
            let heading = match whose {
                Some(whose) => of.crop(garden, whose),
                None => of,
            };
            YieldView::new(sum, garden.settings.units).about(&heading)
        };
        let month = |day: &NaiveDate| {
            let of_month = own.iter().filter(|harvest| harvest.date.month() == day.month());
            let sum = Yield::of(of_month.copied());
            (sum.pickings > 0).then(|| view(&sum, Heading::default().month(*day)))
        };
        HarvestRowView {
            crop: match whose {
                Some(Whose::Crop(id)) => Some(Link::crop(garden, id)),
                Some(Whose::Several) | None => None,
            },
            months: months.iter().map(month).collect(),
            total: view(&Yield::of(own.iter().copied()), Heading::default().season(garden, season)),
        }
    }
}

/// `138 kg from 18 crops, 23 kg more than in 2024`: the fresh weight of a season, beside the season before; of a season
/// that still runs, beside what had been picked by the same day. Nothing where nothing fresh was weighed.
pub fn in_a_sentence(garden: &Garden, season: Season) -> Option<Message> {
    let units = garden.settings.units;
    let weight = |days: Period| Yield::of(garden.harvests_in(days)).fresh;
    let is_over = season.days.to < garden.today;
    let days = Period { from: season.days.from, to: season.days.to.min(garden.today) };
    let now = weight(days)?;
    let crops: BTreeSet<_> = garden
        .harvests_in(days)
        .iter()
        .flat_map(|harvest| &harvest.plantings)
        .map(|id| garden.planting(*id).crop)
        .collect();
    let before = garden.season_of(shift(season.days.from, -1));
    let until = if is_over { before.days.to } else { shift(garden.today, -365) };
    let then = weight(Period { from: before.days.from, to: until });
    let key = match (is_over, then) {
        (false, None) => "picked.so-far",
        (false, Some(_)) => "picked.so-far-then",
        (true, None) => "picked.all",
        // Weights are not known so well that a twentieth would be a difference.
        (true, Some(then)) if (grams(now) - grams(then)).abs() * 20.0 <= grams(then) => {
            "picked.as-much"
        }
        (true, Some(then)) if grams(now) > grams(then) => "picked.more",
        (true, Some(_)) => "picked.less",
    };
    let message = Message::new(key)
        .with("now", Amount::mass(now, units))
        .with("crops", Message::new("review.crops").with("count", crops.len() as u64))
        .with("day", garden.today)
        .with("before", before.name());
    Some(match then {
        Some(then) => {
            let apart = MassUnit::Gram.of((grams(now) - grams(then)).abs());
            message
                .with("then", Amount::mass(then, units))
                .with("difference", Amount::mass(apart, units))
        }
        None => message,
    })
}

/// The first day of each month that a span touches.
fn months_of(days: Period) -> Vec<NaiveDate> {
    let mut months: BTreeMap<(i32, u32), NaiveDate> = BTreeMap::new();
    for day in days.each_day() {
        months.entry((day.year(), day.month())).or_insert(day);
    }
    months.into_values().collect()
}

/// The table of pickings, from the root.
pub const TABLE_PATH: &str = "harvests.csv";

/// Every picking as a row of the table, oldest first.
pub fn rows(garden: &Garden) -> Vec<HarvestRow> {
    garden
        .harvests
        .iter()
        .map(|harvest| {
            let plantings: Vec<_> =
                harvest.plantings.iter().map(|id| garden.planting(*id)).collect();
            let only = match plantings.as_slice() {
                [only] => Some(*only),
                _ => None,
            };
            let mut crops: Vec<_> = plantings
                .iter()
                .map(|planting| garden.catalogue.get(planting.crop).name.as_str())
                .collect();
            crops.sort_unstable();
            crops.dedup();
            let mut places: Vec<_> = harvest
                .plantings
                .iter()
                .flat_map(|id| ground::places_on(garden, *id, harvest.date))
                .map(|id| garden.place(id).name.as_str())
                .collect();
            places.sort_unstable();
            places.dedup();
            HarvestRow {
                date: harvest.date,
                planting: plantings
                    .iter()
                    .map(|planting| planting.id.as_str())
                    .collect::<Vec<_>>()
                    .join(" + "),
                crop: crops.join(" + "),
                variety: only.and_then(|planting| planting.variety.clone().map(String::from)),
                place: (!places.is_empty()).then(|| places.join(" + ")),
                weight_g: harvest.weight.map(grams),
                count: harvest.count,
                unit: harvest.count.map(|_| harvest.unit.to_string()),
                quality: harvest.quality.clone().map(String::from),
                cured: Some(harvest.is_cured),
                note: harvest.note.clone().map(String::from),
            }
        })
        .collect()
}
