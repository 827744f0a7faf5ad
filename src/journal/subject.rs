//! Whom a line is about: plantings by id, or all that are alive in a place or of a crop.

use crate::diagnostics::problem::Problems;
use crate::journal::problems;
use crate::origin::{Origin, Written};
use crate::source::fields::Fields;

/// Whom a line is about, in the grower's own names.
#[derive(Clone, Debug)]
pub struct Subject {
    pub at: Origin,
    /// Plantings named by their ids.
    pub plantings: Vec<Written<String>>,
    /// All plantings alive in these places on the day.
    pub places: Vec<Written<String>>,
    /// All plantings of these crops alive on the day.
    pub crops: Vec<Written<String>>,
    /// As the grower calls them in a short line: an id, a place, a group, a crop or a variety, perhaps
    /// with `in` and a place.
    pub called: Vec<Written<String>>,
    /// But not these: plantings, places or crops.
    pub except: Vec<Written<String>>,
}

impl Subject {
    /// Every name by which it says whom it is about.
    pub(super) fn names(&self) -> impl Iterator<Item = &str> {
        let all = self.plantings.iter().chain(&self.places).chain(&self.crops).chain(&self.called);
        all.map(|name| name.value.as_str())
    }

    /// Whoever is called so in a short line.
    pub(super) fn called(name: Written<String>) -> Subject {
        Subject {
            at: name.at,
            plantings: Vec::new(),
            places: Vec::new(),
            crops: Vec::new(),
            called: vec![name],
            except: Vec::new(),
        }
    }

    /// One planting, by its id.
    pub(crate) fn of_planting(id: Written<String>) -> Subject {
        Subject { plantings: vec![id.clone()], called: Vec::new(), ..Subject::called(id) }
    }

    /// Takes `planting`, `place`, `crop` and `except`; one of the first three has to be there.
    pub(super) fn take(fields: &mut Fields<'_>, problems: &mut Problems) -> Subject {
        let place_key = fields.texts("place", problems);
        Subject::with_places(fields, place_key, true, problems)
    }

    /// For an event, `place` says where the plants went if a planting or crop is named.
    pub(super) fn take_for_event(
        fields: &mut Fields<'_>,
        problems: &mut Problems,
    ) -> (Subject, Option<Written<String>>) {
        let mut places = fields.texts("place", problems);
        let names_others = fields.key_at("planting").is_some() || fields.key_at("crop").is_some();
        let moved_to = if names_others { places.drain(..).next() } else { None };
        (Subject::with_places(fields, places, true, problems), moved_to)
    }

    fn with_places(
        fields: &mut Fields<'_>,
        places: Vec<Written<String>>,
        is_needed: bool,
        problems: &mut Problems,
    ) -> Subject {
        let subject = Subject {
            at: fields.at(),
            plantings: fields.texts("planting", problems),
            places,
            crops: fields.texts("crop", problems),
            called: Vec::new(),
            except: fields.texts("except", problems),
        };
        let is_named = ["planting", "place", "crop"].iter().any(|key| fields.is_meant(key));
        if is_needed && !is_named {
            problems.add(problems::subject_missing(subject.at));
        }
        subject
    }
}
