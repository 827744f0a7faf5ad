//! What share of a seed comes up, and what share of that lives until it is planted out.
//!
//! *Comes up.* From the sowings that are over and the germination tests, the same model as
//! [`crate::learning::germination`] with one level more: the crop lends to the variety, the variety
//! to the packet. It starts from the share on the crop sheet, worth 4 seeds: the least that the law asks of seed
//! that is sold (7 CFR 201.31). A test counts as a tray; it tells what can come up, so that for sowings in the
//! open it is kind. Sowings under cover and in the open, of spring and of autumn, are never pooled. Seed that was
//! more than three years old tells only of its own packet. Where nothing was sown or tested, the sheet's share is
//! taken as it stands, with sowings that fail together (ρ = 0.1); where the sheet has none, there is no rate.
//!
//! *Lives.* From plantings that came up and were planted out: what was noted as lost on the way, of what was
//! noted as emerged; thinned and given away is not lost. All crops together, the crop's own on top. It starts from
//! 0.9, worth 4 seedlings: raise a tenth more than you want (common practice, no source).

use chrono::Datelike;

use crate::catalogue::CropId;
use crate::garden::model::Garden;
use crate::garden::planting::{Planting, Plants, Way};
use crate::happening::Happening;
use crate::learning::germination::{self, OLD_SEED_YEARS, Share, TOGETHER, Tray};
use crate::learning::quantity::Kind;
use crate::learning::stand::Odds;
use crate::names::folded;
use crate::raising::seeds::packets::{self, Packet};
use crate::raising::seeds::trials::Trial;
use crate::stage::Stage;

/// A share of seed that comes up, and what it rests on.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct Rate {
    /// The share of the next sowing.
    pub odds: Odds,
    /// The 80 % interval of the share of all such seed; nothing where only the crop sheet tells.
    pub interval: Option<(f64, f64)>,
    /// The nearest of what it rests on.
    pub ground: Ground,
    /// How many sowings of the grower's count at that level.
    pub sowings: u32,
    /// How many germination tests count at that level.
    pub tests: u32,
    /// Whether it rests on numbers that were guesses.
    pub is_about: bool,
}

/// What a rate rests on, nearest first.
#[derive(Clone, Copy, Debug, PartialEq, Eq, PartialOrd, Ord)]
pub enum Ground {
    /// Sowings and tests of the same packet.
    Packet,
    /// Those of the same variety.
    Variety,
    Crop,
    /// The crop sheet alone.
    Sheet,
}

/// A share of seedlings that live until they are planted out.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct Survival {
    /// The share of the next sowing's seedlings.
    pub odds: Odds,
    /// From how many plantings; 0: common practice.
    pub from_plantings: u32,
}

/// Everything that was seen of seed.
#[derive(Clone, Debug)]
pub(super) struct Evidence {
    seen: Vec<Seen>,
    lives: Vec<(CropId, Tray)>,
}

/// A sowing or a test.
#[derive(Clone, Debug)]
struct Seen {
    crop: CropId,
    /// Nothing for a test: it is of no season.
    kind: Option<Kind>,
    packet: Option<usize>,
    is_old: bool,
    tray: Tray,
}

/// Where seed is to be sown.
#[derive(Clone, Copy, Debug)]
pub(super) struct Wanted<'a> {
    pub(super) crop: CropId,
    pub(super) variety: Option<&'a str>,
    pub(super) packet: Option<usize>,
    pub(super) kind: Kind,
    /// The crop sheet's share, if it has one.
    pub(super) sheet: Option<f64>,
}

impl Evidence {
    pub(super) fn of(garden: &Garden, packets: &[Packet], trials: &[Trial]) -> Evidence {
        let mut seen = Vec::new();
        for (_, planting) in garden.plantings().filter(|(_, planting)| planting.way == Way::Sown) {
            if let Some((kind, tray)) = germination::tray(garden, planting) {
                let packet = packets::of_planting(packets, planting);
                let (crop, kind) = (planting.crop, Some(kind));
                seen.push(Seen { crop, kind, packet, is_old: false, tray });
            }
        }
        for trial in trials {
            let (Some(seed), test) = (&trial.seed, &garden.tests[trial.test]) else { continue };
            if test.tried == 0 {
                continue;
            }
            let age = seed.age_in(test.date.year());
            seen.push(Seen {
                crop: seed.crop,
                kind: None,
                packet: seed.packet,
                is_old: age.is_some_and(|age| age > i64::from(OLD_SEED_YEARS)),
                tray: Tray {
                    variety: folded(seed.variety.as_deref().unwrap_or_default()),
                    sown: test.tried,
                    emerged: test.sprouted.min(test.tried),
                    is_about: false,
                },
            });
        }
        let lives = garden.plantings().filter_map(|(_, planting)| {
            let tray = raised(planting)?;
            Some((planting.crop, tray))
        });
        Evidence { seen, lives: lives.collect() }
    }

    /// The share that comes up; nothing if nobody knows.
    pub(super) fn rate(&self, wanted: Wanted<'_>) -> Option<Rate> {
        let variety = folded(wanted.variety.unwrap_or_default());
        let is_packet = |seen: &Seen| wanted.packet.is_some() && seen.packet == wanted.packet;
        let counts = |seen: &&Seen| {
            let is_kind = seen.kind.is_none_or(|kind| kind == wanted.kind);
            seen.crop == wanted.crop && is_kind && (!seen.is_old || is_packet(seen))
        };
        let ground = |seen: &Seen| match seen {
            seen if is_packet(seen) => Ground::Packet,
            seen if !variety.is_empty() && seen.tray.variety == variety => Ground::Variety,
            _ => Ground::Crop,
        };
        let of = |level: Ground| {
            self.seen.iter().filter(counts).filter(move |seen| ground(seen) == level)
        };
        let nearest = self.seen.iter().filter(counts).map(ground).min();
        let Some(nearest) = nearest else {
            let odds = Odds { mean: wanted.sheet?, together: TOGETHER };
            let (ground, interval) = (Ground::Sheet, None);
            return Some(Rate { odds, interval, ground, sowings: 0, tests: 0, is_about: false });
        };
        let start = Share::before_sowing(wanted.sheet.unwrap_or(germination::USUAL_SHARE));
        let with =
            |share: Share, level| of(level).fold(share, |share, seen| share.with(&seen.tray));
        let mut share = with(start, Ground::Crop);
        if nearest <= Ground::Variety {
            share = with(share.lent(), Ground::Variety);
        }
        if nearest == Ground::Packet {
            share = with(share.lent(), Ground::Packet);
        }
        let count = |is_test: bool| {
            of(nearest).filter(|seen| seen.kind.is_none() == is_test).count() as u32
        };
        Some(Rate {
            odds: share.next_tray(),
            interval: Some(share.interval()),
            ground: nearest,
            sowings: count(false),
            tests: count(true),
            is_about: self.seen.iter().filter(counts).any(|seen| seen.tray.is_about),
        })
    }

    /// The share of seedlings of a crop that live until they are planted out.
    pub(super) fn survival(&self, crop: CropId) -> Survival {
        let (own, others): (Vec<_>, Vec<_>) = self.lives.iter().partition(|(of, _)| *of == crop);
        if self.lives.is_empty() {
            let odds = Odds { mean: USUAL_SURVIVAL, together: TOGETHER };
            return Survival { odds, from_plantings: 0 };
        }
        let with = |share: Share, trays: &[&(CropId, Tray)]| {
            trays.iter().fold(share, |share, (_, tray)| share.with(tray))
        };
        let mut share = with(Share::before_sowing(USUAL_SURVIVAL), &others);
        if !own.is_empty() {
            share = with(share.lent(), &own);
        }
        Survival { odds: share.next_tray(), from_plantings: self.lives.len() as u32 }
    }
}

/// Raise a tenth more than you want: common practice, no source.
const USUAL_SURVIVAL: f64 = 0.9;

/// Of a planting that was raised and planted out: seedlings, and those that were not lost on the way.
fn raised(planting: &Planting) -> Option<Tray> {
    if planting.way != Way::Sown {
        return None;
    }
    let planted_out = planting.reached(Stage::PlantedOut)?;
    let counted = |wanted: &dyn Fn(Happening) -> bool| {
        let steps = planting.history.iter().filter(|step| wanted(step.what));
        let steps = steps.filter(|step| step.date <= planted_out);
        steps.map(|step| step.count.unwrap_or(Plants::UNKNOWN)).reduce(Plants::and)
    };
    let emerged = counted(&|what| what == Happening::Reached(Stage::Emerged))?;
    let lost = counted(&|what| what == Happening::Lost).unwrap_or(Plants::exactly(0));
    let number = emerged.number.filter(|number| *number > 0)?;
    Some(Tray {
        variety: String::new(),
        sown: number,
        emerged: number.saturating_sub(lost.number?),
        is_about: emerged.is_about || lost.is_about,
    })
}
