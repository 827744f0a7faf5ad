//! The address of a file inside the site, checked once so that nobody need check it again.
//!
//! A site is copied by people: to a host, to a memory stick, to a machine with another system. So a
//! path is allowed only if every common system can hold it. The rules for Windows (forbidden
//! characters, device names, no dot or space at the end of a part) are those of 'Naming Files, Paths,
//! and Namespaces' (Microsoft Learn, `windows/win32/fileio/naming-a-file`). The limit of 200 bytes a
//! part leaves room below the 255 of the common file systems; common practice, no source.

use std::error::Error;
use std::fmt;

use caseless::Caseless;
use unicode_normalization::UnicodeNormalization;

use crate::names::is_device;

/// The most bytes (UTF-8) that one part of a path may have.
pub const LONGEST_PART: usize = 200;

/// A relative path with `/` between its parts, that leads to one file inside the site.
///
/// It has at least one part; no part is empty, `.` or `..`, and each can be a file name on every
/// common system. The order is that of the bytes.
#[derive(Clone, Debug, PartialEq, Eq, PartialOrd, Ord, Hash)]
pub struct SitePath(String);

impl SitePath {
    /// Checks `path`, for instance `crops/tomato/index.html`.
    ///
    /// # Errors
    /// [`BadPath`] with the first part that breaks a rule, and the rule.
    pub fn new(path: impl Into<String>) -> Result<SitePath, BadPath> {
        let path = path.into();
        for part in path.split('/') {
            if let Some(fault) = fault_in(part) {
                let part = part.to_owned();
                return Err(BadPath { path, part, fault });
            }
        }
        Ok(SitePath(path))
    }

    /// The path as text, `/` between the parts on every system.
    pub fn as_str(&self) -> &str {
        &self.0
    }

    /// The parts from the outermost folder to the file's own name.
    pub fn parts(&self) -> impl Iterator<Item = &str> {
        self.0.split('/')
    }

    /// The folders that the file stands in, outermost first: `a/b/c.html` gives `a`, then `a/b`.
    pub fn folders(&self) -> impl DoubleEndedIterator<Item = &str> {
        self.0.match_indices('/').map(|(at, _)| &self.0[..at])
    }

    /// The file's own name.
    pub fn name(&self) -> &str {
        self.0.rsplit('/').next().unwrap_or(&self.0)
    }

    /// The form in which two paths are equal if some disk or host may take them for one file.
    ///
    /// Canonical caseless matching of the Unicode Standard, section 3.13, definition D145: it ignores
    /// case and whether an accent is a character of its own.
    pub fn folded(&self) -> String {
        folded(&self.0)
    }
}

impl fmt::Display for SitePath {
    fn fmt(&self, f: &mut fmt::Formatter<'_>) -> fmt::Result {
        f.write_str(&self.0)
    }
}

/// [`SitePath::folded`] for any text, such as one of a path's folders.
pub(crate) fn folded(path: &str) -> String {
    // Part by part: a combining mark at the start of a part must not grow together with the slash.
    let parts: Vec<String> =
        path.split('/').map(|part| part.nfd().default_case_fold().nfd().collect()).collect();
    parts.join("/")
}

/// A text that cannot be a path of the site.
#[derive(Clone, Debug, PartialEq, Eq)]
pub struct BadPath {
    /// The whole text.
    pub path: String,
    /// The part that breaks the rule.
    pub part: String,
    pub fault: PathFault,
}

/// Why a part of a path is refused.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub enum PathFault {
    /// Nothing between two slashes, before the first or after the last; or no text at all.
    Empty,
    /// `.` or `..`, which would lead elsewhere.
    Dots,
    /// A control character.
    Control,
    /// A character that some systems do not allow in a name.
    Forbidden(char),
    /// A dot or a space at the end, which Windows drops.
    LooseEnd,
    /// The name of a device on Windows, such as `con` or `aux.html`.
    Device,
    /// More than [`LONGEST_PART`] bytes.
    Long,
}

impl fmt::Display for BadPath {
    fn fmt(&self, f: &mut fmt::Formatter<'_>) -> fmt::Result {
        // Debug form: the text may hold the very control characters that are complained about.
        write!(f, "{:?} cannot be a path in the site: ", self.path)?;
        match self.fault {
            PathFault::Empty => write!(f, "a part of it is empty"),
            PathFault::Dots => write!(f, "the part {:?} leads elsewhere", self.part),
            PathFault::Control => write!(f, "the part {:?} has a control character", self.part),
            PathFault::Forbidden(c) => {
                write!(f, "the part {:?} has {c:?}, which some systems do not allow", self.part)
            }
            PathFault::LooseEnd => {
                write!(
                    f,
                    "the part {:?} ends with a dot or a space, which Windows drops",
                    self.part
                )
            }
            PathFault::Device => {
                write!(f, "the part {:?} is the name of a device on Windows", self.part)
            }
            PathFault::Long => {
                let bytes = self.part.len();
                write!(f, "a part of it has {bytes} bytes, more than {LONGEST_PART}")
            }
        }
    }
}

impl Error for BadPath {}

fn fault_in(part: &str) -> Option<PathFault> {
    if part.is_empty() {
        return Some(PathFault::Empty);
    }
    if part == "." || part == ".." {
        return Some(PathFault::Dots);
    }
    if part.chars().any(char::is_control) {
        return Some(PathFault::Control);
    }
    if let Some(c) = part.chars().find(|c| r#"<>:"\|?*"#.contains(*c)) {
        return Some(PathFault::Forbidden(c));
    }
    if part.ends_with(['.', ' ']) {
        return Some(PathFault::LooseEnd);
    }
    if is_device(part) {
        return Some(PathFault::Device);
    }
    (part.len() > LONGEST_PART).then_some(PathFault::Long)
}

#[cfg(test)]
mod tests {
    use super::*;

    use proptest::prelude::*;

    fn fault(path: &str) -> Option<PathFault> {
        SitePath::new(path).err().map(|bad| bad.fault)
    }

    #[test]
    fn ordinary_names_are_taken() {
        for path in [
            "index.html",
            "crops/pak choi/index.html",
            "crops/céleri/index.html",
            "places/茄/index.html",
            ".nojekyll",
            "compost/com10.html",
            "console/auxiliary.css",
            "a..b/…",
        ] {
            assert_eq!(fault(path), None, "{path}");
        }
    }

    #[test]
    fn each_rule_refuses() {
        let long = "x".repeat(LONGEST_PART + 1);
        let wide = "茄".repeat(67);
        for (path, expected) in [
            ("", PathFault::Empty),
            ("/index.html", PathFault::Empty),
            ("crops//index.html", PathFault::Empty),
            ("crops/", PathFault::Empty),
            ("../index.html", PathFault::Dots),
            ("crops/./index.html", PathFault::Dots),
            ("crops/a\nb", PathFault::Control),
            ("crops/a\u{9b}b", PathFault::Control),
            ("crops\\index.html", PathFault::Forbidden('\\')),
            ("c:/index.html", PathFault::Forbidden(':')),
            ("what?", PathFault::Forbidden('?')),
            ("crops./index.html", PathFault::LooseEnd),
            ("crops /index.html", PathFault::LooseEnd),
            ("con", PathFault::Device),
            ("Aux.html", PathFault::Device),
            ("nul.tar.gz", PathFault::Device),
            ("LPT9/index.html", PathFault::Device),
            ("com¹.txt", PathFault::Device),
            (long.as_str(), PathFault::Long),
            (wide.as_str(), PathFault::Long),
        ] {
            assert_eq!(fault(path), Some(expected), "{path:?}");
        }
    }

    #[test]
    fn a_part_may_have_exactly_the_longest_length() {
        assert_eq!(fault(&format!("a/{}", "x".repeat(LONGEST_PART))), None);
    }

    #[test]
    fn the_message_shows_no_raw_control_character() {
        let bad = SitePath::new("a/\u{1b}[31m").unwrap_err();
        assert!(!bad.to_string().contains('\u{1b}'), "{bad}");
    }

    #[test]
    fn folders_from_the_outside_in() {
        let path = SitePath::new("a/b/c.html").unwrap();
        assert_eq!(path.folders().collect::<Vec<_>>(), ["a", "a/b"]);
        assert_eq!(path.parts().collect::<Vec<_>>(), ["a", "b", "c.html"]);
        assert_eq!(path.name(), "c.html");
    }

    #[test]
    fn folding_ignores_case_and_how_an_accent_is_stored() {
        let folded = |path: &str| SitePath::new(path).unwrap().folded();
        assert_eq!(folded("Crops/CÉLERI.html"), folded("crops/ce\u{301}leri.html"));
        assert_ne!(folded("crops/celeri.html"), folded("crops/céleri.html"));
    }

    proptest! {
        #[test]
        fn whatever_is_taken_stays_inside(text in "\\PC{0,12}(/\\PC{0,12}){0,3}") {
            if let Ok(path) = SitePath::new(text.clone()) {
                let mut parts = std::path::Path::new(path.as_str()).components();
                prop_assert!(parts.all(|part| matches!(part, std::path::Component::Normal(_))));
                prop_assert_eq!(path.as_str(), text);
            }
        }

        #[test]
        fn folding_twice_is_folding_once(text in "[A-Za-zÀ-ÿΑ-ω茄ẞİ]{1,12}") {
            prop_assert_eq!(folded(&folded(&text)), folded(&text));
        }
    }
}
