//! `trug mix`: how much of each ingredient for what is to be filled; of a feed, how much for so much water.

use crate::care::mixes::{self, Recipe};
use crate::cli::arguments::Mix;
use crate::cli::{Failure, Outcome, folders, tell};
use crate::diagnostics::words::{Tick, all_of, nearest};
use crate::garden::model::Garden;
use crate::publish;
use crate::render::mix_text;
use crate::sheets::mix::MixSheet;
use crate::site::batch::BatchView;
use crate::site::feeds::DoseView;
use crate::theming;
use crate::units::{self, Range, Volume};

pub(super) fn run(arguments: &Mix) -> Result<Outcome, Failure> {
    let inputs = folders::read(&arguments.content)?;
    let (garden, mut problems) = publish::read(&inputs);
    let theme = theming::read_theme(&inputs.theme, &garden.settings.language, &mut problems);
    let theme = theme.ok_or_else(|| {
        Failure("the theme cannot be used; `trug publish` tells what is wrong with it".to_owned())
    })?;
    let sheet = sheet(&garden, &arguments.recipe)?;
    let fill = total(&garden, &arguments.fill)?;
    let (stock, system) = (&garden.settings.stock, garden.settings.units);
    let text = if let Some(recipe) = Recipe::of(sheet) {
        let batch = BatchView::new(&recipe, fill, stock, system);
        mix_text::batch(&sheet.name.value, &batch, theme.words())
    } else if let Some(dose) = DoseView::new(sheet, fill.high, system) {
        mix_text::dose(&sheet.name.value, &dose, theme.words())
    } else {
        Ok(String::new())
    };
    let text =
        text.map_err(|missing| Failure(format!("the theme has no words for {}", missing.0)))?;
    tell::out(&text)?;
    if problems.has_errors() {
        tell::note("The garden has errors, so these amounts may be wrong: see `trug proof`.");
        return Ok(Outcome::Problems);
    }
    Ok(Outcome::Fine)
}

fn sheet<'a>(garden: &'a Garden, name: &str) -> Result<&'a MixSheet, Failure> {
    mixes::find(garden, name).ok_or_else(|| {
        let names: Vec<&str> = garden.mixes.iter().map(|mix| mix.name.value.as_str()).collect();
        let stems = garden.mixes.iter().map(|mix| mix.stem.as_str());
        let hint = match nearest(name, names.iter().copied().chain(stems)) {
            Some(near) => format!("; did you mean {}?", Tick(near)),
            None if names.is_empty() => {
                "; write one into the folder mixes/, with `parts:`".to_owned()
            }
            None => format!("; there are {}", all_of(&names)),
        };
        Failure(format!("no mix or feed is called {}{hint}", Tick(name)))
    })
}

/// All that is to be filled, together.
fn total(garden: &Garden, fills: &[String]) -> Result<Range<Volume>, Failure> {
    let mut total: Option<Range<Volume>> = None;
    for text in fills {
        let one = one(garden, text)?;
        total = Some(total.map_or(one, |before| mixes::and(before, one)));
    }
    total.ok_or_else(|| Failure("say what is to be filled with --fill".to_owned()))
}

/// Pots, a volume, or a place.
fn one(garden: &Garden, text: &str) -> Result<Range<Volume>, Failure> {
    if let Some(id) = garden.find_place(text) {
        return mixes::to_fill_place(garden.place(id)).ok_or_else(|| {
            Failure(format!(
                "{} has no sizes on its sheet, so what it takes is not known",
                Tick(text)
            ))
        });
    }
    let trouble = match units::fill(text) {
        Ok(fill) => return Ok(mixes::to_fill(fill)),
        Err(trouble) => trouble,
    };
    let places = garden.places.iter().flat_map(|place| [place.name.as_str(), place.slug.as_str()]);
    let begins_with_number = text.trim_start().starts_with(|c: char| c.is_ascii_digit());
    let hint = match (trouble.mended(), nearest(text, places)) {
        (Some(mended), _) => format!("write {}", Tick(mended)),
        (None, Some(near)) => format!("did you mean the place {}?", Tick(near)),
        (None, None) if begins_with_number => trouble.message(),
        (None, None) => {
            "write pots (\"24 x 9 cm pot\"), a volume (\"40 L\"), or a place".to_owned()
        }
    };
    Err(Failure(format!("{} cannot be filled: {hint}", Tick(text))))
}
