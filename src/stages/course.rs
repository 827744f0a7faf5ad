//! The course a planting takes: how it begins, where it stands, which durations hold for it.

use chrono::{Datelike, NaiveDate};

use crate::calendar::plan::Plan;
use crate::catalogue::CropSheet;
use crate::catalogue::sheet::{AfterStage, DegreeDays, Way as SheetWay};
use crate::climate::conditions::Conditions;
use crate::garden::model::Garden;
use crate::garden::place::PlaceId;
use crate::garden::planting::{Planting, PlantingId, Way};
use crate::happening::Happening;
use crate::place_kind::{Cover, PlaceKind};
use crate::stage::Stage;
use crate::stages::Milestone;
use crate::units::{Days, Range};

/// How a planting comes to its place.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub(crate) enum Beginning {
    /// Seed where it will grow.
    Direct,
    /// Raised elsewhere and set out.
    Raised,
    /// Cloves, sets, tubers, crowns: set out before anything shows.
    SetOut,
}

/// A planting with all that decides how it goes on.
#[derive(Clone, Copy, Debug)]
pub(crate) struct Course<'a> {
    pub(crate) garden: &'a Garden,
    pub(crate) conditions: &'a Conditions,
    pub(crate) id: PlantingId,
    pub(crate) planting: &'a Planting,
    pub(crate) plan: Plan,
    pub(crate) beginning: Beginning,
    /// The day on which it is looked at: the garden's, or an earlier one.
    today: NaiveDate,
}

/// The durations that hold for a planting.
#[derive(Clone, Copy, Debug, Default)]
pub(super) struct Durations {
    pub(super) flowering: Option<AfterStage>,
    pub(super) first_harvest: Option<AfterStage>,
    pub(super) sums: Option<DegreeDays>,
    /// From first flowers to first picking.
    pub(super) flower_to_harvest: Option<Range<Days>>,
}

impl<'a> Course<'a> {
    pub(crate) fn of(
        garden: &'a Garden,
        conditions: &'a Conditions,
        id: PlantingId,
        plan: Plan,
    ) -> Course<'a> {
        let planting = garden.planting(id);
        let beginning = beginning(garden, planting);
        let today = garden.today;
        Course { garden, conditions, id, planting, plan, beginning, today }
    }

    /// The course as it was known at the end of an earlier day: the planting is as it was then.
    pub(crate) fn as_known(
        garden: &'a Garden,
        conditions: &'a Conditions,
        (id, planting): (PlantingId, &'a Planting),
        plan: Plan,
        today: NaiveDate,
    ) -> Course<'a> {
        let beginning = beginning(garden, planting);
        Course { garden, conditions, id, planting, plan, beginning, today }
    }

    pub(crate) fn today(&self) -> NaiveDate {
        self.today
    }

    pub(crate) fn sheet(&self) -> &'a CropSheet {
        &self.planting.sheet
    }

    pub(crate) fn is_perennial(&self) -> bool {
        self.planting.is_perennial || self.sheet().is_perennial == Some(true)
    }

    /// The milestones in the order in which this planting passes them.
    pub(crate) fn order(&self) -> [Milestone; 10] {
        use Stage::{
            Emerged, Finished, Flowering, Fruiting, HardeningOff, PlantedOut, PottedOn, PrickedOut,
            Sown,
        };
        let [a, b, c, d, e, f] = match self.beginning {
            Beginning::SetOut => [Sown, PlantedOut, Emerged, PrickedOut, PottedOn, HardeningOff],
            _ => [Sown, Emerged, PrickedOut, PottedOn, HardeningOff, PlantedOut],
        };
        let early = [a, b, c, d, e, f].map(Milestone::Stage);
        let [a, b, c, d, e, f] = early;
        let [g, h, z] = [Flowering, Fruiting, Finished].map(Milestone::Stage);
        [a, b, c, d, e, f, g, h, Milestone::FirstHarvest, z]
    }

    /// How far on a milestone is, counted along [`Course::order`].
    pub(crate) fn rank(&self, what: Milestone) -> usize {
        let what = match what {
            Milestone::Stage(stage) => Milestone::Stage(stage.settled()),
            other => other,
        };
        self.order().iter().position(|other| *other == what).map_or(0, |index| index + 1)
    }

    /// The stage it is in; a perennial starts its year at its place again.
    pub(crate) fn stage(&self) -> Stage {
        let stage = self.planting.stage();
        let is_old = self.is_perennial()
            && self.planting.last_stage_step().is_some_and(|step| !self.is_this_round(step.date));
        if is_old && stage != Stage::Finished { stage.min(Stage::PlantedOut) } else { stage }
    }

    /// Whether a day belongs to the round of stages the planting is in: of a perennial, this season.
    pub(crate) fn is_this_round(&self, day: NaiveDate) -> bool {
        !self.is_perennial() || self.garden.season_of(self.today).days.contains(day)
    }

    /// When a milestone came, in this round.
    pub(crate) fn actual(&self, what: Milestone) -> Option<NaiveDate> {
        let Milestone::Stage(stage) = what else {
            return self.pickings().find(|day| self.is_this_round(*day));
        };
        if stage == Stage::Finished {
            return self.planting.finished;
        }
        let is_kept = stage <= Stage::PlantedOut;
        let mut steps = self.planting.history.iter().filter(|step| match step.what {
            Happening::Reached(reached) => reached.settled() == stage,
            _ => false,
        });
        steps.find(|step| is_kept || self.is_this_round(step.date)).map(|step| step.date)
    }

    /// The days on which something was picked, oldest first.
    pub(crate) fn pickings(&self) -> impl DoubleEndedIterator<Item = NaiveDate> + use<'a> {
        let today = self.today;
        let picked = self.garden.harvests_of(self.id).filter(|harvest| !harvest.is_same_picking);
        let days = picked.map(|harvest| harvest.date);
        days.filter(move |day| *day <= today)
    }

    /// Where it stands on a day; later than today where it will stand once it has reached `after`.
    pub(crate) fn place_on(&self, day: NaiveDate, after: Stage) -> Option<PlaceId> {
        let planting = self.planting;
        let is_coming = planting.reached(after).is_none();
        if day > self.today() && after >= Stage::PlantedOut && is_coming {
            return planting.destined.or_else(|| self.place_now());
        }
        planting.places_on(day.min(self.today())).first().copied().or_else(|| self.place_now())
    }

    /// Where it stands, or where it will be begun.
    pub(crate) fn place_now(&self) -> Option<PlaceId> {
        let here = self.planting.places_on(self.today()).first().copied();
        here.or(self.planting.first_place).or(self.planting.destined)
    }

    /// The durations of its crop sheet. What is begun in autumn to stand the winter takes those of the
    /// crop's autumn kinds: its days count through a winter in which nothing grows.
    pub(super) fn durations(&self) -> Durations {
        let crop = self.garden.catalogue.get(self.planting.crop);
        let own = self.sheet();
        let autumn_kind = crop
            .varieties
            .iter()
            .map(|(_, sheet)| sheet)
            .find(|sheet| is_for_autumn(sheet) && sheet.first_harvest.is_some());
        let begun = self
            .planting
            .begun()
            .or(self.plan.sow.map(|sow| sow.from))
            .or(self.plan.plant_out.map(|out| out.from));
        let is_autumn = begun.is_some_and(|day| is_autumn(day, self.conditions.latitude_deg));
        let spring =
            if is_for_autumn(own) && !is_for_autumn(&crop.sheet) { &crop.sheet } else { own };
        let flower_to_harvest = between(spring.flowering, spring.first_harvest);
        let winter = match (is_autumn, is_for_autumn(own)) {
            (true, true) => Some(own),
            (true, false) => autumn_kind,
            (false, _) => None,
        };
        match winter {
            Some(winter) => Durations {
                first_harvest: winter
                    .first_harvest
                    .map(|after| AfterStage { is_of_calendar: true, ..after }),
                flower_to_harvest,
                ..Durations::default()
            },
            None => Durations {
                flowering: spring.flowering,
                first_harvest: spring.first_harvest,
                sums: spring.degree_days,
                flower_to_harvest,
            },
        }
    }
}

/// What lies between two durations that count from the same stage.
fn between(first: Option<AfterStage>, second: Option<AfterStage>) -> Option<Range<Days>> {
    let (first, second) = first
        .zip(second)
        .filter(|(a, b)| a.stage == b.stage && a.is_of_calendar == b.is_of_calendar)?;
    let days = |range: Range<Days>| (f64::from(range.low.0), f64::from(range.high.0));
    let (low, high) = difference(days(first.days), days(second.days));
    let whole = |days: f64| Days(days.round() as i32);
    Some(Range { low: whole(low.max(0.0)), high: whole(high.max(0.0)) })
}

/// The range of a difference: about the difference of the middles, and as wide as that of two quantities of which a half of
/// what moves one moves the other too. That half is trug's choice, no source: what is late in flower is late in fruit, but not
/// by as much. It is never wider than the wider of the two.
pub(super) fn difference(first: (f64, f64), second: (f64, f64)) -> (f64, f64) {
    let (one, two) = ((first.1 - first.0) / 2.0, (second.1 - second.0) / 2.0);
    let half = (one * one + two * two - one * two).sqrt();
    let middle = (second.0 + second.1 - first.0 - first.1) / 2.0;
    (middle - half, middle + half)
}

fn is_for_autumn(sheet: &CropSheet) -> bool {
    sheet.autumn_night_low.is_some() || sheet.autumn_before_frost.is_some()
}

/// The four months before midwinter's end of growth: September to December, south March to June.
/// Common practice, no source.
fn is_autumn(day: NaiveDate, latitude_deg: f64) -> bool {
    let months = if latitude_deg < 0.0 { 3..=6 } else { 9..=12 };
    months.contains(&day.month())
}

/// How a planting comes to its place.
pub(crate) fn beginning(garden: &Garden, planting: &Planting) -> Beginning {
    let mut first = planting;
    // A parent is always noted before its child, so this ends.
    while let Some(parent) = first.parent.filter(|_| first.way == Way::Split) {
        first = garden.planting(parent);
    }
    let usual = planting.sheet.begun_as.as_ref().and_then(|ways| ways.first());
    let is_seed = matches!(usual, None | Some(SheetWay::SeedUnderCover | SheetWay::SeedOutdoors));
    match first.way {
        Way::Planted => Beginning::SetOut,
        Way::Bought => Beginning::Raised,
        Way::Intended if !is_seed => Beginning::SetOut,
        Way::Intended | Way::Sown | Way::Split => of_seed(garden, planting, usual),
    }
}

/// Seed is raised elsewhere if it is sown in another place than it is meant for, or where nothing crops.
fn of_seed(garden: &Garden, planting: &Planting, usual: Option<&SheetWay>) -> Beginning {
    let was_moved = planting.history.iter().any(|step| match step.what {
        Happening::Reached(stage) => (Stage::PrickedOut..=Stage::PlantedOut).contains(&stage),
        _ => false,
    });
    let first = planting.first_place.or(planting.stays.first().map(|stay| stay.place));
    let is_raised = match (first, planting.destined) {
        (Some(first), Some(destined)) => first != destined,
        (Some(first), None) => {
            let place = garden.place(first);
            matches!(place.kind, PlaceKind::Tray | PlaceKind::Shelf)
                || place.cover == Cover::Indoors
        }
        (None, _) => usual == Some(&SheetWay::SeedUnderCover),
    };
    if was_moved || is_raised { Beginning::Raised } else { Beginning::Direct }
}
