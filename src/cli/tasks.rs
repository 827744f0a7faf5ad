//! `trug tasks`: the coming tasks in the terminal.

use crate::cli::arguments::Tasks;
use crate::cli::{Failure, Outcome, folders, tell};
use crate::findings::Findings;
use crate::publish;
use crate::render::task_list;
use crate::site::page::Page;
use crate::site::tasks::TasksView;
use crate::theming;

pub(super) fn run(arguments: &Tasks) -> Result<Outcome, Failure> {
    let inputs = folders::read(&arguments.content)?;
    let (garden, mut problems) = publish::read(&inputs);
    let garden = match arguments.days {
        Some(days) => garden.looking_ahead(days.clamp(1, 366)),
        None => garden,
    };
    let theme = theming::read_theme(&inputs.theme, &garden.settings.language, &mut problems);
    let theme = theme.ok_or_else(|| {
        Failure("the theme cannot be used; `trug publish` tells what is wrong with it".to_owned())
    })?;
    let view = TasksView::view(&garden, &Findings::ahead(&garden), &());
    let list = if arguments.sow { task_list::sow_text } else { task_list::text };
    let text = list(&view, theme.words())
        .map_err(|missing| Failure(format!("the theme has no words for {}", missing.0)))?;
    tell::out(&text)?;
    if problems.has_errors() {
        tell::note("The journal has errors, so this list may lack something: see `trug proof`.");
        return Ok(Outcome::Problems);
    }
    Ok(Outcome::Fine)
}
