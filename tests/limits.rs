//! What no grower writes: nothing in the content makes trug run longer than ten times as long as a garden of the same bytes, or
//! take more than 1 GB. Each input is published by the program itself, in a process of its own; what is judged is the processor
//! time of that process, since the machine may have other things to do.

#![expect(clippy::disallowed_methods, reason = "each input lies in a folder of its own")]

#[path = "../examples/large-garden/garden.rs"]
#[expect(dead_code, reason = "the test of the pages uses the rest of it")]
mod large_garden;

use std::collections::BTreeMap;
use std::fs;
use std::path::Path;
use std::process::Command;
use std::time::{Duration, Instant};

use trug::climate::world::WorldClimate;
use trug::towns::{self, Found};

use crate::large_garden::LargeGarden;

/// The address space of a process, in KB of 1,024 bytes: it cannot take more memory than that.
const MOST_MEMORY_KB: u64 = 1_000_000;
/// Times the processor time of a garden of the same bytes.
const MOST_TIMES: f64 = 10.0;
/// The system ends a process that took so many seconds of processor time, and one that does nothing for so long.
const END_SECONDS: u32 = 120;
/// Bytes of an input that repeats a sign: the most that is read of a text.
const FULL: usize = 250_000;

struct Input {
    name: String,
    path: &'static str,
    text: String,
}

#[test]
fn no_input_takes_ten_times_as_long_as_a_garden_of_its_size_or_all_memory() {
    let gardens = [2, 100, 400, 1_600].map(garden_of);
    let gardens = side_by_side(&gardens, |garden| (size(garden), published(garden).seconds()));
    let inputs = inputs();
    assert!(inputs.len() >= 60, "{}", inputs.len());
    let wrong = side_by_side(&inputs, |input| trouble(input, &gardens));
    let wrong: Vec<String> = wrong.into_iter().flatten().collect();
    assert!(wrong.is_empty(), "{}", wrong.join("\n"));
}

/// Estimating what so many plantings of one crop teach took more than two minutes once.
#[test]
fn four_hundred_plantings_of_a_crop_are_published_in_seconds() {
    let seconds = |count| published(&peas(count)).seconds().min(published(&peas(count)).seconds());
    let (half, whole) = (seconds(200), seconds(400));
    println!("200 plantings {half:.2} s, 400 plantings {whole:.2} s");
    // 2.6 times as long on 27 November 2026, when 400 took 3.7 s of a debug build.
    assert!(whole < 4.0 * half && whole < 10.0, "200 plantings {half:.2} s, 400 {whole:.2} s");
}

/// A film beside an entry took 21 s and 1.9 GB once. This one is larger than all the memory that a process may have here: it
/// can only be passed over.
#[test]
fn a_film_beside_an_entry_is_not_read() {
    let folder = tempfile::tempdir().expect("a folder");
    for (path, text) in garden_of(2) {
        let path = folder.path().join("content").join(path);
        fs::create_dir_all(path.parent().expect("a parent")).expect("a folder");
        fs::write(path, text).expect("a file");
    }
    let without = ended(folder.path()).seconds();
    for path in ["journal/2026-05-10-film.mp4", "places/film.mkv", "film.mov"] {
        let film = fs::File::create(folder.path().join("content").join(path)).expect("a file");
        film.set_len(5_000_000_000).expect("a file without blocks");
    }
    fs::remove_dir_all(folder.path().join("site")).expect("the site");
    let ended = ended(folder.path());
    let out = fs::read_to_string(folder.path().join("out")).unwrap_or_default();
    assert!(ended.code <= 1 && ended.code >= 0, "{}: {out}", ended.code);
    assert!(out.contains("film.mp4"), "it is told that it is not used: {out}");
    assert!(
        ended.seconds() < 3.0 * without + 0.5,
        "{:.2} s, {without:.2} s without",
        ended.seconds()
    );
}

type Garden = BTreeMap<String, String>;

/// An ordinary garden of so many entries.
fn garden_of(entries: usize) -> Garden {
    let mut files = LargeGarden::of(entries).files;
    // As that of the inputs, so that they differ in nothing else.
    files.insert("garden.yaml".to_owned(), GARDEN.to_owned());
    files
}

/// Sown and picked on a hundred and twenty days of each spring for years, of three varieties.
fn peas(count: usize) -> Garden {
    let bed = "---\nname: bed\nkind: bed\nlength: 30 m\nwidth: 2 m\n---\n";
    let mut files = Garden::from([
        ("garden.yaml".to_owned(), GARDEN.to_owned()),
        ("places/bed.md".to_owned(), bed.to_owned()),
    ]);
    for number in 0..count {
        let (year, of_year) = (2016 + number / 50, number % 50);
        let variety = ["Early", "Tall", "Late"][number % 3];
        let sown = format!(
            "---\ndate: {year}-03-{:02}\nplantings: [{{id: p-{number}, crop: pea, variety: {variety}, sown: 40, place: bed}}]\n---\n",
            1 + of_year / 2
        );
        let picked = format!(
            "---\ndate: {year}-06-{:02}\nevents: [{{planting: p-{number}, is: emerged}}]\nharvests: [{{planting: p-{number}, weight: {} g}}]\n---\n",
            1 + of_year / 2,
            200 + 7 * of_year
        );
        files.insert(format!("journal/sown-{number}.md"), sown);
        files.insert(format!("journal/picked-{number}.md"), picked);
    }
    files
}

fn size(garden: &Garden) -> f64 {
    garden.values().map(String::len).sum::<usize>() as f64
}

/// What `of` makes of each, in order; two at a time.
fn side_by_side<T: Sync, R: Send>(all: &[T], of: impl Fn(&T) -> R + Sync) -> Vec<R> {
    let (some, others) = all.split_at(all.len() / 2);
    let in_turn = |part: &[T]| part.iter().map(&of).collect::<Vec<R>>();
    std::thread::scope(|scope| {
        let lane = scope.spawn(|| in_turn(some));
        let others = in_turn(others);
        let mut all = lane.join().expect("a lane");
        all.extend(others);
        all
    })
}

/// Why an input is not read as it should be; `gardens` are bytes and seconds of ordinary ones.
fn trouble(input: &Input, gardens: &[(f64, f64)]) -> Option<String> {
    let mut files = Garden::from([("garden.yaml".to_owned(), GARDEN.to_owned())]);
    files.insert(input.path.to_owned(), input.text.clone());
    let most = MOST_TIMES * seconds_of_a_garden(size(&files), gardens);
    let mut ended = published(&files);
    if ended.seconds() > most {
        ended = published(&files);
    }
    let (name, seconds) = (&input.name, ended.seconds());
    println!("{name}: {seconds:.2} s of {most:.2}");
    match ended.code {
        // 0: published; 1: told what is wrong. A panic, a kill and a lack of memory have other numbers.
        0 | 1 if seconds <= most => None,
        0 | 1 => Some(format!("{name}: {seconds:.2} s, and may take {most:.2}")),
        code => Some(format!("{name}: ended with {code} after {seconds:.2} s")),
    }
}

/// Between the ordinary gardens next in size; beyond the largest in proportion.
fn seconds_of_a_garden(bytes: f64, gardens: &[(f64, f64)]) -> f64 {
    for pair in gardens.windows(2) {
        let [(small, quick), (large, slow)] = [pair[0], pair[1]];
        if bytes <= large {
            return quick + (slow - quick) * ((bytes - small) / (large - small)).max(0.0);
        }
    }
    let (bytes_of_largest, slowest) = gardens[gardens.len() - 1];
    slowest * bytes / bytes_of_largest
}

struct Ended {
    code: i32,
    user: f64,
    system: f64,
}

impl Ended {
    fn seconds(&self) -> f64 {
        self.user + self.system
    }
}

fn published(garden: &Garden) -> Ended {
    let folder = tempfile::tempdir().expect("a folder");
    for (path, text) in garden {
        let path = folder.path().join("content").join(path);
        fs::create_dir_all(path.parent().expect("a parent")).expect("a folder");
        fs::write(path, text).expect("a file");
    }
    ended(folder.path())
}

fn ended(folder: &Path) -> Ended {
    let command = format!(
        "ulimit -v {MOST_MEMORY_KB}; ulimit -t {END_SECONDS}; \
         timeout -s KILL {} \"$0\" publish --on 2026-06-20 >out 2>&1; code=$?; times; exit $code",
        10 * END_SECONDS
    );
    let output = Command::new("sh")
        .args(["-c", &command, env!("CARGO_BIN_EXE_trug")])
        .current_dir(folder)
        .output()
        .expect("a shell");
    // The shell's own times, then those of what it ran: `0m1.250000s 0m0.080000s`.
    let text = String::from_utf8_lossy(&output.stdout).into_owned();
    let seconds = |time: &str| {
        let (minutes, seconds) = time.trim_end_matches('s').split_once('m')?;
        Some(60.0 * minutes.parse::<f64>().ok()? + seconds.parse::<f64>().ok()?)
    };
    let times: Option<Vec<f64>> = text.split_whitespace().map(seconds).collect();
    let Some([_, _, user, system]) = times.as_deref() else { panic!("the shell said {text:?}") };
    Ended { code: output.status.code().unwrap_or(-1), user: *user, system: *system }
}

const GARDEN: &str =
    "name: Quarry Steps\nplace: {latitude: 43.5, longitude: 5.4, time-zone: Europe/Paris}\n";

fn inputs() -> Vec<Input> {
    let mut inputs = Vec::new();
    inputs.extend(proses());
    inputs.extend(front_matters());
    inputs.extend(tables());
    inputs.extend(sheets());
    inputs
}

fn entry(name: &str, front: &str, prose: &str) -> Input {
    let text = format!("---\ndate: 2026-05-10\n{front}\n---\n{prose}");
    Input { name: name.to_owned(), path: "journal/2026-05-10-a-day.md", text }
}

fn many(sign: &str) -> String {
    sign.repeat(FULL / sign.len())
}

/// `make` of the numbers from 0, one after the other.
fn each(count: usize, make: impl Fn(usize) -> String) -> String {
    (0..count).map(make).collect()
}

fn proses() -> Vec<Input> {
    let signs = [
        "[",
        ">",
        "*",
        "`",
        "_",
        "<",
        "&",
        "|",
        "\\",
        "~",
        "#",
        "\"",
        "![",
        "[[",
        "[a](",
        "- ",
        "*a ",
        "**a",
        "*_",
        "`a ``b ",
        "a](",
        "<div>",
        "<!--",
        "<?",
        "<a b=\"",
        "<a@b.c>",
        "&#x0;",
        "a\n\n",
        "1. a\n",
        "# a\n",
        "[a]: b\n",
        "[^a]: [^a]\n\n",
        "|a",
        "a**b_c* ",
    ];
    let mut proses: Vec<Input> =
        signs.iter().map(|sign| entry(&format!("prose of {sign:?}"), "", &many(sign))).collect();
    proses.push(entry("a prose of 1 MB", "", &"[".repeat(1_000_000)));
    proses.push(entry("footnotes", "", &each(12_000, |i| format!("[^{i}]\n\n[^{i}]: x\n\n"))));
    proses.push(entry(
        "wide table",
        "",
        &format!("|{}\n|{}\n|a\n", "a|".repeat(50_000), "-|".repeat(50_000)),
    ));
    proses.push(entry("deep list", "", &each(480, |i| format!("{}- a\n", " ".repeat(2 * i)))));
    proses.push(entry("links", "", &each(15_000, |i| format!("[[zig{i}]] "))));
    proses
}

fn front_matters() -> Vec<Input> {
    let repeated = ["[", "{", "- ", "? ", "! ", "&a ", "a: ", "\"", "'", "|", "*a ", "9", "{,"];
    let mut fronts: Vec<Input> = repeated
        .iter()
        .map(|sign| entry(&format!("value of {sign:?}"), &format!("tags: {}", many(sign)), ""))
        .collect();
    let mut add = |name: &str, front: String| fronts.push(entry(name, &front, ""));
    let nine = |i: usize| vec![format!("*a{i}"); 9].join(",");
    add(
        "aliases",
        format!("a: &a0 [x, x]\n{}", each(12, |i| format!("b{i}: &a{} [{}]\n", i + 1, nine(i)))),
    );
    add("keys", each(20_000, |i| format!("k{i}: 1\n")));
    add("one key", "tags: x\n".repeat(20_000));
    add("tags", format!("tags: [{}]", each(30_000, |i| format!("t{i}, "))));
    add("watered", format!("watered: [{}]", each(30_000, |i| format!("p{i}, "))));
    add("sown", format!("sown:\n{}", "  - tomato\n".repeat(15_000)));
    add("picked", format!("picked:\n{}", each(10_000, |i| format!("  - {{tomato: {i} g}}\n"))));
    add("decimal commas", "picked: {pepper: 1,5 kg}\n".repeat(9_000));
    add("a huge count", "sown: {tomato: 4000000000}".to_owned());
    add("a huge weight", "picked: {tomato: 1e308 kg}".to_owned());
    add("sown again daily", "sown: {radish: {count: 20, sow-again: {every: 1 day}}}".to_owned());
    fronts.push(Input {
        name: "a far day".to_owned(),
        path: "journal/a.md",
        text: "---\ndate: 9999-12-31\n---\n".to_owned(),
    });
    fronts.push(Input {
        name: "an old day".to_owned(),
        path: "journal/a.md",
        text: "---\ndate: 1800-01-01\nsown: tomato\n---\n".to_owned(),
    });
    fronts
}

fn tables() -> Vec<Input> {
    let table =
        |name: &str, text: String| Input { name: name.to_owned(), path: "weather/2026.csv", text };
    let days = |text: &str| format!("date,low,high\n{text}");
    vec![
        table("100,000 columns", format!("date,low,high{}\n", each(100_000, |i| format!(",c{i}")))),
        table("a column 100,000 times", format!("date,low,high{}\n", ",x".repeat(100_000))),
        table("a row of 500,000 cells", days(&"1,".repeat(500_000))),
        table("a day 60,000 times", days(&"2026-01-01,1,2\n".repeat(60_000))),
        table("110,000 bad days", days(&"x,1,2\n".repeat(110_000))),
        table("a quote without end", days(&format!("\"{}", "a".repeat(1_000_000)))),
        table("a line of 1 MB", "a".repeat(1_000_000)),
        table("a gap of centuries", days("1800-01-01,1,2\n2026-01-01,1,2\n")),
    ]
}

fn sheets() -> Vec<Input> {
    let sheet = |name: &str, path, text: String| Input { name: name.to_owned(), path, text };
    let crop = |keys: String| format!("---\ncrop: zig\nfamily: Zig\n{keys}\n---\n");
    let rule = |i| format!("  - {{id: r{i}, task: weed, every: 1 week, why: so}}\n");
    vec![
        sheet("rules", "crops/zig.md", crop(format!("care:\n{}", each(4_500, rule)))),
        sheet(
            "varieties",
            "crops/zig.md",
            crop(format!("varieties:\n{}", each(10_000, |i| format!("  - {{name: v{i}}}\n")))),
        ),
        sheet(
            "names",
            "crops/zig.md",
            crop(format!("also-called: [{}]", each(30_000, |i| format!("z{i}, ")))),
        ),
        sheet(
            "parts",
            "mixes/m.md",
            format!("---\nname: m\nparts: {{{}}}\n---\n", each(20_000, |i| format!("a{i}: 1, "))),
        ),
        sheet(
            "a huge bed",
            "places/m.md",
            "---\nname: m\nkind: bed\nwidth: 99999999 m\nlength: 99999999 m\n---\n".to_owned(),
        ),
        sheet(
            "settings",
            "garden.yaml",
            format!("{GARDEN}{}", each(20_000, |i| format!("k{i}: 1\n"))),
        ),
        sheet("deep settings", "garden.yaml", format!("{GARDEN}feed: {}", many("["))),
        sheet(
            "settings of 1 MB",
            "garden.yaml",
            format!("{GARDEN}about: {}", "a".repeat(1_000_000)),
        ),
    ]
}

/// The tables of the world are searched where they stand in the program.
#[test]
fn a_town_and_its_climate_are_looked_up_in_five_milliseconds() {
    for name in ["Kassel", "Springfield, Missouri", "東京", "St. Gallen", "Monaco di Baviera"] {
        let look_up = || {
            let start = Instant::now();
            let Found::One(town) = towns::find(name) else { panic!("{name}") };
            let (latitude, longitude) = (town.latitude_deg(), town.longitude_deg());
            assert!(WorldClimate::at(latitude, longitude, town.elevation_m()).is_some(), "{name}");
            start.elapsed()
        };
        // The quickest, since the machine may do other things; of a debug build.
        let quickest = (0..9).map(|_| look_up()).min().expect("nine times");
        println!("{name}: {quickest:?}");
        assert!(quickest < Duration::from_millis(5), "{name}: {quickest:?}");
    }
}
