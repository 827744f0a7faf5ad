//! The grower's text without what no file format wants in it.

/// Every kind of line end (CRLF, CR, and the rare U+0085, U+2028, U+2029, at which some readers cut
/// a line) becomes LF; TAB stays; every other control character (Unicode category Cc) is dropped.
pub(crate) fn plain(raw: &str) -> String {
    let mut text = String::with_capacity(raw.len());
    let mut chars = raw.chars().peekable();
    while let Some(c) = chars.next() {
        match c {
            '\r' => {
                chars.next_if_eq(&'\n');
                text.push('\n');
            }
            '\n' | '\u{85}' | '\u{2028}' | '\u{2029}' => text.push('\n'),
            '\t' => text.push('\t'),
            c if c.is_control() => {}
            c => text.push(c),
        }
    }
    text
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn line_ends_become_one_kind_and_controls_go() {
        assert_eq!(plain("a\r\nb\rc\nd\u{85}e\u{2028}f\u{2029}g"), "a\nb\nc\nd\ne\nf\ng");
        assert_eq!(plain("\r\r\n\n"), "\n\n\n");
        assert_eq!(
            plain("t\tab, n\0ul, e\u{1b}[1msc, d\u{7f}el, c\u{9b}1"),
            "t\tab, nul, e[1msc, del, c1"
        );
        assert_eq!(plain("é 茄 👩\u{200d}🌾"), "é 茄 👩\u{200d}🌾");
    }
}
