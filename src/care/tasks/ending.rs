//! When work for a planting ends or rests: its harvest is over, frost has come, or nothing grows.

use chrono::NaiveDate;

use crate::calendar::shelter::{Shelter, frost_shift};
use crate::care::tasks::model::Why;
use crate::care::tasks::outlook::{Moment, Outlook, Window};
use crate::care::tasks::visits::{self, Visit};
use crate::catalogue::Turn;
use crate::catalogue::sheet::Hardiness;
use crate::catalogue::traits::EndOfSeason;
use crate::dates::shift;
use crate::place_kind::Cover;
use crate::stage::Stage;
use crate::stages::Milestone;

/// Nothing grows while the mean day is not warmer than this: the growing season of the joint expert team on climate
/// indices (ETCCDI, index GSL: 5 °C; from memory).
const GROWS_ABOVE_C: f64 = 5.0;
/// A plant that is killed by a night warmer than this dies with the first frosts. Common practice, no source.
const FROST_KILLS_C: f64 = -3.0;
/// The night that kills a tender plant, where its sheet has no figure. Common practice, no source.
const TENDER_C: f64 = 0.0;
/// A harvest is over when it has been looked for in vain so many times running. Common practice, no source.
const LOOKS_IN_VAIN: usize = 2;

/// What was not ripe is not given up before so many days. Common practice, no source.
const NOT_RIPE_DAYS: i64 = 14;

impl Outlook<'_> {
    /// The day on which an annual is to be cleared: its season is over and it bears no more, or frost has killed it.
    pub(super) fn clear_day(&self) -> Option<NaiveDate> {
        if self.course.is_perennial() || self.course.planting.begun().is_none() {
            return None;
        }
        let end = self.of_milestone(Milestone::Stage(Stage::Finished));
        let last = self.course.pickings().next_back();
        // What waits to be set out has not had its season.
        let is_out = !self.course.is_raised() || self.has_reached(Stage::PlantedOut);
        let season = end.and_then(|end| end.expected).filter(|_| is_out || last.is_some());
        let by_season = season.map(|season| {
            last.map_or(self.put_off(season.to), |last| season.to.max(self.bears_until(last)))
        });
        [by_season, self.spent_since(), self.frost_kills_on()].into_iter().flatten().min()
    }

    /// The first day on which nothing is fed, tied, weeded or pollinated any more.
    pub(super) fn tended_until(&self) -> Option<NaiveDate> {
        [self.clear_day(), self.frost_may_kill_from()].into_iter().flatten().min()
    }

    /// The first day on which it is fed no more. What is lifted once gets nothing in the weeks before (common practice,
    /// no source: two), and what stands for years nothing after its harvest.
    pub(super) fn fed_until(&self) -> Option<NaiveDate> {
        const BEFORE_LIFTING_DAYS: i64 = 14;
        let first = self.of_milestone(Milestone::FirstHarvest);
        let is_lifted = self.course.sheet().picking_every.is_none();
        let lifted = first.and_then(|first| first.actual.or(first.expected.map(|all| all.from)));
        let lifted = lifted.filter(|_| is_lifted).map(|day| shift(day, -BEFORE_LIFTING_DAYS));
        let borne = self.season_end().filter(|_| self.course.is_perennial());
        [lifted, borne, self.tended_until()].into_iter().flatten().min()
    }

    /// When picking is expected to end, counted from the first picking if there was one.
    pub(super) fn season_end(&self) -> Option<NaiveDate> {
        let end = self.of_milestone(Milestone::Stage(Stage::Finished));
        if let Some(period) = end.and_then(|end| end.expected) {
            return Some(self.put_off(period.to));
        }
        let lasts = self.course.sheet().harvest_lasts?;
        let first = self.of_milestone(Milestone::FirstHarvest)?;
        let first = first.actual.or(first.expected.map(|period| period.to))?;
        Some(self.put_off(shift(first, i64::from(lasts.high.0))))
    }

    /// The end of a season of which nothing was picked so far: what was not ripe when it was looked for has all of it before it,
    /// and two weeks at least, but no more than once over.
    fn put_off(&self, end: NaiveDate) -> NaiveDate {
        let visits = visits::of(self);
        let this_round = || visits.iter().filter(|visit| self.course.is_this_round(visit.date));
        let is_picked = this_round().any(|visit| visit.is_picking);
        let (Some(last), Some(lasts), false) =
            (this_round().next_back(), self.course.sheet().harvest_lasts, is_picked)
        else {
            return end;
        };
        let lasts = i64::from(lasts.high.0).max(NOT_RIPE_DAYS);
        end.max(shift(last.date, lasts).min(shift(end, lasts)))
    }

    /// After its season a crop is still looked at while it goes on bearing: until two intervals pass without
    /// a picking.
    pub(super) fn bears_until(&self, last: NaiveDate) -> NaiveDate {
        let every = self.course.sheet().picking_every;
        shift(last, every.map_or(0, |every| i64::from(every.high.0).saturating_mul(2)))
    }

    /// The day since which nothing more is found: it was picked for as long as it usually bears at least, and then
    /// looked for in vain.
    pub(super) fn spent_since(&self) -> Option<NaiveDate> {
        let lasts = self.course.sheet().harvest_lasts?;
        let visits = visits::of(self);
        let this_round = visits.iter().filter(|visit| self.course.is_this_round(visit.date));
        let (picked, looked): (Vec<&Visit>, Vec<&Visit>) = this_round.partition(|v| v.is_picking);
        let (first, last) = (picked.first()?.date, picked.last()?.date);
        let in_vain = looked.iter().filter(|visit| visit.date > last).nth(LOOKS_IN_VAIN - 1)?.date;
        Some(in_vain.max(shift(first, i64::from(lasts.low.0))))
    }

    /// The day on which frost has killed it: by the weather that was noted, else the day by which it has in half of the
    /// years.
    fn frost_kills_on(&self) -> Option<NaiveDate> {
        let kills_c = self.killed_by_frost()?;
        let (out, cover) = self.outdoors_since()?;
        let warmer = Shelter::of(cover)?.warmer_c;
        let weather = self.garden().weather.range(out.min(self.today())..=self.today());
        let seen = weather
            .filter(|(day, _)| **day >= out)
            .filter(|(_, seen)| seen.low_c.is_some_and(|low| low + warmer <= kills_c))
            .map(|(day, _)| shift(*day, 1));
        seen.chain(self.autumn_frost(0.5)).min()
    }

    /// The day from which frost may kill it, at the garden's risk.
    fn frost_may_kill_from(&self) -> Option<NaiveDate> {
        self.killed_by_frost()?;
        self.autumn_frost(self.course.conditions.risk)
    }

    /// The first day of autumn on which the garden has had frost with such a chance, after it came outdoors.
    fn autumn_frost(&self, chance: f64) -> Option<NaiveDate> {
        let (out, cover) = self.outdoors_since()?;
        let model = self.course.conditions.autumn_frost.model()?;
        let day = model.date_at(chance)?.next_on_or_after(out);
        Some(shift(day, frost_shift(cover)?))
    }

    /// The night that kills it, if the first frosts do.
    fn killed_by_frost(&self) -> Option<f64> {
        let sheet = self.course.sheet();
        let tender = (sheet.hardiness == Some(Hardiness::Tender)).then_some(TENDER_C);
        sheet.killed_at.map(|night| night.0).or(tender).filter(|night| *night > FROST_KILLS_C)
    }

    /// Since when it stands where frost can reach it, and under what.
    fn outdoors_since(&self) -> Option<(NaiveDate, Cover)> {
        let out = self.when(Stage::PlantedOut).map(|moment| moment.date);
        let begun = self.course.planting.begun().filter(|_| !self.course.is_raised());
        let since = begun.or(out)?;
        let cover = self.place_to_crop().map_or(Cover::None, |place| place.cover);
        Some((since, cover))
    }

    /// When a turn of the year comes, or is taken to come, for a planting; nothing where it never does.
    pub(super) fn turn(&self, turn: Turn) -> Option<Moment> {
        let first = self.of_milestone(Milestone::FirstHarvest)?;
        let what = match turn {
            Turn::FirstPicking => Milestone::FirstHarvest,
            Turn::LastPicking | Turn::GrowthEnds => Milestone::Stage(Stage::Finished),
        };
        let date = match turn {
            Turn::FirstPicking => first.actual.or(first.expected.map(|days| days.from))?,
            Turn::LastPicking => self.season_end()?,
            Turn::GrowthEnds => return self.growth_ends(),
        };
        let cause = self.newest_step();
        let cause = if date <= self.today() { cause.not_before(date) } else { cause };
        Some(Moment { date, is_expected: true, why: Why::Expected(what, date), cause })
    }

    /// The day of this season after which nothing grows, once it has been growing.
    fn growth_ends(&self) -> Option<Moment> {
        let season = self.garden().season().days;
        let starts = self.growing_from(season.from);
        let mut days = starts.iter_days().take_while(|day| season.contains(*day));
        let date = days.find(|day| self.growing_from(*day) > *day)?;
        let cause = self.newest_step();
        let cause = if date <= self.today() { cause.not_before(date) } else { cause };
        Some(Moment { date, is_expected: true, why: Why::Season, cause })
    }

    /// From when to when the first frosts may kill what still stands, at the garden's risk and in half of the years.
    pub(super) fn frost_of_autumn(&self) -> Option<Window> {
        let due = self.frost_may_kill_from()?;
        Some(Window { due, until: self.autumn_frost(0.5).unwrap_or(due).max(due) })
    }

    /// Until when frost may still kill what was set out this spring.
    pub(super) fn frost_of_spring(&self) -> Option<Window> {
        const SPRING_DAYS: i64 = 60;
        self.killed_by_frost()?;
        let (out, cover) = self.outdoors_since()?;
        let model = self.course.conditions.spring_frost.model()?;
        let last = model.date_at(self.course.conditions.risk)?.next_on_or_after(out);
        let until = shift(last, -frost_shift(cover)?);
        let is_spring = until > out && until <= shift(out, SPRING_DAYS);
        is_spring.then_some(Window { due: out, until })
    }

    /// The day before which what frost would spoil is lifted.
    pub(super) fn lift_before(&self) -> Option<NaiveDate> {
        let sheet = self.course.sheet();
        let is_tender = self.killed_by_frost().is_some() && sheet.picking_every.is_none();
        let is_lifted = sheet.end_of_season == Some(EndOfSeason::LiftBeforeFrost);
        let day = self.autumn_frost(self.course.conditions.risk)?;
        (is_tender || is_lifted).then_some(day)
    }

    /// A time at which work of growth is due, moved to when it grows; what is open waits through the winter.
    pub(super) fn while_growing(&self, window: Window) -> Window {
        let moved = window.not_before(self.growing_from(window.due));
        let today = self.today();
        let next = self.growing_from(moved.due.max(today));
        if next > moved.due.max(today) { moved.not_before(next) } else { moved }
    }

    /// The first day from this one on on which it grows; what stands indoors always does.
    pub(super) fn growing_from(&self, day: NaiveDate) -> NaiveDate {
        let place = self.course.place_now().map(|id| self.garden().place(id));
        let cover = place.map_or(Cover::None, |place| place.cover);
        let (Some(normals), Some(shelter)) =
            (self.course.conditions.normals.as_ref(), Shelter::of(cover))
        else {
            return day;
        };
        let grows = |day: &NaiveDate| {
            (normals.low_c(*day) + normals.high_c(*day)) / 2.0 + shelter.warmer_c > GROWS_ABOVE_C
        };
        day.iter_days().take(366).find(grows).unwrap_or(day)
    }
}
