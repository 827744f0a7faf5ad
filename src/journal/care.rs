//! What was done: watering, feeding, tying in and the rest.

use chrono::NaiveDate;

use crate::dates;
use crate::diagnostics::problem::Problems;
use crate::jobs::Job;
use crate::journal::problems;
use crate::journal::short::words;
use crate::journal::subject::Subject;
use crate::names;
use crate::origin::Written;
use crate::source::fields::Fields;
use crate::source::front_matter::Map;
use crate::units::{self, Amount, Days};

/// One line under `care`.
#[derive(Clone, Debug)]
pub struct Care {
    pub subject: Subject,
    /// What. A word that is not trug's is checked against the garden's own jobs later.
    pub did: Written<Job>,
    /// The total.
    pub amount: Option<Written<Amount>>,
    /// For each plant, or for each container if the line is about a place.
    pub each: Option<Written<Amount>>,
    /// With which feed, mix or product.
    pub with: Option<Written<String>>,
    /// Against which pest or disease.
    pub against: Option<Written<String>>,
    /// Days from a treatment to harvest, from the product's label.
    pub wait_days: Option<Written<u32>>,
    /// The share of old mix that stays when a container is refilled, 0 to 1.
    pub old_share: Option<Written<f64>>,
    /// The task rule that a `skip` moves on.
    pub task: Option<Written<String>>,
    /// When, if not on the entry's date.
    pub on: Option<Written<NaiveDate>>,
    pub note: Option<Written<String>>,
}

impl Care {
    pub(super) fn read(map: &Map, problems: &mut Problems) -> Option<Care> {
        let mut fields = Fields::new(map, "a care line", problems);
        let subject = Subject::take(&mut fields, problems);
        let did = fields.text("did", problems);
        let did = fields.demand("did", did, "water");
        let amount = fields.read("amount", problems, units::amount);
        let each = fields.read("each", problems, units::amount);
        let with = fields.text("with", problems);
        let against = fields.text("against", problems);
        let wait_days = fields.read("wait", problems, units::days).map(whole_days);
        let has_wait = fields.is_meant("wait");
        let old_share =
            fields.read("old", problems, units::percent).map(|old| old.map(|share| share.0));
        let task = fields.text("task", problems);
        let on = fields.read("on", problems, dates::date);
        let note = fields.text("note", problems);
        fields.finish(problems);
        let did = did?.map(|word| words::job(&word));
        if did.value == Job::Treat && !has_wait && !is_without_wait(with.as_ref()) {
            problems.add(problems::wait_missing(did.at));
        }
        Some(Care {
            subject,
            did,
            amount,
            each,
            with,
            against,
            wait_days,
            old_share,
            task,
            on,
            note,
        })
    }
}

/// Animals that eat pests have no days to harvest, and soaps have none on their labels; common practice, no source.
/// A label that does ask for days is noted with `wait`.
const ANIMALS: &[&str] = &[
    "nematode",
    "predator",
    "predatory",
    "parasitic",
    "lacewing",
    "ladybird",
    "ladybug",
    "phytoseiulus",
    "encarsia",
];

/// A soap that is called otherwise may hold something else.
const OF_SOAP: &[&str] = &[
    "soap",
    "spray",
    "soft",
    "potassium",
    "insecticidal",
    "horticultural",
    "liquid",
    "black",
    "green",
    "water",
    "and",
    "solution",
];

/// Whether what was used is such that nobody has to look for a wait.
pub(super) fn is_without_wait(with: Option<&Written<String>>) -> bool {
    let Some(with) = with else { return false };
    let text = names::folded(&with.value);
    let words = || {
        text.split(|c: char| !c.is_alphanumeric())
            .filter(|word| !word.is_empty())
            .map(names::singular)
    };
    let is_soap =
        words().any(|word| word == "soap") && words().all(|word| OF_SOAP.contains(&word.as_str()));
    is_soap || words().any(|word| ANIMALS.contains(&word.as_str()))
}

/// Days are never negative here: their reader refuses that.
pub(super) fn whole_days(days: Written<Days>) -> Written<u32> {
    days.map(|days| days.0.unsigned_abs())
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::origin::{FileId, Origin};

    #[test]
    fn a_wait_is_looked_for_on_labels_that_have_one() {
        let needs = |with: &str| {
            !is_without_wait(Some(&Written::new(with.to_owned(), Origin::File(FileId(0)))))
        };
        for free in ["soap spray", "Soft soap", "nematodes", "predatory mites", "Ladybirds"] {
            assert!(!needs(free), "{free}");
        }
        for product in ["copper", "pyrethrum soap", "neem and soap", "slug pellets"] {
            assert!(needs(product), "{product}");
        }
        assert!(!is_without_wait(None));
    }
}
