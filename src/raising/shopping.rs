//! What a time asks for: seed, pots, potting mix and feed, from the plan, against what there is.
//!
//! Only what follows from the plan is listed. Pots and mixes are those of the last planting of the same crop that
//! was raised here, at the same distance from its sowing and in the same proportion to the plants wanted: habits
//! are read from the journal, not invented. Feed is what each feeding took the last time.

pub mod feeding;
pub mod potting;

use crate::calendar::plan::Plans;
use crate::care::prospect::Prospect;
use crate::care::tasks;
use crate::care::tasks::model::Task;
use crate::dates::{Period, shift};
use crate::garden::model::Garden;
use crate::garden::planting::{PlantingId, Plants};
use crate::jobs::Job;
use crate::raising::seeds::packets::Left;
use crate::raising::seeds::{SeedBox, days_to_sow};
use crate::raising::shopping::feeding::FeedNeed;
use crate::raising::shopping::potting::{MixNeed, PotNeed};

/// What a time asks for.
#[derive(Clone, Debug)]
pub struct Shopping {
    /// Which time.
    pub span: Span,
    /// Its days, from the garden's on.
    pub days: Period,
    /// Seed for what is to be sown in it.
    pub seeds: Vec<SeedNeed>,
    /// Pots for what is to be pricked out or potted on.
    pub pots: Vec<PotNeed>,
    /// Potting mix: for these pots, and for containers that are planted.
    pub mixes: Vec<MixNeed>,
    /// Feed for what is to be fed.
    pub feeds: Vec<FeedNeed>,
    /// The work of that time, soonest first; of the season only raising and planting, which come once.
    pub tasks: Vec<Task>,
}

/// The times that are told.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub enum Span {
    /// The garden's day and four weeks.
    FourWeeks,
    /// To the end of the season; to the end of the next if that is less than eight weeks away.
    Season,
}

/// Seed for a sowing.
#[derive(Clone, Debug, PartialEq)]
pub struct SeedNeed {
    pub planting: PlantingId,
    /// The days on which it is to be sown.
    pub when: Period,
    /// How many seeds; nothing if that cannot be told.
    pub seeds: Option<u32>,
    pub from: Supply,
}

#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub enum Supply {
    /// A packet holds enough.
    Enough(usize),
    /// Packets of it hold fewer together.
    Short(Plants),
    /// There is a packet, and what is left of it cannot be told.
    Unsure(usize),
    /// No packet of the variety is known.
    Nowhere,
}

impl Span {
    /// All of them, the shortest first.
    pub const ALL: [Span; 2] = [Span::FourWeeks, Span::Season];

    /// Its days in a garden.
    pub fn days(self, garden: &Garden) -> Period {
        let today = garden.today;
        let to = match self {
            Span::FourWeeks => shift(today, 28),
            Span::Season => {
                let end = garden.season().days.to;
                let is_near = end < shift(today, 56);
                if is_near { garden.season_of(shift(end, 1)).days.to } else { end }
            }
        };
        Period { from: today, to }
    }
}

/// What each of the times asks for.
pub fn of_garden(prospect: &Prospect<'_>, seeds: &SeedBox, upcoming: &[Task]) -> Vec<Shopping> {
    let (taught, plans) = (prospect.taught.garden(), prospect.plans);
    let longest = Span::ALL.map(|span| span.days(taught).days()).into_iter().max().unwrap_or(0);
    let until_then = tasks::upcoming(prospect, u32::try_from(longest).unwrap_or(0));
    let of_span = |span: Span| {
        let days = span.days(taught);
        let all = until_then.iter().filter(|task| days.contains(task.due));
        let all: Vec<Task> = all.cloned().collect();
        let pots = potting::pots(taught, plans, days);
        Shopping {
            span,
            days,
            seeds: seed_needs(taught, plans, seeds, days),
            mixes: potting::mixes(taught, &pots, &all),
            pots,
            feeds: feeding::of_tasks(taught, &all),
            tasks: match span {
                Span::FourWeeks => {
                    upcoming.iter().filter(|task| days.contains(task.due)).cloned().collect()
                }
                Span::Season => all.into_iter().filter(|task| is_of_plan(&task.job)).collect(),
            },
        }
    };
    Span::ALL.into_iter().map(of_span).collect()
}

fn seed_needs(garden: &Garden, plans: &Plans, seeds: &SeedBox, days: Period) -> Vec<SeedNeed> {
    let mut needs = Vec::new();
    let mut spent = vec![0_u32; seeds.packets.len()];
    for (id, sowing) in seeds.sowings.iter().filter(|(_, sowing)| sowing.sown.is_none()) {
        let planting = garden.planting(*id);
        let plan = plans.get(id).copied().unwrap_or_default();
        let Some(when) = days_to_sow(garden, plan) else { continue };
        if when.from > days.to {
            continue;
        }
        let packets = seeds.packets_for(planting);
        let from = supply(seeds, &packets, sowing.seeds, &mut spent);
        needs.push(SeedNeed { planting: *id, when, seeds: sowing.seeds, from });
    }
    needs.sort_by_key(|need| (need.when.from, need.planting));
    needs
}

/// Packets are used up in the order of the list: what one sowing takes, the next does not find.
fn supply(seeds: &SeedBox, packets: &[usize], wanted: Option<u32>, spent: &mut [u32]) -> Supply {
    let mut together: Option<Plants> = None;
    let mut unsure = None;
    let mut short = Vec::new();
    for index in packets {
        match seeds.packets[*index].left {
            Left::Seeds(left) => {
                let Some(number) = left.number else { continue };
                let rest = number.saturating_sub(spent[*index]);
                if wanted.is_some_and(|wanted| rest >= wanted) {
                    spent[*index] += wanted.unwrap_or(0);
                    return Supply::Enough(*index);
                }
                short.push(*index);
                let rest = Plants { number: Some(rest), is_about: left.is_about };
                together = Some(together.map_or(rest, |before| before.and(rest)));
            }
            Left::MoreThanOne | Left::Unknown => {
                unsure.get_or_insert(*index);
            }
        }
    }
    match (unsure, together) {
        (Some(index), _) => Supply::Unsure(index),
        (None, Some(left)) if wanted.is_some() => {
            // What is there goes into this sowing, and is not there for the next.
            for index in short {
                if let Left::Seeds(Plants { number: Some(number), .. }) = seeds.packets[index].left
                {
                    spent[index] = number;
                }
            }
            Supply::Short(left)
        }
        (None, Some(_)) => Supply::Unsure(packets[0]),
        (None, None) => Supply::Nowhere,
    }
}

/// Whether a job is part of raising and planting, and comes once.
fn is_of_plan(job: &Job) -> bool {
    matches!(job, Job::Sow | Job::PrickOut | Job::PotOn | Job::HardenOff | Job::PlantOut)
}
