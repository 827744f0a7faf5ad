//! The index of what happened: records by planting, crop, place, entry and day.
//!
//! It is made once with the garden, so that no page, rule or figure has to look through thirty years of
//! records for those it is about. Records come in the garden's order: oldest first.

use std::collections::BTreeMap;

use chrono::NaiveDate;

use crate::catalogue::CropId;
use crate::dates::Period;
use crate::garden::model::Garden;
use crate::garden::place::PlaceId;
use crate::garden::planting::PlantingId;
use crate::garden::records::{
    CareRecord, CostRecord, EntryId, HarvestRecord, SightRecord, Source, TestRecord,
};
use crate::names::folded;

/// Where to find the records about somebody or something, as indices into the garden's lists.
#[derive(Clone, Debug, Default)]
pub(crate) struct Ledger {
    plantings: Vec<OfPlanting>,
    crops: BTreeMap<CropId, OfCrop>,
    places: Vec<OfPlace>,
    entries: Vec<OfEntry>,
    planting_ids: BTreeMap<String, PlantingId>,
    place_names: BTreeMap<String, PlaceId>,
}

/// Records of each kind, as indices into the garden's lists.
#[derive(Clone, Debug, Default)]
struct Records {
    care: Vec<usize>,
    harvests: Vec<usize>,
    sights: Vec<usize>,
    tests: Vec<usize>,
    costs: Vec<usize>,
}

#[derive(Clone, Debug, Default)]
struct OfPlanting {
    records: Records,
    children: Vec<PlantingId>,
    pictured: Vec<EntryId>,
}

#[derive(Clone, Debug, Default)]
struct OfCrop {
    records: Records,
    plantings: Vec<PlantingId>,
}

#[derive(Clone, Debug, Default)]
struct OfPlace {
    care: Vec<usize>,
    plantings: Vec<PlantingId>,
}

/// What an entry tells.
#[derive(Clone, Debug, Default)]
pub(crate) struct OfEntry {
    /// Plantings that were noted in it.
    pub(crate) noted: Vec<PlantingId>,
    /// Steps of plantings, each by its place in the planting's history.
    pub(crate) steps: Vec<(PlantingId, usize)>,
    records: Records,
}

impl Ledger {
    /// Of a garden whose records are complete.
    pub(super) fn of(garden: &Garden) -> Ledger {
        let mut ledger = Ledger {
            plantings: vec![OfPlanting::default(); garden.plantings().len()],
            crops: BTreeMap::new(),
            places: vec![OfPlace::default(); garden.places.len()],
            entries: vec![OfEntry::default(); garden.entries.len()],
            planting_ids: BTreeMap::new(),
            place_names: BTreeMap::new(),
        };
        for (id, place) in garden.places() {
            ledger.place_names.entry(folded(&place.name)).or_insert(id);
            ledger.place_names.entry(place.slug.clone()).or_insert(id);
        }
        ledger.index_plantings(garden);
        let care = garden.care.iter().map(|care| (care.about.plantings.as_slice(), &care.source));
        ledger.index(garden, care, |records| &mut records.care);
        for (index, care) in garden.care.iter().enumerate() {
            for place in &care.about.places {
                note(&mut ledger.places[place.0].care, index);
            }
        }
        let harvests = garden.harvests.iter();
        let harvests = harvests.map(|harvest| (harvest.plantings.as_slice(), &harvest.source));
        ledger.index(garden, harvests, |records| &mut records.harvests);
        let sights = garden.sights.iter();
        let sights = sights.map(|sight| (sight.about.plantings.as_slice(), &sight.source));
        ledger.index(garden, sights, |records| &mut records.sights);
        let tests = garden.tests.iter().map(|test| (&[][..], &test.source));
        ledger.index(garden, tests, |records| &mut records.tests);
        let costs = garden.costs.iter().map(|cost| (&[][..], &cost.source));
        ledger.index(garden, costs, |records| &mut records.costs);
        ledger.index_costs(garden);
        for (index, entry) in garden.entries.iter().enumerate() {
            for id in entry.plantings.iter().filter(|_| !entry.photos.is_empty()) {
                ledger.plantings[id.0].pictured.push(EntryId(index));
            }
        }
        ledger
    }

    fn index_plantings(&mut self, garden: &Garden) {
        for (id, planting) in garden.plantings() {
            self.planting_ids.entry(folded(&planting.id)).or_insert(id);
            self.crops.entry(planting.crop).or_default().plantings.push(id);
            if let Some(parent) = planting.parent {
                self.plantings[parent.0].children.push(id);
            }
            let places = planting.stays.iter().map(|stay| stay.place);
            for place in places.chain(planting.first_place).chain(planting.destined) {
                note(&mut self.places[place.0].plantings, id);
            }
            if let Some(entry) = planting.source.entry {
                self.entries[entry.0].noted.push(id);
            }
            for (index, step) in planting.history.iter().enumerate() {
                if let Some(entry) = step.source.entry {
                    self.entries[entry.0].steps.push((id, index));
                }
            }
        }
    }

    fn crop_of(&mut self, garden: &Garden, id: PlantingId) -> &mut OfCrop {
        self.crops.entry(garden.planting(id).crop).or_default()
    }

    /// Records of one kind, by their plantings, the crops of these, and their entry.
    fn index<'a>(
        &mut self,
        garden: &Garden,
        records: impl Iterator<Item = (&'a [PlantingId], &'a Source)>,
        kind: fn(&mut Records) -> &mut Vec<usize>,
    ) {
        for (index, (plantings, source)) in records.enumerate() {
            for id in plantings {
                kind(&mut self.plantings[id.0].records).push(index);
                note(kind(&mut self.crop_of(garden, *id).records), index);
            }
            if let Some(entry) = source.entry {
                kind(&mut self.entries[entry.0].records).push(index);
            }
        }
    }

    /// A line that names one planting is its own; one that names more is for the crop they are of.
    fn index_costs(&mut self, garden: &Garden) {
        for (index, cost) in garden.costs.iter().enumerate() {
            let Some(first) = cost.about.plantings.first() else { continue };
            if cost.about.plantings.len() == 1 {
                self.plantings[first.0].records.costs.push(index);
            }
            self.crop_of(garden, *first).records.costs.push(index);
        }
    }
}

impl Garden {
    /// The planting of an id.
    pub fn find_planting(&self, id: &str) -> Option<PlantingId> {
        self.ledger.planting_ids.get(&folded(id)).copied()
    }

    /// The place of a name or a slug.
    pub fn find_place(&self, name: &str) -> Option<PlaceId> {
        self.ledger.place_names.get(&folded(name)).copied()
    }

    /// Work that was done to a planting.
    pub fn care_of(&self, id: PlantingId) -> impl DoubleEndedIterator<Item = &CareRecord> + Clone {
        self.ledger.plantings[id.0].records.care.iter().map(|index| &self.care[*index])
    }

    /// What was picked of a planting, by itself and together with others.
    pub fn harvests_of(
        &self,
        id: PlantingId,
    ) -> impl DoubleEndedIterator<Item = &HarvestRecord> + Clone {
        self.ledger.plantings[id.0].records.harvests.iter().map(|index| &self.harvests[*index])
    }

    /// The same by their places in the garden's list.
    pub(crate) fn harvest_indices_of(&self, id: PlantingId) -> &[usize] {
        &self.ledger.plantings[id.0].records.harvests
    }

    /// Pests and diseases seen on a planting.
    pub fn sights_of(&self, id: PlantingId) -> impl Iterator<Item = &SightRecord> {
        self.ledger.plantings[id.0].records.sights.iter().map(|index| &self.sights[*index])
    }

    /// Money spent on a planting alone.
    pub fn costs_of(&self, id: PlantingId) -> impl Iterator<Item = &CostRecord> {
        self.ledger.plantings[id.0].records.costs.iter().map(|index| &self.costs[*index])
    }

    /// Plantings that were split off a planting.
    pub fn children_of(&self, id: PlantingId) -> &[PlantingId] {
        &self.ledger.plantings[id.0].children
    }

    /// All plantings of a crop.
    pub fn plantings_of(&self, crop: CropId) -> &[PlantingId] {
        self.ledger.crops.get(&crop).map_or(&[], |of| &of.plantings)
    }

    /// What was picked of a crop, by itself and together with others.
    pub fn harvests_of_crop(
        &self,
        crop: CropId,
    ) -> impl DoubleEndedIterator<Item = &HarvestRecord> + Clone {
        self.harvest_indices_of_crop(crop).iter().map(|index| &self.harvests[*index])
    }

    /// The same by their places in the garden's list.
    pub(crate) fn harvest_indices_of_crop(&self, crop: CropId) -> &[usize] {
        self.ledger.crops.get(&crop).map_or(&[], |of| &of.records.harvests)
    }

    /// Pests and diseases seen on plantings of a crop.
    pub fn sights_of_crop(&self, crop: CropId) -> impl Iterator<Item = &SightRecord> {
        let sights = self.ledger.crops.get(&crop).map_or(&[][..], |of| &of.records.sights);
        sights.iter().map(|index| &self.sights[*index])
    }

    /// Work that was done to plantings of a crop.
    pub fn care_of_crop(&self, crop: CropId) -> impl Iterator<Item = &CareRecord> {
        let care = self.ledger.crops.get(&crop).map_or(&[][..], |of| &of.records.care);
        care.iter().map(|index| &self.care[*index])
    }

    /// Money spent on plantings of a crop.
    pub fn costs_of_crop(&self, crop: CropId) -> impl Iterator<Item = &CostRecord> {
        let costs = self.ledger.crops.get(&crop).map_or(&[][..], |of| &of.records.costs);
        costs.iter().map(|index| &self.costs[*index])
    }

    /// Work of lines that name a place.
    pub fn care_in(&self, place: PlaceId) -> impl DoubleEndedIterator<Item = &CareRecord> + Clone {
        self.ledger.places[place.0].care.iter().map(|index| &self.care[*index])
    }

    /// Plantings that stand, stood or are meant to stand in a place.
    pub fn plantings_in(&self, place: PlaceId) -> &[PlantingId] {
        &self.ledger.places[place.0].plantings
    }

    /// What was picked within some days.
    pub fn harvests_in(&self, days: Period) -> &[HarvestRecord] {
        within(&self.harvests, days, |harvest| harvest.date)
    }

    /// Work that was done within some days.
    pub fn care_in_days(&self, days: Period) -> &[CareRecord] {
        within(&self.care, days, |care| care.date)
    }

    /// Pests and diseases seen within some days.
    pub fn sights_in(&self, days: Period) -> &[SightRecord] {
        within(&self.sights, days, |sight| sight.date)
    }

    /// Money spent within some days.
    pub fn costs_in(&self, days: Period) -> &[CostRecord] {
        within(&self.costs, days, |cost| cost.date)
    }

    /// What an entry tells of plantings.
    pub(crate) fn told_in(&self, entry: EntryId) -> &OfEntry {
        &self.ledger.entries[entry.0]
    }

    /// Entries with photographs that tell of a planting, oldest first.
    pub(crate) fn entries_picturing(
        &self,
        planting: PlantingId,
    ) -> impl DoubleEndedIterator<Item = EntryId> {
        self.ledger.plantings[planting.0].pictured.iter().copied()
    }

    /// Work that is written in an entry.
    pub fn care_told_in(&self, entry: EntryId) -> impl Iterator<Item = &CareRecord> {
        self.told_in(entry).records.care.iter().map(|index| &self.care[*index])
    }

    /// Pickings that are written in an entry.
    pub fn harvests_told_in(&self, entry: EntryId) -> impl Iterator<Item = &HarvestRecord> {
        self.told_in(entry).records.harvests.iter().map(|index| &self.harvests[*index])
    }

    /// Pests and diseases that are written in an entry.
    pub fn sights_told_in(&self, entry: EntryId) -> impl Iterator<Item = &SightRecord> {
        self.told_in(entry).records.sights.iter().map(|index| &self.sights[*index])
    }

    /// Germination tests that are written in an entry.
    pub fn tests_told_in(&self, entry: EntryId) -> impl Iterator<Item = &TestRecord> {
        self.told_in(entry).records.tests.iter().map(|index| &self.tests[*index])
    }

    /// Money spent that is written in an entry.
    pub fn costs_told_in(&self, entry: EntryId) -> impl Iterator<Item = &CostRecord> {
        self.told_in(entry).records.costs.iter().map(|index| &self.costs[*index])
    }
}

/// Adds to a list in rising order, each once.
fn note<T: PartialEq>(list: &mut Vec<T>, new: T) {
    if list.last() != Some(&new) {
        list.push(new);
    }
}

/// The records of some days, of a list that is in the order of days.
fn within<T>(all: &[T], days: Period, date: impl Fn(&T) -> NaiveDate) -> &[T] {
    let from = all.partition_point(|record| date(record) < days.from);
    let to = all.partition_point(|record| date(record) <= days.to);
    all.get(from..to).unwrap_or_default()
}
