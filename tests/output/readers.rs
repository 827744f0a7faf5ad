//! What somebody sees who reads the site while it is published.

use std::collections::BTreeSet;
use std::fs;
use std::os::unix::fs::{MetadataExt, symlink};
use std::path::Path;
use std::sync::atomic::{AtomicBool, Ordering};

use crate::output::folder::{publish, tree};

const PAGES: usize = 60;
const PUBLISHES: usize = 40;

/// Every page says which publish it is of; one is new each time, and one goes.
fn pages(number: usize) -> Vec<(String, String)> {
    let lasting = (0..PAGES).map(|page| format!("pages/{page}/index.html"));
    let front = ["index.html".to_owned(), format!("only-{number}.html")];
    lasting.chain(front).map(|path| (path, number.to_string())).collect()
}

fn publish_number(site: &Path, number: usize) {
    let pages = pages(number);
    let pages: Vec<(&str, &str)> =
        pages.iter().map(|(path, text)| (path.as_str(), text.as_str())).collect();
    publish(site, &pages).unwrap();
}

/// The publish that all pages are of, if nothing was published while they were read.
fn seen(site: &Path) -> Option<usize> {
    let read = |path: &str| {
        let text = fs::read_to_string(site.join(path));
        text.unwrap_or_else(|error| panic!("{path} is missing: {error}"))
    };
    let before = read("index.html");
    let number: usize = before.parse().expect("a whole page");
    let texts: Vec<_> =
        (0..PAGES).rev().map(|page| read(&format!("pages/{page}/index.html"))).collect();
    let only: Vec<bool> = [number - 1, number, number + 1]
        .iter()
        .map(|number| site.join(format!("only-{number}.html")).exists())
        .collect();
    if read("index.html") != before {
        return None;
    }
    assert!(texts.iter().all(|text| *text == before), "{before}: {texts:?}");
    assert_eq!(only, [false, true, false], "{before}");
    Some(number)
}

fn watch_forty_publishes(site: &Path) {
    publish_number(site, 1);
    let inode = fs::metadata(site).unwrap().ino();
    let is_over = AtomicBool::new(false);
    let (published, seen) = std::thread::scope(|scope| {
        let reader = scope.spawn(|| {
            let mut numbers = BTreeSet::new();
            while !is_over.load(Ordering::Relaxed) {
                numbers.extend(seen(site));
            }
            numbers
        });
        let publisher =
            scope.spawn(|| (2..=PUBLISHES).for_each(|number| publish_number(site, number)));
        let published = publisher.join();
        is_over.store(true, Ordering::Relaxed);
        (published, reader.join())
    });
    published.expect("forty publishes");
    let seen = seen.expect("the reader saw old or new, never a mix");
    assert!(seen.len() > 3, "the reader saw only {seen:?}");
    assert_eq!(tree(site).len(), PAGES + 2 + 1);
    assert_eq!(
        fs::metadata(site).unwrap().ino(),
        inode,
        "who stands in the folder stands in it still"
    );
}

#[test]
fn a_reader_sees_the_old_site_or_the_new_one_never_a_mix() {
    let place = tempfile::tempdir().unwrap();
    watch_forty_publishes(&place.path().join("site"));
    let left: Vec<_> = fs::read_dir(place.path()).unwrap().collect();
    assert_eq!(left.len(), 1, "{left:?}");
}

#[test]
fn nor_through_a_link_to_the_site_folder() {
    let place = tempfile::tempdir().unwrap();
    fs::create_dir_all(place.path().join("far/real")).unwrap();
    symlink(place.path().join("far/real"), place.path().join("site")).unwrap();
    watch_forty_publishes(&place.path().join("site"));
    assert!(place.path().join("site").is_symlink());
}

/// Unchanged files are second names of what stood there: not written, and not younger.
#[test]
fn unchanged_files_keep_their_time_and_place() {
    let place = tempfile::tempdir().unwrap();
    let site = place.path().join("site");
    publish(&site, &[("a.html", "1"), ("b.html", "1"), ("same/c.html", "1")]).unwrap();
    let about = |path: &str| {
        let metadata = fs::metadata(site.join(path)).unwrap();
        (metadata.ino(), metadata.modified().unwrap(), metadata.nlink())
    };
    let before = about("same/c.html");
    publish(&site, &[("a.html", "2"), ("b.html", "2"), ("same/c.html", "1")]).unwrap();
    assert_eq!(about("same/c.html"), before);
    assert_eq!(about("a.html").2, 1, "the second name is gone");
}
