//! Rust source as the checks see it: without comments and texts, as paths with their lines.

/// The source with comments, strings and characters blanked out; every line stays where it is.
pub(crate) fn blanked(source: &str) -> String {
    let mut out = String::with_capacity(source.len());
    let mut rest = source;
    let mut last = ' ';
    while let Some(next) = rest.chars().next() {
        let length = match length_of_text(rest, last) {
            0 => {
                out.push(next);
                last = next;
                rest = &rest[next.len_utf8()..];
                continue;
            }
            length => length,
        };
        out.extend(rest[..length].chars().map(|char| if char == '\n' { '\n' } else { ' ' }));
        last = ' ';
        rest = &rest[length..];
    }
    out
}

/// How many bytes of comment, string or character literal begin here; none: 0.
fn length_of_text(rest: &str, last: char) -> usize {
    let is_in_word = last.is_alphanumeric() || last == '_';
    if rest.starts_with("//") {
        return rest.find('\n').unwrap_or(rest.len());
    }
    if rest.starts_with("/*") {
        return length_of_block_comment(rest);
    }
    if !is_in_word && let Some(length) = length_of_prefixed_string(rest) {
        return length;
    }
    if rest.starts_with('"') {
        return length_of_string(rest);
    }
    if rest.starts_with('\'') { length_of_char(rest) } else { 0 }
}

/// Block comments may stand inside one another.
fn length_of_block_comment(rest: &str) -> usize {
    let mut depth = 0usize;
    let mut at = 0;
    while at < rest.len() {
        let here = &rest[at..];
        if here.starts_with("/*") {
            depth += 1;
            at += 2;
        } else if here.starts_with("*/") {
            depth -= 1;
            at += 2;
            if depth == 0 {
                return at;
            }
        } else {
            at += here.chars().next().map_or(1, char::len_utf8);
        }
    }
    rest.len()
}

/// `r"…"`, `br#"…"#`, `b"…"`, `c"…"`.
fn length_of_prefixed_string(rest: &str) -> Option<usize> {
    for prefix in ["br", "cr", "r"] {
        let Some(behind) = rest.strip_prefix(prefix) else { continue };
        let inside = behind.trim_start_matches('#');
        let hashes = &behind[..behind.len() - inside.len()];
        if let Some(inside) = inside.strip_prefix('"') {
            let end = format!("\"{hashes}");
            let length = inside.find(&end).map_or(inside.len(), |at| at + end.len());
            return Some(prefix.len() + hashes.len() + 1 + length);
        }
    }
    ["b", "c"].iter().find_map(|prefix| {
        let behind = rest.strip_prefix(prefix).filter(|behind| behind.starts_with('"'))?;
        Some(prefix.len() + length_of_string(behind))
    })
}

fn length_of_string(rest: &str) -> usize {
    let mut is_escaped = false;
    for (at, char) in rest.char_indices().skip(1) {
        match char {
            _ if is_escaped => is_escaped = false,
            '\\' => is_escaped = true,
            '"' => return at + 1,
            _ => {}
        }
    }
    rest.len()
}

/// `'a'` and `'\n'` are characters, `'a` is a lifetime.
fn length_of_char(rest: &str) -> usize {
    let mut chars = rest.char_indices().skip(1);
    match chars.next() {
        // The escaped sign may itself be a quote, so look for the end behind it.
        Some((_, '\\')) => match chars.next() {
            Some((at, escaped)) => {
                let behind = at + escaped.len_utf8();
                rest[behind..].find('\'').map_or(0, |end| behind + end + 1)
            }
            None => 0,
        },
        Some(_) => match chars.next() {
            Some((at, '\'')) => at + 1,
            _ => 0,
        },
        None => 0,
    }
}

/// A path in the code, `crate::support::garden::build` say, with the line it stands on.
#[derive(Clone, Debug, PartialEq, Eq)]
pub(crate) struct CodePath {
    /// Its parts; `*` for a glob; a macro's name ends in `!`.
    pub(crate) parts: Vec<String>,
    /// From 1.
    pub(crate) line: usize,
}

impl CodePath {
    /// Whether it begins with these parts.
    pub(crate) fn begins(&self, with: &[&str]) -> bool {
        self.parts.len() >= with.len() && self.parts.iter().zip(with).all(|(a, b)| a == b)
    }
}

/// Every path of a blanked source; groups in braces are taken apart.
pub(crate) fn paths(blanked: &str) -> Vec<CodePath> {
    let tokens = tokens(blanked);
    let mut found = Vec::new();
    let mut at = 0;
    while at < tokens.len() {
        let is_start = is_word(&tokens[at].0) && (at == 0 || tokens[at - 1].0 != "::");
        at = if is_start { take(&tokens, at, &[], &mut found) } else { at + 1 };
    }
    found
}

/// Takes one path that begins at `at`; gives back where to go on.
fn take(
    tokens: &[(String, usize)],
    mut at: usize,
    before: &[String],
    found: &mut Vec<CodePath>,
) -> usize {
    let mut parts = before.to_vec();
    let line = tokens[at].1;
    while let Some((token, _)) = tokens.get(at) {
        if token == "{" {
            at += 1;
            while tokens.get(at).is_some_and(|(token, _)| token != "}") {
                let is_part = is_word(&tokens[at].0) || tokens[at].0 == "*";
                at = if is_part { take(tokens, at, &parts, found) } else { at + 1 };
            }
            return at + 1;
        }
        if !is_word(token) && token != "*" {
            break;
        }
        if token != "self" || parts.is_empty() {
            parts.push(token.clone());
        }
        at += 1;
        if tokens.get(at).is_none_or(|(token, _)| token != "::") {
            if tokens.get(at).is_some_and(|(token, _)| token == "!")
                && let Some(last) = parts.last_mut()
            {
                last.push('!');
            }
            break;
        }
        at += 1;
    }
    found.push(CodePath { parts, line });
    at
}

fn is_word(token: &str) -> bool {
    token.starts_with(|char: char| char.is_alphabetic() || char == '_')
}

/// Words, `::`, and single signs, each with its line.
fn tokens(blanked: &str) -> Vec<(String, usize)> {
    let mut tokens = Vec::new();
    for (line, text) in blanked.lines().enumerate() {
        let mut rest = text;
        while let Some(first) = rest.chars().next() {
            let is_letter = |char: char| char.is_alphanumeric() || char == '_';
            let length = if is_letter(first) {
                rest.find(|char| !is_letter(char)).unwrap_or(rest.len())
            } else if rest.starts_with("::") || rest.starts_with("!=") {
                2
            } else {
                first.len_utf8()
            };
            if !first.is_whitespace() {
                tokens.push((rest[..length].to_owned(), line + 1));
            }
            rest = &rest[length..];
        }
    }
    tokens
}

#[cfg(test)]
mod tests {
    use super::*;

    fn found(source: &str) -> Vec<(String, usize)> {
        paths(&blanked(source)).into_iter().map(|path| (path.parts.join("::"), path.line)).collect()
    }

    #[test]
    fn comments_and_texts_are_no_code() {
        let source = r##"
            // crate::a
            /* crate::b /* crate::c */ crate::d */
            let x = "crate::e \" crate::f";
            let y = r#"crate::g " crate::h"#;
            let z = ('"', b'\'', '\\', 'x', "crate::i", '\u{e9}');
            fn keep<'a>(x: &'a crate::kept::K) {}
        "##;
        let mine: Vec<_> =
            found(source).into_iter().filter(|(path, _)| path.contains("crate")).collect();
        assert_eq!(mine, [("crate::kept::K".to_owned(), 7)]);
    }

    #[test]
    fn groups_are_taken_apart() {
        let source = "use crate::{a::{B, c::*},\n d as e};\nuse std::{fs, io::{self, Write}};";
        let paths = found(source);
        for expected in [
            ("crate::a::B", 1),
            ("crate::a::c::*", 1),
            ("crate::d", 2),
            ("std::fs", 3),
            ("std::io", 3),
            ("std::io::Write", 3),
        ] {
            assert!(paths.contains(&(expected.0.to_owned(), expected.1)), "{expected:?} {paths:?}");
        }
    }

    #[test]
    fn macros_and_inline_paths_are_found() {
        let paths = found("fn f() { println!(); let x = crate::a::b(1) != 2; a.b::<C>(); }");
        for expected in ["println!", "crate::a::b"] {
            assert!(paths.iter().any(|(path, _)| path == expected), "{paths:?}");
        }
    }
}
