//! Which folders and files a command takes: nothing from outside the garden, no site over another, no day of a wrong clock.

use std::fs;
use std::os::unix::ffi::OsStrExt;
use std::os::unix::fs::symlink;

use crate::commands::{DAY, entry, started};

const SECRET: &str = "qzenvironment";

#[test]
fn a_link_out_of_the_folder_is_refused_with_its_path_and_nothing_of_its_content() {
    for (link, is_folder) in [
        ("content/journal/note.md", false),
        ("content/garden.yaml", false),
        ("content/harvests/a.csv", false),
        ("content/journal/more", true),
        ("own/words/en.yaml", false),
        ("own/assets/photo.svg", false),
        ("own/templates", true),
    ] {
        let desk = started();
        let outside = tempfile::tempdir().unwrap();
        let file = outside.path().join("a.md");
        fs::write(&file, format!("{SECRET}: {SECRET}\n---\n{SECRET}")).unwrap();
        let place = desk.path(link);
        fs::create_dir_all(place.parent().unwrap()).unwrap();
        let _ = fs::remove_file(&place);
        symlink(if is_folder { outside.path() } else { &file }, &place).unwrap();
        fs::create_dir_all(desk.path("own")).unwrap();
        for command in ["publish", "proof", "tasks"] {
            let said = desk.trug(&[command, "--on", DAY, "--theme", "own"]);
            assert_eq!(said.code, 2, "{link}: {said:?}");
            assert!(said.err.contains(link) && said.err.contains("leads out"), "{said:?}");
            assert!(!format!("{said:?}").contains(SECRET), "{said:?}");
        }
        assert!(!desk.path("site").exists());
    }
}

#[test]
fn a_link_within_the_folder_is_followed() {
    let desk = started();
    fs::write(desk.path("content/journal/long.md"), "---\ndate: 2026-06-01\ntitle: Linked\n---\n")
        .unwrap();
    fs::create_dir(desk.path("content/shelf")).unwrap();
    fs::rename(desk.path("content/journal/long.md"), desk.path("content/shelf/long.txt")).unwrap();
    symlink("../shelf/long.txt", desk.path("content/journal/short.md")).unwrap();
    let said = desk.trug(&["publish", "--on", DAY]);
    assert_eq!(said.code, 0, "{said:?}");
    assert!(desk.path("site/journal/2026/06/01-linked/index.html").is_file());
}

#[test]
fn a_circle_of_links_is_refused() {
    let desk = started();
    symlink("..", desk.path("content/journal/again")).unwrap();
    let said = desk.trug(&["proof", "--on", DAY]);
    assert_eq!(said.code, 2, "{said:?}");
    assert!(said.err.contains("content/journal/again is a link to a folder"), "{said:?}");
}

/// The lock of an editor, a name in another encoding where nothing is read, a pipe, a film.
#[test]
fn what_is_not_read_stops_nothing() {
    let desk = started();
    symlink("mo@desk.4711:1760000000", desk.path("content/journal/.#2026-06-20.md")).unwrap();
    symlink("/proc/self/environ", desk.path("content/journal/.hidden.md")).unwrap();
    fs::create_dir_all(desk.path("content/photos")).unwrap();
    let name = std::ffi::OsStr::from_bytes(b"gr\xfcn.jpg");
    fs::write(desk.path("content/photos").join(name), "x").unwrap();
    symlink("gone.jpg", desk.path("content/journal/gone.jpg")).unwrap();
    let pipe = desk.path("content/journal/pipe.md");
    assert!(std::process::Command::new("mkfifo").arg(&pipe).status().unwrap().success());
    // Longer than the memory that the command may take: it can only go on if it does not read it.
    let film = fs::File::create(desk.path("content/journal/film.mp4")).unwrap();
    film.set_len(64 << 30).unwrap();
    let said = desk.trug(&["proof", "--on", DAY]);
    assert_eq!(said.code, 0, "{said:?}");
    assert!(said.err.contains("film.mp4"), "{said:?}");
}

#[test]
fn the_site_is_no_part_of_the_content_nor_the_content_of_the_site() {
    let desk = started();
    let site = "content/site";
    for (content, site) in [
        ("content", "content"),
        ("content", site),
        ("content", "."),
        (".", "site"),
        ("content", "new/../content/a"),
    ] {
        let _ = fs::create_dir(desk.path("new"));
        let said = desk.trug(&["publish", "--on", DAY, "--content", content, "--site", site]);
        assert_eq!(said.code, 2, "{content} {site}: {said:?}");
        assert!(said.err.contains("--site DIR"), "{said:?}");
    }
    symlink("content", desk.path("other-name")).unwrap();
    let said = desk.trug(&["publish", "--on", DAY, "--site", "other-name"]);
    assert_eq!(said.code, 2, "{said:?}");
    assert_eq!(desk.trug(&["publish", "--on", DAY]).code, 0);
}

#[test]
fn a_clock_without_its_battery_publishes_nothing() {
    let desk = started();
    fs::write(desk.path("content/journal/later.md"), "---\ndate: 2090-06-01\n---\n").unwrap();
    let said = desk.trug(&["publish"]);
    assert_eq!(said.code, 2, "{said:?}");
    assert!(said.err.contains("journal/later.md, is of 2090-06-01"), "{said:?}");
    assert!(!desk.path("site").exists());
    let said = desk.trug(&["publish", "--on", DAY]);
    assert_eq!(said.code, 0, "said explicitly, it is published: {said:?}");
}

#[test]
fn a_publish_that_would_remove_most_of_the_site_has_to_be_asked_for() {
    let desk = started();
    for number in 0..40 {
        entry(&desk, &format!("{number:02}"), &format!("title: Day {number}"));
    }
    let front: String =
        (0..400).map(|number| format!("  - {{id: pea-{number}, crop: pea, aim: 4}}\n")).collect();
    entry(&desk, "many", &format!("plantings:\n{front}"));
    assert_eq!(desk.trug(&["publish", "--on", DAY]).code, 0);
    let before = crate::commands::on_disk(&desk.path("site"));
    assert_eq!(desk.trug(&["start", "other", "--on", DAY]).code, 0);
    let other = ["publish", "--on", DAY, "--content", "other/content"];
    let said = desk.trug(&other);
    assert_eq!(said.code, 2, "{said:?}");
    assert!(
        said.err.contains("would be removed") && said.err.contains("--allow-removing"),
        "{said:?}"
    );
    assert_eq!(crate::commands::on_disk(&desk.path("site")), before);
    let said = desk.trug(&[&other[..], &["--allow-removing"]].concat());
    assert_eq!(said.code, 0, "{said:?}");
}
