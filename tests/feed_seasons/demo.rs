//! The demo garden, of which nothing but the feed is built.

use std::collections::BTreeSet;
use std::path::Path;
use std::sync::Arc;

use chrono::{Datelike, Days, NaiveDate};

use trug::care::tasks::model::Task;
use trug::diagnostics::problem::Problems;
use trug::findings;
use trug::garden::build::{WrittenGarden, build};
use trug::garden::model::Garden;
use trug::origin::FileId;
use trug::render::html::Theme;
use trug::render::task_feed;
use trug::site::task_feed::{TaskFeed, uids};
use trug::source::files::Files;
use trug::source::{theme, walk};
use trug::units::System;
use trug::{reading, theming};

use super::state::State;

/// What is written of the demo, and the words for it.
#[derive(Clone, Debug)]
pub(crate) struct Demo {
    written: WrittenGarden,
    theme: Arc<Theme>,
    /// The theme with other words for a job.
    other_theme: Arc<Theme>,
}

/// The line of the demo's garden.yaml that says how its feed is to be.
const FEED: &str = "feed: {look-ahead: 60 days, one-event: per job, title: Quince Stair tasks}";

impl Demo {
    /// The demo with another line about its feed in garden.yaml.
    pub(crate) fn with_feed(line: &str) -> Demo {
        let folder = Path::new(env!("CARGO_MANIFEST_DIR")).join("content");
        let files = walk::read_folder(&folder, FileId(0), reading::wanted).unwrap();
        let files = files.iter().map(|file| {
            let is_settings = file.path == "garden.yaml";
            let text = is_settings.then(|| String::from_utf8(file.bytes.clone()).unwrap());
            let bytes = text.map(|text| {
                assert!(text.contains(FEED), "garden.yaml of the demo has another feed");
                text.replace(FEED, line).into_bytes()
            });
            (file.path.clone(), bytes.unwrap_or_else(|| file.bytes.clone()))
        });
        let files = Files::new(FileId(0), files);
        let mut problems = Problems::new();
        let written = reading::read_all(&files, &mut problems);
        let mut themed = |own: Files| {
            let theme = theme::laid_over(&own, files.next_id());
            let language = &written.settings.language;
            Arc::new(theming::read_theme(&theme, language, &mut problems).unwrap())
        };
        let theme = themed(Files::default());
        let words = include_str!("../../themes/hedgerow/words/en.yaml");
        let other = words.replace("\njob.feed: Feed\n", "\njob.feed: Nourish\n");
        assert_ne!(words, other);
        let other = [("words/en.yaml".to_owned(), other.into_bytes())];
        let other_theme = themed(Files::new(FileId(0), other));
        assert!(!problems.has_errors());
        Demo { written, theme, other_theme }
    }

    pub(crate) fn new(is_per_planting: bool, look_ahead_days: u32) -> Demo {
        let one_event = if is_per_planting { "per planting" } else { "per job" };
        Demo::with_feed(&format!(
            "feed: {{look-ahead: {look_ahead_days} days, one-event: {one_event}}}"
        ))
    }

    /// The journal as it stood on the evening of a day, if nobody has written since.
    pub(crate) fn silent_after(&self, day: NaiveDate) -> Demo {
        let mut written = self.written.clone();
        written.entries.retain(|entry| entry.date.value <= day);
        written.pickings.retain(|(date, _)| *date <= day);
        written.weather.retain(|row| row.date <= day);
        Demo { written, theme: self.theme.clone(), other_theme: self.other_theme.clone() }
    }

    /// The garden as it lies in its folder on the evening of a day, where people write late and change
    /// their minds: of five entries three are written on their day, one on the next and one six days
    /// after; one of thirteen is taken back after ten days; garden.yaml and the theme are changed now and
    /// then.
    pub(crate) fn as_people_write(&self, day: NaiveDate) -> Demo {
        let mut demo = self.silent_after(day);
        demo.written.entries.retain(|entry| {
            let number: usize = entry.path.bytes().map(usize::from).sum();
            let written = entry.date.value + Days::new([0, 0, 0, 1, 6][number % 5]);
            let taken_back = number.is_multiple_of(13).then(|| written + Days::new(10));
            written <= day && taken_back.is_none_or(|taken_back| day < taken_back)
        });
        let settings = &mut demo.written.settings;
        if (5..15).contains(&day.day()) && day.month().is_multiple_of(2) {
            settings.units = System::Us;
        }
        if day.month() == 5 {
            settings.frost.risk = Some(0.5);
        }
        if day.day() > 24 {
            settings.feed.look_ahead_days /= 2;
        }
        if day.iso_week().week().is_multiple_of(4) {
            demo.theme = self.other_theme.clone();
        }
        demo
    }

    /// The journal before the last entry of a day was written, if the day has one.
    pub(crate) fn before_last_entry(&self, day: NaiveDate) -> Option<Demo> {
        let of_day = |entry: &&trug::journal::entry::Entry| entry.date.value == day;
        let last = self.written.entries.iter().filter(of_day).map(|entry| &entry.path).max()?;
        let mut written = self.written.clone();
        written.entries.retain(|entry| entry.path != *last);
        // Rows of picking tables are taken to be written after the entries.
        written.pickings.retain(|(date, _)| *date != day);
        Some(Demo { written, theme: self.theme.clone(), other_theme: self.other_theme.clone() })
    }

    /// Whether something was written for a day.
    pub(crate) fn writes_on(&self, day: NaiveDate) -> bool {
        self.written.entries.iter().any(|entry| entry.date.value == day)
            || self.written.pickings.iter().any(|(date, _)| *date == day)
    }

    pub(crate) fn garden(&self, day: NaiveDate) -> (Garden, Vec<Task>) {
        let garden = build(self.written.clone(), day, &mut Problems::new());
        let tasks = findings::tasks(&garden);
        (garden, tasks)
    }

    /// The feed of the whole garden as a subscriber gets it on a day from an empty folder.
    pub(crate) fn state(&self, day: NaiveDate) -> State {
        self.state_after(day, None)
    }

    /// The same from the folder of an earlier publish.
    pub(crate) fn state_after(&self, day: NaiveDate, earlier: Option<&State>) -> State {
        let (garden, tasks) = self.garden(day);
        self.state_of(&garden, &tasks, earlier)
    }

    pub(crate) fn state_of(
        &self,
        garden: &Garden,
        tasks: &[Task],
        earlier: Option<&State>,
    ) -> State {
        let uids: BTreeSet<String> = uids(garden, tasks).into_iter().collect();
        let earlier = earlier.map(|state| state.bytes.as_slice());
        State::read(garden.today, self.bytes(garden, tasks, earlier), uids)
    }

    pub(crate) fn bytes(&self, garden: &Garden, tasks: &[Task], earlier: Option<&[u8]>) -> Vec<u8> {
        let feed = TaskFeed::new(garden, tasks, None);
        let site = garden.settings.site_address.as_deref();
        task_feed::bytes(&feed, site, self.theme.words(), earlier).unwrap()
    }
}
