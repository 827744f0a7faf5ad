//! What the system forbids, and links. Root may do everything, so as root a test runs its body in a
//! child that is nobody; where that cannot be done either, it says so and checks nothing.

use std::env;
use std::fs::{self, Permissions};
use std::os::unix::fs::{MetadataExt, PermissionsExt, symlink};
use std::os::unix::process::CommandExt;
use std::path::Path;
use std::process::Command;

use trug::output::error::{Attempt, Error};

use crate::output::folder::{publish, refusal, tree};

const NOBODY: u32 = 65534;

/// Runs `body` as somebody who is not root.
fn as_a_mere_user(body: impl FnOnce(&Path)) {
    let place = tempfile::tempdir().unwrap();
    if fs::metadata(place.path()).unwrap().uid() != 0 {
        return body(place.path());
    }
    let test = std::thread::current().name().expect("a test has a name").to_owned();
    let child = Command::new(env::current_exe().unwrap())
        .args([&test, "--exact", "--test-threads=1"])
        .current_dir("/")
        .uid(NOBODY)
        .gid(NOBODY)
        .output();
    match child {
        Ok(output) => {
            let said = String::from_utf8_lossy(&output.stdout);
            assert!(output.status.success() && said.contains("1 passed"), "{said}");
        }
        Err(error) => eprintln!("not checked: cannot become nobody ({error})"),
    }
}

fn allow(path: &Path, mode: u32) {
    fs::set_permissions(path, Permissions::from_mode(mode)).unwrap();
}

fn assert_forbidden(error: &Error, attempt: Attempt, path: &Path) {
    let Error::Machine { attempt: tried, path: on, source } = error else { panic!("{error}") };
    assert_eq!((tried, on.as_path()), (&attempt, path));
    assert_eq!(source.kind(), std::io::ErrorKind::PermissionDenied);
}

#[test]
fn a_new_site_in_a_closed_folder() {
    as_a_mere_user(|place| {
        allow(place, 0o555);
        let site = place.join("site");
        let error = refusal(publish(&site, &[("index.html", "1")]));
        assert_forbidden(&error, Attempt::MakeFolder, &site);
        allow(place, 0o755);
        assert_eq!(tree(place).len(), 0);
    });
}

#[test]
fn an_open_site_in_a_closed_folder_is_published() {
    as_a_mere_user(|place| {
        let site = place.join("site");
        fs::create_dir(&site).unwrap();
        allow(place, 0o555);
        publish(&site, &[("index.html", "1")]).unwrap();
        publish(&site, &[("index.html", "2")]).unwrap();
        assert_eq!(tree(&site)["index.html"], b"2");
        allow(place, 0o755);
    });
}

#[test]
fn a_closed_site_is_read_and_stays() {
    as_a_mere_user(|place| {
        let site = place.join("site");
        publish(&site, &[("index.html", "1")]).unwrap();
        allow(&site, 0o555);
        // Nothing to write: nothing to forbid.
        assert_eq!(publish(&site, &[("index.html", "1")]).unwrap().unchanged, 1);
        let error = refusal(publish(&site, &[("index.html", "2")]));
        assert_forbidden(&error, Attempt::MakeFolder, &site.join(".trug-staging"));
        assert_eq!(tree(&site)["index.html"], b"1");
        allow(&site, 0o755);
    });
}

#[test]
fn a_closed_folder_inside_the_site() {
    as_a_mere_user(|place| {
        publish(place, &[("crops/leek.html", "1"), ("index.html", "1")]).unwrap();
        let crops = place.join("crops");
        allow(&crops, 0o555);
        let error = refusal(publish(place, &[("crops/leek.html", "2"), ("index.html", "2")]));
        assert_forbidden(&error, Attempt::Place, &crops.join("leek.html"));
        let files = tree(place);
        assert_eq!(
            (&files["crops/leek.html"][..], &files["index.html"][..]),
            (&b"1"[..], &b"1"[..])
        );
        allow(&crops, 0o755);
        publish(place, &[("crops/leek.html", "2"), ("index.html", "2")]).unwrap();
        assert_eq!(tree(place)["crops/leek.html"], b"2");
    });
}

#[test]
fn pages_can_be_read_by_a_host() {
    let site = tempfile::tempdir().unwrap();
    let plain = site.path().join("plain");
    fs::write(&plain, "made by the standard library").unwrap();
    let usual = fs::metadata(&plain).unwrap().mode();
    fs::remove_file(&plain).unwrap();
    publish(site.path(), &[("index.html", "1")]).unwrap();
    assert_eq!(fs::metadata(site.path().join("index.html")).unwrap().mode(), usual);
}

#[test]
fn a_link_in_the_site_is_not_followed() {
    let place = tempfile::tempdir().unwrap();
    let (site, outside) = (place.path().join("site"), place.path().join("outside"));
    let files = [("crops/leek.html", "1"), ("index.html", "1")];
    publish(&site, &files).unwrap();
    // The folder of a page now leads outside, to a file with the very bytes that trug wrote.
    fs::rename(site.join("crops"), &outside).unwrap();
    symlink(&outside, site.join("crops")).unwrap();

    let error = refusal(publish(&site, &[("crops/leek.html", "2")]));
    assert!(matches!(&error, Error::Foreign { path } if *path == site.join("crops")), "{error}");
    // No longer produced: what is behind the link is not ours to remove, nor is the link.
    publish(&site, &files[1..]).unwrap();
    assert_eq!(tree(&outside)["leek.html"], b"1");
    assert!(fs::symlink_metadata(site.join("crops")).unwrap().is_symlink());

    // A page that is a link.
    fs::remove_file(site.join("index.html")).unwrap();
    symlink(outside.join("leek.html"), site.join("index.html")).unwrap();
    let error = refusal(publish(&site, &[("index.html", "2")]));
    assert!(matches!(error, Error::Foreign { .. }), "{error}");
    let error = refusal(publish(&site, &[("other.html", "2")]));
    assert!(matches!(error, Error::Changed { .. }), "{error}");
    assert_eq!(tree(&outside)["leek.html"], b"1");
}

#[test]
fn the_site_folder_itself_may_be_a_link() {
    let place = tempfile::tempdir().unwrap();
    let (real, link) = (place.path().join("real"), place.path().join("link"));
    fs::create_dir(&real).unwrap();
    symlink(&real, &link).unwrap();
    publish(&link, &[("index.html", "1")]).unwrap();
    assert_eq!(tree(&real)["index.html"], b"1");
    assert!(fs::symlink_metadata(&link).unwrap().is_symlink());

    let dangling = place.path().join("dangling");
    symlink(place.path().join("nowhere"), &dangling).unwrap();
    let error = refusal(publish(&dangling, &[("index.html", "1")]));
    assert!(matches!(error, Error::NotAFolder { .. }), "{error}");
}
