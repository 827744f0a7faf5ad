//! Small written gardens, published in memory: for tests that follow the whole trip.

use std::collections::BTreeMap;

use chrono::NaiveDate;
use serde_json::Value;
use trug::diagnostics::problem::Problem;
use trug::origin::FileId;
use trug::publish::{Day, Inputs, publish};
use trug::reading::wanted;
use trug::render::sink::MemorySink;
use trug::source::files::{Files, LargeFile};
use trug::source::theme;
use trug::source::walk::Wanted;

/// What `garden.yaml` says unless a test says otherwise.
const SETTINGS: &str = "\
name: Kiln Lane
place: {latitude: 47.41, longitude: 8.54, time-zone: Europe/Zurich}
climate:
  low:  [-1.9, -1.8, 1.6, 4.7, 8.9, 12.1, 14.2, 13.9, 10.4, 6.8, 2.1, -0.8]
  high: [3.4, 5.2, 10.3, 14.8, 18.8, 22.3, 24.4, 23.8, 19.3, 13.8, 7.6, 3.9]
frost: {last-spring: {50%: 04-20, 10%: 05-10}, first-autumn: {50%: 10-25, 10%: 10-08}}
";

/// A garden as written: files by path, the theme's own files, and the day it is published for.
#[derive(Clone, Debug)]
pub(crate) struct Written {
    files: BTreeMap<String, Vec<u8>>,
    theme: BTreeMap<String, Vec<u8>>,
    day: NaiveDate,
}

impl Written {
    /// A garden with a bed and a pot, and nothing in its journal, on 20 June 2026.
    pub(crate) fn new() -> Written {
        let empty =
            Written { files: BTreeMap::new(), theme: BTreeMap::new(), day: day("2026-06-20") };
        empty
            .with("garden.yaml", SETTINGS)
            .with("places/bed.md", "---\nname: Bed\nkind: bed\nlength: 3 m\nwidth: 120 cm\n---\n")
            .with("places/pot.md", "---\nname: Pot\nkind: container\nvolume: 15 L\n---\n")
    }

    /// The demo garden as it lies in `content/`, on the day its site is published for.
    pub(crate) fn demo() -> Written {
        Written::lying_in("content").on("2026-06-20")
    }

    /// A garden as it lies in a folder, for 20 June 2026.
    #[expect(clippy::disallowed_methods, reason = "the garden lies on the disk")]
    pub(crate) fn lying_in(folder: &str) -> Written {
        let root = std::path::Path::new(env!("CARGO_MANIFEST_DIR")).join(folder);
        let mut files = BTreeMap::new();
        let mut folders = vec![root.clone()];
        while let Some(folder) = folders.pop() {
            for entry in std::fs::read_dir(folder).unwrap() {
                let path = entry.unwrap().path();
                if path.is_dir() {
                    folders.push(path);
                    continue;
                }
                let below = path.strip_prefix(&root).unwrap();
                let below: Vec<_> = below.iter().map(|part| part.to_str().unwrap()).collect();
                files.insert(below.join("/"), std::fs::read(&path).unwrap());
            }
        }
        Written { files, theme: BTreeMap::new(), day: day("2026-06-20") }
    }

    /// With this file, in place of another of its path.
    pub(crate) fn with(mut self, path: &str, text: &str) -> Written {
        self.files.insert(path.to_owned(), text.as_bytes().to_vec());
        self
    }

    /// Without this file.
    pub(crate) fn without(mut self, path: &str) -> Written {
        self.files.remove(path).unwrap_or_else(|| panic!("there is no {path}"));
        self
    }

    /// With other settings.
    pub(crate) fn settings(self, text: &str) -> Written {
        self.with("garden.yaml", text)
    }

    /// With lines added to the usual settings.
    pub(crate) fn also_set(self, lines: &str) -> Written {
        self.with("garden.yaml", &format!("{SETTINGS}{lines}\n"))
    }

    /// With an entry of a day: the rest of its front matter, and its prose.
    pub(crate) fn entry(self, date: &str, front: &str, prose: &str) -> Written {
        let number = self.files.len();
        let text = format!("---\ndate: {date}\n{front}\n---\n{prose}\n");
        self.with(&format!("journal/{date}-{number:05}.md"), &text)
    }

    /// With a photograph, as a telephone saves it.
    pub(crate) fn photo(mut self, path: &str, bytes: Vec<u8>) -> Written {
        self.files.insert(path.to_owned(), bytes);
        self
    }

    /// With a file of a theme laid over the built-in one.
    pub(crate) fn theme(mut self, path: &str, text: &str) -> Written {
        self.theme.insert(path.to_owned(), text.as_bytes().to_vec());
        self
    }

    /// Published for another day.
    pub(crate) fn on(mut self, date: &str) -> Written {
        self.day = day(date);
        self
    }

    /// What a trip starts from.
    pub(crate) fn inputs(&self) -> Inputs {
        self.listed(self.files.clone().into_iter().collect())
    }

    /// The same, with the files listed backwards.
    pub(crate) fn inputs_backwards(&self) -> Inputs {
        self.listed(self.files.clone().into_iter().rev().collect())
    }

    fn listed(&self, files: Vec<(String, Vec<u8>)>) -> Inputs {
        let (photos, files): (Vec<_>, Vec<_>) =
            files.into_iter().partition(|(path, _)| wanted(path) == Wanted::Later);
        let photos = photos.into_iter().map(|(path, bytes)| LargeFile::held(path, bytes));
        let content = Files::new(FileId(0), files).with_large(photos.collect());
        let own = Files::new(FileId(0), self.theme.clone());
        let theme = theme::laid_over(&own, content.next_id());
        Inputs {
            content,
            theme,
            day: Day::Fixed(self.day),
            earlier_feeds: BTreeMap::new(),
            earlier_photos: BTreeMap::new(),
        }
    }

    /// The site; there must be no problem at all.
    pub(crate) fn site(&self) -> Site {
        let (site, problems) = self.site_and_problems();
        assert!(problems.is_empty(), "{problems:#?}");
        site
    }

    /// The site, and what was told; there must be no error.
    pub(crate) fn site_and_problems(&self) -> (Site, Vec<Problem>) {
        let mut sink = MemorySink::new();
        let published = publish(&self.inputs(), &mut sink).unwrap();
        assert!(published.is_complete, "{:#?}", published.problems);
        (Site::of(sink), published.problems)
    }
}

/// A date as a test writes it.
pub(crate) fn day(text: &str) -> NaiveDate {
    text.parse().unwrap()
}

/// A published site.
#[derive(Clone, Debug, PartialEq, Eq)]
pub(crate) struct Site {
    /// Bytes by path.
    pub(crate) files: BTreeMap<String, Vec<u8>>,
}

impl Site {
    /// What was put into a sink.
    pub(crate) fn of(sink: MemorySink) -> Site {
        let files = sink.into_files();
        Site { files: files.into_iter().map(|(path, bytes)| (path.to_string(), bytes)).collect() }
    }

    /// The text of a file.
    pub(crate) fn text(&self, path: &str) -> &str {
        let bytes = self.files.get(path).unwrap_or_else(|| {
            panic!("there is no {path} among {:#?}", self.files.keys().collect::<Vec<_>>())
        });
        std::str::from_utf8(bytes).unwrap()
    }

    /// garden.json.
    pub(crate) fn data(&self) -> Value {
        serde_json::from_str(self.text("garden.json")).unwrap()
    }

    /// A planting in garden.json.
    pub(crate) fn planting(&self, id: &str) -> Value {
        let data = self.data();
        let all = data["plantings"].as_array().unwrap();
        let found = all.iter().find(|planting| planting["id"] == id);
        found.unwrap_or_else(|| panic!("no planting {id} in {all:#?}")).clone()
    }

    /// A place in garden.json, by its slug.
    pub(crate) fn place(&self, slug: &str) -> Value {
        let data = self.data();
        let all = data["places"].as_array().unwrap();
        let found = all.iter().find(|place| place["slug"] == slug);
        found.unwrap_or_else(|| panic!("no place {slug} in {all:#?}")).clone()
    }

    /// The places at which a planting stood, each as `place from to`, earliest first.
    pub(crate) fn stays(&self, id: &str) -> Vec<String> {
        let data = self.data();
        let mut stays: Vec<(String, String)> = Vec::new();
        for place in data["places"].as_array().unwrap() {
            for stay in place["occupied"].as_array().unwrap() {
                if stay["planting"] == id {
                    let to = stay["to"].as_str().unwrap_or("now");
                    let slug = place["slug"].as_str().unwrap();
                    let from = stay["from"].as_str().unwrap();
                    stays.push((from.to_owned(), format!("{slug} {from} {to}")));
                }
            }
        }
        stays.sort();
        stays.into_iter().map(|(_, stay)| stay).collect()
    }

    /// Paths of the files that hold a text anywhere, in any case, in name or bytes.
    pub(crate) fn holding(&self, text: &str) -> Vec<&str> {
        let wanted = text.to_lowercase();
        let holds = |path: &str, bytes: &[u8]| {
            // The feed folds its lines; a word may lie across a fold.
            let unfolded = String::from_utf8_lossy(bytes).replace("\r\n ", "");
            path.to_lowercase().contains(&wanted) || unfolded.to_lowercase().contains(&wanted)
        };
        let files = self.files.iter();
        files.filter(|(path, bytes)| holds(path, bytes)).map(|(path, _)| path.as_str()).collect()
    }
}
