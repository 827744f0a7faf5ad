//! What stops a publish leaves nothing behind, and says where it is.

use std::collections::BTreeMap;
use std::path::Path;
use std::time::SystemTime;

use trug::diagnostics::codes::{Code, Severity};
use trug::output::DiskSite;
use trug::publish::publish;
use trug::render::sink::MemorySink;

use crate::support::garden::Written;

#[test]
fn an_error_puts_nothing() {
    let garden =
        Written::new().entry("2026-04-02", "plantings: [{id: pea-26, crop: peaa, sown: 30}]", "");
    let mut sink = MemorySink::new();
    let published = publish(&garden.inputs(), &mut sink).unwrap();
    assert!(!published.is_complete);
    assert_eq!(published.problems.len(), 1, "{:#?}", published.problems);
    assert_eq!(published.problems[0].code, Code::UnknownCrop);
    assert!(sink.files().is_empty());
}

#[test]
fn warnings_are_published() {
    let garden = Written::new().entry("2027-01-01", "title: Qzlater visit", "");
    let (site, problems) = garden.site_and_problems();
    assert!(problems.iter().all(|problem| problem.severity() == Severity::Warning));
    assert_eq!(problems[0].code, Code::DatedAhead);
    assert!(site.files.contains_key("index.html"));
    assert_eq!(site.holding("qzlater"), Vec::<&str>::new());
}

/// Every file with bytes and time.
#[expect(clippy::disallowed_methods, reason = "this looks at what a publish left on the disk")]
fn on_disk(folder: &Path) -> BTreeMap<String, (Vec<u8>, SystemTime)> {
    let mut files = BTreeMap::new();
    for entry in std::fs::read_dir(folder).unwrap() {
        let path = entry.unwrap().path();
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
fn a_broken_template_names_itself_and_its_line_and_leaves_the_old_site() {
    let folder = tempfile::tempdir().unwrap();
    let garden = Written::new().entry("2026-04-02", "title: Peas", "Rain.");
    let mut site = DiskSite::open(folder.path().join("site")).unwrap();
    assert!(publish(&garden.inputs(), &mut site).unwrap().is_complete);
    site.finish().unwrap();
    let before = on_disk(folder.path());

    for (template, broken, line) in [
        // Cannot be read at all.
        (
            "crop.html",
            "{% extends \"frame.html\" %}\n\n{% block main %}{{ oops {% endblock main %}",
            3,
        ),
        // Can be read, but asks for what the page does not have.
        ("entry.html", "<p>fine</p>\n<p>{{ body.nonsense.more }}</p>", 2),
        // A word that the theme does not have.
        ("404.html", "\n\n\n{{ \"no.such.word\" | say }}", 4),
    ] {
        let inputs = garden.clone().theme(&format!("templates/{template}"), broken).inputs();
        let mut site = DiskSite::open(folder.path().join("site")).unwrap();
        let published = publish(&inputs, &mut site).unwrap();
        assert!(!published.is_complete, "{template}");
        drop(site);
        let [problem] = published.problems.as_slice() else { panic!("{:#?}", published.problems) };
        assert_eq!(problem.code, Code::TemplateBroken, "{template}");
        let file =
            problem.at.file().and_then(|id| inputs.theme.get(id)).map(|file| file.path.clone());
        assert_eq!(file, Some(format!("templates/{template}")));
        let start = problem.at.range().unwrap_or_else(|| panic!("{problem:#?}")).start;
        assert_eq!(broken[..start].matches('\n').count() + 1, line, "{template}: {problem:#?}");
        assert_eq!(on_disk(folder.path()), before, "{template}");
    }
}

#[test]
fn a_theme_folder_takes_the_place_of_single_files() {
    let own = "<!doctype html><title>gone</title><p>Nothing here.</p>";
    let garden = Written::new().theme("templates/404.html", own).theme("assets/extra.txt", "mine");
    let site = garden.site();
    assert_eq!(site.text("404.html"), own);
    assert_eq!(site.text("assets/extra.txt"), "mine");
    assert_eq!(site.text("index.html"), Written::new().site().text("index.html"));
}
