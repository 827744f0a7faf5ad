//! A grower who does everything on the day it is asked for, with plants that follow a biology of their own.
//!
//! The durations, the days of bearing and the temperatures that kill are this file's and not trug's: round figures of
//! a gardener's experience (common practice, no source). The weather is the climate's normal with a swing of some
//! degrees that comes and goes. What the grower sees (seedlings, flowers, a plant killed by frost) is written down on
//! the day; nothing else is, but what a task asks for.

use std::collections::{BTreeMap, BTreeSet};

use chrono::{Days, NaiveDate};
use trug::care::tasks::model::Task;
use trug::climate::conditions::Conditions;
use trug::climate::normals::Normals;
use trug::diagnostics::codes::Severity;
use trug::diagnostics::problem::Problems;
use trug::findings::{self, Findings};
use trug::garden::build::{WrittenGarden, build};
use trug::garden::model::Garden;
use trug::jobs::Job;
use trug::origin::FileId;
use trug::reading::read_all;
use trug::source::files::Files;

/// Where a simulated garden lies.
#[derive(Clone, Copy, Debug)]
pub(crate) struct Climate {
    pub(crate) name: &'static str,
    /// The lines of garden.yaml that say where it is, and what is known of its climate.
    pub(crate) place: &'static str,
    /// The day on which the year of the simulation begins: in winter, or before the rains.
    pub(crate) first_day: &'static str,
}

/// How a plant of this garden lives.
#[derive(Clone, Copy, Debug)]
pub(crate) struct Plant {
    pub(crate) id: &'static str,
    pub(crate) crop: &'static str,
    pub(crate) start: Start,
    /// From sowing, or from planting cloves and tubers, to the first green.
    emerges: i64,
    /// From then on to the first flower; 0 without flowers that are noted.
    flowers: i64,
    /// From the first green to what can be eaten. A perennial counts days of its year, from midwinter on, by their
    /// warmth: one of 15 °C is one, one of 4 °C or less none.
    ripens: i64,
    /// So many days it bears or keeps in the ground.
    bears: i64,
    /// Days between two pickings; 0: lifted once.
    every: i64,
    /// The frost that kills it, °C.
    killed_at: f64,
}

/// How it gets into the garden.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub(crate) enum Start {
    Raised,
    Direct,
    Again,
    Set,
    Perennial,
}

#[rustfmt::skip]
pub(crate) const PLANTS: &[Plant] = &[
    Plant { id: "tom", crop: "tomato", start: Start::Raised, emerges: 8, flowers: 62, ripens: 115, bears: 80, every: 4, killed_at: -0.5 },
    Plant { id: "pep", crop: "pepper", start: Start::Raised, emerges: 13, flowers: 80, ripens: 135, bears: 70, every: 7, killed_at: -0.5 },
    Plant { id: "courge", crop: "courgette", start: Start::Direct, emerges: 8, flowers: 40, ripens: 50, bears: 70, every: 3, killed_at: -0.5 },
    Plant { id: "bean", crop: "dwarf bean", start: Start::Again, emerges: 10, flowers: 40, ripens: 58, bears: 20, every: 3, killed_at: -0.5 },
    Plant { id: "pea", crop: "pea", start: Start::Direct, emerges: 13, flowers: 48, ripens: 68, bears: 18, every: 3, killed_at: -6.0 },
    Plant { id: "carrot", crop: "carrot", start: Start::Direct, emerges: 16, flowers: 0, ripens: 80, bears: 100, every: 0, killed_at: -9.0 },
    Plant { id: "lettuce", crop: "lettuce", start: Start::Again, emerges: 7, flowers: 0, ripens: 50, bears: 15, every: 0, killed_at: -3.0 },
    Plant { id: "potato", crop: "potato", start: Start::Set, emerges: 24, flowers: 42, ripens: 95, bears: 60, every: 0, killed_at: -2.0 },
    Plant { id: "onion", crop: "onion", start: Start::Set, emerges: 12, flowers: 0, ripens: 110, bears: 30, every: 0, killed_at: -8.0 },
    Plant { id: "garlic", crop: "garlic", start: Start::Set, emerges: 30, flowers: 0, ripens: 235, bears: 25, every: 0, killed_at: -20.0 },
    Plant { id: "leek", crop: "leek", start: Start::Raised, emerges: 14, flowers: 0, ripens: 150, bears: 120, every: 0, killed_at: -14.0 },
    Plant { id: "kale", crop: "kale", start: Start::Raised, emerges: 7, flowers: 0, ripens: 80, bears: 150, every: 9, killed_at: -12.0 },
    Plant { id: "berry", crop: "strawberry", start: Start::Perennial, emerges: 0, flowers: 40, ripens: 65, bears: 25, every: 3, killed_at: -20.0 },
    Plant { id: "cane", crop: "raspberry", start: Start::Perennial, emerges: 0, flowers: 60, ripens: 90, bears: 30, every: 3, killed_at: -25.0 },
    Plant { id: "spear", crop: "asparagus", start: Start::Perennial, emerges: 0, flowers: 0, ripens: 22, bears: 50, every: 3, killed_at: -25.0 },
];

/// What is known of one planting by the one who looks at it.
#[derive(Clone, Debug, Default)]
pub(crate) struct Life {
    begun: Option<NaiveDate>,
    green: Option<NaiveDate>,
    has_flowered: bool,
    is_dead: bool,
    pub(crate) is_finished: bool,
    pub(crate) is_hardened: bool,
    pub(crate) is_out: bool,
    pub(crate) last_picked: Option<NaiveDate>,
    pub(crate) pickings: usize,
    pub(crate) empty_looks: usize,
}

/// A garden that is being lived through.
pub(crate) struct Year {
    climate: Climate,
    normals: Normals,
    written: WrittenGarden,
    day: NaiveDate,
    first: NaiveDate,
    /// Days of the year so far, by their warmth.
    warm_days: f64,
    pub(crate) lives: BTreeMap<String, Life>,
    /// How often each kind of work was asked for.
    pub(crate) totals: BTreeMap<String, usize>,
    /// Kinds of work on one day.
    pub(crate) jobs_a_day: Vec<usize>,
    /// What must not be, each with its day.
    pub(crate) faults: Vec<String>,
}

const PLACES: &[(&str, &str)] = &[
    (
        "shelf",
        "name: shelf\nkind: shelf\nlength: 2 m\nwidth: 1 m\ncover: indoors\ntemperature: 18-22 °C\n",
    ),
    (
        "north-bed",
        "name: north-bed\nkind: bed\nlength: 8 m\nwidth: 1.5 m\ndepth: 40 cm\nsoil: loam\n",
    ),
    (
        "south-bed",
        "name: south-bed\nkind: bed\nlength: 8 m\nwidth: 1.5 m\ndepth: 40 cm\nsoil: loam\n",
    ),
    (
        "fruit-bed",
        "name: fruit-bed\nkind: bed\nlength: 8 m\nwidth: 1.5 m\ndepth: 40 cm\nsoil: loam\n",
    ),
];

fn bed_of(plant: &Plant) -> &'static str {
    match plant.start {
        Start::Perennial => "fruit-bed",
        Start::Raised => "south-bed",
        _ => "north-bed",
    }
}

impl Year {
    /// The garden on its first day, with everything that is meant to be grown.
    pub(crate) fn new(climate: Climate) -> Year {
        let settings = format!("name: {}\n{}\n", climate.name, climate.place);
        let mut files = vec![("garden.yaml".to_owned(), settings.into_bytes())];
        for (name, text) in PLACES {
            files.push((format!("places/{name}.md"), format!("---\n{text}---\n").into_bytes()));
        }
        let mut problems = Problems::new();
        let written = read_all(&Files::new(FileId(0), files), &mut problems);
        assert!(!problems.has_errors(), "{:?}", problems.into_sorted());
        let first: NaiveDate = climate.first_day.parse().unwrap();
        let garden = build(written.clone(), first, &mut Problems::new());
        let normals = Conditions::of(&garden).normals.expect("a climate");
        let mut year = Year {
            climate,
            normals,
            written,
            day: first,
            first,
            warm_days: 0.0,
            lives: BTreeMap::new(),
            totals: BTreeMap::new(),
            jobs_a_day: Vec::new(),
            faults: Vec::new(),
        };
        let plantings: Vec<String> = PLANTS.iter().map(|plant| year.intended(plant)).collect();
        year.write(&format!("plantings:\n{}", plantings.join("\n")));
        year
    }

    fn intended(&mut self, plant: &Plant) -> String {
        let Plant { id, crop, .. } = plant;
        let bed = bed_of(plant);
        if plant.start == Start::Perennial {
            let since = self.first - Days::new(1000);
            let life = Life { begun: Some(since), is_out: true, ..Life::default() };
            self.lives.insert((*id).to_owned(), life);
            return format!(
                "  - {{id: {id}, crop: {crop}, planted: 12, since: {since}, place: {bed}, lasts: years}}"
            );
        }
        let place = if plant.start == Start::Raised { "shelf" } else { bed };
        let again = match plant.start {
            Start::Again => ", sow-again: {every: 3 weeks}",
            _ => "",
        };
        format!("  - {{id: {id}, crop: {crop}, place: {place}, for: {bed}, aim: 12{again}}}")
    }

    /// Lives through so many days.
    pub(crate) fn live(&mut self, days: u64) {
        for _ in 0..days {
            self.see();
            let (garden, tasks) = self.ask();
            self.check(&garden, &tasks);
            self.work(&garden, &tasks);
            let mean = (self.normals.low_c(self.day) + self.normals.high_c(self.day)) / 2.0;
            self.warm_days += ((mean - 4.0) / 11.0).max(0.0);
            self.day = self.day + Days::new(1);
        }
    }

    fn write(&mut self, front: &str) {
        let day = self.day;
        let number = self.written.entries.len();
        let text = format!("---\ndate: {day}\ntitle: Note {number}\n{front}\n---\n");
        let settings =
            "name: x\nplace: {latitude: 0, longitude: 0, time-zone: Etc/UTC}\n".to_owned();
        let files = vec![
            ("garden.yaml".to_owned(), settings.into_bytes()),
            (format!("journal/{day}-{number:05}.md"), text.clone().into_bytes()),
        ];
        let mut problems = Problems::new();
        let read = read_all(&Files::new(FileId(0), files), &mut problems);
        assert!(!problems.has_errors(), "{text}\n{:?}", problems.into_sorted());
        self.written.entries.extend(read.entries);
    }

    /// The weather of today: the normal, and three swings of different length.
    fn low_today(&self) -> f64 {
        let number = (self.day - self.first).num_days() as f64;
        self.normals.low_c(self.day)
            + 2.0 * libm::sin(number / 3.7)
            + 1.5 * libm::sin(number / 11.0)
            + libm::cos(number / 1.3)
    }

    fn plant_of(id: &str) -> &'static Plant {
        let stem = id.split('-').next().unwrap();
        PLANTS.iter().find(|plant| plant.id == stem).unwrap()
    }

    fn age(&self, id: &str) -> Option<i64> {
        let plant = Year::plant_of(id);
        let life = &self.lives[id];
        if plant.start == Start::Perennial {
            return Some(self.warm_days as i64);
        }
        Some((self.day - life.green?).num_days())
    }

    fn is_ripe(&self, id: &str) -> bool {
        let (plant, life) = (Year::plant_of(id), &self.lives[id]);
        let Some(age) = self.age(id) else { return false };
        let rested =
            life.last_picked.is_none_or(|day| (self.day - day).num_days() >= plant.every.max(1));
        !life.is_dead && rested && (plant.ripens..plant.ripens + plant.bears).contains(&age)
    }

    /// What comes by itself, and is noted.
    fn see(&mut self) {
        let low = self.low_today();
        let mut seen = Vec::new();
        for (id, life) in self.lives.clone() {
            let plant = Year::plant_of(&id);
            if life.is_finished || life.is_dead {
                continue;
            }
            let Some(begun) = life.begun else { continue };
            let own = self.lives.get_mut(&id).unwrap();
            let is_up = (self.day - begun).num_days() >= plant.emerges;
            if plant.start != Start::Perennial && life.green.is_none() && is_up {
                own.green = Some(self.day);
                seen.push(format!("  - {{planting: {id}, is: emerged}}"));
            }
            if life.is_out && life.green.is_some() && low < plant.killed_at {
                own.is_dead = true;
                continue;
            }
            let flowers =
                plant.flowers > 0 && self.age(&id).is_some_and(|age| age >= plant.flowers);
            if flowers && life.is_out && !life.has_flowered {
                self.lives.get_mut(&id).unwrap().has_flowered = true;
                seen.push(format!("  - {{planting: {id}, is: flowering}}"));
            }
        }
        if !seen.is_empty() {
            self.write(&format!("events:\n{}", seen.join("\n")));
        }
    }

    fn ask(&mut self) -> (Garden, Vec<Task>) {
        let mut problems = Problems::new();
        let garden = build(self.written.clone(), self.day, &mut problems);
        let told = problems.into_sorted();
        let error = told.iter().find(|problem| problem.severity() == Severity::Error);
        assert!(error.is_none(), "{}: {error:?}", self.day);
        let tasks = findings::tasks(&garden);
        (garden, tasks.into_iter().filter(|task| task.due == self.day).collect())
    }

    fn fault(&mut self, what: String) {
        self.faults.push(format!("{} {what}", self.day));
    }

    /// What has to hold on every day.
    fn check(&mut self, garden: &Garden, tasks: &[Task]) {
        let mut by_planting: BTreeMap<String, Vec<&Task>> = BTreeMap::new();
        for task in tasks {
            *self.totals.entry(task.job.word().to_owned()).or_default() += 1;
            if let Some(since) = task.overdue_since {
                self.fault(format!("{} is overdue since {since}", task.key.text(garden)));
            }
            let Some(id) = task.key.planting else { continue };
            let planting = garden.planting(id);
            by_planting.entry(planting.id.to_string()).or_default().push(task);
            let life = self.lives.get(planting.id.as_str()).cloned().unwrap_or_default();
            let is_seed = matches!(task.job, Job::Sow | Job::PlantOut | Job::Skip)
                || task.job.word() == "order seed"
                || task.job.word() == "chit";
            if life.begun.is_none() && !is_seed {
                self.fault(format!("{} of {}, which is not begun", task.job, planting.id));
            }
            let after = task.job.word() == "cure" || task.job.word() == "store";
            if life.is_finished && !after {
                self.fault(format!("{} of {}, which is gone", task.job, planting.id));
            }
            let is_look = matches!(task.job, Job::LookForHarvest | Job::Clear);
            if life.is_dead && !is_look && !after {
                self.fault(format!("{} of {}, which is dead", task.job, planting.id));
            }
            let is_outdoors = matches!(
                task.job,
                Job::Weed
                    | Job::Mulch
                    | Job::EarthUp
                    | Job::TieIn
                    | Job::Support
                    | Job::LookForHarvest
                    | Job::Clear
            );
            if is_outdoors && !life.is_out {
                self.fault(format!("{} of {}, which is on the shelf", task.job, planting.id));
            }
        }
        let jobs: BTreeSet<&Job> = tasks.iter().map(|task| &task.job).collect();
        self.jobs_a_day.push(jobs.len());
        for (id, tasks) in by_planting {
            let has = |job: &Job| tasks.iter().any(|task| task.job == *job);
            let pairs = [
                (Job::Clear, Job::LookForHarvest),
                (Job::HardenOff, Job::PlantOut),
                (Job::Clear, Job::Feed),
                (Job::Clear, Job::Prune),
                (Job::Clear, Job::Weed),
                (Job::Clear, Job::Pollinate),
                (Job::Cover, Job::Uncover),
                (Job::Sow, Job::PlantOut),
                (Job::PrickOut, Job::PotOn),
                (Job::PotOn, Job::PlantOut),
            ];
            for (a, b) in pairs {
                if has(&a) && has(&b) {
                    self.fault(format!("{a} and {b} of {id} on one day"));
                }
            }
            if tasks.iter().filter(|task| task.job == Job::Feed).count() > 1 {
                self.fault(format!("two feeds of {id} on one day"));
            }
        }
    }

    /// Does what is asked for.
    fn work(&mut self, garden: &Garden, tasks: &[Task]) {
        let (mut events, mut care, mut harvests) = (Vec::new(), Vec::new(), Vec::new());
        for task in tasks {
            let Some(id) = task.key.planting else {
                let place = &garden.place(task.key.place.unwrap()).name;
                care.push(format!("  - {{place: {place}, did: {}}}", task.job.word()));
                continue;
            };
            let id = garden.planting(id).id.to_string();
            let plant = Year::plant_of(&id);
            self.lives.entry(id.clone()).or_default();
            let (day, is_ripe, bed) = (self.day, self.is_ripe(&id), bed_of(plant));
            let life = self.lives.entry(id.clone()).or_default();
            let mut event = |what: &str| events.push(format!("  - {{planting: {id}, is: {what}}}"));
            match &task.job {
                Job::Sow => {
                    life.begun = Some(day);
                    life.is_out = plant.start != Start::Raised;
                    event("sown, count: 20");
                }
                Job::PlantOut if life.begun.is_none() => {
                    life.begun = Some(day);
                    life.is_out = true;
                    event("planted out, count: 12");
                }
                Job::PlantOut => {
                    life.is_out = true;
                    event(&format!("planted out, place: {bed}"));
                }
                Job::PrickOut => event("pricked out"),
                Job::PotOn => event("potted on"),
                Job::HardenOff => {
                    life.is_hardened = true;
                    event("hardening off");
                }
                Job::Thin => event("thinned, count: 2"),
                Job::Clear => {
                    life.is_finished = true;
                    event("finished");
                }
                Job::LookForHarvest if life.is_dead => {
                    life.is_finished = true;
                    event("finished, because: killed by frost");
                }
                Job::LookForHarvest if is_ripe => {
                    life.last_picked = Some(day);
                    life.pickings += 1;
                    harvests.push(format!("  - {{planting: {id}, weight: 300 g}}"));
                    if plant.every == 0 {
                        life.is_finished = true;
                        event("finished, because: lifted");
                    }
                }
                Job::LookForHarvest => {
                    life.empty_looks += 1;
                    care.push(format!("  - {{planting: {id}, did: skip, task: look for harvest}}"));
                }
                job => {
                    let with =
                        task.with.as_ref().map_or(String::new(), |with| format!(", with: {with}"));
                    care.push(format!("  - {{planting: {id}, did: {}{with}}}", job.word()));
                }
            }
        }
        let mut front = String::new();
        for (key, lines) in [("events", events), ("care", care), ("harvests", harvests)] {
            if !lines.is_empty() {
                front.push_str(&format!("{key}:\n{}\n", lines.join("\n")));
            }
        }
        if !front.is_empty() {
            self.write(front.trim_end());
        }
    }

    /// What has to hold when the year is over, beside what held on each day.
    pub(crate) fn faults_at_end(&self) -> Vec<String> {
        let mut faults = self.faults.clone();
        for (id, life) in &self.lives {
            let plant = Year::plant_of(id);
            let was_ripe = self.age(id).is_some_and(|age| age > plant.ripens + 14);
            if was_ripe && life.pickings == 0 && !life.is_dead {
                faults.push(format!("{id} ripened and was never picked"));
            }
            if let Some(green) = life.green.filter(|_| plant.start == Start::Raised) {
                let waited = (self.day - green).num_days() > 150;
                if waited && !(life.is_hardened && life.is_out) {
                    faults.push(format!("{id} was raised and not hardened off and planted out"));
                }
            }
        }
        let garden = build(self.written.clone(), self.day, &mut Problems::new());
        let findings = Findings::of(&garden);
        for plant in PLANTS.iter().filter(|plant| !self.lives.contains_key(plant.id)) {
            let crop = garden.catalogue.find(plant.crop).expect("a crop");
            // Where it is too cold or too warm, the calendar says so.
            if !findings.calendar_of(crop).rounds.is_empty() {
                faults.push(format!("{} was never begun, though it has its time", plant.id));
            }
        }
        faults
    }

    /// Totals by kind of work, and the looks that found nothing.
    pub(crate) fn table(&self) -> String {
        let looks: usize = self.lives.values().map(|life| life.empty_looks).sum();
        let picked: usize = self.lives.values().map(|life| life.pickings).sum();
        let most = self.jobs_a_day.iter().max().unwrap_or(&0);
        let sum: usize = self.totals.values().sum();
        let mut text = format!(
            "{}: {sum} tasks, at most {most} kinds a day; {picked} pickings, {looks} empty looks\n",
            self.climate.name
        );
        for (job, number) in &self.totals {
            text.push_str(&format!("  {job} {number}\n"));
        }
        text
    }
}
