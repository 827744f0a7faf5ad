//! What was done, picked, seen, tested and paid: each line with the plantings it is about.

use std::collections::HashMap;

use chrono::NaiveDate;

use crate::diagnostics::problem::Problems;
use crate::diagnostics::words;
use crate::garden::build::bearing::note_bearing;
use crate::garden::build::dried::note_dried;
use crate::garden::build::lookup::Lookup;
use crate::garden::build::problems;
use crate::garden::build::source_of;
use crate::garden::build::subjects::{Found, Manner, Search};
use crate::garden::model::Garden;
use crate::garden::planting::PlantingId;
use crate::garden::records::{
    About, CareRecord, CostRecord, HarvestRecord, SightRecord, Source, TestRecord,
};
use crate::garden::shown::Shown;
use crate::garden::waits::{self, BrokenWait};
use crate::jobs::{CARE, Job};
use crate::journal::care::Care;
use crate::journal::entry::Entry;
use crate::journal::harvest::Harvest;
use crate::journal::notes::{Cost, SeedTest, Seen};
use crate::journal::subject::Subject;
use crate::origin::Written;

/// Fills the garden's records, oldest first.
pub(super) fn fill(
    garden: &mut Garden,
    entries: &[Entry],
    pickings: Vec<(NaiveDate, Harvest)>,
    lookup: &Lookup,
    problems: &mut Problems,
) {
    let scribe = Scribe { garden, lookup };
    let (mut care, mut harvests, mut sights) = (Vec::new(), Vec::new(), Vec::new());
    let (mut tests, mut costs) = (Vec::new(), Vec::new());
    for (index, entry) in entries.iter().enumerate() {
        let day =
            |on: &Option<Written<NaiveDate>>| on.as_ref().map_or(entry.date.value, |on| on.value);
        for line in &entry.care {
            let source = source_of(entries, index, line.subject.at);
            care.extend(scribe.care(line, day(&line.on), source, problems));
        }
        for line in &entry.harvests {
            let source = source_of(entries, index, line.subject.at);
            harvests.extend(scribe.harvest(line, day(&line.on), source, problems));
        }
        for line in &entry.seen {
            let source = source_of(entries, index, line.subject.at);
            sights.extend(scribe.sight(line, day(&line.on), source, problems));
        }
        for line in &entry.tests {
            let source = source_of(entries, index, line.seed.at);
            tests.push(test(line, day(&line.on), source));
        }
        for line in &entry.costs {
            let source = source_of(entries, index, line.what.at);
            costs.extend(scribe.cost(line, day(&line.on), source, problems));
        }
    }
    for (date, line) in pickings.into_iter().filter(|(date, _)| *date <= scribe.garden.today) {
        let source = Source { entry: None, at: line.subject.at, is_private: false };
        harvests.extend(scribe.harvest(&line, date, source, problems));
    }
    care.sort_by_key(|record| record.date);
    harvests.sort_by_key(|record| record.date);
    sights.sort_by_key(|record| record.date);
    tests.sort_by_key(|record| record.date);
    costs.sort_by_key(|record| record.date);
    note_bearing(garden, &harvests);
    note_dried(garden, &mut harvests);
    let entry_plantings = tell_entries(garden, entries, &care, &harvests, lookup);
    let facts = garden.facts_mut();
    for (record, plantings) in facts.entries.iter_mut().zip(entry_plantings) {
        record.plantings = plantings;
    }
    facts.care = care;
    facts.harvests = harvests;
    facts.sights = sights;
    facts.tests = tests;
    facts.costs = costs;
    garden.index();
    check_waits(garden, problems);
}

struct Scribe<'a> {
    garden: &'a Garden,
    lookup: &'a Lookup,
}

impl Scribe<'_> {
    fn about(
        &self,
        subject: &Subject,
        manner: Manner,
        day: NaiveDate,
        problems: &mut Problems,
    ) -> Found {
        let (growing, catalogue) = (self.garden, &self.garden.catalogue);
        Search { day, growing, lookup: self.lookup, catalogue }.find(subject, manner, problems)
    }

    fn care(
        &self,
        line: &Care,
        date: NaiveDate,
        source: Source,
        problems: &mut Problems,
    ) -> Option<CareRecord> {
        let found = self.about(&line.subject, Manner::All, date, problems);
        // Some work comes before there are plants, some after; and what is skipped is not done to any.
        let is_before = matches!(line.did.value, Job::OrderSeed | Job::Chit | Job::Skip);
        let is_after = matches!(line.did.value, Job::Cure | Job::Store | Job::Skip);
        for named in &found.named {
            let has_begun =
                self.garden.planting(named.value).begun().is_some_and(|day| day <= date);
            if (is_before && !has_begun) || (is_after && has_begun) {
                continue;
            }
            self.check_alive(named, date, false, problems);
        }
        let about = found.about();
        self.check_job(line, &about, problems);
        // A mix is called as its own page is; figures rest on which it was, so a private entry tells it, too.
        let with = line.with.as_ref().and_then(|with| match self.lookup.mixes.find(&with.value) {
            Some(index) => Some(Shown::mix(&self.garden.mixes[index])),
            None => source.shown(&with.value),
        });
        if let (Some(with), Job::Feed | Job::Refill) = (&line.with, &line.did.value) {
            self.lookup.check_mix(with, problems);
        }
        Some(CareRecord {
            date,
            about,
            did: source.shown_job(&line.did.value)?,
            amount: line.amount.as_ref().map(|amount| amount.value),
            each: line.each.as_ref().map(|amount| amount.value),
            with,
            against: text(&line.against, &source),
            wait_days: line.wait_days.as_ref().map(|days| days.value),
            old_share: line.old_share.as_ref().map(|share| share.value),
            task: line.task.as_ref().map(|task| source.kept(&task.value)),
            note: text(&line.note, &source),
            source,
        })
    }

    fn harvest(
        &self,
        line: &Harvest,
        date: NaiveDate,
        source: Source,
        problems: &mut Problems,
    ) -> Option<HarvestRecord> {
        let found = self.about(&line.subject, Manner::Picked, date, problems);
        for named in &found.named {
            self.check_alive(named, date, true, problems);
        }
        let plantings = found.about().plantings;
        if plantings.is_empty() {
            return None;
        }
        let unit = line.unit.as_ref().map(|unit| {
            let public = source.shown(&unit.value).or_else(|| self.usual(&unit.value));
            public.unwrap_or_else(|| Shown::ours("pieces"))
        });
        let unit = unit.or_else(|| Shown::unit_of(&self.garden.planting(plantings[0]).sheet));
        Some(HarvestRecord {
            date,
            plantings,
            weight: line.weight.as_ref().map(|weight| weight.value),
            count: line.count.as_ref().map(|count| count.value),
            unit: unit.unwrap_or_else(|| Shown::ours("fruits")),
            quality: text(&line.quality, &source),
            is_cured: line.is_cured,
            counted_before: 0,
            is_same_picking: false,
            note: text(&line.note, &source),
            source,
        })
    }

    /// What was seen is words, not figures: from a private entry none of it is kept.
    fn sight(
        &self,
        line: &Seen,
        date: NaiveDate,
        source: Source,
        problems: &mut Problems,
    ) -> Option<SightRecord> {
        let about = self.about(&line.subject, Manner::All, date, problems).about();
        Some(SightRecord {
            date,
            about,
            what: source.shown(&line.what.value)?,
            how_bad: text(&line.how_bad, &source),
            note: text(&line.note, &source),
            source,
        })
    }

    /// A price is nobody's business, and a sum of one would tell it: from a private entry it is not kept.
    fn cost(
        &self,
        line: &Cost,
        date: NaiveDate,
        source: Source,
        problems: &mut Problems,
    ) -> Option<CostRecord> {
        let about = line.destined.as_ref().map(|name| self.destined(name, problems));
        Some(CostRecord {
            date,
            what: source.shown(&line.what.value)?,
            amount: line.amount.as_ref().map(|amount| amount.value),
            price: line.price.value,
            about: about.unwrap_or_default(),
            note: text(&line.note, &source),
            source,
        })
    }

    /// The word, if some crop is counted so.
    fn usual(&self, unit: &str) -> Option<Shown> {
        let mut usual =
            self.garden.catalogue.crops().filter_map(|(_, crop)| Shown::unit_of(&crop.sheet));
        usual.find(|word| **word == *unit)
    }

    /// A planting has to have begun; a line after its end is odd but possible.
    fn check_alive(
        &self,
        named: &Written<PlantingId>,
        day: NaiveDate,
        is_harvest: bool,
        problems: &mut Problems,
    ) {
        let planting = self.garden.planting(named.value);
        let begun = planting.begun();
        if begun.is_none_or(|begun| day < begun) {
            let at = planting.at;
            let problem = problems::before_beginning(&planting.id, named.at, day, begun, at);
            let catalogue = &self.garden.catalogue;
            self.lookup.contradict(named.value, planting, catalogue, problem, problems);
        } else if let Some(finished) = planting.finished.filter(|finished| *finished < day) {
            // What was lifted may be weighed later, once it is dry.
            let is_soon = is_harvest && planting.was_lifted_before(day);
            if !is_soon {
                let problem = problems::after_finish(&planting.id, named.at, day, finished);
                let catalogue = &self.garden.catalogue;
                self.lookup.contradict(named.value, planting, catalogue, problem, problems);
            }
        }
    }

    fn check_job(&self, line: &Care, about: &About, problems: &mut Problems) {
        let own = &self.garden.settings.jobs;
        let known: Vec<&str> =
            CARE.iter().map(Job::word).chain(own.iter().map(String::as_str)).collect();
        let word = line.did.value.word();
        let is_lost = self.lookup.is_without_settings
            && words::nearest(word, known.iter().copied()).is_none();
        if !known.contains(&word) && !is_lost {
            problems.add(problems::names::unknown_job(line.did.value.word(), line.did.at, &known));
        }
        let Some(task) = &line.task else { return };
        let rules = about
            .plantings
            .iter()
            .filter_map(|id| self.garden.planting(*id).sheet.care.as_ref())
            .flatten();
        let mut tasks: Vec<&str> = rules.map(|rule| rule.id.as_str()).collect();
        tasks.sort_unstable();
        tasks.dedup();
        let is_job = known.contains(&task.value.as_str())
            || crate::jobs::PLANNED.iter().any(|job| job.word() == task.value);
        let is_certain = about
            .plantings
            .iter()
            .all(|id| !self.garden.catalogue.is_doubtful(self.garden.planting(*id).crop));
        if !is_job && is_certain && !tasks.contains(&task.value.as_str()) {
            problems.add(problems::names::unknown_task(task, &tasks));
        }
    }

    /// A cost may be for a planting, a place or a crop.
    fn destined(&self, name: &Written<String>, problems: &mut Problems) -> About {
        if let Some(planting) = self.lookup.plantings.find(&name.value) {
            return About { plantings: vec![planting], places: Vec::new() };
        }
        if let Some(place) = self.lookup.places.find(&name.value) {
            return About { plantings: Vec::new(), places: vec![place] };
        }
        if let Some(crop) = self.garden.catalogue.find(&name.value) {
            let of_crop = self.garden.plantings().filter(|(_, planting)| planting.crop == crop);
            return About { plantings: of_crop.map(|(id, _)| id).collect(), places: Vec::new() };
        }
        self.lookup.planting(name, problems);
        About::default()
    }
}

fn test(line: &SeedTest, date: NaiveDate, source: Source) -> TestRecord {
    TestRecord {
        date,
        seed: source.kept(&line.seed.value),
        tried: line.tried.value,
        sprouted: line.sprouted.value,
        days: line.days.as_ref().map(|days| days.value),
        note: text(&line.note, &source),
        source,
    }
}

fn text(written: &Option<Written<String>>, source: &Source) -> Option<Shown> {
    written.as_ref().and_then(|text| source.shown(&text.value))
}

/// A picking inside the waiting time of a treatment, with both dates; told once for each treatment and picking,
/// with all plantings they share.
fn check_waits(garden: &Garden, problems: &mut Problems) {
    let mut all: Vec<BrokenWait<'_>> =
        garden.plantings().flat_map(|(id, _)| waits::broken(garden, id)).collect();
    let day = |broken: &BrokenWait<'_>| (broken.treated(), broken.picked());
    all.sort_by_key(|broken| (day(broken), broken.planting));
    let mut told: Vec<(BrokenWait<'_>, Vec<&str>)> = Vec::new();
    let lines = |broken: &BrokenWait<'_>| (broken.treatment.source.at, broken.harvest.source.at);
    let mut known = HashMap::new();
    for broken in all {
        let at = *known.entry(lines(&broken)).or_insert(told.len());
        if at == told.len() {
            told.push((broken, Vec::new()));
        }
        told[at].1.push(&garden.planting(broken.planting).id);
    }
    problems.extend(told.iter().map(|(broken, ids)| {
        problems::picked_in_wait(
            ids,
            broken.harvest.source.at,
            broken.picked(),
            broken.treated(),
            broken.wait_days,
            broken.treatment.source.at,
        )
    }));
}

/// Which plantings each entry tells about, by the lines that name them.
fn tell_entries(
    garden: &Garden,
    entries: &[Entry],
    care: &[CareRecord],
    harvests: &[HarvestRecord],
    lookup: &Lookup,
) -> Vec<Vec<PlantingId>> {
    let mut told: Vec<Vec<PlantingId>> = vec![Vec::new(); entries.len()];
    let mut tell = |source: &Source, plantings: &[PlantingId]| {
        if let Some(entry) = source.entry {
            told[entry.0].extend(plantings);
        }
    };
    for (id, planting) in garden.plantings() {
        tell(&planting.source, &[id]);
        planting.history.iter().for_each(|step| tell(&step.source, &[id]));
    }
    care.iter().for_each(|record| tell(&record.source, &record.about.plantings));
    harvests.iter().for_each(|record| tell(&record.source, &record.plantings));
    for (plantings, entry) in told.iter_mut().zip(entries) {
        let linked = entry.links.iter().filter_map(|link| match &link.target {
            crate::link_target::Target::Planting(id) => lookup.plantings.find(id),
            _ => None,
        });
        plantings.extend(linked);
        plantings.sort_unstable();
        plantings.dedup();
    }
    told
}
