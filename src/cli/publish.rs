//! `trug publish`: the content folder becomes the site folder.

use crate::cli::arguments::Publish;
use crate::cli::{Failure, Outcome, folders, tell};
use crate::diagnostics::report;
use crate::diagnostics::words;
use crate::output::DiskSite;
use crate::publish;
use crate::site::task_feed::is_feed;

pub(super) fn run(arguments: &Publish) -> Result<Outcome, Failure> {
    let mut inputs = folders::read(&arguments.content)?;
    let mut site = DiskSite::open(&arguments.site).map_err(|error| Failure::of(&error))?;
    inputs.earlier_feeds = site.standing(is_feed);
    let published = publish::publish(&inputs, &mut site).map_err(|error| Failure::of(&error))?;
    tell::problems(&published.problems, &inputs, &arguments.content, arguments.format);
    let found = report::tally(&published.problems);
    if !published.is_complete {
        tell::note(&format!("{found}; the site was left as it was."));
        return Ok(Outcome::Problems);
    }
    let tally = site.finish().map_err(|error| Failure::of(&error))?;
    let folder = arguments.site.display();
    let mut note = format!(
        "Published to {folder}: {} written, {} unchanged, {} removed",
        words::count(tally.written, "file"),
        tally.unchanged,
        tally.removed
    );
    if !published.problems.is_empty() {
        note.push_str(&format!("; {found}"));
    }
    tell::note(&format!("{note}."));
    Ok(Outcome::Fine)
}
