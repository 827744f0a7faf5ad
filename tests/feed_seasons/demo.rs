//! The demo garden, of which nothing but the feed is built.

use std::collections::BTreeSet;
use std::path::Path;
use std::sync::Arc;

use chrono::NaiveDate;

use trug::calendar::basis::Basis;
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
use trug::{reading, revisions, theming};

use super::state::State;

/// What is written of the demo, and the words for it.
#[derive(Debug)]
pub(crate) struct Demo {
    written: WrittenGarden,
    theme: Arc<Theme>,
}

/// The line of the demo's garden.yaml that says how its feed is to be.
const FEED: &str = "feed: {look-ahead: 60 days, one-event: per job, title: Quince Stair tasks}";

impl Demo {
    /// The demo with another line about its feed in garden.yaml.
    pub(crate) fn with_feed(line: &str) -> Demo {
        let folder = Path::new(env!("CARGO_MANIFEST_DIR")).join("content");
        let files = walk::read_folder(&folder, FileId(0), reading::is_wanted).unwrap();
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
        let theme = theme::laid_over(&Files::default(), files.next_id());
        let theme = theming::read_theme(&theme, "en", &mut problems).unwrap();
        assert!(!problems.has_errors());
        Demo { written, theme: Arc::new(theme) }
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
        Demo { written, theme: self.theme.clone() }
    }

    /// The journal before the last entry of a day was written, if the day has one.
    pub(crate) fn before_last_entry(&self, day: NaiveDate) -> Option<Demo> {
        let of_day = |entry: &&trug::journal::entry::Entry| entry.date.value == day;
        let last = self.written.entries.iter().filter(of_day).map(|entry| &entry.path).max()?;
        let mut written = self.written.clone();
        written.entries.retain(|entry| entry.path != *last);
        // Rows of picking tables are taken to be written after the entries.
        written.pickings.retain(|(date, _)| *date != day);
        Some(Demo { written, theme: self.theme.clone() })
    }

    pub(crate) fn garden(&self, day: NaiveDate) -> (Garden, Vec<Task>) {
        let garden = build(self.written.clone(), day, &mut Problems::new());
        let tasks = findings::tasks(&Basis::of(&garden), &garden);
        (garden, tasks)
    }

    /// The feed of the whole garden as a subscriber gets it on a day.
    pub(crate) fn state(&self, day: NaiveDate) -> State {
        let (garden, tasks) = self.garden(day);
        let uids: BTreeSet<String> = uids(&garden, &tasks).into_iter().collect();
        State::read(day, &self.bytes(&garden, &tasks), uids)
    }

    pub(crate) fn bytes(&self, garden: &Garden, tasks: &[Task]) -> Vec<u8> {
        let revisions = revisions::of(self.written.clone(), garden, tasks);
        let feed = TaskFeed::new(garden, tasks, None, &revisions);
        let site = garden.settings.site_address.as_deref();
        task_feed::bytes(&feed, site, self.theme.words()).unwrap()
    }
}
