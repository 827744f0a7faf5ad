//! The demo garden, published for its fixed day, is the committed `site/`, byte for byte.
//!
//! To renew it after a change that is meant: `cargo run --release -- publish --on 2026-06-20`, look at what
//! changed, and commit `site/` with the change that caused it.

use std::collections::BTreeMap;
use std::path::Path;

use trug::diagnostics::codes::Severity;
use trug::origin::FileId;
use trug::publish::{Day, Inputs, publish};
use trug::reading;
use trug::render::sink::MemorySink;
use trug::site::task_feed::is_feed;
use trug::source::files::Files;
use trug::source::theme;
use trug::source::walk::{self, Wanted};

fn root() -> &'static Path {
    Path::new(env!("CARGO_MANIFEST_DIR"))
}

fn read(folder: &str, wanted: impl Fn(&str) -> Wanted) -> Files {
    walk::read_folder(&root().join(folder), FileId(0), wanted).expect("a folder of this project")
}

#[test]
fn the_committed_site_is_the_demo_as_it_is_published_now() {
    let content = read("content", reading::wanted);
    let theme = theme::laid_over(&Files::default(), content.next_id());
    let day = Day::Fixed("2026-06-20".parse().expect("a date"));
    let committed: BTreeMap<String, Vec<u8>> = read("site", |_| Wanted::Bytes)
        .iter()
        .map(|file| (file.path.clone(), file.bytes.clone()))
        .collect();
    let mut earlier_feeds = committed.clone();
    earlier_feeds.retain(|path, _| is_feed(path));
    let inputs = Inputs { content, theme, day, earlier_feeds, earlier_photos: BTreeMap::new() };
    let mut sink = MemorySink::new();
    let published = publish(&inputs, &mut sink).expect("room in memory");
    let errors = published.problems.iter().filter(|p| p.severity() == Severity::Error).count();
    assert_eq!(errors, 0, "{:?}", published.problems);
    let fresh = sink.into_files();
    let fresh: BTreeMap<String, Vec<u8>> =
        fresh.into_iter().map(|(path, bytes)| (path.to_string(), bytes)).collect();
    assert!(fresh.len() > 300, "only {} files", fresh.len());
    let mut stale: Vec<&String> = fresh
        .iter()
        .filter(|(path, bytes)| committed.get(*path) != Some(bytes))
        .map(|(path, _)| path)
        .collect();
    stale.extend(committed.keys().filter(|path| !fresh.contains_key(*path)));
    assert!(
        stale.is_empty(),
        "{} stale files in site/, for example {:?}",
        stale.len(),
        &stale[..3.min(stale.len())]
    );
}
