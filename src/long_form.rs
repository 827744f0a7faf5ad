//! An entry in long lines: what its short lines say, with every name looked up.

use std::collections::BTreeSet;
use std::fmt::Write as _;

use crate::diagnostics::words::behind_key;
use crate::garden::model::Garden;
use crate::garden::place::PlaceId;
use crate::garden::planting::PlantingId;
use crate::garden::records::About;
use crate::happening::Happening;
use crate::journal::care::Care;
use crate::journal::entry::Entry;
use crate::journal::event::Event;
use crate::journal::harvest::Harvest;
use crate::journal::notes::{Cost, Seen};
use crate::journal::short::Beginning;
use crate::journal::short::words::Way;
use crate::journal::subject::Subject;
use crate::names::spoken;
use crate::origin::{Origin, Written};
use crate::source::files::File;

/// The short lines of an entry as the long lines they stand for, under the keys of the long form; nothing
/// for an entry that has none. Quantities stand as they were written.
pub(crate) fn of(entry: &Entry, file: &File, garden: &Garden) -> Option<String> {
    let text = file.text().ok()?;
    let form = LongForm { entry, text, garden };
    let is_short = |subject: &Subject| !subject.called.is_empty();
    let begun = entry.beginnings.iter().map(|one| (one, form.begun(one)));
    let (starts, begins): (Vec<_>, Vec<_>) = begun.partition(|(_, line)| line.is_start);
    let lines_of =
        |all: Vec<(&Beginning, Begun)>| all.into_iter().map(|(_, begun)| begun.line).collect();
    let mut events: Vec<Line> = lines_of(begins);
    events.extend(
        entry.events.iter().filter(|one| is_short(&one.subject)).map(|one| form.event(one)),
    );
    let care = entry.care.iter().filter(|one| is_short(&one.subject)).map(|one| form.care(one));
    let picked = entry.harvests.iter().filter(|one| is_short(&one.subject));
    let seen = entry.seen.iter().filter(|one| is_short(&one.subject)).map(|one| form.seen(one));
    // A cost has no subject; one that was read from a short line stands outside `costs`.
    let costs = entry.costs.iter().filter(|cost| cost.is_short).map(|one| form.cost(one));
    let keys: [(&str, Vec<Line>); 6] = [
        ("plantings", lines_of(starts)),
        ("events", events),
        ("care", care.collect()),
        ("harvests", picked.map(|one| form.harvest(one)).collect()),
        ("seen", seen.collect()),
        ("costs", costs.collect()),
    ];
    let mut out = String::new();
    for (key, lines) in keys.iter().filter(|(_, lines)| !lines.is_empty()) {
        writeln!(out, "{key}:").ok()?;
        for line in lines {
            writeln!(out, "  - {{{}}}", line.join(", ")).ok()?;
        }
    }
    (!out.is_empty()).then_some(out)
}

/// The `key: value` pairs of one line.
type Line = Vec<String>;

struct Begun {
    line: Line,
    /// Whether it is a line under `plantings`; else an intended planting went on.
    is_start: bool,
}

struct LongForm<'a> {
    entry: &'a Entry,
    text: &'a str,
    garden: &'a Garden,
}

impl LongForm<'_> {
    fn begun(&self, one: &Beginning) -> Begun {
        let way = match one.way {
            Way::Sown => "sown",
            Way::Planted => "planted",
            Way::Bought => "bought",
        };
        let count = match self.raw(&one.count) {
            text if text.is_empty() || one.count.at == one.called.at => "unknown".to_owned(),
            text => text,
        };
        let at = one.called.at;
        let begun = self.garden.plantings().find(|(_, planting)| planting.at == at);
        let (line, is_start) = match begun {
            Some((_, planting)) => {
                let crop = &self.garden.catalogue.get(planting.crop).name;
                let mut line = vec![pair("id", &planting.id), pair("crop", crop)];
                line.extend(planting.variety.as_ref().map(|name| pair("variety", name)));
                let place = planting.first_place.map(|place| &self.garden.place(place).name);
                line.extend(place.map(|name| pair("place", name)));
                line.extend(one.destined.as_ref().map(|name| pair("for", &name.value)));
                line.push(format!("{way}: {count}"));
                line.extend(one.stage.as_ref().map(|stage| pair("at", stage.value.word())));
                (line, true)
            }
            None => {
                let ids = self.steps(at);
                let mut line = vec![self.plantings(&ids)];
                let what = self.what(at).map_or(way, Happening::word);
                line.extend([pair("is", what), format!("count: {count}")]);
                line.extend(self.place_of(at).map(|name| pair("place", name)));
                (line, false)
            }
        };
        Begun { line, is_start }
    }

    fn event(&self, event: &Event) -> Line {
        let mut ids = self.steps(event.subject.at);
        if let Some(becomes) = &event.becomes {
            let own = self.garden.plantings().find(|(_, own)| *own.id == *becomes.value);
            ids = own.and_then(|(_, own)| own.parent).map_or(ids, |parent| vec![parent]);
        }
        let mut line = vec![self.plantings(&ids)];
        line.push(pair("is", event.is.value.word()));
        line.extend(event.count.as_ref().map(|count| format!("count: {}", self.raw(count))));
        let stood = event.from.as_ref().map(|from| from.value.as_str());
        let stood = stood.or_else(|| self.place_behind(&event.subject.at));
        line.extend(stood.map(|place| pair("from", place)));
        let texts = [
            ("place", &event.place),
            ("pot", &event.pot),
            ("as", &event.becomes),
            ("because", &event.because),
            ("note", &event.note),
        ];
        line.extend(said(texts));
        line
    }

    fn care(&self, care: &Care) -> Line {
        let at = care.subject.at;
        let record = self.garden.care.iter().find(|record| record.source.at == at);
        let mut line = self.about(record.map(|record| &record.about));
        line.push(pair("did", care.did.value.word()));
        line.extend(care.amount.as_ref().map(|amount| format!("amount: {}", self.raw(amount))));
        line.extend(care.each.as_ref().map(|each| format!("each: {}", self.raw(each))));
        line.extend(said([("with", &care.with), ("against", &care.against), ("task", &care.task)]));
        line.extend(care.wait_days.as_ref().map(|wait| format!("wait: {}", self.raw(wait))));
        line.extend(said([("note", &care.note)]));
        line
    }

    fn harvest(&self, harvest: &Harvest) -> Line {
        let at = harvest.subject.at;
        let record = self.garden.harvests.iter().find(|record| record.source.at == at);
        let ids = record.map_or(Vec::new(), |record| record.plantings.clone());
        let mut line = vec![self.plantings(&ids)];
        line.extend(harvest.weight.as_ref().map(|weight| {
            let raw = self.raw(weight);
            format!("weight: {}", raw.strip_suffix("dried").unwrap_or(&raw).trim())
        }));
        line.extend(harvest.count.as_ref().map(|count| format!("count: {}", count.value)));
        line.extend(said([("unit", &harvest.unit)]));
        line.extend(harvest.is_cured.then(|| "cured: true".to_owned()));
        if harvest.weight.is_none() && harvest.count.is_none() {
            line.push("count: some".to_owned());
        }
        line
    }

    fn seen(&self, seen: &Seen) -> Line {
        let at = seen.subject.at;
        let record = self.garden.sights.iter().find(|record| record.source.at == at);
        let mut line = self.about(record.map(|record| &record.about));
        line.push(pair("what", &seen.what.value));
        line.extend(said([("how-bad", &seen.how_bad)]));
        line
    }

    fn cost(&self, cost: &Cost) -> Line {
        let mut line = vec![pair("what", &cost.what.value)];
        line.extend(cost.amount.as_ref().map(|amount| format!("amount: {}", self.raw(amount))));
        line.push(format!("price: {}", self.raw(&cost.price)));
        line.extend(said([("for", &cost.destined)]));
        line
    }

    /// The place in the name of a short line: `pepper on the shelf`.
    fn place_behind(&self, at: &Origin) -> Option<&str> {
        let name = at.range().and_then(|range| self.text.get(range))?;
        let mut cuts =
            [" in ", " on ", " at "].into_iter().flat_map(|word| name.match_indices(word));
        let place = cuts.find_map(|(at, word)| {
            let place = &name[at + word.len()..];
            self.garden.find_place(place).or_else(|| self.garden.find_place(spoken(place)))
        });
        place.map(|place| self.garden.place(place).name.as_str())
    }

    /// The plantings to which something happened that is written at `at`.
    fn steps(&self, at: Origin) -> Vec<PlantingId> {
        let is_it = |id: &PlantingId| {
            self.garden.planting(*id).history.iter().any(|step| step.source.at == at)
        };
        let found: BTreeSet<_> = self.garden.plantings().map(|(id, _)| id).filter(is_it).collect();
        // What happened before plants got an id of their own stands in their history, too.
        let is_told = |id: &PlantingId| {
            !self.garden.planting(*id).parent.is_some_and(|parent| found.contains(&parent))
        };
        found.iter().copied().filter(is_told).collect()
    }

    fn place_of(&self, at: Origin) -> Option<&str> {
        let mut steps = self.garden.plantings().flat_map(|(_, planting)| &planting.history);
        let place = steps.find(|step| step.source.at == at)?.place?;
        Some(&self.garden.place(place).name)
    }

    fn what(&self, at: Origin) -> Option<Happening> {
        let mut steps = self.garden.plantings().flat_map(|(_, planting)| &planting.history);
        steps.find(|step| step.source.at == at).map(|step| step.what)
    }

    /// Whole places by their names, and plantings that stand elsewhere by their ids.
    fn about(&self, about: Option<&About>) -> Line {
        let Some(about) = about else { return Line::new() };
        let day = self.entry.date.value;
        let stands = |id: &&PlantingId| {
            let places = self.garden.planting(**id).places_on(day);
            !places.iter().any(|place| about.places.contains(place))
        };
        let elsewhere: Vec<_> = about.plantings.iter().filter(stands).copied().collect();
        let mut line = Line::new();
        if !about.places.is_empty() {
            let name = |id: &PlaceId| self.garden.place(*id).name.as_str();
            line.push(list("place", &about.places.iter().map(name).collect::<Vec<_>>()));
        }
        if !elsewhere.is_empty() {
            line.push(self.plantings(&elsewhere));
        }
        line
    }

    fn plantings(&self, ids: &[PlantingId]) -> String {
        let ids: Vec<_> = ids.iter().map(|id| self.garden.planting(*id).id.as_str()).collect();
        list("planting", &ids)
    }

    /// A quantity as it stands in the file.
    fn raw<T>(&self, written: &Written<T>) -> String {
        let text = written.at.range().and_then(|range| self.text.get(range)).unwrap_or_default();
        text.trim_matches(['\'', '"']).trim().to_owned()
    }
}

fn pair(key: &str, value: &str) -> String {
    format!("{key}: {}", behind_key(value))
}

fn list(key: &str, names: &[&str]) -> String {
    match names {
        [one] => pair(key, one),
        many => {
            let many: Vec<_> = many.iter().map(|name| behind_key(name)).collect();
            format!("{key}: [{}]", many.join(", "))
        }
    }
}

fn said<const N: usize>(
    texts: [(&'static str, &Option<Written<String>>); N],
) -> impl Iterator<Item = String> {
    texts.into_iter().filter_map(|(key, text)| Some(pair(key, &text.as_ref()?.value)))
}
