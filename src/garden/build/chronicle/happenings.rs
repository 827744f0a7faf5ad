//! A line of the journal happens to a planting.

use crate::catalogue::Catalogue;
use crate::diagnostics::problem::Problems;
use crate::garden::build::called;
use crate::garden::build::chronicle::{Chronicle, plants_of, words};
use crate::garden::build::history::groups::Meant;
use crate::garden::build::history::{Done, Impossible};
use crate::garden::build::lookup::Lookup;
use crate::garden::build::problems;
use crate::garden::build::sequence::{DayEvent, is_arrival};
use crate::garden::build::source_of;
use crate::garden::place::PlaceId;
use crate::garden::planting::{PlantingId, Plants, Step, StepWord, Way, standing};
use crate::garden::records::Source;
use crate::garden::shown::Shown;
use crate::happening::Happening;
use crate::journal::entry::Entry;
use crate::journal::event::Event;
use crate::place_kind::PlaceKind;
use crate::stage::Stage;

impl Chronicle<'_> {
    /// One thing happens to one planting.
    pub(super) fn happen(
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
