//! The crop sheets and sources that stand in the binary.

use crate::diagnostics::problem::Problems;
use crate::origin::FileId;
use crate::source::files::{File, Files};
use crate::source::front_matter::read_yaml;
use include_dir::{Dir, include_dir};
use std::collections::BTreeMap;

static BUILT_IN: Dir<'_> = include_dir!("$CARGO_MANIFEST_DIR/src/catalogue/crops");

const SOURCES: &str = include_str!("sources.yaml");

pub(super) fn files() -> Files {
    let pairs = BUILT_IN
        .files()
        .map(|file| (file.path().to_string_lossy().into_owned(), file.contents().to_vec()));
    Files::new(FileId(0), pairs)
}

pub(super) fn sources() -> BTreeMap<String, String> {
    let file =
        File { id: FileId(0), path: "sources.yaml".to_owned(), bytes: SOURCES.as_bytes().to_vec() };
    let mut sources = BTreeMap::new();
    if let Some(map) = read_yaml(&file, &mut Problems::new()) {
        for (key, node) in &map.pairs {
            let title = crate::source::nodes::text_of(&key.value, node, &mut Problems::new());
            sources.extend(title.map(|title| (key.value.clone(), title.value)));
        }
    }
    sources
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::catalogue::Catalogue;
    use crate::catalogue::table::read_file;
    use crate::source::front_matter::read_markdown;

    #[test]
    fn every_built_in_sheet_is_read_without_a_problem() {
        let files = files();
        for file in files.iter() {
            let mut problems = Problems::new();
            let (crop, _) = read_file(file, &mut problems);
            let told: Vec<_> =
                problems.into_sorted().into_iter().map(|problem| problem.message).collect();
            assert!(told.is_empty(), "{}: {told:?}", file.path);
            assert!(crop.is_some(), "{}", file.path);
        }
        assert!(files.iter().count() >= 45);
    }

    /// Each value has its source: the keys of a sheet are compared with the keys under `sources`.
    #[test]
    fn every_built_in_value_has_a_source() {
        let catalogue = Catalogue::built_in();
        for file in files().iter() {
            let document = read_markdown(file, &mut Problems::new()).unwrap();
            let map = document.fields.unwrap();
            let (crop, _) = read_file(file, &mut Problems::new());
            let sources = crop.unwrap().sources;
            for (key, _) in &map.pairs {
                let key = key.value.as_str();
                let is_told = ["crop", "sources"].contains(&key)
                    || sources.keys().any(|source| {
                        source == key
                            || source.strip_prefix(key).is_some_and(|r| r.starts_with('.'))
                    });
                assert!(is_told, "{}: {key} has no source", file.path);
            }
            for source in sources.values() {
                assert!(catalogue.source(&source.from).is_some(), "{}: {}", file.path, source.from);
            }
        }
    }
}
