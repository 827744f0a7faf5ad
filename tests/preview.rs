//! `trug preview` as a browser meets it: over the loopback address, while files are saved beside it.
#![expect(clippy::disallowed_methods, reason = "the garden lies on the disk, and is edited there")]

mod edits;
mod served;

use std::collections::BTreeMap;
use std::fs;
use std::path::Path;
use std::time::{Duration, UNIX_EPOCH};

use trug::origin::FileId;
use trug::source::walk::{Known, Wanted, read_folder_again};

use crate::preview::served::Served;
use crate::support::run::Desk;

const DAY: &str = "2026-04-18";

const ENTRY: &str =
    "---\ndate: 2026-04-18\ntitle: Peas in the rain\nsown: {pea: about 80}\n---\nTwo rows.\n";
const PAGE: &str = "/journal/2026/04/18-peas-in-the-rain/index.html";

/// A garden that was just laid out, with an entry of its own.
fn garden() -> Desk {
    let desk = Desk::empty();
    let said = desk.trug(&["start", "yard", "--on", "2026-04-12"]);
    assert_eq!(said.code, 0, "{said:?}");
    fs::rename(desk.path("yard/content"), desk.path("content")).unwrap();
    fs::write(desk.path("content/journal/2026-04-18.md"), ENTRY).unwrap();
    desk
}

fn on_disk(folder: &Path, root: &Path, files: &mut BTreeMap<String, Vec<u8>>) {
    for found in fs::read_dir(folder).unwrap() {
        let path = found.unwrap().path();
        if path.is_dir() {
            on_disk(&path, root, files);
        } else {
            let below = path.strip_prefix(root).unwrap().to_str().unwrap().to_owned();
            files.insert(below, fs::read(&path).unwrap());
        }
    }
}

#[test]
fn every_file_is_the_published_one_and_nothing_is_written() {
    let desk = garden();
    let said = desk.trug(&["publish", "--on", DAY, "--site", "elsewhere"]);
    assert_eq!(said.code, 0, "{said:?}");
    let mut published = BTreeMap::new();
    on_disk(&desk.path("elsewhere"), &desk.path("elsewhere"), &mut published);
    published.remove(".trug-manifest");
    let mut before = BTreeMap::new();
    on_disk(&desk.path(""), &desk.path(""), &mut before);

    let served = Served::begin(&desk, &["--on", DAY]);
    assert!(published.len() > 100, "only {} files", published.len());
    for (path, bytes) in &published {
        let got = served.get(&format!("/{path}"));
        let status = if path == "404.html" { 404 } else { 200 };
        assert!([200, status].contains(&got.status), "{path}: {}", got.status);
        assert!(got.plain() == *bytes, "{path} is another than the published one");
        assert_eq!(got.scripts(), usize::from(path.ends_with(".html")), "{path}");
    }
    drop(served);
    let mut after = BTreeMap::new();
    on_disk(&desk.path(""), &desk.path(""), &mut after);
    assert!(before == after, "a preview changed something on the disk");
}

#[test]
fn it_answers_this_computer_only_and_gives_files_of_the_site_only() {
    let desk = garden();
    let served = Served::begin(&desk, &["--on", DAY]);
    let port = served.port();
    for host in ["127.0.0.1", "localhost", "LOCALHOST", "[::1]"] {
        assert_eq!(served.ask("GET", "/", &[&format!("{host}:{port}")]).status, 200, "{host}");
    }
    let wrong = [
        vec![],
        vec!["127.0.0.1".to_owned()],
        vec![format!("127.0.0.1:{}", port.wrapping_add(1))],
        vec![format!("garden.example:{port}")],
        vec![format!("127.0.0.1.garden.example:{port}")],
        vec![format!("localhost:{port}"), format!("garden.example:{port}")],
    ];
    for hosts in wrong {
        let hosts: Vec<&str> = hosts.iter().map(String::as_str).collect();
        for path in ["/", "/garden.json", "/.trug-preview/news"] {
            let got = served.ask("GET", path, &hosts);
            assert_eq!((got.status, got.text().contains("pea")), (403, false), "{hosts:?} {path}");
        }
    }
    for method in ["POST", "PUT", "DELETE", "OPTIONS", "PATCH"] {
        assert_eq!(served.ask(method, "/", &[&served.host()]).status, 405, "{method}");
    }
    let (whole, head) = (served.get("/"), served.ask("HEAD", "/", &[&served.host()]));
    assert_eq!((head.status, head.body.len()), (200, 0));
    assert_eq!(head.header("content-length"), whole.header("content-length"));
    for path in [
        "/../content/garden.yaml",
        "/crops/../../content/garden.yaml",
        "/%2e%2e/content/garden.yaml",
        "/..%2fcontent/garden.yaml",
        "/..%5ccontent%5cgarden.yaml",
        "//etc/passwd",
        "/etc/passwd",
        "/content/garden.yaml",
        "/.trug-manifest",
        "/.trug-preview/../index.html",
        "/no/such/page/",
    ] {
        let got = served.get(path);
        assert_eq!((got.status, got.text().contains("latitude")), (404, false), "{path}");
    }
    for path in ["/%ff", "http://garden.example/", "*"] {
        assert_eq!(served.get(path).status, 400, "{path}");
    }
    let folder = served.get("/crops/pea");
    assert_eq!((folder.status, folder.header("location")), (301, Some("pea/")));
    assert_eq!(served.get("/crops/pea/").plain(), served.get("/crops/pea/index.html").plain());
    assert_eq!(served.get("/crops/pea/?x=1").status, 200);
    let script = served.get("/.trug-preview/page.js");
    assert_eq!(script.header("content-type"), Some("text/javascript; charset=utf-8"));
    assert_eq!(script.header("cross-origin-resource-policy"), Some("same-origin"));
    assert_eq!(script.header("cache-control"), Some("no-store"));
}

/// The page for what is not there names its files by the folder of the host that the site is to lie in.
#[test]
fn a_lost_page_has_its_style_where_the_site_lies_in_a_folder() {
    let desk = garden();
    let settings = fs::read_to_string(desk.path("content/garden.yaml")).unwrap();
    let settings = format!("{settings}\nsite-address: https://garden.example/yard/\n");
    fs::write(desk.path("content/garden.yaml"), settings).unwrap();
    let served = Served::begin(&desk, &["--on", DAY]);
    let lost = served.get("/no/such/page/");
    assert_eq!(lost.status, 404);
    let style = lost.text();
    let style = style
        .split("href=\"")
        .find_map(|part| part.split('"').next().filter(|to| to.ends_with(".css")));
    let style = style.unwrap();
    assert!(style.starts_with("/yard/"), "{style}");
    assert_eq!(served.get(style).status, 200);
    assert_eq!(served.get("/yard/").plain(), served.get("/").plain());
}

#[test]
fn what_is_saved_is_shown_and_what_is_broken_is_told_above_what_stands() {
    let desk = garden();
    let path = desk.path("content/journal/2026-04-18.md");
    let mut served = Served::begin(&desk, &["--on", DAY]);
    let first = served.news("");
    assert!(served.get(PAGE).text().contains("Two rows."));

    // As most editors save: beside it, then in its place.
    let beside = desk.path("content/journal/.2026-04-18.md.swp");
    fs::write(&beside, ENTRY.replace("Two rows", "Three rows")).unwrap();
    fs::rename(&beside, &path).unwrap();
    let second = served.news_when(&first.turn, |news| news.site != first.site);
    assert!(served.get(PAGE).text().contains("Three rows."));
    served.hears("2026-04-18.md changed; the site is new after ");

    // As others do: into the file itself; with a slip in the fourth line.
    fs::write(&path, ENTRY.replace("sown", "swon")).unwrap();
    let third = served.news_when(&second.turn, |news| news.problems["problems"][0]["line"] == 4);
    assert_eq!(third.site, second.site, "a site was made of a journal with an error");
    let problem = &third.problems["problems"][0];
    let file = Path::new("content").join("journal").join("2026-04-18.md");
    assert_eq!((problem["file"].as_str(), problem["line"].as_u64()), (file.to_str(), Some(4)));
    assert!(
        problem["hints"][0]["words"].as_str().is_some_and(|hint| hint.contains("sown")),
        "{problem}"
    );
    assert!(served.get(PAGE).text().contains("Three rows."), "the last good page is gone");
    served.hears("The pages stay as they were.");

    fs::write(&path, ENTRY.replace("Two rows", "Four rows")).unwrap();
    let fourth = served.news_when(&third.turn, |news| news.site != second.site);
    assert_eq!(fourth.problems["errors"], 0);
    assert!(served.get(PAGE).text().contains("Four rows."));

    // Saved again as it was: nothing is new, so the next news are of the next change.
    fs::write(&path, ENTRY.replace("Two rows", "Four rows")).unwrap();
    fs::remove_file(&path).unwrap();
    served.news_when(&fourth.turn, |news| news.site != fourth.site);
    assert_eq!(served.get(PAGE).status, 404);
}

#[test]
fn a_garden_that_begins_with_an_error_has_its_pages_as_soon_as_it_is_mended() {
    let desk = garden();
    let path = desk.path("content/journal/2026-04-18.md");
    fs::write(&path, ENTRY.replace("2026-04-18", "2026-04-31")).unwrap();
    let served = Served::begin(&desk, &["--on", DAY]);
    let got = served.get("/");
    assert_eq!((got.status, got.scripts()), (503, 1), "{}", got.text());
    let news = served.news("");
    assert_eq!((news.site.as_str(), &news.problems["errors"]), ("", &1.into()));
    fs::write(&path, ENTRY).unwrap();
    served.news_when(&news.turn, |news| !news.site.is_empty());
    assert_eq!(served.get("/").status, 200);
}

#[test]
fn a_theme_that_does_not_fit_a_page_is_told_when_the_page_is_asked_for() {
    let desk = garden();
    fs::create_dir_all(desk.path("theme/templates")).unwrap();
    let template = desk.path("theme/templates/climate.html");
    fs::write(&template, "<html><head></head>{{ frame.garden }}</html>").unwrap();
    let served = Served::begin(&desk, &["--on", DAY, "--theme", "theme"]);
    let good = served.get("/climate/index.html");
    let first = served.news("");
    fs::write(&template, "<html><head></head>\n{{ frame.no_such_value.at_all }}</html>").unwrap();
    let second = served.news(&first.turn);
    assert_eq!(second.problems["errors"], 0, "the template can be read");
    let got = served.get("/climate/index.html");
    assert_eq!(got.plain(), good.plain(), "not the page as it was last");
    let third = served.news(&second.turn);
    let problem = &third.problems["problems"][0];
    assert_eq!(
        (problem["code"].as_str(), problem["line"].as_u64()),
        (Some("template-broken"), Some(2)),
        "{problem}"
    );
}

#[cfg(unix)]
#[test]
fn ctrl_c_ends_it_and_a_taken_port_is_told() {
    let desk = garden();
    let mut served = Served::begin(&desk, &["--on", DAY]);
    let port = served.port().to_string();
    let said = desk.trug(&["preview", "--on", DAY, "--port", &port]);
    assert_eq!(said.code, 2, "{said:?}");
    assert!(said.err.contains(&format!("port {port}")) && said.err.contains("--port"), "{said:?}");
    let said = desk.trug(&["preview", "--content", "no-such-garden"]);
    assert!(said.code == 2 && said.err.contains("there is no folder no-such-garden"), "{said:?}");
    assert_eq!(served.interrupt(), Some(0));
    served.hears("The preview has ended; nothing was written.");
}

#[test]
fn a_known_file_is_read_again_where_it_stands_otherwise_or_is_to_be_forgotten() {
    let room = tempfile::tempdir().unwrap();
    let path = room.path().join("places/bed.md");
    fs::create_dir_all(path.parent().unwrap()).unwrap();
    let written = |text: &str, second: u64| {
        fs::write(&path, text).unwrap();
        let at = UNIX_EPOCH + Duration::from_secs(second);
        fs::File::options().write(true).open(&path).unwrap().set_modified(at).unwrap();
    };
    let read = |known: &mut Known| {
        let files = read_folder_again(room.path(), FileId(0), |_| Wanted::Bytes, Some(known));
        files.unwrap().iter().map(|file| file.text().unwrap().to_owned()).collect::<Vec<_>>()
    };
    let mut known = Known::default();
    written("one", 1);
    assert_eq!(read(&mut known), ["one"]);
    written("two", 1);
    assert_eq!(read(&mut known), ["one"], "it was read, although it stands as it did");
    known.forget("places/be");
    assert_eq!(read(&mut known), ["one"], "another name was forgotten");
    known.forget("places");
    assert_eq!(read(&mut known), ["two"]);
    written("six", 2);
    assert_eq!(read(&mut known), ["six"]);
    written("three", 2);
    assert_eq!(read(&mut known), ["three"]);
    fs::remove_file(&path).unwrap();
    assert!(read(&mut known).is_empty());
    written("three", 2);
    assert_eq!(read(&mut known), ["three"]);
}
