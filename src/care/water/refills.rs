//! When a place is to be watered next, and how much it takes.

use chrono::NaiveDate;

use crate::care::water::account::{Account, Poured};
use crate::care::water::days::Day;
use crate::care::water::estimate::Estimate;
use crate::care::water::room::Ground;
use crate::care::water::stand::Stand;
use crate::dates::shift;
use crate::garden::planting::PlantingId;

/// No further ahead than this, days: nobody knows the weather.
pub const DAYS_AHEAD: usize = 7;

/// A watering to come.
#[derive(Clone, Debug, PartialEq)]
pub struct Refill {
    pub date: NaiveDate,
    /// What fills them all, litres.
    pub litres: Estimate,
    /// How many containers that is for, where all stand in containers.
    pub containers: Option<f64>,
    pub plantings: Vec<PlantingId>,
    /// Whether they are all that stand in the place and are known.
    pub is_for_all: bool,
    /// Since when it is surely late.
    pub overdue_since: Option<NaiveDate>,
    /// Whether one watering may not carry them through the day.
    pub is_twice: bool,
}

/// A stand with its account at the end of yesterday, and what it was given today.
#[derive(Clone, Copy, Debug)]
pub struct Standing<'a> {
    /// Who, and how much it uses.
    pub stand: &'a Stand,
    /// Yesterday's account.
    pub account: Account,
    /// Today's water, if it was noted.
    pub poured_today: Option<Poured>,
    /// Whether the grower put it off today.
    pub is_put_off: bool,
}

/// The waterings of a place from the first of `days` on, which is the garden's day. Each is taken to be done,
/// and then fills up; whoever is half way to the line is watered along.
pub fn of_place(mut standing: Vec<Standing<'_>>, days: &[Day]) -> Vec<Refill> {
    let mut refills = Vec::new();
    for (index, day) in days.iter().take(DAYS_AHEAD + 1).enumerate() {
        let is_today = index == 0;
        let uses: Vec<_> = standing.iter().map(|one| one.stand.on_day(day)).collect();
        let poured = |one: &Standing<'_>| one.poured_today.filter(|_| is_today);
        let is_due = |(one, uses): &(&Standing<'_>, &_)| {
            let is_open = poured(one).is_none() && !(is_today && one.is_put_off);
            let (now, dry) = (one.account, one.account.after(day.date, uses, None));
            let is_over = now.due_since.is_some() || dry.due_since.is_some() || !dry.is_known;
            is_open && now.is_known && is_over
        };
        let any_due = standing.iter().zip(&uses).any(|pair| is_due(&pair));
        let served: Vec<bool> = standing
            .iter()
            .zip(&uses)
            .map(|pair| {
                let (one, uses) = pair;
                let is_open = poured(one).is_none() && !(is_today && one.is_put_off);
                any_due && is_open && (is_due(&pair) || one.account.is_half_way(uses))
            })
            .collect();
        if any_due {
            let ours = || standing.iter().zip(&served).filter(|(_, served)| **served);
            let containers = ours().map(|(one, _)| match one.stand.room.ground {
                Ground::Containers { number, .. } => Some(number),
                Ground::Soil { .. } => None,
            });
            let dry = ours().filter_map(|(one, _)| one.account.dry_since).min();
            refills.push(Refill {
                date: day.date,
                litres: ours()
                    .map(|(one, _)| one.account.to_fill())
                    .reduce(|a, b| a + b)
                    .unwrap_or_default(),
                containers: containers.sum(),
                plantings: ours().map(|(one, _)| one.stand.room.planting).collect(),
                is_for_all: standing
                    .iter()
                    .zip(&served)
                    .all(|(one, served)| *served || !one.account.is_known),
                overdue_since: dry
                    .filter(|dry| is_today && *dry < day.date)
                    .map(|dry| shift(dry, 1)),
                is_twice: standing.iter().zip(&uses).zip(&served).any(|((one, uses), served)| {
                    let is_container = matches!(one.stand.room.ground, Ground::Containers { .. });
                    *served && is_container && uses.uses.middle > uses.ready().middle
                }),
            });
        }
        for ((one, uses), served) in standing.iter_mut().zip(&uses).zip(served) {
            let given = one.poured_today.filter(|_| is_today);
            let given = if served { Some(Poured::Full) } else { given };
            // What is put off stays dry; only what is past can be silent.
            let next = one.account.after(day.date, uses, given);
            if next.is_known || !one.account.is_known {
                one.account = next;
            }
        }
    }
    refills
}
