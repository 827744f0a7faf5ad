//! The theme's files: the built-in one, with files of a theme folder laid over it one by one.

use std::collections::BTreeMap;

use include_dir::{Dir, include_dir};

use crate::origin::FileId;
use crate::source::files::Files;

static HEDGEROW: Dir<'_> = include_dir!("$CARGO_MANIFEST_DIR/themes/hedgerow");

/// Where the built-in theme's words lie when a theme has a file of words of its own.
pub const BENEATH: &str = "beneath/";

/// The built-in theme with the files of another laid over it; a file of the same path takes over, but of words
/// only those that it has.
pub fn laid_over(own: &Files, first: FileId) -> Files {
    let mut files: BTreeMap<String, Vec<u8>> = BTreeMap::new();
    gather(&HEDGEROW, &mut files);
    for file in own.iter() {
        if let Some(words) = files.get(&file.path).filter(|_| file.is_in("words")) {
            files.insert(format!("{BENEATH}{}", file.path), words.clone());
        }
        files.insert(file.path.clone(), file.bytes.clone());
    }
    Files::new(first, files)
}

fn gather(folder: &Dir<'_>, files: &mut BTreeMap<String, Vec<u8>>) {
    for file in folder.files() {
        let path = file.path().to_string_lossy().replace('\\', "/");
        files.insert(path, file.contents().to_vec());
    }
    folder.dirs().for_each(|folder| gather(folder, files));
}
