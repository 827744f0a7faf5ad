//! Publishing a list of files, and reading a folder back.

use std::collections::BTreeMap;
use std::error::Error as AnyError;
use std::fs;
use std::path::Path;

use trug::output::error::Error;
use trug::output::{DiskSite, Tally};
use trug::render::sink::{self, Sink};
use trug::render::site_path::SitePath;

pub(crate) const MANIFEST: &str = ".trug-manifest";
pub(crate) const STAGING: &str = ".trug-staging";

pub(crate) fn site_path(path: &str) -> SitePath {
    SitePath::new(path).unwrap()
}

pub(crate) fn put_all(site: &mut DiskSite, files: &[(&str, &str)]) -> Result<(), sink::Error> {
    files.iter().try_for_each(|(path, text)| site.put(&site_path(path), text.as_bytes().to_vec()))
}

pub(crate) fn publish(folder: &Path, files: &[(&str, &str)]) -> Result<Tally, Box<dyn AnyError>> {
    let mut site = DiskSite::open(folder)?;
    put_all(&mut site, files)?;
    Ok(site.finish()?)
}

/// The room's own error, whether it came through the sink or not.
pub(crate) fn refusal(result: Result<Tally, Box<dyn AnyError>>) -> Error {
    let error = result.expect_err("the publish should be refused");
    let error = match error.downcast::<sink::Error>() {
        Ok(error) => match *error {
            sink::Error::Keeping(inner) => inner as Box<dyn AnyError>,
            other => panic!("not the disk's: {other}"),
        },
        Err(error) => error,
    };
    *error.downcast::<Error>().unwrap()
}

/// Every file below the folder, by its path with `/`.
pub(crate) fn tree(folder: &Path) -> BTreeMap<String, Vec<u8>> {
    let mut files = BTreeMap::new();
    if folder.exists() {
        collect(folder, "", &mut files);
    }
    files
}

fn collect(folder: &Path, before: &str, files: &mut BTreeMap<String, Vec<u8>>) {
    for entry in fs::read_dir(folder).unwrap() {
        let entry = entry.unwrap();
        let path = format!("{before}{}", entry.file_name().to_str().unwrap());
        if entry.file_type().unwrap().is_dir() {
            collect(&entry.path(), &format!("{path}/"), files);
        } else {
            files.insert(path, fs::read(entry.path()).unwrap());
        }
    }
}
