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
        0..=2 => 1,
        3..=5 => 2,
        6..=9 => 3,
        _ => 4,
    };
    known
        .into_iter()
        .map(|name| (distance(&wrong, &name.to_lowercase()), name))
        .filter(|(distance, _)| *distance <= allowed)
        .min_by(|a, b| a.0.cmp(&b.0).then_with(|| a.1.cmp(b.1)))
        .map(|(_, name)| name)
}

/// Letters apart; a beginning (`tom` for `tomato`) counts as near.
fn distance(wrong: &str, name: &str) -> usize {
    let apart = strsim::damerau_levenshtein(wrong, name);
    let is_beginning = wrong.chars().count() >= 3 && name.starts_with(wrong);
    if is_beginning { apart.min(2) } else { apart }
}

/// The article a word takes: `an event`, `a place`.
pub fn a(noun: &str) -> String {
    let vowel = noun.chars().next().is_some_and(|first| "aeiou".contains(first));
    format!("{} {noun}", if vowel { "an" } else { "a" })
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
    }
}
