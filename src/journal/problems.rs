//! The words for what can be wrong inside one entry.

use chrono::NaiveDate;

use crate::diagnostics::codes::Code;
use crate::diagnostics::problem::Problem;
use crate::diagnostics::words::Tick;
use crate::origin::{Origin, Written};

pub(super) fn subject_missing(at: Origin) -> Problem {
    Problem::new(Code::SubjectMissing, at, "this line does not say what it is about")
        .label("about what?")
        .hint("add `planting: tomato-26`, `place: long-bed` or `crop: tomato`")
}

pub(super) fn photo_without_words(file: Origin) -> Problem {
    Problem::new(Code::PhotoWords, file, "nothing says what this photo shows")
        .label("for those who cannot see it")
        .hint("add `shows:` with a few words, such as `shows: the first ripe chillies on the sill`")
}

pub(super) fn bad_id(id: &Written<String>, mended: &str) -> Problem {
    let problem = Problem::new(
        Code::BadId,
        id.at,
        format!("{} cannot be the id of a planting", Tick(&id.value)),
    )
    .label("letters, digits and hyphens, at most 60");
    if mended.is_empty() {
        problem.hint("choose an id such as tomato-26")
    } else {
        problem.mend(id.at, mended, format!("write {}", Tick(mended)))
    }
}

pub(super) fn begun_twice(second: Origin, first: Origin) -> Problem {
    Problem::new(Code::BegunTwice, second, "a planting is sown, planted or bought, not two of them")
        .label("begun a second way here")
        .also(first, "begun here")
        .hint("keep one of the two; give the other plants a planting of their own")
}

pub(super) fn at_without_bought(at: Origin) -> Problem {
    Problem::new(Code::MissingKey, at, "`at` says in which stage young plants were bought")
        .label("but nothing was bought")
        .hint("add `bought: 6`, or take `at` away")
}

pub(super) fn variety_without_as(at: Origin) -> Problem {
    Problem::new(
        Code::MissingKey,
        at,
        "`variety` on an event says of which variety the plants of a new id are",
    )
    .label("but there is no `as` on this line")
    .hint("add `as:` with an id for them, or write `variety` where the planting begins")
}

/// A stage as a key of a line under `events`.
pub(super) fn stage_as_key(key: &str, at: Origin, word: &str, is_count: bool) -> Problem {
    let message = format!("{} is no key of an event: what happened stands behind `is`", Tick(key));
    let problem = Problem::new(Code::UnknownKey, at, message).label("what happened");
    if is_count {
        let mended = format!("is: {word}, count");
        problem.mend(at, mended, format!("write `is: {word}, count: …`"))
    } else {
        problem.hint(format!("write `is: {word}`, and `count:` if it was not all of them"))
    }
}

pub(super) fn wait_missing(at: Origin) -> Problem {
    Problem::new(Code::WaitMissing, at, "a treatment needs `wait`: the days to harvest")
        .label("no `wait` on this line")
        .hint(
            "add `wait:` with the days to harvest that stand on the product's label, or `wait: 0 days` if the label \
             asks for none; the label is the law",
        )
}

pub(super) fn nothing_picked(at: Origin) -> Problem {
    Problem::new(Code::MissingKey, at, "a harvest needs `weight` or `count`")
        .label("how much?")
        .hint("add `weight: 450 g`, or `count: 6`, or both")
}

/// Another word for a key of short lines.
pub(super) fn word_meant(key: &Written<String>, meant: &str) -> Problem {
    let message = format!("{} is not a key of an entry", Tick(&key.value));
    Problem::new(Code::UnknownKey, key.at, message).label("unknown key").mend(
        key.at,
        meant,
        format!("write {}", Tick(meant)),
    )
}

pub(super) fn amount_in_words(
    key: &Written<String>,
    words: &Written<String>,
    mended: &str,
) -> Problem {
    let message = format!("{}: amounts are written in figures, or as `some`", Tick(&key.value));
    Problem::new(Code::ShortLine, words.at, message).label("in words").mend(
        words.at,
        mended,
        format!("write {}", Tick(mended)),
    )
}

/// A short line that says more than its key can take.
pub(super) fn not_short(key: &Written<String>, at: Origin, example: &str) -> Problem {
    let key = &key.value;
    Problem::new(Code::ShortLine, at, format!("trug cannot read this behind {}", Tick(key)))
        .label("not in the form of a short line")
        .hint(format!("write it like `{key}: {example}`"))
}

pub(super) fn nothing_said(key: &Written<String>, example: &str) -> Problem {
    let message = format!("{} does not say whom it is about", Tick(&key.value));
    Problem::new(Code::EmptyValue, key.at, message)
        .label("nothing behind this key")
        .hint(format!("write it like `{}: {example}`", key.value))
}

pub(super) fn more_sprouted(at: Origin, tried: u32) -> Problem {
    Problem::new(
        Code::BadNumber,
        at,
        format!("more seeds sprouted than the {tried} that were tried"),
    )
    .hint("mend one of the two numbers")
}

pub(super) fn low_above_high(low: Origin, high: Origin) -> Problem {
    Problem::new(Code::BadNumber, low, "the low of the day is above its high")
        .label("low")
        .also(high, "high")
        .hint("perhaps the two are exchanged")
}

pub(super) fn after_entry(on: &Written<NaiveDate>, entry: &Written<NaiveDate>) -> Problem {
    Problem::new(
        Code::AfterEntry,
        on.at,
        format!("{} is after the date of the entry, {}", on.value, entry.value),
    )
    .label("after the entry's date")
    .also(entry.at, "the entry's date")
    .hint("mend one of the two dates, or write the line in an entry of its own day")
}
