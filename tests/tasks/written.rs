//! A small garden from written text: files as a grower writes them, read for any day.

use std::collections::BTreeMap;

use chrono::NaiveDate;

use trug::calendar::plan::{Plan, Plans};
use trug::care::prospect::Prospect;
use trug::care::tasks;
use trug::care::tasks::model::Task;
use trug::climate::conditions::Conditions;
use trug::dates::{self, Period};
use trug::diagnostics::codes::Severity;
use trug::garden::model::Garden;
use trug::garden::planting::PlantingId;
use trug::garden::taught::Taught;
use trug::origin::FileId;
use trug::publish::{self, Day, Inputs};
use trug::source::files::Files;
use trug::stages::{self, StageDates};

/// A river valley of the middle latitudes; every mean is made up.
const PLACE: &str = "name: Weir Cottage\n\
    place: {latitude: 51, longitude: 5, time-zone: Europe/Brussels}\n";

const CLIMATE: &str = "climate:\n\
    \x20 low: [0, 0, 2, 5, 9, 12, 14, 14, 11, 7, 3, 1]\n\
    \x20 high: [5, 6, 11, 15, 19, 22, 24, 24, 20, 15, 9, 6]\n";

const PLACES: &[(&str, &str)] = &[
    ("shelf", "name: shelf\nkind: shelf\ncover: indoors\ntemperature: 19-21 °C\n"),
    ("bed", "name: bed\nkind: bed\nlength: 3 m\nwidth: 1 m\ndepth: 30 cm\n"),
    ("tubs", "name: tubs\nkind: container\ncontainers: 6\nvolume: 20 L\n"),
    ("house", "name: house\nkind: glasshouse\ncover: glass\n"),
];

#[derive(Clone, Debug)]
pub(crate) struct Written {
    files: Vec<(String, Vec<u8>)>,
    entries: usize,
}

pub(crate) fn day(text: &str) -> NaiveDate {
    dates::date(text).unwrap()
}

impl Written {
    pub(crate) fn new() -> Written {
        let mut written = Written { files: Vec::new(), entries: 0 };
        written = written.file("garden.yaml", &format!("{PLACE}{CLIMATE}"));
        for (name, text) in PLACES {
            written = written.file(&format!("places/{name}.md"), &format!("---\n{text}---\n"));
        }
        written
    }

    pub(crate) fn file(mut self, path: &str, text: &str) -> Written {
        self.files.retain(|(other, _)| other != path);
        self.files.push((path.to_owned(), text.as_bytes().to_vec()));
        self
    }

    /// Lines added to garden.yaml.
    pub(crate) fn settings(self, more: &str) -> Written {
        self.file("garden.yaml", &format!("{PLACE}{CLIMATE}{more}\n"))
    }

    /// Every day is one of the weather that the sheets of tomatoes and courgettes mean: theirs is of 21 °C, but of no warmer
    /// summer than the garden's.
    pub(crate) fn in_usual_weather(self) -> Written {
        let months = ["20"; 12].join(", ");
        let climate = format!("climate: {{low: [{months}], high: [{months}]}}\n");
        self.file("garden.yaml", &format!("{PLACE}{climate}"))
    }

    /// An entry of a day; `lines` is its front matter without the date.
    pub(crate) fn entry(mut self, date: &str, lines: &str) -> Written {
        self.entries += 1;
        let path = format!("journal/{date}-note-{}.md", self.entries);
        let title = format!("Note {}", self.entries);
        self.file(&path, &format!("---\ndate: {date}\ntitle: {title}\n{lines}\n---\n"))
    }

    pub(crate) fn plant(self, date: &str, line: &str) -> Written {
        self.entry(date, &format!("plantings:\n  - {{{line}}}"))
    }

    pub(crate) fn event(self, date: &str, line: &str) -> Written {
        self.entry(date, &format!("events:\n  - {{{line}}}"))
    }

    pub(crate) fn care(self, date: &str, line: &str) -> Written {
        self.entry(date, &format!("care:\n  - {{{line}}}"))
    }

    pub(crate) fn pick(self, date: &str, planting: &str) -> Written {
        self.entry(date, &format!("harvests:\n  - {{planting: {planting}, weight: 200 g}}"))
    }

    /// A crop of the grower's own, `garden weed`, with these care rules.
    pub(crate) fn own_crop(self, care: &str) -> Written {
        self.file("crops/own.md", &format!("---\ncrop: garden weed\n{care}\n---\n"))
    }

    pub(crate) fn on(&self, today: &str) -> Scene {
        self.on_day(day(today))
    }

    pub(crate) fn on_day(&self, today: NaiveDate) -> Scene {
        let content = Files::new(FileId(0), self.files.clone());
        let inputs = Inputs {
            content,
            theme: Files::default(),
            day: Day::Fixed(today),
            earlier_feeds: BTreeMap::new(),
            earlier_photos: BTreeMap::new(),
        };
        let (garden, problems) = publish::proof(&inputs);
        let errors: Vec<_> =
            problems.iter().filter(|problem| problem.severity() == Severity::Error).collect();
        assert!(errors.is_empty(), "{errors:?}");
        let conditions = Conditions::of(&garden);
        let taught = Taught::by_the_sheets(&garden);
        // Of the plans only those that need no calendar.
        let later = garden.plantings().filter_map(|(id, planting)| {
            let own = planting.succession?;
            let sow = Some(Period { from: own.day, to: own.until });
            Some((id, Plan { sow, ..Plan::default() }))
        });
        let plans: Plans = later.collect();
        Scene { garden, taught, conditions, plans }
    }
}

/// A garden on a day.
#[derive(Clone, Debug)]
pub(crate) struct Scene {
    pub(crate) garden: Garden,
    pub(crate) taught: Taught,
    pub(crate) conditions: Conditions,
    pub(crate) plans: Plans,
}

impl Scene {
    pub(crate) fn tasks(&self) -> Vec<Task> {
        self.tasks_for(60)
    }

    pub(crate) fn tasks_for(&self, days: u32) -> Vec<Task> {
        tasks::upcoming(&Prospect::of(&self.taught, &self.conditions, &self.plans), days)
    }

    /// `rule number day` of every task, soonest first; ` late` behind it if it is overdue.
    pub(crate) fn told(&self, days: u32) -> Vec<String> {
        let told = |task: &Task| {
            let late =
                task.overdue_since.map_or(String::new(), |since| format!(" late since {since}"));
            format!("{} {} {}{late}", task.key.rule, task.key.number, task.due)
        };
        self.tasks_for(days).iter().map(told).collect()
    }

    pub(crate) fn of_rule(&self, rule: &str) -> Vec<Task> {
        self.tasks().into_iter().filter(|task| task.key.rule == rule).collect()
    }

    pub(crate) fn id(&self, planting: &str) -> PlantingId {
        let found = self.garden.plantings().find(|(_, other)| *other.id == *planting);
        found.map(|(id, _)| id).unwrap()
    }

    pub(crate) fn stages(&self, planting: &str) -> Vec<StageDates> {
        let id = self.id(planting);
        let plan = self.plans.get(&id).copied().unwrap_or_default();
        stages::of_planting(&self.taught, &self.conditions, id, plan)
    }
}
