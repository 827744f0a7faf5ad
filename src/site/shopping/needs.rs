//! What a shopping list says of each thing to get, and of what there is of it.

use crate::care::mixes::{self, Ingredient, Recipe};
use crate::garden::model::Garden;
use crate::names::{folded, singular};
use crate::raising::seeds::SeedBox;
use crate::raising::shopping::feeding::{FeedNeed, lacking};
use crate::raising::shopping::potting::{MixNeed, PotNeed};
use crate::raising::shopping::{SeedNeed, Supply};
use crate::settings::stock::Stock;
use crate::site::amount::Amount;
use crate::site::batch::{about_middle, volumes};
use crate::site::frame::Link;
use crate::site::message::Message;
use crate::site::mixes::mix_path;
use crate::site::plantings::Span;
use crate::site::seed::PacketName;
use crate::site::tasks;
use crate::units::{self, Range, System, Volume, VolumeUnit};
use chrono::NaiveDate;
use serde::Serialize;

/// Seed for a sowing.
#[derive(Clone, Debug, PartialEq, Serialize)]
pub struct SeedRow {
    pub crop: Link,
    pub variety: Option<String>,
    pub planting: Link,
    /// When it is sown.
    pub when: Span,
    /// How many seeds, or that this cannot be told.
    pub seeds: Message,
    pub supply: Message,
    /// The packet they are in.
    pub packet: Option<PacketName>,
    /// Whether seed has to be got.
    pub is_lacking: bool,
}

/// Pots for a planting.
#[derive(Clone, Debug, PartialEq, Serialize)]
pub struct PotRow {
    pub pots: Message,
    pub planting: Link,
    /// About when.
    pub day: NaiveDate,
    /// The work they are for.
    pub stage: Message,
    /// The planting after whose pattern.
    pub like: Link,
    /// What is to be got, or that they are there.
    pub store: Message,
    /// Whether some have to be got.
    pub is_lacking: bool,
}

/// A potting mix.
#[derive(Clone, Debug, PartialEq, Serialize)]
pub struct MixRow {
    pub name: String,
    /// Its page, if it has a recipe.
    pub href: Option<String>,
    /// Containers that it is for.
    pub places: Vec<Link>,
    pub fill: Message,
    /// What goes into it; itself, without a recipe.
    pub ingredients: Vec<ToGet>,
}

/// Something that is needed.
#[derive(Clone, Debug, PartialEq, Serialize)]
pub struct ToGet {
    pub what: String,
    pub needed: Amount,
    /// What is to be got, or that it is there.
    pub store: Message,
    /// Whether something has to be got.
    pub is_lacking: bool,
}

/// A feed.
#[derive(Clone, Debug, PartialEq, Serialize)]
pub struct FeedRow {
    pub name: String,
    pub href: Option<String>,
    /// How many feedings, and how much of it they take.
    pub needed: Message,
    /// Feedings of which nobody wrote how much they took.
    pub untold: Option<Message>,
    /// What the store says.
    pub store: Message,
    /// Whether something has to be got.
    pub is_lacking: bool,
    pub plantings: Vec<Link>,
}

pub(super) fn seed_row(garden: &Garden, seeds: &SeedBox, need: &SeedNeed) -> SeedRow {
    let planting = garden.planting(need.planting);
    let (supply, packet) = match need.from {
        Supply::Enough(packet) => (Message::new("shopping.have"), Some(packet)),
        Supply::Unsure(packet) => (Message::new("shopping.have-packet"), Some(packet)),
        Supply::Nowhere => (Message::new("shopping.get"), None),
        Supply::Short(left) if left.number == Some(0) => (Message::new("shopping.used-up"), None),
        Supply::Short(left) => {
            let left = Amount::plants_as(left, "seeds").unwrap_or(Amount::count(0, "seeds"));
            (Message::new("shopping.get-seed").with("left", left), None)
        }
    };
    SeedRow {
        crop: Link::crop(garden, planting.crop),
        variety: planting.variety.clone().map(String::from),
        planting: Link::planting(garden, need.planting),
        when: Span::from(need.when),
        seeds: match need.seeds {
            Some(number) => {
                Message::new("value.amount").with("amount", Amount::seeds_to_sow(number))
            }
            None => Message::new("shopping.seeds-unknown"),
        },
        supply,
        packet: packet.map(|index| PacketName::new(garden, &seeds.packets[index])),
        is_lacking: matches!(need.from, Supply::Nowhere | Supply::Short(_)),
    }
}

/// Pots are taken from the store in the order of the list.
pub(super) fn pot_row(garden: &Garden, need: &PotNeed, kept: &mut [(String, u32)]) -> PotRow {
    let size = |text: &str| units::pot(text).ok();
    let is_it = |what: &str| match (size(what), size(&need.pot)) {
        (Some(one), Some(other)) => one == other,
        _ => singular(&folded(what)) == singular(&folded(&need.pot)),
    };
    let (mut there, mut lacking) = (0, need.number);
    for (_, number) in kept.iter_mut().filter(|(what, _)| is_it(what)) {
        there += *number;
        let taken = lacking.min(*number);
        *number -= taken;
        lacking -= taken;
    }
    let pots = |number: u32| Amount::whole(f64::from(number)).roughly();
    PotRow {
        pots: Message::new("shopping.pots")
            .with("number", pots(need.number))
            .with("pot", need.pot.as_str()),
        planting: Link::planting(garden, need.planting),
        day: need.day,
        stage: tasks::stage(need.stage),
        like: Link::planting(garden, need.like),
        store: match (lacking, there) {
            (0, _) => Message::new("shopping.have"),
            (_, 0) => Message::new("shopping.get"),
            _ => Message::new("shopping.get-more")
                .with("lacking", pots(lacking))
                .with("there", Amount::whole(f64::from(there))),
        },
        is_lacking: lacking > 0,
    }
}

pub(super) fn mix_row(
    garden: &Garden,
    need: &MixNeed,
    fill: Range<Volume>,
    places: Vec<Link>,
    store: &mut Vec<Stock>,
) -> MixRow {
    let system = garden.settings.units;
    let sheet = need.recipe.map(|index| &garden.mixes[index]);
    let batch = match sheet.and_then(Recipe::of) {
        Some(recipe) => recipe.batch(fill, store),
        None => mixes::as_it_is(&need.name, fill, store),
    };
    *store = mixes::used_up(&batch, store);
    MixRow {
        name: need.name.clone(),
        href: sheet.map(mix_path),
        places,
        fill: volumes(fill, system),
        ingredients: batch.ingredients.iter().map(|one| to_get(one, system)).collect(),
    }
}

/// What the store does not list is to be got.
fn to_get(ingredient: &Ingredient, system: System) -> ToGet {
    let measured = |volume| Amount::measured_volume(volume, system);
    let stored = ingredient.stored;
    let store = match stored.map(|stored| (stored.there, stored.lacking, stored.bags)) {
        None => Message::new("shopping.get"),
        Some((None, ..)) => Message::new("shopping.have-by-weight"),
        Some((Some(_), None, _)) => Message::new("shopping.have"),
        Some((Some(there), Some(lacking), None)) => Message::new("shopping.get-more")
            .with("there", measured(there))
            .with("lacking", measured(lacking)),
        Some((Some(there), Some(_), Some(bags))) => Message::new("shopping.get-bags")
            .with("there", measured(there))
            .with("count", u64::from(bags.number))
            .with("size", Amount::printed(units::Amount::Volume(bags.size), system)),
    };
    let is_there = stored.is_some_and(|stored| stored.lacking.is_none());
    ToGet {
        what: ingredient.what.clone(),
        needed: about_middle(ingredient.needed, system),
        store,
        is_lacking: !is_there,
    }
}

pub(super) fn feed_row(garden: &Garden, need: &FeedNeed) -> FeedRow {
    let system = garden.settings.units;
    let measured = |amount| Amount::measured(amount, system).roughly();
    let told = need.feedings - need.untold;
    let feedings = u64::from(if told > 0 { told } else { need.feedings });
    let is_ready = VolumeUnit::Litre.measure(need.ready) > 0.0;
    let needed = match need.product {
        Some(product) => Message::new("shopping.feed").with("product", measured(product)),
        None if is_ready => Message::new("shopping.feed-ready")
            .with("ready", Amount::measured_volume(need.ready, system).roughly()),
        None => Message::new("shopping.feed-untold"),
    };
    let lack = need.product.zip(need.stored).and_then(|(wanted, there)| lacking(wanted, there));
    let store = match (need.stored, need.product, lack) {
        (None, ..) => Message::new("shopping.get"),
        (Some(_), Some(_), None) => Message::new("shopping.have"),
        (Some(there), None, _) => {
            Message::new("shopping.have-some").with("there", Amount::measured(there, system))
        }
        (Some(there), _, Some(lack)) => Message::new("shopping.get-more")
            .with("there", Amount::measured(there, system))
            .with("lacking", measured(lack)),
    };
    FeedRow {
        name: need.name.clone(),
        href: need.sheet.map(|index| mix_path(&garden.mixes[index])),
        needed: needed.with("count", feedings),
        untold: (need.untold > 0 && need.untold < need.feedings).then(|| {
            Message::new("shopping.feed-some-untold").with("count", u64::from(need.untold))
        }),
        is_lacking: lack.is_some() || need.stored.is_none(),
        store,
        plantings: need.plantings.iter().map(|id| Link::planting(garden, *id)).collect(),
    }
}
