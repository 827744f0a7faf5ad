//! The names that a file would have given, had it been readable: whoever uses them is not to blame.

use crate::diagnostics::problem::Problems;
use crate::source::files::File;
use crate::source::front_matter::{Map, read_markdown};

/// What a sheet gave: itself, or at least the names it would have had.
pub type Sheet<T> = Result<T, Vec<String>>;

/// Reads a sheet with a name: `read` takes its keys and the text below them.
pub fn read_sheet<T>(
    file: &File,
    problems: &mut Problems,
    read: impl FnOnce(&File, &Map, &str, &mut Problems) -> Option<T>,
) -> Sheet<T> {
    let announced = || announced_names(&file.text_to_show(), "name", file);
    let document = read_markdown(file, problems).ok_or_else(announced)?;
    let map = document.fields.as_ref().ok_or_else(announced)?;
    read(file, map, document.body, problems).ok_or_else(announced)
}

/// The names that a damaged sheet announces: its file's, and what stands behind `key:`.
pub fn announced_names(front: &str, key: &str, file: &File) -> Vec<String> {
    let behind = |key: &str| {
        let key = key.to_owned();
        front.lines().filter_map(move |line| {
            let name = line.trim().strip_prefix(key.as_str())?.trim_start().strip_prefix(':')?;
            Some(name.trim().to_owned())
        })
    };
    let bare = |name: &str| name.trim().trim_matches(['\'', '"', '[', ']']).to_owned();
    let named = behind(key).map(|name| bare(&name));
    let others =
        behind("also-called").flat_map(|names| names.split(',').map(bare).collect::<Vec<_>>());
    named.chain(others).chain([file.stem().to_owned()]).collect()
}
