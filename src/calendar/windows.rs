//! From good days to windows, and from windows to rounds.

use chrono::NaiveDate;

use crate::calendar::autumn;
use crate::calendar::bounds::{self, Bound, WindowBounds};
use crate::calendar::needs::is_sown_under_cover;
use crate::calendar::reasons::why_none;
use crate::calendar::rules::{DARK_H, Trial};
use crate::calendar::shelter::Shelter;
use crate::calendar::winter;
use crate::calendar::year::GrowingYear;
use crate::calendar::{CropCalendar, How, Opens, Reason, Refusal, Round};
use crate::catalogue::CropSheet;
use crate::catalogue::sheet::Way;
use crate::dates::Period;
use crate::units::{Days, Range};

/// A crop is sown again and again if it is picked for no longer than this. Common practice, no source.
const SOWN_AGAIN_PICKED_DAYS: i32 = 42;
/// No window is shorter than this for want of time for slow kinds, as long as quick kinds are ready.
const QUICK_DAYS: i64 = 14;

/// The calendar of a crop where the climate is known.
pub(super) fn calendar(
    sheet: &CropSheet,
    year: &GrowingYear,
    shelter: Shelter,
    ways: &[How],
) -> CropCalendar {
    let mut calendar = CropCalendar {
        spring: None,
        autumn: None,
        refusals: Vec::new(),
        last_frost: year.last_frost(),
        first_frost: year.first_frost(),
    };
    if let Some(why) = winter::too_little_chill(sheet, year.own_weather()) {
        calendar.refusals = ways.iter().map(|how| Refusal { how: *how, why }).collect();
        return calendar;
    }
    for how in ways {
        let refused = match how {
            How::SowUnderCover => sheet.under_cover.is_none().then_some("weeks-under-cover"),
            How::BeginInAutumn => {
                match autumn::round(sheet, year) {
                    Ok(round) => calendar.autumn = Some(round),
                    Err(why) => calendar.refusals.push(Refusal { how: *how, why }),
                }
                None
            }
            How::SowOutdoors | How::PlantOut => match Trial::new(sheet, year, shelter, *how) {
                Ok(trial) => {
                    add(&mut calendar, sheet, trial);
                    None
                }
                Err(key) => Some(key),
            },
        };
        calendar
            .refusals
            .extend(refused.map(|key| Refusal { how: *how, why: Reason::SheetLacks(key) }));
    }
    // Nothing to plant out, nothing to sow for it.
    let planting =
        calendar.refusals.iter().find(|refusal| refusal.how == How::PlantOut).map(|r| r.why);
    if let Some(why) = planting
        && ways.contains(&How::SowUnderCover)
        && !calendar.refusals.iter().any(|refusal| refusal.how == How::SowUnderCover)
    {
        calendar.refusals.push(Refusal { how: How::SowUnderCover, why });
    }
    calendar.refusals.sort_by_key(|refusal| refusal.how);
    calendar
}

/// The windows of a round that are open on a day, and how the crop is begun in them. Planting out what was
/// sown under cover is no beginning.
pub(super) fn open(sheet: &CropSheet, round: &Round, day: NaiveDate) -> Vec<(How, Period)> {
    [
        (How::SowUnderCover, round.sow_under_cover),
        (How::SowOutdoors, round.sow_outdoors),
        (How::PlantOut, round.plant_out.filter(|_| is_bought(sheet))),
    ]
    .into_iter()
    .filter_map(|(how, window)| Some((how, window.filter(|window| window.contains(day))?)))
    .collect()
}

/// Whether it is begun from sets, tubers, crowns or young plants too.
fn is_bought(sheet: &CropSheet) -> bool {
    let is_no_seed = |way: &Way| !matches!(way, Way::SeedUnderCover | Way::SeedOutdoors);
    sheet.begun_as.iter().flatten().any(is_no_seed)
}

/// Adds what one way gives to the rounds.
fn add(calendar: &mut CropCalendar, sheet: &CropSheet, trial: Trial<'_>) {
    let mut trial = trial;
    let mut found = runs(&trial);
    if found.is_empty() {
        trial = trial.without_bolting();
        found = runs(&trial);
    }
    let (trial, runs) = (&trial, found);
    if runs.is_empty() {
        calendar.refusals.push(Refusal { how: trial.how, why: why_none(trial) });
        return;
    }
    let (spring, autumn) = halves(trial, &runs);
    let halves = [
        (&mut calendar.spring, Opens::AsItWarms, spring),
        (&mut calendar.autumn, Opens::AsItCools, autumn),
    ];
    for (round, opens, run) in halves {
        if let Some(run) = run {
            let window = useful(sheet, trial, run);
            let round = round.get_or_insert_with(|| Round { opens, ..Round::default() });
            join(round, sheet, trial, window);
            round.bounds.push(bounds_of(trial, window));
        }
    }
}

/// The first and the last of good days in a row.
type Run = (i64, i64);

/// The run of spring and that of autumn: the longest that opens by warming, and by cooling. Where warmth comes
/// twice a year and no run opens by cooling, the later of the two longest is the autumn's.
fn halves(trial: &Trial<'_>, runs: &[Run]) -> (Option<Run>, Option<Run>) {
    if runs.first() == Some(&(0, trial.year.length() - 1)) {
        return (runs.first().copied(), None);
    }
    let (mut cooling, mut warming): (Vec<_>, Vec<_>) =
        runs.iter().copied().partition(|(from, _)| trial.opens_by_cooling(*from));
    for runs in [&mut cooling, &mut warming] {
        // The sort is stable: the earlier of two that are as long comes first.
        runs.sort_by_key(|(from, to)| from - to);
        runs.truncate(2);
    }
    match (warming.as_slice(), cooling.as_slice()) {
        ([one, two], []) => (Some(*one.min(two)), Some(*one.max(two))),
        (warming, cooling) => (warming.first().copied(), cooling.first().copied()),
    }
}

/// Runs of good days that begin in this year. A run may end in the next.
fn runs(trial: &Trial<'_>) -> Vec<Run> {
    let length = trial.year.length();
    let good: Vec<bool> = (0..length + 1).map(|day| trial.is_good(day)).collect();
    if good[..length as usize].iter().all(|good| *good) {
        return vec![(0, length - 1)];
    }
    let is_good = |day: i64| good.get(day as usize).copied().unwrap_or_else(|| trial.is_good(day));
    let begins = |day: i64| is_good(day) && !is_good(if day == 0 { length - 1 } else { day - 1 });
    (0..length)
        .filter(|day| begins(*day))
        .map(|from| {
            let to = (from..from + length).take_while(|day| is_good(*day)).last().unwrap_or(from);
            (from, to)
        })
        .collect()
}

/// A window's days, and whether quick kinds only.
#[derive(Clone, Copy)]
struct Window {
    from: i64,
    to: i64,
    is_quick: bool,
}

/// The part of a run in which it is worth beginning.
fn useful(sheet: &CropSheet, trial: &Trial<'_>, (from, to): Run) -> Window {
    let last = (from..=to).rev().find(|day| trial.is_worth_while(*day, false));
    let is_quick = last.is_none();
    let mut to = to.min(from + QUICK_DAYS - 1).max(last.unwrap_or(from));
    if is_planted_once(sheet, trial) {
        let offsets = trial.after_frost.high - trial.after_frost.low;
        to = to.min(from + (trial.limits.once_days as i64).max(offsets) - 1);
    }
    if sheet.bulbing_day_length.is_some() && trial.opens_by_cooling(from) {
        to = to.min(from + trial.year.thresholds().autumn_days.round() as i64 - 1);
    }
    Window { from, to, is_quick }
}

/// Whether it is begun once a year, rather than again and again until the last useful day.
fn is_planted_once(sheet: &CropSheet, trial: &Trial<'_>) -> bool {
    let picked = sheet.harvest_lasts.map(|range| range.high.0);
    let ready = sheet.first_harvest.map(|first| first.days.high.0);
    let is_sown_again = (trial.is_cool_crop()
        || picked.is_some_and(|days| days <= SOWN_AGAIN_PICKED_DAYS))
        && ready.is_some_and(|days| f64::from(days) <= trial.limits.again_days);
    trial.has_winter() && (trial.stands_on || !is_sown_again)
}

/// Why it opens and closes when it does; nothing for what may be begun all year.
fn bounds_of(trial: &Trial<'_>, window: Window) -> WindowBounds {
    let is_all_year = window.to - window.from >= trial.year.length() - 1;
    let beside = |day: i64| match is_all_year {
        true => Vec::new(),
        false => bounds::of_day(trial, day, window.is_quick),
    };
    let opens = beside(window.from - 1);
    let mut closes = beside(window.to + 1);
    if closes.is_empty() && !is_all_year {
        closes.push(Bound::OnceAYear);
    }
    WindowBounds { how: trial.how, opens, closes }
}

/// Puts a window and what follows from it into a round.
fn join(round: &mut Round, sheet: &CropSheet, trial: &Trial<'_>, window: Window) {
    let Window { from, to, is_quick } = window;
    let period =
        |(from, to): (i64, i64)| Period { from: trial.year.date(from), to: trial.year.date(to) };
    let raised =
        sheet.under_cover.filter(|_| trial.how == How::PlantOut && is_sown_under_cover(sheet));
    let sown = raised.and_then(|days| raising(trial, window, days));
    // What has to be raised first is planted out when it is; sets and young plants do not wait for it.
    let from = match (raised, sown) {
        (Some(days), Some((sown, _))) if !is_bought(sheet) => {
            from.max(sown + i64::from(days.low.0))
        }
        _ => from,
    };
    let begun = period((from, to));
    if trial.how == How::SowOutdoors {
        round.sow_outdoors = Some(begun);
    } else {
        round.plant_out = Some(begun);
        round.sow_under_cover = sown.filter(|(sown, _)| *sown <= from).map(period);
    }
    let harvest = trial.harvest(from, to, is_quick).map(period);
    round.harvest = match (round.harvest, harvest) {
        (Some(a), Some(b)) => Some(Period { from: a.from.min(b.from), to: a.to.max(b.to) }),
        (a, b) => a.or(b),
    };
    round.is_for_quick_kinds |= is_quick;
}

/// When seed is sown under cover for a window: for its first weeks, not for the last on which it would do. None
/// where days are too dark for it.
///
/// It waits for good light, but no longer than the first planting out can, as long as there is light to grow by.
fn raising(trial: &Trial<'_>, window: Window, days: Range<Days>) -> Option<(i64, i64)> {
    let thresholds = trial.year.thresholds();
    let has_winter = trial.has_winter();
    let extra = if has_winter { thresholds.raising_extra_days as i64 } else { 0 };
    let last = window.to - i64::from(days.low.0);
    let earliest = window.from - i64::from(days.high.0) - extra;
    let for_the_first = window.from - i64::from(days.low.0);
    let from = (earliest..=last).find(|day| {
        let light_h = trial.light_h(*day);
        light_h >= thresholds.raising_light_h || (*day >= for_the_first && light_h >= DARK_H)
    })?;
    let to = if has_winter { last.min(from + thresholds.raising_days as i64) } else { last };
    Some((from, to.max(from)))
}
