//! The names in what could not be read, so that whoever uses them is not blamed.

use crate::journal::entry::Lost;
use crate::source::front_matter::{Map, Node, Value};

/// Keys behind which the id of a new planting stands.
const IDS: &[&str] = &["id", "as"];
/// Keys behind which it stands whose history is told.
const SUBJECTS: &[&str] = &["id", "as", "planting", "crop", "place"];

/// The names in a text that could not be taken apart.
pub(super) fn in_text(front: &str) -> Lost {
    Lost { ids: behind(front, IDS), doubtful: behind(front, SUBJECTS) }
}

/// The names in a value of any shape.
pub(super) fn within(node: Option<&Node>, names: &mut Vec<String>) {
    match node.map(|node| &node.value) {
        Some(Value::Map(map)) => within_map(map, names),
        Some(Value::List(items)) => items.iter().for_each(|item| within(Some(item), names)),
        _ => {}
    }
}

/// The names in the lines of a map.
pub(super) fn within_map(map: &Map, names: &mut Vec<String>) {
    for (key, node) in &map.pairs {
        if !SUBJECTS.contains(&key.value.as_str()) {
            within(Some(node), names);
            continue;
        }
        let items = match &node.value {
            Value::List(items) => items.as_slice(),
            _ => std::slice::from_ref(node),
        };
        names.extend(items.iter().filter_map(|item| match &item.value {
            Value::Text(text) => Some(text.text.trim().to_owned()),
            _ => None,
        }));
    }
}

/// Whatever stands behind one of the keys: a name, or a list of them.
fn behind(front: &str, keys: &[&str]) -> Vec<String> {
    let mut names = Vec::new();
    for key in keys {
        for (at, _) in front.match_indices(key) {
            let is_key = front[..at].chars().next_back().is_none_or(|c| !c.is_alphanumeric());
            let Some(rest) = front[at + key.len()..].strip_prefix(':').filter(|_| is_key) else {
                continue;
            };
            let rest = rest.trim_start_matches(' ');
            let (list, end) = match rest.strip_prefix('[') {
                Some(list) => (list, &[']', '\n'][..]),
                None => (rest, &[',', '}', ']', '\n', '#'][..]),
            };
            let list = list.split(end).next().unwrap_or("");
            let part = |name: &str| name.trim().trim_matches(['\'', '"']).to_owned();
            names.extend(list.split(',').map(part).filter(|name| !name.is_empty()));
        }
    }
    names
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn names_stand_behind_their_keys() {
        let lost = in_text("- {id: 'leek-26', crop: leek, place: [a b, c], aside: x\n  as: y\n");
        assert_eq!(lost.ids, ["leek-26", "y"]);
        assert_eq!(lost.doubtful, ["leek-26", "y", "leek", "a b", "c"]);
    }
}
