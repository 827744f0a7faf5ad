//! The history of every planting, followed day by day.

use std::collections::{BTreeMap, BTreeSet};

use chrono::NaiveDate;

use crate::catalogue::{Catalogue, CropId};
use crate::diagnostics::problem::Problems;
use crate::garden::build::called;
use crate::garden::build::history::{Done, Impossible, Meant, Plot};
use crate::garden::build::lookup::Lookup;
use crate::garden::build::problems;
use crate::garden::build::sequence::{DayEvent, What, in_order, is_arrival};
use crate::garden::build::source_of;
use crate::garden::build::subjects::{Growing, Manner, Search};
use crate::garden::model::Garden;
use crate::garden::place::PlaceId;
use crate::garden::planting::{Planting, PlantingId, Plants, Step, StepWord, Way, standing};
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

    /// One thing happens to one planting.
    fn happen(
        &mut self,
        id: PlantingId,
        event: &Event,
        day_event: &DayEvent<'_>,
        entries: &[Entry],
        lookup: &Lookup,
        problems: &mut Problems,
    ) {
        let (day, at) = (day_event.day, event.is.at);
        let (meant, place) = meant(event, lookup, &self.garden.catalogue);
        let count = meant.count;
        let source = source_of(entries, day_event.entry, event.subject.at);
        let begins = matches!(event.is.value, Happening::Reached(Stage::Sown | Stage::SownAgain))
            || (event.is.value == Happening::Reached(Stage::PlantedOut)
                && self.plantings[id.0].history.is_empty());
        let planting = &self.plantings[id.0];
        let is_end = event.is.value == Happening::Reached(Stage::Finished);
        let is_of_seed = matches!(
            event.is.value,
            Happening::Reached(Stage::Emerged | Stage::SownAgain) | Happening::Lost
        ) && self.plots[id.0].has_seed_left();
        if let Some(finished) = self.plots[id.0].finished.filter(|_| !is_of_seed) {
            if is_end && (finished == day || self.plots[id.0].has_seed_left()) {
                // 'lost: 24' and then 'finished': only what is said of it is new.
                let words = words_of(event, &source);
                if !words.is_empty() {
                    let none = Plants::exactly(0);
                    self.step(id, day, event.is.value, (None, none, None), words, source);
                }
                return;
            }
            let problem = problems::after_finish(&planting.id, at, day, finished);
            lookup.contradict(id, planting, &self.garden.catalogue, problem, problems);
            return;
        }
        if planting.history.is_empty() && !(begins && planting.way == Way::Intended) {
            let begun = self.beginnings.get(&id).copied();
            let problem = problems::before_beginning(&planting.id, at, day, begun, planting.at);
            lookup.contradict(id, planting, &self.garden.catalogue, problem, problems);
            return;
        }
        let last = planting.last_stage_step().map(|step| self.garden.season_of(step.date));
        if planting.is_perennial && last.is_some_and(|last| last != self.garden.season_of(day)) {
            self.plots[id.0].begin_season();
        }
        let planting_now = self.plots[id.0].standing();
        let is_waiting = |place: PlaceId| {
            let kind = self.garden.place(place).kind;
            matches!(kind, PlaceKind::Tray | PlaceKind::Shelf)
                || planting.destined.is_some_and(|destined| destined != place)
        };
        let is_early = self.plots[id.0].is_on_its_way(is_waiting);
        let result = match event.is.value {
            Happening::Reached(stage) if begins => {
                let place = place
                    .or(planting.first_place)
                    .or(planting.destined.filter(|_| stage == Stage::PlantedOut));
                let known = planting.history.is_empty();
                let count = count.unwrap_or(Plants::UNKNOWN);
                self.plantings[id.0].way = match (known, stage) {
                    (true, Stage::PlantedOut) => Way::Planted,
                    (true, _) => Way::Sown,
                    (false, _) => self.plantings[id.0].way,
                };
                if !known && stage == Stage::Sown {
                    Err(Impossible::PastIt)
                } else {
                    self.plots[id.0].begin(day, stage, count, place);
                    Ok(Done { plants: count, place, doubt: None })
                }
            }
            _ if event.becomes.is_some() => {
                self.split(id, event, day_event, entries, (&meant, place), lookup)
            }
            Happening::Reached(Stage::Emerged) if planting.way == Way::Planted => {
                self.plots[id.0].come_up(day, &meant)
            }
            Happening::Reached(Stage::Flowering | Stage::Fruiting) if is_early => {
                Ok(Done { plants: count.unwrap_or(planting_now), place: None, doubt: None })
            }
            Happening::Reached(stage) if !is_end => {
                let place = place.or(planting.destined.filter(|_| stage == Stage::PlantedOut));
                self.plots[id.0].reach(day, stage, &meant, place)
            }
            Happening::Moved => self.plots[id.0].move_to(day, &meant, place),
            what => self.plots[id.0].go(day, &meant, what),
        };
        match result {
            Ok(Done { plants, place: stood, doubt }) => {
                if let Some(doubt) = doubt {
                    let planting = &self.plantings[id.0];
                    let [taken, other] = [doubt.taken, doubt.other];
                    let names = [taken, other].map(|place| self.garden.place(place).name.as_str());
                    let key = if is_arrival(event.is.value) { "from" } else { "place" };
                    let at = event.count.as_ref().map_or(at, |count| count.at);
                    problems.add(problems::which_plants(&planting.id, at, names, key));
                }
                if event.becomes.is_none() {
                    if let Some(uses) = &event.uses {
                        self.plantings[id.0].uses = Some(uses.value);
                        // The room is that of the place they came to, wherever they were meant to go.
                        let destined = self.plantings[id.0].destined;
                        self.plantings[id.0].destined = place.or(destined);
                    }
                    let words = words_of(event, &source);
                    let what = match event.is.value {
                        Happening::Reached(stage @ (Stage::Flowering | Stage::Fruiting))
                            if is_early =>
                        {
                            Happening::Showed(stage)
                        }
                        other => other,
                    };
                    self.step(id, day, what, (count, plants, stood), words, source);
                    self.note_room(id, event);
                }
            }
            Err(Impossible::TooMany { wanted, remain }) => {
                let at = event.count.as_ref().map_or(at, |count| count.at);
                let planting = &self.plantings[id.0];
                let problem = problems::too_many(&planting.id, at, wanted, remain);
                lookup.contradict(id, planting, &self.garden.catalogue, problem, problems);
            }
            Err(Impossible::NoneThere(place)) => {
                let planting = &self.plantings[id.0];
                let name = &self.garden.place(place).name;
                let problem = problems::none_there(&planting.id, at, day, name);
                lookup.contradict(id, planting, &self.garden.catalogue, problem, problems);
            }
            Err(Impossible::PastIt) => {
                let planting = &self.plantings[id.0];
                if let Some(last) = planting.last_stage_step() {
                    let problem = problems::stage_order(
                        &planting.id,
                        at,
                        event.is.value.word(),
                        day,
                        last.what.word(),
                        last.date,
                    );
                    lookup.contradict(id, planting, &self.garden.catalogue, problem, problems);
                }
            }
        }
    }

    /// Some plants go on as a planting of their own, which keeps the history they share.
    fn split(
        &mut self,
        id: PlantingId,
        event: &Event,
        day_event: &DayEvent<'_>,
        entries: &[Entry],
        (meant, place): (&Meant, Option<PlaceId>),
        lookup: &Lookup,
    ) -> Result<Done, Impossible> {
        let (day, what) = (day_event.day, event.is.value);
        let becomes = event.becomes.as_ref().and_then(|new| lookup.plantings.find(&new.value));
        let Some(new) = becomes else {
            return Ok(Done { plants: Plants::UNKNOWN, place: None, doubt: None });
        };
        let (taken, doubt) = self.plots[id.0].split(day, what, meant, place)?;
        let parent = self.plantings[id.0].clone();
        let child = &mut self.plantings[new.0];
        if child.parent != Some(id) {
            child.crop = parent.crop;
            child.variety = parent.variety;
            child.sheet = parent.sheet;
            child.parent = Some(id);
        }
        // What others had reached before these went their own way is no history of theirs.
        let front = taken.iter().map(|group| group.stage).max();
        let is_theirs = |step: &&Step| match step.what {
            Happening::Reached(stage) => Some(stage.settled()) <= front,
            _ => true,
        };
        let shared = self.plantings[id.0].history.iter().filter(is_theirs).cloned();
        self.plantings[new.0].history = shared.collect();
        self.plantings[new.0].inherited = self.plantings[new.0].history.len();
        for group in taken {
            let stage = match what {
                Happening::Reached(stage) => stage.max(group.stage),
                _ => group.stage,
            };
            self.plots[new.0].begin(day, stage, group.plants, place.or(group.place));
        }
        let source = source_of(entries, day_event.entry, event.subject.at);
        let words = words_of(event, &source);
        let plants = standing(&self.plots[new.0].groups);
        self.step(new, day, what, (Some(plants), plants, None), words, source);
        self.note_room(new, event);
        Ok(Done { plants, place: None, doubt })
    }

    /// The room that plants take since the step that was just noted.
    fn note_room(&mut self, id: PlantingId, event: &Event) {
        if let Some(step) = self.plantings[id.0].history.last_mut() {
            step.uses = event.uses.as_ref().map(|uses| uses.value);
        }
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

fn words_of(event: &Event, source: &Source) -> Vec<(StepWord, Shown)> {
    let all = [
        (StepWord::Pot, &event.pot),
        (StepWord::Mix, &event.mix),
        (StepWord::Because, &event.because),
        (StepWord::Note, &event.note),
    ];
    words(all, source)
}

fn words<const N: usize>(
    all: [(StepWord, &Option<Written<String>>); N],
    source: &Source,
) -> Vec<(StepWord, Shown)> {
    let said = all.into_iter().filter_map(|(kind, text)| Some((kind, text.as_ref()?)));
    said.filter_map(|(kind, text)| Some((kind, source.shown(&text.value)?))).collect()
}

/// Which plants a line is about, and where they came to.
fn meant(event: &Event, lookup: &Lookup, catalogue: &Catalogue) -> (Meant, Option<PlaceId>) {
    let place = event.place.as_ref().and_then(|place| lookup.places.find(&place.value));
    let (to, left) = if is_arrival(event.is.value) { (place, None) } else { (None, place) };
    let from = event.from.iter().chain(&event.subject.places);
    let mut from: Vec<_> =
        from.filter_map(|place| lookup.places.find(&place.value)).chain(left).collect();
    // `pepper on the shelf` says which plants, as `from: shelf` does.
    for name in &event.subject.called {
        from.extend(
            called::meanings(name, lookup, catalogue)
                .into_iter()
                .flatten()
                .flat_map(|meaning| meaning.places),
        );
    }
    (Meant { count: event.count.as_ref().map(|count| plants_of(count.value)), from }, to)
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
