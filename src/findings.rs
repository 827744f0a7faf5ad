//! Everything that is computed of a garden, once, for all pages, feeds and commands.

use std::collections::BTreeMap;

use crate::calendar::basis::Basis;
use crate::calendar::experience::Experience;
use crate::calendar::plan::{self, Plans};
use crate::calendar::{self, Refusal, Round, SowNow};
use crate::care::prospect::Prospect;
use crate::care::tasks::{self, model::Task};
use crate::care::water::{PlaceWater, StandWater};
use crate::catalogue::CropId;
use crate::climate::conditions::Conditions;
use crate::garden::model::Garden;
use crate::garden::place::PlaceId;
use crate::garden::planting::PlantingId;
use crate::jobs::Job;
use crate::learning::Learned;
use crate::learning::lessons::{self, Lesson};
use crate::learning::said::{self, Told};
use crate::learning::scores::{self, Forecast};
use crate::pictures::Picture;
use crate::place_kind::Cover;
use crate::places::rooting::{self, Rooting};
use crate::places::{self, PlaceUse};
use crate::raising::bench::{self, Bench};
use crate::raising::seeds::SeedBox;
use crate::raising::shopping::{self, Shopping};
use crate::results::comparisons::{self, Comparison};
use crate::results::weekly::Weekly;
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
    /// What the site said, before something came, of when it would come; by planting.
    pub told: Vec<Vec<Told>>,
    /// What the dates of each planting rest on, by planting.
    pub lessons: Vec<Vec<Lesson>>,
    /// Stages, passed and expected, by planting.
    pub stages: Vec<Vec<StageDates>>,
    /// Whether the temperature where it stands is unknown, by planting.
    without_warmth: Vec<bool>,
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
    /// What is too late for this year.
    pub too_late: Vec<Task>,
    /// What was picked, by planting and under any heading.
    pub book: Book,
    /// In which weeks each planting was picked, and how fully.
    pub weekly: Weekly,
    /// What can be compared, by crop.
    pub comparisons: Vec<Comparison>,
    /// What grows and how much water it takes, by place; places without plants are left out.
    pub water: Vec<PlaceWater>,
    /// Who is where, how full it is and what can follow, by place.
    pub places: Vec<PlaceUse>,
    /// Soil in containers, by planting.
    pub rootings: Vec<Vec<Rooting>>,
    /// The photographs of the entries as they are published, by their path in the content folder; none where nothing
    /// is published.
    pub photos: BTreeMap<String, Picture>,
}

/// Whether past forecasts are held against what came.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
enum Looking {
    BothWays,
    Ahead,
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
        Findings::looking(garden, Looking::BothWays)
    }

    /// Computes them but for what was forecast in the past, which takes longest and of which tasks and warnings know nothing.
    pub fn ahead(garden: &Garden) -> Findings {
        Findings::looking(garden, Looking::Ahead)
    }

    fn looking(garden: &Garden, looking: Looking) -> Findings {
        let basis = Basis::of(garden);
        let season = || {
            let (conditions, today) = (&basis.conditions, garden.today);
            let experience = Experience::of(garden);
            let catalogue = &garden.catalogue;
            let now = calendar::can_sow_now(catalogue, conditions, &experience, today);
            (calendars(garden, &basis, &experience), now)
        };
        let behind = || rayon::join(|| Book::of(garden), || comparisons::of_garden(garden));
        let ahead = || Ahead::of(garden, &basis, looking);
        let ((calendars, sow_now), ((book, comparisons), ahead)) =
            rayon::join(season, || rayon::join(behind, ahead));
        let rootings = garden.plantings().map(|(id, _)| rooting::of_planting(garden, id)).collect();
        Findings {
            weekly: Weekly::of(garden),
            calendars,
            sow_now,
            forecasts: ahead.forecasts,
            learned: ahead.learned,
            told: ahead.told,
            lessons: ahead.lessons,
            stages: ahead.stages,
            without_warmth: ahead.without_warmth,
            seeds: ahead.seeds,
            benches: ahead.benches,
            shopping: ahead.shopping,
            plans: ahead.plans,
            tasks: ahead.tasks,
            too_late: ahead.too_late,
            book,
            comparisons,
            water: ahead.water,
            places: ahead.places,
            rootings,
            photos: BTreeMap::new(),
            conditions: basis.conditions,
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

    /// Whether the temperature where a planting stands is not known, so that its stages are told by days alone.
    pub fn is_without_warmth(&self, id: PlantingId) -> bool {
        self.without_warmth[id.0]
    }

    /// What was said of what came of a planting.
    pub fn told_of(&self, id: PlantingId) -> &[Told] {
        &self.told[id.0]
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
    Ahead::of(garden, &Basis::of(garden), Looking::Ahead).tasks
}

/// The planting calendar of every crop.
fn calendars(garden: &Garden, basis: &Basis, experience: &Experience) -> Vec<CropPlan> {
    let (years, season) = (&basis.years, basis.season);
    let calendars = garden.catalogue.crops().map(|(id, crop)| CropPlan {
        rounds: calendar::rounds_in(&crop.sheet, years, season, Cover::None)
            .into_iter()
            .map(|round| experience.opened(id, round))
            .collect(),
        refusals: calendar::of_crop(&crop.sheet, &years[1], Cover::None).refusals,
    });
    calendars.collect()
}

/// What rests on the garden with what it taught in its sheets.
struct Ahead {
    learned: Learned,
    told: Vec<Vec<Told>>,
    lessons: Vec<Vec<Lesson>>,
    forecasts: Vec<Forecast>,
    plans: Plans,
    stages: Vec<Vec<StageDates>>,
    without_warmth: Vec<bool>,
    water: Vec<PlaceWater>,
    places: Vec<PlaceUse>,
    seeds: SeedBox,
    benches: Vec<Bench>,
    tasks: Vec<Task>,
    too_late: Vec<Task>,
    shopping: Vec<Shopping>,
}

impl Ahead {
    fn of(garden: &Garden, basis: &Basis, looking: Looking) -> Ahead {
        let learned = Learned::of(garden, &basis.conditions);
        let (taught, lessons) = lessons::taught(garden, &basis.conditions, &learned);
        let plans = plan::from_calendar(&taught, &basis.years);
        let forecasts = || {
            if looking == Looking::Ahead {
                return (Vec::new(), vec![Vec::new(); garden.plantings().count()]);
            }
            let told = || said::of_garden(garden, &basis.conditions, &learned);
            rayon::join(|| scores::forecasts(garden, &learned), told)
        };
        let seeds = || SeedBox::of(&taught, &plans);
        let prospect = || Prospect::of(&taught, &basis.conditions, &plans);
        let ((forecasts, told), (seeds, prospect)) =
            rayon::join(forecasts, || rayon::join(seeds, prospect));
        let stages = &prospect.stages;
        let upcoming = || tasks_by(&prospect, &seeds);
        let ((places, benches), (tasks, shopping)) = rayon::join(
            || {
                let places = || places::of(&taught, basis, stages);
                rayon::join(places, || bench::of_garden(&taught, stages, &plans, &seeds))
            },
            upcoming,
        );
        let too_late = tasks::too_late(&prospect);
        let is_without = |id| stages::is_without_warmth(&taught, &basis.conditions, id);
        Ahead {
            without_warmth: garden.plantings().map(|(id, _)| is_without(id)).collect(),
            learned,
            lessons,
            forecasts,
            stages: said::kept(&told, prospect.stages),
            told,
            water: prospect.water,
            plans,
            places,
            seeds,
            benches,
            tasks,
            too_late,
            shopping,
        }
    }
}

/// The tasks as far ahead as the feed looks, and what is to be got for those of the coming weeks and the season.
fn tasks_by(prospect: &Prospect<'_>, seeds: &SeedBox) -> (Vec<Task>, Vec<Shopping>) {
    let garden = prospect.taught.garden();
    let ahead = garden.settings.feed.look_ahead_days;
    let mut tasks = tasks::upcoming(prospect, ahead);
    for task in tasks.iter_mut().filter(|task| task.job == Job::Sow) {
        task.seeds = task.key.planting.and_then(|id| seeds.to_sow(id));
    }
    let shopping = shopping::of_garden(prospect, seeds, &tasks);
    (tasks, shopping)
}
