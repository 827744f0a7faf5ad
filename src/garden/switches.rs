//! Work that the grower turned on or off, whatever the crop sheets say.

use crate::catalogue::{CareRule, CropId};
use crate::jobs::Job;

/// What garden.yaml says under `tasks`, resolved.
#[derive(Clone, Debug, Default)]
pub struct Switches {
    /// Kinds of work, of one crop or of all.
    pub(super) jobs: Vec<(Option<CropId>, Job, bool)>,
    /// Rules of a crop, by their ids.
    pub(super) rules: Vec<(CropId, String, bool)>,
}

impl Switches {
    /// Whether a kind of work is asked for; nothing of a crop for work on a whole place.
    pub fn asks_for(&self, crop: Option<CropId>, job: &Job) -> bool {
        self.of_job(crop, job).unwrap_or(true)
    }

    /// Whether a rule of a crop asks for its work: what is said of the rule itself comes first, then of its kind of
    /// work, then its sheet.
    pub fn turns_on(&self, crop: CropId, rule: &CareRule) -> bool {
        let own = self.rules.iter().rev().find(|(of, id, _)| *of == crop && *id == rule.id);
        let is_kind_on = || self.asks_for(Some(crop), &rule.task.value) && !rule.is_off;
        own.map_or_else(is_kind_on, |(_, _, is_on)| *is_on)
    }

    fn of_job(&self, crop: Option<CropId>, job: &Job) -> Option<bool> {
        let said = |of: Option<CropId>| {
            let found = self.jobs.iter().rev().find(|(whose, what, _)| *whose == of && what == job);
            found.map(|(_, _, is_on)| *is_on)
        };
        crop.and_then(|crop| said(Some(crop))).or_else(|| said(None))
    }
}
