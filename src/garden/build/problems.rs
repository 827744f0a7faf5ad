//! The words for what cannot be so when entries are put together.

use chrono::NaiveDate;

use crate::diagnostics::codes::Code;
use crate::diagnostics::problem::Problem;
use crate::diagnostics::words::{self, Tick};
use crate::garden::planting::{Planting, Plants};
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

pub(super) fn many_sowings(at: Origin, most: u32, last: NaiveDate) -> Problem {
    let message =
        format!("only the first {most} sowings are in the plan, the last of them for {last}");
    Problem::new(Code::ManySowings, at, message)
        .label("from one sowing to the next")
        .hint("leave more time between two sowings, or end them sooner with `until`")
}

pub(super) fn private_guessable(id: &Written<String>) -> Problem {
    let message = "garden.yaml has no `garden-id`, so whoever guesses the id of a private planting can tell its page";
    Problem::new(Code::PrivateGuessable, id.at, message).label("began in a private entry").hint(
        "write `garden-id:` and a long random text into garden.yaml, and keep it; addresses of private plantings and the \
         tasks on phones become new ones, this once",
    )
}

pub(super) fn unknown_place<'a>(
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

pub(super) fn unknown_planting<'a>(
    name: &Written<String>,
    known: impl Iterator<Item = &'a str>,
) -> Problem {
    let otherwise = format!(
        "begin it in an entry: `plantings: [{{id: {}, crop: …, sown: …}}]`",
        crate::names::as_id(&name.value)
    );
    unknown(Code::UnknownPlanting, "planting", name, known, otherwise)
}

pub(super) fn nobody_called<'a>(
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
pub(super) fn variety_first(name: &Written<String>, crop: &str, variety: &str) -> Problem {
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
pub(super) fn several_meant(name: &Written<String>, plantings: &[&Planting]) -> Problem {
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

pub(super) fn unknown_photo(name: &Written<String>, folder: &str, pictures: &[String]) -> Problem {
    let places = [format!("{folder}/"), "photos/".to_owned()];
    let known = pictures
        .iter()
        .filter_map(|path| places.iter().find_map(|place| path.strip_prefix(place.as_str())));
    let otherwise = format!(
        "put the file (JPEG, PNG or WebP) beside the entry, in content/{folder}, or in content/photos"
    );
    unknown(Code::PhotoMissing, "photo", name, known, otherwise)
}

pub(super) fn unknown_mix<'a>(
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

pub(super) fn unknown_soil(name: &Written<String>, nearest: &str, known: &[&str]) -> Problem {
    let known: Vec<_> = known.iter().map(|soil| Tick(soil)).collect();
    let message = format!("trug does not know the soil {}", Tick(&name.value));
    Problem::new(Code::UnknownMix, name.at, message)
        .label("unknown soil")
        .mend(name.at, nearest, format!("write {}, which is nearest", Tick(nearest)))
        .hint(format!("the kinds of soil are {}; or name a mix of yours", words::all_of(&known)))
}

pub(super) fn unknown_family<'a>(
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

pub(super) fn unknown_job(word: &str, at: Origin, known: &[&str]) -> Problem {
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
pub(super) fn unknown_kind(task: &Written<String>, known: &[&str], is_crop: bool) -> Problem {
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

pub(super) fn unknown_task(task: &Written<String>, known: &[&str]) -> Problem {
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

pub(super) fn repeated_id(second: &Written<String>, first: Origin) -> Problem {
    Problem::new(
        Code::RepeatedId,
        second.at,
        format!("a planting called {} is there already", Tick(&second.value)),
    )
    .label("again here")
    .also(first, "first here")
    .hint("give this one another id: an id is unique for ever, in every season")
}

pub(super) fn repeated_name(what: &str, second: &Written<String>, first: Origin) -> Problem {
    Problem::new(
        Code::RepeatedName,
        second.at,
        format!("a {what} called {} is there already", Tick(&second.value)),
    )
    .label("again here")
    .also(first, "first here")
    .hint("give one of the two another name")
}

pub(super) fn address_clash(what: &str, slug: &str, second: Origin, first: Origin) -> Problem {
    Problem::new(
        Code::AddressClash,
        second,
        format!("this {what} would get the page address {}, which is taken", Tick(slug)),
    )
    .label("second")
    .also(first, "first")
    .hint("change one of the two so that they differ in plain letters and digits")
}

pub(super) fn before_beginning(
    id: &str,
    at: Origin,
    day: NaiveDate,
    begun: Option<NaiveDate>,
    start: Origin,
) -> Problem {
    let message = match begun {
        Some(begun) => format!("{} began on {begun}, after this day, {day}", Tick(id)),
        None => format!("{} is only intended: nothing is sown or planted yet", Tick(id)),
    };
    let problem = Problem::new(Code::BeforeBeginning, at, message)
        .label("before it began")
        .also(start, "noted here");
    match begun {
        Some(_) => problem.hint("mend one of the two dates"),
        None => problem.hint(format!(
            "add `events: [{{planting: {id}, is: sown, count: 12}}]` in an entry of that day"
        )),
    }
}

pub(super) fn after_finish(id: &str, at: Origin, day: NaiveDate, finished: NaiveDate) -> Problem {
    Problem::new(
        Code::AfterFinish,
        at,
        format!("{} was finished on {finished}, before this day, {day}", Tick(id)),
    )
    .label("after it was finished")
    .hint("mend one of the two dates, or take the line that finished it away")
}

pub(super) fn stage_order(
    id: &str,
    at: Origin,
    stage: &str,
    day: NaiveDate,
    later: &str,
    later_day: NaiveDate,
) -> Problem {
    Problem::new(
        Code::StageOrder,
        at,
        format!("{} is noted as {stage} on {day}, but was {later} on {later_day}", Tick(id)),
    )
    .label(format!("{stage} comes before {later}"))
    .hint("mend one of the two dates; with `count` some plants may be behind the others")
}

pub(super) fn too_many(id: &str, at: Origin, wanted: u32, remain: Plants) -> Problem {
    let left = match remain.number.unwrap_or(0) {
        0 => "none left".to_owned(),
        number => format!("only {number} left"),
    };
    let counted = match wanted {
        1 => "1 plant is".to_owned(),
        number => format!("{number} plants are"),
    };
    Problem::new(Code::TooMany, at, format!("{counted} counted here, but {} has {left}", Tick(id)))
        .label("more than are left")
        .hint("mend this count, or an earlier one; a second sowing is noted with `is: sown again`")
}

/// `names`: the place they were taken from, and another that could be meant; `key` says it.
pub(super) fn which_plants(id: &str, at: Origin, names: [&str; 2], key: &str) -> Problem {
    let [taken, other] = names;
    let message = format!(
        "{} stands in {taken} and in {other}; this line was taken to be about those in {taken}",
        Tick(id)
    );
    Problem::new(Code::WhichPlants, at, message)
        .label("which of them?")
        .hint(format!("say it: `{key}: {taken}` or `{key}: {other}`"))
}

pub(super) fn none_there(id: &str, at: Origin, day: NaiveDate, place: &str) -> Problem {
    Problem::new(
        Code::NobodyThere,
        at,
        format!("no plants of {} stood in {place} on {day}", Tick(id)),
    )
    .label("none of them there")
    .hint("mend the place or the date; a line `is: moved` says when plants went elsewhere")
}

pub(super) fn nobody_there(at: Origin, day: NaiveDate, crop: &str) -> Problem {
    Problem::new(
        Code::NobodyThere,
        at,
        format!("no {crop} was growing on {day}, so this line is about no planting"),
    )
    .label("nobody there")
    .hint("mend the date or the name, or name the planting itself")
}

pub(super) fn broken_link<'a>(
    at: Origin,
    inside: &str,
    kind: &str,
    known: impl Iterator<Item = &'a str>,
) -> Problem {
    let name = inside.split_once(':').map_or(inside, |(_, name)| name);
    let problem = Problem::new(Code::BrokenLink, at, format!("no {kind} is called {}", Tick(name)))
        .label("this link points at nothing");
    match words::nearest(name, known) {
        Some(near) => {
            let prefix = inside.strip_suffix(name).unwrap_or("");
            let mended = format!("[[{prefix}{near}]]");
            problem.mend(at, mended.clone(), format!("did you mean {mended}?"))
        }
        None => problem.hint("a link is [[planting-id]], [[crop:leek]] or [[place:long-bed]]"),
    }
}

pub(super) fn dated_ahead(at: Origin, date: NaiveDate, today: NaiveDate, others: usize) -> Problem {
    let rest = match others {
        0 => String::new(),
        number => format!(", and {} too", words::count(number, "later entry")),
    };
    Problem::new(
        Code::DatedAhead,
        at,
        format!("this entry is dated {date}, after {today}, so it was left out{rest}"),
    )
    .label("after the day that is computed for")
    .hint("mend the year if it is a slip; otherwise it will count when its day has come")
}

pub(super) fn weather_differs(
    at: Origin,
    what: &str,
    day: NaiveDate,
    here: f64,
    table: f64,
    row: Origin,
) -> Problem {
    Problem::new(
        Code::WeatherDiffers,
        at,
        format!("the {what} of {day} is {here} here and {table} in the weather table"),
    )
    .label("differs")
    .also(row, "the table counts")
    .hint("mend one of the two")
}

pub(super) fn repeated_day(day: NaiveDate, at: Origin, first: Origin) -> Problem {
    Problem::new(Code::RepeatedDay, at, format!("{day} is in the weather tables twice"))
        .label("again here")
        .also(first, "first here")
        .hint("take one of the two rows away")
}

pub(super) fn picked_in_wait(
    ids: &[&str],
    at: Origin,
    picked: NaiveDate,
    treated: NaiveDate,
    wait_days: u32,
    treatment: Origin,
) -> Problem {
    let ticked: Vec<_> = ids.iter().map(|id| Tick(id)).collect();
    let was = if ids.len() == 1 { "was" } else { "were" };
    Problem::new(
        Code::PickedInWait,
        at,
        format!(
            "{} {was} picked on {picked}, but treated on {treated} with {} to wait",
            words::all_of(&ticked),
            words::count(wait_days as usize, "day")
        ),
    )
    .label("picked inside the waiting time")
    .also(treatment, "the treatment")
    .hint("follow the product's label and local rules; if a date or the wait is a slip, mend it")
}

pub(super) fn split_of_many(id: &Written<String>) -> Problem {
    Problem::new(
        Code::SubjectMissing,
        id.at,
        format!("{} would be split from more than one planting", Tick(&id.value)),
    )
    .hint("`as` goes with one planting: write a line for each")
}
