//! The garden as one value.

use std::collections::BTreeMap;
use std::ops::Deref;
use std::sync::Arc;

use chrono::{Datelike, NaiveDate};

use crate::catalogue::Catalogue;
use crate::dates::{Period, season_start_on_or_before};
use crate::garden::ledger::Ledger;
use crate::garden::place::{Place, PlaceId};
use crate::garden::planting::{Planting, PlantingId};
use crate::garden::planting_names::PlantingNames;
use crate::garden::records::{
    CareRecord, CostRecord, EntryId, EntryRecord, HarvestRecord, SightRecord, TestRecord, Weather,
};
use crate::garden::switches::Switches;
use crate::neighbours::Neighbour;
use crate::settings::Settings;
use crate::sheets::mix::MixSheet;

/// Everything that is known on a day. It is not changed after it is made.
#[derive(Clone, Debug)]
pub struct Garden {
    facts: Arc<Facts>,
    plantings: Vec<Arc<Planting>>,
}

/// Everything that is known but for the plantings; the same for a garden and what was [taught](super::taught::Taught)
/// of it.
#[derive(Clone, Debug)]
pub struct Facts {
    /// The day it is made for.
    pub today: NaiveDate,
    /// garden.yaml.
    pub settings: Settings,
    /// What of the work is turned on or off.
    pub switches: Switches,
    /// All crops, grown here or not.
    pub catalogue: Catalogue,
    /// Places, by name.
    pub places: Vec<Place>,
    /// Mixes and feeds, by name.
    pub mixes: Vec<MixSheet>,
    /// Entries, oldest first.
    pub entries: Vec<EntryRecord>,
    /// Work done, oldest first.
    pub care: Vec<CareRecord>,
    /// Pickings, oldest first.
    pub harvests: Vec<HarvestRecord>,
    /// Pests and diseases seen, oldest first.
    pub sights: Vec<SightRecord>,
    /// Germination tests, oldest first.
    pub tests: Vec<TestRecord>,
    /// Money spent, oldest first.
    pub costs: Vec<CostRecord>,
    pub weather: BTreeMap<NaiveDate, Weather>,
    /// What other gardens say.
    pub neighbours: Vec<Neighbour>,
    /// Where to find the records about somebody or something.
    pub(super) ledger: Ledger,
    /// What each planting is called.
    pub(super) planting_names: PlantingNames,
}

impl Deref for Garden {
    type Target = Facts;

    fn deref(&self) -> &Facts {
        &self.facts
    }
}

/// A growing year.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub struct Season {
    pub days: Period,
}

impl Season {
    /// The year it is called by: that of its first day, or both if it crosses a new year.
    pub fn name(&self) -> String {
        let (from, to) = (self.days.from.year(), self.days.to.year());
        if from == to { from.to_string() } else { format!("{from}/{:02}", to.rem_euclid(100)) }
    }
}

impl Garden {
    /// A garden whose plantings are still to be told.
    pub(super) fn new(facts: Facts) -> Garden {
        Garden { facts: Arc::new(facts), plantings: Vec::new() }
    }

    pub(super) fn set_plantings(&mut self, plantings: Vec<Planting>) {
        self.plantings = plantings.into_iter().map(Arc::new).collect();
    }

    /// A planting while the garden is made.
    pub(super) fn planting_mut(&mut self, id: PlantingId) -> &mut Planting {
        Arc::make_mut(&mut self.plantings[id.0])
    }

    /// The facts while the garden is made.
    pub(super) fn facts_mut(&mut self) -> &mut Facts {
        Arc::make_mut(&mut self.facts)
    }

    /// The same with other plantings.
    pub(super) fn with(&self, plantings: Vec<Arc<Planting>>) -> Garden {
        Garden { facts: Arc::clone(&self.facts), plantings }
    }

    pub(super) fn shared_plantings(&self) -> &[Arc<Planting>] {
        &self.plantings
    }

    /// Makes the index of its records anew, and the names of its plantings.
    pub(super) fn index(&mut self) {
        let ledger = Ledger::of(self);
        let names = PlantingNames::of(self);
        self.facts_mut().ledger = ledger;
        self.facts_mut().planting_names = names;
    }

    /// The same garden with a feed that looks so many days ahead.
    pub fn looking_ahead(mut self, days: u32) -> Garden {
        self.facts_mut().settings.feed.look_ahead_days = days;
        self
    }

    /// The planting of this number.
    pub fn planting(&self, id: PlantingId) -> &Planting {
        &self.plantings[id.0]
    }

    /// Every planting with its number, in the order in which they were noted.
    pub fn plantings(&self) -> impl ExactSizeIterator<Item = (PlantingId, &Planting)> {
        let plantings = self.plantings.iter().enumerate();
        plantings.map(|(index, planting)| (PlantingId(index), planting.as_ref()))
    }

    /// The place of this number.
    pub fn place(&self, id: PlaceId) -> &Place {
        &self.places[id.0]
    }

    /// Every place with its number.
    pub fn places(&self) -> impl Iterator<Item = (PlaceId, &Place)> {
        self.places.iter().enumerate().map(|(index, place)| (PlaceId(index), place))
    }

    /// The entry of this number.
    pub fn entry(&self, id: EntryId) -> &EntryRecord {
        &self.entries[id.0]
    }

    /// The season that a day lies in.
    pub fn season_of(&self, day: NaiveDate) -> Season {
        let starts = self.settings.season_starts;
        let from = season_start_on_or_before(day, starts);
        let next = starts.in_year(from.year() + 1);
        Season { days: Period { from, to: next.pred_opt().unwrap_or(next) } }
    }

    /// The season of the garden's day.
    pub fn season(&self) -> Season {
        self.season_of(self.today)
    }
}
