//! The signs of YAML in a line: dashes, colons behind keys, comments.

/// The bytes of a dash and the blanks behind it.
pub(in crate::source) fn dash(text: &str) -> Option<usize> {
    if text.trim_end() == "-" {
        return Some(text.len());
    }
    let rest = text.strip_prefix("- ")?;
    Some(2 + rest.len() - rest.trim_start_matches(' ').len())
}

/// Where the colon behind a key is, if the text begins with a key.
pub(in crate::source) fn key_end(text: &str) -> Option<usize> {
    if let Some(quote) = text.chars().next().filter(|first| ['"', '\''].contains(first)) {
        let close = 1 + text[1..].find(quote)?;
        let rest = text[close + 1..].trim_start_matches(' ');
        let is_colon = rest.starts_with(':') && rest[1..].chars().next().is_none_or(is_blank);
        return is_colon.then(|| text.len() - rest.len());
    }
    if text.starts_with(['[', '{', '#', '&', '*', '!', '|', '>', '@', '`', '%']) {
        return None;
    }
    let colon = text
        .char_indices()
        .find(|(at, char)| *char == ':' && text[at + 1..].chars().next().is_none_or(is_blank))?;
    (!text[..colon.0].contains(" #")).then_some(colon.0)
}

/// `title:Peas`: a word, a colon, and a text right behind it.
pub(in crate::source) fn missing_space(line: &str) -> Option<usize> {
    let colon = line.find(':')?;
    let is_word = |c: char| c.is_alphanumeric() || c == '-' || c == '_' || c == '%';
    let is_key = colon > 0 && line[..colon].chars().all(is_word);
    (is_key && line.len() > colon + 2 && !line[colon + 1..].starts_with('/')).then_some(colon)
}

/// A text without the comment behind it.
pub(in crate::source) fn without_comment(text: &str) -> &str {
    text.find(" #").map_or(text, |at| &text[..at]).trim_end()
}

/// `|`, `>-`, `|2`: a text of its own on the lines below.
pub(in crate::source) fn is_block_header(value: &str) -> bool {
    value[1..].chars().all(|c| ['+', '-'].contains(&c) || c.is_ascii_digit())
}

pub(in crate::source) fn has_colon(value: &str) -> bool {
    value.contains(": ") || value.ends_with(':')
}

pub(in crate::source) fn is_blank(char: char) -> bool {
    [' ', '\t', '\r', '\n'].contains(&char)
}

pub(in crate::source) fn fill(length: usize) -> String {
    "x".repeat(length)
}
