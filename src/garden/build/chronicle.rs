//! The history of every planting, followed day by day.

mod happenings;

use std::collections::{BTreeMap, BTreeSet};

use chrono::NaiveDate;

use crate::catalogue::CropId;
use crate::diagnostics::problem::Problems;
use crate::garden::build::history::Plot;
use crate::garden::build::lookup::Lookup;
use crate::garden::build::sequence::{DayEvent, What, in_order};
use crate::garden::build::source_of;
use crate::garden::build::subjects::{Growing, Manner, Search};
use crate::garden::model::Garden;
use crate::garden::place::PlaceId;
use crate::garden::planting::{Planting, PlantingId, Plants, Step, StepWord};
use crate::garden::records::Source;
use crate::garden::shown::Shown;
use crate::happening::Happening;
use crate::journal::entry::Entry;
use crate::journal::event::Event;
use crate::journal::start::{Begun, Start};
use crate::origin::Written;
use crate::place_kind::{Cover, PlaceKind};
use crate::stage::Stage;
use crate::units::Count;

/// All plantings with their histories.
pub(super) fn plantings(
    entries: &[Entry],
    garden: &Garden,
    lookup: &mut Lookup,
    problems: &mut Problems,
) -> Vec<Planting> {
    let mut chronicle = Chronicle {
        garden,
        plantings: Vec::new(),
        plots: Vec::new(),
        slugs: BTreeMap::new(),
        beginnings: BTreeMap::new(),
        raised_later: BTreeSet::new(),
    };
    chronicle.register(entries, lookup, problems);
    chronicle.sow_again(entries, lookup, problems);
    let events = in_order(entries, lookup, &chronicle.plantings);
    chronicle.note_beginnings(&events, lookup);
    for day_event in events {
        chronicle.follow(&day_event, entries, lookup, problems);
    }
    chronicle.finish()
}

/// All plantings while their histories are followed; who they are is told in `roll.rs`.
pub(super) struct Chronicle<'a> {
    pub(super) garden: &'a Garden,
    pub(super) plantings: Vec<Planting>,
    pub(super) plots: Vec<Plot>,
    /// Which planting has a page address.
    pub(super) slugs: BTreeMap<Shown, PlantingId>,
    /// The day on which a planting begins by what is written, even if that is later.
    beginnings: BTreeMap<PlantingId, NaiveDate>,
    /// Plantings that a line pots on, hardens off or plants out.
    raised_later: BTreeSet<PlantingId>,
}

impl Chronicle<'_> {
    fn follow(
        &mut self,
        event: &DayEvent<'_>,
        entries: &[Entry],
        lookup: &Lookup,
        problems: &mut Problems,
    ) {
        match event.what {
            What::Begins(start) => self.begin(start, event, entries, lookup),
            What::Event(written) => {
                let manner = match written.is.value {
                    Happening::Reached(stage) => Manner::Reaches(stage),
                    _ => Manner::One,
                };
                let catalogue = &self.garden.catalogue;
                let search = Search { day: event.day, growing: self, lookup, catalogue };
                let mut found = search.find(&written.subject, manner, problems);
                for id in std::mem::take(&mut found.named) {
                    self.happen(id.value, written, event, entries, lookup, problems);
                }
                for id in found.about().plantings {
                    self.happen(id, written, event, entries, lookup, problems);
                }
                for place in written.place.iter().chain(&written.from) {
                    lookup.place(place, problems);
                }
                written.mix.as_ref().inspect(|mix| lookup.check_mix(mix, problems));
            }
        }
    }

    fn begin(&mut self, start: &Start, event: &DayEvent<'_>, entries: &[Entry], lookup: &Lookup) {
        let Some(id) = lookup.plantings.find(&start.id.value) else { return };
        if self.plantings[id.0].at != start.id.at {
            return; // a repeated id, already told
        }
        let stage = match &start.begun {
            Begun::Sown(_) => Stage::Sown,
            Begun::Planted(_) => Stage::PlantedOut,
            Begun::Bought(_, at) => {
                let stage = at.as_ref().map_or(Stage::PrickedOut, |at| at.value);
                if self.is_bought_to_stay(id, at.is_some()) {
                    // Put straight where it will crop, in whatever stage it was.
                    if stage > Stage::PlantedOut {
                        let count = count_of(start).unwrap_or(Plants::UNKNOWN);
                        let source = source_of(entries, event.entry, start.id.at);
                        let what = Happening::Reached(Stage::PlantedOut);
                        self.step(
                            id,
                            event.day,
                            what,
                            (Some(count), count, None),
                            Vec::new(),
                            source,
                        );
                    }
                    stage.max(Stage::PlantedOut)
                } else {
                    stage
                }
            }
            Begun::Intended if start.since.is_some() => Stage::PlantedOut,
            Begun::Intended => return,
        };
        let count = count_of(start).unwrap_or(Plants::UNKNOWN);
        let planting = &self.plantings[id.0];
        let place =
            planting.first_place.or(planting.destined.filter(|_| stage == Stage::PlantedOut));
        self.plots[id.0].begin(event.day, stage, count, place);
        let source = source_of(entries, event.entry, start.id.at);
        let words = words([(StepWord::Note, &start.note)], &source);
        self.step(
            id,
            event.day,
            Happening::Reached(stage),
            (Some(count), count, None),
            words,
            source,
        );
    }

    /// Whether young plants were bought for the place they stand in: soil, with no other place in mind and
    /// no line that pots them on or plants them out later. Under cover they may wait in their pots.
    fn is_bought_to_stay(&self, id: PlantingId, says_stage: bool) -> bool {
        let planting = &self.plantings[id.0];
        let Some(place) = planting.first_place else { return false };
        let is_meant = planting.destined.is_none_or(|destined| destined == place);
        let place = self.garden.place(place);
        let is_soil = !matches!(place.kind, PlaceKind::Tray | PlaceKind::Shelf);
        let is_open = place.cover == Cover::None && place.kind != PlaceKind::Glasshouse;
        is_meant && is_soil && (is_open || !says_stage) && !self.raised_later.contains(&id)
    }

    /// Notes what happened: to how many as the grower counted, and as far as it can be followed.
    fn step(
        &mut self,
        id: PlantingId,
        date: NaiveDate,
        what: Happening,
        (count, plants, stood): (Option<Plants>, Plants, Option<PlaceId>),
        words: Vec<(StepWord, Shown)>,
        source: Source,
    ) {
        let plot = &self.plots[id.0];
        let newest = plot.stays.iter().rev().find(|stay| stay.to.is_none());
        let place = stood.or(newest.map(|stay| stay.place));
        let plants_after = plot.standing();
        self.plantings[id.0].history.push(Step {
            date,
            what,
            is_implied: false,
            count,
            plants,
            plants_after,
            place,
            uses: None,
            words,
            source,
        });
    }

    /// The day on which each planting begins, which may be after a line that names it.
    fn note_beginnings(&mut self, events: &[DayEvent<'_>], lookup: &Lookup) {
        for event in events {
            if let What::Event(Event { is, subject, .. }) = event.what
                && matches!(is.value, Happening::Reached(stage)
                    if (Stage::PrickedOut..=Stage::PlantedOut).contains(&stage))
            {
                let named =
                    subject.plantings.iter().filter_map(|id| lookup.plantings.find(&id.value));
                self.raised_later.extend(named);
                let crops =
                    subject.crops.iter().filter_map(|name| self.garden.catalogue.find(&name.value));
                let crops: Vec<CropId> = crops.collect();
                let of_crop = (0..self.plantings.len()).map(PlantingId);
                let of_crop = of_crop.filter(|id| crops.contains(&self.plantings[id.0].crop));
                self.raised_later.extend(of_crop);
            }
            let id = match event.what {
                What::Begins(start) if matches!(start.begun, Begun::Intended) => continue,
                What::Begins(start) => &start.id,
                What::Event(written) => match &written.becomes {
                    Some(becomes) => becomes,
                    None => continue,
                },
            };
            if let Some(id) = lookup.plantings.find(&id.value) {
                self.beginnings.entry(id).or_insert(event.day);
            }
        }
    }

    fn finish(mut self) -> Vec<Planting> {
        for (planting, plot) in self.plantings.iter_mut().zip(self.plots) {
            planting.groups = if plot.finished.is_some() { Vec::new() } else { plot.groups };
            planting.stays = plot.stays;
            planting.finished = plot.finished;
        }
        self.plantings
    }
}

impl Growing for Chronicle<'_> {
    fn count(&self) -> usize {
        self.plantings.len()
    }
    fn planting(&self, id: PlantingId) -> &Planting {
        &self.plantings[id.0]
    }
    fn stage(&self, id: PlantingId, day: NaiveDate) -> Stage {
        self.plantings[id.0].stage_on(day)
    }
    fn is_alive(&self, id: PlantingId, _: NaiveDate) -> bool {
        !self.plantings[id.0].history.is_empty() && self.plots[id.0].finished.is_none()
    }
    fn is_in(&self, id: PlantingId, place: PlaceId, _: NaiveDate) -> bool {
        self.plots[id.0].is_in(place)
    }
}

fn words<const N: usize>(
    all: [(StepWord, &Option<Written<String>>); N],
    source: &Source,
) -> Vec<(StepWord, Shown)> {
    let said = all.into_iter().filter_map(|(kind, text)| Some((kind, text.as_ref()?)));
    said.filter_map(|(kind, text)| Some((kind, source.shown(&text.value)?))).collect()
}

pub(super) fn count_of(start: &Start) -> Option<Plants> {
    match &start.begun {
        Begun::Sown(count) | Begun::Planted(count) | Begun::Bought(count, _) => {
            Some(plants_of(count.value))
        }
        Begun::Intended => None,
    }
}

fn plants_of(count: Count) -> Plants {
    Plants { number: count.number(), is_about: count.is_about() }
}
