//! `trug preview`: the site in a browser on this computer, made anew whenever something is saved.

mod answers;
mod server;
mod shown;
mod watch;

use std::sync::Arc;
use std::sync::mpsc::{self, Receiver};
use std::time::{Duration, Instant};

use crate::cli::arguments::{Content, Format, Preview as Arguments};
use crate::cli::folders::{self, Known};
use crate::cli::preview::shown::Shown;
use crate::cli::preview::watch::{Saved, Watch};
use crate::cli::publish::clock_is_wrong;
use crate::cli::{Failure, Outcome, tell};
use crate::diagnostics::problem::Problem;
use crate::diagnostics::{report, words};
use crate::preview::Preview;
use crate::publish::{Inputs, Published};

/// What the command waits for.
enum Event {
    /// Something was saved.
    Saved(Saved),
    /// The theme does not fit a page that was asked for.
    Broken(Problem),
    /// Ctrl-C.
    Stop,
}

/// An editor that saves a file in several steps is done after this.
const QUIET: Duration = Duration::from_millis(25);
/// Of what is saved without a pause something is shown after this.
const LONGEST_UNREST: Duration = Duration::from_millis(100);
/// How often it is looked whether a new day has begun.
const DAY_BREAK: Duration = Duration::from_secs(60);
/// How often it is looked whether what could not be read is there again.
const LOOK_AGAIN: Duration = Duration::from_secs(1);
/// How many changed files are named.
const MOST_NAMED: usize = 3;

pub(super) fn run(arguments: &Arguments) -> Result<Outcome, Failure> {
    let content = &arguments.content;
    let since = now();
    let (events, coming) = mpsc::channel();
    // It is watched before it is read, so that nothing that is saved meanwhile is missed.
    let mut watch = Watch::begin(content, events.clone())?;
    let mut known = Known::default();
    let inputs = folders::read_again(content, Some(&mut known))?;
    let shown = Arc::new(Shown::new());
    let address = server::begin(arguments.port, &shown, events.clone())?;
    ctrlc::set_handler(move || drop(events.send(Event::Stop)))
        .map_err(|error| Failure(format!("cannot listen for Ctrl-C: {error}")))?;
    let mut desk = Desk {
        content,
        preview: Preview::default(),
        shown,
        known,
        told: Vec::new(),
        standing: Vec::new(),
        is_unread: false,
    };
    desk.turn(inputs, since)?;
    tell::note(&format!("Open http://{address}/ in a browser. Ctrl-C ends it."));
    loop {
        let patience = if desk.is_unread { LOOK_AGAIN } else { DAY_BREAK };
        match coming.recv_timeout(patience) {
            Ok(Event::Stop) => break,
            Ok(Event::Broken(problem)) => desk.tell_broken(problem)?,
            Ok(Event::Saved(saved)) => {
                let since = now();
                let Some(saved) = settle(&coming, saved, since) else { break };
                saved.iter().for_each(|saved| desk.forget(saved, &watch));
                desk.look(since)?;
            }
            Err(_) => {
                if desk.is_unread {
                    watch.again();
                }
                desk.look(now())?;
            }
        }
    }
    tell::note("The preview has ended; nothing was written.");
    Ok(Outcome::Fine)
}

/// Everything that is saved until nothing more is; nothing if it is to end instead.
fn settle(coming: &Receiver<Event>, saved: Saved, since: Instant) -> Option<Vec<Saved>> {
    let mut all = vec![saved];
    while since.elapsed() < LONGEST_UNREST {
        match coming.recv_timeout(QUIET) {
            Ok(Event::Stop) => return None,
            Ok(Event::Saved(saved)) => all.push(saved),
            // A page that is asked for again tells again what is broken.
            Ok(Event::Broken(_)) => {}
            Err(_) => break,
        }
    }
    Some(all)
}

#[expect(clippy::disallowed_methods, reason = "the commands are where the clock is looked at")]
fn now() -> Instant {
    Instant::now()
}

/// What the command works with.
struct Desk<'a> {
    content: &'a Content,
    preview: Preview,
    /// The files as they were read last.
    known: Known,
    shown: Arc<Shown>,
    /// The problems that were told last.
    told: Vec<Problem>,
    /// Those that were told with the site that stands.
    standing: Vec<Problem>,
    /// Whether the folders could not be read the last time.
    is_unread: bool,
}

impl Desk<'_> {
    /// What was saved is read again, even if it is as long as it was and was written at the same moment.
    fn forget(&mut self, saved: &Saved, watch: &Watch) {
        let Saved::Paths(paths) = saved else {
            self.known = Known::default();
            return;
        };
        for path in paths {
            let [content, theme] = watch.below(path);
            content.iter().for_each(|path| self.known.content.forget(path));
            theme.iter().for_each(|path| self.known.theme.forget(path));
        }
    }

    /// Reads again, and makes the site anew if something else stands there or another day has begun.
    fn look(&mut self, since: Instant) -> Result<(), Failure> {
        match folders::read_again(self.content, Some(&mut self.known)) {
            Ok(inputs) => self.turn(inputs, since),
            Err(failure) => {
                self.is_unread = true;
                self.fail(&failure);
                Ok(())
            }
        }
    }

    fn turn(&mut self, inputs: Inputs, since: Instant) -> Result<(), Failure> {
        let changed = self.preview.changed(&inputs);
        let is_same = changed.as_ref().is_some_and(|changed| changed.iter().all(Vec::is_empty));
        let was_unread = std::mem::take(&mut self.is_unread);
        if is_same && !was_unread && !self.is_another_day(&inputs) {
            return Ok(());
        }
        let published = match self.preview.renew(inputs) {
            Ok(Published { doubtful_day: Some(doubtful), .. }) => {
                self.fail(&clock_is_wrong(&doubtful));
                return Ok(());
            }
            Ok(published) => published,
            Err(error) => {
                self.fail(&Failure::of(&error));
                return Ok(());
            }
        };
        let is_new = published.is_complete;
        let is_unheard = |problem: &&Problem| !self.is_heard(problem);
        let unheard: Vec<Problem> = published.problems.iter().filter(is_unheard).cloned().collect();
        self.told = published.problems;
        if is_new {
            self.standing = self.told.clone();
        }
        self.show(is_new);
        self.tell(&unheard)?;
        tell::note(&self.sentence(changed, is_new, since));
        Ok(())
    }

    /// Whether the terminal was told of it, with the last site or the last time, wherever it stood then.
    fn is_heard(&self, problem: &Problem) -> bool {
        let mut heard = self.standing.iter().chain(&self.told);
        heard.any(|other| {
            (other.code, &other.message, other.at.file())
                == (problem.code, &problem.message, problem.at.file())
        })
    }

    fn is_another_day(&self, inputs: &Inputs) -> bool {
        let before = self.preview.inputs().map(|before| before.today(before.day));
        before != Some(inputs.today(inputs.day))
    }

    /// The theme does not fit a page: it is shown as it was last, if it was.
    fn tell_broken(&mut self, problem: Problem) -> Result<(), Failure> {
        if self.told.contains(&problem) {
            return Ok(());
        }
        self.tell(std::slice::from_ref(&problem))?;
        self.told.push(problem);
        self.show(false);
        Ok(())
    }

    fn tell(&self, problems: &[Problem]) -> Result<(), Failure> {
        match self.preview.inputs() {
            Some(inputs) => tell::problems(problems, inputs, self.content, Format::Human),
            None => Ok(()),
        }
    }

    /// Hands over what was found, and the site if it is a new one.
    fn show(&self, is_new: bool) {
        let Some(inputs) = self.preview.inputs() else { return };
        let site = self.preview.site().filter(|_| is_new);
        self.shown.renew(site, tell::as_json(&self.told, inputs, self.content));
    }

    /// The pages stay; why there are no new ones is told.
    fn fail(&mut self, Failure(message): &Failure) {
        let problem = serde_json::json!({"severity": "error", "message": message, "hints": []});
        let news = serde_json::json!({"errors": 1, "warnings": 0, "problems": [problem]});
        if self.shown.renew(None, news.to_string()) {
            tell::failure(message);
        }
        self.told.clear();
    }

    /// `content/journal/2026/a.md changed; the site is new after 0.12 seconds.`
    fn sentence(&self, changed: Option<[Vec<String>; 2]>, is_new: bool, since: Instant) -> String {
        let took = format!("after {:.2} seconds", since.elapsed().as_secs_f64());
        let what = changed.map(|changed| self.named(changed));
        let tally = report::tally(&self.told);
        let count =
            words::count(self.preview.site().map_or(0, |site| site.paths().count()), "file");
        let found = if self.told.is_empty() { String::new() } else { format!("; {tally}") };
        match (what, is_new) {
            (None, true) => format!("The site of {count} is ready {took}{found}."),
            (None, false) => format!("{tally}; there are no pages before that is mended."),
            (Some(what), true) => format!("{what}; the site is new {took}{found}."),
            (Some(what), false) => format!("{what}; {tally} {took}. The pages stay as they were."),
        }
    }

    fn named(&self, [content, theme]: [Vec<String>; 2]) -> String {
        let folder = |folder: &std::path::Path, paths: Vec<String>| {
            let named = paths.into_iter().map(|path| folder.join(path).display().to_string());
            named.collect::<Vec<_>>()
        };
        let mut names = folder(&self.content.content, content);
        names.extend(self.content.theme.iter().flat_map(|own| folder(own, theme.clone())));
        let number = names.len();
        match number {
            0 => "A new day has begun".to_owned(),
            1..=MOST_NAMED => format!("{} changed", words::all_of(&names)),
            _ => format!(
                "{} and {} others changed",
                names[..MOST_NAMED - 1].join(", "),
                number - MOST_NAMED + 1
            ),
        }
    }
}
