//! Plantings begun in short lines: which crop is meant, where, and by which id they go from then on.

use std::collections::{BTreeMap, BTreeSet};

use chrono::NaiveDate;

use crate::catalogue::{Catalogue, CropId};
use crate::diagnostics::problem::Problems;
use crate::garden::build::lookup::{self, Lookup};
use crate::garden::build::{self, called};
use crate::happening::Happening;
use crate::journal::entry::Entry;
use crate::journal::event::Event;
use crate::journal::short::Beginning;
use crate::journal::short::words::Way;
use crate::journal::start::{Begun, Start};
use crate::journal::subject::Subject;
use crate::names::{self, folded};
use crate::origin::Written;
use crate::stage::Stage;

/// Turns the beginnings of short lines into plantings: entries come oldest first.
///
/// A name stands for the planting of that id that was intended, or for the one intended planting of the
/// crop; else for a new one, whose id is made of crop and day, so that no entry changes the id of another.
pub(super) fn settle(
    entries: &mut [Entry],
    catalogue: &Catalogue,
    lookup: &mut Lookup,
    problems: &mut Problems,
) {
    if entries.iter().all(|entry| entry.beginnings.is_empty()) {
        return;
    }
    let mut garden = Known::of(entries, catalogue);
    for entry in entries {
        let mut made = BTreeSet::new();
        for beginning in std::mem::take(&mut entry.beginnings) {
            let Some(grown) = garden.grown(&beginning, catalogue, lookup, problems) else {
                lookup.doubt(&beginning.called.value);
                continue;
            };
            let id = match &beginning.id {
                Some(id) => id.value.clone(),
                None => made_id(&grown, entry.date.value, catalogue, &made),
            };
            made.insert(id.clone());
            match garden.goes_on(&grown, &beginning, entry.date.value) {
                Some((planting, what)) => {
                    lookup.made.push((id, planting.clone()));
                    entry.events.push(begins(planting, what, &beginning, grown));
                }
                None => {
                    lookup.made.extend(beginning.id.is_none().then(|| (id.clone(), id.clone())));
                    entry.plantings.push(start(id, beginning, grown, catalogue));
                }
            }
        }
    }
}

/// What the grower calls each crop, where it is another of its names: the one that begins most of its plantings.
pub(super) fn names_of_crops(entries: &[Entry], catalogue: &Catalogue) -> BTreeMap<CropId, String> {
    let mut used: BTreeMap<CropId, BTreeMap<&str, u32>> = BTreeMap::new();
    let shown = || entries.iter().filter(|entry| !entry.is_private);
    let long = shown().flat_map(|entry| &entry.plantings);
    let long = long.filter_map(|start| Some(start.crop.as_ref()?.value.as_str()));
    let short = shown().flat_map(|entry| &entry.beginnings);
    let short = short.filter_map(|beginning| {
        let name = beginning.called.value.as_str();
        let cuts = called::WHERE.iter().filter_map(|word| name.find(word));
        crop_in(&name[..cuts.min().unwrap_or(name.len())], catalogue)
    });
    for name in long.chain(short) {
        let Some(id) = catalogue.find(name) else { continue };
        let known = catalogue.get(id).name_like(name);
        *used.entry(id).or_default().entry(known).or_default() += 1;
    }
    let most = |(id, names): (CropId, BTreeMap<&str, u32>)| {
        let usual = catalogue.get(id).name.as_str();
        let (name, number) = names.iter().max_by_key(|(_, number)| **number)?;
        (*number > names.get(usual).copied().unwrap_or(0)).then(|| (id, (*name).to_owned()))
    };
    used.into_iter().filter_map(most).collect()
}

/// The crop in the name of plants: all of it, its beginning or its end.
fn crop_in<'a>(name: &'a str, catalogue: &Catalogue) -> Option<&'a str> {
    let name = names::spoken(name);
    let ends = name.match_indices(' ').map(|(at, _)| at).rev();
    let mut beginnings = std::iter::once(name.len()).chain(ends).map(|at| &name[..at]);
    let first = beginnings.find(|part| catalogue.find(part).is_some());
    first.or_else(|| Some(crop_last(name, catalogue)?.1))
}

/// What a beginning's name stands for.
struct Grown {
    what: What,
    place: Option<Written<String>>,
}

enum What {
    /// A planting by its id, and what it is of.
    Planting(String, Option<CropId>),
    Crop(CropId, Option<String>),
}

/// A planting that was written down in long form, or follows from one.
struct Noted {
    id: String,
    crop: Option<CropId>,
    variety: Option<String>,
    day: NaiveDate,
    is_begun: bool,
    /// Whether it is a later sowing of a succession: only its id names one of these.
    is_later: bool,
}

/// A planting that is to be sown again has at most so many sowings.
pub(super) const MOST_SOWINGS: u32 = 20;

struct Known {
    noted: Vec<Noted>,
    /// Crop and name by the folded name of a variety.
    varieties: BTreeMap<String, (CropId, String)>,
}

impl Known {
    fn of(entries: &[Entry], catalogue: &Catalogue) -> Known {
        let mut varieties = BTreeMap::new();
        for (id, crop) in catalogue.crops() {
            for (name, _) in &crop.varieties {
                varieties.entry(folded(name)).or_insert((id, name.clone()));
            }
        }
        let mut noted = Vec::new();
        let begun: BTreeSet<String> = entries
            .iter()
            .flat_map(|entry| &entry.events)
            .filter(|event| matches!(event.is.value, Happening::Reached(Stage::Sown)))
            .flat_map(|event| event.subject.plantings.iter().map(|id| folded(&id.value)))
            .collect();
        for entry in entries {
            for start in &entry.plantings {
                let crop = start.crop.as_ref().and_then(|crop| catalogue.find(&crop.value));
                let variety = start.variety.as_ref().map(|variety| variety.value.clone());
                if let (Some(crop), Some(variety)) = (crop, &variety) {
                    varieties.entry(folded(variety)).or_insert((crop, variety.clone()));
                }
                let id = start.id.value.clone();
                let is_intended = matches!(start.begun, Begun::Intended) && start.since.is_none();
                let is_begun = !is_intended || begun.contains(&folded(&id));
                let one = |id: String, is_begun, is_later| {
                    let (variety, day) = (variety.clone(), entry.date.value);
                    Noted { id, crop, variety, day, is_begun, is_later }
                };
                let later = start.sow_again.iter().flat_map(|_| 2..=MOST_SOWINGS);
                let later = later.map(|number| format!("{id}-{number}"));
                let later: Vec<Noted> = later
                    .map(|id| {
                        let is_begun = begun.contains(&folded(&id));
                        one(id, is_begun, true)
                    })
                    .collect();
                noted.push(one(id, is_begun, false));
                noted.extend(later);
            }
        }
        // Those that somebody wrote down come before those that would follow.
        noted.sort_by_key(|one| one.is_later);
        Known { noted, varieties }
    }

    fn grown(
        &self,
        beginning: &Beginning,
        catalogue: &Catalogue,
        lookup: &Lookup,
        problems: &mut Problems,
    ) -> Option<Grown> {
        let name = &beginning.called;
        if let Some(what) = self.what(&name.value, catalogue) {
            return Some(Grown { what, place: None });
        }
        let mut stranger = None;
        for (plants, place) in called::cuts(name) {
            let Some(what) = self.what(&plants.value, catalogue) else { continue };
            if let Some(place) = self::place(&place, lookup) {
                return Some(Grown { what, place: Some(place) });
            }
            stranger = Some(place);
        }
        let plants = called::cuts(name).into_iter().next().map(|(plants, _)| plants);
        match stranger {
            Some(place) => lookup.place(&place, problems).map(|_| ()),
            None => {
                let plants = plants.unwrap_or(name.clone());
                match crop_last(&plants.value, catalogue) {
                    Some((variety, crop)) => {
                        problems.add(build::problems::names::variety_first(&plants, crop, variety));
                        None
                    }
                    None => lookup::crop(catalogue, &plants, problems).map(|_| ()),
                }
            }
        };
        None
    }

    /// An intended planting, a crop, a crop with a variety, or a variety that is known.
    fn what(&self, name: &str, catalogue: &Catalogue) -> Option<What> {
        let name = names::spoken(name);
        if let Some(one) = self.noted.iter().find(|one| folded(&one.id) == folded(name)) {
            return Some(What::Planting(one.id.clone(), one.crop));
        }
        if let Some(crop) = catalogue.find(name) {
            return Some(What::Crop(crop, None));
        }
        if let Some((crop, variety)) = self.varieties.get(&folded(name)) {
            return Some(What::Crop(*crop, Some(variety.clone())));
        }
        if let Some((variety, crop)) = crop_last(name, catalogue)
            && let Some((of, known)) = self.varieties.get(&folded(variety))
            && catalogue.find(crop) == Some(*of)
        {
            return Some(What::Crop(*of, Some(known.clone())));
        }
        // The longest crop first: `dwarf bean Purple King`. Behind `in` stands a place, no variety.
        let blanks: Vec<usize> = name.match_indices(' ').map(|(at, _)| at).collect();
        let cut = blanks.into_iter().rev().find(|at| catalogue.find(&name[..*at]).is_some())?;
        let variety = names::spoken(&name[cut..]);
        let is_where = variety.split(' ').any(|word| ["in", "on", "at"].contains(&word));
        let crop = catalogue.find(&name[..cut]).filter(|_| !is_where)?;
        let known = self.varieties.get(&folded(variety)).map(|(_, name)| name.clone());
        Some(What::Crop(crop, Some(known.unwrap_or_else(|| variety.to_owned()))))
    }

    /// The planting that is there already and is sown or planted now: the one that is named, or the only
    /// one of the crop that was intended by then.
    fn goes_on(
        &mut self,
        grown: &Grown,
        beginning: &Beginning,
        day: NaiveDate,
    ) -> Option<(String, Stage)> {
        if beginning.way == Way::Bought || beginning.id.is_some() {
            return None;
        }
        let stage = if beginning.way == Way::Sown { Stage::Sown } else { Stage::PlantedOut };
        if let What::Planting(id, _) = &grown.what
            && let Some(one) = self.noted.iter().find(|one| one.id == *id && one.is_begun)
        {
            let again = (beginning.way == Way::Sown).then_some(Stage::SownAgain)?;
            return Some((one.id.clone(), again));
        }
        let is_named = |one: &Noted| matches!(&grown.what, What::Planting(id, _) if one.id == *id);
        let waits =
            |one: &Noted| !one.is_begun && one.day <= day && (!one.is_later || is_named(one));
        let fits = |one: &Noted| match &grown.what {
            What::Planting(id, _) => one.id == *id,
            What::Crop(crop, variety) => {
                let is_variety = |own: &String| {
                    one.variety.as_ref().is_none_or(|theirs| folded(theirs) == folded(own))
                };
                one.crop == Some(*crop) && variety.as_ref().is_none_or(is_variety)
            }
        };
        let mut all = self.noted.iter_mut().filter(|one| waits(one) && fits(one));
        let (first, second) = (all.next()?, all.next());
        if second.is_some() {
            return None;
        }
        first.is_begun = true;
        Some((first.id.clone(), stage))
    }
}

/// A name that ends with a crop: what stands before it, and the crop.
fn crop_last<'a>(name: &'a str, catalogue: &Catalogue) -> Option<(&'a str, &'a str)> {
    let mut blanks = name.match_indices(' ').map(|(at, _)| at);
    let cut = blanks.find(|at| catalogue.find(name[*at..].trim()).is_some())?;
    Some((names::spoken(&name[..cut]), name[cut..].trim()))
}

/// A place by the name that its sheet has.
fn place(name: &Written<String>, lookup: &Lookup) -> Option<Written<String>> {
    called::places_of(&name.value, lookup).filter(|places| places.len() == 1)?;
    let is_known = |name: &&str| lookup.places.find(name).is_some();
    let known = [name.value.as_str(), names::spoken(&name.value)].into_iter().find(is_known);
    Some(Written::new(known.unwrap_or(&name.value).to_owned(), name.at))
}

/// `dwarf-bean-26-05-16`; with the variety where one is told, and the place where one entry sows twice.
fn made_id(
    grown: &Grown,
    day: NaiveDate,
    catalogue: &Catalogue,
    taken: &BTreeSet<String>,
) -> String {
    let (crop, variety) = match &grown.what {
        What::Planting(id, _) => return id.clone(),
        What::Crop(crop, variety) => (&catalogue.get(*crop).slug, variety),
    };
    let day = day.format("%y-%m-%d");
    let variety = variety.as_ref().map(|variety| format!("-{}", names::slug(variety)));
    let long = format!("{crop}{}-{day}", variety.unwrap_or_default());
    let id = if names::is_id(&long) { long } else { format!("{crop}-{day}") };
    let place = grown.place.as_ref().map(|place| format!("{id}-{}", names::slug(&place.value)));
    let with_place = place.into_iter().filter(|id| names::is_id(id));
    let numbered = (2..).map(|number| format!("{id}-{number}"));
    let mut all = std::iter::once(id.clone()).chain(with_place).chain(numbered);
    all.find(|id| !taken.contains(id)).unwrap_or(id)
}

/// The line that says so in long: an intended planting is sown, or planted.
fn begins(planting: String, stage: Stage, beginning: &Beginning, grown: Grown) -> Event {
    let at = beginning.called.at;
    let is = Written::new(Happening::Reached(stage), at);
    Event {
        count: Some(beginning.count),
        place: beginning.place.clone().or(grown.place),
        ..Event::of(Subject::of_planting(Written::new(planting, at)), is)
    }
}

fn start(id: String, beginning: Beginning, grown: Grown, catalogue: &Catalogue) -> Start {
    let at = beginning.called.at;
    let (crop, variety) = match grown.what {
        What::Crop(crop, variety) => (Some(crop), variety),
        What::Planting(_, crop) => (crop, None),
    };
    Start {
        id: Written::new(id, at),
        is_id_made: beginning.id.is_none(),
        crop: crop.map(|crop| Written::new(catalogue.get(crop).name.clone(), at)),
        variety: variety.map(|variety| Written::new(variety, at)),
        place: beginning.place.or(grown.place),
        destined: beginning.destined,
        begun: match beginning.way {
            Way::Sown => Begun::Sown(beginning.count),
            Way::Planted => Begun::Planted(beginning.count),
            Way::Bought => Begun::Bought(beginning.count, beginning.stage),
        },
        on: None,
        since: None,
        aim: None,
        uses: None,
        seed: None,
        sow_again: None,
        shares_with: None,
        is_perennial: false,
        note: None,
    }
}
