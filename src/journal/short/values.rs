//! What is said of somebody in a short line: amounts, places, reasons, each in a fixed order of words.

use crate::diagnostics::problem::Problems;
use crate::happening::Happening;
use crate::jobs::Job;
use crate::journal::care::{Care, is_without_wait, whole_days};
use crate::journal::event::Event;
use crate::journal::harvest::Harvest;
use crate::journal::notes::{Cost, Seen};
use crate::journal::problems;
use crate::journal::short::phrase::Phrase;
use crate::journal::short::words::{Way, example, in_figures};
use crate::journal::short::{Beginning, Said};
use crate::journal::start::check_id;
use crate::journal::subject::Subject;
use crate::origin::Written;
use crate::stage::Stage;
use crate::units::{self, Amount, Count};

/// What cannot be read at the end of a value is told with the form that the key takes.
fn not_read(key: &Written<String>, phrase: Phrase<'_>, problems: &mut Problems) {
    problems.add(problems::not_short(key, phrase.written().at, example(&key.value)));
}

fn read<T>(
    phrase: Phrase<'_>,
    parse: impl Fn(&str) -> Result<T, units::Trouble>,
) -> Option<Written<T>> {
    parse(phrase.text).ok().map(|value| Written::new(value, phrase.written().at))
}

/// Told as the reader of quantities tells it, if a number is there; else with the form of the key.
fn not_a_quantity(
    key: &Written<String>,
    phrase: Phrase<'_>,
    trouble: &units::Trouble,
    problems: &mut Problems,
) {
    if let Some(figures) = in_figures(phrase.text) {
        return problems.add(problems::amount_in_words(key, &phrase.written(), figures));
    }
    let is_near = trouble.mended().is_some()
        || matches!(trouble, units::Trouble::UnitMissing { .. } | units::Trouble::Uncounted { .. });
    if phrase.text.contains(|c: char| c.is_ascii_digit()) && is_near {
        problems.add(crate::source::problems::values::bad_value(
            &key.value,
            phrase.written().at,
            trouble,
        ));
    } else {
        not_read(key, phrase, problems);
    }
}

/// `0.5 L each`, `tomato feed 0.5 L each`, `soap spray against aphids, 3 days wait`.
pub(super) fn care(
    job: &Job,
    key: &Written<String>,
    said: &Said<'_>,
    problems: &mut Problems,
) -> Option<Care> {
    let mut care = Care {
        subject: Subject::called(said.called.written()),
        did: Written::new(job.clone(), key.at),
        amount: None,
        each: None,
        with: None,
        against: None,
        wait_days: None,
        old_share: None,
        task: None,
        on: None,
        note: None,
    };
    let mut is_wait_said = false;
    for part in said.value.into_iter().flat_map(Phrase::at_commas) {
        // `wait 3 days` in one go, or `3 days wait` behind a comma.
        let (part, waits) = match part.without_last("wait") {
            Some(wait) => (None, vec![wait]),
            None => {
                let (part, waits) = part.around(&["wait"]);
                (Some(part), waits.into_iter().map(|(_, wait)| wait).collect())
            }
        };
        for wait in waits {
            is_wait_said = true;
            match units::days(wait.text) {
                Ok(days) => {
                    care.wait_days = Some(whole_days(Written::new(days, wait.written().at)))
                }
                Err(trouble) => not_a_quantity(key, wait, &trouble, problems),
            }
        }
        let Some(part) = part.filter(|part| !part.text.is_empty()) else { continue };
        match job {
            Job::Skip => care.task = Some(part.written()),
            Job::Water | Job::Feed | Job::Treat => with_and_amount(&mut care, key, part, problems),
            Job::Mulch | Job::Cover | Job::Shade | Job::Support | Job::Refill | Job::Protect => {
                care.with = Some(part.written())
            }
            _ => care.note = Some(part.written()),
        }
    }
    if *job == Job::Treat && !is_wait_said && !is_without_wait(care.with.as_ref()) {
        problems.add(problems::wait_missing(said.value.unwrap_or(said.called).written().at));
    }
    Some(care)
}

/// `tomato feed 0.5 L each`: the amount is what can be read as one at the end.
fn with_and_amount(
    care: &mut Care,
    key: &Written<String>,
    part: Phrase<'_>,
    problems: &mut Problems,
) {
    let (part, against) = part.around(&["against"]);
    care.against = against.first().map(|(_, pest)| pest.written());
    let (measured, is_each) = match part.without_last("each") {
        Some(measured) => (measured, true),
        None => (part, false),
    };
    let amount =
        measured.in_two().find_map(|(with, amount)| Some((with, read(amount, units::amount)?)));
    let with = match amount {
        Some((with, amount)) if is_each => {
            care.each = Some(amount);
            with
        }
        Some((with, amount)) => {
            care.amount = Some(amount);
            with
        }
        None if is_each || care.did.value == Job::Water => {
            let number = measured
                .in_two()
                .find(|(_, rest)| rest.text.starts_with(|c: char| c.is_ascii_digit()));
            let amount = number.map_or(measured, |(_, amount)| amount);
            if let Err(trouble) = units::amount(amount.text) {
                not_a_quantity(key, amount, &trouble, problems);
            }
            return;
        }
        None => part,
    };
    if !with.text.is_empty() {
        care.with = Some(with.written());
    }
}

/// `12 into 9 cm pots`, `4 into big tubs as p-bed`, `2 to slugs`.
pub(super) fn event(
    what: Happening,
    key: &Written<String>,
    said: &Said<'_>,
    problems: &mut Problems,
) -> Option<Event> {
    let mut event = Event::of(Subject::called(said.called.written()), Written::new(what, key.at));
    let Some(value) = said.value else { return Some(event) };
    let markers: &[&str] = match what {
        Happening::Lost | Happening::GivenAway => &["to", "from", "because", "as"],
        _ => &["into", "in", "to", "from", "because", "as"],
    };
    let (head, tails) = value.around(markers);
    if !head.text.is_empty() {
        event.count = count(key, head, problems);
        event.count.as_ref()?;
    }
    for (word, rest) in tails {
        if rest.text.is_empty() {
            not_read(key, value, problems);
            return None;
        }
        match (word, what) {
            ("as", _) => event.becomes = Some(check_id(rest.written(), problems)?),
            ("from", _) => event.from = Some(rest.written()),
            ("because", _) | ("to", Happening::Lost) => event.because = Some(rest.written()),
            ("to", Happening::GivenAway) => {
                event.note = Some(rest.written().map(|whom| format!("to {whom}")));
            }
            _ if units::pot(rest.text).is_ok() => event.pot = Some(one_pot(rest)),
            _ => event.place = Some(rest.written()),
        }
    }
    Some(event)
}

/// `9 cm pots` is the size `9 cm pot`.
fn one_pot(phrase: Phrase<'_>) -> Written<String> {
    phrase.written().map(|pot| match pot.strip_suffix("pots") {
        Some(size) => format!("{size}pot"),
        None => pot,
    })
}

fn count(
    key: &Written<String>,
    phrase: Phrase<'_>,
    problems: &mut Problems,
) -> Option<Written<Count>> {
    if ["some", "all"].contains(&phrase.text.to_lowercase().as_str()) {
        return Some(Written::new(Count::Unknown, phrase.written().at));
    }
    match units::count(phrase.text) {
        Ok(count) => Some(Written::new(count, phrase.written().at)),
        Err(trouble) => {
            not_a_quantity(key, phrase, &trouble, problems);
            None
        }
    }
}

/// `300 g`, `25`, `300 g, 25 bunches`, `some`, `1.2 kg dried`.
pub(super) fn harvest(
    key: &Written<String>,
    said: &Said<'_>,
    problems: &mut Problems,
) -> Option<Harvest> {
    let mut harvest = Harvest::of(Subject::called(said.called.written()));
    // Without an amount it counts as a picking that was not weighed, as `some` does.
    let parts = said.value.map_or(Vec::new(), Phrase::at_commas);
    // In braces a comma would end the value: `300 g and 25`.
    let parts: Vec<_> = parts
        .into_iter()
        .flat_map(|part| {
            let (first, rest) = part.around(&["and"]);
            std::iter::once(first).chain(rest.into_iter().map(|(_, part)| part))
        })
        .collect();
    for part in parts.iter().filter(|part| !part.text.eq_ignore_ascii_case("some")) {
        let (part, is_cured) = match part.without_last("dried") {
            Some(rest) => (rest, true),
            None => (*part, false),
        };
        harvest.is_cured |= is_cured;
        let (number, unit) = match part.text.split_once(char::is_whitespace) {
            Some((number, unit)) => (number, Some(unit)),
            None => (part.text, None),
        };
        match (units::mass(part.text), units::whole(number)) {
            (Ok(weight), _) => harvest.weight = Some(Written::new(weight, part.written().at)),
            (_, Ok(number)) if unit.is_none_or(is_word) => {
                harvest.count = Some(Written::new(number, part.written().at));
                harvest.unit =
                    unit.map(|unit| Written::new(unit.trim().to_owned(), part.written().at));
            }
            (Err(trouble), _) => {
                not_a_quantity(key, part, &trouble, problems);
                return None;
            }
        }
    }
    Some(harvest)
}

fn is_word(text: &str) -> bool {
    text.chars().all(|c| c.is_alphabetic() || c.is_whitespace())
}

/// `24`, `3 x 40 in trays for long bed`, `8 as spud-26`; of young plants `6, pricked out`.
pub(super) fn beginning(
    way: Way,
    key: &Written<String>,
    said: &Said<'_>,
    problems: &mut Problems,
) -> Option<Beginning> {
    let mut parts = said.value.map_or(Vec::new(), Phrase::at_commas).into_iter();
    let mut count = Written::new(Count::Unknown, said.called.written().at);
    let (mut place, mut destined, mut id) = (None, None, None);
    if let Some(first) = parts.next() {
        let (head, tails) = first.around(&["in", "into", "on", "for", "as"]);
        if !head.text.is_empty() {
            count = self::count(key, head, problems)?;
        }
        for (word, rest) in tails {
            match word {
                "as" => id = Some(check_id(rest.written(), problems)?),
                "for" => destined = Some(rest.written()),
                _ => place = Some(rest.written()),
            }
        }
    }
    let mut stage = None;
    for part in parts {
        let known = Stage::of_word(&part.text.to_lowercase()).filter(|_| way == Way::Bought);
        let Some(known) = known else {
            not_read(key, part, problems);
            return None;
        };
        stage = Some(Written::new(known, part.written().at));
    }
    let called = said.called.written();
    Some(Beginning { called, way, count, stage, place, destined, id })
}

/// `whitefly`, `slugs, badly`.
pub(super) fn seen(
    key: &Written<String>,
    said: &Said<'_>,
    problems: &mut Problems,
) -> Option<Seen> {
    let Some(value) = said.value else {
        not_read(key, said.called, problems);
        return None;
    };
    let mut parts = value.at_commas().into_iter();
    let what = parts.next()?.written();
    let how_bad = parts.next().map(Phrase::written);
    Some(Seen {
        subject: Subject::called(said.called.written()),
        what,
        how_bad,
        on: None,
        note: None,
    })
}

/// `7.20`, `50 L, 7.20`, `7.20 for pepper`.
pub(super) fn cost(
    key: &Written<String>,
    said: &Said<'_>,
    problems: &mut Problems,
) -> Option<Cost> {
    let Some(value) = said.value else {
        not_read(key, said.called, problems);
        return None;
    };
    let (value, tails) = value.around(&["for"]);
    let (mut amount, mut price) = (None, None);
    for part in value.at_commas() {
        // In braces a comma would end the value: `50 L 7.20`.
        let both = part.in_two().find_map(|(first, second)| {
            Some((read(first, units::amount)?, read(second, units::price)?))
        });
        let written: Option<Written<Amount>> = read(part, units::amount);
        match (written, both, units::price(part.text)) {
            (Some(written), _, _) => amount = Some(written),
            (None, Some((written, sum)), _) => (amount, price) = (Some(written), Some(sum)),
            (None, None, Ok(sum)) => price = Some(Written::new(sum, part.written().at)),
            (None, None, Err(trouble)) => {
                not_a_quantity(key, part, &trouble, problems);
                return None;
            }
        }
    }
    let Some(price) = price else {
        not_read(key, value, problems);
        return None;
    };
    Some(Cost {
        what: said.called.written(),
        amount,
        price,
        destined: tails.first().map(|(_, whom)| whom.written()),
        is_short: true,
        on: None,
        note: None,
    })
}
