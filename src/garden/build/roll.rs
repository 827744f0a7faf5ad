//! Who there is: every planting by its id, before anything happens to it.

use std::collections::BTreeMap;
use std::collections::btree_map::Entry as Slot;

use chrono::NaiveDate;

use crate::catalogue::CropId;
use crate::dates::shift;
use crate::diagnostics::problem::Problems;
use crate::garden::build::beginnings::MOST_SOWINGS;
use crate::garden::build::called;
use crate::garden::build::chronicle::{Chronicle, count_of};
use crate::garden::build::history::Plot;
use crate::garden::build::lookup::{self, Lookup};
use crate::garden::build::problems;
use crate::garden::build::source_of;
use crate::garden::planting::{Planting, PlantingId, Seed, SowAgain, Succession, Way};
use crate::garden::records::Source;
use crate::garden::shown::Shown;
use crate::happening::Happening;
use crate::journal::entry::Entry;
use crate::journal::event::Event;
use crate::journal::start::{self as written, Begun, Since, Start};
use crate::names;
use crate::origin::Written;
use crate::stage::Stage;

impl Chronicle<'_> {
    /// Every id first, so that an entry may name a planting which a later one explains.
    pub(super) fn register(
        &mut self,
        entries: &[Entry],
        lookup: &mut Lookup,
        problems: &mut Problems,
    ) {
        for (index, entry) in entries.iter().enumerate() {
            for start in &entry.plantings {
                let source = source_of(entries, index, start.id.at);
                self.register_start(start, entry.date.value, source, lookup, problems);
            }
            for event in &entry.events {
                if let Some(id) = &event.becomes {
                    let source = source_of(entries, index, id.at);
                    self.register_split(id, event, entry.date.value, source, lookup, problems);
                }
            }
        }
        for (made, id) in std::mem::take(&mut lookup.made) {
            if let Some(planting) = lookup.plantings.find(&id) {
                lookup.plantings.also(&made, planting);
            }
        }
        // `shares-with` may name a planting that is registered later.
        for start in entries.iter().flat_map(|entry| &entry.plantings) {
            let with = start.shares_with.as_ref().and_then(|id| lookup.planting(id, problems));
            if let Some(own) = lookup.plantings.find(&start.id.value) {
                self.plantings[own.0].shares_with = with.filter(|with| *with != own);
            }
        }
    }

    fn register_start(
        &mut self,
        start: &Start,
        noted: NaiveDate,
        source: Source,
        lookup: &mut Lookup,
        problems: &mut Problems,
    ) {
        let crop = start
            .crop
            .as_ref()
            .and_then(|crop| lookup::crop(&self.garden.catalogue, crop, problems));
        let place = start.place.as_ref().and_then(|place| lookup.place(place, problems));
        let destined = start.destined.as_ref().and_then(|place| lookup.place(place, problems));
        let Some(crop) = crop else {
            // Its crop is told; whoever names the planting is not to blame.
            lookup.plantings.damage(&start.id.value);
            lookup.doubt(&start.id.value);
            return;
        };
        let variety = start.variety.as_ref().map(|variety| variety.value.as_str());
        if let Some(variety) = variety {
            lookup.varieties.add(variety, ());
        }
        let since = start.since.as_ref().map(|since| since.value);
        let is_plan = matches!(start.begun, Begun::Intended) && start.since.is_none();
        let planting = Planting {
            way: match start.begun {
                Begun::Intended if start.since.is_some() => Way::Planted,
                Begun::Intended => Way::Intended,
                Begun::Sown(_) => Way::Sown,
                Begun::Planted(_) => Way::Planted,
                Begun::Bought(..) => Way::Bought,
            },
            is_id_made: start.is_id_made,
            first_place: place,
            destined,
            aim: start.aim.as_ref().map(|aim| aim.value),
            uses: start.uses.as_ref().map(|uses| uses.value),
            seed: start.seed.as_ref().map(|seed| seed_of(seed, &source)),
            sow_again: start.sow_again.as_ref().map(sow_again_of),
            is_perennial: start.is_perennial,
            plan_note: start
                .note
                .as_ref()
                .filter(|_| is_plan)
                .and_then(|note| source.shown(&note.value)),
            is_older_than_journal: matches!(since, Some(Since::Unknown | Since::Year(_))),
            since_year: match since {
                Some(Since::Year(year)) => Some(year),
                _ => None,
            },
            ..self.blank(&start.id, crop, variety, noted, source)
        };
        self.add(planting, &start.id, lookup, problems);
    }

    fn register_split(
        &mut self,
        id: &Written<String>,
        event: &Event,
        noted: NaiveDate,
        source: Source,
        lookup: &mut Lookup,
        problems: &mut Problems,
    ) {
        // The parent may itself be a planting that is split off in a later entry; rare, and told.
        let parent = match (event.subject.plantings.as_slice(), event.subject.called.as_slice()) {
            ([parent], []) => lookup.planting(parent, problems),
            ([], [name]) => self.latest_called(name, lookup, problems),
            _ => {
                problems.add(problems::split_of_many(id));
                None
            }
        };
        let Some(parent) = parent else {
            lookup.plantings.damage(&id.value);
            return;
        };
        let of = self.plantings[parent.0].clone();
        let place = event.place.as_ref().and_then(|place| lookup.places.find(&place.value));
        let is_set_out = event.is.value == Happening::Reached(Stage::PlantedOut);
        let variety = event.variety.as_ref().map(|variety| variety.value.as_str());
        let variety = variety.or(of.variety.as_deref());
        let planting = Planting {
            way: Way::Split,
            parent: Some(parent),
            destined: place.filter(|_| is_set_out).or(of.destined),
            is_perennial: of.is_perennial,
            seed: of.seed,
            uses: event.uses.as_ref().map(|uses| uses.value),
            is_older_than_journal: of.is_older_than_journal,
            since_year: of.since_year,
            ..self.blank(id, of.crop, variety, noted, source)
        };
        self.add(planting, id, lookup, problems);
    }

    /// The newest planting of a short name. On the day itself another of the name may be the one that is
    /// split: [`Chronicle::follow`] finds it, and then it is the parent.
    fn latest_called(
        &self,
        name: &Written<String>,
        lookup: &Lookup,
        problems: &mut Problems,
    ) -> Option<PlantingId> {
        let meanings = called::meanings(name, lookup, &self.garden.catalogue).ok();
        let is_meant = |(index, planting): &(usize, &Planting)| {
            let all = meanings.iter().flatten();
            all.into_iter().any(|meaning| meaning.fits(PlantingId(*index), planting))
        };
        let found = self.plantings.iter().enumerate().rev().find(is_meant);
        if found.is_none() {
            lookup.stranger(name, &self.garden.catalogue, problems);
        }
        found.map(|(index, _)| PlantingId(index))
    }

    fn blank(
        &self,
        id: &Written<String>,
        crop: CropId,
        variety: Option<&str>,
        noted: NaiveDate,
        source: Source,
    ) -> Planting {
        let of = self.garden.catalogue.get(crop);
        let garden = self.garden.settings.garden_id.as_deref().unwrap_or_default();
        let own_id = source.shown(&id.value);
        let own_id = own_id.unwrap_or_else(|| Shown::instead_of(&id.value, of, garden));
        Planting {
            slug: own_id.slug(),
            id: own_id,
            is_id_made: false,
            at: id.at,
            crop,
            sheet: of.sheet_of(variety).into_owned(),
            variety: variety.and_then(|name| source.shown(name)),
            private_variety: variety.filter(|_| source.is_private).map(|name| source.kept(name)),
            way: Way::Intended,
            parent: None,
            first_place: None,
            destined: None,
            aim: None,
            uses: None,
            seed: None,
            sow_again: None,
            succession: None,
            shares_with: None,
            is_perennial: false,
            is_older_than_journal: false,
            since_year: None,
            plan_note: None,
            noted,
            source,
            history: Vec::new(),
            inherited: 0,
            groups: Vec::new(),
            stays: Vec::new(),
            finished: None,
        }
    }

    fn add(
        &mut self,
        planting: Planting,
        id: &Written<String>,
        lookup: &mut Lookup,
        problems: &mut Problems,
    ) {
        let new = PlantingId(self.plantings.len());
        if let Some(first) = lookup.plantings.add(&id.value, new) {
            problems.add(problems::names::repeated_id(id, self.plantings[first.0].at));
            lookup.doubt(&id.value); // what is said of one would be counted for the other
            return;
        }
        if *planting.id != *id.value {
            lookup.plantings.also(&planting.id, new);
        }
        match self.slugs.entry(planting.slug.clone()) {
            Slot::Occupied(first) => {
                let first = self.plantings[first.get().0].at;
                problems.add(problems::names::address_clash(
                    "planting",
                    &planting.slug,
                    id.at,
                    first,
                ));
            }
            Slot::Vacant(free) => drop(free.insert(new)),
        }
        self.plantings.push(planting);
        self.plots.push(Plot::default());
    }

    /// The later sowings of a succession, unless the grower wrote them down: `id-2`, `id-3` …
    ///
    /// Each is counted from the sowing before it: from the day on which that was made, else from the day it was
    /// meant. Nothing is laid out before the first is sown, and one that was missed is forgotten when the next is
    /// due.
    pub(super) fn sow_again(
        &mut self,
        entries: &[Entry],
        lookup: &mut Lookup,
        told: &mut Problems,
    ) {
        let sowings = sowings(entries);
        for start in entries.iter().flat_map(|entry| &entry.plantings) {
            let Some(again) = &start.sow_again else { continue };
            let Some(first) = lookup.plantings.find(&start.id.value) else { continue };
            let of = self.plantings[first.0].clone();
            let Some(begun) = sowings.get(&names::folded(&start.id.value)) else { continue };
            let every = i64::from(again.every_days.value.max(1));
            let last = match &again.until {
                Some(until) => until.value.next_on_or_after(begun.first),
                None => self.garden.season_of(begun.first).days.to,
            };
            let mut before = begun.last;
            for number in 2.. {
                let day = shift(before, every);
                if day > last {
                    break;
                }
                if number > MOST_SOWINGS {
                    let at = again.every_days.at;
                    told.add(problems::many_sowings(at, MOST_SOWINGS, before));
                    break;
                }
                let succession = Succession { after: before, day, until: shift(day, every - 1) };
                let written = format!("{}-{number}", start.id.value);
                let made = sowings.get(&names::folded(&written));
                before = made.map_or(day, |made| made.last);
                if made.is_none() && succession.until < self.garden.today {
                    continue;
                }
                let new = PlantingId(self.plantings.len());
                if lookup.plantings.add(&written, new).is_some() {
                    continue;
                }
                let id = of.id.numbered(number);
                self.plantings.push(Planting {
                    slug: id.slug(),
                    id,
                    way: Way::Intended,
                    sow_again: None,
                    plan_note: None,
                    succession: Some(succession),
                    aim: of.aim.or(count_of(start).and_then(|count| count.number)),
                    ..of.clone()
                });
                self.plots.push(Plot::default());
            }
        }
    }
}

/// When a planting was sown, first and last.
struct Sowings {
    first: NaiveDate,
    last: NaiveDate,
}

/// The sowings that were noted, by the folded id of their planting.
fn sowings(entries: &[Entry]) -> BTreeMap<String, Sowings> {
    let mut found: BTreeMap<String, Sowings> = BTreeMap::new();
    let mut note = |id: &Written<String>, day: NaiveDate| {
        let sowings =
            found.entry(names::folded(&id.value)).or_insert(Sowings { first: day, last: day });
        sowings.first = sowings.first.min(day);
        sowings.last = sowings.last.max(day);
    };
    for entry in entries {
        let day =
            |on: &Option<Written<NaiveDate>>| on.as_ref().map_or(entry.date.value, |on| on.value);
        for start in &entry.plantings {
            if matches!(start.begun, Begun::Sown(_)) {
                note(&start.id, day(&start.on));
            }
        }
        let sown = [Stage::Sown, Stage::SownAgain].map(Happening::Reached);
        for event in entry.events.iter().filter(|event| sown.contains(&event.is.value)) {
            event.subject.plantings.iter().for_each(|id| note(id, day(&event.on)));
        }
    }
    found
}

fn seed_of(written: &written::Seed, source: &Source) -> Seed {
    let whole = |number: &Option<Written<u32>>| number.as_ref().map(|number| number.value);
    Seed {
        from: written.from.as_ref().and_then(|from| source.shown(&from.value)),
        year: whole(&written.year),
        packet: whole(&written.packet),
    }
}

fn sow_again_of(written: &written::SowAgain) -> SowAgain {
    SowAgain {
        every_days: written.every_days.value,
        until: written.until.as_ref().map(|until| until.value),
    }
}
