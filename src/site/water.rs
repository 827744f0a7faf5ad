//! Water as it is shown: what a place or a planting uses, how often to water, and the season's account.
//!
//! Always from and to, in what a can or a jug measures.

use chrono::NaiveDate;
use serde::Serialize;

use crate::care::water::account::Poured;
use crate::care::water::estimate::Estimate;
use crate::care::water::holding::SoilKind;
use crate::care::water::refills::Refill;
use crate::care::water::season::PlaceDay;
use crate::care::water::{MonthNeed, Need, PlaceWater, Rhythm, Withheld};
use crate::charts::water_strip::{WaterDay, WaterStrip};
use crate::findings::Findings;
use crate::garden::model::Garden;
use crate::garden::place::PlaceId;
use crate::garden::planting::PlantingId;
use crate::site::amount::Amount;
use crate::site::frame::Link;
use crate::site::message::Message;
use crate::units::{System, VolumeUnit};

/// The water of a place.
#[derive(Clone, Debug, PartialEq, Serialize)]
pub struct PlaceWaterView {
    /// What is known of it today, and what comes next.
    pub state: Message,
    /// All of it today, if there is a figure.
    pub today: Option<NeedView>,
    /// Each planting there today.
    pub plantings: Vec<PlantingNeed>,
    /// Plantings without a figure, and why.
    pub withheld: Vec<WithheldView>,
    /// A normal day in each month in which something of today's stands there.
    pub months: Vec<MonthView>,
    /// The season so far.
    pub plot: Option<WaterStrip>,
    /// The same in words, for those who do not see it.
    pub plot_label: Option<Message>,
    /// The last days of the plot as a table, newest first.
    pub days: Vec<DayRow>,
    /// What the figures take for granted.
    pub taken: Vec<Message>,
}

/// What is used on a day.
#[derive(Clone, Debug, PartialEq, Serialize)]
pub struct NeedView {
    pub litres: Message,
    /// For each container or plant.
    pub each: Option<Message>,
    /// How often to water.
    pub rhythm: Message,
}

/// A planting and what it uses.
#[derive(Clone, Debug, PartialEq, Serialize)]
pub struct PlantingNeed {
    /// The planting, or on its own page the place.
    pub link: Link,
    pub today: NeedView,
    /// A normal day in each month.
    pub months: Vec<MonthView>,
}

/// A planting without a figure.
#[derive(Clone, Debug, PartialEq, Serialize)]
pub struct WithheldView {
    /// The planting, or on its own page the place.
    pub link: Link,
    pub why: Message,
}

/// A normal day of a month.
#[derive(Clone, Debug, PartialEq, Serialize)]
pub struct MonthView {
    pub day: NaiveDate,
    /// What is used.
    pub need: NeedView,
}

/// A day of the account.
#[derive(Clone, Debug, PartialEq, Serialize)]
pub struct DayRow {
    pub date: NaiveDate,
    /// What is left at its end.
    pub left: Message,
    /// Where it is to be watered.
    pub refill_at: Amount,
    pub poured: Option<Message>,
    /// Rain, if it was measured.
    pub rain: Option<Amount>,
}

/// A share of one plant below this is not said, litres.
const LEAST_EACH_L: f64 = 0.1;
/// So many of the last days are in the table.
const DAYS_IN_TABLE: usize = 28;

impl PlaceWaterView {
    /// The water of a place in which something grows; nothing where none of it has anything to say but that it
    /// stands indoors.
    pub fn new(garden: &Garden, findings: &Findings, id: PlaceId) -> Option<PlaceWaterView> {
        let water = findings.water_of_place(id)?;
        let system = garden.settings.units;
        let plantings = water.stands.iter().map(|own| PlantingNeed {
            link: Link::planting(garden, own.stand.room.planting),
            today: NeedView::new(&own.today, system),
            months: months(&own.months, system),
        });
        let withheld = water.withheld.iter().map(|(planting, why)| WithheldView {
            link: Link::planting(garden, *planting),
            why: withheld(*why),
        });
        let shown: Vec<WaterDay> = water.days.iter().map(water_day).collect();
        Some(PlaceWaterView {
            state: state(garden, water),
            today: water.today.map(|need| NeedView::new(&need, system)),
            plantings: plantings.collect(),
            withheld: withheld.collect(),
            months: months(&water.months, system),
            plot: WaterStrip::of(&shown),
            plot_label: plot_label(garden, id, &shown),
            days: water
                .days
                .iter()
                .rev()
                .take(DAYS_IN_TABLE)
                .map(|day| day_row(day, system))
                .collect(),
            taken: taken(garden, water),
        })
    }
}

/// The water of a planting, in each place where it stands.
pub fn of_planting(garden: &Garden, findings: &Findings, id: PlantingId) -> Vec<PlantingNeed> {
    let system = garden.settings.units;
    let stands = findings.water_of_planting(id);
    stands
        .map(|(place, own)| PlantingNeed {
            link: Link::place(garden, place.place),
            today: NeedView::new(&own.today, system),
            months: months(&own.months, system),
        })
        .collect()
}

/// Places in which a planting stands and has no figure, and why.
pub fn withheld_of(garden: &Garden, findings: &Findings, id: PlantingId) -> Vec<WithheldView> {
    let all = findings.water.iter().flat_map(|place| {
        place.withheld.iter().map(move |(planting, why)| (place.place, *planting, *why))
    });
    all.filter(|(_, planting, _)| *planting == id)
        .map(|(place, _, why)| WithheldView {
            link: Link::place(garden, place),
            why: withheld(why),
        })
        .collect()
}

/// How much a watering takes: `about 14 L to 22 L, 1.2 L to 1.8 L for each container`.
pub fn refill(refill: &Refill, system: System) -> Message {
    if is_too_wide(refill.litres) {
        return Message::new("water.pour-not-known");
    }
    let all = range(refill.litres, system);
    let said = match refill.containers.filter(|number| *number > 1.0) {
        Some(number) => Message::new("water.pour-each")
            .with("all", all)
            .with("each", range(refill.litres.times(1.0 / number), system)),
        None => Message::new("water.pour").with("all", all),
    };
    if refill.is_twice { Message::new("water.pour-twice").with("pour", said) } else { said }
}

impl NeedView {
    /// The need of a day.
    pub fn new(need: &Need, system: System) -> NeedView {
        let each = |number: f64, key: &str| {
            Message::new(key).with("litres", range(need.litres.times(1.0 / number), system))
        };
        // Nobody gives a spring onion its 27 ml.
        let is_worth_saying = |number: &f64| need.litres.high / number >= LEAST_EACH_L;
        let plants = need.plants.filter(|number| *number > 1.0).filter(is_worth_saying);
        let each = match (need.containers, plants) {
            (Some(number), _) if number > 1.0 => Some(each(number, "water.each-container")),
            (None, Some(number)) => Some(each(number, "water.each-plant")),
            _ => None,
        };
        let each = each.filter(|_| !is_too_wide(need.litres));
        NeedView { litres: range(need.litres, system), each, rhythm: rhythm(need.rhythm) }
    }
}

/// A range that helps nobody: from a jug to ten cans. Our own measure.
pub(super) fn is_too_wide(litres: Estimate) -> bool {
    const WIDEST: f64 = 5.0;
    const LEAST_L: f64 = 1.0;
    litres.high > LEAST_L && litres.high > WIDEST * litres.low
}

/// From and to, as they are measured out; one value if they are measured alike.
fn range(litres: Estimate, system: System) -> Message {
    if is_too_wide(litres) {
        return Message::new("water.not-known");
    }
    let measured = |litres: f64| Amount {
        about: false,
        ..Amount::measured_volume(VolumeUnit::Litre.of(litres), system)
    };
    let (from, to) = (measured(litres.low), measured(litres.high));
    if from == to {
        return Message::new("water.about").with("amount", to);
    }
    Message::new("water.range").with("from", from).with("to", to)
}

fn rhythm(rhythm: Rhythm) -> Message {
    match rhythm {
        Rhythm::MorningAndEvening => Message::new("water.twice"),
        Rhythm::DailyOrTwice => Message::new("water.daily-or-twice"),
        Rhythm::Days(from, to) if from == to => {
            Message::new("water.every").with("count", u64::from(from))
        }
        unknown if !unknown.is_known() => Message::new("water.rhythm-not-known"),
        Rhythm::Days(from, to) => Message::new("water.every-range")
            .with("from", u64::from(from))
            .with("to", u64::from(to)),
    }
}

fn months(months: &[MonthNeed], system: System) -> Vec<MonthView> {
    let shown = months.iter().filter_map(|month| {
        Some(MonthView { day: month.day, need: NeedView::new(&month.need?, system) })
    });
    shown.collect()
}

fn withheld(why: Withheld) -> Message {
    Message::new(match why {
        Withheld::Indoors => "water.withheld-indoors",
        Withheld::NoClimate => "water.withheld-climate",
        Withheld::NoCoefficients => "water.withheld-crop",
        Withheld::NoSize => "water.withheld-size",
    })
}

fn state(garden: &Garden, water: &PlaceWater) -> Message {
    if garden.place(water.place).is_on_timer {
        return Message::new("water.state-timer");
    }
    if water.stands.is_empty() {
        return Message::new("water.state-none");
    }
    let is_known = water.is_known();
    match (is_known, water.refills.first(), water.last) {
        (false, _, Some(last)) => Message::new("water.state-unknown-since").with("date", last),
        (false, _, None) => Message::new("water.state-unknown"),
        (true, Some(next), _) if next.date == garden.today => {
            Message::new("water.state-today").with("pour", refill(next, garden.settings.units))
        }
        (true, Some(next), _) => Message::new("water.state-next")
            .with("date", next.date)
            .with("pour", refill(next, garden.settings.units)),
        (true, None, _) => Message::new("water.state-enough"),
    }
}

fn plot_label(garden: &Garden, id: PlaceId, days: &[WaterDay]) -> Option<Message> {
    let label = Message::new("water.plot")
        .with("place", garden.place(id).name.as_str())
        .with("from", days.first()?.date)
        .with("to", days.last()?.date);
    Some(label)
}

fn water_day(day: &PlaceDay) -> WaterDay {
    WaterDay {
        date: day.date,
        left: day.left.map(|left| (left.low, left.middle, left.high)),
        refill_at: day.refill_at,
        is_watered: day.poured.is_some(),
    }
}

fn day_row(day: &PlaceDay, system: System) -> DayRow {
    let left = match day.left {
        Some(left) => Message::new("water.left")
            .with("from", Amount::percent(left.low))
            .with("to", Amount::percent(left.high)),
        None => Message::new("water.not-known"),
    };
    DayRow {
        date: day.date,
        left,
        refill_at: Amount::percent(day.refill_at),
        poured: day.poured.map(|poured| match poured {
            Poured::Full => Message::new("water.filled"),
            Poured::Litres(litres) => Message::new("value.amount")
                .with("amount", Amount::measured_volume(VolumeUnit::Litre.of(litres), system)),
        }),
        rain: day.rain_mm.map(|mm| Amount::water_depth(mm, system)),
    }
}

/// What the soil was taken to be, in the order of the plantings, each once.
fn taken(garden: &Garden, water: &PlaceWater) -> Vec<Message> {
    let mut said: Vec<Message> = Vec::new();
    for own in &water.stands {
        let holding = own.stand.holding;
        let key = match holding.taken_as {
            SoilKind::Mix => "water.taken-mix",
            SoilKind::Unnamed => "water.taken-unnamed",
            SoilKind::Loam | SoilKind::Sand | SoilKind::Clay | SoilKind::Silt => "water.taken-soil",
        };
        let soil = garden.place(water.place).soil.clone().unwrap_or_default();
        let message = Message::new(key)
            .with("soil", soil)
            .with("from", Amount::percent(holding.share.low))
            .with("to", Amount::percent(holding.share.high));
        if !said.contains(&message) {
            said.push(message);
        }
    }
    said
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn a_range_that_helps_nobody_is_not_known() {
        let said = |low, high| range(Estimate::between(low, high), System::Metric).say;
        assert_eq!(said(9.0, 99.0), "water.not-known");
        assert_eq!(said(9.0, 40.0), "water.range");
        assert_eq!(said(0.0, 12.0), "water.not-known");
        assert_eq!(said(0.1, 0.8), "water.range", "a cup more or less");
        assert_eq!(rhythm(Rhythm::Days(2, 28)).say, "water.rhythm-not-known");
    }
}
