//! The names that a file would have given, had it been readable: whoever uses them is not to blame.

use crate::source::files::File;

/// What a sheet gave: itself, or at least the names it would have had.
pub type Sheet<T> = Result<T, Vec<String>>;

/// The names that a damaged sheet announces: its file's, and what stands behind `key:`.
pub fn announced_names(front: &str, key: &str, file: &File) -> Vec<String> {
    let named = front.lines().find_map(|line| line.trim().strip_prefix(key)?.strip_prefix(':'));
    let named = named.map(|name| name.trim().trim_matches(['\'', '"']).to_owned());
    named.into_iter().chain([file.stem().to_owned()]).collect()
}
