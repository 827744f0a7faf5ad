//! The two things the crate `ical` leaves to its user: what stands in a TEXT value, and where a
//! content line is folded.
//!
//! The crate writes values as they come, so that a raw line break in a title would inject lines, and
//! it folds after 75 *characters*, where RFC 5545 counts octets.

use crate::render::plain_text::plain;

/// The most octets in a physical line, its CRLF not counted (RFC 5545 section 3.1).
const WIDEST: usize = 75;

/// The longest run of white space that is kept, in characters. The widest white space takes three
/// octets, so such a run fits in a line with room to spare, and a fold can always be put before it.
const LONGEST_BLANK: usize = 20;

/// A TEXT value (RFC 5545 section 3.3.11): line ends become `\n`, control characters except TAB are
/// dropped, `\`, `;` and `,` are escaped, a colon is not. White space at either end goes, and a run of
/// more than [`LONGEST_BLANK`] is shortened to that: some readers drop it at the end of a line.
pub(crate) fn text(raw: &str) -> String {
    let plain = plain(raw);
    let mut value = String::with_capacity(plain.len());
    let mut blank = 0;
    for c in plain.trim().chars() {
        blank = if c.is_whitespace() && c != '\n' { blank + 1 } else { 0 };
        match c {
            _ if blank > LONGEST_BLANK => {}
            '\\' | ';' | ',' => value.extend(['\\', c]),
            '\n' => value.push_str("\\n"),
            c => value.push(c),
        }
    }
    value
}

/// Several TEXT values in one property: each escaped, joined by a bare comma (section 3.1.1).
/// Items of which nothing is left are not written.
pub(crate) fn text_list(items: &[String]) -> String {
    let items: Vec<String> =
        items.iter().map(|item| text(item)).filter(|item| !item.is_empty()).collect();
    items.join(",")
}

/// What `ical` wrote, folded again by octets.
///
/// Its folds can be taken out blindly, because no value holds a line break of its own.
pub(crate) fn refold(emitted: &str) -> String {
    let mut folded = String::with_capacity(emitted.len());
    for line in emitted.replace("\r\n ", "").split_terminator("\r\n") {
        fold(line, &mut folded);
    }
    folded
}

fn fold(line: &str, folded: &mut String) {
    let (mut rest, mut room) = (line, WIDEST);
    while rest.len() > room {
        let (physical, further) = rest.split_at(fold_point(rest, room));
        folded.push_str(physical);
        folded.push_str("\r\n ");
        // The space that marks a fold counts in the line it begins.
        (rest, room) = (further, WIDEST - 1);
    }
    folded.push_str(rest);
    folded.push_str("\r\n");
}

/// Where to break `rest`: as late as `room` octets allow, but between characters, not inside an
/// escape (legal, and yet misread by simple readers), and before white space rather than after it,
/// because some readers trim physical lines.
fn fold_point(rest: &str, room: usize) -> usize {
    let widest = rest.floor_char_boundary(room);
    let backslashes = rest[..widest].bytes().rev().take_while(|octet| *octet == b'\\').count();
    let whole_escapes = &rest[..widest - backslashes % 2];
    match whole_escapes.trim_end().len() {
        // Cannot happen to what `text` made; a fold there is still a legal one.
        0 => widest,
        ink => ink,
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    fn folded(line: &str) -> String {
        refold(&format!("{line}\r\n"))
    }

    /// RFC 5545 section 3.3.11 gives these three lines and this value for them.
    #[test]
    fn text_of_the_standard() {
        let lines = "Project XYZ Final Review\r\nConference Room - 3B\r\nCome Prepared.";
        assert_eq!(text(lines), r"Project XYZ Final Review\nConference Room - 3B\nCome Prepared.");
    }

    #[test]
    fn a_colon_and_a_quotation_mark_are_not_escaped() {
        assert_eq!(text(r#"a\b;c,d:e"f"#), r#"a\\b\;c\,d:e"f"#);
    }

    #[test]
    fn nothing_in_a_text_can_begin_a_line() {
        assert_eq!(text("x\r\nEND:VEVENT\rBEGIN:VALARM"), r"x\nEND:VEVENT\nBEGIN:VALARM");
        assert_eq!(text("a\u{0}\u{b}\u{c}\u{1b}\u{7f}b"), "ab");
    }

    #[test]
    fn white_space_is_kept_within_reason() {
        assert_eq!(
            text(" \n two  spaces\tand a tab\u{a0}\r\n "),
            "two  spaces\tand a tab\u{a0}".trim()
        );
        assert_eq!(
            text(&format!("a{}b", "\u{3000}".repeat(90))),
            format!("a{}b", "\u{3000}".repeat(20))
        );
        assert_eq!(text(&format!("a{}b{}c", " ".repeat(20), " ".repeat(20))).len(), 43);
    }

    /// RFC 5545 section 3.8.1.2 has `CATEGORIES:APPOINTMENT,EDUCATION`.
    #[test]
    fn a_list_is_joined_by_bare_commas() {
        let items = ["APPOINTMENT", "EDUCATION", " ", "sow, then water"].map(String::from);
        assert_eq!(text_list(&items), r"APPOINTMENT,EDUCATION,sow\, then water");
    }

    #[test]
    fn a_line_of_75_octets_is_left_whole_and_one_of_76_is_not() {
        let line = format!("SUMMARY:{}", "x".repeat(67));
        assert_eq!(folded(&line), format!("{line}\r\n"));
        assert_eq!(folded(&format!("{line}y")), format!("{line}\r\n y\r\n"));
    }

    #[test]
    fn later_lines_hold_74_octets_and_the_space() {
        let lines = folded(&"x".repeat(75 + 74 + 1));
        let widths: Vec<usize> = lines.split_terminator("\r\n").map(str::len).collect();
        assert_eq!(widths, [75, 75, 2]);
    }

    #[test]
    fn folds_stand_between_characters_before_blanks_and_outside_escapes() {
        // The euro sign takes octets 74 to 76.
        assert_eq!(
            folded(&format!("{}€", "x".repeat(73))),
            format!("{}\r\n €\r\n", "x".repeat(73))
        );
        // The 75th octet is a space.
        assert_eq!(
            folded(&format!("{} yz", "x".repeat(74))),
            format!("{}\r\n  yz\r\n", "x".repeat(74))
        );
        // The 75th octet is the backslash of `\n`; with one more before it, the pair is whole.
        assert_eq!(
            folded(&format!(r"{}\nz", "x".repeat(74))),
            format!("{}\r\n \\nz\r\n", "x".repeat(74))
        );
        assert_eq!(
            folded(&format!(r"{}\\nz", "x".repeat(73))),
            format!("{}\\\\\r\n nz\r\n", "x".repeat(73))
        );
    }
}
