//! A line of the journal happens to a planting.

use chrono::NaiveDate;

use crate::catalogue::Catalogue;
use crate::diagnostics::problem::{Problem, Problems};
use crate::garden::build::called;
use crate::garden::build::chronicle::{Chronicle, plants_of, words};
use crate::garden::build::history::groups::Meant;
use crate::garden::build::history::{Done, Doubt, Impossible};
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
use crate::origin::Origin;
use crate::place_kind::PlaceKind;
use crate::stage::Stage;

/// A line of the journal, in the garden's terms.
struct Line<'a> {
    event: &'a Event,
    day: NaiveDate,
    source: Source,
    meant: Meant,
    /// Where they came to.
    place: Option<PlaceId>,
}

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
        let (meant, place) = meant(event, lookup, &self.garden.catalogue);
        let source = source_of(entries, day_event.entry, event.subject.at);
        let line = Line { event, day: day_event.day, source, meant, place };
        if let Some(problem) = self.follow_line(id, &line, lookup, problems) {
            let planting = &self.plantings[id.0];
            lookup.contradict(id, planting, &self.garden.catalogue, problem, problems);
        }
    }

    /// Changes the planting as a line says, or tells why that cannot be.
    fn follow_line(
        &mut self,
        id: PlantingId,
        line: &Line<'_>,
        lookup: &Lookup,
        problems: &mut Problems,
    ) -> Option<Problem> {
        let (event, day, at) = (line.event, line.day, line.event.is.at);
        let what = event.is.value;
        let (planting, plot) = (&self.plantings[id.0], &self.plots[id.0]);
        let is_of_seed =
            matches!(what, Happening::Reached(Stage::Emerged | Stage::SownAgain) | Happening::Lost)
                && plot.has_seed_left();
        if let Some(finished) = plot.finished.filter(|_| !is_of_seed) {
            let is_end = what == Happening::Reached(Stage::Finished);
            if !is_end || !(finished == day || plot.has_seed_left()) {
                return Some(problems::after_finish(&planting.id, at, day, finished));
            }
            // 'lost: 24' and then 'finished': only what is said of it is new.
            let words = words_of(event, &line.source);
            if !words.is_empty() {
                let none = Plants::exactly(0);
                self.step(id, day, what, (None, none, None), words, line.source);
            }
            return None;
        }
        let begins = matches!(what, Happening::Reached(Stage::Sown | Stage::SownAgain))
            || (what == Happening::Reached(Stage::PlantedOut) && planting.history.is_empty());
        if planting.history.is_empty() && !(begins && planting.way == Way::Intended) {
            let begun = self.beginnings.get(&id).copied();
            return Some(problems::before_beginning(&planting.id, at, day, begun, planting.at));
        }
        let last = planting.last_stage_step().map(|step| self.garden.season_of(step.date));
        if planting.is_perennial && last.is_some_and(|last| last != self.garden.season_of(day)) {
            self.plots[id.0].begin_season();
        }
        let is_early = self.is_on_its_way(id);
        let result = match what {
            Happening::Reached(stage) if begins => self.begin_here(id, line, stage),
            _ if event.becomes.is_some() => self.split(id, line, lookup),
            _ => self.change(id, line, is_early),
        };
        let done = match result {
            Ok(done) => done,
            Err(why) => return self.contradiction(id, line, why),
        };
        problems.extend(done.doubt.map(|doubt| self.doubtful(id, event, doubt)));
        if event.becomes.is_none() {
            self.note(id, line, done, is_early);
        }
        None
    }

    /// Whether all its plants still wait for the place where they will crop.
    fn is_on_its_way(&self, id: PlantingId) -> bool {
        let destined = self.plantings[id.0].destined;
        self.plots[id.0].is_on_its_way(|place| {
            let kind = self.garden.place(place).kind;
            matches!(kind, PlaceKind::Tray | PlaceKind::Shelf)
                || destined.is_some_and(|destined| destined != place)
        })
    }

    /// What was intended is sown or planted, or what was sown is sown again.
    fn begin_here(
        &mut self,
        id: PlantingId,
        line: &Line<'_>,
        stage: Stage,
    ) -> Result<Done, Impossible> {
        let planting = &mut self.plantings[id.0];
        let destined = planting.destined.filter(|_| stage == Stage::PlantedOut);
        let place = line.place.or(planting.first_place).or(destined);
        let plants = line.meant.count.unwrap_or(Plants::UNKNOWN);
        if planting.history.is_empty() {
            planting.way = if stage == Stage::PlantedOut { Way::Planted } else { Way::Sown };
        } else if stage == Stage::Sown {
            return Err(Impossible::PastIt);
        }
        self.plots[id.0].begin(line.day, stage, plants, place);
        Ok(Done { plants, place, doubt: None })
    }

    fn change(
        &mut self,
        id: PlantingId,
        line: &Line<'_>,
        is_early: bool,
    ) -> Result<Done, Impossible> {
        let (planting, plot) = (&self.plantings[id.0], &mut self.plots[id.0]);
        let Line { day, meant, place, .. } = line;
        match line.event.is.value {
            Happening::Reached(Stage::Emerged) if planting.way == Way::Planted => {
                plot.come_up(*day, meant)
            }
            Happening::Reached(Stage::Flowering | Stage::Fruiting) if is_early => {
                let plants = meant.count.unwrap_or(plot.standing());
                Ok(Done { plants, place: None, doubt: None })
            }
            what @ Happening::Reached(Stage::Finished) => plot.go(*day, meant, what),
            Happening::Reached(stage) => {
                let destined = planting.destined.filter(|_| stage == Stage::PlantedOut);
                plot.reach(*day, stage, meant, place.or(destined))
            }
            Happening::Moved => plot.move_to(*day, meant, *place),
            what => plot.go(*day, meant, what),
        }
    }

    fn note(&mut self, id: PlantingId, line: &Line<'_>, done: Done, is_early: bool) {
        let event = line.event;
        let planting = &mut self.plantings[id.0];
        if let Some(uses) = &event.uses {
            planting.uses = Some(uses.value);
            // The room is that of the place they came to, wherever they were meant to go.
            planting.destined = line.place.or(planting.destined);
        }
        let what = match event.is.value {
            Happening::Reached(stage @ (Stage::Flowering | Stage::Fruiting)) if is_early => {
                Happening::Showed(stage)
            }
            other => other,
        };
        let words = words_of(event, &line.source);
        let plants = (line.meant.count, done.plants, done.place);
        self.step(id, line.day, what, plants, words, line.source);
        self.note_room(id, event);
    }

    fn doubtful(&self, id: PlantingId, event: &Event, doubt: Doubt) -> Problem {
        let names = [doubt.taken, doubt.other];
        let names = names.map(|place| self.garden.place(place).name.as_str());
        let key = if is_arrival(event.is.value) { "from" } else { "place" };
        problems::which_plants(&self.plantings[id.0].id, counted_at(event), names, key)
    }

    /// Why it cannot have happened so; nothing is told of a stage before any other.
    fn contradiction(&self, id: PlantingId, line: &Line<'_>, why: Impossible) -> Option<Problem> {
        let (planting, event) = (&self.plantings[id.0], line.event);
        let at = event.is.at;
        match why {
            Impossible::TooMany { wanted, remain } => {
                Some(problems::too_many(&planting.id, counted_at(event), wanted, remain))
            }
            Impossible::NoneThere(place) => {
                let name = &self.garden.place(place).name;
                Some(problems::none_there(&planting.id, at, line.day, name))
            }
            Impossible::PastIt => planting.last_stage_step().map(|last| {
                let (word, before) = (event.is.value.word(), last.what.word());
                problems::stage_order(&planting.id, at, word, line.day, before, last.date)
            }),
        }
    }

    /// Some plants go on as a planting of their own, which keeps the history they share.
    fn split(
        &mut self,
        id: PlantingId,
        line: &Line<'_>,
        lookup: &Lookup,
    ) -> Result<Done, Impossible> {
        let Line { event, day, meant, place, .. } = line;
        let (day, what) = (*day, event.is.value);
        let becomes = event.becomes.as_ref().and_then(|new| lookup.plantings.find(&new.value));
        let Some(new) = becomes else {
            return Ok(Done { plants: Plants::UNKNOWN, place: None, doubt: None });
        };
        let (taken, doubt) = self.plots[id.0].split(day, what, meant, *place)?;
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
        let words = words_of(event, &line.source);
        let plants = standing(&self.plots[new.0].groups);
        self.step(new, day, what, (Some(plants), plants, None), words, line.source);
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

/// Where the number stands, or what happened.
fn counted_at(event: &Event) -> Origin {
    event.count.as_ref().map_or(event.is.at, |count| count.at)
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
