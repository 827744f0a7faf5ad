//! Small pieces of grammar for messages: counts, lists, ticks, the nearest name.

use std::fmt::{self, Display};

/// `1 plant`, `3 plants`.
pub fn count(number: usize, noun: &str) -> String {
    match (number, noun) {
        (1, _) => format!("1 {noun}"),
        (_, noun) if noun.ends_with("entry") => format!("{number} {}ies", &noun[..noun.len() - 1]),
        _ => format!("{number} {noun}s"),
    }
}

/// `a, b or c`.
pub fn any_of<T: Display>(items: &[T]) -> String {
    join(items, "or")
}

/// `a, b and c`.
pub fn all_of<T: Display>(items: &[T]) -> String {
    join(items, "and")
}

fn join<T: Display>(items: &[T], last: &str) -> String {
    match items {
        [] => String::new(),
        [only] => only.to_string(),
        [head @ .., tail] => {
            let head: Vec<_> = head.iter().map(T::to_string).collect();
            format!("{} {last} {tail}", head.join(", "))
        }
    }
}

/// A name in ticks, as it was written.
pub struct Tick<'a>(pub &'a str);

impl Display for Tick<'_> {
    fn fmt(&self, f: &mut fmt::Formatter<'_>) -> fmt::Result {
        write!(f, "`{}`", self.0)
    }
}

/// The known name that a misspelt one most likely meant, if any is near enough.
///
/// Near means: few letters apart for the word's length, or one begins with the other.
pub fn nearest<'a>(wrong: &str, known: impl IntoIterator<Item = &'a str>) -> Option<&'a str> {
    let wrong = wrong.to_lowercase();
    let allowed = match wrong.chars().count() {
        0..=5 => 1,
        6..=8 => 2,
        9..=12 => 3,
        _ => 4,
    };
    let length = wrong.chars().count();
    known
        .into_iter()
        .filter(|name| is_worth_comparing(&wrong, length, allowed, name))
        .map(|name| (distance(&wrong, &name.to_lowercase()), name))
        .filter(|(distance, _)| *distance <= allowed)
        .min_by(|a, b| a.0.cmp(&b.0).then_with(|| a.1.cmp(b.1)))
        .map(|(_, name)| name)
}

/// Whether a name can be near at all: comparing letter by letter is slow where there are thousands.
fn is_worth_comparing(wrong: &str, length: usize, allowed: usize, name: &str) -> bool {
    // Only ASCII keeps its length when it is put in lower case.
    if !name.is_ascii() || !wrong.is_ascii() {
        return true;
    }
    let apart = name.len().abs_diff(length);
    if apart > allowed {
        return length >= 3 && name.len() > length && name[..length].eq_ignore_ascii_case(wrong);
    }
    let mut letters = [0i8; 128];
    wrong
        .bytes()
        .for_each(|byte| letters[byte as usize] = letters[byte as usize].saturating_add(1));
    name.bytes().for_each(|byte| {
        let byte = byte.to_ascii_lowercase() as usize;
        letters[byte] = letters[byte].saturating_sub(1);
    });
    // One change of a letter takes one away and adds one.
    let differing: usize = letters.iter().map(|count| usize::from(count.unsigned_abs())).sum();
    differing <= 2 * allowed
}

/// Letters apart; a beginning (`tom` for `tomato`) counts as near.
fn distance(wrong: &str, name: &str) -> usize {
    let apart = strsim::damerau_levenshtein(wrong, name);
    let is_beginning = wrong.chars().count() >= 3 && name.starts_with(wrong);
    if is_beginning { apart.min(1) } else { apart }
}

/// The known names of which this is a word or several: `dwarf bean` and `runner bean` for `beans`.
pub fn holding<'a>(part: &str, known: impl IntoIterator<Item = &'a str>) -> Vec<&'a str> {
    let words = |text: &str| -> Vec<String> {
        let bare = |word: &str| word.strip_suffix('s').unwrap_or(word).to_lowercase();
        text.split([' ', '-']).filter(|word| !word.is_empty()).map(bare).collect()
    };
    let part = words(part);
    let holds = |name: &&str| {
        let name = words(name);
        !part.is_empty() && part.len() < name.len() && part.iter().all(|word| name.contains(word))
    };
    let mut found: Vec<&str> = known.into_iter().filter(holds).collect();
    found.sort_unstable();
    found.dedup();
    found
}

/// What stands between typographic quotation marks, in whichever country's style.
pub fn between_curly(text: &str) -> Option<&str> {
    let inside = text.strip_prefix(['“', '”', '„', '‘', '’', '‚', '«', '»'])?;
    let inside = inside.strip_suffix(['“', '”', '‘', '’', '«', '»'])?;
    (!inside.contains(['“', '„', '‘', '«'])).then(|| inside.trim())
}

/// A text in YAML's single quotes.
pub fn quoted(text: &str) -> String {
    format!("'{}'", text.replace('\'', "''"))
}

/// A text as it can stand behind a key, in braces too: in quotes where YAML would take it for
/// something else.
///
/// ```
/// use trug::diagnostics::words::behind_key;
/// assert_eq!(behind_key("Long Bed"), "Long Bed");
/// assert_eq!(behind_key("Steps, upper"), "'Steps, upper'");
/// ```
pub fn behind_key(text: &str) -> String {
    let is_special = |c: char| ":#,[]{}&*!|>'\"%@`".contains(c) || c.is_control();
    let is_word_of_yaml = ["", "~", "null", "y", "n", "yes", "no", "on", "off", "true", "false"]
        .iter()
        .any(|word| text.eq_ignore_ascii_case(word));
    let is_plain = !is_word_of_yaml
        && !text.chars().any(is_special)
        && !text.starts_with(['-', '?', ' '])
        && !text.ends_with(' ');
    // `50%` and `10 °C` are as plain as they look, and so is a number below zero.
    let is_measure = text.starts_with(|c: char| c.is_ascii_digit() || c == '-')
        && !text.starts_with("- ")
        && text.chars().all(|c| c.is_alphanumeric() || " -.%°/²³".contains(c));
    if is_plain || is_measure { text.to_owned() } else { quoted(text) }
}

/// The article a word takes: `an event`, `a place`.
pub fn a(noun: &str) -> String {
    let vowel = noun.chars().next().is_some_and(|first| "aeiou".contains(first));
    format!("{} {noun}", if vowel { "an" } else { "a" })
}

/// Control characters, and the signs that turn the direction of what follows (Unicode Standard Annex 9, explicit
/// embeddings, overrides and isolates): a name with one in it reads as another name.
pub fn is_hidden(sign: char) -> bool {
    let is_break = matches!(sign, '\n' | '\r' | '\t');
    let is_turn = matches!(sign, '\u{202a}'..='\u{202e}' | '\u{2066}'..='\u{2069}');
    is_turn || (sign.is_control() && !is_break)
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn grammar() {
        assert_eq!(count(1, "plant"), "1 plant");
        assert_eq!(count(3, "entry"), "3 entries");
        assert_eq!(any_of(&["a", "b", "c"]), "a, b or c");
        assert_eq!(all_of(&["a"]), "a");
        assert_eq!(a("event"), "an event");
    }

    #[test]
    fn near_names() {
        assert_eq!(nearest("flowring", ["flowering", "fruiting"]), Some("flowering"));
        assert_eq!(nearest("tom", ["tomato", "leek"]), Some("tomato"));
        assert_eq!(nearest("zzz", ["tomato", "leek"]), None);
        assert_eq!(nearest("Leak", ["tomato", "leek"]), Some("leek"));
        assert_eq!(nearest("europe", ["Asia/Tokyo", "Europe/Brussels"]), Some("Europe/Brussels"));
        assert_eq!(nearest("tomatto", ["tomato", "potato"]), Some("tomato"));
        assert_eq!(nearest("bréd", ["Bréda", "bed"]), Some("Bréda"));
    }

    #[test]
    fn quotes_where_yaml_needs_them() {
        for plain in ["tomato", "Café Bed", "-3 °C", "10%", "1.5 kg", "0.3 m²", "2026-02-22"] {
            assert_eq!(behind_key(plain), plain);
        }
        assert_eq!(behind_key("Tom's bed"), "'Tom''s bed'");
        assert_eq!(behind_key("No"), "'No'");
        assert_eq!(behind_key("- x"), "'- x'");
        assert_eq!(behind_key(""), "''");
    }
}
