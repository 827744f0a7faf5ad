//! How deep a prose is nested. Readers of Markdown and HTML take a time that grows with the square of the depth, and a person
//! who writes of a garden needs a quotation in a list, not forty of them.

use std::ops::Range;

/// Quotations, lists and items in each other, at the beginning of one line.
const MOST_MARKS: usize = 32;
/// Brackets that are open within one paragraph.
const MOST_BRACKETS: usize = 64;
/// Elements of HTML that are open.
const MOST_TAGS: usize = 64;

/// Elements that need no end.
const ENDLESS: &[&str] = &[
    "area", "br", "col", "dd", "dt", "hr", "img", "input", "li", "link", "meta", "option", "p",
    "source", "td", "th", "tr", "wbr",
];

/// Where the prose is nested more deeply than it may be, and in what.
pub(super) fn too_deep(prose: &str) -> Option<(Range<usize>, &'static str)> {
    let (mut brackets, mut tags) = (0_usize, 0_usize);
    let mut at = 0;
    for line in prose.split_inclusive('\n') {
        if line.trim().is_empty() {
            brackets = 0;
        }
        let (marks, width) = leading_marks(line);
        if marks > MOST_MARKS {
            return Some((at..at + width, "quotations and lists"));
        }
        for (index, byte) in line.bytes().enumerate() {
            let here = at + index..at + index + 1;
            match byte {
                b'[' => brackets += 1,
                b']' => brackets = brackets.saturating_sub(1),
                b'<' => tags = open_tags(tags, &line[index + 1..]),
                _ => continue,
            }
            if brackets > MOST_BRACKETS {
                return Some((here, "square brackets"));
            }
            if tags > MOST_TAGS {
                return Some((here, "elements of HTML"));
            }
        }
        at += line.len();
    }
    None
}

/// How many quotations and items begin a line, and how many bytes they take.
fn leading_marks(line: &str) -> (usize, usize) {
    let (mut marks, mut rest) = (0, line);
    loop {
        let text = rest.trim_start_matches([' ', '\t']);
        let number = text.trim_start_matches(|sign: char| sign.is_ascii_digit());
        let next = text
            .strip_prefix('>')
            .or_else(|| {
                text.strip_prefix(['-', '*', '+']).filter(|rest| rest.starts_with([' ', '\t']))
            })
            .or_else(|| number.strip_prefix(['.', ')']).filter(|_| number.len() < text.len()));
        let Some(next) = next else { return (marks, line.len() - text.len()) };
        (marks, rest) = (marks + 1, next);
    }
}

/// The number of open elements behind a `<` with this text behind it.
fn open_tags(open: usize, text: &str) -> usize {
    let (is_end, text) = match text.strip_prefix('/') {
        Some(text) => (true, text),
        None => (false, text),
    };
    let name: String = text.chars().take(16).take_while(char::is_ascii_alphanumeric).collect();
    let is_name = name.starts_with(|sign: char| sign.is_ascii_alphabetic());
    if !is_name || ENDLESS.contains(&name.to_ascii_lowercase().as_str()) {
        return open;
    }
    if is_end { open.saturating_sub(1) } else { open + 1 }
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn what_people_write_is_not_too_deep() {
        let text =
            "> - a [link](b) <b>bold</b>\n>   - deeper, 3 < 4\n\n* * *\n---\n1. one\n".repeat(200);
        assert_eq!(too_deep(&text), None);
        let rows = "<tr><td>a<td>b<br>".repeat(500);
        assert_eq!(too_deep(&format!("<table>{rows}</table>")), None);
        assert_eq!(too_deep(&"see [[tom-26]] and [ ] that\n\n".repeat(500)), None);
    }

    #[test]
    fn each_kind_of_depth_is_found_where_it_is_too_much() {
        assert_eq!(
            too_deep(&format!("a\n{}b", ">".repeat(40))),
            Some((2..42, "quotations and lists"))
        );
        assert_eq!(
            too_deep(&format!("{}b", "- 1. ".repeat(20))),
            Some((0..100, "quotations and lists"))
        );
        assert_eq!(too_deep(&"[".repeat(90)), Some((64..65, "square brackets")));
        assert_eq!(too_deep(&"<div>".repeat(90)), Some((320..321, "elements of HTML")));
    }
}
