//! The water account of one stand: what is missing to drained, from day to day, as a range.
//!
//! Three balances run side by side: one that uses little and holds much, one to plan by, and one that uses
//! much and holds little. What nobody wrote is not taken for drought: when nothing was noted for longer than
//! even the thriftiest plant in the roomiest soil could have lasted, the account is 'not known', until it is
//! watered again or rain has filled it.

use chrono::NaiveDate;

use crate::care::water::estimate::Estimate;
use crate::care::water::root_zone::RootZone;
use crate::care::water::stand::StandDay;

/// Water that was given.
#[derive(Clone, Copy, Debug, PartialEq)]
pub enum Poured {
    /// So many litres.
    Litres(f64),
    /// Nobody wrote how much: as much as it holds.
    Full,
}

impl Poured {
    /// Both on one day.
    pub fn and(self, other: Poured) -> Poured {
        match (self, other) {
            (Poured::Litres(a), Poured::Litres(b)) => Poured::Litres(a + b),
            _ => Poured::Full,
        }
    }

    fn litres(self) -> f64 {
        match self {
            Poured::Litres(litres) => litres,
            Poured::Full => f64::INFINITY,
        }
    }
}

/// The account of a stand at the end of a day.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct Account {
    /// Missing to drained by the thrifty balance, the one to plan by and the thirsty one, litres.
    missing: [f64; 3],
    /// What the thrifty one would have used since it was full, had there been enough.
    since_full: f64,
    /// Whether it is known at all.
    pub is_known: bool,
    /// The day on which the refill line was crossed, by the balance to plan by.
    pub due_since: Option<NaiveDate>,
    /// The same by the thrifty balance: from then on it is surely dry.
    pub dry_since: Option<NaiveDate>,
}

impl Account {
    /// Just watered in.
    pub fn full() -> Account {
        Account {
            missing: [0.0; 3],
            since_full: 0.0,
            is_known: true,
            due_since: None,
            dry_since: None,
        }
    }

    /// Nobody knows.
    pub fn unknown(day: &StandDay) -> Account {
        let missing = [0.0, day.total.middle / 2.0, day.total.low];
        Account { missing, is_known: false, ..Account::full() }
    }

    /// A day: water early in it, then use.
    pub fn after(&self, date: NaiveDate, day: &StandDay, poured: Option<Poured>) -> Account {
        let given = poured.map_or(0.0, Poured::litres);
        let zones = zones(day);
        let rain = [day.rain.high, day.rain.middle, day.rain.low];
        let uses = [day.uses.low, day.uses.middle, day.uses.high];
        let ends: [f64; 3] = std::array::from_fn(|path| {
            zones[path].day(self.missing[path], given + rain[path], uses[path]).missing
        });
        let since_full = (self.since_full - given - rain[0]).max(0.0) + uses[0];
        let is_filled = !self.is_known && ends[2] <= zones[2].ready();
        let mut next = Account { missing: ends, since_full, ..*self };
        next.is_known = match self.is_known {
            true => since_full < zones[0].total,
            false => poured.is_some() || is_filled,
        };
        if !next.is_known {
            let driest = if self.is_known { zones[2].total } else { ends[2] };
            next.missing = [0.0, driest.min(zones[1].total) / 2.0, driest];
        } else if !self.is_known {
            next.since_full = ends[0];
        }
        let crossed = |path: usize, before: Option<NaiveDate>| {
            let is_over = next.missing[path] > zones[path].ready();
            (next.is_known && poured.is_none() && is_over).then(|| before.unwrap_or(date))
        };
        let (due_since, dry_since) = (crossed(1, self.due_since), crossed(0, self.dry_since));
        Account { due_since, dry_since, ..next }
    }

    /// What is left of what the roots can reach, litres, and of how much.
    pub fn left(&self, day: &StandDay) -> Estimate {
        let left = |path: usize, total: f64| (total - self.missing[path]).max(0.0);
        Estimate {
            low: left(2, day.total.low),
            middle: left(1, day.total.middle),
            high: left(0, day.total.high),
        }
    }

    /// What would fill it, litres; from the least to the most.
    pub fn to_fill(&self) -> Estimate {
        let [a, middle, b] = self.missing;
        Estimate { low: a.min(middle).min(b), middle, high: a.max(middle).max(b) }
    }

    /// Whether at least half of what it takes without effort is gone.
    pub fn is_half_way(&self, day: &StandDay) -> bool {
        self.is_known && self.missing[1] >= zones(day)[1].ready() / 2.0
    }
}

/// Thrifty, to plan by, thirsty.
fn zones(day: &StandDay) -> [RootZone; 3] {
    let (total, depletion) = (day.total, day.depletion);
    [
        RootZone { total: total.high, depletion: depletion.high },
        RootZone { total: total.middle, depletion: depletion.middle },
        RootZone { total: total.low, depletion: depletion.low },
    ]
}

#[cfg(test)]
mod tests {
    use super::*;

    fn day(rain: f64) -> StandDay {
        StandDay {
            uses: Estimate { low: 1.0, middle: 1.5, high: 2.0 },
            total: Estimate { low: 8.0, middle: 10.0, high: 12.0 },
            depletion: Estimate::exactly(0.4),
            rain: Estimate::exactly(rain),
        }
    }

    fn on(number: u32) -> NaiveDate {
        NaiveDate::from_ymd_opt(2026, 6, number).unwrap()
    }

    /// Worked by hand: full on the 1st; the plan uses 1.5 L a day of 4 L that are easy to take, so on the
    /// 3rd the line is crossed; the thrifty one 1 L of 4.8 L, on the 5th.
    #[test]
    fn it_is_due_when_the_line_is_crossed_and_not_known_when_it_could_not_last() {
        let mut account = Account::full();
        let mut due = None;
        for number in 1..=11 {
            account = account.after(on(number), &day(0.0), None);
            due = due.or(account.due_since);
            assert!(account.is_known, "{number}");
        }
        assert_eq!(due, Some(on(3)));
        assert_eq!(account.dry_since, Some(on(5)));
        // Twelve days of the thrifty use are all that the roomiest holds.
        account = account.after(on(12), &day(0.0), None);
        assert!(!account.is_known);
        assert_eq!((account.due_since, account.dry_since), (None, None));
        let watered = account.after(on(13), &day(0.0), Some(Poured::Full));
        assert!(watered.is_known);
        assert_eq!(watered.to_fill(), Estimate { low: 1.0, middle: 1.5, high: 2.0 });
    }

    /// By hand: eight days of the thrifty use are 8 L of 12. With 3 L on the ninth day 6 L of use count after it, and the
    /// 12 L that the roomiest holds are used up on the fifteenth, whether it was poured or rained.
    #[test]
    fn water_makes_it_known_for_longer() {
        for is_rain in [false, true] {
            let mut account = Account::full();
            for number in 1..=14 {
                let given = if number == 9 { 3.0 } else { 0.0 };
                let poured = (given > 0.0 && !is_rain).then_some(Poured::Litres(given));
                let rain = if is_rain { given } else { 0.0 };
                account = account.after(on(number), &day(rain), poured);
                assert!(account.is_known, "{number}");
            }
            let forgotten = account.after(on(15), &day(0.0), None);
            assert!(!forgotten.is_known);
            // Then it may be as full or as dry as can be, and the plan is half of what the least room holds.
            let left = Estimate { low: 0.0, middle: 6.0, high: 12.0 };
            assert_eq!(forgotten.left(&day(0.0)), left);
        }
    }

    #[test]
    fn of_what_nobody_knows_half_is_left() {
        let unknown = Account::unknown(&day(0.0));
        assert_eq!(unknown.left(&day(0.0)), Estimate { low: 0.0, middle: 5.0, high: 12.0 });
        assert!(!unknown.is_half_way(&day(0.0)));
    }

    /// FAO-56 ch. 8: no stress as long as the depletion is no more than RAW. Here 2 L a day of 4 L.
    #[test]
    fn the_line_itself_is_not_over_it() {
        let day = StandDay { uses: Estimate::exactly(2.0), ..day(0.0) };
        let one = Account::full().after(on(1), &day, None);
        let two = one.after(on(2), &day, None);
        assert_eq!((two.due_since, two.after(on(3), &day, None).due_since), (None, Some(on(3))));
    }

    /// Of 4 L that are easy to take 1.5 L are gone after a day and 3 L after two.
    #[test]
    fn half_way_to_the_line() {
        let one = Account::full().after(on(1), &day(0.0), None);
        assert!(!one.is_half_way(&day(0.0)));
        assert!(one.after(on(2), &day(0.0), None).is_half_way(&day(0.0)));
    }

    #[test]
    fn two_waterings_of_a_day() {
        let three = Poured::Litres(3.0);
        assert_eq!(three.and(Poured::Litres(4.0)), Poured::Litres(7.0));
        assert_eq!(
            (three.and(Poured::Full), Poured::Full.and(three)),
            (Poured::Full, Poured::Full)
        );
    }

    #[test]
    fn rain_fills_what_nobody_knew() {
        let unknown = Account::unknown(&day(0.0));
        assert!(!unknown.after(on(1), &day(2.0), None).is_known);
        assert!(unknown.after(on(1), &day(9.0), None).is_known);
    }

    #[test]
    fn a_little_water_on_what_nobody_knew_leaves_a_wide_range() {
        let unknown = Account::unknown(&day(0.0));
        let watered = unknown.after(on(1), &day(0.0), Some(Poured::Litres(3.0)));
        assert!(watered.is_known);
        let left = watered.left(&day(0.0));
        assert!(left.low < 3.0 && left.high > 10.0, "{left:?}");
    }
}
