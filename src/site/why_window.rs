//! Why a window of the planting calendar opens and closes on its days, as a sentence.

use chrono::Duration;

use crate::calendar::bounds::{Bound, WindowBounds};
use crate::calendar::{How, Round};
use crate::dates::Period;
use crate::site::amount::Amount;
use crate::site::message::{Arg, Message};
use crate::units::{Celsius, System};

/// What a garden says of such sentences.
#[derive(Clone, Copy, Debug)]
pub struct Teller {
    /// In which units degrees are told.
    pub system: System,
    /// The risk of frost that is reckoned with, 0 to 1.
    pub risk: f64,
}

/// The sentence of a window of a kind; none for picking, which follows from the others.
pub fn sentence(teller: Teller, round: &Round, kind: &str, window: Period) -> Option<Message> {
    let ways: &[How] = match kind {
        "under-cover" => return round.plant_out.map(raised),
        "outdoors" => &[How::SowOutdoors, How::BeginInAutumn],
        "plant-out" => &[How::PlantOut, How::BeginInAutumn],
        _ => return None,
    };
    let WindowBounds { opens, closes, .. } =
        round.bounds.iter().find(|bounds| ways.contains(&bounds.how))?;
    let say = |end: &str, bounds: &[Bound]| -> Vec<Arg> {
        bounds.iter().map(|bound| said(teller, end, *bound, window).into()).collect()
    };
    let from = (!opens.is_empty()).then(|| {
        let why = Arg::List(say("opens", opens));
        Message::new("because.from").with("from", window.from).with("why", why)
    });
    let until = (!closes.is_empty()).then(|| {
        let why = Arg::List(say("closes", closes));
        Message::new("because.until").with("to", window.to).with("why", why)
    });
    Some(match (from, until) {
        (Some(from), Some(until)) => {
            Message::new("because").with("from", from).with("until", until)
        }
        (Some(one), None) | (None, Some(one)) => one,
        (None, None) => Message::new("because.any-day"),
    })
}

/// Sowing under cover is counted back.
fn raised(planted: Period) -> Message {
    Message::new("because.raised").with("from", planted.from).with("to", planted.to)
}

/// What is over on the first day, or begins after the last.
fn said(teller: Teller, end: &str, bound: Bound, window: Period) -> Message {
    let degrees = |celsius| Amount::temperature(Celsius(celsius), teller.system);
    let days = |days: i64| Amount::count(u32::try_from(days.abs()).unwrap_or(0), "days");
    let key = |what: &str| Message::new(format!("because.{end}.{what}"));
    match bound {
        Bound::LastFrost(offset) => {
            let frost = window.from - Duration::days(offset);
            let one = match offset {
                0 => key("last-frost"),
                1.. => key("after-last-frost").with("days", days(offset)),
                _ => key("before-last-frost").with("days", days(offset)),
            };
            one.with("frost", frost).with("risk", risk(teller.risk))
        }
        Bound::FirstFrost => key("first-frost").with("risk", risk(teller.risk)),
        Bound::Nights(celsius) => key("nights").with("degrees", degrees(celsius)),
        Bound::Soil(celsius) => key("soil").with("degrees", degrees(celsius)),
        Bound::Mean(celsius) => key("mean").with("degrees", degrees(celsius)),
        Bound::NotCooled(celsius) => key("cooled").with("degrees", degrees(celsius)),
        Bound::TooHotToBegin => key("too-hot"),
        Bound::BulbsTooSoon => key("bulbs"),
        Bound::WarmHalf => key("warm-half"),
        Bound::HotWhenPicked(celsius) => key("hot-picking").with("degrees", degrees(celsius)),
        Bound::HotWhenInFlower => key("hot-flower"),
        Bound::RunsToSeed(hours) => key("to-seed").with("hours", Amount::hours(hours)),
        Bound::FlowersAfterWinter(celsius) => {
            key("flowers-after-winter").with("degrees", degrees(celsius))
        }
        Bound::FrostBeforeRipe => key("frost-before-ripe"),
        Bound::DarkBeforeRipe => key("dark-before-ripe"),
        Bound::GoneWell(plantings) => key("gone-well").with("count", u64::from(plantings)),
        Bound::OnceAYear => key("once"),
        Bound::UsualFrost(0) => key("at-usual-frost"),
        Bound::UsualFrost(before) => key("usual-frost").with("days", days(before)),
        Bound::LateForRoots(after) => key("roots").with("days", days(after)),
    }
}

/// The garden's risk of frost, as `1 in 10`.
fn risk(risk: f64) -> Message {
    let years = (1.0 / risk).round();
    if (years * risk - 1.0).abs() < 0.01 {
        Message::new("because.risk").with("years", years as u64)
    } else {
        Message::new("because.risk-of-100").with("years", (risk * 100.0).round() as u64)
    }
}
