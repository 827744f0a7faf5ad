//! The rules of the house, checked on one file at a time.

use crate::house::code::{CodePath, blanked, paths};
use crate::house::drawing::Drawing;

/// Names of rooms that say nothing of what is in them.
const EMPTY_NAMES: &[&str] = &["utils", "util", "helpers", "helper", "common", "misc", "shared"];

/// Everything that is wrong in one file; `path` is that below `src`, with `/` between the parts.
pub(crate) fn faults(drawing: &Drawing, path: &str, source: &str) -> Vec<String> {
    let parts = parts_of(path);
    let mut faults = Vec::new();
    if let Some(name) = parts.iter().find(|part| EMPTY_NAMES.contains(part)) {
        faults.push(format!("src/{path}: a room called `{name}` says nothing of what is in it"));
    }
    let Some(room) = drawing.room_of(&parts) else {
        faults
            .push(format!("src/{path}: this room does not stand in the drawing of DEVELOPERS.md"));
        return faults;
    };
    let code = blanked(source);
    let tests_begin = code
        .lines()
        .position(|line| line.trim() == "#[cfg(test)]")
        .map_or(usize::MAX, |line| line + 1);
    for found in paths(&code) {
        let told = arrow(drawing, room, &found)
            .or_else(|| manners(&found, found.line > tests_begin))
            .or_else(|| guarded(drawing, path, &parts, &found));
        faults.extend(told.map(|told| format!("src/{path}:{}: {told}", found.line)));
    }
    faults
}

/// `garden/build.rs` → `garden`, `build`.
pub(crate) fn parts_of(path: &str) -> Vec<&str> {
    path.strip_suffix(".rs").unwrap_or(path).split('/').collect()
}

/// An arrow that the drawing does not have.
fn arrow(drawing: &Drawing, room: &str, found: &CodePath) -> Option<String> {
    // The binary's one file names the library from outside.
    let from_outside = room == "main" && found.begins(&["trug"]);
    if !from_outside && !found.begins(&["crate"]) {
        return None;
    }
    let parts: Vec<&str> = found.parts[1..].iter().map(String::as_str).collect();
    if parts.is_empty() {
        // `pub(crate)`, or a second name for the crate, which would hide what is used.
        return None;
    }
    let Some(used) = drawing.room_of(&parts) else {
        return Some(format!("`{}` leads to no room of the drawing", found.parts.join("::")));
    };
    if used == room || drawing.rooms[room].may_use.contains(used) {
        return None;
    }
    let allowed: Vec<&str> = drawing.rooms[room].may_use.iter().map(String::as_str).collect();
    let allowed = if allowed.is_empty() { "no other room".to_owned() } else { allowed.join(", ") };
    let rule = &drawing.rooms[room].rule;
    Some(format!("`{room}` may not use `{used}`. {rule} It may use: {allowed}."))
}

/// Paths are written out from `crate`, so that a file's arrows stand in its first lines.
fn manners(found: &CodePath, is_test: bool) -> Option<String> {
    let path = found.parts.join("::");
    if found.begins(&["super", "super"]) {
        return Some(format!("`{path}`: write the path out from `crate`"));
    }
    if found.begins(&["super"]) && found.parts.len() > 1 && !is_test {
        return Some(format!("`{path}`: write the path out from `crate`; `super` is for tests"));
    }
    let is_glob = found.parts.last().is_some_and(|last| last == "*");
    if is_glob && found.begins(&["crate"]) {
        return Some(format!("`{path}`: name what you use, one by one"));
    }
    None
}

/// A name that only some files may use.
fn guarded(drawing: &Drawing, path: &str, parts: &[&str], found: &CodePath) -> Option<String> {
    drawing.guarded.iter().find_map(|guard| {
        let name = guard.names.iter().find(|name| is_named(name, found))?;
        let is_allowed = guard.only_in.iter().any(|place| {
            place == path
                || parts.join("/").split_at_checked(place.len()).is_some_and(|(head, rest)| {
                    head == place && (rest.is_empty() || rest.starts_with('/'))
                })
        });
        if is_allowed {
            return None;
        }
        let places = guard.only_in.join(", ");
        let places =
            if places.is_empty() { "nowhere".to_owned() } else { format!("only in {places}") };
        Some(format!("`{name}` may be used {places}. {}", guard.rule))
    })
}

/// `std::fs` is named by `std::fs::read`; `Utc::now` by `chrono::Utc::now` and by `Utc::now`.
fn is_named(name: &str, found: &CodePath) -> bool {
    let wanted: Vec<&str> = name.split("::").collect();
    let is_method = wanted.len() == 2 && wanted[0].starts_with(char::is_uppercase);
    if is_method {
        return found.parts.windows(2).any(|pair| pair == wanted.as_slice());
    }
    found.begins(&wanted)
}

#[cfg(test)]
mod tests {
    use super::*;

    const HOUSE: &str = "
| floor | room | may use | rule |
|---|---|---|---|
| 0 | `words` | – | Knows nothing. |
| 1 | `shop` | `words` | Sells. |
| 2 | `shop/till` | `shop` `words` | Counts. |
| 9 | `main` | `shop` | Opens the door. |

| name | only in | because |
|---|---|---|
| `std::fs` | `shop/till.rs` | One hand on the disk. |
| `Utc::now` `std::env` | `shop` | The world is handed in. |
| `println!` | – | Ask the till. |
";

    fn told(path: &str, source: &str) -> String {
        faults(&Drawing::read(HOUSE).unwrap(), path, source).join("\n")
    }

    #[test]
    fn a_forbidden_arrow_is_told_with_file_line_and_rule() {
        let source = "use crate::words::W;\n\nfn f() -> crate::shop::S { todo() }\n";
        assert_eq!(
            told("words.rs", source),
            "src/words.rs:3: `words` may not use `shop`. Knows nothing. It may use: no other room."
        );
        assert_eq!(told("shop/shelf.rs", "use crate::{shop::S, words::W};"), "");
        assert!(told("shop.rs", "use crate::shop::till::T;").contains("may not use `shop/till`"));
        assert_eq!(told("shop/till/coins.rs", "use crate::shop::S;"), "");
    }

    #[test]
    fn imports_in_groups_tests_and_macros_are_seen_too() {
        let group = "use crate::{\n    words::W,\n    shop::till::{T},\n};";
        assert!(told("shop.rs", group).starts_with("src/shop.rs:3:"), "{}", told("shop.rs", group));
        let test = "#[cfg(test)]\nmod tests {\n    use crate::shop::S;\n}";
        assert!(told("words.rs", test).starts_with("src/words.rs:3:"));
        assert!(told("words.rs", "macro_rules! m { () => { $crate::shop::S } }").contains("shop"));
        assert!(
            told("words.rs", "// crate::shop::S\nconst X: &str = \"crate::shop::S\";").is_empty()
        );
        assert!(
            told("main.rs", "fn main() { trug::words::run() }").contains("may not use `words`")
        );
    }

    #[test]
    fn rooms_have_to_be_drawn_and_named() {
        assert!(told("attic.rs", "").contains("does not stand in the drawing"));
        assert!(told("shop/utils.rs", "").contains("says nothing"));
        assert!(told("shop.rs", "use crate::attic::A;").contains("leads to no room"));
    }

    #[test]
    fn paths_are_written_out() {
        assert!(told("shop/a.rs", "use super::super::words::W;").contains("from `crate`"));
        assert!(told("shop/a.rs", "use super::b::B;").contains("for tests"));
        assert!(told("shop/a.rs", "use crate::words::*;").contains("one by one"));
        let test = "pub(super) fn f() {}\n#[cfg(test)]\nmod tests {\n    use super::*;\n}";
        assert_eq!(told("shop/a.rs", test), "");
        let test = "#[cfg(test)]\nmod tests {\n    use super::super::a;\n}";
        assert!(told("shop/a.rs", test).contains("from `crate`"));
    }

    #[test]
    fn guarded_names_are_for_some_only() {
        for source in
            ["use std::fs;", "use std::{io, fs::{self, File}};", "fn f() { std::fs::read(x) }"]
        {
            assert!(
                told("shop/shelf.rs", source).contains("`std::fs` may be used only in"),
                "{source}"
            );
            assert_eq!(told("shop/till.rs", source), "", "{source}");
        }
        assert!(told("words.rs", "let t = chrono::Utc::now();").contains("handed in"));
        assert!(told("words.rs", "let t = Utc::now();").contains("handed in"));
        assert_eq!(told("shop/shelf.rs", "let t = Utc::now();"), "");
        assert!(told("shop.rs", "fn f() { println!(\"x\") }").contains("nowhere"));
    }
}
