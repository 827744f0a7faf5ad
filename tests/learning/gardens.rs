//! Gardens written on the spot, and the demo.

use std::collections::BTreeMap;
use std::path::Path;

use chrono::NaiveDate;
use trug::climate::conditions::Conditions;
use trug::diagnostics::codes::Severity;
use trug::garden::model::Garden;
use trug::learning::Learned;
use trug::learning::estimate::Estimate;
use trug::learning::quantity::{Beginning, Kind, Quantity, Span, TimeOfYear};
use trug::origin::FileId;
use trug::publish::{Day, Inputs, proof};
use trug::source::files::Files;
use trug::stage::Stage;
use trug::stages::Milestone;

pub(crate) const OPEN_SPRING: Kind = Kind { is_under_cover: false, time: TimeOfYear::Spring };
pub(crate) const OPEN_AUTUMN: Kind = Kind { is_under_cover: false, time: TimeOfYear::Autumn };
pub(crate) const COVER_SPRING: Kind = Kind { is_under_cover: true, time: TimeOfYear::Spring };

/// A garden with places, two crop sheets with round numbers, and what is added.
#[derive(Clone)]
pub(crate) struct Writer {
    latitude: f64,
    months_c: [f64; 12],
    files: Vec<(String, String)>,
    more_settings: String,
}

impl Writer {
    pub(crate) fn new() -> Writer {
        let place = |name: &str, kind: &str, cover: &str| {
            let text = format!("---\nname: {name}\nkind: {kind}\ncover: {cover}\n---\n");
            (format!("places/{name}.md"), text)
        };
        let kohlrabi = "---\ncrop: kohlrabi\nweeks-under-cover: 4-6\ngermination: {days: 5-10}\n\
                        first-harvest: {after: planted out, days: 40-60}\nharvest-lasts: 10-20 days\n\
                        picking-every: 2-4 days\ndegree-days: {base: 10 °C}\n---\n";
        let shallot =
            "---\ncrop: shallot\nfirst-harvest: {after: planted out, days: 100-120}\n---\n";
        Writer {
            latitude: 47.0,
            // Kohlrabi grows at 4 to 24 °C, so a day is one of the weather that its sheet means.
            months_c: [14.0; 12],
            files: vec![
                place("shelf", "shelf", "indoors"),
                place("bed", "bed", "none"),
                place("house", "glasshouse", "glass"),
                ("crops/kohlrabi.md".to_owned(), kohlrabi.to_owned()),
                ("crops/shallot.md".to_owned(), shallot.to_owned()),
            ],
            more_settings: String::new(),
        }
    }

    pub(crate) fn at_latitude(mut self, latitude: f64) -> Writer {
        self.latitude = latitude;
        self
    }

    /// All year, by day and by night.
    pub(crate) fn at_mean(self, mean_c: f64) -> Writer {
        self.at_months([mean_c; 12])
    }

    pub(crate) fn at_months(mut self, months_c: [f64; 12]) -> Writer {
        self.months_c = months_c;
        self
    }

    pub(crate) fn setting(mut self, line: &str) -> Writer {
        self.more_settings.push_str(line);
        self.more_settings.push('\n');
        self
    }

    /// An entry whose front matter has these lines below its date.
    pub(crate) fn entry(mut self, date: &str, lines: &str) -> Writer {
        let number = self.files.len();
        let text = format!("---\ndate: {date}\n{lines}\n---\n");
        self.files.push((format!("journal/{}/{date}-{number}.md", &date[..4]), text));
        self
    }

    pub(crate) fn begins(self, date: &str, planting: &str) -> Writer {
        self.entry(date, &format!("plantings:\n  - {{{planting}}}"))
    }

    pub(crate) fn event(self, date: &str, event: &str) -> Writer {
        self.entry(date, &format!("events:\n  - {{{event}}}"))
    }

    pub(crate) fn picks(self, plantings: &str, dates: &[&str]) -> Writer {
        dates.iter().fold(self, |writer, date| {
            writer.entry(date, &format!("harvests:\n  - {{planting: {plantings}, count: 2}}"))
        })
    }

    pub(crate) fn file(mut self, path: &str, text: String) -> Writer {
        self.files.push((path.to_owned(), text));
        self
    }

    /// The garden on a day; what is written must be free of errors.
    pub(crate) fn on(&self, day: &str) -> Garden {
        let months = self.months_c.map(|mean| mean.to_string()).join(", ");
        let settings = format!(
            "name: Test\nplace: {{latitude: {}, longitude: 11, time-zone: UTC}}\n\
             climate: {{low: [{months}], high: [{months}]}}\n{}",
            self.latitude, self.more_settings
        );
        let mut files = self.files.clone();
        files.push(("garden.yaml".to_owned(), settings));
        let bytes = files.into_iter().map(|(path, text)| (path, text.into_bytes()));
        garden_of(Files::new(FileId(0), bytes), day)
    }
}

pub(crate) fn demo_on(day: NaiveDate) -> Garden {
    let folder = Path::new(env!("CARGO_MANIFEST_DIR")).join("content");
    let content = trug::source::walk::read_folder(&folder, FileId(0), trug::reading::wanted);
    garden_of(content.expect("the demo garden"), &day.to_string())
}

/// A garden of `tests/ranges` with the plantings of a table, as `write_gardens.py` writes it.
#[expect(clippy::disallowed_methods, reason = "a table beside a garden is none of its files")]
pub(crate) fn invented(garden: &str, table: &Path, day: &str) -> Garden {
    let folder = Path::new(env!("CARGO_MANIFEST_DIR")).join("tests/ranges").join(garden);
    let read = |path: &Path| std::fs::read_to_string(path).expect("a file");
    let mut files = vec![("garden.yaml".to_owned(), read(&folder.join("garden.yaml")))];
    for place in std::fs::read_dir(folder.join("places")).expect("places") {
        let path = place.expect("a place").path();
        let name = path.file_name().expect("a name").to_string_lossy().into_owned();
        files.push((format!("places/{name}"), read(&path)));
    }
    let mut entries: BTreeMap<String, [Vec<String>; 3]> = BTreeMap::new();
    for row in read(table).lines().skip(1) {
        let cells: Vec<&str> = row.split(',').collect();
        let [id, crop, variety, begun, how, place, destined] = cells[..7] else { panic!("{row}") };
        let destined =
            if destined.is_empty() { String::new() } else { format!(", for: {destined}") };
        let mut write = |day: &str, list: usize, line: String| {
            if !day.is_empty() {
                entries.entry(day.to_owned()).or_default()[list].push(line);
            }
        };
        let line = format!(
            "{{id: {id}, crop: {crop}, variety: {variety}, {how}: 20, place: {place}{destined}}}"
        );
        write(begun, 0, line);
        for (column, what) in [
            (7, "emerged".to_owned()),
            (8, format!("planted out, place: {}", cells[6])),
            (9, "flowering".to_owned()),
            (13, "finished".to_owned()),
        ] {
            write(cells[column], 1, format!("{{planting: {id}, is: {what}}}"));
        }
        for picking in &cells[10..13] {
            write(picking, 2, format!("{{planting: {id}, weight: 300 g}}"));
        }
    }
    for (date, lists) in entries {
        let mut text = format!("---\ndate: {date}\n");
        for (key, lines) in ["plantings", "events", "harvests"].iter().zip(lists) {
            if !lines.is_empty() {
                text.push_str(&format!("{key}:\n  - {}\n", lines.join("\n  - ")));
            }
        }
        files.push((format!("journal/{date}.md"), text + "---\n"));
    }
    let bytes = files.into_iter().map(|(path, text)| (path, text.into_bytes()));
    garden_of(Files::new(FileId(0), bytes), day)
}

fn garden_of(content: Files, day: &str) -> Garden {
    let day = Day::Fixed(day.parse().expect("an ISO date"));
    let (garden, problems) = proof(&Inputs {
        content,
        theme: Files::default(),
        day,
        earlier_feeds: BTreeMap::new(),
        earlier_photos: BTreeMap::new(),
    });
    let errors: Vec<_> = problems.iter().filter(|p| p.severity() == Severity::Error).collect();
    assert!(errors.is_empty(), "{errors:#?}");
    garden
}

pub(crate) fn learned(garden: &Garden) -> Learned {
    Learned::of(garden, &Conditions::of(garden))
}

/// What is expected of kohlrabi.
pub(crate) fn kohlrabi(garden: &Garden, quantity: Quantity, kind: Kind) -> Estimate {
    let crop = garden.catalogue.find("kohlrabi").expect("a crop");
    let found = learned(garden).estimate(garden, crop, Some("Azur"), quantity, kind);
    found.expect("an estimate")
}

pub(crate) fn days(from: Beginning, to: Milestone) -> Quantity {
    Quantity::Days(Span::new(from, to))
}

pub(crate) fn sown_to(stage: Stage) -> Quantity {
    days(Beginning::Sown, Milestone::Stage(stage))
}

pub(crate) fn out_to_harvest() -> Quantity {
    days(Beginning::PlantedOut, Milestone::FirstHarvest)
}
