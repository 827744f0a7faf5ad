//! The words for names that mean nothing, too much, or the same.

use crate::diagnostics::codes::Code;
use crate::diagnostics::problem::Problem;
use crate::diagnostics::words::{self, Tick};
use crate::garden::planting::Planting;
use crate::garden::shown::Shown;
use crate::origin::{Origin, Written};
use crate::units;

fn unknown<'a>(
    code: Code,
    what: &str,
    name: &Written<String>,
    known: impl Iterator<Item = &'a str>,
    otherwise: String,
) -> Problem {
    Problem::new(code, name.at, format!("no {what} is called {}", Tick(&name.value)))
        .label(format!("unknown {what}"))
        .perhaps(name.at, &name.value, known, || otherwise)
}

pub(in crate::garden::build) fn private_guessable(id: &Written<String>) -> Problem {
    let message = "garden.yaml has no `garden-id`, so whoever guesses the id of a private planting can tell its page";
    Problem::new(Code::PrivateGuessable, id.at, message).label("began in a private entry").hint(
        "write `garden-id:` and a long random text into garden.yaml, and keep it; addresses of private plantings and the \
         tasks on phones become new ones, this once",
    )
}

pub(in crate::garden::build) fn unknown_place<'a>(
    name: &Written<String>,
    known: impl Iterator<Item = &'a str>,
) -> Problem {
    let called = crate::names::spoken(&name.value);
    let slug = crate::names::slug(called);
    let otherwise = format!(
        "write a sheet for it: content/places/{slug}.md with `name: {called}` and `kind: bed`"
    );
    unknown(Code::UnknownPlace, "place", name, known, otherwise)
}

pub(in crate::garden::build) fn unknown_planting<'a>(
    name: &Written<String>,
    known: impl Iterator<Item = &'a str>,
) -> Problem {
    let otherwise = format!(
        "begin it in an entry: `plantings: [{{id: {}, crop: …, sown: …}}]`",
        crate::names::as_id(&name.value)
    );
    unknown(Code::UnknownPlanting, "planting", name, known, otherwise)
}

pub(in crate::garden::build) fn nobody_called<'a>(
    name: &Written<String>,
    known: impl Iterator<Item = &'a str>,
) -> Problem {
    let otherwise = match amount_behind(&name.value) {
        Some((who, amount)) => {
            format!("an amount stands behind the name and a colon: `{{{who}: {amount}}}`")
        }
        None => "write the name of a planting, a place, a group, a crop or a variety, and `in` with a place \
                 where that helps: `pepper in roof tubs`"
            .to_owned(),
    };
    unknown(Code::UnknownPlanting, "planting, place or crop", name, known, otherwise)
}

/// `tubs 10 L`, `300 g tomatoes`: the name, and an amount that should stand behind a colon.
fn amount_behind(text: &str) -> Option<(&str, &str)> {
    let is_amount = |amount: &str| {
        let bare = amount.strip_suffix(" each").unwrap_or(amount);
        bare == "some" || units::amount(bare).is_ok() || units::whole(bare).is_ok()
    };
    // `g tomatoes` is no name: its first word measures.
    let measures = |word: &str| units::amount(&format!("1 {word}")).is_ok();
    let is_name = |name: &str| {
        name.starts_with(char::is_alphabetic) && !name.split(' ').next().is_some_and(measures)
    };
    let blanks = text.match_indices(' ').map(|(at, _)| (text[..at].trim(), text[at..].trim()));
    let mut both = blanks.flat_map(|(before, behind)| [(before, behind), (behind, before)]);
    both.find(|(name, amount)| is_name(name) && is_amount(amount))
}

/// A variety that no sheet knows has to stand behind its crop: what stands before it may be another crop.
pub(in crate::garden::build) fn variety_first(
    name: &Written<String>,
    crop: &str,
    variety: &str,
) -> Problem {
    let mended = format!("{crop} {variety}");
    Problem::new(Code::UnknownCrop, name.at, format!("no crop is called {}", Tick(&name.value)))
        .label("unknown crop")
        .mend(
            name.at,
            words::behind_key(&mended),
            format!("if it is a variety, write it behind the crop: {}", Tick(&mended)),
        )
}

/// A short name that fits several plantings where only one can be meant.
pub(in crate::garden::build) fn several_meant(
    name: &Written<String>,
    plantings: &[&Planting],
) -> Problem {
    let is_only = |variety: &&Shown| {
        plantings.iter().filter(|other| other.variety.as_ref() == Some(*variety)).count() == 1
    };
    // By variety where that tells them apart, else by id.
    let own = |planting: &&Planting| {
        planting.variety.as_ref().filter(is_only).unwrap_or(&planting.id).to_string()
    };
    let all: Vec<String> = plantings.iter().map(own).collect();
    let ticked: Vec<Tick<'_>> = all.iter().map(|name| Tick(name)).collect();
    let message = format!("{} could be {}", Tick(&name.value), words::any_of(&ticked));
    let first = words::behind_key(&all[0]);
    Problem::new(Code::SeveralMeant, name.at, message)
        .label("which of them?")
        .mend(name.at, first, format!("write the one it was, such as {}", Tick(&all[0])))
        .hint(format!("or, if it was all of them, name each: `[{}]`", all.join(", ")))
}

pub(in crate::garden::build) fn unknown_photo(
    name: &Written<String>,
    folder: &str,
    pictures: &[String],
) -> Problem {
    let places = [format!("{folder}/"), "photos/".to_owned()];
    let known = pictures
        .iter()
        .filter_map(|path| places.iter().find_map(|place| path.strip_prefix(place.as_str())));
    let otherwise = format!(
        "put the file (JPEG, PNG or WebP) beside the entry, in content/{folder}, or in content/photos"
    );
    unknown(Code::PhotoMissing, "photo", name, known, otherwise)
}

pub(in crate::garden::build) fn unknown_mix<'a>(
    name: &Written<String>,
    known: impl Iterator<Item = &'a str>,
) -> Problem {
    let slug = crate::names::slug(&name.value);
    let otherwise = format!(
        "write a sheet for it: content/mixes/{slug}.md with `name: {}` and its `parts` or `label`",
        name.value
    );
    unknown(Code::UnknownMix, "mix or feed", name, known, otherwise)
}

pub(in crate::garden::build) fn unknown_soil(
    name: &Written<String>,
    nearest: &str,
    known: &[&str],
) -> Problem {
    let known: Vec<_> = known.iter().map(|soil| Tick(soil)).collect();
    let message = format!("trug does not know the soil {}", Tick(&name.value));
    Problem::new(Code::UnknownMix, name.at, message)
        .label("unknown soil")
        .mend(name.at, nearest, format!("write {}, which is nearest", Tick(nearest)))
        .hint(format!("the kinds of soil are {}; or name a mix of yours", words::all_of(&known)))
}

pub(in crate::garden::build) fn unknown_family<'a>(
    name: &Written<String>,
    known: impl Iterator<Item = &'a str>,
) -> Problem {
    let message = format!("no crop that trug knows is of the family {}", Tick(&name.value));
    Problem::new(Code::UnknownFamily, name.at, message).label("unknown family")
        .perhaps(name.at, &name.value, known, || {
            "write the botanical family: Solanaceae for tomatoes and potatoes, Fabaceae for peas and beans; \
             the page of a crop names its family"
                .to_owned()
        })
}

pub(in crate::garden::build) fn unknown_job(word: &str, at: Origin, known: &[&str]) -> Problem {
    let message = format!("{} is not a kind of work that trug knows", Tick(word));
    Problem::new(Code::UnknownWord, at, message).label("unknown word").perhaps(
        at,
        word,
        known.iter().copied(),
        || {
            format!(
                "it can be {}; a word of your own goes under `jobs` in garden.yaml",
                words::any_of(known)
            )
        },
    )
}

/// A key under `tasks` in garden.yaml that is no kind of work.
pub(in crate::garden::build) fn unknown_kind(
    task: &Written<String>,
    known: &[&str],
    is_crop: bool,
) -> Problem {
    let name = &task.value;
    let message = format!("{} is not a kind of work that trug knows", Tick(name));
    let problem = Problem::new(Code::UnknownTask, task.at, message).label("unknown task");
    if is_crop {
        return problem.hint(format!("say which tasks of it: `{name}: {{feed: off}}`"));
    }
    problem.perhaps(task.at, name, known.iter().copied(), || {
        format!(
            "it can be {}; a single rule stands behind its crop: `tomato: {{mulch: off}}`",
            words::any_of(known)
        )
    })
}

pub(in crate::garden::build) fn unknown_task(task: &Written<String>, known: &[&str]) -> Problem {
    let message = format!("no task of these plants is called {}", Tick(&task.value));
    Problem::new(Code::UnknownTask, task.at, message).label("unknown task").perhaps(
        task.at,
        &task.value,
        known.iter().copied(),
        || match known {
            [] => "their crop sheet has no task rules".to_owned(),
            _ => format!("their tasks are {}", words::all_of(known)),
        },
    )
}

pub(in crate::garden::build) fn repeated_id(second: &Written<String>, first: Origin) -> Problem {
    Problem::new(
        Code::RepeatedId,
        second.at,
        format!("a planting called {} is there already", Tick(&second.value)),
    )
    .label("again here")
    .also(first, "first here")
    .hint("give this one another id: an id is unique for ever, in every season")
}

pub(in crate::garden::build) fn repeated_name(
    what: &str,
    second: &Written<String>,
    first: Origin,
) -> Problem {
    Problem::new(
        Code::RepeatedName,
        second.at,
        format!("a {what} called {} is there already", Tick(&second.value)),
    )
    .label("again here")
    .also(first, "first here")
    .hint("give one of the two another name")
}

pub(in crate::garden::build) fn address_clash(
    what: &str,
    slug: &str,
    second: Origin,
    first: Origin,
) -> Problem {
    Problem::new(
        Code::AddressClash,
        second,
        format!("this {what} would get the page address {}, which is taken", Tick(slug)),
    )
    .label("second")
    .also(first, "first")
    .hint("change one of the two so that they differ in plain letters and digits")
}
