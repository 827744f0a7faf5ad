//! What is turned on or off under `tasks` in garden.yaml: names of crops, kinds of work and rules are looked up here.

use crate::catalogue::{Catalogue, CropId};
use crate::diagnostics::problem::Problems;
use crate::garden::build::problems;
use crate::garden::switches::Switches;
use crate::jobs::{CARE, Job, PLANNED};
use crate::names::folded;
use crate::settings::Settings;

pub(super) fn switches(
    settings: &Settings,
    catalogue: &Catalogue,
    problems: &mut Problems,
) -> Switches {
    let own = settings.jobs.iter().map(|word| Job::Own(word.clone()));
    let known: Vec<Job> =
        CARE.iter().chain(PLANNED).filter(|job| **job != Job::Skip).cloned().chain(own).collect();
    let job = |word: &str| known.iter().find(|job| folded(job.word()) == folded(word)).cloned();
    let mut switches = Switches::default();
    for switch in &settings.tasks {
        let Some(name) = &switch.crop else {
            match job(&switch.task.value) {
                Some(job) => switches.jobs.push((None, job, switch.is_on)),
                None => {
                    let is_crop = catalogue.find(&switch.task.value).is_some();
                    let words = known.iter().map(Job::word).collect::<Vec<_>>();
                    problems.add(problems::names::unknown_kind(&switch.task, &words, is_crop));
                }
            }
            continue;
        };
        let Some(crop) = catalogue.named(name, problems) else { continue };
        let rules = rules_of(catalogue, crop);
        let rule = rules.iter().find(|id| folded(id) == folded(&switch.task.value));
        match (rule, job(&switch.task.value)) {
            (_, Some(job)) => switches.jobs.push((Some(crop), job, switch.is_on)),
            (Some(rule), None) => switches.rules.push((crop, (*rule).to_owned(), switch.is_on)),
            (None, None) if catalogue.is_doubtful(crop) => {}
            (None, None) => problems.add(problems::names::unknown_task(&switch.task, &rules)),
        }
    }
    switches
}

/// The ids of the rules of a crop and of its varieties.
fn rules_of(catalogue: &Catalogue, crop: CropId) -> Vec<&str> {
    let crop = catalogue.get(crop);
    let sheets = crop.varieties.iter().map(|(_, sheet)| sheet).chain([&crop.sheet]);
    let rules = sheets.filter_map(|sheet| sheet.care.as_deref()).flatten();
    let mut ids: Vec<&str> = rules.map(|rule| rule.id.as_str()).collect();
    ids.sort_unstable();
    ids.dedup();
    ids
}
