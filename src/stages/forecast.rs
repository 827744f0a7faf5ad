//! Each milestone's range from those before it.

use crate::catalogue::CareRule;
use crate::catalogue::sheet::{AfterStage, DegreeDays};
use crate::dates::{Period, put_off, shift};
use crate::garden::planting::Way;
use crate::jobs::Job;
use crate::stage::Stage;
use crate::stages::course::{self, Beginning, Course};
use crate::stages::usual_weather::UsualWeather;
use crate::stages::{Milestone, StageDates, warmth, yearly};
use crate::units::{Days, Range};

/// Pricking out, after emergence: the first true leaves. Common practice, no source.
const TRUE_LEAVES: Range<i64> = Range { low: 10, high: 21 };
/// Potting on, after pricking out: roots have to fill the cell first. Common practice, no source.
pub(crate) const ROOTS_FILL_DAYS: i64 = 14;
/// Getting used to outdoor air. Common practice, no source: 7 to 10 days.
const HARDENING: Range<i64> = Range { low: 7, high: 10 };
/// Bought young plants wait so long before they are set out. Common practice, no source.
const BOUGHT_WAIT: Range<i64> = Range { low: 7, high: 14 };
/// From first flowers to first set fruits. Common practice, no source.
const FRUIT_SET: Range<i64> = Range { low: 3, high: 10 };
/// A crop that is under cover for a shorter time is sown where it stays until it is set out. Common
/// practice, no source.
const SHORTEST_FOR_PRICKING_OUT: i32 = 28;

/// The milestones of a planting while they are worked out.
#[derive(Debug)]
pub(super) struct Forecast<'a> {
    course: Course<'a>,
    dates: Vec<StageDates>,
}

impl<'a> Forecast<'a> {
    pub(super) fn of(course: Course<'a>) -> Forecast<'a> {
        let order = course.order();
        let actual = |what: &Milestone| StageDates {
            what: *what,
            expected: None,
            actual: course.actual(*what),
        };
        let dates = order.iter().map(actual).collect();
        let mut forecast = Forecast { course, dates };
        for (index, what) in order.into_iter().enumerate() {
            let expected = forecast.expect(what);
            forecast.dates[index].expected = expected.filter(|range| range.from <= range.to);
        }
        forecast
    }

    /// Those that came, and those that may still come.
    pub(super) fn into_dates(self) -> Vec<StageDates> {
        let last = self.dates.iter().rposition(|dates| dates.actual.is_some());
        let is_told = |(index, dates): &(usize, StageDates)| {
            let may_come = dates.expected.is_some() && last.is_none_or(|last| *index > last);
            dates.actual.is_some() || may_come
        };
        let told = self.dates.into_iter().enumerate().filter(is_told);
        told.map(|(_, dates)| dates).collect()
    }

    fn expect(&self, what: Milestone) -> Option<Period> {
        if self.course.is_perennial()
            && let Some(period) = yearly::as_last_year(&self.course, what)
        {
            return Some(period);
        }
        if what == Milestone::FirstHarvest
            && let Some(period) =
                yearly::by_warmth(&self.course).or_else(|| yearly::by_growth(&self.course))
        {
            return Some(period);
        }
        let expected = self.of_earlier(what)?;
        let is_over = self.course.is_perennial()
            && expected.to < self.course.garden.season_of(self.course.today()).days.from
            && what > Milestone::Stage(Stage::PlantedOut);
        (!is_over).then_some(expected)
    }

    fn of_earlier(&self, what: Milestone) -> Option<Period> {
        match what {
            Milestone::Stage(Stage::Sown) => self.sowing(),
            Milestone::Stage(Stage::Emerged) => self.emergence(),
            Milestone::Stage(Stage::PrickedOut) => self.pricking_out(),
            Milestone::Stage(Stage::PottedOn) => self.potting_on(),
            Milestone::Stage(Stage::HardeningOff) => self.hardening_off(),
            Milestone::Stage(Stage::PlantedOut) => self.planting_out(),
            Milestone::Stage(Stage::Flowering) => self.flowering(),
            Milestone::Stage(Stage::Fruiting) => self.fruit_set(),
            Milestone::FirstHarvest => self.first_harvest(),
            Milestone::Stage(Stage::Finished) => self.end(),
            Milestone::Stage(Stage::Intended | Stage::SownAgain) => None,
        }
    }

    fn sowing(&self) -> Option<Period> {
        let is_seed = self.course.beginning != Beginning::SetOut;
        let is_meant = self.course.planting.way == Way::Intended;
        self.course.plan.sow.filter(|_| is_seed && is_meant)
    }

    fn emergence(&self) -> Option<Period> {
        if let Some(days) = self.course.sheet().emerges_in {
            let into_soil = match self.course.beginning {
                Beginning::SetOut => Stage::PlantedOut,
                _ => Stage::Sown,
            };
            return Some(later(self.anchor(Milestone::Stage(into_soil))?, days));
        }
        if self.course.beginning == Beginning::SetOut {
            let days = self.course.sheet().germination_days?;
            return Some(later(self.anchor(Milestone::Stage(Stage::PlantedOut))?, days));
        }
        let sown = self.anchor(Milestone::Stage(Stage::Sown))?;
        let emerged = Milestone::Stage(Stage::Emerged);
        let by_warmth = || {
            let days = self.course.sheet().emerges_after?;
            let usual = UsualWeather::of(self.course.sheet(), emerged, self.course.conditions)?;
            warmth::by_usual_days(&self.course, sown, Stage::Sown, days, usual)
        };
        by_warmth().or_else(|| warmth::emergence(&self.course, sown))
    }

    /// Small seed sown together: not in cells, not big seed with a short time under cover, and not the
    /// onion family, which goes out from its tray (common practice, no source).
    fn pricking_out(&self) -> Option<Period> {
        let sheet = self.course.sheet();
        let place = self.course.planting.first_place.map(|id| self.course.garden.place(id));
        let is_in_cells = place.is_some_and(|place| place.cells.is_some());
        let is_long =
            sheet.under_cover.is_some_and(|days| days.high.0 >= SHORTEST_FOR_PRICKING_OUT);
        let is_onion = sheet.family.as_deref() == Some("Amaryllidaceae");
        if !self.course.is_raised() || is_in_cells || !is_long || is_onion {
            return None;
        }
        Some(plus(self.anchor(Milestone::Stage(Stage::Emerged))?, TRUE_LEAVES))
    }

    fn potting_on(&self) -> Option<Period> {
        let rule = self.course.pot_on_rule().filter(|_| self.course.is_raised())?;
        let anchor = self.anchor(Milestone::Stage(rule.from))?;
        let period = rule.after.map_or(anchor, |after| later(anchor, after));
        let pricked_out = self.course.actual(Milestone::Stage(Stage::PrickedOut));
        let earliest = pricked_out.map(|day| shift(day, ROOTS_FILL_DAYS));
        Some(earliest.map_or(period, |day| period.not_before(day)))
    }

    fn hardening_off(&self) -> Option<Period> {
        if !self.course.is_raised() || !self.course.goes_outdoors() {
            return None;
        }
        let out = self.ready_to_go_out()?;
        Some(Period { from: shift(out.from, -HARDENING.high), to: shift(out.from, -HARDENING.low) })
    }

    /// When it is ready, and not before it is hardened off, once that has begun.
    fn planting_out(&self) -> Option<Period> {
        let period = self.ready_to_go_out()?;
        let hardening = self.course.actual(Milestone::Stage(Stage::HardeningOff));
        Some(hardening.map_or(period, |day| period.not_before(shift(day, HARDENING.low))))
    }

    /// Ready by its weeks under cover, and not before the plan allows it.
    fn ready_to_go_out(&self) -> Option<Period> {
        let planned = self.course.plan.plant_out;
        if self.course.beginning == Beginning::SetOut {
            return planned.filter(|_| self.course.planting.way == Way::Intended);
        }
        if !self.course.is_raised() {
            return None;
        }
        let is_bought = self.course.planting.way == Way::Bought;
        let begun = self.course.planting.begun();
        let ready = match (begun, self.course.sheet().under_cover) {
            (Some(begun), _) if is_bought => {
                Some(plus(Period { from: begun, to: begun }, BOUGHT_WAIT))
            }
            (_, weeks) => self
                .anchor(Milestone::Stage(Stage::Sown))
                .zip(weeks)
                .map(|(sown, weeks)| later(sown, weeks)),
        };
        match (ready, planned) {
            (Some(ready), Some(planned)) => {
                let from = ready.from.max(planned.from);
                Some(Period {
                    from,
                    to: ready.to.max(planned.from).min(planned.to.max(from)).max(from),
                })
            }
            (ready, planned) => ready.or(planned),
        }
    }

    fn flowering(&self) -> Option<Period> {
        let durations = self.course.durations();
        let sum = durations.sums.and_then(|sums| Some((sums, sums.to_flowering?)));
        let by_sum = sum.and_then(|(sums, sum)| self.by_sum(sum, &sums));
        by_sum.or_else(|| self.after(durations.flowering?, Milestone::Stage(Stage::Flowering)))
    }

    fn fruit_set(&self) -> Option<Period> {
        let is_fruit = self.course.sheet().bears_fruit();
        let flowers = self.anchor(Milestone::Stage(Stage::Flowering)).filter(|_| is_fruit)?;
        Some(plus(flowers, FRUIT_SET))
    }

    /// From the flowers, if they are open; else from the stage that the sheet counts from. Warmth counts before days: if
    /// only the sum to the flowers is missing, the whole sum to the harvest is followed.
    fn first_harvest(&self) -> Option<Period> {
        let durations = self.course.durations();
        let whole = durations.sums.and_then(|sums| Some((sums, sums.to_harvest?)));
        let flowers = self.course.actual(Milestone::Stage(Stage::Flowering));
        if let Some(day) = flowers {
            let open = Period { from: day, to: day };
            let left = whole.and_then(|(sums, to_harvest)| {
                let (from, to) = (warmth::spread(sums.to_flowering?), warmth::spread(to_harvest));
                let (low, high) = course::difference(from, to);
                let after = self.course.summed_from();
                warmth::by_sum(&self.course, open, after, (low.max(0.0), high.max(0.0)), &sums)
            });
            let by_sum = || self.by_sum(whole?.1, &whole?.0).map(|period| period.not_before(day));
            let by_warmth = || {
                let after = durations.first_harvest?;
                let usual = self.usual_weather(&after, Milestone::FirstHarvest)?;
                let days = durations.flower_to_harvest?.map(|days| f64::from(days.0));
                warmth::by_usual_days(&self.course, open, after.stage, days, usual)
            };
            let by_days = || Some(later(open, durations.flower_to_harvest?));
            if let Some(period) = left.or_else(by_sum).or_else(by_warmth).or_else(by_days) {
                return Some(period);
            }
        }
        let by_sum = whole.and_then(|(sums, sum)| self.by_sum(sum, &sums));
        let planting = self.course.planting;
        let nobody_knows = planting.is_older_than_journal && planting.since_year.is_none();
        let by_days = || self.after(durations.first_harvest?, Milestone::FirstHarvest);
        by_sum.or_else(by_days).filter(|_| !nobody_knows)
    }

    fn end(&self) -> Option<Period> {
        let lasts = self.course.sheet().harvest_lasts.filter(|_| !self.course.is_perennial())?;
        Some(later(self.anchor(Milestone::FirstHarvest)?, lasts))
    }

    fn by_sum(&self, sum: f64, sums: &DegreeDays) -> Option<Period> {
        let after = self.course.summed_from();
        let anchor = self.counted_from(after)?;
        warmth::by_sum(&self.course, anchor, after, warmth::spread(sum), sums)
    }

    /// So many days later: of the weather that the sheet means, where it is known and nobody learned otherwise.
    fn after(&self, duration: AfterStage, what: Milestone) -> Option<Period> {
        let anchor = self.counted_from(duration.stage)?;
        let by_warmth = || {
            let usual = self.usual_weather(&duration, what)?;
            let days = duration.days.map(|days| f64::from(days.0));
            warmth::by_usual_days(&self.course, anchor, duration.stage, days, usual)
        };
        Some(by_warmth().unwrap_or_else(|| later(anchor, duration.days)))
    }

    /// The weather of which a duration is told: nothing if it is the calendar's, or counts from before the plants stood where
    /// they grow on.
    fn usual_weather(&self, duration: &AfterStage, what: Milestone) -> Option<UsualWeather> {
        let is_of_weather = !duration.is_of_calendar && duration.stage == self.course.summed_from();
        let usual = UsualWeather::of(self.course.sheet(), what, self.course.conditions);
        usual.filter(|_| is_of_weather)
    }

    /// The day of sowing or of setting out; where the planting has no such day, the one that stands for
    /// it: weeks under cover lie between the two.
    fn counted_from(&self, stage: Stage) -> Option<Period> {
        if let Some(period) = self.anchor(Milestone::Stage(stage)) {
            return Some(period);
        }
        let weeks = self.course.sheet().under_cover;
        let middle =
            weeks.map_or(0, |weeks| (i64::from(weeks.low.0) + i64::from(weeks.high.0)) / 2);
        match stage {
            Stage::Sown => Some(self.anchor(Milestone::Stage(Stage::PlantedOut))?.shift(-middle)),
            _ if self.course.beginning == Beginning::Direct => {
                Some(self.anchor(Milestone::Stage(Stage::Sown))?.shift(middle))
            }
            _ => None,
        }
    }

    /// When it came, else when it is expected; work that is still to be done is put off.
    fn anchor(&self, what: Milestone) -> Option<Period> {
        let index = self.course.order().iter().position(|other| *other == what)?;
        let dates = self.dates[index];
        if let Some(day) = dates.actual {
            return Some(Period { from: day, to: day });
        }
        let is_passed = self.dates[index + 1..].iter().any(|later| later.actual.is_some());
        let expected = dates.expected?;
        let is_to_do = what.is_work() && !is_passed;
        if !is_to_do {
            return Some(expected);
        }
        let to = put_off(expected.to, self.course.today());
        Some(Period { from: put_off(expected.from, self.course.today()).min(to), to })
    }
}

impl Course<'_> {
    /// The stage that sums of warmth count from.
    fn summed_from(&self) -> Stage {
        if self.beginning == Beginning::Direct { Stage::Sown } else { Stage::PlantedOut }
    }

    /// The rule of its sheet for potting on.
    fn pot_on_rule(&self) -> Option<&CareRule> {
        let rules = self.sheet().care.as_deref().unwrap_or_default();
        let is_on = |rule: &&CareRule| self.garden.switches.turns_on(self.planting.crop, rule);
        rules.iter().filter(is_on).find(|rule| rule.task.value == Job::PotOn)
    }

    /// Whether it is meant to crop outdoors; so it is if nobody said where.
    pub(crate) fn goes_outdoors(&self) -> bool {
        self.planting.destined.is_none_or(|id| self.garden.place(id).is_outdoors())
    }
}

fn later(period: Period, days: Range<Days>) -> Period {
    plus(period, days.map(|days| i64::from(days.0)))
}

fn plus(period: Period, days: Range<i64>) -> Period {
    Period { from: shift(period.from, days.low), to: shift(period.to, days.high) }
}
