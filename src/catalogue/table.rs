//! All crops by name: the built-in ones, changed and added to by the grower's sheets.

use std::borrow::Cow;
use std::collections::{BTreeMap, BTreeSet};
use std::sync::LazyLock;

use crate::catalogue::built_in;
use crate::catalogue::rule::nothing_to_change;
use crate::catalogue::sheet::{CropFile, CropSheet, SourceNote};
use crate::catalogue::sheet_reader::read_crop;
use crate::diagnostics::codes::Code;
use crate::diagnostics::problem::{Problem, Problems};
use crate::diagnostics::words::{self, Tick};
use crate::names;
use crate::origin::{Origin, Written};
use crate::source::announced::announced_names;
use crate::source::files::File;
use crate::source::front_matter::read_markdown;

/// The built-in table, read once: it stands in the binary and is the same for ever.
static BUILT_IN_CATALOGUE: LazyLock<Catalogue> = LazyLock::new(Catalogue::read_built_in);
/// Which crop, as an index into the catalogue.
#[derive(Clone, Copy, Debug, PartialEq, Eq, PartialOrd, Ord, Hash)]
pub struct CropId(pub usize);

/// A crop, its values as far as they are known.
#[derive(Clone, Debug)]
pub struct Crop {
    pub name: String,
    pub slug: String,
    /// Other names that mean it.
    pub also_called: Vec<String>,
    /// The values that hold for every variety without its own.
    pub sheet: CropSheet,
    /// Varieties with values of their own.
    pub varieties: Vec<(String, CropSheet)>,
    /// Where built-in values come from.
    pub sources: BTreeMap<String, SourceNote>,
    /// A sentence or two for the grower, as Markdown.
    pub prose: String,
    /// The grower's own sheet, if there is one.
    pub own_sheet: Option<Origin>,
}

impl Crop {
    /// The values for a variety: its own, else those of the crop.
    pub fn sheet_of(&self, variety: Option<&str>) -> Cow<'_, CropSheet> {
        // Most crops have none, and a name is not folded in vain.
        let own = variety.filter(|_| !self.varieties.is_empty()).and_then(|variety| {
            let wanted = names::folded(variety);
            self.varieties.iter().find(|(name, _)| names::folded(name) == wanted)
        });
        match own {
            Some((_, sheet)) => Cow::Owned(sheet.clone().over(&self.sheet)),
            None => Cow::Borrowed(&self.sheet),
        }
    }

    /// The one of its names that was meant by `name`, as the table has it; its usual one if none is like it.
    pub(crate) fn name_like(&self, name: &str) -> &str {
        let key = |name: &str| names::singular(&names::folded(name));
        let wanted = key(name);
        let found = self.also_called.iter().find(|other| key(other) == wanted);
        let is_usual = key(&self.name) == wanted;
        found.filter(|_| !is_usual).unwrap_or(&self.name)
    }
}

/// All crops by name.
#[derive(Clone, Debug, Default)]
pub struct Catalogue {
    crops: Vec<Crop>,
    by_name: BTreeMap<String, CropId>,
    /// The same without plural endings; nothing where two crops would be one.
    alike: BTreeMap<String, Option<CropId>>,
    damaged: BTreeSet<String>,
    doubtful: BTreeSet<CropId>,
    sources: BTreeMap<String, String>,
}

impl Catalogue {
    /// The built-in table.
    ///
    /// A sheet of our own that could not be read would be a fault of the build; the tests read them all.
    pub fn built_in() -> Catalogue {
        BUILT_IN_CATALOGUE.clone()
    }

    fn read_built_in() -> Catalogue {
        let mut catalogue = Catalogue { sources: built_in::sources(), ..Catalogue::default() };
        for file in built_in::files().iter() {
            if let (Some(crop), prose) = read_file(file, &mut Problems::new()) {
                catalogue.insert(crop, prose, None, &mut Problems::new());
            }
        }
        catalogue
    }

    /// Changes and additions from the grower's sheets, in the order of their files.
    pub fn apply<'a>(
        &mut self,
        files: impl IntoIterator<Item = &'a File>,
        problems: &mut Problems,
    ) {
        let mut own = Vec::new();
        for file in files {
            let before = problems.len();
            let (crop, prose) = read_file(file, problems);
            let is_whole = problems.len() == before;
            if !is_whole {
                let names = announced_names(&file.text_to_show(), "crop", file);
                self.damaged.extend(names.iter().map(|name| names::folded(name)));
            }
            own.extend(crop.map(|crop| (crop, prose, is_whole)));
        }
        // A sheet may rest on another of the grower's that comes later by path.
        own.sort_by_key(|(crop, _, _)| crop.based_on.is_some());
        for (crop, prose, is_whole) in own {
            let (name, at) = (crop.name.value.clone(), crop.name.at);
            self.insert(crop, prose, Some(at), problems);
            if let Some(id) = self.find(&name).filter(|_| !is_whole) {
                self.doubtful.insert(id);
            }
        }
    }

    pub fn crops(&self) -> impl Iterator<Item = (CropId, &Crop)> {
        self.crops.iter().enumerate().map(|(index, crop)| (CropId(index), crop))
    }

    /// The crop of this number.
    pub fn get(&self, id: CropId) -> &Crop {
        &self.crops[id.0]
    }

    /// The crop of a name, another of its names, or a slug.
    pub fn find(&self, name: &str) -> Option<CropId> {
        let key = names::folded(name);
        let exact = self.by_name.get(&key).copied();
        exact.or_else(|| self.alike.get(&names::singular(&key)).copied().flatten())
    }

    /// From now on the crop goes by another of its names; its address stays.
    pub(crate) fn call(&mut self, id: CropId, name: String) {
        let crop = &mut self.crops[id.0];
        crop.also_called.retain(|other| *other != name);
        let usual = std::mem::replace(&mut crop.name, name);
        crop.also_called.insert(0, usual);
    }

    /// Whether a sheet that could not be read would have had this name.
    pub fn is_damaged(&self, name: &str) -> bool {
        self.damaged.contains(&names::folded(name))
    }

    /// Whether something on the crop's own sheet could not be read.
    pub fn is_doubtful(&self, id: CropId) -> bool {
        self.doubtful.contains(&id)
    }

    /// Every name by which a crop can be called.
    pub fn names(&self) -> impl Iterator<Item = &str> {
        self.crops
            .iter()
            .flat_map(|crop| std::iter::once(&crop.name).chain(&crop.also_called))
            .map(String::as_str)
    }

    /// The title of a source by its id.
    pub fn source(&self, id: &str) -> Option<&str> {
        self.sources.get(id).map(String::as_str)
    }

    fn insert(
        &mut self,
        file: CropFile,
        prose: String,
        own_sheet: Option<Origin>,
        problems: &mut Problems,
    ) {
        let existing = self.find(&file.name.value).filter(|id| !self.is_split_off(*id, &file));
        let base = match &file.based_on {
            Some(base) => self.named(base, problems),
            None => existing,
        };
        let base = base.map(|id| self.get(id).clone());
        if let (Some(existing), Some(_)) = (existing, own_sheet)
            && let Some(first) = self.get(existing).own_sheet
        {
            problems.add(repeated_crop(&file.name, first));
            return;
        }
        let known = base.as_ref().and_then(|base| base.sheet.care.as_deref()).unwrap_or_default();
        for change in file.sheet.care_changes.iter().flatten() {
            if !known.iter().any(|rule| rule.id == change.id.value) {
                problems.add(nothing_to_change(change, known));
            }
        }
        let varieties = merge_varieties(&file, base.as_ref());
        // A value of one's own has one's own source, or none.
        let mut sources = base.as_ref().map_or(BTreeMap::new(), |base| base.sources.clone());
        sources.retain(|key, _| !file.written.contains(key));
        sources.extend(file.sources);
        let crop = Crop {
            slug: existing
                .map_or_else(|| names::slug(&file.name.value), |id| self.get(id).slug.clone()),
            name: existing.map_or(file.name.value, |id| self.get(id).name.clone()),
            also_called: file
                .also_called
                .into_iter()
                .map(|name| name.value)
                .chain(existing.map_or(Vec::new(), |id| self.get(id).also_called.clone()))
                .collect(),
            sheet: match &base {
                Some(base) => file.sheet.over(&base.sheet),
                None => file.sheet,
            },
            varieties,
            sources,
            prose: match (prose.trim().is_empty(), &base) {
                (true, Some(base)) if existing.is_some() => base.prose.clone(),
                _ => prose,
            },
            own_sheet,
        };
        let id = existing.unwrap_or(CropId(self.crops.len()));
        for name in std::iter::once(&crop.name).chain(&crop.also_called).chain([&crop.slug]) {
            let key = names::folded(name);
            // A grower's own crop has its names to itself.
            if own_sheet.is_some() && existing.is_none() {
                self.alike.insert(names::singular(&key), Some(id));
                self.by_name.insert(key, id);
                continue;
            }
            let slot = self.alike.entry(names::singular(&key)).or_insert(Some(id));
            *slot = slot.filter(|own| *own == id);
            self.by_name.entry(key).or_insert(id);
        }
        match existing {
            Some(id) => self.crops[id.0] = crop,
            None => self.crops.push(crop),
        }
    }

    /// Whether a sheet begins a crop of its own under what is only another name of a crop it rests on: a chilli
    /// pepper that rests on the pepper.
    fn is_split_off(&self, id: CropId, file: &CropFile) -> bool {
        let singular = |name: &str| names::singular(&names::folded(name));
        let (crop, name) = (self.get(id), singular(&file.name.value));
        let is_own_name = [&crop.name, &crop.slug].iter().any(|own| singular(own) == name);
        file.based_on.is_some() && !is_own_name
    }

    /// The crop of a name; a name that is no crop's is told.
    pub fn named(&self, name: &Written<String>, problems: &mut Problems) -> Option<CropId> {
        let found = self.find(&name.value);
        if found.is_none() && !self.is_damaged(&name.value) {
            problems.add(self.unknown(name));
        }
        found
    }

    /// The problem that no crop has this name.
    pub fn unknown(&self, name: &Written<String>) -> Problem {
        let message = format!("no crop is called {}", Tick(&name.value));
        // Of several crops of which this is a word, each by one name.
        let is_near = words::nearest(&name.value, self.names()).is_some();
        let called: BTreeSet<&str> = words::holding(&name.value, self.names())
            .into_iter()
            .filter_map(|called| self.find(called))
            .map(|id| self.get(id).name.as_str())
            .collect();
        let held = words::holding(&name.value, called);
        let known: Vec<&str> =
            if is_near || held.is_empty() { self.names().collect() } else { held };
        Problem::new(Code::UnknownCrop, name.at, message).label("unknown crop").perhaps(
            name.at,
            &name.value,
            known.into_iter(),
            || {
                format!(
                    "write a sheet for it: content/crops/{}.md with `crop: {}` in its front matter",
                    names::slug(&name.value),
                    name.value
                )
            },
        )
    }
}

/// The grower's varieties come first; one of the same name takes over.
fn merge_varieties(file: &CropFile, base: Option<&Crop>) -> Vec<(String, CropSheet)> {
    let mut merged: Vec<(String, CropSheet)> =
        file.varieties.iter().map(|(name, sheet)| (name.value.clone(), sheet.clone())).collect();
    for (name, sheet) in base.map_or(&[][..], |base| &base.varieties) {
        let wanted = names::folded(name);
        match merged.iter_mut().find(|(own, _)| names::folded(own) == wanted) {
            Some((_, own)) => *own = std::mem::take(own).over(sheet),
            None => merged.push((name.clone(), sheet.clone())),
        }
    }
    merged
}

pub(super) fn read_file(file: &File, problems: &mut Problems) -> (Option<CropFile>, String) {
    let Some(document) = read_markdown(file, problems) else { return (None, String::new()) };
    let crop = document.fields.as_ref().and_then(|map| read_crop(map, file.stem(), problems));
    (crop, document.body.trim().to_owned())
}

fn repeated_crop(name: &Written<String>, first: Origin) -> Problem {
    Problem::new(
        Code::RepeatedName,
        name.at,
        format!("two sheets are about the crop {}", Tick(&name.value)),
    )
    .label("again here")
    .also(first, "first here")
    .hint("join the two sheets in one file")
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::origin::FileId;

    #[test]
    fn names_of_all_kinds_find_their_crop() {
        let catalogue = Catalogue::built_in();
        for (name, wanted) in [
            ("Zucchini", "courgette"),
            ("eggplant", "aubergine"),
            ("BASIL", "basil"),
            ("chili", "chilli"),
            ("Chilli peppers", "chilli"),
        ] {
            let id = catalogue.find(name).unwrap_or_else(|| panic!("{name}"));
            assert_eq!(catalogue.get(id).name, wanted);
        }
        assert!(catalogue.find("motor oil").is_none());
    }

    #[test]
    fn a_care_rule_is_turned_on_without_writing_the_others_again() {
        let text = "---\ncrop: tomato\ncare: [{id: magnesium, turned-on: true}, {id: leef, every: 9 days}]\n---\n";
        let file = File { id: FileId(3), path: "crops/t.md".to_owned(), bytes: text.into() };
        let mut catalogue = Catalogue::built_in();
        let before = catalogue.get(catalogue.find("tomato").unwrap()).sheet.care.clone().unwrap();
        let mut problems = Problems::new();
        catalogue.apply([&file], &mut problems);
        let after = catalogue.get(catalogue.find("tomato").unwrap()).sheet.care.clone().unwrap();
        assert_eq!(after.len(), before.len());
        let is_off = |rules: &[crate::catalogue::CareRule]| {
            rules.iter().find(|rule| rule.id == "magnesium").unwrap().is_off
        };
        assert!(is_off(&before) && !is_off(&after));
        assert_eq!(problems.into_sorted()[0].hints[0].words, "did you mean `leaf`?");
    }

    #[test]
    fn a_sheet_of_the_grower_changes_single_values() {
        let text = "---\ncrop: chilli pepper\nbased-on: pepper\nrest-years: 9\n---\n";
        let file = File { id: FileId(3), path: "crops/c.md".to_owned(), bytes: text.into() };
        let mut catalogue = Catalogue::built_in();
        let mut problems = Problems::new();
        catalogue.apply([&file], &mut problems);
        assert!(problems.is_empty());
        let chilli = catalogue.get(catalogue.find("Chilli pepper").unwrap());
        let pepper = catalogue.get(catalogue.find("pepper").unwrap());
        assert_eq!(chilli.sheet.rest_years, Some(9));
        assert!((&*chilli.name, &*pepper.name) == ("chilli pepper", "pepper"));
        assert_ne!(pepper.sheet.rest_years, Some(9));
        assert_eq!(chilli.sheet.under_cover, pepper.sheet.under_cover);
        assert_eq!(chilli.sheet.family.as_deref(), Some("Solanaceae"));
    }
}
