//! A planting: plants of one crop and variety that were begun together.

use chrono::NaiveDate;

use crate::catalogue::{CropId, CropSheet};
use crate::dates::MonthDay;
use crate::garden::place::PlaceId;
use crate::garden::records::Source;
use crate::garden::shown::{Kept, Shown};
use crate::happening::Happening;
use crate::names;
use crate::origin::Origin;
use crate::stage::Stage;
use crate::units::Uses;

/// Which planting, as an index into the garden's plantings.
#[derive(Clone, Copy, Debug, PartialEq, Eq, PartialOrd, Ord, Hash)]
pub struct PlantingId(pub usize);

/// A number of plants as far as it is known.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub struct Plants {
    /// How many; nothing if nobody counted.
    pub number: Option<u32>,
    /// Whether the number is a guess; carried to every figure made of it.
    pub is_about: bool,
}

impl Plants {
    /// Nobody counted.
    pub const UNKNOWN: Plants = Plants { number: None, is_about: true };

    /// A counted number.
    pub fn exactly(number: u32) -> Plants {
        Plants { number: Some(number), is_about: false }
    }

    /// Both together.
    pub fn and(self, other: Plants) -> Plants {
        Plants {
            number: self.number.zip(other.number).map(|(a, b)| a.saturating_add(b)),
            is_about: self.is_about || other.is_about,
        }
    }
}

/// A planting with its whole history up to the garden's day.
#[derive(Clone, Debug)]
pub struct Planting {
    /// Its id, as the grower wrote it; of a private entry, another.
    pub id: Shown,
    /// Whether trug made the id, of crop and day.
    pub is_id_made: bool,
    pub slug: Shown,
    /// Where its id is written.
    pub at: Origin,
    /// What is grown.
    pub crop: CropId,
    pub variety: Option<Shown>,
    /// The variety that a private entry names: by it the planting is found.
    pub(crate) private_variety: Option<Kept>,
    /// The values of the crop and variety.
    pub sheet: CropSheet,
    /// How it was begun.
    pub way: Way,
    /// The planting it was split from.
    pub parent: Option<PlantingId>,
    /// Where it stands first, and where it is meant to end up.
    pub first_place: Option<PlaceId>,
    /// Where it is meant to end up.
    pub destined: Option<PlaceId>,
    /// How many plants are wanted.
    pub aim: Option<u32>,
    /// How much room it takes.
    pub uses: Option<Uses>,
    /// The packet its seed came from.
    pub seed: Option<Seed>,
    /// Sown again at an interval.
    pub sow_again: Option<SowAgain>,
    /// When it is meant to be sown, as a later sowing of a succession.
    pub succession: Option<Succession>,
    /// The planting between whose plants it stands.
    pub shares_with: Option<PlantingId>,
    /// Whether it stands for years.
    pub is_perennial: bool,
    /// Whether it was begun before the journal, with nobody knowing the day.
    pub is_older_than_journal: bool,
    /// The year in which it was begun, if that is all that is known.
    pub since_year: Option<i32>,
    /// What was remarked when it was only intended.
    pub plan_note: Option<Shown>,
    /// The day it was written down.
    pub noted: NaiveDate,
    /// The entry it was written down in.
    pub source: Source,
    /// What happened, in order.
    pub history: Vec<Step>,
    /// How many steps of its history are those of the planting it was split from.
    pub inherited: usize,
    /// Plants by stage and place on the garden's day; those that went are not among them.
    pub groups: Vec<Group>,
    /// When it stood where: first day, day it left (nothing while it stands there).
    pub stays: Vec<Stay>,
    /// The day on which the last of its plants was cleared, lost or given away.
    pub finished: Option<NaiveDate>,
}

/// How a planting was begun.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub enum Way {
    Intended,
    /// From seed.
    Sown,
    /// From cloves, sets, tubers, crowns.
    Planted,
    /// From bought young plants; they say nothing about sowing.
    Bought,
    /// Split from another planting.
    Split,
}

/// The packet the seed came from.
#[derive(Clone, Debug, PartialEq, Eq)]
pub struct Seed {
    /// Who it came from.
    pub from: Option<Shown>,
    /// The year printed on the packet.
    pub year: Option<u32>,
    /// Seeds in a packet.
    pub packet: Option<u32>,
}

/// Sowing again at an interval.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub struct SowAgain {
    /// Days between two sowings.
    pub every_days: u32,
    /// The last day on which it is worth while; nothing: to the end of the season.
    pub until: Option<MonthDay>,
}

/// The place of a later sowing in its succession.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub struct Succession {
    /// The sowing before it, as it was made or is meant.
    pub after: NaiveDate,
    /// The day it is meant to be sown.
    pub day: NaiveDate,
    /// The last day before the one that follows it.
    pub until: NaiveDate,
}

/// One thing that happened to a planting.
#[derive(Clone, Debug)]
pub struct Step {
    pub date: NaiveDate,
    pub what: Happening,
    /// Whether nobody wrote it: it follows from something else, such as a picking.
    pub is_implied: bool,
    /// How many plants it was about, if the grower said so.
    pub count: Option<Plants>,
    /// How many plants it was about as far as the history can be followed: the count, else all that
    /// it can have been about.
    pub plants: Plants,
    /// How many plants stood afterwards.
    pub plants_after: Plants,
    /// Where they stood afterwards, if that is known.
    pub place: Option<PlaceId>,
    /// How much room they take from then on, if the grower said so.
    pub uses: Option<Uses>,
    /// Pot, mix, reason and note in the grower's words.
    pub words: Vec<(StepWord, Shown)>,
    /// The entry it is written in.
    pub source: Source,
}

/// What a word of a step is about.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub enum StepWord {
    /// The pot they went into.
    Pot,
    /// The mix they went into.
    Mix,
    /// Why.
    Because,
    Note,
}

/// Plants of one planting that are alike in stage and place.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub struct Group {
    /// The stage they reached.
    pub stage: Stage,
    pub place: Option<PlaceId>,
    pub plants: Plants,
    /// The day on which they reached their stage; the last, where they did so on several.
    pub reached: NaiveDate,
    /// The day on which they came to their place; the last, where they came on several.
    pub arrived: NaiveDate,
}

/// A stay of a planting in a place.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub struct Stay {
    pub place: PlaceId,
    /// The first day.
    pub from: NaiveDate,
    /// The day it left, if it did.
    pub to: Option<NaiveDate>,
}

/// What was lifted may be weighed so long after, once it is dry (common practice, no source).
const WEIGHED_LATER_DAYS: i64 = 60;

impl Planting {
    /// The stage of the plants that are furthest on.
    pub fn stage(&self) -> Stage {
        if self.finished.is_some() {
            return Stage::Finished;
        }
        let furthest = self.groups.iter().map(|group| group.stage).max();
        furthest.unwrap_or(Stage::Intended)
    }

    /// The day it is meant to be sown, as a later sowing of a succession.
    pub fn sow_on(&self) -> Option<NaiveDate> {
        self.succession.map(|succession| succession.day)
    }

    /// What somebody wrote of its history.
    pub fn written_steps(&self) -> impl Iterator<Item = &Step> {
        self.history.iter().filter(|step| !step.is_implied)
    }

    /// What happened to it since it is a planting of its own.
    pub fn own_steps(&self) -> &[Step] {
        self.history.get(self.inherited..).unwrap_or_default()
    }

    /// What it shares with the planting it was split from.
    pub fn shared_steps(&self) -> &[Step] {
        self.history.get(..self.inherited).unwrap_or(&self.history)
    }

    /// The year of a date of which nobody knows more.
    pub fn year_alone(&self, date: NaiveDate) -> Option<i32> {
        self.since_year.filter(|year| NaiveDate::from_ymd_opt(*year, 1, 1) == Some(date))
    }

    /// The day it was begun, if it was.
    pub fn begun(&self) -> Option<NaiveDate> {
        self.history
            .iter()
            .find(|step| matches!(step.what, Happening::Reached(_)))
            .map(|step| step.date)
    }

    /// The day on which a stage was first reached.
    pub fn reached(&self, stage: Stage) -> Option<NaiveDate> {
        if stage == Stage::Finished {
            return self.finished;
        }
        self.history
            .iter()
            .find(|step| match step.what {
                Happening::Reached(reached) => reached.settled() == stage,
                _ => false,
            })
            .map(|step| step.date)
    }

    /// The last step that changed its stage.
    pub fn last_stage_step(&self) -> Option<&Step> {
        self.history.iter().rev().find(|step| matches!(step.what, Happening::Reached(_)))
    }

    /// Whether it is growing on the garden's day.
    pub fn is_growing(&self) -> bool {
        !matches!(self.stage(), Stage::Intended | Stage::Finished)
    }

    /// Whether it was growing on a day.
    pub fn is_alive_on(&self, day: NaiveDate) -> bool {
        self.begun().is_some_and(|begun| begun <= day)
            && self.finished.is_none_or(|finished| day <= finished)
    }

    /// The stage it had reached by a day.
    pub fn stage_on(&self, day: NaiveDate) -> Stage {
        let until = self.history.iter().take_while(|step| step.date <= day);
        let reached = until.filter_map(|step| match step.what {
            Happening::Reached(stage) => Some(stage.settled()),
            _ => None,
        });
        reached.max().unwrap_or(Stage::Intended)
    }

    /// Whether it ended so lately before a day that what was lifted may still be weighed.
    pub fn was_lifted_before(&self, day: NaiveDate) -> bool {
        let days = self.finished.map(|finished| (day - finished).num_days());
        days.is_some_and(|days| (0..=WEIGHED_LATER_DAYS).contains(&days))
    }

    /// Whether it is of a variety, by its folded name; a private entry may say so, too.
    pub(crate) fn is_called(&self, variety: &str) -> bool {
        let is_it = |own: &str| names::folded(own) == variety;
        match &self.variety {
            Some(own) => is_it(own),
            None => self.private_variety.as_ref().is_some_and(|own| own.compared(is_it)),
        }
    }

    /// Where it stood on a day, newest stay first.
    pub fn places_on(&self, day: NaiveDate) -> Vec<PlaceId> {
        let mut places: Vec<_> = self
            .stays
            .iter()
            .rev()
            .filter(|stay| stay.from <= day && stay.to.is_none_or(|to| day <= to))
            .map(|stay| stay.place)
            .collect();
        let mut seen = Vec::new();
        places.retain(|place| {
            let is_new = !seen.contains(place);
            seen.push(*place);
            is_new
        });
        places
    }

    /// How many plants stand: seeds that never came up are not plants.
    pub fn plants(&self) -> Plants {
        standing(&self.groups)
    }
}

/// Plants that have come up, or everything sown while nothing has.
pub fn standing(groups: &[Group]) -> Plants {
    let is_up = |group: &&Group| group.stage > Stage::SownAgain;
    let up = groups.iter().filter(is_up).map(|group| group.plants).reduce(Plants::and);
    let all = groups.iter().map(|group| group.plants).reduce(Plants::and);
    up.or(all).unwrap_or(Plants::exactly(0))
}
