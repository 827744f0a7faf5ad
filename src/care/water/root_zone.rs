//! The daily balance of the water that roots can reach.
//!
//! Source: FAO Irrigation and Drainage Paper 56 (Allen et al. 1998), chapter 8, equations 82–86, and the
//! footnote of table 22. The unit is any that all figures share: mm over the ground, or litres of a pot.

/// A root zone on a day.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct RootZone {
    /// Total available water, between drained and wilting (TAW, eq. 82).
    pub total: f64,
    /// The share of it that a crop takes without effort (p).
    pub depletion: f64,
}

/// What is missing to drained, after a day.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct DayEnd {
    /// Depletion at the end of the day (eq. 85), never below 0 and never above the total.
    pub missing: f64,
    /// What the crop really used.
    pub used: f64,
    /// What ran through.
    pub drained: f64,
}

/// The depletion fraction of a day: table 22's, less where the crop uses more than 5 mm a day, more where it
/// uses less: p + 0.04 (5 − ETc), within 0.1 and 0.8 (footnote of FAO-56 table 22).
pub fn depletion_fraction(of_table: f64, etc_mm: f64) -> f64 {
    (of_table + 0.04 * (5.0 - etc_mm)).clamp(0.1, 0.8)
}

impl RootZone {
    /// Readily available water (RAW, eq. 83).
    pub fn ready(&self) -> f64 {
        self.total * self.depletion
    }

    /// How much of what it would use a crop gets: all up to RAW, nothing at the total (Ks, eq. 84).
    pub fn stress(&self, missing: f64) -> f64 {
        if missing <= self.ready() {
            return 1.0;
        }
        ((self.total - missing) / (self.total * (1.0 - self.depletion))).clamp(0.0, 1.0)
    }

    /// A day: water and rain come early in it, what is more than it holds runs through, then the crop uses
    /// what it can (eq. 85 and 86, without capillary rise).
    pub fn day(&self, missing: f64, gained: f64, use_if_wet: f64) -> DayEnd {
        let after_rain = (missing - gained).max(0.0);
        let used = self.stress(after_rain) * use_if_wet;
        DayEnd {
            missing: (after_rain + used).min(self.total),
            used,
            drained: (gained - missing).max(0.0),
        }
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    /// Source: FAO-56 ch. 8, example 36, read: available water in mm per m, roots in m, p; TAW and RAW in mm.
    #[test]
    fn example_36() {
        let soils = [90.0, 170.0, 120.0];
        let crops = [
            (0.4, 0.30, [(36.0, 11.0), (68.0, 20.0), (48.0, 14.0)]),
            (0.8, 0.40, [(72.0, 29.0), (136.0, 54.0), (96.0, 38.0)]),
            (1.2, 0.55, [(108.0, 59.0), (204.0, 112.0), (144.0, 79.0)]),
        ];
        for (roots, depletion, printed) in crops {
            for (soil, (total, ready)) in soils.into_iter().zip(printed) {
                let zone = RootZone { total: soil * roots, depletion };
                assert!((zone.total - total).abs() <= 0.5 + 1e-9);
                assert!((zone.ready() - ready).abs() <= 0.5 + 1e-9, "{}", zone.ready());
            }
        }
    }

    /// Source: FAO-56 ch. 8, example 37 (tomato on silt, ten dry days), read. Tolerance: one unit of the last
    /// digit printed, because FAO-56 goes on with rounded figures.
    #[test]
    fn example_37() {
        let zone = RootZone { total: 1000.0 * (0.32 - 0.12) * 0.8, depletion: 0.40 };
        assert!((zone.total - 160.0).abs() < 1e-9 && (zone.ready() - 64.0).abs() < 1e-9);
        let printed = [
            (1.00, 6.0, 61.0),
            (1.00, 6.0, 67.0),
            (0.97, 5.8, 72.8),
            (0.91, 5.4, 78.3),
            (0.85, 5.1, 83.4),
            (0.80, 4.8, 88.2),
            (0.75, 4.5, 92.6),
            (0.70, 4.2, 96.9),
            (0.66, 3.9, 100.8),
            (0.62, 3.7, 104.5),
        ];
        let mut missing = 55.0;
        for (stress, used, end) in printed {
            assert!((zone.stress(missing) - stress).abs() <= 0.01);
            let day = zone.day(missing, 0.0, 1.2 * 5.0);
            assert!((day.used - used).abs() <= 0.1, "{} is not {used}", day.used);
            assert!((day.missing - end).abs() <= 0.1, "{} is not {end}", day.missing);
            missing = day.missing;
        }
    }

    /// Source: FAO-56 ch. 8, example 38 (irrigation of a bean with growing roots), read: ET0, depth of
    /// roots, rain, irrigation, Kc; RAW, what drained and the depletion at the end of the day, whole mm printed.
    #[test]
    fn example_38() {
        let days = [
            (4.5, 0.30, 0.0, 40.0, 1.21, 23.0, 17.0, 5.0),
            (5.0, 0.31, 0.0, 0.0, 1.21, 24.0, 0.0, 12.0),
            (3.9, 0.31, 0.0, 0.0, 1.04, 24.0, 0.0, 16.0),
            (4.2, 0.32, 0.0, 0.0, 0.70, 25.0, 0.0, 18.0),
            (4.8, 0.32, 0.0, 0.0, 0.52, 25.0, 0.0, 21.0),
            (2.7, 0.33, 6.0, 0.0, 1.00, 26.0, 0.0, 18.0),
            (5.8, 0.33, 0.0, 0.0, 0.82, 26.0, 0.0, 22.0),
            (5.1, 0.34, 0.0, 0.0, 0.55, 26.0, 0.0, 25.0),
            (4.7, 0.34, 0.0, 0.0, 0.47, 27.0, 0.0, 27.0),
            (5.2, 0.35, 0.0, 27.0, 1.21, 27.0, 0.0, 6.0),
        ];
        let mut missing = 78.0 * 0.3;
        for (et0, roots, rain, irrigation, kc, ready, drained, end) in days {
            let zone = RootZone { total: 130.0 * roots, depletion: 0.6 };
            assert!((zone.ready() - ready).abs() <= 1.0, "{} is not {ready}", zone.ready());
            let day = zone.day(missing, rain + irrigation, kc * et0);
            assert!((day.drained - drained).abs() <= 1.0, "{} is not {drained}", day.drained);
            assert!((day.missing - end).abs() <= 1.0, "{} is not {end}", day.missing);
            missing = day.missing;
        }
    }

    /// Source: footnote of FAO-56 table 22, and figure 41: flat at 0.8 and 0.1.
    #[test]
    fn depletion_by_use() {
        assert!((depletion_fraction(0.4, 5.0) - 0.4).abs() < 1e-12);
        assert!((depletion_fraction(0.4, 8.0) - 0.28).abs() < 1e-12);
        assert!((depletion_fraction(0.3, 11.0) - 0.1).abs() < 1e-12);
        assert!((depletion_fraction(0.6, 0.0) - 0.8).abs() < 1e-12);
        assert!((depletion_fraction(0.7, 1.0) - 0.8).abs() < 1e-12);
    }

    #[test]
    fn nothing_is_wetter_than_drained_or_drier_than_wilting() {
        let zone = RootZone { total: 10.0, depletion: 0.5 };
        assert_eq!(zone.day(2.0, 50.0, 0.0), DayEnd { missing: 0.0, used: 0.0, drained: 48.0 });
        assert_eq!(zone.day(10.0, 0.0, 5.0).missing, 10.0);
    }
}
