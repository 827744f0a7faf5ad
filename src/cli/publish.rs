//! `trug publish`: the content folder becomes the site folder.

use crate::cli::arguments::Publish;
use crate::cli::{Failure, Outcome, folders, tell};
use crate::diagnostics::problem::Problem;
use crate::diagnostics::report;
use crate::diagnostics::words;
use crate::output::{DiskSite, Tally};
use crate::publish;
use crate::site::task_feed::is_feed;

pub(super) fn run(arguments: &Publish) -> Result<Outcome, Failure> {
    let mut inputs = folders::read(&arguments.content)?;
    let mut site = DiskSite::open(&arguments.site).map_err(|error| Failure::of(&error))?;
    let digest = inputs.digest();
    if let Some(files) = site.stands_as_made_of(digest) {
        let tally = Tally { unchanged: files, ..Tally::default() };
        return Ok(told(arguments, &tally, &[]));
    }
    inputs.earlier_feeds = site.standing(is_feed);
    let published = publish::publish(&inputs, &mut site).map_err(|error| Failure::of(&error))?;
    tell::problems(&published.problems, &inputs, &arguments.content, arguments.format);
    if !published.is_complete {
        let found = report::tally(&published.problems);
        tell::note(&format!("{found}; the site was left as it was."));
        return Ok(Outcome::Problems);
    }
    for (id, crop) in &published.named {
        tell::note(&format!("The {crop} of the last days goes by the id `{id}`."));
    }
    // What is to be told again is computed again.
    let digest = Some(digest).filter(|_| published.problems.is_empty());
    let tally = site.finish_made_of(digest).map_err(|error| Failure::of(&error))?;
    Ok(told(arguments, &tally, &published.problems))
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
