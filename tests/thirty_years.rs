//! At thirty years no page is too long to read or to load: what grows with the years is told by season, on pages of its own.

use std::collections::BTreeMap;

use chrono::Days;
use trug::origin::FileId;
use trug::publish::{Day, Inputs, publish};
use trug::render::sink::MemorySink;
use trug::source::files::Files;
use trug::source::theme;

use crate::large_garden::LargeGarden;

const YEARS: i32 = 30;
const MOST_BYTES: i64 = 300_000;
const MOST_ROWS: i64 = 2_000;

/// Bytes and rows of every page of a garden of so many years.
fn pages(years: i32) -> BTreeMap<String, [i64; 2]> {
    let garden = LargeGarden::sparse(years, 1);
    let files = garden.files.into_iter().map(|(path, text)| (path, text.into_bytes()));
    let content = Files::new(FileId(0), files);
    // In September the season of that year stands beside all earlier ones, and what the last months have is not there yet.
    let day = garden.day - Days::new(106);
    let theme = theme::laid_over(&Files::default(), content.next_id());
    let inputs = Inputs {
        content,
        theme,
        day: Day::Fixed(day),
        earlier_feeds: BTreeMap::new(),
        earlier_photos: BTreeMap::new(),
    };
    let mut sink = MemorySink::new();
    let published = publish(&inputs, &mut sink).expect("room in memory");
    assert!(published.is_complete, "{:?}", published.problems.first());
    let pages = sink.files().iter().filter(|(path, _)| path.as_str().ends_with(".html"));
    let sizes = pages.map(|(path, bytes)| {
        let page = String::from_utf8_lossy(bytes);
        let rows = page.matches("<li").count() + page.matches("<tr").count();
        (path.as_str().to_owned(), [bytes.len(), rows].map(|size| i64::try_from(size).unwrap()))
    });
    sizes.collect()
}

/// Each page as it would be after thirty years, if it grows on as it did in three years, when all that is told of the
/// last seasons is full.
#[test]
fn no_page_is_too_long_after_thirty_years() {
    let (before, after) = (6, 9);
    let (earlier, later) = (pages(before), pages(after));
    let growing_on = |path: &str, now: &[i64; 2]| {
        // A page that is new stands for no years before.
        let then = earlier.get(path).unwrap_or(now);
        let years = i64::from(YEARS - after);
        [0, 1].map(|at| now[at] + (now[at] - then[at]).max(0) * years / i64::from(after - before))
    };
    let sizes = later.iter().map(|(path, now)| (path, growing_on(path, now)));
    let sizes: Vec<_> = sizes.collect();
    assert!(sizes.len() > 3_000, "{}", sizes.len());
    for (at, what) in ["bytes", "rows"].iter().enumerate() {
        let (path, size) = sizes.iter().max_by_key(|(_, size)| size[at]).unwrap();
        println!("most {what}: {path}, {}", size[at]);
    }
    let too_long = |size: &[i64; 2]| size[0] > MOST_BYTES || size[1] > MOST_ROWS;
    let mut bad: Vec<_> = sizes.iter().filter(|(_, size)| too_long(size)).collect();
    bad.sort_by_key(|(_, size)| -size[0]);
    assert!(bad.is_empty(), "bytes and rows of pages after {YEARS} years: {bad:#?}");
}
