//! Room for raising plants: the cells of trays, and the surface of a shelf, week by week.
//!
//! *A place of trays* is measured in cells: one seed a cell until the seedlings are taken out of it; what did not
//! come up leaves with them. *A shelf* is measured in square metres: round pots stand in squares of their width; a
//! tray that is put on it whole, or seed in a row in one, takes a tray of the trade, 54 × 28 cm ('1020';
//! from memory). What a shelf can hold is its surface, or as many such trays as its `trays` says.
//!
//! What was is taken from the journal. What stands there today stays until the latest day on which it is expected to
//! be taken out; what is meant to be sown there comes on the first day of its sowing, with as many seeds as give
//! nine chances of ten. Pots that a planting will go into follow the pattern of the last of its crop
//! ([`crate::raising::shopping::potting`]): what was pricked out onto the shelf then will be again.

use chrono::{Datelike, NaiveDate};

use crate::calendar::plan::Plans;
use crate::dates::{Period, shift};
use crate::garden::model::Garden;
use crate::garden::place::{Place, PlaceId};
use crate::garden::planting::{Planting, PlantingId, Step, StepWord, Way};
use crate::garden::taught::Taught;
use crate::happening::Happening;
use crate::place_kind::PlaceKind;
use crate::raising::seeds::{SeedBox, days_to_sow};
use crate::raising::shopping::potting::{self, PotNeed};
use crate::stage::Stage;
use crate::stages::{Milestone, StageDates};
use crate::units::{self, AreaUnit, LengthUnit, Pot, VolumeUnit};

/// A place for raising, through the season.
#[derive(Clone, Debug)]
pub struct Bench {
    pub place: PlaceId,
    /// In what it is measured.
    pub measure: Measure,
    /// How much there is: cells, or m².
    pub there: f64,
    /// Cells in a tray, where it is measured in cells.
    pub cells_in_tray: Option<u32>,
    /// Every week of the season from Monday on.
    pub weeks: Vec<Week>,
}

/// In what a place for raising is measured.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub enum Measure {
    /// Cells of trays.
    Cells,
    /// Square metres of a shelf.
    SquareMetres,
}

#[derive(Clone, Debug, PartialEq)]
pub struct Week {
    /// Its Monday.
    pub from: NaiveDate,
    /// The most that is taken on a day of it: cells, or m².
    pub taken: f64,
    /// Who stands there on that day, with what each takes.
    pub who: Vec<Held>,
    /// How many stand there on that day whose room nobody can tell.
    pub unknown: u32,
}

/// What a planting takes.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct Held {
    pub planting: PlantingId,
    /// Cells, or m².
    pub takes: f64,
    /// Whether that is a plan or a guess.
    pub is_about: bool,
}

impl Bench {
    /// Weeks from the garden's on in which more is wanted than there is.
    pub fn overfull(&self, today: NaiveDate) -> impl Iterator<Item = &Week> {
        let there = self.there * (1.0 + 1e-9);
        self.weeks.iter().filter(move |week| shift(week.from, 6) >= today && week.taken > there)
    }
}

/// A tray of the trade, m².
const TRAY_M2: f64 = 0.54 * 0.28;
/// What stands somewhere with nobody knowing until when is counted for so long. Common practice, no source.
const UNTOLD_DAYS: i64 = 28;

/// Places for raising that tell how much room they have, in the garden's order.
pub fn of_garden(
    taught: &Taught,
    stages: &[Vec<StageDates>],
    plans: &Plans,
    seeds: &SeedBox,
) -> Vec<Bench> {
    let garden = taught.garden();
    let season = garden.season().days;
    let first = shift(season.from, -i64::from(season.from.weekday().num_days_from_monday()));
    let pots = potting::pots(garden, plans, Period { from: garden.today, to: season.to });
    let benches = garden.places().filter_map(|(id, place)| {
        let (measure, there) = room(place)?;
        let mut bench = Bench {
            place: id,
            measure,
            there,
            cells_in_tray: cells_in_tray(place).filter(|_| measure == Measure::Cells),
            weeks: Vec::new(),
        };
        let teller = Teller { garden, stages, plans, seeds, pots: &pots, place: id, measure };
        let spans: Vec<(PlantingId, Option<Period>)> =
            garden.plantings().map(|(id, planting)| (id, teller.to_come(id, planting))).collect();
        let mut monday = first;
        while monday <= season.to {
            bench.weeks.push(teller.week(monday, &spans));
            monday = shift(monday, 7);
        }
        Some(bench)
    });
    benches.collect()
}

fn room(place: &Place) -> Option<(Measure, f64)> {
    match place.kind {
        PlaceKind::Tray => {
            let cells = place.cells?;
            (cells > 0).then_some((Measure::Cells, f64::from(cells)))
        }
        PlaceKind::Shelf => {
            let trays = place.trays.map(|trays| f64::from(trays) * TRAY_M2);
            let area = trays.or(place.area.map(|area| AreaUnit::SquareMetre.measure(area)))?;
            (area > 0.0).then_some((Measure::SquareMetres, area))
        }
        _ => None,
    }
}

/// Cells in one tray of a place.
pub fn cells_in_tray(place: &Place) -> Option<u32> {
    let cells = place.cells? / place.trays.unwrap_or(1).max(1);
    (cells > 0).then_some(cells)
}

struct Teller<'a> {
    garden: &'a Garden,
    stages: &'a [Vec<StageDates>],
    plans: &'a Plans,
    seeds: &'a SeedBox,
    pots: &'a [PotNeed],
    place: PlaceId,
    measure: Measure,
}

impl Teller<'_> {
    /// The fullest day of a week.
    fn week(&self, monday: NaiveDate, spans: &[(PlantingId, Option<Period>)]) -> Week {
        let days = (0..7).map(|day| self.day(monday, shift(monday, day), spans));
        let fuller = |best: Week, day: Week| if day.taken > best.taken { day } else { best };
        let empty = Week { from: monday, taken: 0.0, who: Vec::new(), unknown: 0 };
        days.fold(empty, |best, day| {
            let unknown = best.unknown.max(day.unknown);
            Week { unknown, ..fuller(best, day) }
        })
    }

    fn day(
        &self,
        monday: NaiveDate,
        day: NaiveDate,
        spans: &[(PlantingId, Option<Period>)],
    ) -> Week {
        let mut week = Week { from: monday, taken: 0.0, who: Vec::new(), unknown: 0 };
        for (id, to_come) in spans {
            let planting = self.garden.planting(*id);
            let held = if day <= self.garden.today {
                let is_here = planting.stays.iter().any(|stay| {
                    stay.place == self.place
                        && stay.from <= day
                        && stay.to.is_none_or(|to| day < to)
                });
                is_here.then(|| self.held_on(planting, day))
            } else {
                to_come.filter(|span| span.contains(day)).map(|_| self.meant(*id, planting))
            };
            match held {
                Some(Some((takes, is_about))) if takes > 0.0 => {
                    week.taken += takes;
                    week.who.push(Held { planting: *id, takes, is_about });
                }
                Some(None) => week.unknown += 1,
                _ => {}
            }
        }
        if day > self.garden.today {
            self.add_pots(&mut week, day);
        }
        week
    }

    /// Pots that plantings will be in on a day, if this shelf is where they will stand; they take the place of what
    /// the planting had here before.
    fn add_pots(&self, week: &mut Week, day: NaiveDate) {
        if self.measure != Measure::SquareMetres {
            return;
        }
        for (index, need) in self.pots.iter().enumerate() {
            let is_next = |other: &&PotNeed| other.planting == need.planting && other.day <= day;
            let is_last = !self.pots[index + 1..].iter().any(|other| is_next(&other));
            let until = self.taken_out(need.planting, self.garden.planting(need.planting));
            let until = until.unwrap_or(shift(need.day, UNTOLD_DAYS));
            if need.place != Some(self.place) || need.day > day || day >= until || !is_last {
                continue;
            }
            if let Some(at) = week.who.iter().position(|held| held.planting == need.planting) {
                week.taken -= week.who.remove(at).takes;
            }
            match pot_square_m2(&need.pot) {
                Some(one) => {
                    let takes = one * f64::from(need.number);
                    week.taken += takes;
                    week.who.push(Held { planting: need.planting, takes, is_about: true });
                }
                None => week.unknown += 1,
            }
        }
    }

    /// The days after the garden's on which a planting will stand here.
    fn to_come(&self, id: PlantingId, planting: &Planting) -> Option<Period> {
        let today = self.garden.today;
        if planting.finished.is_some() {
            return None;
        }
        let is_here =
            planting.stays.iter().any(|stay| stay.place == self.place && stay.to.is_none());
        if is_here {
            let until = self.taken_out(id, planting).unwrap_or(shift(today, UNTOLD_DAYS));
            return Some(Period { from: shift(today, 1), to: shift(until, -1) });
        }
        if planting.way != Way::Intended || planting.first_place != Some(self.place) {
            return None;
        }
        let plan = self.plans.get(&id).copied().unwrap_or_default();
        let from = days_to_sow(self.garden, plan)?.from;
        let until = self.taken_out(id, planting).unwrap_or(shift(from, UNTOLD_DAYS));
        Some(Period { from, to: shift(until, -1) })
    }

    /// The latest day on which it is expected to leave: a tray for a pot, a shelf for the open.
    fn taken_out(&self, id: PlantingId, planting: &Planting) -> Option<NaiveDate> {
        let leaves: &[Stage] = match self.measure {
            Measure::Cells => &[Stage::PrickedOut, Stage::HardeningOff, Stage::PlantedOut],
            Measure::SquareMetres => &[Stage::HardeningOff, Stage::PlantedOut],
        };
        let coming = self.stages[id.0].iter().filter(|dates| match dates.what {
            Milestone::Stage(stage) => leaves.contains(&stage) && planting.reached(stage).is_none(),
            Milestone::FirstHarvest => false,
        });
        let expected = coming.filter_map(|dates| dates.expected);
        expected.map(|period| period.to).min().map(|day| day.max(shift(self.garden.today, 1)))
    }

    /// What a planting that stands here today, or is meant to, will take.
    fn meant(&self, id: PlantingId, planting: &Planting) -> Option<(f64, bool)> {
        if planting.way != Way::Intended {
            return self.held_on(planting, self.garden.today).map(|(takes, _)| (takes, true));
        }
        let sowing = self.seeds.sowings.get(&id)?;
        let seeds = sowing.seeds.unwrap_or(sowing.plants);
        Some((self.sown(seeds), true))
    }

    /// What a sowing takes: its cells; on a shelf the trays they fill, at the cells that the garden's trays have.
    fn sown(&self, seeds: u32) -> f64 {
        match self.measure {
            Measure::Cells => f64::from(seeds),
            Measure::SquareMetres => {
                let cells = cells_in_tray(self.garden.place(self.place));
                f64::from(cells.map_or(1, |cells| seeds.div_ceil(cells))) * TRAY_M2
            }
        }
    }

    /// What it takes on a day that was; nothing if nobody counted, or named the pot.
    fn held_on(&self, planting: &Planting, day: NaiveDate) -> Option<(f64, bool)> {
        let steps: Vec<&Step> = planting.history.iter().filter(|step| step.date <= day).collect();
        let came =
            steps.iter().rposition(|step| step.place == Some(self.place) && is_arrival(step))?;
        let step = steps[came];
        let is_sowing = is_sowing(step);
        let all = step.count.unwrap_or(step.plants_after);
        let mut number = all.number?;
        let later = &steps[came + 1..];
        let left = later
            .iter()
            .filter(|step| step.place.is_some_and(|place| place != self.place) && is_arrival(step));
        let left: Vec<&&Step> = left.collect();
        if !left.is_empty() {
            if is_sowing {
                // Cells in which nothing came up are emptied with the first that are taken out.
                let up = steps.iter().rev().find(|step| {
                    step.what == Happening::Reached(Stage::Emerged) && step.count.is_some()
                });
                number = up.and_then(|step| step.count?.number).unwrap_or(number).min(number);
            }
            for step in left {
                number = number.saturating_sub(step.count.and_then(|count| count.number)?);
            }
        }
        for step in later.iter().filter(|step| is_loss(step) && !is_sowing) {
            number = number.saturating_sub(step.count.and_then(|count| count.number).unwrap_or(0));
        }
        if is_sowing {
            return Some((self.sown(number), all.is_about));
        }
        let takes = match self.measure {
            Measure::Cells => f64::from(number),
            Measure::SquareMetres => f64::from(number) * pot_m2(&steps[..=came])?,
        };
        Some((takes, all.is_about))
    }
}

fn is_sowing(step: &Step) -> bool {
    matches!(step.what, Happening::Reached(Stage::Sown | Stage::SownAgain))
}

/// Whether plants come to a place by it, or into other pots there.
fn is_arrival(step: &Step) -> bool {
    match step.what {
        Happening::Reached(Stage::Sown | Stage::SownAgain | Stage::PrickedOut) => true,
        Happening::Reached(Stage::PottedOn | Stage::HardeningOff | Stage::PlantedOut) => true,
        Happening::Moved => true,
        Happening::Reached(_)
        | Happening::Showed(_)
        | Happening::Thinned
        | Happening::GivenAway
        | Happening::Lost => false,
    }
}

fn is_loss(step: &Step) -> bool {
    matches!(step.what, Happening::Thinned | Happening::GivenAway | Happening::Lost)
}

/// The square on which the last pot that was named stands, m²: as wide as the pot; one that is named by its volume
/// is taken as wide as it is high.
fn pot_m2(steps: &[&Step]) -> Option<f64> {
    let words = steps.iter().rev().flat_map(|step| &step.words);
    let text = words.filter(|(word, _)| *word == StepWord::Pot).map(|(_, text)| text).next()?;
    pot_square_m2(text)
}

fn pot_square_m2(text: &str) -> Option<f64> {
    let across_m = match units::pot(text).ok()? {
        Pot::Across(across) => LengthUnit::Metre.measure(across),
        Pot::Holds(volume) => {
            let cubic_m = VolumeUnit::Litre.measure(volume) / 1000.0;
            libm::cbrt(cubic_m * 4.0 / std::f64::consts::PI)
        }
    };
    Some(across_m * across_m)
}
