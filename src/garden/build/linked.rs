//! Links in the prose: each must point at something.

use crate::diagnostics::problem::Problems;
use crate::garden::build::lookup::Lookup;
use crate::garden::build::problems;
use crate::garden::model::Garden;
use crate::journal::entry::Entry;
use crate::link_target::Target;

/// Tells every link `[[…]]` that points at nothing.
pub(super) fn check(garden: &Garden, entries: &[Entry], lookup: &Lookup, problems: &mut Problems) {
    for link in entries.iter().flat_map(|entry| &entry.links) {
        match &link.target {
            Target::Planting(id) => {
                let is_known =
                    lookup.plantings.find(id).is_some() || lookup.plantings.is_damaged(id);
                if !is_known {
                    let known = lookup.plantings.shown();
                    problems.add(problems::broken_link(link.at, id, "planting", known));
                }
            }
            Target::Place(name) => {
                let is_known = lookup.places.find(name).is_some() || lookup.places.is_damaged(name);
                if !is_known {
                    let inside = format!("place:{name}");
                    let known = lookup.places.shown();
                    problems.add(problems::broken_link(link.at, &inside, "place", known));
                }
            }
            Target::Crop(name) => {
                let is_known =
                    garden.catalogue.find(name).is_some() || garden.catalogue.is_damaged(name);
                if !is_known {
                    let inside = format!("crop:{name}");
                    let known = garden.catalogue.names();
                    problems.add(problems::broken_link(link.at, &inside, "crop", known));
                }
            }
        }
    }
}
