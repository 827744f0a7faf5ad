//! The commands from outside: exit codes, what is printed where, and what is on the disk afterwards.
#![expect(clippy::disallowed_methods, reason = "these tests are about what is on the disk")]

mod folders;
mod jot;
mod mix;
mod printed;
mod take;

use std::collections::BTreeMap;
use std::path::Path;
use std::time::SystemTime;

use crate::support::run::{Desk, run_in};

/// The day on which these tests happen.
pub(crate) const DAY: &str = "2026-06-20";

/// A desk with a garden that was just started, in its `content`.
pub(crate) fn started() -> Desk {
    let desk = Desk::empty();
    let said = desk.trug(&["start", ".", "--on", DAY]);
    assert_eq!(said.code, 0, "{said:?}");
    desk
}

/// Writes an entry into a desk's journal.
pub(crate) fn entry(desk: &Desk, name: &str, front: &str) {
    let text = format!("---\ndate: {DAY}\n{front}\n---\n");
    std::fs::write(desk.path(&format!("content/journal/{name}.md")), text).unwrap();
}

/// Every file below a folder with its bytes and its time.
fn on_disk(folder: &Path) -> BTreeMap<String, (Vec<u8>, SystemTime)> {
    let mut files = BTreeMap::new();
    for found in std::fs::read_dir(folder).unwrap() {
        let path = found.unwrap().path();
        if path.is_dir() {
            files.extend(on_disk(&path));
        } else {
            let time = path.metadata().unwrap().modified().unwrap();
            files.insert(path.display().to_string(), (std::fs::read(&path).unwrap(), time));
        }
    }
    files
}

#[test]
fn a_new_garden_can_be_published_at_once() {
    let desk = Desk::empty();
    // Without a day: that of today, which no test may know.
    let said = desk.trug(&["start", "demo"]);
    assert_eq!((said.code, said.out.as_str()), (0, "demo/content\n"), "{said:?}");
    let said = run_in(&desk.path("demo"), &["publish"], &[]);
    assert_eq!(said.code, 0, "{said:?}");
    assert!(!said.err.contains("warning"), "{said:?}");
    for page in ["index.html", "tasks.ics", "plantings/tomato-1/index.html", "garden.json"] {
        assert!(desk.path(&format!("demo/site/{page}")).is_file(), "{page}");
    }
    let again = run_in(&desk.path("demo"), &["publish"], &[]);
    assert!(again.err.contains("0 written") || again.err.contains("0 files written"), "{again:?}");
}

#[test]
fn the_feed_in_the_site_folder_is_the_memory() {
    let desk = started();
    let publish = |day: &str| {
        let said = desk.trug(&["publish", "--on", day]);
        assert_eq!(said.code, 0, "{said:?}");
        std::fs::read_to_string(desk.path("site/tasks.ics")).unwrap()
    };
    let stamps = |feed: &str, day: &str| feed.matches(&format!("DTSTAMP:{day}T000000Z")).count();
    let first = publish(DAY);
    assert_eq!(publish(DAY), first);
    let second = publish("2026-07-10");
    let (kept, new) = (stamps(&second, "20260620"), stamps(&second, "20260710"));
    assert!(kept > 0 && new > 0 && kept < stamps(&first, "20260620"), "{second}");
    // Whoever begins with a new folder is told everything anew, and later.
    std::fs::remove_dir_all(desk.path("site")).unwrap();
    let fresh = publish("2026-07-10");
    assert_eq!(stamps(&fresh, "20260710"), kept + new);
}

#[test]
fn start_does_not_write_over_anything() {
    let desk = started();
    let before = on_disk(&desk.path(""));
    let said = desk.trug(&["start", "."]);
    assert_eq!(said.code, 2, "{said:?}");
    assert!(said.err.contains("not empty"), "{said:?}");
    assert_eq!(on_disk(&desk.path("")), before);
}

#[test]
fn exit_codes_are_nought_one_and_two() {
    let desk = started();
    std::fs::write(desk.path("a-file"), "x").unwrap();
    for (arguments, code) in [
        (&["--version"][..], 0),
        (&["--help"], 0),
        (&["proof", "--on", DAY], 0),
        (&["tasks", "--on", DAY], 0),
        (&["publish", "--on", DAY, "--site", "there"], 0),
        // Wrong use.
        (&[], 2),
        (&["prune"], 2),
        (&["publish", "--speed"], 2),
        (&["publish", "--on", "20.6.2026"], 2),
        (&["publish", "--on", "2026-02-30"], 2),
        (&["proof", "--format", "xml"], 2),
        (&["tasks", "--days", "many"], 2),
        (&["start"], 2),
        (&["jot", "--from", "nowhere.txt"], 2),
        (&["jot", "one", "two"], 2),
        // What the machine does not have.
        (&["publish", "--content", "nowhere"], 2),
        (&["proof", "--content", "nowhere"], 2),
        (&["tasks", "--content", "nowhere"], 2),
        (&["jot", "x", "--content", "nowhere"], 2),
        (&["publish", "--content", "a-file"], 2),
        (&["publish", "--theme", "nowhere"], 2),
        (&["publish", "--site", "a-file"], 2),
        (&["start", "a-file"], 2),
    ] {
        let said = desk.trug(arguments);
        assert_eq!(said.code, code, "{arguments:?} {said:?}");
        if code == 2 {
            assert_eq!(said.out, "", "{arguments:?}");
            assert!(!said.err.is_empty(), "{arguments:?}");
        }
    }
    entry(&desk, "wrong", "plantings: [{id: x, crop: leeek}]");
    for command in ["proof", "publish", "tasks"] {
        let said = desk.trug(&[command, "--on", DAY]);
        assert_eq!(said.code, 1, "{command} {said:?}");
    }
    let said = desk.trug(&["jot", "All the same", "--on", DAY]);
    assert_eq!(said.code, 0, "a note can be taken whatever is wrong elsewhere: {said:?}");
}

#[test]
fn a_missing_folder_is_named_and_the_way_out_told() {
    let said = Desk::empty().trug(&["publish"]);
    assert!(said.err.contains("content") && said.err.contains("trug start"), "{said:?}");
}

#[test]
fn every_command_shows_an_example_that_names_it() {
    let desk = Desk::empty();
    let overview = desk.trug(&["--help"]).out;
    for command in ["publish", "proof", "start", "jot", "take", "words", "tasks", "mix"] {
        assert!(overview.contains(&format!("  {command}")), "{overview}");
        let help = desk.trug(&[command, "--help"]);
        assert_eq!(help.code, 0);
        let example = help.out.split_once("Example:\n").map(|(_, example)| example.trim());
        let example = example.unwrap_or_else(|| panic!("{command} has no example: {}", help.out));
        assert!(example.starts_with(&format!("trug {command} ")), "{example}");
    }
}

/// Two lines of the grower's, a name and a town, give a calendar, frost dates or none, and a feed.
#[test]
fn a_garden_anywhere_has_a_calendar_from_its_town_alone() {
    for town in ["Kassel, DE", "Melbourne, AU", "Singapore", "Quito", "Fairbanks"] {
        let desk = Desk::empty();
        let content = desk.path("content");
        std::fs::create_dir_all(&content).expect("a folder");
        let garden = format!("name: First day\nplace: '{town}'\n");
        std::fs::write(content.join("garden.yaml"), garden).expect("a file");
        let said = desk.trug(&["publish", "--on", DAY]);
        assert_eq!(said.code, 0, "{town}: {said:?}");
        let page =
            |path: &str| std::fs::read_to_string(desk.path("site").join(path)).expect("a page");
        assert!(page("calendar/index.html").contains("<h2"), "{town}");
        assert!(page("tasks.ics").starts_with("BEGIN:VCALENDAR"), "{town}");
        let climate = page("climate/index.html");
        assert!(climate.contains("CRU CL 2.0") && !climate.contains("caution"), "{town}");
        assert_eq!(
            climate.contains("Hardly any year"),
            matches!(town, "Singapore" | "Quito"),
            "{town}"
        );
    }
}

#[test]
fn a_garden_is_started_near_a_town() {
    let desk = Desk::empty();
    assert_eq!(desk.trug(&["start", "yard", "--near", "Kassel, DE", "--on", DAY]).code, 0);
    let garden = std::fs::read_to_string(desk.path("yard/content/garden.yaml")).expect("a file");
    assert!(garden.contains("\nplace: 'Kassel, DE'\n"), "{garden}");
    let settings = |garden: &str| {
        std::fs::read_to_string(desk.path(&format!("{garden}/content/garden.yaml"))).unwrap()
    };
    assert!(settings("yard").contains("units: metric "));
    assert_eq!(desk.trug(&["start", "patio", "--near", "Tucson", "--on", DAY]).code, 0);
    assert!(settings("patio").contains("units: us "));
    let yard = desk.path("patio/content");
    let yard = yard.to_str().expect("a path");
    assert_eq!(desk.trug(&["publish", "--content", yard, "--on", DAY]).code, 0);
    let climate = std::fs::read_to_string(desk.path("site/climate/index.html")).expect("a page");
    assert!(climate.contains("2\u{a0}°F") && !climate.contains("°C"), "{climate}");
    let said = desk.trug(&["start", "other", "--near", "Springfield", "--on", DAY]);
    assert!(said.code == 2 && said.err.contains("Springfield, Missouri"), "{said:?}");
    assert!(!desk.path("other").exists());
}

/// What the public has read cannot be taken back, but no file that stands in the site folder says it any more: the feeds,
/// which remember what they said, among them.
#[test]
fn an_entry_made_private_later_leaves_no_word_behind() {
    let desk = started();
    let front = "title: Qztitle\nplantings: [{id: qzid, crop: tomato, variety: Qzvariety, planted: 3, place: bed, note: qznote}]\n\
                 care: [{planting: qzid, did: treat, with: qzsoap, wait: 9 days}]\ncosts: [{what: qzcost, price: 31.17}]";
    entry(&desk, "secret", front);
    let words = ["qztitle", "qzid", "qzvariety", "qznote", "qzsoap", "qzcost", "31.17"];
    let holding = |word: &str| {
        let files = on_disk(&desk.path("site")).into_iter();
        let of_word = files.filter(|(path, (bytes, _))| {
            let text = String::from_utf8_lossy(bytes).to_lowercase();
            format!("{path:?}").to_lowercase().contains(word) || text.contains(word)
        });
        of_word.map(|(path, _)| path).collect::<Vec<_>>()
    };
    assert_eq!(desk.trug(&["publish", "--on", DAY]).code, 0);
    assert!(words.iter().all(|word| !holding(word).is_empty()));
    entry(&desk, "secret", &format!("private: true\n{front}"));
    let said = desk.trug(&["publish", "--on", DAY]);
    assert_eq!(said.code, 0, "{said:?}");
    for word in words {
        assert!(holding(word).is_empty(), "{word}: {:?}", holding(word));
    }
}

#[test]
fn an_error_leaves_the_old_site_as_it_was() {
    let desk = started();
    assert_eq!(desk.trug(&["publish", "--on", DAY]).code, 0);
    let before = on_disk(&desk.path("site"));
    assert!(before.len() > 20, "{}", before.len());
    entry(&desk, "wrong", "title: Changed\nharvests: [{planting: nobody, weight: 1 kg}]");
    let said = desk.trug(&["publish", "--on", DAY]);
    assert_eq!(said.code, 1, "{said:?}");
    assert!(said.err.contains("1 error") && said.err.contains("left as it was"), "{said:?}");
    assert_eq!(on_disk(&desk.path("site")), before);
    // And what is mended is published, touching only what changed.
    entry(&desk, "wrong", "title: Changed\nharvests: [{planting: lettuce-1, weight: 1 kg}]");
    assert_eq!(desk.trug(&["publish", "--on", DAY]).code, 0);
    let after = on_disk(&desk.path("site"));
    let touched: Vec<_> =
        after.iter().filter(|(path, file)| before.get(*path) != Some(file)).collect();
    assert!(!touched.is_empty() && touched.len() < before.len() / 2, "{}", touched.len());
    let unchanged = desk.path("site/crops/okra/index.html").display().to_string();
    assert_eq!(after[&unchanged], before[&unchanged]);
}

/// Warnings are told each time, though a site that stands is not made again.
#[test]
fn warnings_of_a_site_that_stands_are_told_again() {
    let desk = started();
    entry(&desk, "odd", "plantings: [{id: plums, crop: tomato, planted: 9, place: pot}]");
    std::fs::write(desk.path("content/places/plan.dwg"), "x").unwrap();
    let publish = || desk.trug(&["publish", "--on", DAY, "--format", "line"]);
    let first = publish();
    assert_eq!(first.code, 0, "{first:?}");
    assert!(
        ["file-unexpected", "family-too-soon"].iter().all(|code| first.out.contains(code)),
        "{first:?}"
    );
    let second = publish();
    assert_eq!((second.code, &second.out), (0, &first.out));
    assert!(second.err.contains(": 0 files written, "), "{second:?}");
    let list = std::fs::read_to_string(desk.path("site/.trug-manifest")).unwrap();
    assert!(list.contains("# made of ") && list.contains(", with warnings\n"), "{list}");
}

#[test]
fn a_first_error_makes_no_site() {
    let desk = started();
    entry(&desk, "wrong", "oddity: 1");
    assert_eq!(desk.trug(&["publish", "--on", DAY]).code, 1);
    assert!(!desk.path("site").exists());
}

#[test]
fn a_folder_of_somebody_else_is_not_published_into() {
    let desk = started();
    std::fs::create_dir_all(desk.path("home")).unwrap();
    std::fs::write(desk.path("home/letter.txt"), "dear").unwrap();
    let before = on_disk(&desk.path("home"));
    let said = desk.trug(&["publish", "--on", DAY, "--site", "home"]);
    assert_eq!(said.code, 2, "{said:?}");
    assert!(said.err.contains("home"), "{said:?}");
    assert_eq!(on_disk(&desk.path("home")), before);
}

#[test]
fn tasks_are_listed_soonest_first_and_as_far_as_asked() {
    let desk = started();
    entry(
        &desk,
        "peas",
        "plantings: [{id: tom-9, crop: tomato, planted: 3, place: bed, on: 2026-05-20}]",
    );
    let far = desk.trug(&["tasks", "--on", DAY, "--days", "60"]);
    let near = desk.trug(&["tasks", "--on", DAY, "--days", "3"]);
    assert_eq!((far.code, near.code), (0, 0), "{far:?}");
    assert!(far.out.contains("Tomato"), "{}", far.out);
    assert!(near.out.lines().count() < far.out.lines().count(), "{}\n---\n{}", near.out, far.out);
    assert_eq!(far.err, "");
}

#[test]
fn a_broken_theme_names_the_template_in_the_folder_that_was_given() {
    let desk = started();
    std::fs::create_dir_all(desk.path("look/templates")).unwrap();
    std::fs::write(desk.path("look/templates/crop.html"), "fine\n{{ not").unwrap();
    let said = desk.trug(&["publish", "--on", DAY, "--theme", "look", "--format", "line"]);
    assert_eq!(said.code, 1, "{said:?}");
    assert!(said.out.starts_with("look/templates/crop.html:2:"), "{said:?}");
    assert!(!desk.path("site").exists());
}
