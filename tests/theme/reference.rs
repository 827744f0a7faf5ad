//! The reference in themes/README.md, made from the views, the templates and the words.

use std::collections::{BTreeMap, BTreeSet};
use std::fmt::Write as _;

use crate::theme::types::{FLATTENED, Key, Types};

/// What each template is given, what that is made of, the components and the words.
pub fn reference(
    sources: &[(String, String)],
    templates: &BTreeMap<String, String>,
    words: &str,
) -> String {
    let types = Types::of(sources);
    let mut text = String::from("## What each template is given\n");
    let mut wanted: BTreeSet<Key> = BTreeSet::new();
    let views = views(sources);
    for (template, view) in &views {
        let told = &types.told.get(view).unwrap_or_else(|| panic!("no view {view:?}"));
        write!(text, "\n### `{template}`\n{}\n\n", told.sentence).unwrap();
        list(&mut text, &types, view, &mut wanted);
    }
    text.push_str("\n## What those are made of\n");
    let mut done: BTreeSet<Key> = views.values().cloned().collect();
    let mut made = BTreeMap::new();
    while let Some(key) = wanted.pop_first() {
        if done.insert(key.clone()) {
            let mut part =
                format!("\n### {}\n{}\n\n", heading(&types, &key), types.told[&key].sentence);
            list(&mut part, &types, &key, &mut wanted);
            made.insert((key.1.clone(), key.0.clone()), part);
        }
    }
    text.extend(made.into_values());
    text.push_str("\n## Components\n\nWritten `{{ <name of={value} /> }}`; what has a value here can be left out.\n\n");
    for (file, template) in templates {
        components(&mut text, file, template);
    }
    text.push_str("\n## Words\n\nBy the beginning of their keys, with one of each.\n\n");
    all_words(&mut text, words);
    text
}

/// The view of each template.
pub fn views(sources: &[(String, String)]) -> BTreeMap<String, Key> {
    let mut views = BTreeMap::new();
    for (path, text) in sources {
        for part in text.split("\nimpl Page for ").skip(1) {
            let (view, rest) = part.split_once(" {").unwrap();
            let template = rest.split("const TEMPLATE: &'static str = \"").nth(1);
            let template = template.and_then(|rest| rest.split('"').next()).expect("a template");
            views.insert(template.to_owned(), (path.clone(), view.to_owned()));
        }
    }
    views
}

/// The name of a type, with its file where two have one of that name.
fn heading(types: &Types, key: &Key) -> String {
    let is_alone = types.told.keys().filter(|(_, name)| *name == key.1).count() == 1;
    let file = key.0.trim_end_matches(".rs").replace(['/', '_'], " ");
    if is_alone { key.1.clone() } else { format!("{} ({file})", key.1) }
}

fn list(text: &mut String, types: &Types, key: &Key, wanted: &mut BTreeSet<Key>) {
    for (name, kind, sentence) in &types.told[key].parts {
        if name == FLATTENED {
            let inner = types.meant(&key.0, kind).unwrap_or_else(|| panic!("what is {kind}?"));
            list(text, types, &inner, wanted);
            continue;
        }
        let kind = kind_of(types, &key.0, kind, wanted);
        let kind = if kind.is_empty() { kind } else { format!(" *{kind}*") };
        // A field whose name says it all has no sentence.
        let colon = if sentence.is_empty() { "" } else { ": " };
        writeln!(text, "- `{name}`{kind}{colon}{sentence}").unwrap();
    }
}

/// A type in plain words; those that are told elsewhere by their name.
fn kind_of(types: &Types, path: &str, kind: &str, wanted: &mut BTreeSet<Key>) -> String {
    let inner = |head: &str| kind.strip_prefix(head)?.strip_suffix('>');
    if let Some(inner) = inner("Vec<") {
        return format!("list of {}", kind_of(types, path, inner, wanted));
    }
    if let Some(inner) = inner("Option<") {
        return format!("{} or nothing", kind_of(types, path, inner, wanted));
    }
    if let Some((inner, _)) = kind.strip_prefix('[').and_then(|rest| rest.rsplit_once(';')) {
        return format!("list of {}", kind_of(types, path, inner, wanted));
    }
    if let Some(inner) = inner("BTreeMap<") {
        let (key, value) = inner.split_once(", ").unwrap();
        let key = kind_of(types, path, key, wanted);
        return format!("{} by {key}", kind_of(types, path, value, wanted));
    }
    if let Some(inner) = kind.strip_prefix('(').and_then(|rest| rest.strip_suffix(')')) {
        let parts: Vec<String> =
            inner.split(", ").map(|part| kind_of(types, path, part, wanted)).collect();
        return format!("pair of {}", parts.join(" and "));
    }
    let plain = match kind {
        "" => "",
        "String" | "&'static str" | "str" => "text",
        "bool" => "true or false",
        "f64" | "usize" | "u8" | "u16" | "u32" | "u64" | "i32" | "i64" => "number",
        "NaiveDate" | "chrono::NaiveDate" => "date",
        _ => {
            let name = kind.rsplit("::").next().unwrap();
            let key = types.meant(path, name).unwrap_or_else(|| panic!("{path}: what is {kind}?"));
            wanted.insert(key.clone());
            return heading(types, &key);
        }
    };
    plain.to_owned()
}

/// Each with the comment above it.
fn components(text: &mut String, file: &str, template: &str) {
    let mut comment = None;
    for line in template.lines() {
        if let Some(words) = line.strip_prefix("{# ").and_then(|rest| rest.strip_suffix(" #}")) {
            comment = Some(words);
        }
        let Some(rest) = line.strip_prefix("{% component ") else { continue };
        let signature = rest.split_once(')').map_or(rest, |(signature, _)| signature);
        let what = comment.take().unwrap_or_else(|| panic!("{file}: a comment over {signature})"));
        writeln!(text, "- `{signature})` in {file}: {what}").unwrap();
    }
}

fn all_words(text: &mut String, words: &str) {
    let mut groups: BTreeMap<&str, Vec<(&str, &str)>> = BTreeMap::new();
    for line in words.lines().filter(|line| !line.starts_with(['#', ' '])) {
        let Some((key, sentence)) = line.split_once(": ") else { continue };
        let group = key.split('.').next().unwrap_or(key);
        groups.entry(group).or_default().push((key, sentence.trim_matches('\'')));
    }
    for (group, keys) in groups {
        let (key, sentence) = keys[0];
        if keys.len() == 1 {
            writeln!(text, "- `{key}`: {sentence}").unwrap();
        } else {
            writeln!(text, "- `{group}.…`, such as `{key}`: {sentence}").unwrap();
        }
    }
}
