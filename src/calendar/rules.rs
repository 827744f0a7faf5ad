//! The rules of one crop begun in one way: may it be begun on a day, and when is it ready?
//!
//! *To begin.* Frost: not before the last frost at the garden's risk plus the crop's offset. Warmth: nights
//! (planting out) or soil (sowing) at what the crop needs and staying so for three weeks, and the day's mean
//! at its base temperature; a crop that needs warm nights when planted out is sown outdoors at most three
//! weeks before they come. Heat: soil not above the highest at which seed sprouts; days below the highest
//! at which it may be planted out.
//!
//! *To be ready.* By degree days where the sheet has a sum, else by days from sowing or planting out. Days
//! count only with ten hours of light and the mean at the crop's base temperature. Below that temperature, or
//! below 5 °C in the dark months, an annual stops for good; in a dark but mild winter it waits. What is begun
//! after midsummer where days grow short takes two weeks longer. Then the first pickings must come before the
//! first frost (half-hardy crops: three weeks after it; hardy crops: frost does not end them), and no hotter
//! than the crop grows well at.
//!
//! *Grounds.* Two weeks longer in autumn, and two weeks of picking before frost for tender crops: Virginia
//! Cooperative Extension's fall gardens ('fall factor' and 'frost-tender factor', read as retold in a
//! newspaper). Ten hours of light, 5 °C, each of the three weeks: common practice, no source. Offsets where
//! the sheet has none: after the frost groups of Purdue HO-203, as in the sheets. The highest mean at which a
//! crop grows well: Knott's Handbook, as in the sheets.

use crate::calendar::How;
use crate::calendar::needs::{
    Need, USUAL_BASE_C, base_c, need, stands_frost_days, usual_offset, worth_days,
};
use crate::calendar::shelter::Shelter;
use crate::calendar::tally::Tally;
use crate::calendar::year::{Day, GrowingYear, MIDSUMMER};
use crate::catalogue::CropSheet;
use crate::catalogue::sheet::Hardiness;
use crate::units::{Days, Range};

/// Less light than this a day, and growth as good as stops.
pub(super) const LIGHT_NEEDED_H: f64 = 10.0;
/// For so many days warmth must last to count as having come.
const SETTLES_DAYS: i64 = 21;
/// So long after sowing a seedling meets the nights that a plant set out meets.
const SEEDLING_DAYS: i64 = 21;
/// Growth takes so much longer in shortening days.
const LATE_DAYS: i64 = 14;
/// So long after the first frost nothing hardy is begun any more.
const HARDY_DAYS: i64 = 56;

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
    /// Whether it stands for years, or through more than one summer before the first picking.
    pub(super) stands_on: bool,
    sheet: &'a CropSheet,
    shelter: Shelter,
    base_c: f64,
    hardiness: Hardiness,
    has_short_days: bool,
    cold: Tally,
    cold_nights: Tally,
    growing: Tally,
    stopped: Tally,
    too_hot_to_pick: Tally,
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
        let after_frost = offset.map_or_else(
            || Range::single(usual_offset(hardiness)),
            |days| days.map(|Days(days)| i64::from(days)),
        );
        let base_c = base_c(sheet);
        let wanted_c = match sown {
            true => sheet.sow_outdoors_soil.or(sheet.germination_lowest),
            false => sheet.plant_out_night_low,
        }
        .map(|wanted| wanted.0);
        let has_wanted = move |day: &Day| {
            let found = if sown { day.soil_c } else { day.low_c };
            wanted_c.is_none_or(|wanted| found + warmer >= wanted)
        };
        let grows = move |day: &Day| day.mean_c + warmer >= base_c;
        let hottest = sheet.grows_at.map(|range| range.high.0);
        let need = need(sheet, days, warmer, sown);
        let first_days = match &need {
            Some(Need::Days(range)) => range.low,
            _ => 0,
        };
        Ok(Trial {
            year,
            how,
            after_frost,
            worth_days: worth_days(sheet, hardiness),
            stands_on: sheet.is_perennial == Some(true) || first_days > 365,
            sheet,
            shelter,
            base_c,
            hardiness,
            has_short_days: year.own_weather().iter().any(|day| day.light_h < LIGHT_NEEDED_H),
            cold: Tally::count(days, |day| !(has_wanted(day) && grows(day))),
            cold_nights: Tally::count(days, |day| {
                let wanted = sheet.plant_out_night_low.filter(|_| sown);
                wanted.is_some_and(|wanted| day.low_c + warmer < wanted.0)
            }),
            growing: Tally::count(days, |day| grows(day) && day.light_h >= LIGHT_NEEDED_H),
            stopped: Tally::count(days, |day| {
                let is_winter = day.light_h < LIGHT_NEEDED_H && day.mean_c + warmer < USUAL_BASE_C;
                is_winter || !grows(day)
            }),
            too_hot_to_pick: Tally::count(days, |day| {
                hottest.is_some_and(|hottest| day.mean_c + warmer > hottest)
            }),
            need,
        })
    }

    /// Whether it is warm, and stays so.
    pub(super) fn is_warm(&self, day: i64) -> bool {
        let emerged = day + SEEDLING_DAYS;
        self.cold.between(day, day + SETTLES_DAYS) == 0.0
            && self.cold_nights.between(emerged, emerged + SETTLES_DAYS) == 0.0
    }

    /// Whether no frost at the garden's risk stands against it.
    pub(super) fn is_frost_safe(&self, day: i64) -> bool {
        let length = self.year.length();
        let day = day.rem_euclid(length);
        let shift = self.shelter.frost_days;
        let opens = self
            .year
            .number(self.year.last_frost())
            .map(|frost| frost.saturating_add(self.after_frost.low) - shift);
        let closes = self
            .year
            .number(self.year.first_frost())
            .map(|frost| frost + shift + stands_frost_days(self.hardiness).unwrap_or(HARDY_DAYS));
        // An offset may reach back over midwinter.
        let is_late = closes.is_some_and(|closes| day >= closes)
            && opens.is_none_or(|opens| day < length.saturating_add(opens.min(0)));
        opens.is_none_or(|opens| day >= opens) && !is_late
    }

    /// Whether it is too hot to begin it.
    pub(super) fn is_too_hot_to_begin(&self, day: i64) -> bool {
        let Some(day) = self.weather(day) else { return true };
        let highest = match self.how {
            How::SowOutdoors => self.sheet.germination_highest,
            _ => self.sheet.plant_out_day_high,
        };
        let found = if self.how == How::SowOutdoors { day.soil_c } else { day.high_c };
        highest.is_some_and(|highest| found + self.shelter.warmer_c > highest.0)
    }

    /// Whether it is too hot to pick it well in the days after `ready`.
    pub(super) fn is_too_hot_to_pick(&self, ready: i64) -> bool {
        self.too_hot_to_pick.between(ready, ready + self.worth_days) > 0.0
    }

    /// The day of the first picking of what is begun on `day`: quick kinds and slow kinds. None where growth
    /// stops before.
    pub(super) fn ready(&self, day: i64, is_quick: bool) -> Option<i64> {
        let ready = match self.need.as_ref()? {
            Need::Warmth(sum, warmth) => warmth.reached(day, *sum)?,
            Need::Days(range) if self.stands_on => {
                return Some(day + if is_quick { range.low } else { range.high });
            }
            Need::Days(range) => {
                let late = self.has_short_days && day.rem_euclid(self.year.length()) >= MIDSUMMER;
                let days = if is_quick { range.low } else { range.high };
                let days = days.saturating_add(if late { LATE_DAYS } else { 0 });
                self.growing.reached(day, days as f64)?
            }
        };
        (self.stopped.between(day, ready) == 0.0).then_some(ready)
    }

    /// The day on which frost ends what is begun on `day`; none if no frost does.
    pub(super) fn end(&self, day: i64) -> Option<i64> {
        let frost = self.year.number(self.year.first_frost())?;
        let end = frost + self.shelter.frost_days + stands_frost_days(self.hardiness)?;
        // The next such day after `day`, in whichever year.
        Some(day + 1 + (end - day - 1).rem_euclid(self.year.length()))
    }

    /// Whether what is begun on `day` is ready in time and not in too great heat. What stands for years, and
    /// what the sheet gives no time for, is not held to it.
    pub(super) fn is_worth_while(&self, day: i64, is_quick: bool) -> bool {
        if self.stands_on || self.need.is_none() {
            return true;
        }
        self.ready(day, is_quick).is_some_and(|ready| {
            self.end(day).is_none_or(|end| ready + self.worth_days <= end)
                && !self.is_too_hot_to_pick(ready)
        })
    }

    /// Whether everything stands for beginning it on `day`, at least for quick kinds.
    pub(super) fn is_good(&self, day: i64) -> bool {
        self.is_frost_safe(day)
            && self.is_warm(day)
            && !self.is_too_hot_to_begin(day)
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

    /// Whether a run of good days opens on `day` because heat is over, rather than cold.
    pub(super) fn opens_by_cooling(&self, day: i64) -> bool {
        let before = if day == 0 { self.year.length() - 1 } else { day - 1 };
        self.is_warm(before) && self.is_frost_safe(before)
    }

    /// Whether the garden has a winter that ends this crop.
    pub(super) fn has_winter(&self) -> bool {
        let own = self.year.length();
        self.year.number(self.year.first_frost()).is_some() || self.stopped.between(0, own) > 0.0
    }

    /// From the first picking after `from` to the last of what is begun until `to`.
    pub(super) fn harvest(&self, from: i64, to: i64, is_quick: bool) -> Option<(i64, i64)> {
        let first = self.ready(from, true)?;
        let lasts = self.sheet.harvest_lasts.map_or(self.worth_days, |range| range.high.0.into());
        let slowest = self.ready(to, is_quick).unwrap_or(first).max(first);
        let mut last = slowest + lasts;
        if !self.stands_on {
            last = last.min(self.end(to).map_or(i64::MAX, |end| end - 1));
            let heat = self.too_hot_to_pick.reached(slowest, 1.0).unwrap_or(i64::MAX);
            last = last.min(heat);
        }
        Some((first, last.max(slowest)))
    }

    /// The first need of warmth that no day of the year meets: what it needs and the most there is, °C.
    pub(super) fn unmet_warmth(&self) -> Option<(f64, f64)> {
        let warmest = |of: fn(&Day) -> f64| {
            let own = self.year.own_weather().iter();
            own.map(of).fold(f64::NEG_INFINITY, f64::max) + self.shelter.warmer_c
        };
        let soil = self.sheet.sow_outdoors_soil.or(self.sheet.germination_lowest);
        let soil = soil.filter(|_| self.how == How::SowOutdoors);
        let night = self.sheet.plant_out_night_low;
        [
            (night.map(|night| night.0), warmest(|day| day.low_c)),
            (soil.map(|soil| soil.0), warmest(|day| day.soil_c)),
            (Some(self.base_c), warmest(|day| day.mean_c)),
        ]
        .into_iter()
        .find_map(|(needs, most)| needs.filter(|needs| most < *needs).map(|needs| (needs, most)))
    }

    fn weather(&self, day: i64) -> Option<&Day> {
        usize::try_from(day).ok().and_then(|day| self.year.weather().get(day))
    }
}
