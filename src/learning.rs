//! What the grower's own plantings teach: how long things take here, how much comes up, how it is picked.
//!
//! *What is learned from.* Every planting of the journal whose beginning and end of a span are both noted;
//! one whose end has not come yet says 'longer than so far' (censored). Never pooled: under cover and in
//! the open, spring and autumn, young plants and sets. Plants of one sowing that were split count once for
//! what they shared. What cannot be read is left out and never guessed (`spans.rs` says what).
//!
//! *Durations, warmth, picking interval, season length* are handled as natural logarithms `y`, in a hierarchical
//! normal model (N. Laird & J. Ware, *Biometrics* 38 (1982) 963–974, from memory) with the season as a level of its own, as
//! trials of varieties have it (H. Patterson & V. Silvey, *JRSS A* 143 (1980) 219–252, from memory; H.-P. Piepho et al.,
//! *Euphytica* 161 (2008) 209–228):
//!
//! ```text
//! y = table + shift of this garden + variety + season + planting
//! ```
//!
//! each part normal about zero with a standard deviation of its own. The four deviations are not known: they have
//! half-normal priors (A. Gelman, *Bayesian Analysis* 1 (2006) 515–533) in the measure of the table's range, and are summed
//! over a fixed grid ([`model`]). Plantings of one season share their weather, so ten of them are one draw of it: a new
//! season takes the whole variance of seasons, one that runs its own estimate (prediction, not estimation: J. Higgins,
//! S. Thompson & D. Spiegelhalter, *JRSS A* 172 (2009) 137–159). The table's range is taken as the 80 % range of gardens at
//! large; with nothing planted the interval is that, wider by a factor of 1.5 on the scale of logarithms, because one
//! garden's season is not all gardens' mean. A variety with a range of its own is compared with that one.
//!
//! *Days or warmth.* What grows in the open is told in days of the weather that its sheet means
//! ([`crate::stages::usual_weather`]), so that March and June do not share one number; or in plain days, where the garden's own
//! plantings say so ([`days_or_warmth`]). What comes between two looks of the grower is noted at the second ([`looks`]).
//!
//! *Censored* values enter as normal pseudodata that have the slope and the curvature of their likelihood
//! `1 − Φ(z)`, `z = (y − θ)/σ` (BDA3 ch. 16.2; J. Tobin, *Econometrica* 26 (1958) 24–36, both from memory): with
//! `λ = φ(z)/(1 − Φ(z))` the weight is `λ(λ − z)`, between 0 and 1, and the value `θ + σλ/weight`; repeated
//! until nothing moves. What is still awaited says nothing of itself, and nothing of others once it is overdue.
//!
//! *Germination* is beta-binomial, see [`germination`]. The scales of the priors are trug's choice, no source;
//! `learning/trials.rs` states how the intervals hold in gardens whose seasons differ little and much.

pub mod estimate;
pub mod germination;
pub mod lessons;
pub mod quantity;
pub mod said;
pub mod scores;
pub mod stand;

pub(crate) mod cholesky;
mod club;
mod days_or_warmth;
#[cfg(test)]
pub(crate) mod dice;
mod layout;
mod looks;
mod model;
mod neighbours;
mod pickings;
mod posterior;
mod spans;
mod table;
#[cfg(test)]
mod trials;
mod warmth;

use std::collections::BTreeMap;

use chrono::{Datelike, NaiveDate};

use crate::catalogue::CropId;
use crate::climate::conditions::Conditions;
use crate::dates;
use crate::garden::model::Garden;
use crate::garden::planting::PlantingId;
use crate::learning::estimate::{Estimate, Level};
use crate::learning::germination::Tray;
use crate::learning::looks::Looks;
use crate::learning::neighbours::Heard;
use crate::learning::pickings::Season;
use crate::learning::posterior::{Answers, End, Question, Sample};
use crate::learning::quantity::{Kind, Quantity, Span};
use crate::learning::spans::Wait;
use crate::names;
use crate::stages::Milestone;

/// What a garden's plantings teach, as it stands on the garden's day and on any day before.
#[derive(Clone, Debug)]
pub struct Learned {
    waits: BTreeMap<Group, Vec<Wait>>,
    pickings: BTreeMap<Group, Vec<Season>>,
    looks: Looks,
    trays: BTreeMap<(CropId, Kind), Vec<Tray>>,
    /// What neighbours tell.
    heard: BTreeMap<Group, Vec<Heard>>,
    answers: Answers,
    /// Whether the usual temperatures of the place are known.
    has_climate: bool,
    tomorrow: NaiveDate,
}

/// What may be pooled.
type Group = (CropId, Quantity, Kind);

/// What is asked for.
#[derive(Clone, Copy, Debug)]
struct Asked<'a> {
    crop: CropId,
    /// A folded name; empty for none.
    variety: &'a str,
    quantity: Quantity,
    kind: Kind,
    /// The season in which it begins.
    season: i32,
    /// Only what is dated before this day is known.
    before: NaiveDate,
    /// The planting it is asked for: what it still waits for is no evidence of how long it waits.
    own: Option<PlantingId>,
}

/// How long one planting took for something.
#[derive(Clone, Copy, Debug)]
pub(crate) struct Took {
    pub(crate) planting: PlantingId,
    pub(crate) crop: CropId,
    pub(crate) span: Span,
    pub(crate) kind: Kind,
    /// The year in which its season began.
    pub(crate) season: i32,
    pub(crate) from: NaiveDate,
    pub(crate) days: f64,
}

impl Learned {
    /// Reads the plantings of a garden.
    pub fn of(garden: &Garden, conditions: &Conditions) -> Learned {
        let tomorrow = dates::shift(garden.today, 1);
        let mut waits: BTreeMap<Group, Vec<Wait>> = BTreeMap::new();
        let mut pickings: BTreeMap<Group, Vec<Season>> = BTreeMap::new();
        for season in pickings::seasons(garden) {
            for quantity in [Quantity::PickingInterval, Quantity::SeasonLength] {
                pickings.entry(season.group(quantity)).or_default().push(season.clone());
            }
        }
        for wait in spans::waits(garden, conditions) {
            waits.entry(wait.group()).or_default().push(wait);
        }
        let (trays, answers) = (germination::trays(garden), Answers::default());
        let heard = neighbours::heard(garden, conditions);
        let looks = Looks::of(garden);
        let has_climate = conditions.normals.is_some();
        Learned { waits, pickings, looks, trays, heard, answers, has_climate, tomorrow }
    }

    /// What to expect of the next planting of a crop, and of a variety where it is named, in the garden's season.
    ///
    /// The result is in the quantity's unit: days, °C·days, or a share from 0 to 1. None if there is
    /// neither a planting nor a value in the table. `kind` is that of the planting to come: where and
    /// when it begins ([`Kind::of_beginning`]).
    pub fn estimate(
        &self,
        garden: &Garden,
        crop: CropId,
        variety: Option<&str>,
        quantity: Quantity,
        kind: Kind,
    ) -> Option<Estimate> {
        let variety = &names::folded(variety.unwrap_or_default());
        let (season, before) = (garden.season().days.from.year(), self.tomorrow);
        let asked = Asked { crop, variety, quantity, kind, season, before, own: None };
        self.answer(garden, asked)
    }

    fn answer(&self, garden: &Garden, asked: Asked<'_>) -> Option<Estimate> {
        let Asked { crop, variety, quantity, kind, season, .. } = asked;
        if quantity == Quantity::Germination {
            let trays = self.trays.get(&(crop, kind)).map_or(&[][..], Vec::as_slice);
            return Some(germination::estimate(trays, variety));
        }
        let late_days = self.looks.late_days(asked.before);
        let question = Question { quantity, variety, season: Some(season), late_days };
        let samples = self.samples(garden, asked);
        let samples: Vec<&Sample> = samples.iter().collect();
        let heard = self.heard((crop, quantity, kind), asked.before);
        posterior::estimate(garden.catalogue.get(crop), question, &samples, &heard, &self.answers)
    }

    /// What neighbours could tell before a day.
    fn heard(&self, group: Group, before: NaiveDate) -> Vec<&Heard> {
        let all = self.heard.get(&group).into_iter().flatten();
        all.filter(|heard| heard.came < before).collect()
    }

    /// The waits of a crop, to be told in days or in warmth.
    fn waits(&self, crop: CropId, quantity: Quantity, kind: Kind) -> &[Wait] {
        let span = match quantity {
            Quantity::Days(span) | Quantity::Warmth(span) => span,
            _ => return &[],
        };
        self.waits.get(&(crop, Quantity::Days(span), kind)).map_or(&[], Vec::as_slice)
    }

    /// In which a wait is foretold here, in days or in warmth, by what was known before a day.
    fn foretold_in(&self, (crop, span, kind): (CropId, Span, Kind), before: NaiveDate) -> Quantity {
        if kind.is_under_cover || !self.has_climate {
            return Quantity::Days(span);
        }
        days_or_warmth::quantity(span, self.waits(crop, Quantity::Days(span), kind), before)
    }

    /// In which a wait of the journal was foretold before a day.
    fn was_foretold_in(&self, wait: &Wait, before: NaiveDate) -> Quantity {
        if wait.has_warmth() {
            return self.foretold_in((wait.crop, wait.span, wait.kind), before);
        }
        wait.quantity()
    }

    /// What was known of a group.
    fn samples(&self, garden: &Garden, asked: Asked<'_>) -> Vec<Sample> {
        let Asked { crop, quantity, kind, .. } = asked;
        let group = (crop, quantity, kind);
        let counts = |planting: PlantingId, sample: &Sample| {
            sample.end == End::Came || asked.own != Some(planting)
        };
        let waits = self.waits(crop, quantity, kind).iter();
        let waits =
            waits.filter_map(|wait| Some((wait.planting, wait.as_of(quantity, asked.before)?)));
        let seasons = self.pickings.get(&group).into_iter().flatten().filter_map(|season| {
            let away = &garden.settings.away;
            Some((season.planting, season.as_of(asked.before, asked.quantity, away)?))
        });
        let own = waits.chain(seasons).filter(|(planting, sample)| counts(*planting, sample));
        own.map(|(_, sample)| sample).collect()
    }

    /// What to expect of a planting that has begun: the day from which it counts, and how many days from
    /// then on to a milestone.
    ///
    /// It counts from the last beginning that leads there: from planting out rather than from sowing. A
    /// planting that was split off before it had a beginning of its own counts from that of the whole. None
    /// if it has not begun, is a perennial, or nothing is known.
    pub fn expected(
        &self,
        garden: &Garden,
        planting: PlantingId,
        to: Milestone,
    ) -> Option<(NaiveDate, Estimate)> {
        let waits = self.waits.values().flatten();
        let own = waits.filter(|wait| wait.planting == planting && wait.span.to == to);
        let Some(wait) = own.max_by_key(|wait| wait.start) else {
            return self.expected(garden, garden.planting(planting).parent?, to);
        };
        let variety = garden.planting(planting).variety.as_deref();
        let quantity = Quantity::Days(wait.span);
        let estimate = self.estimate(garden, wait.crop, variety, quantity, wait.kind)?;
        Some((wait.start, estimate))
    }

    /// The kinds in which a crop was grown here or at a neighbour's, for a quantity.
    pub fn kinds(&self, crop: CropId, quantity: Quantity) -> Vec<Kind> {
        let trays = self.trays.keys().filter(|_| quantity == Quantity::Germination);
        let trays = trays.map(|(crop, kind)| (*crop, *kind));
        let is_known = |wait: &Wait| wait.as_of(quantity, self.tomorrow).is_some();
        let told_in = |(crop, of, kind): &Group| match quantity {
            Quantity::Warmth(span) if *of == Quantity::Days(span) => (*crop, quantity, *kind),
            _ => (*crop, *of, *kind),
        };
        let waits = self.waits.iter().filter(|(_, waits)| waits.iter().any(is_known));
        let groups = waits.map(|(group, _)| told_in(group));
        let groups = groups.chain(self.pickings.keys().copied());
        let told = self.heard.keys().filter(|group| !self.heard(**group, self.tomorrow).is_empty());
        let groups = groups.chain(told.copied());
        let of_quantity = groups.filter(|group| group.1 == quantity);
        let of_crop = of_quantity.map(|(crop, _, kind)| (crop, kind)).chain(trays);
        of_crop.filter(|group| group.0 == crop).map(|group| group.1).collect()
    }

    /// How long each planting took, as far as it came; by crop and by what it took it for.
    pub(crate) fn took(&self) -> Vec<Took> {
        let took = |wait: &Wait| {
            let sample = wait
                .as_of(wait.quantity(), self.tomorrow)
                .filter(|sample| sample.end == End::Came)?;
            let Wait { planting, crop, span, kind, season, start, .. } = *wait;
            Some(Took { planting, crop, span, kind, season, from: start, days: sample.value })
        };
        self.waits.values().flatten().filter_map(took).collect()
    }

    /// Everything the plantings of a crop taught, here and at the neighbours', in each kind of beginning: not what the table
    /// says alone.
    pub fn of_crop(&self, garden: &Garden, crop: CropId) -> Vec<(Quantity, Kind, Estimate)> {
        let spans = Span::ALL.iter();
        let others = [Quantity::Germination, Quantity::PickingInterval, Quantity::SeasonLength];
        let all = spans
            .clone()
            .map(|span| Quantity::Days(*span))
            .chain(spans.map(|span| Quantity::Warmth(*span)))
            .chain(others);
        let mut found = Vec::new();
        for quantity in all {
            for kind in self.kinds(crop, quantity) {
                let estimate = self.estimate(garden, crop, None, quantity, kind);
                let known = estimate.filter(|estimate| estimate.level != Level::Table);
                found.extend(known.map(|estimate| (quantity, kind, estimate)));
            }
        }
        found
    }
}
