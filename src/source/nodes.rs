//! Reads the value of one node: a text, a number, a word, keys.

use crate::diagnostics::problem::Problems;
use crate::diagnostics::words;
use crate::origin::Written;
use crate::source::front_matter::{Map, Node, Text, Value};
use crate::source::problems::{self, Trouble};

/// A text of one value.
pub fn text_of(key: &str, node: &Node, problems: &mut Problems) -> Option<Written<String>> {
    let text = single(key, node, "a text", problems)?;
    if !text.quoted && is_yes_or_no(&text.text) {
        problems.add(problems::values::yes_or_no_text(key, &text.text, node.at));
        return None;
    }
    // What stands in quotes was put there on purpose, spaces and all.
    let value = if text.quoted { text.text.as_str() } else { text.text.trim() };
    Some(Written::new(value.to_owned(), node.at))
}

/// A value of one node that `parse` understands.
pub fn read_node<T, E: Trouble>(
    key: &str,
    node: &Node,
    problems: &mut Problems,
    parse: impl Fn(&str) -> Result<T, E>,
) -> Option<Written<T>> {
    let text = single(key, node, "a single value", problems)?.text.trim();
    match parse(text) {
        Ok(value) => Some(Written::new(value, node.at)),
        Err(trouble) => {
            let bare = words::between_curly(text).filter(|bare| parse(bare).is_ok());
            problems.add(match bare {
                Some(bare) => problems::values::smart_quotes(key, node.at, bare),
                None => problems::values::bad_value(key, node.at, &trouble),
            });
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
    let text = single(key, node, wanted, problems)?.text.trim();
    match number(text) {
        Some(number) if number >= lowest && number <= highest => {
            return Some(Written::new(number, node.at));
        }
        Some(_) => problems.add(problems::values::out_of_range(key, node.at, wanted)),
        None => {
            let is_inside = |text: &str| number(text).is_some_and(|n| n >= lowest && n <= highest);
            let pointed = text.replacen(',', ".", 1);
            let is_sign = |c: char| !c.is_alphanumeric() && c != '-' && c != '.';
            let bare = text.trim_matches(is_sign);
            problems.add(if is_inside(&pointed) {
                problems::values::number_with_comma(key, node.at, &pointed)
            } else {
                let mended = Some(bare).filter(|bare| *bare != text && is_inside(bare));
                problems::values::not_a_number(key, node.at, wanted, mended)
            });
        }
    }
    None
}

/// One of a list of words.
pub fn word_of<T: Copy>(
    key: &str,
    node: &Node,
    known: &[(&'static str, T)],
    problems: &mut Problems,
) -> Option<Written<T>> {
    let written = single(key, node, "one word", problems)?.text.trim();
    match known.iter().find(|(word, _)| *word == written) {
        Some((_, value)) => Some(Written::new(*value, node.at)),
        None => {
            let word = Written::new(written.to_owned(), node.at);
            let words = known.iter().map(|(word, _)| *word);
            problems.add(problems::values::unknown_word(key, &word, words));
            None
        }
    }
}

pub(super) fn map_of<'a>(key: &str, node: &'a Node, problems: &mut Problems) -> Option<&'a Map> {
    match &node.value {
        Value::Map(map) => return Some(map),
        Value::Damaged => {}
        Value::Empty => problems.add(problems::values::empty_item(key, node.at)),
        Value::Text(_) | Value::List(_) => problems.add(problems::values::not_keys(key, node)),
    }
    None
}

/// The text of a single value; another shape is told, as not being `wanted`.
fn single<'a>(
    key: &str,
    node: &'a Node,
    wanted: &str,
    problems: &mut Problems,
) -> Option<&'a Text> {
    match &node.value {
        Value::Text(text) => return Some(text),
        Value::Damaged => {}
        Value::Empty => problems.add(problems::values::empty_item(key, node.at)),
        Value::List(_) | Value::Map(_) => {
            problems.add(problems::values::not_a_single_value(key, node, wanted));
        }
    }
    None
}

/// A plain number: not `inf`, not `1e3`.
fn number(text: &str) -> Option<f64> {
    let is_plain = text.chars().all(|c| c.is_ascii_digit() || ['-', '+', '.'].contains(&c));
    if is_plain { text.parse().ok() } else { None }
}

fn is_yes_or_no(text: &str) -> bool {
    ["y", "n", "yes", "no", "on", "off", "true", "false"]
        .iter()
        .any(|word| text.eq_ignore_ascii_case(word))
}
