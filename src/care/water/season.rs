//! The water of a place through the season, day by day, and the waterings to come.

use std::collections::BTreeMap;

use chrono::NaiveDate;

use crate::care::water::PlaceWater;
use crate::care::water::account::{Account, Poured};
use crate::care::water::days::Day;
use crate::care::water::estimate::Estimate;
use crate::care::water::record::{self, Taker};
use crate::care::water::refills::{self, Standing};
use crate::care::water::stand::Stand;
use crate::garden::model::Garden;

/// A place at the end of a day.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct PlaceDay {
    pub date: NaiveDate,
    /// What is left of what the roots can reach, 0 to 1; nothing if nobody knows.
    pub left: Option<Estimate>,
    /// Where it is to be filled again, 0 to 1.
    pub refill_at: f64,
    /// Water that was given, as far as it was noted.
    pub poured: Option<Poured>,
    /// Rain, mm, if it was measured.
    pub rain_mm: Option<f64>,
}

/// Fills in the season of a place and what it asks for, unless a timer sees to it. `today` is the index of the
/// garden's day among `days`.
pub fn fill_in(
    garden: &Garden,
    place: &mut PlaceWater,
    takers: &[Taker],
    poured: &[BTreeMap<NaiveDate, Poured>],
    days: &[Day],
    today: usize,
) {
    let all = takers.iter().zip(poured).filter(|(taker, _)| taker.place == place.place);
    let own: Vec<(&Taker, &BTreeMap<NaiveDate, Poured>)> = all.collect();
    let mut watered: Vec<NaiveDate> =
        own.iter().flat_map(|(_, given)| given.keys().copied()).collect();
    watered.sort_unstable();
    watered.dedup();
    place.last = watered.last().copied();
    place.times = u32::try_from(watered.len()).unwrap_or(u32::MAX);
    if garden.place(place.place).is_on_timer || own.is_empty() {
        return;
    }
    let stands: Vec<Stand> = place.stands.iter().map(|water| water.stand).collect();
    let mut accounts: Vec<Option<Account>> = vec![None; stands.len()];
    let season = garden.season().days;
    let mut standing = Vec::new();
    for (index, day) in days.iter().enumerate().take(today + 1) {
        if index == today {
            standing = standing_today(garden, &stands, &accounts, &own, day.date);
        }
        for ((account, stand), (taker, given)) in accounts.iter_mut().zip(&stands).zip(&own) {
            if day.date < taker.from {
                continue;
            }
            let uses = stand.on_day(day);
            // What is set out or sown is watered in: common practice, no source.
            let before = account.unwrap_or_else(|| match taker.from == day.date {
                true => Account::full(),
                false => Account::unknown(&uses),
            });
            *account = Some(before.after(day.date, &uses, given.get(&day.date).copied()));
        }
        if season.contains(day.date) && accounts.iter().any(Option::is_some) {
            place.days.push(place_day(&stands, &accounts, &own, day));
        }
    }
    place.refills = refills::of_place(standing, &days[today..]);
}

/// The stands as they were at the end of yesterday.
fn standing_today<'a>(
    garden: &Garden,
    stands: &'a [Stand],
    accounts: &[Option<Account>],
    own: &[(&Taker, &BTreeMap<NaiveDate, Poured>)],
    today: NaiveDate,
) -> Vec<Standing<'a>> {
    let all = stands.iter().zip(accounts).zip(own);
    all.map(|((stand, account), (taker, given))| Standing {
        stand,
        account: account.unwrap_or_else(Account::full),
        poured_today: given.get(&today).copied(),
        is_put_off: record::is_skipped(garden, taker.place, taker.planting, today),
    })
    .collect()
}

/// Those of which something is known, together.
fn place_day(
    stands: &[Stand],
    accounts: &[Option<Account>],
    own: &[(&Taker, &BTreeMap<NaiveDate, Poured>)],
    day: &Day,
) -> PlaceDay {
    let mut left: Option<Estimate> = None;
    let (mut total, mut ready) = (Estimate::default(), 0.0);
    let (mut all, mut all_ready) = (0.0, 0.0);
    for (stand, account) in stands.iter().zip(accounts) {
        let Some(account) = account else { continue };
        let uses = stand.on_day(day);
        all += uses.total.middle;
        all_ready += uses.ready().middle;
        if account.is_known {
            let own = account.left(&uses);
            left = Some(left.map_or(own, |left| left + own));
            total = total + uses.total;
            ready += uses.ready().middle;
        }
    }
    let share = |left: Estimate| {
        let of = |left: f64, total: f64| if total > 0.0 { left / total } else { 0.0 };
        let ends =
            [of(left.low, total.low), of(left.middle, total.middle), of(left.high, total.high)];
        Estimate {
            low: ends[0].min(ends[1]).min(ends[2]),
            middle: ends[1],
            high: ends[0].max(ends[1]).max(ends[2]),
        }
    };
    let (of, ready) = if left.is_some() { (total.middle, ready) } else { (all, all_ready) };
    let poured = own.iter().filter_map(|(_, given)| given.get(&day.date).copied());
    PlaceDay {
        date: day.date,
        left: left.map(share),
        refill_at: if of > 0.0 { 1.0 - ready / of } else { 0.0 },
        poured: poured.reduce(Poured::and),
        rain_mm: day.is_rain_known.then_some(day.rain_mm.middle),
    }
}
