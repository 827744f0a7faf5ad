//! The list of the files that trug wrote: what it may replace or remove, and nothing else.
//!
//! A line is a fingerprint and a path, so that not a name but the bytes prove that a file is ours.
//! While a site is being changed one path can have two lines, for its old and its new bytes.

use std::collections::{BTreeMap, BTreeSet};
use std::fmt;

use uuid::Uuid;

use crate::render::site_path::{SitePath, folded};

/// The list's own name, in the site folder.
pub(crate) const NAME: &str = ".trug-manifest";

const FIRST_LINE: &str = "trug-manifest 1";
const SECOND_LINE: &str = "# trug wrote the files below, and may replace or remove them. It leaves every other file alone.";

/// Before the digest of what the site was made of.
const MADE_OF: &str = "# made of ";
/// Behind the digest, where there was something to tell of it.
const WITH_WARNINGS: &str = ", with warnings";

/// What tells the bytes of one file from those of another: a name-based UUID of the bytes (RFC 9562,
/// version 5: 122 bits of SHA-1). It guards against mistakes, not against an attacker.
#[derive(Clone, Copy, Debug, PartialEq, Eq, PartialOrd, Ord)]
pub(crate) struct Fingerprint(Uuid);

impl Fingerprint {
    pub(crate) fn of(bytes: &[u8]) -> Fingerprint {
        Fingerprint(Uuid::new_v5(&Uuid::nil(), bytes))
    }
}

impl fmt::Display for Fingerprint {
    fn fmt(&self, f: &mut fmt::Formatter<'_>) -> fmt::Result {
        self.0.simple().fmt(f)
    }
}

/// What a whole site was made of.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub struct MadeOf {
    /// A digest of all that went in.
    pub digest: Uuid,
    /// Whether it gave rise to warnings, which are to be told each time.
    pub has_warnings: bool,
}

impl MadeOf {
    fn parse(text: &str) -> Option<MadeOf> {
        let digest = text.strip_suffix(WITH_WARNINGS);
        let has_warnings = digest.is_some();
        Uuid::try_parse(digest.unwrap_or(text)).ok().map(|digest| MadeOf { digest, has_warnings })
    }
}

/// The list. Looked up by folded path: on some disks `Crops` and `crops` are one folder.
#[derive(Clone, Debug, Default, PartialEq, Eq)]
pub(crate) struct Manifest {
    /// What the site was made of, if all of it is in place.
    pub(crate) made_of: Option<MadeOf>,
    groups: BTreeMap<String, BTreeSet<(SitePath, Fingerprint)>>,
}

impl Manifest {
    /// Reads the list; the error is the number of the first wrong line, counted from 1.
    pub(crate) fn parse(bytes: &[u8]) -> Result<Manifest, usize> {
        let text = str::from_utf8(bytes).map_err(|e| {
            bytes[..e.valid_up_to()].iter().filter(|byte| **byte == b'\n').count() + 1
        })?;
        let mut manifest = Manifest::default();
        let mut lines = text.lines().zip(1..);
        for expected in [FIRST_LINE, SECOND_LINE] {
            match lines.next() {
                Some((line, _)) if line == expected => {}
                Some((_, number)) => return Err(number),
                None => return Err(text.lines().count() + 1),
            }
        }
        let mut lines = lines.peekable();
        if let Some(text) = lines.peek().and_then(|(line, _)| line.strip_prefix(MADE_OF)) {
            manifest.made_of = MadeOf::parse(text);
            lines.next();
        }
        for (line, number) in lines {
            let (print, path) = line.split_once(' ').ok_or(number)?;
            let print = Uuid::try_parse(print).map_err(|_| number)?;
            // Checked like any path: a list that someone tampered with must not lead outside.
            let path = SitePath::new(path).map_err(|_| number)?;
            manifest.add(path, Fingerprint(print));
        }
        Ok(manifest)
    }

    /// The list as it is written: sorted, one line a file.
    pub(crate) fn to_text(&self) -> String {
        let lines: BTreeSet<_> = self.groups.values().flatten().collect();
        let mut text = format!("{FIRST_LINE}\n{SECOND_LINE}\n");
        if let Some(MadeOf { digest, has_warnings }) = self.made_of {
            let warnings = if has_warnings { WITH_WARNINGS } else { "" };
            text.push_str(&format!("{MADE_OF}{}{warnings}\n", digest.simple()));
        }
        for (path, print) in lines {
            text.push_str(&format!("{print} {path}\n"));
        }
        text
    }

    pub(crate) fn add(&mut self, path: SitePath, print: Fingerprint) {
        self.groups.entry(path.folded()).or_default().insert((path, print));
    }

    /// Every path with its bytes, sorted.
    pub(crate) fn prints(&self) -> impl Iterator<Item = (&SitePath, Fingerprint)> {
        self.groups.values().flatten().map(|(path, print)| (path, *print))
    }

    /// Everything that is in this list or in `other`; a site that is neither is made of nothing in particular.
    pub(crate) fn and(&self, other: &Manifest) -> Manifest {
        let mut both = Manifest { made_of: None, ..self.clone() };
        for (path, print) in other.groups.values().flatten() {
            both.add(path.clone(), *print);
        }
        both
    }

    /// Every listed path, once, sorted.
    pub(crate) fn paths(&self) -> BTreeSet<&SitePath> {
        self.groups.values().flatten().map(|(path, _)| path).collect()
    }

    /// Whether trug wrote a file at `path`, or at what a disk may take for it.
    pub(crate) fn lists(&self, path: &str) -> bool {
        self.groups.contains_key(&folded(path))
    }

    /// Whether trug wrote these very bytes there.
    pub(crate) fn wrote(&self, path: &SitePath, print: Fingerprint) -> bool {
        let group = self.groups.get(&path.folded());
        group.is_some_and(|group| group.iter().any(|(_, ours)| *ours == print))
    }

    /// Whether `path` is listed in another spelling that a disk may take for the same.
    pub(crate) fn spells_otherwise(&self, path: &SitePath) -> bool {
        let group = self.groups.get(&path.folded());
        group.is_some_and(|group| group.iter().any(|(listed, _)| listed != path))
    }

    /// Whether trug wrote a file in this folder or below it.
    pub(crate) fn lists_below(&self, folder: &str) -> bool {
        let start = folded(folder) + "/";
        let next = self.groups.range(start.clone()..).next();
        next.is_some_and(|(key, _)| key.starts_with(&start))
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    fn path(text: &str) -> SitePath {
        SitePath::new(text).unwrap()
    }

    fn two_files() -> Manifest {
        let mut manifest = Manifest::default();
        manifest.add(path("crops/茄 é.html"), Fingerprint::of(b"new"));
        manifest.add(path("crops/茄 é.html"), Fingerprint::of(b"old"));
        manifest.add(path(" a.css"), Fingerprint::of(b"a"));
        manifest
    }

    #[test]
    fn a_fingerprint_is_the_sha_1_of_sixteen_noughts_and_the_bytes() {
        // Made outside: `head -c 16 /dev/zero | sha1sum` (coreutils) gives e129f27c5103bc5cc44bcdf0…;
        // RFC 9562, section 5.5, then sets the version (5) and the variant. Python 3,
        // `uuid.uuid5(uuid.UUID(int=0), "")`, gives the same.
        assert_eq!(Fingerprint::of(b"").to_string(), "e129f27c51035c5c844bcdf0a15e160d");
    }

    #[test]
    fn what_is_written_is_read() {
        let text = two_files().to_text();
        assert_eq!(Manifest::parse(text.as_bytes()), Ok(two_files()));
        let files: Vec<&str> = text.lines().skip(2).map(|line| &line[33..]).collect();
        assert_eq!(files, [" a.css", "crops/茄 é.html", "crops/茄 é.html"]);
    }

    #[test]
    fn what_a_site_was_made_of_is_kept_until_it_changes() {
        for has_warnings in [false, true] {
            let made_of = Some(MadeOf { digest: Uuid::from_u128(7), has_warnings });
            let list = Manifest { made_of, ..two_files() };
            assert_eq!(Manifest::parse(list.to_text().as_bytes()), Ok(list.clone()));
            assert_eq!(list.and(&two_files()).made_of, None);
        }
    }

    #[test]
    fn a_wrong_line_is_counted() {
        let good = two_files().to_text();
        for (text, line) in [
            ("", 1),
            ("trug-manifest 2\n", 1),
            ("trug-manifest 1\n", 2),
            (&format!("{good}<<<<<<< ours\n") as &str, 6),
            (&format!("{good}{} ../../secret\n", Fingerprint::of(b"")), 6),
            (&format!("{good}{}\n", Fingerprint::of(b"")), 6),
        ] {
            assert_eq!(Manifest::parse(text.as_bytes()), Err(line), "{text}");
        }
        assert_eq!(Manifest::parse(b"trug-manifest 1\n\xff"), Err(2));
    }

    #[test]
    fn only_the_bytes_prove_that_a_file_is_ours() {
        let manifest = two_files();
        assert!(manifest.wrote(&path("crops/茄 é.html"), Fingerprint::of(b"old")));
        assert!(!manifest.wrote(&path("crops/茄 é.html"), Fingerprint::of(b"mine")));
        assert!(!manifest.wrote(&path(" a.css"), Fingerprint::of(b"old")));
    }

    #[test]
    fn other_spellings_and_folders() {
        let manifest = two_files();
        assert!(manifest.lists("Crops/茄 É.html") && !manifest.lists("crops"));
        assert!(manifest.spells_otherwise(&path("crops/茄 É.html")));
        assert!(!manifest.spells_otherwise(&path("crops/茄 é.html")));
        assert!(manifest.lists_below("crops") && !manifest.lists_below("crop"));
    }

    #[test]
    fn the_union_knows_both() {
        let mut after = Manifest::default();
        after.add(path("b.html"), Fingerprint::of(b"b"));
        let both = two_files().and(&after);
        assert_eq!(both.paths().len(), 3);
        assert!(both.wrote(&path("b.html"), Fingerprint::of(b"b")));
    }
}
