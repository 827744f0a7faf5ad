//! The thresholds of the planting calendar: all of them, in one table, by groups of crops.
//!
//! What a single crop needs stands on its sheet. What stands here says how a sheet's values, which come from
//! seed laboratories and the tables of single regions, are to be read in a garden's normal year. The groups
//! are the frost groups of vegetables (Purdue HO-203: hardy, half-hardy, tender, very tender).
//!
//! *Calibrated* means fitted by `examples/calibrate` to the published planting calendars of
//! `tests/reference/calendars`, whose README has the errors with each region left out in turn. Whatever is
//! not calibrated says where it comes from.

use crate::catalogue::CropSheet;
use crate::catalogue::sheet::Hardiness;
use crate::units::Days;

/// A frost group.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub enum Group {
    /// Stands frost: peas, spinach, onions, cabbages that stand the winter.
    Hardy,
    /// Stands light frost: beetroot, carrots, broccoli.
    HalfHardy,
    /// Killed by frost: beans, sweetcorn, tomatoes.
    Tender,
    /// Killed by frost and checked by cold: cucumbers, peppers, melons.
    VeryTender,
}

/// From so many days after the last frost on, a tender crop counts as very tender.
const VERY_TENDER_DAYS: i32 = 7;

impl Group {
    /// In the order of the table.
    pub const ALL: [Group; 4] = [Group::Hardy, Group::HalfHardy, Group::Tender, Group::VeryTender];

    /// The group of a crop.
    pub fn of(sheet: &CropSheet) -> Group {
        let offset = sheet.plant_out_after_frost.or(sheet.sow_outdoors_after_frost);
        match sheet.hardiness.unwrap_or(Hardiness::Tender) {
            Hardiness::Hardy => Group::Hardy,
            Hardiness::HalfHardy => Group::HalfHardy,
            Hardiness::Tender => match offset.map(|range| range.low) {
                Some(Days(days)) if days >= VERY_TENDER_DAYS => Group::VeryTender,
                _ => Group::Tender,
            },
        }
    }
}

/// The thresholds of one group.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct GroupThresholds {
    /// The mean of eleven days of air that is warm enough to begin, °C. Calibrated.
    pub mean_c: f64,
    /// Days added to the sheet's days after the last frost. Calibrated.
    pub frost_days: f64,
    /// The mean above which picking is no good, if the sheet's `grows-at` does not say less, or for a tender crop anything, °C.
    /// Fruit of tender crops is held to what its flowers bear instead. Calibrated.
    pub heat_c: f64,
    /// The share of full growth that there must still be when it is picked: what hangs on a plant that stands
    /// still in cold and dark does not ripen. Calibrated.
    pub slow: f64,
    /// A crop begun once a year is begun within so many days, where a winter follows. Calibrated.
    pub once_days: f64,
    /// What is ready so soon is begun again and again as long as it is worth while: dwarf beans, peas and carrots
    /// are, tomatoes and broad beans are not. Common practice, no source.
    pub again_days: f64,
    /// The temperature of the day (between mean and high) at which it grows as fast as the sheet says, °C.
    /// Calibrated.
    pub full_c: f64,
    /// So many days of picking make a sowing worth while; what is lifted all at once is worth it on its day. Calibrated.
    pub worth_days: f64,
}

/// All thresholds.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct Thresholds {
    /// By group, in the order of [`Group`].
    pub groups: [GroupThresholds; 4],
    /// Bare soil is warmer than the mean of air by so much for each hour of the day beyond ten, K/h. Calibrated.
    pub soil_k_per_h: f64,
    /// Likewise a sheet's `night-low`, since tables of normals mean the coldest nights of a spell. K. Calibrated.
    pub night_k: f64,
    /// How far the mean may be above the upper end of the sheet's `grows-at` when picking begins, K. Calibrated.
    pub heat_k: f64,
    /// How far above the sheet's highest temperature for sprouting or planting it may be, where watering and
    /// shade help; K. Calibrated.
    pub begin_heat_k: f64,
    /// Hours of light at which a day counts in full. Calibrated.
    pub light_h: f64,
    /// Fruit still sets at nights so much above the sheet's `fruit-set` (less than 0: below it, since single nights are
    /// hotter than normal ones), K. Calibrated.
    pub set_night_k: f64,
    /// Likewise on days, K. Calibrated.
    pub set_day_k: f64,
    /// So many days in a row without such heat make a set of fruit. Calibrated.
    pub set_days: f64,
    /// For so many days flowers may drop in heat before fruit sets. Calibrated.
    pub set_wait_days: f64,
    /// No seed is raised on days with less light than this, hours. Calibrated.
    pub raising_light_h: f64,
    /// A day may be so much longer than the one at which a crop runs to seed, hours. Calibrated.
    pub bolting_h: f64,
    /// A hardy crop is begun until so many days after the first frost. Calibrated.
    pub after_frost_days: f64,
    /// Seed is sown under cover for so many days from the first useful one. Calibrated.
    pub raising_days: f64,
    /// Raising takes so many days longer than the sheet says at most: light is short in late winter. Calibrated.
    pub raising_extra_days: f64,
    /// Autumn planting: nights may be so much warmer than the sheet says, K. Calibrated.
    pub autumn_night_k: f64,
    /// Autumn planting, and that of bulbs where no winter ends it, goes on for so many days. Calibrated.
    pub autumn_days: f64,
}

impl Thresholds {
    /// Those of a group.
    pub fn of(&self, group: Group) -> &GroupThresholds {
        &self.groups[group as usize]
    }

    /// The thresholds in use. Where the fit makes no difference, the more generous value stands.
    pub const CALIBRATED: Thresholds = Thresholds {
        groups: [
            GroupThresholds {
                mean_c: 7.0,
                frost_days: -7.0,
                heat_c: 24.5,
                slow: 0.2,
                once_days: 35.0,
                again_days: 80.0,
                full_c: 17.0,
                worth_days: 21.0,
            },
            GroupThresholds {
                mean_c: 7.0,
                frost_days: -21.0,
                heat_c: 24.5,
                slow: 0.5,
                once_days: 35.0,
                again_days: 100.0,
                full_c: 14.0,
                worth_days: 28.0,
            },
            GroupThresholds {
                mean_c: 13.0,
                frost_days: -7.0,
                heat_c: 29.5,
                slow: 0.2,
                once_days: 42.0,
                again_days: 60.0,
                full_c: 20.0,
                worth_days: 14.0,
            },
            GroupThresholds {
                mean_c: 13.0,
                frost_days: -21.0,
                heat_c: 27.0,
                slow: 0.6,
                once_days: 35.0,
                again_days: 60.0,
                full_c: 19.0,
                worth_days: 21.0,
            },
        ],
        soil_k_per_h: 0.35,
        night_k: 2.0,
        heat_k: 0.0,
        begin_heat_k: 5.0,
        light_h: 13.0,
        set_night_k: -2.0,
        set_day_k: 3.0,
        set_days: 21.0,
        set_wait_days: 30.0,
        raising_light_h: 10.5,
        bolting_h: 2.5,
        after_frost_days: 70.0,
        raising_days: 21.0,
        raising_extra_days: 7.0,
        autumn_night_k: 2.0,
        autumn_days: 63.0,
    };
}
