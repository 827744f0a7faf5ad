//! The site on disk: what a publish touches, what it refuses, and what a kill leaves.
#![expect(clippy::disallowed_methods, reason = "these tests are about what is on the disk")]

mod folder;
mod kills;
#[cfg(unix)]
mod permissions;
#[cfg(target_os = "linux")]
mod readers;

use std::fs::{self, File};
use std::io;
use std::path::Path;
use std::time::{Duration, SystemTime};

use trug::output::error::{Attempt, Error};
use trug::output::{DiskSite, Tally};
use trug::render::sink::{self, Sink};

use crate::output::folder::{MANIFEST, STAGING, publish, put_all, refusal, site_path, tree};

const SMALL: &[(&str, &str)] = &[
    ("index.html", "front"),
    ("style.css", "p{}"),
    ("tasks.ics", "BEGIN"),
    ("crops/pak choi/index.html", "pak choi"),
    ("crops/céleri/index.html", "céleri"),
    ("places/茄/index.html", "茄"),
];

/// Gives every file and folder the same old time, so that a touch shows without waiting.
fn age(folder: &Path) -> SystemTime {
    let old = SystemTime::UNIX_EPOCH + Duration::from_secs(1_000_000_000);
    for entry in fs::read_dir(folder).unwrap() {
        let path = entry.unwrap().path();
        if path.is_dir() {
            age(&path);
        }
        File::open(&path).unwrap().set_modified(old).unwrap();
    }
    File::open(folder).unwrap().set_modified(old).unwrap();
    old
}

/// The files and folders whose time is not `old`.
fn touched(folder: &Path, old: SystemTime) -> Vec<String> {
    let mut touched: Vec<String> = tree(folder)
        .into_keys()
        .filter(|path| fs::metadata(folder.join(path)).unwrap().modified().unwrap() != old)
        .collect();
    if fs::metadata(folder).unwrap().modified().unwrap() != old {
        touched.push(".".to_owned());
    }
    touched
}

#[test]
fn what_was_put_stands_in_the_folder() {
    let place = tempfile::tempdir().unwrap();
    let site = place.path().join("new/site");
    assert_eq!(publish(&site, SMALL).unwrap(), Tally { written: 6, unchanged: 0, removed: 0 });
    let files = tree(&site);
    for (path, text) in SMALL {
        assert_eq!(files[*path], text.as_bytes(), "{path}");
    }
    assert_eq!(files.len(), SMALL.len() + 1, "and the list: {:?}", files.keys());
}

#[test]
fn publishing_again_touches_nothing() {
    let site = tempfile::tempdir().unwrap();
    publish(site.path(), SMALL).unwrap();
    let old = age(site.path());
    let tally = publish(site.path(), SMALL).unwrap();
    assert_eq!(tally, Tally { written: 0, unchanged: 6, removed: 0 });
    // Not the list and not the folder either.
    assert_eq!(touched(site.path(), old), Vec::<String>::new());
}

#[test]
fn one_change_touches_one_file_and_the_list() {
    let site = tempfile::tempdir().unwrap();
    publish(site.path(), SMALL).unwrap();
    let old = age(site.path());
    let mut files = SMALL.to_vec();
    files[4].1 = "céleri-rave";
    let tally = publish(site.path(), &files).unwrap();
    assert_eq!(tally, Tally { written: 1, unchanged: 5, removed: 0 });
    assert_eq!(touched(site.path(), old), [MANIFEST, "crops/céleri/index.html", "."]);
    assert_eq!(tree(site.path())["crops/céleri/index.html"], "céleri-rave".as_bytes());
}

#[test]
fn what_is_no_longer_produced_goes_with_its_folder() {
    let site = tempfile::tempdir().unwrap();
    publish(site.path(), SMALL).unwrap();
    let tally = publish(site.path(), &SMALL[..4]).unwrap();
    assert_eq!(tally, Tally { written: 0, unchanged: 4, removed: 2 });
    assert!(!site.path().join("places").exists());
    assert!(!site.path().join("crops/céleri").exists());
    assert!(site.path().join("crops/pak choi/index.html").exists());
    let list = String::from_utf8(tree(site.path())[MANIFEST].clone()).unwrap();
    assert_eq!(list.lines().count(), 2 + 4, "{list}");
}

#[test]
fn a_file_that_went_missing_comes_back() {
    let site = tempfile::tempdir().unwrap();
    publish(site.path(), SMALL).unwrap();
    let before = tree(site.path());
    fs::remove_file(site.path().join("style.css")).unwrap();
    fs::write(site.path().join("tasks.ics"), "").unwrap();
    assert_eq!(publish(site.path(), SMALL).unwrap().written, 2, "missing, and emptied");
    assert_eq!(tree(site.path()), before);
}

#[test]
fn a_file_becomes_a_folder_and_a_folder_a_file() {
    let site = tempfile::tempdir().unwrap();
    let first = [("a", "file"), ("b/deep/1", "1"), ("b/2", "2")];
    let then = [("a/x/1", "1"), ("b", "file")];
    publish(site.path(), &first).unwrap();
    let tally = publish(site.path(), &then).unwrap();
    assert_eq!(tally, Tally { written: 2, unchanged: 0, removed: 3 });
    publish(site.path(), &first).unwrap();
    assert_eq!(tree(site.path())["b/deep/1"], b"1");
}

#[test]
fn another_spelling_replaces_the_first() {
    let site = tempfile::tempdir().unwrap();
    publish(site.path(), &[("Crops/Leek.html", "leek")]).unwrap();
    publish(site.path(), &[("crops/leek.html", "leek")]).unwrap();
    let files: Vec<String> = tree(site.path()).into_keys().collect();
    assert_eq!(files, [MANIFEST, "crops/leek.html"]);
}

#[test]
fn somebody_elses_files_stay() {
    let site = tempfile::tempdir().unwrap();
    publish(site.path(), SMALL).unwrap();
    fs::write(site.path().join("CNAME"), "example.org").unwrap();
    fs::write(site.path().join("places/notes.txt"), "mine").unwrap();
    fs::create_dir(site.path().join("empty")).unwrap();
    publish(site.path(), &SMALL[..1]).unwrap();
    let files = tree(site.path());
    assert_eq!(files["CNAME"], b"example.org");
    assert_eq!(files["places/notes.txt"], b"mine");
    assert!(site.path().join("empty").is_dir());
    assert!(!site.path().join("places/茄").exists());
}

#[test]
fn somebody_elses_file_in_the_way_stops_the_publish_and_nothing_is_written() {
    // A file, a folder, a file where a folder is needed, and a file equal to ours.
    for (theirs, ours) in [
        ("new.html", "new.html"),
        ("new.html/notes", "new.html"),
        ("new", "new/page.html"),
        ("same.html", "same.html"),
        ("places/茄/mine", "places/茄"),
    ] {
        let site = tempfile::tempdir().unwrap();
        publish(site.path(), SMALL).unwrap();
        let file = site.path().join(theirs);
        fs::create_dir_all(file.parent().unwrap()).unwrap();
        fs::write(&file, "same").unwrap();
        let before = tree(site.path());

        let mut files = SMALL[..5].to_vec();
        files[0].1 = "changed";
        files.push((ours, "same"));
        let error = refusal(publish(site.path(), &files));
        assert!(matches!(error, Error::Foreign { .. }), "{theirs}: {error}");
        let named = site.path().join(if theirs.starts_with("new") { ours } else { theirs });
        assert!(error.to_string().contains("move it elsewhere"), "{error}");
        let named = if theirs == "new" { site.path().join("new") } else { named };
        assert!(error.to_string().starts_with(&named.display().to_string()), "{error}");
        assert_eq!(tree(site.path()), before, "{theirs}");
    }
}

#[test]
fn what_somebody_changed_is_neither_replaced_nor_removed() {
    let site = tempfile::tempdir().unwrap();
    publish(site.path(), SMALL).unwrap();
    fs::write(site.path().join("style.css"), "p{color:green}").unwrap();
    let before = tree(site.path());

    let error = refusal(publish(site.path(), SMALL));
    assert!(
        matches!(&error, Error::Changed { paths } if paths.len() == 1 && paths[0].ends_with("style.css")),
        "{error}"
    );
    let error = refusal(publish(site.path(), &SMALL[2..]));
    assert!(
        matches!(&error, Error::Changed { paths } if paths.len() == 1 && paths[0].ends_with("style.css")),
        "{error}"
    );
    assert_eq!(tree(site.path()), before);

    fs::remove_file(site.path().join("style.css")).unwrap();
    publish(site.path(), SMALL).unwrap();
    assert_eq!(tree(site.path())["style.css"], b"p{}");
}

#[test]
fn a_change_between_put_and_finish_is_seen() {
    for (path, was_there) in [("index.html", true), ("new.html", false)] {
        let folder = tempfile::tempdir().unwrap();
        publish(folder.path(), SMALL).unwrap();
        let mut site = DiskSite::open(folder.path()).unwrap();
        put_all(&mut site, &[(path, "ours")]).unwrap();
        assert_eq!(folder.path().join(path).exists(), was_there);
        fs::write(folder.path().join(path), "typed just now").unwrap();
        let error = site.finish().unwrap_err();
        assert!(matches!(error, Error::Changed { .. }), "{error}");
        assert_eq!(tree(folder.path())[path], b"typed just now");
        assert_eq!(tree(folder.path()).len(), SMALL.len() + 1 + usize::from(!was_there));
    }
}

#[test]
fn a_folder_with_files_and_no_list_is_refused() {
    let home = tempfile::tempdir().unwrap();
    fs::write(home.path().join("letter.txt"), "dear").unwrap();
    let error = DiskSite::open(home.path()).err().unwrap();
    assert!(matches!(error, Error::NotOurFolder { .. }), "{error}");
    assert!(error.to_string().contains("letter.txt"), "{error}");
    let error = DiskSite::open(home.path().join("letter.txt")).err().unwrap();
    assert!(matches!(error, Error::NotAFolder { .. }), "{error}");
    assert_eq!(tree(home.path()).len(), 1);
}

#[test]
fn a_list_that_cannot_be_read_is_refused() {
    let site = tempfile::tempdir().unwrap();
    publish(site.path(), SMALL).unwrap();
    let list = site.path().join(MANIFEST);
    let text = fs::read_to_string(&list).unwrap().replace("index.html", "../index.html");
    fs::write(&list, text).unwrap();
    let error = DiskSite::open(site.path()).err().unwrap();
    assert!(matches!(error, Error::Manifest { line: 3, .. }), "{error}");
}

#[test]
fn trugs_own_names_are_no_pages() {
    for path in [MANIFEST, ".trug-staging/0", ".TRUG-Manifest"] {
        let site = tempfile::tempdir().unwrap();
        let error = refusal(publish(site.path(), &[(path, "x")]));
        assert!(matches!(error, Error::Kept { .. }), "{path}: {error}");
    }
}

#[test]
fn the_disk_refuses_the_same_paths_as_memory() {
    let site = tempfile::tempdir().unwrap();
    for (first, second) in [("a.html", "A.html"), ("a", "a/b"), ("a", "a")] {
        let error = publish(site.path(), &[(first, "1"), (second, "2")]).unwrap_err();
        let error = error.downcast::<sink::Error>().unwrap();
        assert!(!matches!(*error, sink::Error::Keeping(_)), "{error}");
    }
    assert_eq!(tree(site.path()).len(), 0, "and nothing was begun");
}

#[test]
fn without_finish_the_site_is_as_it_was() {
    let place = tempfile::tempdir().unwrap();
    let folder = place.path().join("site");
    let mut site = DiskSite::open(&folder).unwrap();
    put_all(&mut site, SMALL).unwrap();
    drop(site);
    assert!(!folder.exists());

    publish(&folder, SMALL).unwrap();
    let before = tree(&folder);
    let mut site = DiskSite::open(&folder).unwrap();
    put_all(&mut site, &[("index.html", "changed"), ("new.html", "new")]).unwrap();
    drop(site);
    assert_eq!(tree(&folder), before);
    assert!(!folder.join(STAGING).exists());
}

#[test]
fn the_second_of_two_at_once_is_told() {
    let folder = tempfile::tempdir().unwrap();
    let mut first = DiskSite::open(folder.path()).unwrap();
    let mut slow = DiskSite::open(folder.path()).unwrap();
    put_all(&mut first, SMALL).unwrap();
    let error = DiskSite::open(folder.path()).err().unwrap();
    assert!(matches!(error, Error::Busy { .. }), "{error}");
    first.finish().unwrap();
    // This one looked before the first one wrote: what it knows is out of date.
    let error = slow.put(&site_path("more.html"), b"more".to_vec()).unwrap_err();
    assert!(error.to_string().starts_with("another trug is writing"), "{error}");
    drop(slow);
    assert_eq!(tree(folder.path()).len(), SMALL.len() + 1);
    publish(folder.path(), SMALL).unwrap();
}

#[test]
fn things_of_others_in_the_staging_folder_stay() {
    let folder = tempfile::tempdir().unwrap();
    publish(folder.path(), SMALL).unwrap();
    fs::create_dir(folder.path().join(STAGING)).unwrap();
    fs::write(folder.path().join(STAGING).join("7"), "left by a kill").unwrap();
    publish(folder.path(), SMALL).unwrap();
    assert!(!folder.path().join(STAGING).exists());

    fs::create_dir(folder.path().join(STAGING)).unwrap();
    fs::write(folder.path().join(STAGING).join("diary.txt"), "mine").unwrap();
    let error = DiskSite::open(folder.path()).err().unwrap();
    assert!(matches!(&error, Error::Foreign { path } if path.ends_with("diary.txt")), "{error}");
    assert_eq!(tree(folder.path())[".trug-staging/diary.txt"], b"mine");
}

#[test]
fn files_are_placed_before_what_leads_to_them() {
    let folder = tempfile::tempdir().unwrap();
    publish(folder.path(), &[("index.html", "1"), ("tasks.ics", "1"), ("old.html", "1")]).unwrap();
    // With a file of somebody else in it the folder is changed in place.
    fs::write(folder.path().join("CNAME"), "example.org").unwrap();
    let (told, heard) = std::sync::mpsc::channel();
    let mut site = DiskSite::open_watched(folder.path(), move |attempt, path| {
        if matches!(attempt, Attempt::Place | Attempt::Remove) {
            let name = path.file_name().unwrap().to_str().unwrap().to_owned();
            told.send(name).map_err(io::Error::other)?;
        }
        Ok(())
    })
    .unwrap();
    let files = [("index.html", "2"), ("tasks.ics", "2"), ("new.html", "2"), ("style.css", "2")];
    put_all(&mut site, &files).unwrap();
    site.finish().unwrap();
    let expected = [
        MANIFEST,
        "style.css",
        "new.html",
        "tasks.ics",
        "index.html",
        "old.html",
        MANIFEST,
        "lock",
    ];
    assert_eq!(heard.into_iter().collect::<Vec<_>>(), expected);
}

/// As after a power cut: some pages are half, one is empty, one is gone.
#[test]
fn all_that_is_damaged_is_told_at_once_and_written_again_when_asked_for() {
    let folder = tempfile::tempdir().unwrap();
    let files = [
        ("a.html", "page a"),
        ("b/c.html", "page c"),
        ("d.css", "style"),
        ("e.html", "page e"),
        ("old.html", "x"),
    ];
    publish(folder.path(), &files).unwrap();
    for (path, half) in
        [("a.html", "pag"), ("b/c.html", "pa\0\0"), ("d.css", ""), ("old.html", "y")]
    {
        fs::write(folder.path().join(path), half).unwrap();
    }
    fs::remove_file(folder.path().join("e.html")).unwrap();
    let before = tree(folder.path());
    let error = refusal(publish(folder.path(), &files[..4]));
    let Error::Changed { paths } = &error else { panic!("{error}") };
    let names = ["a.html", "b/c.html", "old.html"].map(|path| folder.path().join(path));
    assert_eq!(*paths, names);
    assert!(
        error.to_string().contains("3 files are not") && error.to_string().contains("--rewrite")
    );
    assert_eq!(tree(folder.path()), before, "nothing was touched");

    let mut site = DiskSite::open(folder.path()).unwrap();
    site.rewrite();
    put_all(&mut site, &files[..4]).unwrap();
    assert_eq!(site.finish().unwrap().removed, 1);
    let mut after = tree(folder.path());
    after.remove(MANIFEST);
    let expected =
        files[..4].iter().map(|(path, text)| ((*path).to_owned(), text.as_bytes().to_vec()));
    assert_eq!(after, expected.collect());
}
