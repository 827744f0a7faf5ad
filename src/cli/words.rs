//! `trug words`: everything that can be written, and what one of it means.

use std::fmt::Write as _;

use crate::catalogue::{Catalogue, Crop};
use crate::cli::arguments::{Schema, Words};
use crate::cli::{Failure, Outcome, tell};
use crate::diagnostics::asked::Kind;
use crate::diagnostics::codes::Code;
use crate::diagnostics::words::{Tick, a, nearest};
use crate::happening::Happening;
use crate::jobs::{CARE, Job};
use crate::journal::short::words::{KEYS, Tells, Way, plain};
use crate::schemas;
use crate::stage::Stage;
use crate::units;

pub(super) fn run(arguments: &Words) -> Result<Outcome, Failure> {
    let text = match (&arguments.schema, &arguments.word) {
        (Some(Schema::Entry), _) => format!("{:#}\n", schemas::entry()),
        (Some(Schema::Garden), _) => format!("{:#}\n", schemas::garden()),
        (None, None) => all(),
        (None, Some(word)) => one(word)?,
    };
    tell::out(&text)?;
    Ok(Outcome::Fine)
}

/// What is written behind units, by what they measure.
const MEASURES: &[(units::Kind, &str)] = &[
    (units::Kind::Mass, "300 g"),
    (units::Kind::Volume, "0.5 L"),
    (units::Kind::Length, "45 cm"),
    (units::Kind::Area, "1.2 m²"),
    (units::Kind::Temperature, "12 °C"),
    (units::Kind::Hours, "8 h"),
    (units::Kind::Days, "3 weeks"),
];

fn all() -> String {
    let mut out = String::from("Short lines of an entry\n");
    for (key, _, example) in KEYS {
        row(&mut out, key, &format!("{key}: {example}"));
    }
    out.push_str("\nStages, behind `is:`\n");
    for stage in Stage::NOTED {
        row(
            &mut out,
            stage.word(),
            &format!("events: [{{planting: pea-26, is: {}}}]", stage.word()),
        );
    }
    out.push_str("\nWhat else can happen, behind `is:`\n");
    for what in Happening::OTHERS {
        row(
            &mut out,
            what.word(),
            &format!("events: [{{planting: pea-26, is: {}, count: 3}}]", what.word()),
        );
    }
    out.push_str("\nWork, behind `did:`\n");
    for job in CARE {
        row(&mut out, job.word(), &care_line(job));
    }
    for shape in schemas::keys() {
        let _ = writeln!(out, "\nKeys of {}", shape.what);
        for key in shape.keys.iter().filter(|key| key.kind != Kind::Short) {
            let needed = if key.is_needed { ", needed" } else { "" };
            row(&mut out, key.name, &format!("{}{needed}", takes(&key.kind)));
        }
    }
    out.push_str("\nUnits\n");
    for (measure, example) in MEASURES {
        let names: Vec<&str> = units::symbols(*measure).collect();
        row(&mut out, example, &names.join(" "));
    }
    out.push_str("\nCrops\n");
    for (_, crop) in Catalogue::built_in().crops() {
        row(&mut out, &crop.name, &crop.also_called.join(", "));
    }
    out.push_str("\nOne of them, or a problem, is explained by `trug words picked`, `trug words bad-date`.\n");
    out
}

fn row(out: &mut String, name: &str, what: &str) {
    let line = format!("  {name:<18} {what}");
    let _ = writeln!(out, "{}", line.trim_end());
}

/// What stands behind a key, in words.
fn takes(kind: &Kind) -> String {
    match kind {
        Kind::Any => "a value or a list".to_owned(),
        Kind::Single => "a text, number or quantity".to_owned(),
        Kind::Words(words) => words.join(" | "),
        Kind::Flag => "true | false".to_owned(),
        Kind::Number => "a number".to_owned(),
        Kind::Singles => "one name, or a list of names".to_owned(),
        Kind::Map(_) => "keys of its own in braces".to_owned(),
        Kind::Maps(_) => "a list of lines".to_owned(),
        Kind::Short => "a name, a list of names, or names with amounts".to_owned(),
    }
}

fn care_line(job: &Job) -> String {
    let wait = if *job == Job::Treat { ", wait: 3 days" } else { "" };
    format!("care: [{{planting: pea-26, did: {}{wait}}}]", job.word())
}

/// Everything that a word means, each in a paragraph.
fn one(word: &str) -> Result<String, Failure> {
    let wanted = plain(word);
    let mut found = Vec::new();
    found.extend(
        KEYS.iter()
            .find(|(key, ..)| *key == wanted)
            .map(|(key, tells, example)| short(key, tells, example)),
    );
    let stage = Stage::NOTED.iter().find(|stage| stage.word() == wanted).map(|stage| stage.word());
    let other = Happening::OTHERS.iter().map(|what| what.word()).find(|what| *what == wanted);
    if let Some(what) = stage.or(other) {
        let kind = if stage.is_some() { "a stage" } else { "what can happen to plants" };
        found.push(format!(
            "`{what}` behind `is:` is {kind}.\n  events: [{{planting: pea-26, is: {what}}}]"
        ));
    }
    found.extend(CARE.iter().find(|job| job.word() == wanted).map(|job| {
        format!("`{}` behind `did:` is work that was done.\n  {}", job.word(), care_line(job))
    }));
    for shape in schemas::keys() {
        let key =
            shape.keys.iter().find(|key| plain(key.name) == wanted && key.kind != Kind::Short);
        found.extend(key.map(|key| {
            let needed = if key.is_needed { "; it has to be there" } else { "" };
            format!("`{}` is a key of {}: {}{needed}.", key.name, shape.what, takes(&key.kind))
        }));
    }
    for (measure, example) in MEASURES {
        let names: Vec<&str> = units::symbols(*measure).collect();
        if names.iter().any(|name| name.eq_ignore_ascii_case(word)) {
            found.push(format!(
                "`{word}` is a unit, as in `{example}`; of its kind are {}.",
                names.join(", ")
            ));
        }
    }
    let catalogue = Catalogue::built_in();
    found.extend(catalogue.find(&wanted).map(|id| crop(catalogue.get(id))));
    found.extend(Code::ALL.iter().find(|code| code.word() == word.to_lowercase()).map(|code| {
        format!(
            "`{}` is {} that trug tells. {}",
            code.word(),
            a(code.severity().word()),
            code.explanation()
        )
    }));
    if !found.is_empty() {
        return Ok(format!("{}\n", found.join("\n\n")));
    }
    let shapes = schemas::keys();
    let keys = shapes.iter().flat_map(|shape| shape.keys.iter().map(|key| key.name));
    let known = keys
        .chain(KEYS.iter().map(|(key, ..)| *key))
        .chain(Code::ALL.iter().map(|code| code.word()));
    let known = known.chain(CARE.iter().map(Job::word)).chain(catalogue.names());
    let hint = nearest(word, known).map_or("; `trug words` prints them all".to_owned(), |near| {
        format!("; did you mean {}?", Tick(near))
    });
    Err(Failure(format!("{} is no word of trug's{hint}", Tick(word))))
}

fn short(key: &str, tells: &Tells, example: &str) -> String {
    let (what, long) = match tells {
        Tells::Did(job) => ("says what was done, to all that are meant", care_line(job)),
        Tells::Happened(what) => (
            "says what happened to one planting; a number is how many reached it or went",
            format!("events: [{{planting: pea-26, is: {}}}]", what.word()),
        ),
        Tells::Picked => (
            "says what was picked: a weight (`300 g`), a number (`25`, `3 bunches`), both (`300 g and 25`), or `some` \
             where nobody weighed; `dried` behind a weight for what was weighed dry",
            "harvests: [{planting: pepper-26, weight: 300 g, count: 25}]".to_owned(),
        ),
        Tells::Began(way) => (
            "begins a planting: a crop, a variety behind it, `in` a place, and how many; `as` gives it an id, `for` says \
             where it is to end up",
            match way {
                Way::Sown => {
                    "plantings: [{id: bean-26, crop: dwarf bean, place: long bed, sown: 24}]"
                }
                Way::Planted => {
                    "plantings: [{id: spud-26, crop: potato, place: potato bags, planted: 8}]"
                }
                Way::Bought => {
                    "plantings: [{id: tom-26, crop: tomato, place: cold frame, bought: 6}]"
                }
            }
            .to_owned(),
        ),
        Tells::Seen => (
            "says what was seen on plants, and behind a comma how bad it is",
            "seen: [{planting: kale-26, what: whitefly, how-bad: some}]".to_owned(),
        ),
        Tells::Cost => (
            "says what was paid, `for` a planting, crop or place if you like",
            "costs: [{what: seed compost, amount: 50 L, price: 7.20}]".to_owned(),
        ),
    };
    format!("`{key}` begins a short line and {what}.\n  {key}: {example}\nIn long:\n  {long}")
}

fn crop(crop: &Crop) -> String {
    let also = match crop.also_called.as_slice() {
        [] => String::new(),
        names => format!(", also called {}", names.join(", ")),
    };
    format!("`{}` is a crop{also}.\n  sown: {{{} in long bed: 24}}", crop.name, crop.name)
}
