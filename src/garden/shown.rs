//! The grower's words, as far as they may be shown: what a private entry says cannot become a [`Shown`].
//!
//! Pages, feeds and tables are made of a garden, and no planting or record in it has a text of another type.

use std::fmt;
use std::ops::Deref;

use uuid::Uuid;

use crate::catalogue::{Crop, CropSheet};
use crate::garden::records::Source;
use crate::jobs::Job;
use crate::names;
use crate::sheets::mix::MixSheet;

/// A text that everybody may read.
#[derive(Clone, Debug, Default, PartialEq, Eq, PartialOrd, Ord, Hash)]
pub struct Shown(String);

impl Source {
    /// What was written there, unless the entry is private.
    pub(in crate::garden) fn shown(&self, text: impl Into<String>) -> Option<Shown> {
        (!self.is_private).then(|| Shown(text.into()))
    }

    /// The same of a job: one of the grower's own words may stand in a private entry alone.
    pub(in crate::garden) fn shown_job(&self, job: &Job) -> Option<Job> {
        (!self.is_private || !matches!(job, Job::Own(_))).then(|| job.clone())
    }

    /// What was written there, to be compared.
    pub(in crate::garden) fn kept(&self, text: &str) -> Kept {
        Kept { text: text.to_owned(), is_private: self.is_private }
    }
}

impl Shown {
    pub fn as_str(&self) -> &str {
        &self.0
    }

    /// A word of trug's own.
    pub fn ours(word: &'static str) -> Shown {
        Shown(word.to_owned())
    }

    /// How pieces of a crop are counted.
    pub(in crate::garden) fn unit_of(crop: &CropSheet) -> Option<Shown> {
        crop.harvest_unit.clone().map(Shown)
    }

    /// What a mix or feed is called.
    pub(in crate::garden) fn mix(sheet: &MixSheet) -> Shown {
        Shown(sheet.name.value.clone())
    }

    /// What stands for an id that is not shown: its crop, and a number that nobody can read it from.
    pub(in crate::garden) fn instead_of(id: &str, crop: &Crop, garden: &str) -> Shown {
        let number = Uuid::new_v5(&Uuid::NAMESPACE_OID, format!("{garden}/{id}").as_bytes());
        Shown(format!("{}-{}", crop.slug, &number.simple().to_string()[..8]))
    }

    /// `pea-26-2` of `pea-26`.
    pub(in crate::garden) fn numbered(&self, number: u32) -> Shown {
        Shown(format!("{}-{number}", self.0))
    }

    /// As a page address.
    pub(in crate::garden) fn slug(&self) -> Shown {
        Shown(names::slug(&self.0))
    }
}

impl Deref for Shown {
    type Target = str;

    fn deref(&self) -> &str {
        &self.0
    }
}

impl fmt::Display for Shown {
    fn fmt(&self, f: &mut fmt::Formatter<'_>) -> fmt::Result {
        f.write_str(&self.0)
    }
}

impl From<Shown> for String {
    fn from(shown: Shown) -> String {
        shown.0
    }
}

/// Words that figures rest on, whoever wrote them: they are compared, and shown only if they may be.
#[derive(Clone)]
pub struct Kept {
    text: String,
    is_private: bool,
}

impl Kept {
    /// What they say, unless the entry is private.
    pub fn shown(&self) -> Option<&str> {
        (!self.is_private).then_some(self.text.as_str())
    }

    /// What follows from them.
    pub fn compared<T>(&self, with: impl FnOnce(&str) -> T) -> T {
        with(&self.text)
    }
}

impl fmt::Debug for Kept {
    fn fmt(&self, f: &mut fmt::Formatter<'_>) -> fmt::Result {
        write!(f, "Kept({:?})", self.shown())
    }
}

#[cfg(test)]
mod tests {
    /// Whoever adds a text to a record makes it a [`super::Shown`], which is not made of what a private entry says.
    #[test]
    fn no_record_of_the_garden_has_a_text_of_another_type() {
        for file in [include_str!("records.rs"), include_str!("planting.rs")] {
            let code = file.split("#[cfg(test)]").next().unwrap();
            assert!(code.contains("Shown") && !code.contains("String"));
        }
    }
}
