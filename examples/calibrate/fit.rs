//! Fitting: one threshold after the other, on a grid, until none gets better.

use std::collections::BTreeMap;

use crate::compare::{Ends, ends_of};
use crate::published::Region;
use trug::calendar::thresholds::{Group, Thresholds};
use trug::catalogue::Catalogue;

/// A threshold: its name, its place, its steps.
struct Dial {
    name: String,
    at: fn(&mut Thresholds, usize) -> &mut f64,
    group: usize,
    steps: Vec<f64>,
}

fn steps(from: f64, to: f64, by: f64) -> Vec<f64> {
    let count = ((to - from) / by).round() as usize;
    (0..=count).map(|n| from + by * n as f64).collect()
}

fn dials() -> Vec<Dial> {
    let mut dials = Vec::new();
    let means = [(2.0, 8.0), (4.0, 10.0), (10.0, 15.0), (11.0, 17.0)];
    let full = [(10.0, 20.0), (12.0, 22.0), (16.0, 26.0), (18.0, 28.0)];
    for (group, name) in ["hardy", "half-hardy", "tender", "very tender"].iter().enumerate() {
        let mut add = |what: &str, at: fn(&mut Thresholds, usize) -> &mut f64, steps: Vec<f64>| {
            dials.push(Dial { name: format!("{name} {what}"), at, group, steps });
        };
        let ((low, high), (cool, warm)) = (means[group], full[group]);
        let hot = if group < 2 { 21.0 } else { 27.0 };
        add("mean_c", |all, group| &mut all.groups[group].mean_c, steps(low, high, 0.5));
        add("frost_days", |all, group| &mut all.groups[group].frost_days, steps(-56.0, 14.0, 7.0));
        add("heat_c", |all, group| &mut all.groups[group].heat_c, steps(hot, hot + 5.0, 0.5));
        add("slow", |all, group| &mut all.groups[group].slow, steps(0.0, 0.9, 0.1));
        add("once_days", |all, group| &mut all.groups[group].once_days, steps(28.0, 98.0, 7.0));
        add("full_c", |all, group| &mut all.groups[group].full_c, steps(cool, warm, 1.0));
        add("worth_days", |all, group| &mut all.groups[group].worth_days, steps(0.0, 28.0, 7.0));
    }
    let mut add = |name: &str, at: fn(&mut Thresholds, usize) -> &mut f64, steps: Vec<f64>| {
        dials.push(Dial { name: name.to_owned(), at, group: 0, steps });
    };
    add("soil_k_per_h", |all, _| &mut all.soil_k_per_h, steps(0.0, 0.8, 0.05));
    add("night_k", |all, _| &mut all.night_k, steps(0.0, 5.0, 1.0));
    add("begin_heat_k", |all, _| &mut all.begin_heat_k, steps(0.0, 10.0, 1.0));
    add("heat_k", |all, _| &mut all.heat_k, steps(-3.0, 4.0, 0.5));
    add("set_night_k", |all, _| &mut all.set_night_k, steps(-5.0, 5.0, 0.5));
    add("set_day_k", |all, _| &mut all.set_day_k, steps(-3.0, 6.0, 0.5));
    add("set_days", |all, _| &mut all.set_days, steps(7.0, 42.0, 7.0));
    add("set_wait_days", |all, _| &mut all.set_wait_days, steps(0.0, 56.0, 7.0));
    add("raising_light_h", |all, _| &mut all.raising_light_h, steps(8.0, 12.0, 0.5));
    add("bolting_h", |all, _| &mut all.bolting_h, steps(-1.0, 4.0, 0.5));
    add("light_h", |all, _| &mut all.light_h, steps(13.0, 15.0, 0.5));
    add("after_frost_days", |all, _| &mut all.after_frost_days, steps(0.0, 84.0, 14.0));
    add("raising_days", |all, _| &mut all.raising_days, steps(21.0, 56.0, 7.0));
    add("raising_extra_days", |all, _| &mut all.raising_extra_days, steps(0.0, 28.0, 7.0));
    add("autumn_night_k", |all, _| &mut all.autumn_night_k, steps(0.0, 6.0, 1.0));
    add("autumn_days", |all, _| &mut all.autumn_days, steps(56.0, 112.0, 7.0));
    dials
}

/// What each region and group has by thresholds that were asked for before.
struct Fit<'a> {
    catalogue: &'a Catalogue,
    regions: &'a [Region],
    known: BTreeMap<String, Vec<f64>>,
}

impl Fit<'_> {
    /// The loss of each region. A group's crops hang on its own thresholds and on the common ones only.
    fn losses(&mut self, thresholds: &Thresholds) -> Vec<f64> {
        let mut sums = vec![0.0; self.regions.len()];
        for group in Group::ALL {
            let mut key = *thresholds;
            key.groups = [*thresholds.of(group); 4];
            let key = format!("{group:?} {key:?}");
            let (catalogue, regions) = (self.catalogue, self.regions);
            let losses = self.known.entry(key).or_insert_with(|| {
                let of = |region| ends_of(catalogue, region, thresholds, Some(group)).loss();
                regions.iter().map(|region| weight(region) * of(region)).collect()
            });
            sums.iter_mut().zip(losses.iter()).for_each(|(sum, loss)| *sum += loss);
        }
        sums
    }

    /// The best thresholds for all regions but one.
    fn best(&mut self, start: Thresholds, without: Option<usize>) -> Thresholds {
        let total = |losses: Vec<f64>| -> f64 {
            let kept = losses.into_iter().enumerate().filter(|(index, _)| Some(*index) != without);
            kept.map(|(_, loss)| loss).sum()
        };
        let (mut best, mut least) = (start, total(self.losses(&start)));
        let dials = dials();
        loop {
            let before = least;
            for dial in &dials {
                // From where it stands to both sides, so that what makes no difference does not wander.
                let stands = *(dial.at)(&mut best, dial.group);
                let mut steps = dial.steps.clone();
                steps.sort_by(|a, b| (a - stands).abs().total_cmp(&(b - stands).abs()));
                for step in steps.into_iter().take(NEAR) {
                    let mut tried = best;
                    *(dial.at)(&mut tried, dial.group) = step;
                    let loss = total(self.losses(&tried));
                    if loss < least - WORTH {
                        (best, least) = (tried, loss);
                    }
                }
            }
            if least > before - 2.0 * WORTH {
                return best;
            }
        }
    }
}

/// So many steps around where a threshold stands are tried at a time.
const NEAR: usize = 9;
/// A change for less than this is noise.
const WORTH: f64 = 1.0;

/// A region of seventy windows counts for more than one of two, but not for thirty-five times as much.
fn weight(region: &Region) -> f64 {
    1.0 / (region.windows.len() as f64).sqrt()
}

pub(crate) fn run(catalogue: &Catalogue, regions: &[Region]) {
    let mut fit = Fit { catalogue, regions, known: BTreeMap::new() };
    let fitted = fit.best(Thresholds::CALIBRATED, None);
    println!("{fitted:#?}");
    let mut all = Ends::default();
    regions.iter().for_each(|region| all.add(ends_of(catalogue, region, &fitted, None)));
    all.print("what was fitted (no measure of error)");
    if std::env::args().any(|argument| argument == "quick") {
        return;
    }
    let mut left_out = Ends::default();
    for (index, region) in regions.iter().enumerate() {
        let others = fit.best(fitted, Some(index));
        let ends = ends_of(catalogue, region, &others, None);
        ends.print(&region.name);
        left_out.add(ends);
    }
    left_out.print("each region by thresholds fitted to the others");
    for dial in dials() {
        let (mut old, mut new) = (Thresholds::CALIBRATED, fitted);
        println!(
            "{} {} -> {}",
            dial.name,
            (dial.at)(&mut old, dial.group),
            (dial.at)(&mut new, dial.group)
        );
    }
}

/// The thresholds with those that are named in `changes` (`tender heat_c=27`) set to something else.
pub(crate) fn changed(start: Thresholds, changes: impl Iterator<Item = String>) -> Thresholds {
    let (mut thresholds, dials) = (start, dials());
    for change in changes {
        let (name, value) = change.split_once('=').expect("name=value");
        let dial = dials.iter().find(|dial| dial.name == name).expect("a threshold");
        *(dial.at)(&mut thresholds, dial.group) = value.parse().expect("a number");
    }
    thresholds
}
