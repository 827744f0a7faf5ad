//! The types of the views as their source tells them: fields, their types and the sentence above each.

use std::collections::BTreeMap;

/// A struct or enum that templates are given.
#[derive(Clone, Debug)]
pub struct Told {
    pub sentence: String,
    /// Name, type as Rust writes it, sentence; of an enum the type is empty.
    pub parts: Vec<(String, String, String)>,
}

/// A type by the file it stands in and its name: two files may have a `Bar` each.
pub type Key = (String, String);

/// All types that are written into templates, and what each file takes from others.
#[derive(Debug, Default)]
pub struct Types {
    pub told: BTreeMap<Key, Told>,
    imports: BTreeMap<Key, String>,
}

impl Types {
    /// Of every file of the source, by its path below `src`.
    pub fn of(sources: &[(String, String)]) -> Types {
        let mut types = Types::default();
        for (path, text) in sources {
            let text = text.split("#[cfg(test)]\nmod tests").next().unwrap_or(text);
            types.read_imports(path, text);
            types.read_types(path, text);
        }
        types
    }

    /// The type that a file means by a name.
    pub fn meant(&self, path: &str, name: &str) -> Option<Key> {
        let here = (path.to_owned(), name.to_owned());
        if self.told.contains_key(&here) {
            return Some(here);
        }
        let module = self.imports.get(&here)?;
        let there = |file: String| (file, name.to_owned());
        let found = [there(format!("{module}.rs")), there(format!("{module}/mod.rs"))];
        found.into_iter().find(|key| self.told.contains_key(key))
    }

    /// `use crate::a::{b, c::D};` and what is written out as `crate::a::D`.
    fn read_imports(&mut self, path: &str, text: &str) {
        let uses = text.split(";\n").filter_map(|one| one.rsplit_once("use crate::"));
        for (_, statement) in uses {
            let flat: String = statement.split_whitespace().collect();
            for (module, name) in spread("", &flat) {
                self.imports.insert((path.to_owned(), name), module);
            }
        }
    }

    fn read_types(&mut self, path: &str, text: &str) {
        let mut sentence = String::new();
        let mut is_serialized = false;
        let mut lines = text.lines();
        while let Some(line) = lines.next() {
            if let Some(words) = line.strip_prefix("///") {
                if is_serialized {
                    continue;
                }
                sentence.push_str(words);
            } else if line.starts_with("#[") {
                is_serialized |= line.contains("Serialize");
            } else {
                let name = ["pub struct ", "pub enum ", "pub(super) struct "]
                    .iter()
                    .find_map(|head| line.strip_prefix(head)?.strip_suffix(" {"));
                let by_hand = |name: &str| text.contains(&format!("impl Serialize for {name} {{"));
                if let Some(name) = name.filter(|name| is_serialized || by_hand(name)) {
                    let parts = parts(&mut lines);
                    let told = Told { sentence: sentence.trim().to_owned(), parts };
                    self.told.insert((path.to_owned(), name.to_owned()), told);
                }
                sentence.clear();
                is_serialized = false;
            }
        }
    }
}

/// The name of a part whose own parts stand in its place.
pub const FLATTENED: &str = "flattened";

/// Fields of a struct or variants of an enum, up to its end.
fn parts<'a>(lines: &mut impl Iterator<Item = &'a str>) -> Vec<(String, String, String)> {
    let mut parts = Vec::new();
    let mut sentence = String::new();
    let (mut is_skipped, mut is_flattened) = (false, false);
    for line in lines.by_ref().take_while(|line| *line != "}") {
        let line = line.trim();
        if let Some(words) = line.strip_prefix("///") {
            sentence.push_str(words);
        } else if line.starts_with("#[") {
            is_skipped |= line.contains("skip)");
            is_flattened |= line.contains("flatten)");
        } else {
            let line = line.trim_end_matches(',');
            let (name, kind) = line.split_once(": ").unwrap_or((line, ""));
            let name = name.trim_start_matches("pub ").split(['(', ' ']).next().unwrap_or("");
            let name = if is_flattened { FLATTENED } else { name };
            if !is_skipped && !name.is_empty() {
                parts.push((name.to_owned(), kind.to_owned(), sentence.trim().to_owned()));
            }
            sentence.clear();
            (is_skipped, is_flattened) = (false, false);
        }
    }
    parts
}

/// Module and name of everything that a flat `use` takes: `a::{self,B,c::{D,E}}`.
fn spread(module: &str, rest: &str) -> Vec<(String, String)> {
    if let Some((head, group)) = rest.split_once("::{").filter(|(head, _)| !head.contains('{')) {
        let inner = group.strip_suffix('}').unwrap_or(group);
        let module = join(module, head);
        return split_top(inner).iter().flat_map(|one| spread(&module, one)).collect();
    }
    match rest.rsplit_once("::") {
        Some((head, name)) => vec![(join(module, head), name.to_owned())],
        None => vec![(module.to_owned(), rest.to_owned())],
    }
}

fn join(module: &str, rest: &str) -> String {
    let rest = rest.replace("::", "/");
    if module.is_empty() { rest } else { format!("{module}/{rest}") }
}

/// Parts between commas that stand in no braces.
fn split_top(text: &str) -> Vec<String> {
    let (mut parts, mut depth) = (vec![String::new()], 0);
    for letter in text.chars() {
        depth += i32::from(letter == '{') - i32::from(letter == '}');
        match letter {
            ',' if depth == 0 => parts.push(String::new()),
            _ => parts.last_mut().unwrap().push(letter),
        }
    }
    parts.retain(|part| !part.is_empty());
    parts
}
