//! Names to what they stand for: the only place where a name is looked up.

use std::collections::{BTreeMap, BTreeSet};

use crate::catalogue::{Catalogue, CropId};
use crate::diagnostics::problem::Problems;
use crate::garden::build::problems;
use crate::garden::place::PlaceId;
use crate::garden::planting::PlantingId;
use crate::names::folded;
use crate::origin::Written;

/// Names of one kind: what they stand for, and those that a file which could not be read announced.
#[derive(Debug)]
pub(super) struct Names<T> {
    known: BTreeMap<String, T>,
    shown: Vec<String>,
    damaged: BTreeSet<String>,
}

impl<T: Copy> Names<T> {
    pub(super) fn new() -> Names<T> {
        Names { known: BTreeMap::new(), shown: Vec::new(), damaged: BTreeSet::new() }
    }

    /// Adds a name; gives back what already has it.
    pub(super) fn add(&mut self, name: &str, value: T) -> Option<T> {
        let key = folded(name);
        if let Some(taken) = self.known.get(&key) {
            return Some(*taken);
        }
        self.known.insert(key, value);
        self.shown.push(name.to_owned());
        None
    }

    /// Adds a second name for what is there, if it is free.
    pub(super) fn also(&mut self, name: &str, value: T) {
        self.known.entry(folded(name)).or_insert(value);
    }

    pub(super) fn damage(&mut self, name: &str) {
        self.damaged.insert(folded(name));
    }

    pub(super) fn find(&self, name: &str) -> Option<T> {
        self.known.get(&folded(name)).copied()
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
}

impl Lookup {
    pub(super) fn place(&self, name: &Written<String>, problems: &mut Problems) -> Option<PlaceId> {
        let found = self.places.find(&name.value);
        if found.is_none() && !self.places.is_damaged(&name.value) {
            problems.add(problems::unknown_place(name, self.places.shown()));
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
            problems.add(problems::unknown_planting(name, self.plantings.shown()));
        }
        found
    }

    /// A mix or feed; the general names that crop sheets use need no sheet.
    pub(super) fn check_mix(&self, name: &Written<String>, problems: &mut Problems) {
        let is_known = self.mixes.find(&name.value).is_some()
            || self.mixes.is_damaged(&name.value)
            || GENERAL.contains(&folded(&name.value).as_str());
        if !is_known {
            let known = self.mixes.shown().chain(GENERAL.iter().copied());
            problems.add(problems::unknown_mix(name, known));
        }
    }
}

/// Names for kinds of feed that built-in crop sheets use, and kinds of soil.
const GENERAL: &[&str] = &["leaf-feed", "fruit-feed", "epsom salt", "loam", "sand", "clay", "silt"];

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
