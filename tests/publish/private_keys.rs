//! A secret in every key that an entry can have, from the table of keys itself: a key that is added one day is tried
//! the same day.

use std::collections::{BTreeMap, BTreeSet};

use serde_json::Value;
use trug::diagnostics::codes::Severity;
use trug::publish::publish;
use trug::render::sink::MemorySink;

use crate::support::garden::{Site, Written};

type Pairs = &'static [(&'static str, &'static str)];

/// A line of each kind, with what it cannot do without; the key that is tried is added, or takes the place of one of these.
/// `OWN` is a planting that only this line is about, `NEW` one that it begins.
const LINES: &[(&str, &str, Pairs)] = &[
    ("an entry", "", &[]),
    ("a planting", "plantings", &[("id", "NEW"), ("crop", "kale"), ("sown", "9")]),
    ("seed", "plantings/seed", &[("year", "2025")]),
    ("sow-again", "plantings/sow-again", &[("every", "3 weeks")]),
    (
        "an event",
        "events",
        &[("planting", "OWN"), ("is", "potted on"), ("count", "4"), ("as", "NEW")],
    ),
    ("a care line", "care", &[("planting", "OWN"), ("did", "treat"), ("wait", "3 days")]),
    ("a harvest", "harvests", &[("planting", "OWN"), ("count", "1")]),
    ("a line under seen", "seen", &[("planting", "OWN"), ("what", "mites")]),
    ("a germination test", "tests", &[("seed", "kale"), ("tried", "10"), ("sprouted", "7")]),
    ("weather", "weather", &[("low", "4 °C")]),
    ("a cost", "costs", &[("what", "seed"), ("price", "7.20")]),
    ("a photo", "photos", &[("file", "open.jpg"), ("shows", "a bed")]),
];

/// Keys that take no word of the grower's own: who and where, by names of sheets and of crops; dates, numbers and amounts.
const NO_WORDS: &[(&str, &[&str])] = &[
    ("an entry", &["date"]),
    (
        "a planting",
        &[
            "crop",
            "place",
            "for",
            "on",
            "since",
            "aim",
            "sown",
            "planted",
            "bought",
            "uses",
            "shares-with",
        ],
    ),
    ("seed", &["year", "packet"]),
    ("sow-again", &["every", "until"]),
    ("an event", &["planting", "place", "crop", "except", "from", "mix", "count", "uses", "on"]),
    (
        "a care line",
        &["planting", "place", "crop", "except", "amount", "each", "wait", "old", "on"],
    ),
    ("a harvest", &["planting", "place", "crop", "except", "weight", "count", "on"]),
    ("a line under seen", &["planting", "place", "crop", "except", "on"]),
    ("a germination test", &["tried", "sprouted", "days", "on"]),
    ("weather", &["low", "high", "rain"]),
    ("a cost", &["amount", "for", "on"]),
];

/// One key of an entry, and an entry that has a secret there.
struct Trial {
    what: String,
    key: String,
    /// Whether the key is that of a short line.
    is_short: bool,
    secret: String,
    number: usize,
    /// Front matter and prose.
    text: [String; 2],
}

impl Trial {
    fn path(&self) -> String {
        format!("journal/qzpath/{}.md", self.secret.replace('.', "-"))
    }

    fn key(&self) -> (String, String) {
        (self.what.clone(), self.key.clone())
    }
}

/// What is written in each key, by what it is a key of.
fn keys(schema: &Value, found: &mut BTreeMap<(String, String), Value>) {
    match schema {
        Value::Object(map) => {
            if let (Some(what), Some(keys)) = (map.get("description"), map.get("properties")) {
                for (key, value) in keys.as_object().unwrap() {
                    found.insert((what.as_str().unwrap().to_owned(), key.clone()), value.clone());
                }
            }
            map.values().for_each(|value| keys(value, found));
        }
        Value::Array(items) => items.iter().for_each(|item| keys(item, found)),
        _ => {}
    }
}

fn is_short(schema: &Value) -> bool {
    let is_example = schema["description"].as_str().is_some_and(|text| text.contains(": "));
    // `seen` is a short line or a list of long ones.
    is_example || schema["anyOf"][1]["type"][1] == "object"
}

/// What can be tried in a key: nothing where only trug's own words or further keys can stand.
fn values(key: &str, schema: &Value) -> &'static [&'static str] {
    let kinds: Vec<&Value> = match &schema["anyOf"] {
        Value::Array(kinds) => kinds.iter().map(|kind| &kind["type"]).collect(),
        _ => vec![&schema["type"]],
    };
    let is_of = |kind: &str| {
        let is_it = |own: &&Value| {
            **own == kind || own.as_array().is_some_and(|own| own.contains(&kind.into()))
        };
        kinds.iter().any(is_it)
    };
    match key {
        _ if is_short(schema) => &[
            "SECRET",
            "{OWN: SECRET}",
            "{OWN: 3 SECRET}",
            "{OWN: SECRET wait 3 days}",
            "{OWN: 1 into SECRET}",
            "{OWN: 1 to SECRET}",
            "{kale SECRET: 3}",
            "{SECRET: 7.20}",
        ],
        "file" => &["SECRET.jpg"],
        _ if is_of("string") || schema.as_object().is_some_and(serde_json::Map::is_empty) => {
            &["SECRET"]
        }
        _ if is_of("number") => &["NUMBER"],
        _ => &[],
    }
}

/// An entry for each value that can be tried in each key.
fn trials() -> Vec<Trial> {
    let mut all = BTreeMap::new();
    keys(&trug::schemas::entry(), &mut all);
    let mut trials = Vec::new();
    for ((what, key), schema) in &all {
        let line = LINES.iter().find(|(of, ..)| of == what);
        let (_, list, usual) = line.unwrap_or_else(|| panic!("no line with {what} is here"));
        for value in values(key, schema) {
            let mut line: BTreeMap<&str, &str> = usual.iter().copied().collect();
            line.insert(key, value);
            let pairs: Vec<String> =
                line.iter().map(|(key, value)| format!("{key}: {value}")).collect();
            let inside = pairs.join(", ");
            let front = match *list {
                "" => inside,
                "weather" => format!("weather: {{{inside}}}"),
                _ => match list.split_once('/') {
                    Some((list, part)) => {
                        format!("{list}: [{{id: NEW, crop: kale, sown: 9, {part}: {{{inside}}}}}]")
                    }
                    None => format!("{list}: [{{{inside}}}]"),
                },
            };
            let number = trials.len();
            let secret = match *value {
                // The secret is the number itself.
                "NUMBER" => format!("{}.37", 700 + number),
                _ => {
                    let letter = |place: usize| {
                        char::from(b'a' + u8::try_from(number / place % 26).unwrap())
                    };
                    format!("qz{}{}x", letter(26), letter(1))
                }
            };
            let front = front.replace("SECRET", &secret).replace("NUMBER", &secret);
            let front = front.replace("OWN", &format!("own-{number}"));
            let front = front.replace("NEW", &format!("new-{number}"));
            let is_short = is_short(schema);
            let (what, key, prose) = (what.clone(), key.clone(), String::new());
            trials.push(Trial { what, key, is_short, secret, number, text: [front, prose] });
        }
    }
    trials.push(Trial {
        what: "an entry".to_owned(),
        key: "prose".to_owned(),
        is_short: false,
        secret: "qzprose".to_owned(),
        number: trials.len(),
        text: [String::new(), "Qzprose.".to_owned()],
    });
    trials
}

/// A garden with these entries, each at an address that says a word, too.
fn garden(trials: &[Trial], privacy: &str) -> Written {
    let own =
        |trial: &Trial| format!("{{id: own-{}, crop: tomato, sown: 12, place: Bed}}", trial.number);
    let own: Vec<String> = trials.iter().map(own).collect();
    let jobs: Vec<&str> = trials.iter().map(|trial| trial.secret.as_str()).collect();
    let mut garden = Written::new()
        .also_set(&format!("jobs: [{}]", jobs.join(", ")))
        .entry("2026-03-20", &format!("plantings: [{}]", own.join(", ")), "")
        .photo("photos/open.jpg", crate::publish::photos::taken(40, 30));
    for trial in trials {
        let [front, prose] = &trial.text;
        let date = if trial.key == "date" { "" } else { "date: 2026-05-02\n" };
        let text = format!("---\n{date}{privacy}{front}\n---\n{prose}\n");
        garden = garden.with(&trial.path(), &text);
        if trial.key == "file" {
            let path = format!("photos/{}.jpg", trial.secret);
            garden = garden.photo(&path, crate::publish::photos::taken(40, 30));
        }
    }
    garden
}

/// The entries that have no error in them.
fn accepted(mut trials: Vec<Trial>, privacy: &str) -> Vec<Trial> {
    loop {
        let inputs = garden(&trials, privacy).inputs();
        let (_, problems) = trug::publish::read(&inputs);
        let errors = problems.into_sorted().into_iter();
        let errors = errors.filter(|problem| problem.severity() == Severity::Error);
        let paths: BTreeSet<String> = errors
            .map(|problem| inputs.content.get(problem.at.file().unwrap()).unwrap().path.clone())
            .collect();
        if paths.is_empty() {
            return trials;
        }
        let before = trials.len();
        trials.retain(|trial| !paths.contains(&trial.path()));
        assert!(trials.len() < before, "{paths:?}");
    }
}

fn told(trials: &[Trial], site: &Site, is_there: bool) -> Vec<String> {
    let wrong = |trial: &&Trial| site.holding(&trial.secret).is_empty() == is_there;
    let tell = |trial: &Trial| {
        format!("{}: `{}`: {:?}", trial.what, trial.key, site.holding(&trial.secret))
    };
    trials.iter().filter(wrong).map(tell).collect()
}

#[test]
fn a_secret_in_any_key_is_in_no_byte_of_the_site() {
    let all = trials();
    let tried = all.iter().filter(|trial| !trial.is_short);
    let tried: BTreeSet<_> = tried.map(Trial::key).collect();
    let trials = accepted(all, "private: true\n");
    let (site, _) = garden(&trials, "private: true\n").site_and_problems();
    assert_eq!(told(&trials, &site, false), Vec::<String>::new());
    let short: BTreeSet<_> = trials.iter().filter(|trial| trial.is_short).map(Trial::key).collect();
    assert!(short.len() >= 20 && trials.len() >= 100, "{} {short:?}", trials.len());
    // A key that takes no word has to be known for one.
    let taken: BTreeSet<_> = trials.iter().map(Trial::key).collect();
    let known = NO_WORDS.iter().flat_map(|(what, keys)| keys.iter().map(|key| (*what, *key)));
    let known: BTreeSet<_> = known.map(|(what, key)| (what.to_owned(), key.to_owned())).collect();
    assert_eq!(tried.difference(&taken).cloned().collect::<BTreeSet<_>>(), known);
}

/// The test above can fail: in open entries each of the secrets is shown. Once they are made private, the feeds that are
/// already on phones say none of it again.
#[test]
fn a_secret_of_any_key_is_forgotten_when_its_entry_is_made_private() {
    let trials = accepted(trials(), "");
    let (open, _) = garden(&trials, "").site_and_problems();
    assert_eq!(told(&trials, &open, true), Vec::<String>::new());
    let mut inputs = garden(&trials, "private: true\n").inputs();
    inputs.earlier_feeds =
        open.files.into_iter().filter(|(path, _)| path.ends_with(".ics")).collect();
    let mut sink = MemorySink::new();
    assert!(publish(&inputs, &mut sink).unwrap().is_complete);
    assert_eq!(told(&trials, &Site::of(sink), false), Vec::<String>::new());
}
