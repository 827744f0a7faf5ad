//! What came of a crop, a planting, a place: sums under several headings, losses, troubles and costs.

use chrono::NaiveDate;
use serde::Serialize;

use crate::catalogue::CropId;
use crate::dates::Period;
use crate::findings::Findings;
use crate::garden::model::Garden;
use crate::garden::place::PlaceId;
use crate::garden::planting::PlantingId;
use crate::results::yields::book::Among;
use crate::results::yields::costs;
use crate::results::yields::ground::Basis;
use crate::results::yields::losses::{self, Loss, Trouble};
use crate::results::yields::measures::{Measures, Weighed};
use crate::results::yields::plants::Counted;
use crate::results::yields::why_not::WhyNot;
use crate::site::amount::Amount;
use crate::site::costs::CostView;
use crate::site::frame::{Link, planting_name};
use crate::site::heading::Heading;
use crate::site::message::{Arg, Message};
use crate::site::sums::{By, Headed, sums};
use crate::site::yields::{LotRow, why_not};
use crate::units::{MassUnit, System};

/// The heads of the columns that depend on the garden's units.
#[derive(Clone, Debug, PartialEq, Serialize)]
pub struct Heads {
    /// For each square metre or square foot.
    pub per_area: Message,
    /// For each litre or gallon.
    pub per_soil: Message,
}

/// What came of a crop.
#[derive(Clone, Debug, PartialEq, Serialize)]
pub struct CropYields {
    pub heads: Heads,
    /// By season, newest first; all of them last, if there are several.
    pub seasons: Vec<LotRow>,
    /// By variety, if there are several.
    pub varieties: Vec<LotRow>,
    /// By kind of place, if there are several.
    pub kinds: Vec<LotRow>,
    /// By planting, newest first, of the last seasons.
    pub plantings: Vec<LotRow>,
    /// Plants that were lost in them, newest first.
    pub losses: Vec<LossRow>,
    /// Pests and diseases seen and products used in them, newest season first.
    pub troubles: Vec<TroubleRow>,
    /// What it cost, in all years.
    pub cost: Option<CostView>,
}

/// What came of a planting.
#[derive(Clone, Debug, PartialEq, Serialize)]
pub struct PlantingYields {
    pub heads: Heads,
    /// The sums.
    pub row: LotRow,
    /// What they were divided by, or why not.
    pub divisors: Vec<Message>,
    pub cost: Option<CostView>,
}

/// What came of a place.
#[derive(Clone, Debug, PartialEq, Serialize)]
pub struct PlaceYields {
    pub heads: Heads,
    /// By season, newest first, by the whole ground of the place.
    pub seasons: Vec<LotRow>,
    /// By crop, of all seasons, by the ground each took.
    pub crops: Vec<LotRow>,
    /// What was spent on the place itself.
    pub cost: Option<CostView>,
}

/// Plants that were lost.
#[derive(Clone, Debug, PartialEq, Serialize)]
pub struct LossRow {
    pub date: NaiveDate,
    pub planting: Link,
    pub plants: Option<Amount>,
    /// Whether the planting ended.
    pub is_end: bool,
    /// Why, in the grower's words.
    pub because: Option<String>,
}

/// Something seen, or used against it, in a season.
#[derive(Clone, Debug, PartialEq, Serialize)]
pub struct TroubleRow {
    pub season: String,
    /// What was seen, or what was done.
    pub what: Message,
    /// On how many days.
    pub days: u32,
    pub first: NaiveDate,
    pub last: NaiveDate,
    pub plantings: Vec<Link>,
}

impl Heads {
    /// In the garden's units.
    pub fn new(system: System) -> Heads {
        let us = if system == System::Us { ".us" } else { "" };
        Heads {
            per_area: Message::new(format!("table.per-area{us}")),
            per_soil: Message::new(format!("table.per-soil{us}")),
        }
    }
}

impl CropYields {
    /// What came of a crop, with its plantings, losses and troubles of some days; nothing if nothing was picked,
    /// lost, seen or paid.
    pub fn new(
        garden: &Garden,
        findings: &Findings,
        id: CropId,
        days: Period,
    ) -> Option<CropYields> {
        let book = &findings.book;
        let rows = |by| rows(garden, &sums(garden, book, by, Among::Crop(id)));
        let newest = |by| rows(by).into_iter().rev().collect::<Vec<_>>();
        let several = |rows: Vec<LotRow>| if rows.len() > 1 { rows } else { Vec::new() };
        let mut seasons = newest(By::Season);
        let all = sums(garden, book, By::All, Among::Crop(id));
        if seasons.len() > 1 {
            seasons.extend(all.iter().map(|headed| headed.row(garden)));
        }
        let mut varieties = rows(By::Variety);
        varieties.iter_mut().for_each(|row| row.note = None);
        let sum = all.first().map(|all| all.lot.sum.clone()).unwrap_or_default();
        let yields = CropYields {
            heads: Heads::new(garden.settings.units),
            seasons,
            varieties: several(varieties),
            kinds: several(rows(By::Kind)),
            plantings: planting_rows(garden, findings, id, |over| {
                over.is_none_or(|day| days.contains(day))
            }),
            losses: loss_rows(garden, id, days),
            troubles: trouble_rows(garden, id, days),
            cost: CostView::of_crop(garden, id, &sum),
        };
        let is_empty = yields.seasons.is_empty()
            && yields.losses.is_empty()
            && yields.troubles.is_empty()
            && yields.cost.is_none();
        (!is_empty).then_some(yields)
    }
}

impl PlantingYields {
    /// What came of a planting; nothing if nothing was picked from it alone and nothing paid.
    pub fn new(garden: &Garden, findings: &Findings, id: PlantingId) -> Option<PlantingYields> {
        let measures = findings.book.of_planting(id);
        let own = own_sum(garden, findings, id)?;
        Some(PlantingYields {
            heads: Heads::new(garden.settings.units),
            row: own.row(garden),
            divisors: divisors(garden, measures),
            cost: CostView::of_planting(garden, id, &measures.sum),
        })
    }
}

impl PlaceYields {
    /// What came of a place; nothing if nothing was picked there.
    pub fn new(garden: &Garden, findings: &Findings, id: PlaceId) -> Option<PlaceYields> {
        let book = &findings.book;
        let seasons = sums(garden, book, By::Season, Among::Place(id));
        if seasons.is_empty() {
            return None;
        }
        let spent = costs::spent(garden, &garden.costs, |whom| whom == costs::For::Place(id));
        let heading =
            Heading::default().place(garden, &crate::results::yields::book::Only::One(id));
        Some(PlaceYields {
            heads: Heads::new(garden.settings.units),
            seasons: rows(garden, &seasons).into_iter().rev().collect(),
            crops: by_name(rows(garden, &sums(garden, book, By::Crop, Among::Place(id)))),
            // Spread over years of different crops, a cost of a kilogram would say nothing.
            cost: CostView::new(garden, spent, (spent, &Default::default()), &heading),
        })
    }
}

/// As rows of a table.
pub fn rows(garden: &Garden, sums: &[Headed]) -> Vec<LotRow> {
    sums.iter().map(|headed| headed.row(garden)).collect()
}

/// Rows that lead somewhere by their names, then the others.
pub fn by_name(mut rows: Vec<LotRow>) -> Vec<LotRow> {
    let name = |row: &LotRow| match row.name.with.get("name") {
        Some(Arg::Text(name)) => (false, name.clone()),
        _ => (true, row.name.say.clone()),
    };
    let note = |row: &LotRow| row.note.as_ref().and_then(|note| note.with.get("name").cloned());
    rows.sort_by_key(|row| match note(row) {
        Some(Arg::Text(crop)) => (false, crop, name(row)),
        _ => (true, String::new(), name(row)),
    });
    rows
}

/// What a planting's figures are divided by, or why they are not.
fn divisors(garden: &Garden, measures: &Measures) -> Vec<Message> {
    let system = garden.settings.units;
    let mut said = Vec::new();
    match &measures.plants {
        Ok(plants) => {
            let key = match plants.counted {
                Counted::PlantedOut => "divided.planted-out",
                Counted::Thinned => "divided.thinned",
                Counted::CameUp => "divided.came-up",
            };
            let amount = Amount::count(plants.number, "plants");
            let amount = Amount { about: plants.is_about, ..amount };
            said.push(Message::new(key).with("plants", amount));
        }
        Err(why) => said.push(withheld("divided.no-plants", garden, why)),
    }
    let bounds = measures.bounds_per_plant();
    said.extend(bounds.map(|(least, most)| {
        let mass = |grams: f64| Amount::mass(MassUnit::Gram.of(grams), system);
        Message::new("divided.bounds").with("least", mass(least)).with("most", mass(most))
    }));
    for weighed in [Weighed::Fresh, Weighed::Dried] {
        let bore = measures.bore.zip(measures.per_bearing(weighed));
        said.extend(bore.map(|(plants, grams)| {
            Message::new("divided.bore")
                .with("plants", Amount::count(plants, "plants"))
                .with("each", Amount::mass(MassUnit::Gram.of(grams), system))
        }));
    }
    let ground = &measures.ground;
    let about = |amount: Amount| Amount { about: ground.is_about, ..amount };
    match &ground.area {
        Ok(area) => {
            let area = about(Amount::area(*area, system));
            said.push(
                match ground.basis {
                    Basis::Uses => Message::new("divided.uses"),
                    Basis::Row => Message::new("divided.row"),
                    Basis::Whole => Message::new("divided.whole"),
                    Basis::Shared(other) => Message::new("divided.shared")
                        .with("planting", planting_name(garden, other)),
                }
                .with("area", area),
            );
        }
        Err(why) => said.push(withheld("divided.no-area", garden, why)),
    }
    match &ground.soil {
        Ok(soil) => {
            let soil = about(Amount::volume(*soil, system));
            said.push(Message::new("divided.soil").with("soil", soil));
        }
        Err(why) if ground.area.as_ref().err() == Some(why) => {}
        Err(why) => said.push(withheld("divided.no-soil", garden, why)),
    }
    said
}

fn withheld(key: &str, garden: &Garden, why: &WhyNot) -> Message {
    let reason = match why {
        WhyNot::NotAlone(others) => {
            let names = others.iter().map(|id| Arg::from(planting_name(garden, *id)));
            Message::new("why-not.not-alone-with").with("others", names.collect::<Vec<_>>())
        }
        _ => why_not(why),
    };
    Message::new(key).with("why", reason)
}

/// Plantings of a crop by the day they were over, newest first, as rows of a table; those that gave nothing are left out.
pub(super) fn planting_rows(
    garden: &Garden,
    findings: &Findings,
    crop: CropId,
    is_shown: impl Fn(Option<NaiveDate>) -> bool,
) -> Vec<LotRow> {
    let own = garden.plantings_of(crop).iter().rev().copied();
    let own = own.filter(|id| is_shown(garden.planting(*id).finished));
    own.filter_map(|id| Some(own_sum(garden, findings, id)?.row(garden))).collect()
}

/// What was picked of a planting alone.
fn own_sum(garden: &Garden, findings: &Findings, id: PlantingId) -> Option<Headed> {
    let heading = Heading::default().planting(garden, id);
    let all = sums(garden, &findings.book, By::Planting, Among::Planting(id));
    all.into_iter().find(|headed| headed.heading == heading)
}

/// Plants of a crop that were lost on some days, newest first.
pub(super) fn loss_rows(garden: &Garden, id: CropId, days: Period) -> Vec<LossRow> {
    let losses = losses::losses(garden, garden.plantings_of(id).iter().copied()).into_iter().rev();
    let losses = losses.filter(|loss| days.contains(loss.date));
    losses.map(|loss| LossRow::new(garden, &loss)).collect()
}

impl LossRow {
    /// A loss as a line.
    pub fn new(garden: &Garden, loss: &Loss) -> LossRow {
        LossRow {
            date: loss.date,
            planting: Link::planting(garden, loss.planting),
            plants: Amount::plants(loss.plants).filter(|_| !loss.is_end),
            is_end: loss.is_end,
            because: loss.because.clone().map(String::from),
        }
    }
}

/// Pests and diseases of a crop and what was used against them on some days, newest season first.
pub(super) fn trouble_rows(garden: &Garden, id: CropId, days: Period) -> Vec<TroubleRow> {
    let is_own = |planting| garden.planting(planting).crop == id;
    let row = |trouble: Trouble, what: Message| TroubleRow {
        season: garden.season_of(trouble.season).name(),
        what,
        days: trouble.days,
        first: trouble.first,
        last: trouble.last,
        plantings: trouble.plantings.iter().map(|id| Link::planting(garden, *id)).collect(),
    };
    let sights = garden.sights_of_crop(id).filter(|sight| days.contains(sight.date));
    let care = garden.care_of_crop(id).filter(|care| days.contains(care.date));
    let seen = losses::sights(garden, sights, is_own).into_iter().map(|trouble| {
        let what = trouble.what.clone().unwrap_or_default();
        row(trouble, Message::new("moment.seen").with("what", what))
    });
    let used = losses::treatments(garden, care, is_own).into_iter().map(|trouble| {
        let with = trouble.what.clone();
        let what = match (with, trouble.against.clone()) {
            (Some(with), Some(pest)) => {
                Message::new("trouble.with-against").with("with", with).with("pest", pest)
            }
            (Some(with), None) => Message::new("trouble.with").with("with", with),
            (None, Some(pest)) => Message::new("trouble.against").with("pest", pest),
            (None, None) => Message::new("trouble.treated"),
        };
        row(trouble, what)
    });
    let mut rows: Vec<TroubleRow> = seen.chain(used).collect();
    rows.sort_by(|a, b| (&b.season, a.first).cmp(&(&a.season, b.first)));
    rows
}
