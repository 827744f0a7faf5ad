//! The rules of one crop begun in one way: may it be begun on a day, and when is it ready?
//!
//! *To begin.* Frost: not before the last frost at the garden's risk plus the crop's offset. Warmth: the mean of
//! eleven days of air at what the crop's group needs, and soil (sowing) or nights (planting out) at what its
//! sheet says; what a few cold days make run to seed waits until they are over. Heat: soil not far above the highest at
//! which seed sprouts, days not far above the highest at which it may be planted out; later heat does not forbid to
//! plant what is picked after it. Light: bulbs are begun before days are as long as those in which they swell.
//!
//! *To be ready.* By degree days where the sheet has a sum, else by days from sowing or planting out. A day
//! counts as far as it is warm, between the crop's base temperature and that of full growth, and as far as it
//! is light: a long day of the far north counts for more, one of less than nine hours for nothing. In cold and
//! dark an annual stops for good, and a tender one in a cool winter; in a dark but mild winter it waits. Then the first
//! pickings must come before frost kills the grown plant, while it still grows, and no hotter than the crop grows well at. What is
//! lifted at once is held to that heat when its tubers form, fruit of tender crops to that in which its flowers set
//! ([`crate::calendar::fruit_set`]); and neither long days nor a winter may make it run to seed first.
//!
//! *Killing frost.* The grown plant dies when the nights have become so much colder than those of the first
//! frost as its killing temperature lies below 0 °C; where normal nights never do, it stands the winter.
//!
//! *Grounds.* The thresholds with their sources stand in [`crate::calendar::thresholds`].

use crate::calendar::How;
use crate::calendar::day_length::swells_above_h;
use crate::calendar::fruit_set::{FruitSetting, Set};
use crate::calendar::needs::{
    Need, base_c, killed_at_c, need, no_vernalization_c, stands_frost_days, usual_offset,
};
use crate::calendar::shelter::Shelter;
use crate::calendar::tally::Tally;
use crate::calendar::thresholds::{Group, GroupThresholds};
use crate::calendar::vernalization::ColdOfWinter;
use crate::calendar::year::{Day, GrowingYear};
use crate::calendar::yearly::YearlySeason;
use crate::catalogue::CropSheet;
use crate::catalogue::sheet::Hardiness;
use crate::catalogue::traits::EndOfSeason;
use crate::units::{Days, Range};

/// Less light than this a day, and growth as good as stops where it is cold. Common practice, no source.
pub(super) const LIGHT_NEEDED_H: f64 = 10.0;
/// A day of less light counts for nothing.
pub(super) const DARK_H: f64 = 9.0;
/// A day longer than this counts for more than one: the sheets' days are those of middle latitudes. Common practice
/// in the far north, no source.
const LONG_DAY_H: f64 = 15.5;
/// Below this mean in the dark months an annual stops for good, °C. Common practice, no source.
const STOPS_C: f64 = 5.0;
/// For so many days warmth must last to count as having come.
const SETTLES_DAYS: i64 = 7;
/// Tender crops stand so many days with a mean below this, °C, and not a winter of them, were it free of frost. Common
/// practice, no source.
const STANDS_COOL_DAYS: f64 = 28.0;
const COOL_C: f64 = 13.0;
/// What stands in the ground for so long can wait for cooler days to be lifted.
const CAN_WAIT_DAYS: i64 = 56;
/// A garden has a winter if growth rests for so many days a year.
const WINTER_DAYS: f64 = 30.0;

/// A crop to be begun in one way in one year.
pub(super) struct Trial<'a> {
    /// The year.
    pub(super) year: &'a GrowingYear,
    /// Seed outdoors, or plants and sets.
    pub(super) how: How,
    /// Days after the last frost: from the lower on.
    pub(super) after_frost: Range<i64>,
    /// Growth until the first picking, if the sheet tells.
    pub(super) need: Option<Need>,
    /// Days of picking that make it worth while.
    pub(super) worth_days: i64,
    /// Whether it is lifted all at once when its leaves have died.
    is_lifted_at_once: bool,
    /// Whether it stands for years, or through more than one summer before the first picking.
    pub(super) stands_on: bool,
    /// The thresholds of its group.
    pub(super) limits: GroupThresholds,
    /// The mean from which it is warm enough to begin, °C.
    pub(super) mean_c: f64,
    /// What soil (sown) or nights (planted out) have to be besides, °C.
    pub(super) wanted_c: Option<f64>,
    /// The mean above which it is not picked, °C.
    pub(super) hottest_c: f64,
    /// The crop.
    pub(super) sheet: &'a CropSheet,
    /// What stands over it.
    pub(super) shelter: Shelter,
    /// Days too long for it, and how long that is, hours.
    pub(super) bolting: Option<(f64, Tally)>,
    /// Cold that makes it run to seed after winter.
    pub(super) cold_of_winter: Option<ColdOfWinter>,
    /// Days too long to begin a bulb, hours.
    pub(super) swells_above_h: Option<f64>,
    /// What is planted to stand for years is planted while it is cooler than this, where no winter says when, °C.
    pub(super) planted_below_c: Option<f64>,
    hardiness: Hardiness,
    cold: Tally,
    cool: Tally,
    growing: Tally,
    stopped: Tally,
    too_hot_to_pick: Tally,
    slow: Tally,
    sets_fruit: Option<FruitSetting>,
    yearly: Option<YearlySeason>,
    end: Option<i64>,
}

impl<'a> Trial<'a> {
    /// The trial; or the key of the sheet that is missing for it.
    pub(super) fn new(
        sheet: &'a CropSheet,
        year: &'a GrowingYear,
        shelter: Shelter,
        how: How,
    ) -> Result<Trial<'a>, &'static str> {
        let sown = how == How::SowOutdoors;
        let days = year.weather();
        let warmer = shelter.warmer_c;
        let offset = match sown {
            true => sheet.sow_outdoors_after_frost,
            false => sheet.plant_out_after_frost,
        };
        if offset.is_none() && sheet.hardiness.is_none() {
            return Err(if sown { "sow-outdoors" } else { "plant-out" });
        }
        let hardiness = sheet.hardiness.unwrap_or(Hardiness::Tender);
        let limits = *year.thresholds().of(Group::of(sheet));
        let after_frost = offset.map_or_else(
            || Range::single(usual_offset(hardiness)),
            |days| days.map(|Days(days)| i64::from(days)),
        );
        let after_frost = after_frost.map(|days| days + limits.frost_days.round() as i64);
        let base_c = base_c(sheet);
        let wanted_c = wanted_c(sheet, year, sown);
        let mean_c = limits.mean_c.max(no_vernalization_c(sheet).unwrap_or(f64::NEG_INFINITY));
        let soil_k_per_h = year.thresholds().soil_k_per_h;
        let is_warm = move |day: &Day| {
            let found = if sown { day.bare_soil_c(soil_k_per_h) } else { day.low_c };
            day.soil_c + warmer >= mean_c && wanted_c.is_none_or(|wanted| found + warmer >= wanted)
        };
        let light_h = year.thresholds().light_h;
        let rate = move |day: &Day| {
            let warmth = (day.day_c() + warmer - base_c) / (limits.full_c - base_c).max(4.0);
            let light = match day.light_h {
                dark if dark < DARK_H => 0.0,
                light => (light / light_h).min(1.0).max(light / LONG_DAY_H),
            };
            warmth.clamp(0.0, 1.0) * light
        };
        let hottest_c = hottest_c(sheet, year, &limits);
        let bolting_h = sheet.bolting.and_then(|bolting| bolting.day_length);
        let bolting_h = bolting_h.map(|hours| hours.0 + year.thresholds().bolting_h);
        let need = need(sheet, days, warmer, sown);
        let first_days = match &need {
            Some(Need::Days(range)) => range.low,
            _ => 0,
        };
        let is_lifted_at_once = sheet.end_of_season == Some(EndOfSeason::Lift);
        let trial = Trial {
            year,
            how,
            after_frost,
            worth_days: if is_lifted_at_once { 0 } else { limits.worth_days.round() as i64 },
            is_lifted_at_once,
            stands_on: sheet.is_perennial == Some(true) || first_days > 365,
            limits,
            mean_c,
            wanted_c,
            hottest_c,
            sheet,
            shelter,
            swells_above_h: swells_above_h(sheet, year),
            cold_of_winter: ColdOfWinter::of(sheet, year, warmer),
            planted_below_c: None,
            hardiness,
            cold: Tally::count(days, |day| !is_warm(day)),
            cool: Tally::count(days, |day| day.soil_c + warmer < COOL_C),
            growing: Tally::sum(days, rate),
            stopped: Tally::count(days, |day| {
                let is_winter = day.light_h < LIGHT_NEEDED_H && day.mean_c + warmer < STOPS_C;
                is_winter || day.day_c() + warmer <= base_c
            }),
            too_hot_to_pick: Tally::count(days, |day| day.mean_c + warmer > hottest_c),
            slow: Tally::count(days, |day| rate(day) < limits.slow),
            bolting: bolting_h.map(|hours| (hours, Tally::count(days, |day| day.light_h > hours))),
            sets_fruit: FruitSetting::of(sheet, year, warmer, sown),
            yearly: YearlySeason::of(sheet, year, warmer),
            need,
            end: None,
        };
        let (end, planted_below_c) = (trial.killing_day(), trial.cooler_half_c());
        Ok(Trial { end, planted_below_c, ..trial })
    }

    /// The day of the year on which frost kills the grown plant.
    fn killing_day(&self) -> Option<i64> {
        let frost = self.year.number(self.year.first_frost())?;
        let days = self.year.weather();
        let at_frost = days.get(usize::try_from(frost).ok()?)?.low_c;
        let kills = at_frost + killed_at_c(self.sheet, self.hardiness).min(0.0);
        let winter = frost..frost + self.year.length() / 2;
        let day = winter.into_iter().find(|day| {
            let day = usize::try_from(*day).ok().and_then(|day| days.get(day));
            day.is_some_and(|day| day.low_c <= kills)
        })?;
        Some(day + self.shelter.frost_days)
    }

    /// Whether it is warm, and stays so.
    pub(super) fn is_warm(&self, day: i64) -> bool {
        self.cold.between(day, day + SETTLES_DAYS) == 0.0
    }

    /// Whether no frost at the garden's risk stands against it.
    pub(super) fn is_frost_safe(&self, day: i64) -> bool {
        let length = self.year.length();
        if self.end.is_none() && self.hardiness != Hardiness::Tender {
            return true;
        }
        let day = day.rem_euclid(length);
        let shift = self.shelter.frost_days;
        let opens = self
            .year
            .number(self.year.last_frost())
            .map(|frost| frost.saturating_add(self.after_frost.low) - shift);
        let closes = self
            .year
            .number(self.year.first_frost())
            .map(|frost| frost + shift + stands_frost_days(self.hardiness, self.year.thresholds()));
        // An offset may reach back over midwinter.
        let is_late = closes.is_some_and(|closes| day >= closes)
            && opens.is_none_or(|opens| day < length.saturating_add(opens.min(0)));
        opens.is_none_or(|opens| day >= opens) && !is_late
    }

    /// Whether it is too hot to begin it.
    pub(super) fn is_too_hot_to_begin(&self, number: i64) -> bool {
        let Some(day) = self.weather(number) else { return true };
        let highest = match self.how {
            How::SowOutdoors => self.sheet.germination_highest,
            _ => self.sheet.plant_out_day_high,
        };
        let found = if self.how == How::SowOutdoors { day.soil_c } else { day.high_c };
        let most = self.year.thresholds().begin_heat_k;
        highest.is_some_and(|highest| found + self.shelter.warmer_c > highest.0 + most)
            || self.bulbs_too_soon(number)
    }

    /// Whether it is too hot for what is begun on `day`: when it is picked, or for what is lifted at once halfway there, when
    /// its tubers form.
    fn is_too_hot_for_it(&self, day: i64, ready: i64) -> bool {
        self.is_too_hot_to_pick(if self.is_lifted_at_once { (day + ready) / 2 } else { ready })
    }

    /// Whether it is too hot to pick it well in the days after `ready`.
    pub(super) fn is_too_hot_to_pick(&self, ready: i64) -> bool {
        self.too_hot_to_pick.between(ready, ready + SETTLES_DAYS) > 0.0
    }

    /// The day of the first picking of what is begun on `day`: quick kinds and slow kinds. None where growth
    /// stops before.
    pub(super) fn ready(&self, day: i64, is_quick: bool) -> Option<i64> {
        let waits = self.sets(day).map_or(0, |set| set.waits);
        let ready = match self.need.as_ref()? {
            Need::Warmth(sum, warmth) => warmth.reached(day, *sum)?,
            Need::Days(range) if self.stands_on => {
                let grown = day + if is_quick { range.low } else { range.high };
                return match &self.yearly {
                    Some(yearly) => yearly.first_picking(grown),
                    None => Some(grown),
                };
            }
            Need::Days(range) => {
                let days = if is_quick { range.low } else { range.high };
                self.growing.reached(day, days as f64)?
            }
        };
        let ready = ready + waits;
        let is_cool_for_long =
            !self.is_cool_crop() && self.cool.between(day, ready) > STANDS_COOL_DAYS;
        (!is_cool_for_long && self.stopped.between(day, ready) == 0.0).then_some(ready)
    }

    /// When fruit sets on what is begun on `day`; none if it never does, or makes no fruit.
    fn sets(&self, day: i64) -> Option<Set> {
        self.sets_fruit.as_ref()?.begins(day, &self.growing)
    }

    /// Whether what is ready stands in the ground, and need not grow on to be picked for weeks.
    fn can_stand(&self) -> bool {
        self.sheet.end_of_season == Some(EndOfSeason::LiftAsWanted)
    }

    /// The day from which it is picked: what stands in the ground for weeks can wait until it is cooler.
    pub(super) fn picked(&self, day: i64, is_quick: bool) -> Option<i64> {
        let ready = self.ready(day, is_quick)?;
        let stands = self.sheet.harvest_lasts.map_or(0, |range| i64::from(range.high.0));
        if !self.can_stand() || stands < CAN_WAIT_DAYS {
            return Some(ready);
        }
        let cooler = (ready..=ready + stands).find(|day| !self.is_too_hot_to_pick(*day));
        Some(cooler.unwrap_or(ready))
    }

    /// Whether days or nights are too hot for fruit to set when it flowers.
    pub(super) fn is_too_hot_to_flower(&self, day: i64) -> bool {
        self.sets_fruit.is_some() && self.sets(day).is_none()
    }

    /// The day on which frost ends what is begun on `day`; none if no frost does.
    pub(super) fn end(&self, day: i64) -> Option<i64> {
        let end = self.end?;
        // The next such day after `day`, in whichever year.
        Some(day + 1 + (end - day - 1).rem_euclid(self.year.length()))
    }

    /// Whether what is begun on `day` is ready in time and not in too great heat. What stands for years, and
    /// what the sheet gives no time for, is not held to it.
    pub(super) fn is_worth_while(&self, day: i64, is_quick: bool) -> bool {
        if self.stands_on || self.need.is_none() {
            return true;
        }
        self.picked(day, is_quick).is_some_and(|ready| {
            self.end(day).is_none_or(|end| ready + self.worth_days <= end)
                && !self.is_too_hot_for_it(day, ready)
                && !self.is_too_hot_to_flower(day)
                && (self.can_stand() || self.slow.between(ready, ready + self.worth_days) == 0.0)
                && self.runs_to_seed(day, ready).is_none()
                && self.flowers_after_winter(day, ready).is_none()
        })
    }

    /// Whether everything stands for beginning it on `day`, at least for quick kinds.
    pub(super) fn is_good(&self, day: i64) -> bool {
        self.is_frost_safe(day)
            && self.is_warm(day)
            && !self.is_too_hot_to_begin(day)
            && !self.is_too_warm_to_plant(day)
            && self.is_worth_while(day, true)
    }

    /// Degree days from `day` until cold or frost, and how many are needed, where the sheet has a sum.
    pub(super) fn warmth(&self, day: i64) -> Option<(f64, f64)> {
        match self.need.as_ref()? {
            Need::Days(_) => None,
            Need::Warmth(sum, warmth) => Some((*sum, warmth.between(day, self.growth_end(day)))),
        }
    }

    /// Days of growth from `day` until cold or frost.
    pub(super) fn growth_days(&self, day: i64) -> i64 {
        self.growing.between(day, self.growth_end(day)) as i64
    }

    /// The day on which cold or frost end growth, no later than a year on.
    fn growth_end(&self, day: i64) -> i64 {
        let year_on = day + self.year.length();
        let stop = self.stopped.reached(day, 1.0).unwrap_or(year_on);
        self.end(day).unwrap_or(year_on).min(stop).min(year_on)
    }

    /// Judges it again without the light at which it runs to seed: in the far north there is no other.
    pub(super) fn without_bolting(self) -> Trial<'a> {
        Trial { bolting: None, ..self }
    }

    /// Whether a run of good days opens on `day` because heat is over, rather than cold.
    pub(super) fn opens_by_cooling(&self, day: i64) -> bool {
        let before = if day == 0 { self.year.length() - 1 } else { day - 1 };
        self.is_warm(before) && self.is_frost_safe(before)
    }

    /// Whether the garden has a winter in which this crop rests or dies.
    pub(super) fn has_winter(&self) -> bool {
        let own = self.year.length();
        let frost_free = self.year.number(self.year.last_frost()).zip(self.end);
        let frosty = frost_free.map_or(0, |(last, first)| own - (first - last).clamp(0, own));
        frosty as f64 >= WINTER_DAYS || self.stopped.between(0, own) >= WINTER_DAYS
    }

    /// From the first picking after `from` to the last of what is begun until `to`.
    pub(super) fn harvest(&self, from: i64, to: i64, is_quick: bool) -> Option<(i64, i64)> {
        let first = self.picked(from, true)?;
        let lasts = self.sheet.harvest_lasts.map_or(self.worth_days, |range| range.high.0.into());
        if self.yearly.is_some() {
            return Some((first, first + lasts));
        }
        let slowest = self.picked(to, is_quick).unwrap_or(first).max(first);
        // Fruit that set on one day after another ripens so.
        let sets_for = self.sets(to).and_then(|set| set.lasts).unwrap_or(i64::MAX);
        let mut last = slowest + lasts.min(sets_for);
        if !self.stands_on {
            last = last.min(self.end(to).map_or(i64::MAX, |end| end - 1));
            let heat = self.too_hot_to_pick.reached(slowest, 1.0).unwrap_or(i64::MAX);
            last = last.min(heat);
        }
        Some((first, last.max(slowest)))
    }

    /// Whether it belongs to the cool season.
    pub(super) fn is_cool_crop(&self) -> bool {
        self.hardiness != Hardiness::Tender
    }

    /// The light of a day, hours; it may lie before the year.
    pub(super) fn light_h(&self, day: i64) -> f64 {
        self.weather(day.rem_euclid(self.year.length())).map_or(0.0, |day| day.light_h)
    }

    pub(super) fn weather(&self, day: i64) -> Option<&Day> {
        usize::try_from(day).ok().and_then(|day| self.year.weather().get(day))
    }
}

/// The mean above which it is not picked, °C. Bulbs ripen in any heat (common practice, no source), and so does the fruit of
/// tender crops once it has set ([`crate::calendar::fruit_set`]); pods of the cool season harden. What is of the tropics grows on in
/// the heat its sheet says: sweet potatoes, amaranth.
fn hottest_c(sheet: &CropSheet, year: &GrowingYear, limits: &GroupThresholds) -> f64 {
    let is_tender = sheet.hardiness.is_none_or(|hardiness| hardiness == Hardiness::Tender);
    let ripens = sheet.bulbing_day_length.is_some() || (is_tender && sheet.fruit_set.is_some());
    if ripens {
        return f64::INFINITY;
    }
    let grows_to = sheet.grows_at.map(|range| range.high.0 + year.thresholds().heat_k);
    let most = if is_tender { f64::INFINITY } else { limits.heat_c };
    grows_to.map_or(limits.heat_c, |grows_to| grows_to.min(most))
}

/// What soil (sown) or nights (planted out) have to be at the normals of this garden, °C.
fn wanted_c(sheet: &CropSheet, year: &GrowingYear, sown: bool) -> Option<f64> {
    if sown {
        Some(sheet.sow_outdoors_soil.or(sheet.germination_lowest)?.0)
    } else {
        Some(sheet.plant_out_night_low?.0 - year.thresholds().night_k)
    }
}
