//! An entry as text that is added to: what stands there stays, line for line.

/// One key of the front matter with all its lines; a comment between keys has no key.
#[derive(Clone, Debug, PartialEq, Eq)]
pub(super) struct Block {
    key: String,
    lines: Vec<String>,
}

impl Block {
    /// The lines as they stand in a file.
    pub(super) fn lines(&self) -> impl Iterator<Item = &str> {
        self.lines.iter().map(String::as_str)
    }

    /// What this says, one item each: a name, or names with amounts. Nothing if that cannot be told from the text.
    fn items(&self) -> Option<Vec<Vec<String>>> {
        let (first, rest) = self.lines.split_first()?;
        let value = first.split_once(':')?.1.trim();
        let rest: Vec<&str> = rest.iter().map(String::as_str).collect();
        let one = |text: &str| vec![text.trim().to_owned()];
        match value.chars().next() {
            None => in_lines(&rest),
            Some(_) if !rest.is_empty() => None,
            Some('{' | '\'' | '"') => Some(vec![one(value)]),
            Some('[') => {
                let inside = value.strip_prefix('[')?.strip_suffix(']')?;
                let is_plain = !inside.contains(['\'', '"', '{', '[']);
                is_plain.then(|| inside.split(',').map(one).collect())
            }
            Some('|' | '>' | '&' | '*' | '!') => None,
            Some(_) if value.contains(" #") => None,
            Some(_) => Some(value.split(", ").map(one).collect()),
        }
    }

    fn is_called(&self, key: &str) -> bool {
        let plain = |key: &str| key.to_lowercase().replace('-', " ");
        !self.key.is_empty() && plain(&self.key) == plain(key)
    }

    /// This and another of the same key, as one list.
    fn joined(&self, other: &Block) -> Option<Block> {
        let mut lines = vec![format!("{}:", self.key)];
        for item in self.items()?.into_iter().chain(other.items()?) {
            for (index, line) in item.iter().enumerate() {
                lines.push(format!("{}{line}", if index == 0 { "  - " } else { "    " }));
            }
        }
        Some(Block { key: self.key.clone(), lines })
    }
}

/// The items of a value that stands below its key: of a list each, of a map the whole.
fn in_lines(lines: &[&str]) -> Option<Vec<Vec<String>>> {
    let lines: Vec<&str> = lines.iter().copied().filter(|line| !line.trim().is_empty()).collect();
    let indent = |line: &str| line.len() - line.trim_start().len();
    let margin = lines.iter().map(|line| indent(line)).min()?;
    let mut items: Vec<Vec<String>> = Vec::new();
    let is_list = lines[0][margin..].starts_with("- ");
    for line in &lines {
        let line = &line[margin..];
        match (line.strip_prefix("- "), items.last_mut()) {
            (Some(first), _) if is_list => items.push(vec![first.trim_start().to_owned()]),
            (None, Some(item)) if is_list => item.push(line.trim_start().to_owned()),
            (None, None) if is_list => return None,
            (_, Some(item)) => item.push(line.to_owned()),
            (_, None) => items.push(vec![line.to_owned()]),
        }
    }
    Some(items)
}

/// The keys of front matter, each with its lines; what is said twice is one list where that can be.
pub(super) fn blocks<'a>(lines: impl IntoIterator<Item = &'a str>) -> Vec<Block> {
    let mut blocks: Vec<Block> = Vec::new();
    for line in lines {
        let is_comment = line.starts_with('#');
        let key = line.split_once(':').map(|(key, _)| key.trim().to_owned());
        let is_key = key.is_some() && !line.starts_with([' ', '\t', '-', '#']);
        match blocks.last_mut() {
            Some(block) if !is_key && (!is_comment || block.key.is_empty()) => {
                block.lines.push(line.to_owned());
            }
            _ => {
                let key = key.filter(|_| is_key).unwrap_or_default();
                blocks.push(Block { key, lines: vec![line.to_owned()] });
            }
        }
    }
    blocks
}

/// Adds blocks to others: one of a key that is there already is joined with it, else stands at the end.
pub(super) fn add(to: &mut Vec<Block>, new: Vec<Block>) {
    for block in new {
        let same = to.iter_mut().find(|old| old.is_called(&block.key));
        match same.and_then(|old| Some((old.joined(&block)?, old))) {
            Some((joined, old)) => *old = joined,
            None => to.push(block),
        }
    }
}

/// A whole entry of its blocks and its prose.
pub(super) fn entry(blocks: &[Block], prose: &str) -> String {
    let lines = blocks.iter().flat_map(|block| &block.lines);
    let front: String = lines.map(|line| format!("{line}\n")).collect();
    let prose = prose.trim();
    let prose = if prose.is_empty() { String::new() } else { format!("{prose}\n") };
    format!("---\n{front}---\n{prose}")
}

/// An entry with blocks and prose added; nothing if its front matter cannot be told from its prose.
pub(super) fn added(text: &str, new: Vec<Block>, prose: &str) -> Option<String> {
    let bare = text.strip_prefix('\u{feff}').unwrap_or(text);
    let lines: Vec<&str> = bare.lines().collect();
    let is_fence = |line: &&str| line.trim_end() == "---";
    lines.first().filter(|line| is_fence(line))?;
    let end = 1 + lines[1..].iter().position(is_fence)?;
    let mut front = blocks(lines[1..end].iter().copied());
    add(&mut front, new);
    let own = lines[end + 1..].join("\n");
    let prose = match (own.trim(), prose.trim()) {
        (own, "") => own.to_owned(),
        ("", prose) => prose.to_owned(),
        (own, prose) => format!("{own}\n\n{prose}"),
    };
    let whole = entry(&front, &prose);
    Some(if text.contains("\r\n") { whole.replace('\n', "\r\n") } else { whole })
}

/// The blocks of which something is not yet in the text, kept or struck out.
pub(super) fn not_yet_in(text: &str, new: Vec<Block>) -> Vec<Block> {
    let bare = |line: &str| line.trim_start_matches(['#', ' ', '-']).trim().to_lowercase();
    let known: Vec<String> = text.lines().map(bare).collect();
    let is_new = |block: &Block| block.lines.iter().any(|line| !known.contains(&bare(line)));
    new.into_iter().filter(is_new).collect()
}

#[cfg(test)]
mod tests {
    use super::*;

    fn with(text: &str, note: &str) -> String {
        added(text, blocks(note.lines()), "").unwrap()
    }

    #[test]
    fn a_key_that_is_there_already_becomes_a_list() {
        let before = "---\ntitle: Heat\nwatered: tubs, shelf\npicked:\n  pea: 300 g\n  leek: 2 # thin\n---\nHot.\n";
        let after = with(before, "Watered: [long bed]\npicked: {kale: 100 g}\nfed: tubs");
        let wanted = "---\ntitle: Heat\nwatered:\n  - tubs\n  - shelf\n  - long bed\npicked:\n  - pea: 300 g\n    \
                      leek: 2 # thin\n  - {kale: 100 g}\nfed: tubs\n---\nHot.\n";
        assert_eq!(after, wanted);
        let again = with(&after, "picked:\n  - pea: 1\n    leek: 2\n");
        assert!(again.contains("  - {kale: 100 g}\n  - pea: 1\n    leek: 2\nfed"), "{again}");
    }

    #[test]
    fn what_cannot_be_told_apart_is_left_alone() {
        assert_eq!(added("no front matter", blocks(["fed: tubs"]), ""), None);
        let odd = "---\nwatered: tubs # all\n---\n";
        assert_eq!(with(odd, "watered: bed"), "---\nwatered: tubs # all\nwatered: bed\n---\n");
    }

    #[test]
    fn line_ends_stay_as_they_are() {
        assert_eq!(
            with("---\r\nfed: a\r\n---\r\nx\r\n", "seen: {b: c}").matches("\r\n").count(),
            5
        );
    }
}
