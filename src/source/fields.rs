//! Takes the keys of a map one by one; what nobody took is told as an unknown key.

use crate::diagnostics::problem::Problems;
use crate::origin::{Origin, Written};
use crate::source::front_matter::{Map, Node, Value};
use crate::source::problems::{self, Trouble};

/// The keys of one map while they are being taken.
#[derive(Debug)]
pub struct Fields<'a> {
    map: &'a Map,
    what: &'static str,
    known: Vec<&'static str>,
}

impl<'a> Fields<'a> {
    /// The keys of `map`, which is called `what` in messages: 'an event', 'a place'.
    pub fn new(map: &'a Map, what: &'static str, problems: &mut Problems) -> Fields<'a> {
        for (index, (key, _)) in map.pairs.iter().enumerate() {
            let first = map.pairs[..index].iter().find(|(other, _)| other.value == key.value);
            if let Some((first, _)) = first {
                problems.add(problems::repeated_key(key, first.at, what));
            }
        }
        Fields { map, what, known: Vec::new() }
    }

    /// Where the map opens.
    pub fn at(&self) -> Origin {
        self.map.at
    }

    /// Where a key stands, taken or not.
    pub fn key_at(&self, key: &str) -> Option<Origin> {
        self.map.pairs.iter().find(|(found, _)| found.value == key).map(|(found, _)| found.at)
    }

    /// The value of a key, whatever its shape; an empty one is told and counts as absent.
    pub fn node(&mut self, key: &'static str, problems: &mut Problems) -> Option<&'a Node> {
        self.known.push(key);
        let (written, node) = self.map.pairs.iter().find(|(found, _)| found.value == key)?;
        if matches!(node.value, Value::Empty) {
            // A value that a comma split off has been told already.
            if !is_told(problems, written.at) {
                problems.add(problems::empty_value(written, self.what));
            }
            return None;
        }
        Some(node)
    }

    /// A key that has to be there; `example` is shown if it is not.
    pub fn demand<T>(
        &self,
        key: &'static str,
        value: Option<T>,
        example: &str,
        problems: &mut Problems,
    ) -> Option<T> {
        if value.is_none() && self.key_at(key).is_none() {
            problems.add(problems::missing_key(key, self.what, self.map.at, example));
        }
        value
    }

    /// A text.
    pub fn text(&mut self, key: &'static str, problems: &mut Problems) -> Option<Written<String>> {
        let node = self.node(key, problems)?;
        text_of(key, node, problems)
    }

    /// true or false, and nothing else.
    pub fn flag(&mut self, key: &'static str, problems: &mut Problems) -> Option<Written<bool>> {
        let node = self.node(key, problems)?;
        let Value::Text(text) = &node.value else {
            problems.add(problems::wrong_shape(key, node.at, "true or false"));
            return None;
        };
        match (text.text.as_str(), text.quoted) {
            ("true", false) => Some(Written::new(true, node.at)),
            ("false", false) => Some(Written::new(false, node.at)),
            (written, _) => {
                problems.add(problems::not_a_flag(key, written, node.at));
                None
            }
        }
    }

    /// A value that `parse` understands.
    pub fn read<T, E: Trouble>(
        &mut self,
        key: &'static str,
        problems: &mut Problems,
        parse: impl FnOnce(&str) -> Result<T, E>,
    ) -> Option<Written<T>> {
        let node = self.node(key, problems)?;
        read_node(key, node, problems, parse)
    }

    /// A number from `lowest` to `highest`, called `wanted` in messages.
    pub fn number(
        &mut self,
        key: &'static str,
        lowest: f64,
        highest: f64,
        wanted: &str,
        problems: &mut Problems,
    ) -> Option<Written<f64>> {
        let node = self.node(key, problems)?;
        number_of(key, node, lowest, highest, wanted, problems)
    }

    /// A whole number, zero or more.
    pub fn whole(&mut self, key: &'static str, problems: &mut Problems) -> Option<Written<u32>> {
        let wanted = "a whole number";
        let number = self.number(key, 0.0, 1e9, wanted, problems)?;
        if number.value.fract() != 0.0 {
            problems.add(problems::bad_number(key, number.at, wanted));
            return None;
        }
        Some(number.map(|value| value as u32))
    }

    /// One of a list of words.
    pub fn word<T: Copy>(
        &mut self,
        key: &'static str,
        known: &[(&'static str, T)],
        problems: &mut Problems,
    ) -> Option<Written<T>> {
        let node = self.node(key, problems)?;
        word_of(key, node, known, problems)
    }

    /// One text or a list of texts.
    pub fn texts(&mut self, key: &'static str, problems: &mut Problems) -> Vec<Written<String>> {
        match self.node(key, problems) {
            None => Vec::new(),
            Some(Node { value: Value::List(items), .. }) => {
                items.iter().filter_map(|item| text_of(key, item, problems)).collect()
            }
            Some(node) => text_of(key, node, problems).into_iter().collect(),
        }
    }

    /// A list, each item of which is a map.
    pub fn maps(&mut self, key: &'static str, problems: &mut Problems) -> Vec<&'a Map> {
        self.items(key, problems)
            .into_iter()
            .filter_map(|item| map_of(key, item, problems))
            .collect()
    }

    /// A list of whatever shape its items have.
    pub fn items(&mut self, key: &'static str, problems: &mut Problems) -> Vec<&'a Node> {
        match self.node(key, problems) {
            None => Vec::new(),
            Some(Node { value: Value::List(items), .. }) => items.iter().collect(),
            Some(node) => {
                problems.add(problems::wrong_shape(key, node.at, "a list"));
                Vec::new()
            }
        }
    }

    /// A map below a key.
    pub fn map(&mut self, key: &'static str, problems: &mut Problems) -> Option<&'a Map> {
        let node = self.node(key, problems)?;
        map_of(key, node, problems)
    }

    /// Tells every key that nobody took.
    pub fn finish(self, problems: &mut Problems) {
        for (key, _) in &self.map.pairs {
            if !self.known.contains(&key.value.as_str()) && !is_told(problems, key.at) {
                problems.add(problems::unknown_key(key, self.what, &self.known));
            }
        }
    }
}

/// A text of one value.
pub fn text_of(key: &str, node: &Node, problems: &mut Problems) -> Option<Written<String>> {
    match &node.value {
        Value::Text(text) => {
            if !text.quoted && is_yes_or_no(&text.text) {
                problems.add(problems::yes_or_no_text(key, &text.text, node.at));
                return None;
            }
            // What stands in quotes was put there on purpose, spaces and all.
            let value = if text.quoted { text.text.as_str() } else { text.text.trim() };
            Some(Written::new(value.to_owned(), node.at))
        }
        Value::Empty | Value::List(_) | Value::Map(_) => {
            problems.add(problems::wrong_shape(key, node.at, "a text"));
            None
        }
    }
}

/// A value of one node that `parse` understands.
pub fn read_node<T, E: Trouble>(
    key: &str,
    node: &Node,
    problems: &mut Problems,
    parse: impl FnOnce(&str) -> Result<T, E>,
) -> Option<Written<T>> {
    let Value::Text(text) = &node.value else {
        problems.add(problems::wrong_shape(key, node.at, "a single value"));
        return None;
    };
    match parse(text.text.trim()) {
        Ok(value) => Some(Written::new(value, node.at)),
        Err(trouble) => {
            // A comma or a # has already been told as the reason why the value is broken.
            if !is_told(problems, node.at) {
                problems.add(problems::bad_value(key, node.at, &trouble));
            }
            None
        }
    }
}

/// A number of one node within bounds.
pub fn number_of(
    key: &str,
    node: &Node,
    lowest: f64,
    highest: f64,
    wanted: &str,
    problems: &mut Problems,
) -> Option<Written<f64>> {
    let number = match &node.value {
        Value::Text(text) => text.text.parse::<f64>().ok(),
        Value::Empty | Value::List(_) | Value::Map(_) => None,
    };
    match number {
        Some(number) if number >= lowest && number <= highest => {
            Some(Written::new(number, node.at))
        }
        _ => {
            if !is_told(problems, node.at) {
                problems.add(problems::bad_number(key, node.at, wanted));
            }
            None
        }
    }
}

/// One of a list of words.
pub fn word_of<T: Copy>(
    key: &str,
    node: &Node,
    known: &[(&'static str, T)],
    problems: &mut Problems,
) -> Option<Written<T>> {
    let Value::Text(text) = &node.value else {
        problems.add(problems::wrong_shape(key, node.at, "one word"));
        return None;
    };
    let written = text.text.trim();
    match known.iter().find(|(word, _)| *word == written) {
        Some((_, value)) => Some(Written::new(*value, node.at)),
        None => {
            let word = Written::new(written.to_owned(), node.at);
            let words = known.iter().map(|(word, _)| *word);
            problems.add(problems::unknown_word(key, &word, words));
            None
        }
    }
}

fn map_of<'a>(key: &str, node: &'a Node, problems: &mut Problems) -> Option<&'a Map> {
    match &node.value {
        Value::Map(map) => Some(map),
        Value::Empty | Value::Text(_) | Value::List(_) => {
            problems.add(problems::wrong_shape(
                key,
                node.at,
                "keys with values, as in {a: 1, b: 2}",
            ));
            None
        }
    }
}

/// Whether something is already told about a stretch that holds this one.
fn is_told(problems: &Problems, at: Origin) -> bool {
    problems.covers(at)
}

fn is_yes_or_no(text: &str) -> bool {
    ["y", "n", "yes", "no", "on", "off", "true", "false"]
        .iter()
        .any(|word| text.eq_ignore_ascii_case(word))
}
