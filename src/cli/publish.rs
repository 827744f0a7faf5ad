//! `trug publish`: the content folder becomes the site folder.

use indicatif::{ProgressBar, ProgressStyle};

use crate::cli::arguments::Publish;
use crate::cli::{Failure, Outcome, folders, tell};
use crate::diagnostics::problem::Problem;
use crate::diagnostics::report;
use crate::diagnostics::words;
use crate::output::{DiskSite, MadeOf, Tally};
use crate::pictures::Picture;
use crate::publish::{self, DoubtfulDay};
use crate::site::task_feed::is_feed;

pub(super) fn run(arguments: &Publish) -> Result<Outcome, Failure> {
    folders::check_apart(&arguments.content.content, &arguments.site)?;
    let mut inputs = folders::read(&arguments.content)?;
    let mut site = DiskSite::open(&arguments.site).map_err(|error| Failure::of(&error))?;
    if arguments.rewrite {
        site.rewrite();
    }
    let digest = inputs.digest();
    if let Some((files, has_warnings)) = site.stands_as_made_of(digest) {
        let tally = Tally { unchanged: files, ..Tally::default() };
        let problems = if has_warnings { publish::proof(&inputs).1 } else { Vec::new() };
        tell::problems(&problems, &inputs, &arguments.content, arguments.format)?;
        return Ok(told(arguments, &tally, &problems));
    }
    inputs.earlier_feeds = site.standing(is_feed);
    inputs.earlier_photos = Picture::standing(site.listed());
    show_photographs(&mut site);
    let published = publish::publish(&inputs, &mut site).map_err(|error| Failure::of(&error))?;
    if let Some(doubtful) = &published.doubtful_day {
        return Err(clock_is_wrong(doubtful));
    }
    tell::problems(&published.problems, &inputs, &arguments.content, arguments.format)?;
    if !published.is_complete {
        let found = report::tally(&published.problems);
        tell::note(&format!("{found}; the site was left as it was."));
        return Ok(Outcome::Problems);
    }
    for (id, crop) in &published.named {
        tell::note(&format!("The {crop} of the last days goes by the id `{id}`."));
    }
    let (removed, of) = site.would_remove();
    if removed * 2 > of && !arguments.allow_removing {
        return Err(most_would_go(removed, of, &arguments.site.display().to_string()));
    }
    let made_of = MadeOf { digest, has_warnings: !published.problems.is_empty() };
    let tally = site.finish_made_of(Some(made_of)).map_err(|error| Failure::of(&error))?;
    Ok(told(arguments, &tally, &published.problems))
}

/// A bar in the terminal while photographs are made.
fn show_photographs(site: &mut DiskSite) {
    let look = ProgressStyle::with_template("{msg} {bar:30} {pos} of {len}");
    let bar = ProgressBar::no_length().with_message("Photographs");
    let bar = match look {
        Ok(look) => bar.with_style(look),
        Err(_) => bar,
    };
    site.tell_of_photographs(move |made, of| {
        bar.set_length(of as u64);
        bar.set_position(made as u64);
        if made == of {
            bar.finish_and_clear();
        }
    });
}

/// A site of a day years ago would take the place of today's.
pub(super) fn clock_is_wrong(doubtful: &DoubtfulDay) -> Failure {
    let DoubtfulDay { day, newest, path } = doubtful;
    Failure(format!(
        "by the clock of this computer it is {day}, but the newest entry, {path}, is of {newest}; set the clock, or \
         mend the date of the entry. If it really is {day}, say so with `--on {day}`. The site was left as it was"
    ))
}

fn most_would_go(removed: usize, of: usize, site: &str) -> Failure {
    Failure(format!(
        "{removed} of the {of} files in {site} would be removed, because this garden does not have them; is it the \
         right garden, and the right folder? If so, say `--allow-removing`. The site was left as it was"
    ))
}

fn told(arguments: &Publish, tally: &Tally, problems: &[Problem]) -> Outcome {
    let folder = arguments.site.display();
    let mut note = format!(
        "Published to {folder}: {} written, {} unchanged, {} removed",
        words::count(tally.written, "file"),
        tally.unchanged,
        tally.removed
    );
    if !problems.is_empty() {
        note.push_str(&format!("; {}", report::tally(problems)));
    }
    tell::note(&format!("{note}."));
    Outcome::Fine
}
