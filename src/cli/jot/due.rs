//! What is due, as short lines to keep or strike.

use crate::care::tasks::model::Task;
use crate::cli::jot::entry_text::{self, Block};
use crate::diagnostics::words::behind_key;
use crate::findings;
use crate::garden::model::Garden;
use crate::garden::place::PlaceId;
use crate::garden::planting::PlantingId;
use crate::jobs::Job;
use crate::journal::short::words;

/// Whom, and perhaps how much or with what.
type Item = (String, Option<String>);

/// Everything that is due today, watering and the work of whole places included, one key each. Only names and
/// feeds stand there: what was picked or sown nobody can know before.
pub(super) fn blocks(garden: &Garden) -> Vec<Block> {
    let mut keys: Vec<(&str, Vec<Item>)> = Vec::new();
    let tasks = findings::tasks(garden);
    for task in tasks.iter().filter(|task| task.due <= garden.today) {
        let Some(whom) = whom(garden, task) else { continue };
        let key = words::key_for(&task.job);
        let one = (whom, amount(task));
        match keys.iter_mut().find(|(known, _)| *known == key) {
            Some((_, all)) if all.contains(&one) => {}
            Some((_, all)) => all.push(one),
            None => keys.push((key, vec![one])),
        }
    }
    let lines: Vec<String> = keys.iter().flat_map(|(key, all)| lines(key, all)).collect();
    entry_text::blocks(lines.iter().map(String::as_str))
}

/// Short ones in one line; else each name in a line of its own, to be struck by itself.
fn lines(key: &str, all: &[Item]) -> Vec<String> {
    let pair = |(whom, amount): &Item| match amount {
        Some(amount) => format!("{whom}: {amount}"),
        None => whom.clone(),
    };
    let has_amounts = all.iter().any(|(_, amount)| amount.is_some());
    match all {
        [one] if has_amounts => vec![format!("{key}: {{{}}}", pair(one))],
        [(whom, _)] => vec![format!("{key}: {whom}")],
        _ => {
            let item = |one: &Item| match one.1 {
                Some(_) => format!("  - {{{}}}", pair(one)),
                None => format!("  - {}", one.0),
            };
            std::iter::once(format!("{key}:")).chain(all.iter().map(item)).collect()
        }
    }
}

fn amount(task: &Task) -> Option<String> {
    match task.job {
        Job::LookForHarvest => Some("some".to_owned()),
        Job::Feed | Job::Refill | Job::Mulch | Job::Cover => task.with.as_deref().map(behind_key),
        _ => None,
    }
}

/// The place or planting as it is called in short lines: by crop or variety where no other is meant by it, by
/// crop and place where that tells, else by its id.
fn whom(garden: &Garden, task: &Task) -> Option<String> {
    if let Some(place) = task.key.place {
        return Some(behind_key(&garden.place(place).name));
    }
    let id = task.key.planting?;
    let planting = garden.planting(id);
    let is_meant = |other: PlantingId| {
        other == id || garden.planting(other).is_alive_on(garden.today) || task.job == Job::Sow
    };
    let kin: Vec<_> = garden
        .plantings()
        .filter(|(other, theirs)| theirs.crop == planting.crop && is_meant(*other))
        .collect();
    let is_only_of_variety = planting.variety.is_some()
        && kin.iter().filter(|(_, theirs)| theirs.variety == planting.variety).count() == 1;
    let crop = &garden.catalogue.get(planting.crop).name;
    let is_alone_in = |place: &PlaceId| {
        kin.iter().filter(|(_, theirs)| theirs.places_on(garden.today).contains(place)).count() == 1
    };
    let own_place = planting.places_on(garden.today).into_iter().find(is_alone_in);
    let name = match (&planting.variety, own_place) {
        _ if kin.len() == 1 => crop.clone(),
        (Some(variety), _) if is_only_of_variety => variety.clone(),
        (_, Some(place)) => format!("{crop} in {}", garden.place(place).name),
        _ => planting.id.clone(),
    };
    Some(behind_key(&name))
}
