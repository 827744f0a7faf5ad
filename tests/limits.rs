//! What no grower writes: nothing in the content makes trug run for minutes or fill the memory. Each input is
//! published by the program itself, in a process whose address space is limited, and has to be through in twenty seconds of a
//! debug build.

#![expect(clippy::disallowed_methods, reason = "each input lies in a folder of its own")]

use std::fs;
use std::path::Path;
use std::process::{Command, Stdio};
use std::time::{Duration, Instant};

/// In KB of 1,024 bytes: 1 GB, and what the program itself takes of the address space before it reads anything.
const MOST_MEMORY_KB: u64 = 1_500_000;
/// A garden of so many bytes is published in a second or two in a debug build, on a machine that does other work too.
const MOST_TIME: Duration = Duration::from_secs(20);
/// Bytes of an input that repeats a sign: the most that is read of a text.
const FULL: usize = 250_000;

struct Input {
    name: String,
    path: &'static str,
    text: String,
}

#[test]
fn no_input_takes_minutes_or_all_memory() {
    let inputs = inputs();
    assert!(inputs.len() >= 60, "{}", inputs.len());
    let (some, others) = inputs.split_at(inputs.len() / 2);
    let wrong: Vec<String> = std::thread::scope(|scope| {
        let lanes = [some, others].map(|inputs| {
            scope.spawn(move || inputs.iter().filter_map(trouble).collect::<Vec<_>>())
        });
        lanes.into_iter().flat_map(|lane| lane.join().expect("a lane")).collect()
    });
    assert!(wrong.is_empty(), "{}", wrong.join("\n"));
}

/// Why an input is not read as it should be.
fn trouble(input: &Input) -> Option<String> {
    let folder = tempfile::tempdir().expect("a folder");
    let content = folder.path().join("content");
    fs::create_dir_all(content.join("journal")).expect("a folder");
    fs::write(content.join("garden.yaml"), GARDEN).expect("a file");
    let path = content.join(input.path);
    fs::create_dir_all(path.parent().expect("a parent")).expect("a folder");
    fs::write(path, &input.text).expect("a file");
    let start = Instant::now();
    let code = published(folder.path());
    let seconds = start.elapsed().as_secs_f64();
    match code {
        // 0: published; 1: told what is wrong. A panic, a kill and a lack of memory have other numbers.
        Some(0 | 1) => None,
        None => Some(format!("{}: stopped after {seconds:.1} s", input.name)),
        Some(code) => Some(format!("{}: ended with {code} after {seconds:.1} s", input.name)),
    }
}

fn published(folder: &Path) -> Option<i32> {
    let command = format!("ulimit -v {MOST_MEMORY_KB}; exec \"$0\" publish --on 2026-06-20");
    let mut child = Command::new("sh")
        .args(["-c", &command, env!("CARGO_BIN_EXE_trug")])
        .current_dir(folder)
        .stdout(Stdio::null())
        .stderr(Stdio::null())
        .spawn()
        .expect("a shell");
    let start = Instant::now();
    loop {
        match child.try_wait().expect("a child") {
            Some(status) => return status.code(),
            None if start.elapsed() > MOST_TIME => {
                child.kill().expect("a child");
                child.wait().expect("a child");
                return None;
            }
            None => std::thread::sleep(Duration::from_millis(5)),
        }
    }
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
