//! The drawing of the house, read from DEVELOPERS.md: what may know what, and what only some may name.

use std::collections::{BTreeMap, BTreeSet};

/// The drawing.
#[derive(Debug)]
pub(crate) struct Drawing {
    /// Rooms by name; `garden/build` is a room inside a room.
    pub(crate) rooms: BTreeMap<String, Room>,
    /// Names that only some files may use.
    pub(crate) guarded: Vec<Guarded>,
}

/// A room.
#[derive(Debug)]
pub(crate) struct Room {
    /// Its floor; a room knows its own floor and those below.
    pub(crate) floor: u32,
    /// The rooms it may use.
    pub(crate) may_use: BTreeSet<String>,
    /// The sentence that is shown when it uses another.
    pub(crate) rule: String,
}

/// A name that only some files may use.
#[derive(Debug)]
pub(crate) struct Guarded {
    /// As it stands in code: `std::fs`, `println!`.
    pub(crate) names: Vec<String>,
    /// Rooms or files.
    pub(crate) only_in: Vec<String>,
    /// The sentence that is shown.
    pub(crate) rule: String,
}

impl Drawing {
    /// Reads the two tables: the one with `room` in its head and the one with `name` in its head.
    pub(crate) fn read(markdown: &str) -> Result<Drawing, String> {
        let mut rooms = BTreeMap::new();
        for row in table(markdown, "room")? {
            let [floor, names, may_use, rule] = row.as_slice() else {
                return Err(format!("a row of the rooms has not four cells: {row:?}"));
            };
            let floor = floor.parse().map_err(|_| format!("`{floor}` is not a floor"))?;
            for name in ticked(names) {
                let may_use = ticked(may_use).into_iter().collect();
                let room = Room { floor, may_use, rule: rule.clone() };
                if rooms.insert(name.clone(), room).is_some() {
                    return Err(format!("the room {name} stands twice in the drawing"));
                }
            }
        }
        let mut guarded = Vec::new();
        for row in table(markdown, "name")? {
            let [names, only_in, rule] = row.as_slice() else {
                return Err(format!("a row of the names has not three cells: {row:?}"));
            };
            guarded.push(Guarded {
                names: ticked(names),
                only_in: ticked(only_in),
                rule: rule.clone(),
            });
        }
        Ok(Drawing { rooms, guarded })
    }

    /// The room of a path below `src`, or behind `crate::`: the longest that fits.
    pub(crate) fn room_of(&self, parts: &[&str]) -> Option<&str> {
        (1..=parts.len()).rev().find_map(|length| {
            let name = parts[..length].join("/");
            self.rooms.get_key_value(&name).map(|(name, _)| name.as_str())
        })
    }

    /// What is wrong with the drawing itself: unknown rooms, arrows that go up, rings.
    pub(crate) fn faults(&self) -> Vec<String> {
        let mut faults = Vec::new();
        for (name, room) in &self.rooms {
            for used in &room.may_use {
                match self.rooms.get(used) {
                    None => faults.push(format!("{name} may use {used}, which is no room")),
                    Some(other) if other.floor > room.floor => faults.push(format!(
                        "{name} on floor {} may use {used} on floor {}",
                        room.floor, other.floor
                    )),
                    Some(_) => {}
                }
            }
            let mut seen = BTreeSet::new();
            let mut next: Vec<&String> = room.may_use.iter().collect();
            while let Some(used) = next.pop() {
                if used == name {
                    faults.push(format!("{name} comes back to itself through what it may use"));
                    break;
                }
                if seen.insert(used) {
                    next.extend(
                        self.rooms.get(used).map(|room| &room.may_use).into_iter().flatten(),
                    );
                }
            }
        }
        faults
    }
}

/// The rows of the table of which a heading cell is `heading`.
fn table(markdown: &str, heading: &str) -> Result<Vec<Vec<String>>, String> {
    let mut lines = markdown.lines();
    lines
        .find(|line| line.starts_with('|') && cells(line).iter().any(|cell| cell == heading))
        .ok_or_else(|| format!("there is no table with `{heading}` in its head"))?;
    let rows = lines.skip(1).take_while(|line| line.starts_with('|')).map(cells);
    let rows: Vec<Vec<String>> = rows.collect();
    if rows.is_empty() { Err(format!("the table of `{heading}` is empty")) } else { Ok(rows) }
}

fn cells(line: &str) -> Vec<String> {
    line.trim().trim_matches('|').split('|').map(|cell| cell.trim().to_owned()).collect()
}

/// The words in `ticks`.
fn ticked(cell: &str) -> Vec<String> {
    cell.split('`').skip(1).step_by(2).map(str::to_owned).collect()
}

#[cfg(test)]
mod tests {
    use super::*;

    const SMALL: &str = "
| floor | room | may use | what it is |
|---|---|---|---|
| 0 | `words`, `dates` | – | knows nothing |
| 1 | `shop` | `words` `dates` | sells |
| 2 | `shop/till` | `shop` `words` | counts |

| name | only in | because |
|---|---|---|
| `std::fs` | `shop/till.rs` | one hand on the disk |
";

    #[test]
    fn the_longest_room_wins() {
        let drawing = Drawing::read(SMALL).unwrap();
        assert_eq!(drawing.room_of(&["shop", "till", "drawer"]), Some("shop/till"));
        assert_eq!(drawing.room_of(&["shop", "shelf"]), Some("shop"));
        assert_eq!(drawing.room_of(&["street"]), None);
        assert_eq!(drawing.rooms["shop"].may_use.len(), 2);
        assert!(drawing.rooms["dates"].may_use.is_empty());
        assert_eq!(drawing.guarded[0].only_in, ["shop/till.rs"]);
        assert_eq!(drawing.faults(), Vec::<String>::new());
    }

    #[test]
    fn a_drawing_that_contradicts_itself_is_told() {
        let up = SMALL
            .replace("| 0 | `words`, `dates` | – |", "| 0 | `words`, `dates` | `shop` `attic` |");
        let faults = Drawing::read(&up).unwrap().faults().join("\n");
        for expected in ["words may use attic", "dates on floor 0 may use shop", "shop comes back"]
        {
            assert!(faults.contains(expected), "{faults}");
        }
        assert!(Drawing::read("no table").is_err());
        assert!(Drawing::read(&SMALL.replace("`shop/till` |", "`shop` |")).is_err());
    }
}
