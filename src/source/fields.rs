//! Takes the keys of a map one by one; what nobody took is told as an unknown key.

use crate::source::nodes::{map_of, number_of, read_node, text_of, word_of};
use std::collections::BTreeMap;

use crate::diagnostics::asked::{Key, Kind, Shape};
use crate::diagnostics::problem::Problems;
use crate::diagnostics::words;
use crate::origin::{Origin, Written};
use crate::source::front_matter::{Map, Node, Value};
use crate::source::problems::{self, Trouble};

/// The keys of one map while they are being taken.
#[derive(Debug)]
pub struct Fields<'a> {
    map: &'a Map,
    what: &'static str,
    known: Vec<&'static str>,
    /// Keys that were taken as they are written, such as a garden's own words.
    taken: Vec<&'a str>,
    /// Keys that may be meant where one is misspelt; too many to list.
    meant: Vec<&'static str>,
    /// Keys that have to be there and are not, each with an example.
    lacking: Vec<(&'static str, String)>,
    /// What is asked for, if somebody listens.
    asked: Option<Vec<Key>>,
}

impl<'a> Fields<'a> {
    /// The keys of `map`, which is called `what` in messages: 'an event', 'a place'.
    pub fn new(map: &'a Map, what: &'static str, problems: &mut Problems) -> Fields<'a> {
        let mut seen: BTreeMap<&str, Origin> = BTreeMap::new();
        for (key, _) in &map.pairs {
            match seen.get(key.value.as_str()) {
                Some(first) => problems.add(problems::repeated_key(key, *first, what)),
                None => {
                    seen.insert(&key.value, key.at);
                }
            }
        }
        Fields {
            map,
            what,
            known: Vec::new(),
            taken: Vec::new(),
            meant: Vec::new(),
            lacking: Vec::new(),
            asked: problems.is_listening().then(Vec::new),
        }
    }

    /// Keeps what is asked for under a key, if somebody listens; the first to ask knows best.
    fn ask(&mut self, name: &'static str, kind: impl FnOnce(Option<&'a Node>) -> Kind) {
        let node = self.peek(name);
        if let Some(asked) = &mut self.asked
            && asked.iter().all(|key| key.name != name)
        {
            asked.push(Key { name, kind: kind(node), is_needed: false });
        }
    }

    /// Where the map opens.
    pub fn at(&self) -> Origin {
        self.map.at
    }

    /// The keys as they are written.
    pub fn keys(&self) -> impl Iterator<Item = &'a str> + use<'a> {
        self.map.pairs.iter().map(|(key, _)| key.value.as_str())
    }

    /// Where a key stands, taken or not.
    pub fn key_at(&self, key: &str) -> Option<Origin> {
        self.map.pairs.iter().find(|(found, _)| found.value == key).map(|(found, _)| found.at)
    }

    /// The value of a key as it stands there, taken or not.
    pub fn peek(&self, key: &str) -> Option<&'a Node> {
        self.map.pairs.iter().find(|(found, _)| found.value == key).map(|(_, node)| node)
    }

    /// The value of a key, whatever its shape; an empty one is told and counts as absent.
    pub fn node(&mut self, key: &'static str, problems: &mut Problems) -> Option<&'a Node> {
        if !self.known.contains(&key) {
            self.known.push(key);
        }
        self.ask(key, |_| Kind::Any);
        let (written, node) = self.map.pairs.iter().find(|(found, _)| found.value == key)?;
        match node.value {
            Value::Damaged => None,
            Value::Empty => {
                problems.add(problems::empty_value(written, self.what));
                None
            }
            _ => Some(node),
        }
    }

    /// Where a key stands that no reader takes and that is told in another way than as unknown.
    pub fn pass_over(&mut self, key: &str) -> Option<Origin> {
        let (found, _) = self.map.pairs.iter().find(|(found, _)| found.value == key)?;
        self.taken.push(&found.value);
        Some(found.at)
    }

    /// A key that has to be there; `example` is shown if it is not.
    pub fn demand<T>(&mut self, key: &'static str, value: Option<T>, example: &str) -> Option<T> {
        for asked in self.asked.iter_mut().flatten().filter(|asked| asked.name == key) {
            asked.is_needed = true;
        }
        if value.is_none() && self.key_at(key).is_none() {
            self.lacking.push((key, example.to_owned()));
        }
        value
    }

    /// Whether a key is there, or one that is most likely a slip of the pen for it.
    pub fn is_meant(&self, key: &str) -> bool {
        self.map.pairs.iter().any(|(found, _)| {
            let is_free = !self.known.contains(&found.value.as_str());
            found.value == key || (is_free && words::nearest(&found.value, [key]).is_some())
        })
    }

    pub fn text(&mut self, key: &'static str, problems: &mut Problems) -> Option<Written<String>> {
        self.ask(key, |_| Kind::Single);
        let node = self.node(key, problems)?;
        text_of(key, node, problems)
    }

    /// A text by which something is called, so not an empty one.
    pub fn name(&mut self, key: &'static str, problems: &mut Problems) -> Option<Written<String>> {
        self.ask(key, |_| Kind::Single);
        let name = self.text(key, problems)?;
        if name.value.trim().is_empty() {
            problems.add(problems::blank_name(key, name.at));
            return None;
        }
        Some(name)
    }

    /// true or false, and nothing else.
    pub fn flag(&mut self, key: &'static str, problems: &mut Problems) -> Option<Written<bool>> {
        self.ask(key, |_| Kind::Flag);
        let node = self.node(key, problems)?;
        let Value::Text(text) = &node.value else {
            problems.add(problems::values::not_true_or_false(key, node.at));
            return None;
        };
        match (text.text.as_str(), text.quoted) {
            ("true", false) => Some(Written::new(true, node.at)),
            ("false", false) => Some(Written::new(false, node.at)),
            (written, _) => {
                problems.add(problems::values::not_a_flag(key, written, node.at));
                None
            }
        }
    }

    /// A value that `parse` understands.
    pub fn read<T, E: Trouble>(
        &mut self,
        key: &'static str,
        problems: &mut Problems,
        parse: impl Fn(&str) -> Result<T, E>,
    ) -> Option<Written<T>> {
        self.ask(key, |_| Kind::Single);
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
        self.ask(key, |_| Kind::Number);
        let node = self.node(key, problems)?;
        number_of(key, node, lowest, highest, wanted, problems)
    }

    /// A whole number, zero or more.
    pub fn whole(&mut self, key: &'static str, problems: &mut Problems) -> Option<Written<u32>> {
        let wanted = "a whole number";
        let number = self.number(key, 0.0, 1e9, wanted, problems)?;
        if number.value.fract() != 0.0 {
            problems.add(problems::values::not_a_number(key, number.at, wanted, None));
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
        self.ask(key, |_| Kind::Words(known.iter().map(|(word, _)| *word).collect()));
        let node = self.node(key, problems)?;
        word_of(key, node, known, problems)
    }

    /// One text or a list of texts.
    pub fn texts(&mut self, key: &'static str, problems: &mut Problems) -> Vec<Written<String>> {
        self.ask(key, |_| Kind::Singles);
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
        self.ask(key, |node| Kind::Maps(opened(node)));
        self.items(key, problems)
            .into_iter()
            .filter_map(|item| map_of(key, item, problems))
            .collect()
    }

    /// Every key that `wanted` takes, with its value whatever its shape, in the order written. The keys
    /// `known` are those that may be meant where one is misspelt.
    pub fn those<T>(
        &mut self,
        known: impl IntoIterator<Item = &'static str>,
        wanted: impl Fn(&str, &Node) -> Option<T>,
    ) -> Vec<(T, &'a Written<String>, &'a Node)> {
        let found = self.map.pairs.iter().filter_map(|(key, node)| {
            let is_free = !self.known.contains(&key.value.as_str());
            Some((wanted(&key.value, node).filter(|_| is_free)?, key, node))
        });
        let found: Vec<_> = found.collect();
        self.taken.extend(found.iter().map(|(_, key, _)| key.value.as_str()));
        for key in known {
            self.meant.push(key);
            self.ask(key, |_| Kind::Short);
        }
        found
    }

    /// A list of whatever shape its items have.
    pub fn items(&mut self, key: &'static str, problems: &mut Problems) -> Vec<&'a Node> {
        match self.node(key, problems) {
            None => Vec::new(),
            Some(Node { value: Value::List(items), .. }) => items.iter().collect(),
            Some(node) => {
                problems.add(problems::values::not_a_list(key, node));
                Vec::new()
            }
        }
    }

    /// A map below a key.
    pub fn map(&mut self, key: &'static str, problems: &mut Problems) -> Option<&'a Map> {
        self.ask(key, |node| Kind::Map(opened(node).into_iter().next()));
        let node = self.node(key, problems)?;
        map_of(key, node, problems)
    }

    /// Tells every key that nobody took, and every one that is lacking: but one root once, so a
    /// lacking key is not told where another is a slip of the pen for it.
    pub fn finish(self, problems: &mut Problems) {
        if let Some(keys) = &self.asked {
            problems.hear(Shape { what: self.what, at: self.map.at, keys: keys.clone() });
        }
        for (key, _) in &self.map.pairs {
            let is_known = self.known.contains(&key.value.as_str());
            if !is_known && !self.taken.contains(&key.value.as_str()) {
                problems.add(problems::unknown_key(key, self.what, &self.known, &self.meant));
            }
        }
        for (key, example) in &self.lacking {
            if !self.is_meant(key) {
                problems.add(problems::missing_key(key, self.what, self.map.at, example));
            }
        }
    }
}

/// Where the maps open that stand behind a key.
fn opened(node: Option<&Node>) -> Vec<Origin> {
    match node.map(|node| &node.value) {
        Some(Value::Map(map)) => vec![map.at],
        Some(Value::List(items)) => items.iter().flat_map(|item| opened(Some(item))).collect(),
        _ => Vec::new(),
    }
}
