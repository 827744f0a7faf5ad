//! Whatever bytes come in at a door of the program, it ends soon, without a panic, and what goes out is safe.
//!
//! Each target begins with the files of the demo and of `tests/problems`, and with those in `tests/fuzz/<target>/`: what was found
//! once. They are tried, then so many that were spoiled at random, the same in every run. `tests/campaign` says for how
//! many seconds with `TRUG_FUZZ_SECONDS` and from which number with `TRUG_FUZZ_SEED`; what is found then is written to
//! `tests/fuzz/<target>/`. It sees no coverage: it knows the words that the readers know, and spoils what is nearly right.
#![expect(
    clippy::disallowed_methods,
    reason = "seeds and findings lie on the disk, and a campaign lasts so many seconds"
)]

mod doors;
mod spoiler;

use std::fs;
use std::panic::{AssertUnwindSafe, catch_unwind};
use std::path::{Path, PathBuf};
use std::time::{Duration, Instant};

use crate::fuzz::spoiler::Spoiler;

/// How many spoiled inputs a target gets in `cargo test`.
const CASES: usize = 100;
/// How many seeds are tried as they are; all of them are spoiled.
const AS_THEY_ARE: usize = 40;
/// No input may take longer, in a debug build on a machine that does other work too.
const LONGEST: Duration = Duration::from_secs(20);

/// The texts that a target begins with: files with such a name below the folder, none of them long.
fn seeds(folder: &str, is_wanted: fn(&str) -> bool) -> Vec<Vec<u8>> {
    let mut waiting = vec![Path::new(env!("CARGO_MANIFEST_DIR")).join(folder)];
    let mut found = Vec::new();
    while let Some(path) = waiting.pop() {
        if path.is_dir() {
            waiting.extend(fs::read_dir(&path).unwrap().map(|entry| entry.unwrap().path()));
        } else if is_wanted(&path.to_string_lossy()) {
            found.push((path.clone(), fs::read(&path).unwrap()));
        }
    }
    found.sort();
    found.into_iter().map(|(_, bytes)| bytes).filter(|bytes| bytes.len() < 20_000).collect()
}

fn findings(target: &str) -> PathBuf {
    Path::new(env!("CARGO_MANIFEST_DIR")).join("tests/fuzz").join(target)
}

fn number(variable: &str) -> Option<u64> {
    std::env::var(variable).ok()?.parse().ok()
}

/// Tries the seeds, then what becomes of them.
fn try_all(target: &str, mut seeds: Vec<Vec<u8>>, cases: usize, door: fn(&[u8])) {
    let found = findings(target);
    if found.is_dir() {
        let found = self::seeds(&format!("tests/fuzz/{target}"), |_| true);
        found.iter().for_each(|input| try_one(target, input, door));
        seeds.extend(found);
    }
    assert!(seeds.len() > 3, "{target} has too few seeds");
    seeds.iter().take(AS_THEY_ARE).for_each(|seed| try_one(target, seed, door));
    let mut spoiler = Spoiler::new(number("TRUG_FUZZ_SEED").unwrap_or(1), seeds);
    let until =
        number("TRUG_FUZZ_SECONDS").map(|seconds| Instant::now() + Duration::from_secs(seconds));
    let mut tried = 0_usize;
    while until.map_or(tried < cases, |until| Instant::now() < until) {
        try_one(target, &spoiler.next(), door);
        tried += 1;
    }
    println!("{target}: {tried} spoiled inputs");
}

fn try_one(target: &str, input: &[u8], door: fn(&[u8])) {
    let start = Instant::now();
    let ended = catch_unwind(AssertUnwindSafe(|| door(input)));
    let is_soon = start.elapsed() < LONGEST;
    if ended.is_ok() && is_soon {
        return;
    }
    fs::create_dir_all(findings(target)).unwrap();
    let name = uuid::Uuid::new_v5(&uuid::Uuid::nil(), input).simple().to_string();
    let file = findings(target).join(&name[..12]);
    fs::write(&file, input).unwrap();
    panic!("{target}: {} after {:.1} s", file.display(), start.elapsed().as_secs_f64());
}

#[test]
fn entries() {
    let mut all = seeds("content/journal", |path| path.ends_with(".md"));
    all.extend(seeds("tests/problems", |path| path.contains("journal") && path.ends_with(".md")));
    try_all("entry", all, CASES, doors::entry);
}

#[test]
fn settings() {
    let mut all = seeds("content", |path| path.ends_with("garden.yaml"));
    all.extend(seeds("tests/problems", |path| path.ends_with("garden.yaml")));
    try_all("garden", all, CASES, doors::settings);
}

#[test]
fn quantities() {
    let written = [
        "24",
        "30 x 4",
        "3 m row",
        "about 20",
        "unknown",
        "1 1/2 lb",
        "18-22 °C",
        "1.5 kg",
        "1,5 kg",
        "½ cup",
        "25 ml per 5 L",
        "4 containers",
        "24 x 9 cm pot",
        "75 %",
        "1200 m",
        "3 weeks",
        "-5 to 3 days",
        "1.2 kg per L",
        "2026-06-20",
        "08-10",
        "20.6.2026",
    ];
    let all = written.map(|text| text.as_bytes().to_vec()).to_vec();
    try_all("quantity", all, 100 * CASES, doors::quantity);
}

#[test]
fn tables() {
    let mut all = seeds("tests/problems", |path| path.ends_with(".csv"));
    all.push(
        b"date,planting,weight,count,unit,note\n2026-06-01,pea,1 kg,3,pods,\"a, b\"\n".to_vec(),
    );
    all.push(b"\xef\xbb\xbfdate,low_f,high_f,rain_in\r\n2026-05-01,40,60,0.1\r\n".to_vec());
    try_all("table", all, CASES, doors::table);
}

#[test]
fn prose() {
    let mut all = seeds("content/journal", |path| path.ends_with(".md"));
    let awkward = seeds("tests/judges/gull-shed/journal", |path| path.ends_with(".md"));
    all.extend(awkward);
    all.push(b"<a href=x onclick=y>a</a><svg><style><img src=x onerror=z></style></svg>".to_vec());
    all.push(b"[a](javascript:alert(1)) <math><mtext><table><mglyph><style><!--</style>".to_vec());
    try_all("prose", all, 10 * CASES, doors::prose);
}

#[test]
fn feeds() {
    let all = seeds("site/crops", |path| path.ends_with("tasks.ics"));
    try_all("feed", all, CASES / 5, doors::feed);
}

#[test]
fn lists_of_files() {
    let list = |lines: &str| {
        let head = "trug-manifest 1\n# trug wrote the files below, and may replace or remove them. It leaves every other file alone.\n";
        format!("{head}{lines}").into_bytes()
    };
    let one = "5d41402abc4b2a76b9719d911017c592";
    let all = vec![
        list(""),
        list(&format!("{one} index.html\n{one} crops/leek/index.html\n")),
        list(&format!("# made of {one}\n{one} mine.txt\n")),
        list(&format!("{one} ../mine.txt\n")),
        list(&format!("{one} folder\n{one} folder/mine.txt\n")),
    ];
    try_all("list", all, CASES, doors::list);
}
