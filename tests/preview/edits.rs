//! However a garden is edited, the files of its preview are those of a publish from nothing, byte for byte.

use std::collections::BTreeMap;

use rayon::prelude::*;
use trug::origin::FileId;
use trug::pictures;
use trug::preview::Preview;
use trug::publish::{Day, Inputs, publish};
use trug::reading::wanted;
use trug::render::sink::MemorySink;
use trug::source::files::{Files, LargeFile};
use trug::source::theme;
use trug::source::walk::Wanted;

use crate::large_garden::LargeGarden;

/// How many edits; `tests/campaign` makes a thousand.
const EDITS: usize = 30;

/// A garden as it stands on the desk.
struct Desk {
    content: BTreeMap<String, Vec<u8>>,
    theme: BTreeMap<String, Vec<u8>>,
    day: Day,
    chance: Chance,
}

/// Steele, Lea and Flood 2014, SplitMix: the same edits on every machine.
struct Chance(u64);

impl Chance {
    fn below(&mut self, most: usize) -> usize {
        self.0 = self.0.wrapping_add(0x9e37_79b9_7f4a_7c15);
        let mixed = (self.0 ^ (self.0 >> 30)).wrapping_mul(0xbf58_476d_1ce4_e5b9);
        let mixed = (mixed ^ (mixed >> 27)).wrapping_mul(0x94d0_49bb_1331_11eb);
        ((mixed ^ (mixed >> 31)) % most as u64) as usize
    }

    fn of<'a, T>(&mut self, all: &'a [T]) -> &'a T {
        &all[self.below(all.len())]
    }
}

impl Desk {
    fn inputs(&self) -> Inputs {
        let is_large = |path: &String| wanted(path) == Wanted::Later;
        let (large, small): (Vec<_>, Vec<_>) =
            self.content.clone().into_iter().partition(|(path, _)| is_large(path));
        let large = large.into_iter().map(|(path, bytes)| LargeFile::held(path, bytes));
        let content = Files::new(FileId(0), small).with_large(large.collect());
        let theme = Files::new(FileId(0), self.theme.clone());
        Inputs {
            theme: theme::laid_over(&theme, content.next_id()),
            content,
            day: self.day,
            earlier_feeds: BTreeMap::new(),
            earlier_photos: BTreeMap::new(),
        }
    }

    fn entry(&mut self) -> String {
        let is_entry = |path: &&String| path.starts_with("journal/") && path.ends_with(".md");
        let entries: Vec<String> = self.content.keys().filter(is_entry).cloned().collect();
        self.chance.of(&entries).clone()
    }

    fn change(&mut self, path: &str, change: impl FnOnce(&mut Chance, &str) -> String) {
        let text = String::from_utf8(self.content[path].clone()).unwrap();
        let text = change(&mut self.chance, &text);
        self.content.insert(path.to_owned(), text.into_bytes());
    }

    /// One edit; what it was.
    fn edit(&mut self, number: usize) -> String {
        let path = self.entry();
        let what = match self.chance.below(12) {
            0..=2 => {
                self.change(&path, |_, text| format!("{text}\nA word more, the {number}th.\n"));
                "prose"
            }
            3 => {
                self.change(&path, |_, text| format!("{text}\nSee [[place:nowhere-{number}]].\n"));
                "a link to nothing"
            }
            4 => {
                self.change(&path, |_, text| {
                    text.replacen("---\n", &format!("---\ntags: [t{number}]\n"), 1)
                });
                "a tag"
            }
            5 => {
                self.change(&path, |chance, text| {
                    let digits: Vec<usize> = text
                        .match_indices(|c: char| c.is_ascii_digit())
                        .map(|(at, _)| at)
                        .collect();
                    let mut text = text.to_owned();
                    if !digits.is_empty() {
                        let at = *chance.of(&digits);
                        text.replace_range(at..=at, &chance.below(10).to_string());
                    }
                    text
                });
                "a digit"
            }
            6 => {
                self.change(&path, |chance, text| {
                    let mut lines: Vec<&str> = text.lines().collect();
                    lines.remove(chance.below(lines.len()));
                    lines.join("\n")
                });
                "a line gone"
            }
            7 => {
                self.content.remove(&path);
                "an entry gone"
            }
            8 => {
                let text = format!(
                    "---\ndate: 1996-05-04\ntitle: Found {number}\n---\nBehind the shed.\n"
                );
                self.content.insert(format!("journal/found-{number}.md"), text.into_bytes());
                "an entry more"
            }
            9 => {
                let colour = [self.chance.below(256) as u8, 90, 40];
                let picture = pictures::painted([40, 30], colour, std::iter::empty()).unwrap();
                self.content.insert("photos/shed.png".to_owned(), picture);
                let text =
                    "---\ndate: 1996-05-05\nphotos: [{file: shed.png, shows: the shed}]\n---\n";
                self.content.insert("journal/shed.md".to_owned(), text.into());
                "a photograph"
            }
            10 => {
                let words = format!("frame.skip: Over to the {number}th\n");
                self.theme.insert("words/en.yaml".to_owned(), words.into_bytes());
                self.theme.insert("assets/own.css".to_owned(), format!("/* {number} */").into());
                "the theme"
            }
            _ => {
                self.change("garden.yaml", |_, text| {
                    let rest = text.lines().filter(|line| !line.starts_with("name:"));
                    let rest: Vec<&str> = rest.collect();
                    format!("name: Yard {number}\n{}\n", rest.join("\n"))
                });
                "the name of the garden"
            }
        };
        format!("{number}: {what}, {path}")
    }
}

#[test]
fn a_preview_is_a_publish_after_any_edits() {
    let edits = std::env::var("TRUG_EDITS").map_or(EDITS, |edits| edits.parse().unwrap());
    let garden = LargeGarden::sparse(1, 12);
    let files = garden.files.into_iter().map(|(path, text)| (path, text.into_bytes()));
    let content: BTreeMap<String, Vec<u8>> = files.collect();
    let chance = Chance(edits as u64);
    let day = Day::Fixed(garden.day);
    let mut desk = Desk { content: content.clone(), theme: BTreeMap::new(), day, chance };
    let mut preview = Preview::default();
    let (mut complete, mut stopped) = (0, 0);
    for number in 0..=edits {
        let edit = if number == 0 { "the first time".to_owned() } else { desk.edit(number) };
        let mut sink = MemorySink::new();
        let published = publish(&desk.inputs(), &mut sink).unwrap();
        let before = preview.site().cloned();
        let told = preview.renew(desk.inputs()).unwrap();
        assert_eq!(told.problems, published.problems, "{edit}");
        assert_eq!(told.is_complete, published.is_complete, "{edit}");
        if !told.is_complete {
            let is_same = before.as_ref().map(std::sync::Arc::as_ptr)
                == preview.site().map(std::sync::Arc::as_ptr);
            assert!(is_same, "{edit}: the last site is gone");
            stopped += 1;
            // A slip is mended, sooner or later.
            if desk.chance.below(4) > 0 {
                desk.content.clone_from(&content);
            }
            continue;
        }
        complete += 1;
        let site = preview.site().unwrap();
        let mut paths: Vec<&str> = site.paths().collect();
        paths.sort_unstable();
        let cold: Vec<&str> = sink.files().keys().map(|path| path.as_str()).collect();
        let mut sorted = cold.clone();
        sorted.sort_unstable();
        assert_eq!(paths, sorted, "{edit}");
        cold.par_iter().for_each(|path| {
            let bytes = site.file(path).unwrap();
            assert!(bytes.as_deref() == sink.get(path), "{edit}: {path} is another");
        });
    }
    println!("{complete} sites compared, {stopped} kept");
    assert!(complete > edits / 3 && stopped > 0, "{complete} complete, {stopped} stopped");
}
