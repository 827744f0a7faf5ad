//! The words for what cannot be so when entries are put together.

pub(super) mod names;

use chrono::NaiveDate;

use crate::diagnostics::codes::Code;
use crate::diagnostics::problem::Problem;
use crate::diagnostics::words::{self, Tick};
use crate::garden::planting::Plants;
use crate::origin::{Origin, Written};

pub(super) fn many_sowings(at: Origin, most: u32, last: NaiveDate) -> Problem {
    let message =
        format!("only the first {most} sowings are in the plan, the last of them for {last}");
    Problem::new(Code::ManySowings, at, message)
        .label("from one sowing to the next")
        .hint("leave more time between two sowings, or end them sooner with `until`")
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
