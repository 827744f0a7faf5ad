//! The page of a feed: what a dose gives, and how much goes into a can.

use serde::Serialize;

use crate::care::feeds::{Element, Feed, Unknown, times};
use crate::findings::Findings;
use crate::garden::model::Garden;
use crate::sheets::mix::MixSheet;
use crate::site::amount::{Amount, decimals};
use crate::site::frame::{Frame, Link, named};
use crate::site::message::Message;
use crate::site::mix_uses::{self, UseRow};
use crate::site::mixes::{MixesView, mix_path};
use crate::site::page::{Page, Part};
use crate::site::tasks;
use crate::units::{self, System, Volume, VolumeUnit};

/// The page of a feed.
#[derive(Clone, Debug, PartialEq, Serialize)]
pub struct FeedView {
    pub frame: Frame,
    /// A description, as Markdown.
    pub prose: String,
    /// What the label says.
    pub label: Vec<Message>,
    /// The label's dose.
    pub dose: Option<Message>,
    /// What a dose gives of each element.
    pub gives: Vec<GiveRow>,
    /// Why that cannot be said.
    pub unknown: Option<Message>,
    /// What goes into usual cans.
    pub cans: Vec<CanRow>,
    /// What goes into a can for a wanted strength.
    pub strengths: Vec<StrengthRow>,
    /// The can of that table.
    pub can: Amount,
    /// Which element those strengths are of.
    pub leading: Option<Message>,
    /// Stock solution for an injector.
    pub stock: Option<Message>,
    /// Whether it is a feed for magnesium and nothing else that plants are fed for.
    pub is_supplement: bool,
    /// Plantings for which it comes up next.
    pub coming: Vec<Link>,
    /// Its newest uses.
    pub uses: Vec<UseRow>,
    /// How many uses there are besides.
    pub more_uses: u64,
}

/// What a dose gives of an element.
#[derive(Clone, Debug, PartialEq, Serialize)]
pub struct GiveRow {
    pub element: Message,
    /// In the concentrate, per cent by weight.
    pub percent: Amount,
    /// At the label's dose.
    pub full: Amount,
    pub half: Amount,
}

/// What goes into a can.
#[derive(Clone, Debug, PartialEq, Serialize)]
pub struct CanRow {
    pub water: Amount,
    /// The label's dose.
    pub full: Amount,
    pub half: Amount,
}

/// What goes into a can for a wanted strength.
#[derive(Clone, Debug, PartialEq, Serialize)]
pub struct StrengthRow {
    pub strength: Amount,
    /// What goes in.
    pub amount: Amount,
}

/// What goes into so much water, for a command.
#[derive(Clone, Debug, PartialEq, Serialize)]
pub struct DoseView {
    pub water: Amount,
    /// The label's dose, and half of it; nothing if the sheet has no dose.
    pub dose: Option<(Amount, Amount)>,
    /// Whether it is a supplement.
    pub is_supplement: bool,
}

/// Nitrogen at each watering under glass: 150 to 250 mg/L are often recommended (UMass Extension, 'Fertilizer Calculations
/// for Greenhouse Crops'); weaker steps for young plants and for pots outdoors are common practice.
const STRENGTHS_MG_PER_L: [f64; 4] = [50.0, 100.0, 150.0, 200.0];

/// The setting of most injectors.
const INJECTOR: u32 = 100;

impl Page for FeedView {
    type Key = usize;

    const PART: Part = MixesView::PART;
    const TEMPLATE: &'static str = "feed.html";

    /// The place of each feed among the sheets of mixes and feeds.
    fn keys(garden: &Garden) -> Vec<usize> {
        (0..garden.mixes.len()).filter(|index| Feed::of(&garden.mixes[*index]).is_some()).collect()
    }

    fn path(garden: &Garden, &index: &usize) -> String {
        mix_path(&garden.mixes[index])
    }

    fn view(garden: &Garden, findings: &Findings, &index: &usize) -> Self {
        let sheet = &garden.mixes[index];
        let feed = Feed::of(sheet).expect("a key is that of a feed");
        let system = garden.settings.units;
        let is_supplement = is_supplement(&feed);
        // No strength is offered of what is only given where it lacks, at the label's rate.
        let leading = feed.leading().filter(|element| *element == Element::Nitrogen);
        let (can_volume, can) = can(system);
        let (uses, more_uses) = mix_uses::of(garden, sheet);
        let strength = |mg_per_l: f64| {
            let amount = feed.for_strength(leading?, mg_per_l, can_volume).ok()?;
            Some(StrengthRow {
                strength: mg_per_litre(mg_per_l),
                amount: Amount::measured(amount, system),
            })
        };
        FeedView {
            frame: Frame::new::<Self>(garden, &index, named(&sheet.name.value)),
            prose: sheet.prose.trim().to_owned(),
            label: label(&feed),
            dose: dose(&feed, system),
            gives: gives(&feed),
            unknown: unknown(&feed),
            cans: cans(&feed, system),
            strengths: STRENGTHS_MG_PER_L.into_iter().filter_map(strength).collect(),
            can,
            leading: leading.map(element),
            stock: stock(&feed, system).filter(|_| !is_supplement),
            is_supplement,
            coming: tasks::plantings_to_feed(garden, &findings.tasks, sheet),
            uses,
            more_uses,
        }
    }
}

impl DoseView {
    /// What goes into so much water; nothing for a mix.
    pub fn new(sheet: &MixSheet, water: Volume, system: System) -> Option<DoseView> {
        let feed = Feed::of(sheet)?;
        let measured = |amount| Amount::measured(amount, system);
        let dose = feed.for_water(water).ok();
        Some(DoseView {
            water: Amount::measured_volume(water, system),
            dose: dose.map(|amount| (measured(amount), measured(times(amount, 0.5)))),
            is_supplement: is_supplement(&feed),
        })
    }
}

/// The label's figures of what is in it, in their order.
pub(super) fn label(feed: &Feed<'_>) -> Vec<Message> {
    let label = feed.label();
    [
        ("n", label.n),
        ("p2o5", label.p2o5),
        ("k2o", label.k2o),
        ("mgo", label.mgo),
        ("mg", label.mg),
        ("so3", label.so3),
        ("s", label.s),
    ]
    .into_iter()
    .filter(|(_, percent)| *percent > 0.0)
    .map(|(key, percent)| Message::new(format!("label.{key}")).with("amount", tenths(percent, "%")))
    .collect()
}

/// `25 ml in 5 L of water`, as the label has it.
pub(super) fn dose(feed: &Feed<'_>, system: System) -> Option<Message> {
    let dose = feed.dose()?;
    let sentence = Message::new("feed.dose")
        .with("amount", Amount::printed(dose.amount, system))
        .with("water", Amount::printed(units::Amount::Volume(dose.per), system));
    Some(sentence)
}

/// Magnesium without nitrogen, phosphate and potash.
fn is_supplement(feed: &Feed<'_>) -> bool {
    feed.leading() == Some(Element::Magnesium)
}

fn gives(feed: &Feed<'_>) -> Vec<GiveRow> {
    let row = |which: Element| {
        let full = feed.strength(which).ok()?;
        Some(GiveRow {
            element: element(which),
            percent: tenths(feed.percent(which), "%"),
            full: mg_per_litre(full),
            half: mg_per_litre(full / 2.0),
        })
    };
    feed.elements().filter_map(row).collect()
}

fn unknown(feed: &Feed<'_>) -> Option<Message> {
    match feed.strength(feed.leading()?) {
        Ok(_) => None,
        Err(Unknown::NoDensity) => Some(Message::new("feed.no-density")),
        Err(Unknown::NoDose | Unknown::NotInIt | Unknown::TooThin) => {
            Some(Message::new("feed.no-dose"))
        }
    }
}

fn cans(feed: &Feed<'_>, system: System) -> Vec<CanRow> {
    let sizes = match system {
        System::Metric => [1.0, 5.0, 10.0, 15.0].map(|litres| VolumeUnit::Litre.of(litres)),
        System::Us => [0.25, 1.0, 2.0, 5.0].map(|gallons| VolumeUnit::Gallon.of(gallons)),
    };
    let measured = |amount: units::Amount| Amount::measured(amount, system);
    let row = |water: Volume| {
        let amount = feed.for_water(water).ok()?;
        Some(CanRow {
            water: Amount::measured_volume(water, system),
            full: measured(amount),
            half: measured(times(amount, 0.5)),
        })
    };
    sizes.into_iter().filter_map(row).collect()
}

fn stock(feed: &Feed<'_>, system: System) -> Option<Message> {
    let one = match system {
        System::Metric => VolumeUnit::Litre.of(1.0),
        System::Us => VolumeUnit::Gallon.of(1.0),
    };
    let amount = feed.for_stock_solution(one, INJECTOR).ok()?;
    let sentence = Message::new("feed.stock")
        .with("ratio", u64::from(INJECTOR))
        .with("amount", Amount::measured(amount, system))
        .with("stock", Amount::measured_volume(one, system));
    Some(sentence)
}

fn can(system: System) -> (Volume, Amount) {
    let volume = match system {
        System::Metric => VolumeUnit::Litre.of(10.0),
        System::Us => VolumeUnit::Gallon.of(2.0),
    };
    (volume, Amount::measured_volume(volume, system))
}

fn element(element: Element) -> Message {
    Message::new(format!("element.{}", element.symbol()))
}

/// To a whole milligram; to a tenth where it is so little.
fn mg_per_litre(strength: f64) -> Amount {
    let number = if strength < 10.0 { decimals(strength, 1) } else { decimals(strength, 0) };
    Amount { number, unit: "mg/L".to_owned(), about: false }
}

/// To a tenth, without a zero behind the point.
pub(super) fn tenths(value: f64, unit: &str) -> Amount {
    let number = decimals(value, 1);
    let number = number.strip_suffix(".0").map_or(number.clone(), str::to_owned);
    Amount { number, unit: unit.to_owned(), about: false }
}
