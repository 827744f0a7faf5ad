//! Lists and maps that are longer than anybody writes them. Names are compared with each other, so that a list of a hundred
//! thousand would take minutes.

use crate::diagnostics::problem::Problems;
use crate::origin::Origin;
use crate::source::front_matter::{Node, Value};
use crate::source::problems;

/// Items of a list, keys of a map. The words of a theme are one map.
const MOST: usize = 2_000;

/// Tells each list and map that is too long, and keeps its beginning.
pub(super) fn shorten(node: &mut Node, problems: &mut Problems) {
    match &mut node.value {
        Value::List(items) => {
            if let Some(next) = items.get(MOST) {
                problems.add(problems::list_too_long(
                    one_sign(next.at),
                    items.len(),
                    MOST,
                    "items",
                ));
                items.truncate(MOST);
            }
            items.iter_mut().for_each(|item| shorten(item, problems));
        }
        Value::Map(map) => {
            if let Some((key, _)) = map.pairs.get(MOST) {
                problems.add(problems::list_too_long(key.at, map.pairs.len(), MOST, "keys"));
                map.pairs.truncate(MOST);
            }
            map.pairs.iter_mut().for_each(|(_, value)| shorten(value, problems));
        }
        Value::Empty | Value::Damaged | Value::Text(_) => {}
    }
}

/// An item may be a map of many lines; it is pointed at where it begins.
fn one_sign(at: Origin) -> Origin {
    match (at.file(), at.range()) {
        (Some(file), Some(range)) => {
            Origin::span(file, range.start, range.end.min(range.start + 1))
        }
        _ => at,
    }
}
