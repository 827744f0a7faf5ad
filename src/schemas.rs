//! What an editor is told of the keys of entries and of garden.yaml: JSON Schemas (draft 7, which editors know best),
//! made of what the readers themselves ask for.

use serde_json::{Map, Value, json};

use crate::diagnostics::asked::{Key, Kind, Shape};
use crate::diagnostics::problem::Problems;
use crate::journal::entry::read_entry;
use crate::journal::short::words;
use crate::origin::{FileId, Origin};
use crate::settings::{FILE, Settings};
use crate::source::files::File;
use crate::source::front_matter::read_yaml;

/// An entry and a garden.yaml in which each map that can be written stands once, so that each reader asks.
const ENTRY: &str = "---
date: 2026-01-01
plantings: [{id: a, crop: pea, seed: {year: 2025}, sow-again: {every: 3 weeks}}]
events: [{planting: a, is: emerged}]
care: [{planting: a, did: water}]
harvests: [{planting: a, count: 1}]
seen: [{planting: a, what: slugs}]
tests: [{seed: pea, tried: 10, sprouted: 6}]
weather: {low: 1 °C}
costs: [{what: seed, price: 1}]
photos: [{file: a.jpg, shows: a}]
---
";
const SETTINGS: &str = "
name: A
place: {latitude: 50, longitude: 4, time-zone: Europe/Brussels}
climate:
  low: [0, 0, 0, 0, 0, 0, 0, 0, 0, 0, 0, 0]
  high: [1, 1, 1, 1, 1, 1, 1, 1, 1, 1, 1, 1]
frost: {last-spring: {50%: 04-22}, first-autumn: {50%: 10-24}}
feed: {look-ahead: 60 days}
tasks: {weed: off}
groups: {tubs: [a]}
stock: [{what: perlite, amount: 20 L}]
away: [{from: 08-01, to: 08-14}]
neighbours: [neighbours]
";

/// The schema of an entry's front matter.
pub fn entry() -> Value {
    schema("an entry of trug's journal", &asked(ENTRY).1)
}

/// The schema of garden.yaml.
pub fn garden() -> Value {
    schema("garden.yaml of trug", &asked(SETTINGS).1)
}

/// The keys that can be written, by what they are keys of: those of entries, then those of garden.yaml.
pub(crate) fn keys() -> Vec<Shape> {
    let mut all: Vec<Shape> = Vec::new();
    for shape in [asked(ENTRY).1, asked(SETTINGS).1].concat() {
        if all.iter().all(|known| known.what != shape.what) {
            all.push(shape);
        }
    }
    all
}

fn asked(sample: &str) -> (Problems, Vec<Shape>) {
    let mut problems = Problems::listening();
    let file = |path: &str| File {
        id: FileId(0),
        path: path.to_owned(),
        bytes: sample.as_bytes().to_vec(),
    };
    if sample == ENTRY {
        read_entry(&file("journal/a.md"), &[], &mut problems);
    } else if let Some(map) = read_yaml(&file(FILE), &mut problems) {
        Settings::read(&map, &mut problems);
    }
    let shapes = problems.heard().to_vec();
    (problems, shapes)
}

fn schema(title: &str, shapes: &[Shape]) -> Value {
    // A map is read before what it stands in.
    let Some((whole, parts)) = shapes.split_last() else { return Value::Null };
    let mut schema = of_map(whole, parts);
    schema["title"] = title.into();
    schema["$schema"] = "http://json-schema.org/draft-07/schema#".into();
    schema
}

fn of_map(shape: &Shape, parts: &[Shape]) -> Value {
    let (mut properties, mut patterns) = (Map::new(), Map::new());
    for key in &shape.keys {
        if key.kind == Kind::Short {
            // With a capital letter, too, as phones write it, and with hyphens for spaces.
            let (first, rest) = key.name.split_at(1);
            let spelled = rest.replace(' ', "[ -]");
            let pattern = format!("^[{first}{}]{spelled}$", first.to_uppercase());
            patterns.insert(pattern, of_key(key, parts));
            properties.insert(key.name.to_owned(), of_key(key, parts));
        } else {
            properties.insert(key.name.to_owned(), of_key(key, parts));
        }
    }
    // The date may stand in the file's name.
    let needed = shape.keys.iter().filter(|key| key.is_needed && key.name != "date");
    let needed: Vec<&str> = needed.map(|key| key.name).collect();
    // A garden has words of its own for work; they are keys of entries.
    let is_open = !patterns.is_empty();
    let mut schema = json!({"type": "object", "description": shape.what, "properties": properties});
    if is_open {
        schema["patternProperties"] = Value::Object(patterns);
    } else {
        schema["additionalProperties"] = false.into();
    }
    if !needed.is_empty() {
        schema["required"] = json!(needed);
    }
    schema
}

fn of_key(key: &Key, parts: &[Shape]) -> Value {
    let single = json!({"type": ["string", "number"]});
    let opened = |at: &Origin| parts.iter().find(|part| part.at == *at);
    let inside = |at: Option<&Origin>| match at.and_then(opened) {
        Some(part) => of_map(part, parts),
        None => json!({"type": "object"}),
    };
    match &key.kind {
        Kind::Any => json!({}),
        Kind::Single => single,
        Kind::Words(words) => json!({"enum": words}),
        Kind::Flag => json!({"type": "boolean"}),
        Kind::Number => json!({"type": "number"}),
        Kind::Singles => json!({"anyOf": [single.clone(), {"type": "array", "items": single}]}),
        Kind::Map(at) => inside(at.as_ref()),
        // `seen` is a list of lines, or a short line.
        Kind::Maps(at) if words::KEYS.iter().any(|(word, ..)| *word == key.name) => {
            json!({"anyOf": [{"type": "array", "items": inside(at.first())}, {"type": ["string", "object"]}]})
        }
        Kind::Maps(at) => json!({"type": "array", "items": inside(at.first())}),
        Kind::Short => json!({
            "type": ["string", "array", "object"],
            "description": format!("{}: {}", key.name, words::example(key.name)),
        }),
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    /// Every key of a map in the sample stands in the schema, and what is below it likewise.
    fn check(node: &crate::source::front_matter::Map, schema: &Value) {
        use crate::source::front_matter::Value as Written;
        for (key, value) in &node.pairs {
            let own = &schema["properties"][&key.value];
            assert!(own.is_object(), "{}: {schema}", key.value);
            let below = if own["items"].is_object() { &own["items"] } else { own };
            match &value.value {
                Written::Map(map) if below["properties"].is_object() => check(map, below),
                Written::List(items) => items.iter().for_each(|item| {
                    if let Written::Map(map) = &item.value
                        && own["anyOf"].is_null()
                    {
                        assert!(below["properties"].is_object(), "{}", key.value);
                        check(map, below);
                    }
                }),
                _ => {}
            }
        }
    }

    #[test]
    fn the_schemas_hold_what_the_readers_ask_for() {
        for (sample, schema) in [(ENTRY, entry()), (SETTINGS, garden())] {
            let (problems, shapes) = asked(sample);
            assert!(problems.is_empty(), "{problems:?}");
            let yaml = sample.trim_start_matches("---\n").trim_end_matches("---\n");
            let file =
                File { id: FileId(0), path: "a".to_owned(), bytes: yaml.as_bytes().to_vec() };
            let map = read_yaml(&file, &mut Problems::new()).unwrap();
            check(&map, &schema);
            // And nothing else: each key of each shape is asked for by a reader.
            let asked: usize = shapes.last().unwrap().keys.len();
            assert_eq!(schema["properties"].as_object().unwrap().len(), asked);
        }
        let entry = entry();
        assert_eq!(entry["properties"]["events"]["items"]["properties"]["is"]["enum"][0], "sown");
        assert_eq!(entry["properties"]["events"]["items"]["additionalProperties"], false);
        assert_eq!(entry["properties"]["private"]["type"], "boolean");
        assert_eq!(entry["properties"]["costs"]["items"]["required"], json!(["what", "price"]));
        assert!(entry["patternProperties"]["^[pP]otted[ -]on$"].is_object(), "{entry}");
        assert_eq!(garden()["required"], json!(["name", "place"]));
    }
}
