//! The garden as one value.

use std::collections::BTreeMap;

use chrono::{Datelike, NaiveDate};

use crate::catalogue::Catalogue;
use crate::dates::{Period, season_start_on_or_before};
use crate::garden::ledger::Ledger;
use crate::garden::place::{Place, PlaceId};
use crate::garden::planting::{Planting, PlantingId};
use crate::garden::records::{
    CareRecord, CostRecord, EntryId, EntryRecord, HarvestRecord, SightRecord, TestRecord, Weather,
};
use crate::settings::Settings;
use crate::sheets::mix::MixSheet;

/// Everything that is known on a day.
#[derive(Clone, Debug)]
pub struct Garden {
    /// The day it is made for.
    pub today: NaiveDate,
    /// garden.yaml.
    pub settings: Settings,
    /// All crops, grown here or not.
    pub catalogue: Catalogue,
    /// Places, by name.
    pub places: Vec<Place>,
    /// Mixes and feeds, by name.
    pub mixes: Vec<MixSheet>,
    /// Plantings, in the order they were noted.
    pub plantings: Vec<Planting>,
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
    /// Weather by day.
    pub weather: BTreeMap<NaiveDate, Weather>,
    /// Where to find the records about somebody or something.
    pub(super) ledger: Ledger,
}

/// A growing year.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub struct Season {
    /// Its days.
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
    /// The planting of this number.
    pub fn planting(&self, id: PlantingId) -> &Planting {
        &self.plantings[id.0]
    }

    /// Every planting with its number.
    pub fn plantings(&self) -> impl Iterator<Item = (PlantingId, &Planting)> {
        self.plantings.iter().enumerate().map(|(index, planting)| (PlantingId(index), planting))
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
