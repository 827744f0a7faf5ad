//! The whole trip: what was written → the garden → what is computed → pages → bytes.
//!
//! It runs in memory: files, theme and day are handed in, pages go into a
//! [`Sink`]. Nothing below asks the clock, the environment or the disk.

use std::collections::BTreeMap;
use std::sync::Arc;

use chrono::{DateTime, NaiveDate, Utc};
use uuid::Uuid;

use crate::diagnostics::problem::{Problem, Problems};
use crate::findings::Findings;
use crate::garden::build::{WrittenGarden, build};
use crate::garden::model::Garden;
use crate::garden::planting::Planting;
use crate::long_form;
use crate::pages::{self, File, FileError, SiteInputs};
use crate::photos::{self, Seen};
use crate::pictures::Picture;
use crate::reading;
use crate::reading::kept::{Content, KeptEntries, differ_in_prose_alone, read_again};
use crate::render::html::Theme;
use crate::render::sink::{self, Sink, put_each};
use crate::source::files::Files;
use crate::theming;
use crate::warnings;

/// Everything a trip starts from.
#[derive(Debug)]
pub struct Inputs {
    /// The content folder.
    pub content: Files,
    /// The theme: the built-in one, with files of a theme folder laid over it.
    pub theme: Files,
    /// The day that is computed for.
    pub day: Day,
    /// The task feeds that the new ones replace, by path in the site: what a phone has seen of each event.
    pub earlier_feeds: BTreeMap<String, Vec<u8>>,
    /// The photographs that stand in the site already, by digest.
    pub earlier_photos: BTreeMap<String, Picture>,
}

/// The day that is computed for.
#[derive(Clone, Copy, Debug)]
pub enum Day {
    Fixed(NaiveDate),
    /// The day it is at this moment in the garden's time zone.
    At(DateTime<Utc>),
}

impl Day {
    fn in_zone(self, zone: chrono_tz::Tz) -> NaiveDate {
        match self {
            Day::Fixed(date) => date,
            Day::At(moment) => moment.with_timezone(&zone).date_naive(),
        }
    }
}

impl Inputs {
    /// The date of a day in the garden.
    pub fn today(&self, day: Day) -> NaiveDate {
        let settings = || reading::read_settings(&self.content, &mut Problems::new());
        match day {
            Day::Fixed(date) => date,
            Day::At(_) => day.in_zone(settings().position.time_zone),
        }
    }

    /// A digest of all that a site is made of: this program, the day, and every file. The feeds that stood in the
    /// site folder are not in it: they change with nothing else.
    pub fn digest(&self) -> Uuid {
        let mut all = Vec::from(env!("TRUG_SOURCES"));
        let day = self.today(self.day);
        all.extend(day.to_string().bytes());
        for file in self.content.iter().chain(self.theme.iter()) {
            all.extend(format!("{}\0{}\0", file.path, file.bytes.len()).bytes());
            all.extend(&file.bytes);
        }
        for file in self.content.large() {
            all.extend(format!("{}\0{}\0{}\0", file.path, file.size, file.written).bytes());
        }
        Uuid::new_v5(&Uuid::nil(), &all)
    }
}

/// Reads what was written and makes the garden of it; computes and writes nothing.
pub fn read(inputs: &Inputs) -> (Garden, Problems) {
    let mut problems = Problems::new();
    let garden = read_garden(inputs, &mut problems);
    (garden, problems)
}

/// Reads and checks everything; writes nothing.
pub fn proof(inputs: &Inputs) -> (Garden, Vec<Problem>) {
    let (garden, mut problems) = read(inputs);
    theming::read_theme(&inputs.theme, &garden.settings.language, &mut problems);
    // Findings of a garden that was read in part would accuse the wrong lines.
    if !problems.has_errors() {
        problems.extend(warnings::of(&garden, &Findings::ahead(&garden)));
        photos::check(&garden, &inputs.content, &mut problems);
    }
    (garden, problems.into_sorted())
}

/// Compiles the garden into `sink`, unless there is an error: then nothing is put there.
///
/// Pages may already have been put when a template turns out to be broken; a sink keeps them back
/// until it is told that the trip is over.
///
/// # Errors
/// If the sink cannot take a page.
pub fn publish(inputs: &Inputs, sink: &mut dyn Sink) -> Result<Published, sink::Error> {
    let prepared = match prepare(inputs, Memory::None, sink)? {
        Ok(prepared) => prepared,
        Err(stopped) => return Ok(stopped),
    };
    let render = |file: &File| file.render(&prepared.inputs(inputs)).map_err(FileError::from);
    match put_each(sink, &prepared.files, render) {
        Ok(()) => Ok(prepared.published()),
        Err(FileError::Sink(error)) => Err(error),
        Err(FileError::Broken(broken)) => {
            let mut problems = prepared.problems;
            problems.add(theming::broken_template(&inputs.theme, &broken));
            Ok(Published::stopped(problems))
        }
    }
}

/// The trip up to the pages: everything that they are made of.
pub(crate) struct Prepared {
    garden: Garden,
    findings: Arc<Findings>,
    theme: Arc<Theme>,
    /// What was found in the theme.
    theme_problems: Problems,
    /// What was read of the entries, if there is to be a next time.
    entries: KeptEntries,
    /// What was looked up of the photographs.
    seen: Seen,
    /// The files of the site, photographs left out, each to be made.
    pub(crate) files: Vec<File>,
    /// What was found so far.
    pub(crate) problems: Problems,
}

impl Prepared {
    /// What the files are made of; `inputs` are those that it was prepared from.
    pub(crate) fn inputs<'a>(&'a self, inputs: &'a Inputs) -> SiteInputs<'a> {
        SiteInputs {
            garden: &self.garden,
            findings: &self.findings,
            earlier_feeds: &inputs.earlier_feeds,
            theme: &self.theme,
            files: &inputs.theme,
        }
    }

    /// How the trip ended, if nothing happened to a page.
    pub(crate) fn published(&self) -> Published {
        Published {
            problems: self.problems.clone().into_sorted(),
            is_complete: true,
            named: named_lately(&self.garden),
            doubtful_day: None,
        }
    }

    /// The address of the site, if it is known.
    pub(crate) fn site_address(&self) -> Option<&str> {
        self.garden.settings.site_address.as_deref()
    }
}

/// What is known from the last time. It is used only for what is made of the very same.
#[derive(Clone, Copy)]
pub(crate) enum Memory<'a> {
    /// Nothing, and nothing is kept for a next time.
    None,
    /// This, if there was a last time, and what can be used the next time is kept.
    Of(Option<Last<'a>>),
}

/// The last time, and what it was made of.
#[derive(Clone, Copy)]
pub(crate) struct Last<'a> {
    pub(crate) inputs: &'a Inputs,
    pub(crate) prepared: &'a Prepared,
}

impl<'a> Last<'a> {
    fn content(self) -> Content<'a> {
        Content { files: &self.inputs.content, entries: &self.prepared.entries }
    }
}

/// Reads, builds and computes, and puts the photographs into `sink`; or says why there is nothing to publish.
///
/// # Errors
/// If the sink cannot take a photograph.
pub(crate) fn prepare(
    inputs: &Inputs,
    memory: Memory<'_>,
    sink: &mut dyn Sink,
) -> Result<Result<Prepared, Published>, sink::Error> {
    let mut problems = Problems::new();
    let (last, (written, entries)) = match memory {
        Memory::None => {
            let written = reading::read_all(&inputs.content, &mut problems);
            (None, (written, KeptEntries::default()))
        }
        Memory::Of(last) => {
            (last, read_again(&inputs.content, last.map(Last::content), &mut problems))
        }
    };
    if let Some(doubtful) = doubtful_day(inputs, &written) {
        let stopped = Published::stopped(Problems::new());
        return Ok(Err(Published { doubtful_day: Some(doubtful), ..stopped }));
    }
    let garden = built(inputs, written, &mut problems);
    let (theme, theme_problems) = theme(inputs, &garden, last);
    problems.append(theme_problems.clone());
    let (Some(theme), false) = (theme, problems.has_errors()) else {
        return Ok(Err(Published::stopped(problems)));
    };
    let earlier = &inputs.earlier_photos;
    let mut seen = last.map_or_else(Seen::new, |last| last.prepared.seen.clone());
    let photos =
        photos::put_all(&garden, &inputs.content, earlier, &mut seen, sink, &mut problems)?;
    if problems.has_errors() {
        return Ok(Err(Published::stopped(problems)));
    }
    let content = Content { files: &inputs.content, entries: &entries };
    let mut findings = findings(content, &garden, last);
    if findings.photos != photos {
        Arc::make_mut(&mut findings).photos = photos;
    }
    problems.extend(warnings::of(&garden, &findings));
    let files = pages::all(&garden, &findings, &inputs.theme);
    Ok(Ok(Prepared { garden, findings, theme, theme_problems, entries, seen, files, problems }))
}

/// The theme, and what is wrong with it; that of the last time, if its files and the language are the same.
fn theme(
    inputs: &Inputs,
    garden: &Garden,
    last: Option<Last<'_>>,
) -> (Option<Arc<Theme>>, Problems) {
    let language = &garden.settings.language;
    if let Some(last) = last
        && last.inputs.theme.iter().eq(inputs.theme.iter())
        && last.prepared.garden.settings.language == *language
    {
        let Prepared { theme, theme_problems, .. } = last.prepared;
        return (Some(Arc::clone(theme)), theme_problems.clone());
    }
    let mut problems = Problems::new();
    let theme = theming::read_theme(&inputs.theme, language, &mut problems);
    (theme.map(Arc::new), problems)
}

/// What is computed of the garden; that of the last time, if only prose differs, of which nothing is computed.
fn findings(content: Content<'_>, garden: &Garden, last: Option<Last<'_>>) -> Arc<Findings> {
    let is_same = |last: &Last<'_>| {
        last.prepared.garden.today == garden.today && differ_in_prose_alone(last.content(), content)
    };
    match last.filter(is_same) {
        Some(last) => Arc::clone(&last.prepared.findings),
        None => Arc::new(Findings::of(garden)),
    }
}

/// How a trip ended.
#[derive(Debug)]
pub struct Published {
    /// What was found, in order.
    pub problems: Vec<Problem>,
    /// Whether every page was put; otherwise what was put is to be thrown away.
    pub is_complete: bool,
    /// The ids that were made for plantings of the last days, each with its crop.
    pub named: Vec<(String, String)>,
    /// The newest entry, if the day comes from the clock and lies well before it: then nothing was put.
    pub doubtful_day: Option<DoubtfulDay>,
}

/// A clock that is most likely wrong.
#[derive(Clone, Debug, PartialEq, Eq)]
pub struct DoubtfulDay {
    /// The day by the clock.
    pub day: NaiveDate,
    /// The day of the newest entry.
    pub newest: NaiveDate,
    /// The file it stands in.
    pub path: String,
}

impl Published {
    pub(crate) fn stopped(problems: Problems) -> Published {
        Published {
            problems: problems.into_sorted(),
            is_complete: false,
            named: Vec::new(),
            doubtful_day: None,
        }
    }
}

/// How long a new id is told, so that it is not missed.
const NEW_DAYS: i64 = 7;

fn named_lately(garden: &Garden) -> Vec<(String, String)> {
    let is_new = |planting: &&Planting| {
        planting.is_id_made && (garden.today - planting.noted).num_days() < NEW_DAYS
    };
    let crop = |planting: &Planting| garden.catalogue.get(planting.crop).name.clone();
    let new = garden.plantings().map(|(_, planting)| planting).filter(is_new);
    new.map(|planting| (planting.id.to_string(), crop(planting))).collect()
}

/// What the short lines of each entry stand for, in long lines, by the path of the entry.
pub fn expanded(inputs: &Inputs) -> Vec<(String, String)> {
    let mut problems = Problems::new();
    let written = reading::read_all(&inputs.content, &mut problems);
    let entries = written.entries.clone();
    let today = inputs.day.in_zone(written.settings.position.time_zone);
    let garden = build(written, today, &mut problems);
    let lines = entries.iter().filter_map(|entry| {
        let file = inputs.content.get(entry.file)?;
        Some((entry.path.clone(), long_form::of(entry, file, &garden)?))
    });
    lines.collect()
}

/// How many days the clock may lie before the newest entry: people write a little ahead, and to a computer without
/// its battery it is some day years ago.
const MOST_AHEAD: i64 = 30;

fn doubtful_day(inputs: &Inputs, written: &WrittenGarden) -> Option<DoubtfulDay> {
    let Day::At(_) = inputs.day else { return None };
    let day = inputs.day.in_zone(written.settings.position.time_zone);
    let newest = written.entries.iter().max_by_key(|entry| entry.date.value)?;
    let is_doubtful = (newest.date.value - day).num_days() > MOST_AHEAD;
    is_doubtful.then(|| DoubtfulDay { day, newest: newest.date.value, path: newest.path.clone() })
}

fn read_garden(inputs: &Inputs, problems: &mut Problems) -> Garden {
    let written = reading::read_all(&inputs.content, problems);
    built(inputs, written, problems)
}

fn built(inputs: &Inputs, written: WrittenGarden, problems: &mut Problems) -> Garden {
    let today = inputs.day.in_zone(written.settings.position.time_zone);
    build(written, today, problems)
}
