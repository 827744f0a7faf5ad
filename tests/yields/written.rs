//! A garden as it is written, for tests of yields.

use std::collections::BTreeMap;

use chrono::NaiveDate;
use trug::garden::model::Garden;
use trug::garden::planting::PlantingId;
use trug::origin::FileId;
use trug::publish::{Day, Inputs, proof};
use trug::source::files::Files;

/// The files of a garden.
#[derive(Clone, Debug)]
pub(crate) struct Written {
    files: Vec<(String, String)>,
}

/// A date as a test writes it.
pub(crate) fn day(text: &str) -> NaiveDate {
    text.parse().expect("a date")
}

impl Written {
    /// A bed of 4 m by 1.2 m and 30 cm deep, four round pots of 15 L, ground of unknown depth, a shelf.
    pub(crate) fn new() -> Written {
        let settings = "name: Ferry Steps\nplace: {latitude: 55.1, longitude: 9.4}\n";
        Written { files: vec![("garden.yaml".to_owned(), settings.to_owned())] }
            .place("bed", "kind: bed\nlength: 4 m\nwidth: 1.2 m\ndepth: 30 cm")
            .place("pots", "kind: container\ncontainers: 4\nvolume: 15 L\ndiameter: 28 cm")
            .place("plot", "kind: ground\nlength: 5 m\nwidth: 2 m")
            .place("shelf", "kind: shelf\nlength: 1 m\nwidth: 40 cm")
    }

    fn place(self, name: &str, sizes: &str) -> Written {
        self.file(&format!("places/{name}.md"), &format!("---\nname: {name}\n{sizes}\n---\n"))
    }

    /// With a file.
    pub(crate) fn file(mut self, path: &str, text: &str) -> Written {
        self.files.push((path.to_owned(), text.to_owned()));
        self
    }

    /// With an entry whose front matter says this below its date.
    pub(crate) fn entry(self, date: &str, front: &str) -> Written {
        let path = format!("journal/{date}-{}.md", self.files.len());
        self.file(&path, &format!("---\ndate: {date}\n{front}\n---\n"))
    }

    /// With a planting begun on a day.
    pub(crate) fn plant(self, date: &str, line: &str) -> Written {
        self.entry(date, &format!("plantings: [{{{line}}}]"))
    }

    /// With an event.
    pub(crate) fn event(self, date: &str, line: &str) -> Written {
        self.entry(date, &format!("events: [{{{line}}}]"))
    }

    /// With a picking.
    pub(crate) fn picked(self, date: &str, line: &str) -> Written {
        self.entry(date, &format!("harvests: [{{{line}}}]"))
    }

    /// The garden at the end of 2026; there must be no problem.
    pub(crate) fn garden(&self) -> Garden {
        let files = self.files.iter();
        let files: Vec<_> =
            files.map(|(path, text)| (path.clone(), text.as_bytes().to_vec())).collect();
        let content = Files::new(FileId(0), files);
        let day = Day::Fixed(day("2026-12-31"));
        let (garden, problems) = proof(&Inputs {
            content,
            theme: Files::default(),
            day,
            earlier_feeds: BTreeMap::new(),
            earlier_photos: BTreeMap::new(),
        });
        assert!(problems.is_empty(), "{problems:#?}");
        garden
    }
}

/// The planting of an id.
pub(crate) fn find(garden: &Garden, id: &str) -> PlantingId {
    garden.find_planting(id).expect("a planting")
}
