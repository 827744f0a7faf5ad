//! Everything that is computed of a garden, once, for all pages, feeds and commands.

use crate::calendar::basis::Basis;
use crate::calendar::plan::{self, Plans};
use crate::calendar::{self, Refusal, Round, SowNow};
use crate::care::tasks::{self, model::Task};
use crate::care::water::{self, PlaceWater, StandWater};
use crate::catalogue::CropId;
use crate::climate::conditions::Conditions;
use crate::garden::model::Garden;
use crate::garden::place::PlaceId;
use crate::garden::planting::PlantingId;
use crate::jobs::Job;
use crate::learning::Learned;
use crate::learning::lessons::{self, Lesson};
use crate::learning::scores::{self, Forecast};
use crate::place_kind::Cover;
use crate::places::rooting::{self, Rooting};
use crate::places::{self, PlaceUse};
use crate::raising::bench::{self, Bench};
use crate::raising::seeds::SeedBox;
use crate::raising::shopping::{self, Shopping};
use crate::results::comparisons::{self, Comparison};
use crate::results::yields::Yield;
use crate::results::yields::book::Book;
use crate::stages::{self, StageDates};

/// What was computed of a garden.
#[derive(Clone, Debug)]
pub struct Findings {
    /// Climate and frost.
    pub conditions: Conditions,
    /// The planting calendar, by crop.
    pub calendars: Vec<CropPlan>,
    /// What can be begun today.
    pub sow_now: Vec<SowNow>,
    /// What the grower's plantings taught.
    pub learned: Learned,
    /// Past forecasts beside what came, in the order in which they were made.
    pub forecasts: Vec<Forecast>,
    /// What the dates of each planting rest on, by planting.
    pub lessons: Vec<Vec<Lesson>>,
    /// Stages, passed and expected, by planting.
    pub stages: Vec<Vec<StageDates>>,
    /// Packets, germination tests, and how much to sow.
    pub seeds: SeedBox,
    /// When plantings that are on their way are to be sown and set out.
    pub plans: Plans,
    /// Room in trays and on shelves, by place for raising.
    pub benches: Vec<Bench>,
    /// What the coming weeks, and the season, ask for.
    pub shopping: Vec<Shopping>,
    /// Coming tasks, soonest first.
    pub tasks: Vec<Task>,
    /// What was picked, by planting and under any heading.
    pub book: Book,
    /// What can be compared, by crop.
    pub comparisons: Vec<Comparison>,
    /// What grows and how much water it takes, by place; places without plants are left out.
    pub water: Vec<PlaceWater>,
    /// Who is where, how full it is and what can follow, by place.
    pub places: Vec<PlaceUse>,
    /// Soil in containers, by planting.
    pub rootings: Vec<Vec<Rooting>>,
}

/// The planting calendar of a crop in this season.
#[derive(Clone, Debug)]
pub struct CropPlan {
    /// The rounds that touch the season, earliest first.
    pub rounds: Vec<Round>,
    /// Ways to begin it that have no window here, with the reason.
    pub refusals: Vec<Refusal>,
}

impl Findings {
    /// Computes them.
    pub fn of(garden: &Garden) -> Findings {
        let basis = Basis::of(garden);
        let (conditions, years, season) = (&basis.conditions, &basis.years, basis.season);
        let calendars = garden.catalogue.crops().map(|(_, crop)| CropPlan {
            rounds: calendar::rounds_in(&crop.sheet, years, season, Cover::None),
            refusals: calendar::of_crop(&crop.sheet, &years[1], Cover::None).refusals,
        });
        let calendars = calendars.collect();
        let sow_now = calendar::can_sow_now(&garden.catalogue, conditions, garden.today);
        let (learned, taught, lessons) = taught_by(&basis, garden);
        let plans = plan::from_calendar(&taught, years);
        let stages = taught.plantings().map(|(id, _)| {
            let plan = plans.get(&id).copied().unwrap_or_default();
            stages::of_planting(&taught, conditions, id, plan)
        });
        let stages: Vec<Vec<StageDates>> = stages.collect();
        let water = water::of_garden(&taught, conditions, |id| &stages[id.0]);
        let places = places::of(&taught, &basis, &stages);
        let seeds = SeedBox::of(&taught, &plans);
        let benches = bench::of_garden(&taught, &stages, &plans, &seeds);
        let tasks = tasks_by(&basis, &taught, &plans, &seeds);
        let shopping = shopping::of_garden(&taught, &basis, &plans, &seeds, &tasks);
        let book = Book::of(garden);
        let rootings = garden.plantings().map(|(id, _)| rooting::of_planting(garden, id)).collect();
        Findings {
            conditions: basis.conditions,
            calendars,
            sow_now,
            forecasts: scores::forecasts(garden, &learned),
            learned,
            lessons,
            stages,
            seeds,
            benches,
            shopping,
            plans,
            tasks,
            book,
            comparisons: comparisons::of_garden(garden),
            water,
            places,
            rootings,
        }
    }

    /// The planting calendar of a crop.
    pub fn calendar_of(&self, id: CropId) -> &CropPlan {
        &self.calendars[id.0]
    }

    /// The stages of a planting.
    pub fn stages_of(&self, id: PlantingId) -> &[StageDates] {
        &self.stages[id.0]
    }

    /// What the dates of a planting rest on.
    pub fn lessons_of(&self, id: PlantingId) -> &[Lesson] {
        &self.lessons[id.0]
    }

    /// The containers that a planting stands in, or is meant for.
    pub fn rootings_of(&self, id: PlantingId) -> &[Rooting] {
        &self.rootings[id.0]
    }

    /// How a place is used.
    pub fn place_of(&self, id: PlaceId) -> &PlaceUse {
        &self.places[id.0]
    }

    /// What a planting gave.
    pub fn yield_of(&self, id: PlantingId) -> &Yield {
        &self.book.of_planting(id).sum
    }

    /// The water of a place, if something grows there.
    pub fn water_of_place(&self, id: PlaceId) -> Option<&PlaceWater> {
        self.water.iter().find(|water| water.place == id)
    }

    /// The water of a planting in each place in which it stands and has a figure.
    pub fn water_of_planting(
        &self,
        id: PlantingId,
    ) -> impl Iterator<Item = (&PlaceWater, &StandWater)> {
        let all =
            self.water.iter().flat_map(|place| place.stands.iter().map(move |own| (place, own)));
        all.filter(move |(_, own)| own.stand.room.planting == id)
    }
}

/// The tasks of a garden as far ahead as its feed looks, soonest first.
pub fn tasks(garden: &Garden) -> Vec<Task> {
    let basis = Basis::of(garden);
    let (_, taught, _) = taught_by(&basis, garden);
    let plans = plan::from_calendar(&taught, &basis.years);
    tasks_by(&basis, &taught, &plans, &SeedBox::of(&taught, &plans))
}

/// What the garden's plantings taught, the garden with that in its crop sheets, and what each
/// planting's dates rest on.
fn taught_by(basis: &Basis, garden: &Garden) -> (Learned, Garden, Vec<Vec<Lesson>>) {
    let learned = Learned::of(garden, &basis.conditions);
    let (taught, lessons) = lessons::taught(garden, &learned);
    (learned, taught, lessons)
}

/// The same by plans and seed that are at hand already.
fn tasks_by(basis: &Basis, garden: &Garden, plans: &Plans, seeds: &SeedBox) -> Vec<Task> {
    let ahead = garden.settings.feed.look_ahead_days;
    let mut tasks = tasks::upcoming(garden, &basis.conditions, plans, ahead);
    for task in tasks.iter_mut().filter(|task| task.job == Job::Sow) {
        task.seeds = task.key.planting.and_then(|id| seeds.to_sow(id));
    }
    tasks
}
