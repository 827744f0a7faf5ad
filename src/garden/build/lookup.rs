//! Names to what they stand for: the only place where a name is looked up.

use std::cell::RefCell;
use std::collections::{BTreeMap, BTreeSet};

use crate::catalogue::{Catalogue, CropId};
use crate::diagnostics::codes::Code;
use crate::diagnostics::problem::{Problem, Problems};
use crate::garden::build::problems;
use crate::garden::place::PlaceId;
use crate::garden::planting::{Planting, PlantingId};
use crate::names::{folded, singular};
use crate::origin::Written;

/// Names of one kind: what they stand for, and those that a file which could not be read announced.
#[derive(Debug)]
pub(super) struct Names<T> {
    known: BTreeMap<String, T>,
    /// The same without plural endings; nothing where two would be one.
    alike: BTreeMap<String, Option<T>>,
    shown: Vec<String>,
    damaged: BTreeSet<String>,
}

impl<T: Copy + PartialEq> Names<T> {
    pub(super) fn new() -> Names<T> {
        Names {
            known: BTreeMap::new(),
            alike: BTreeMap::new(),
            shown: Vec::new(),
            damaged: BTreeSet::new(),
        }
    }

    /// Adds a name; gives back what already has it.
    pub(super) fn add(&mut self, name: &str, value: T) -> Option<T> {
        let key = folded(name);
        if let Some(taken) = self.known.get(&key) {
            return Some(*taken);
        }
        self.add_alike(&key, value);
        self.known.insert(key, value);
        self.shown.push(name.to_owned());
        None
    }

    /// Adds a second name for what is there, if it is free.
    pub(super) fn also(&mut self, name: &str, value: T) {
        let key = folded(name);
        self.add_alike(&key, value);
        self.known.entry(key).or_insert(value);
    }

    fn add_alike(&mut self, key: &str, value: T) {
        let slot = self.alike.entry(singular(key)).or_insert(Some(value));
        *slot = slot.filter(|own| *own == value);
    }

    pub(super) fn damage(&mut self, name: &str) {
        self.damaged.insert(folded(name));
    }

    pub(super) fn find(&self, name: &str) -> Option<T> {
        let key = folded(name);
        let exact = self.known.get(&key).copied();
        exact.or_else(|| self.alike.get(&singular(&key)).copied().flatten())
    }

    pub(super) fn is_damaged(&self, name: &str) -> bool {
        self.damaged.contains(&folded(name))
    }

    pub(super) fn shown(&self) -> impl Iterator<Item = &str> {
        self.shown.iter().map(String::as_str)
    }
}

/// All names of the garden.
#[derive(Debug)]
pub(super) struct Lookup {
    pub(super) places: Names<PlaceId>,
    pub(super) mixes: Names<usize>,
    pub(super) plantings: Names<PlantingId>,
    /// Varieties that were ever grown, or that a crop sheet names.
    pub(super) varieties: Names<()>,
    /// The garden's groups: folded name, and members as they are written.
    pub(super) groups: BTreeMap<String, Vec<String>>,
    /// Ids that were made for short lines, each with the id of the planting it stands for.
    pub(super) made: Vec<(String, String)>,
    /// Whether all of garden.yaml could be read, and with it the grower's own words for work.
    pub(super) is_without_settings: bool,
    doubtful: BTreeSet<String>,
    told: RefCell<BTreeSet<(PlantingId, Code)>>,
}

impl Lookup {
    pub(super) fn new(is_without_settings: bool) -> Lookup {
        Lookup {
            places: Names::new(),
            mixes: Names::new(),
            plantings: Names::new(),
            varieties: Names::new(),
            groups: BTreeMap::new(),
            made: Vec::new(),
            is_without_settings,
            doubtful: BTreeSet::new(),
            told: RefCell::default(),
        }
    }

    /// Of this planting, or of the plantings of this crop or place, something could not be read:
    /// what contradicts their history is nobody's mistake.
    pub(super) fn doubt(&mut self, name: &str) {
        self.doubtful.insert(folded(name));
    }

    /// Whether anything at all could not be read of what happened to plantings.
    pub(super) fn is_in_doubt(&self) -> bool {
        !self.doubtful.is_empty()
    }

    /// Tells what contradicts the history of a planting: once of a kind, for it has one root, and
    /// not where that history is in doubt.
    pub(super) fn contradict(
        &self,
        id: PlantingId,
        planting: &Planting,
        catalogue: &Catalogue,
        problem: Problem,
        problems: &mut Problems,
    ) {
        let crop = catalogue.get(planting.crop);
        let is_doubtful = self.is_in_doubt()
            && ([planting.id.as_str(), &crop.name, &crop.slug].into_iter())
                .chain(crop.also_called.iter().map(String::as_str))
                .any(|name| self.doubtful.contains(&folded(name)));
        let is_place_in_doubt =
            || self.doubtful.iter().any(|name| self.places.find(name).is_some());
        if !is_doubtful && !is_place_in_doubt() && self.told.borrow_mut().insert((id, problem.code))
        {
            problems.add(problem);
        }
    }

    pub(super) fn place(&self, name: &Written<String>, problems: &mut Problems) -> Option<PlaceId> {
        let found = self.places.find(&name.value);
        if found.is_none() && !self.places.is_damaged(&name.value) {
            problems.add(problems::names::unknown_place(name, self.places.shown()));
        }
        found
    }

    pub(super) fn planting(
        &self,
        name: &Written<String>,
        problems: &mut Problems,
    ) -> Option<PlantingId> {
        let found = self.plantings.find(&name.value);
        if found.is_none() && !self.plantings.is_damaged(&name.value) {
            problems.add(problems::names::unknown_planting(name, self.plantings.shown()));
        }
        found
    }

    /// Tells that nothing is called so, with the nearest of all names.
    pub(super) fn stranger(
        &self,
        name: &Written<String>,
        catalogue: &Catalogue,
        problems: &mut Problems,
    ) {
        let is_damaged = self.plantings.is_damaged(&name.value)
            || self.places.is_damaged(&name.value)
            || catalogue.is_damaged(&name.value);
        if is_damaged {
            return;
        }
        let groups = self.groups.keys().map(String::as_str);
        let known = self.plantings.shown().chain(self.places.shown()).chain(groups);
        let known = known.chain(self.varieties.shown()).chain(catalogue.names());
        problems.add(problems::names::nobody_called(name, known));
    }

    /// The members of a group.
    pub(super) fn group(&self, name: &str) -> Option<&[String]> {
        let key = folded(name);
        let found = self.groups.get(&key).or_else(|| self.groups.get(&singular(&key)));
        found.map(Vec::as_slice)
    }

    /// The soil of a place: a mix, or one of the general kinds.
    pub(super) fn check_soil(&self, name: &Written<String>, problems: &mut Problems) {
        let said = folded(&name.value);
        // The last word of `sandy loam` or `heavy clay` says what it is.
        let kind =
            said.split([' ', '-']).rev().find_map(|word| SOILS.iter().find(|soil| **soil == word));
        match kind {
            Some(kind) if !self.is_mix(name) => {
                problems.add(problems::names::unknown_soil(name, kind, SOILS))
            }
            _ => self.check_mix(name, problems),
        }
    }

    fn is_mix(&self, name: &Written<String>) -> bool {
        self.mixes.find(&name.value).is_some()
            || self.mixes.is_damaged(&name.value)
            || GENERAL.contains(&folded(&name.value).as_str())
            || SOILS.contains(&folded(&name.value).as_str())
    }

    /// A mix or feed; the general names that crop sheets use need no sheet.
    pub(super) fn check_mix(&self, name: &Written<String>, problems: &mut Problems) {
        if !self.is_mix(name) {
            let known = self.mixes.shown().chain(GENERAL.iter().chain(SOILS).copied());
            problems.add(problems::names::unknown_mix(name, known));
        }
    }
}

/// Names for kinds of feed that built-in crop sheets use.
const GENERAL: &[&str] = &["leaf-feed", "fruit-feed", "epsom salt"];

/// Kinds of soil, by texture.
const SOILS: &[&str] = &["loam", "sand", "clay", "silt"];

/// A crop by its name; an unknown one is told.
pub(super) fn crop(
    catalogue: &Catalogue,
    name: &Written<String>,
    problems: &mut Problems,
) -> Option<CropId> {
    let found = catalogue.find(&name.value);
    if found.is_none() && !catalogue.is_damaged(&name.value) {
        problems.add(catalogue.unknown(name));
    }
    found
}
