//! The list of mixes and feeds, and the page of each mix: its parts, and how much of each for what is filled with it.

use std::collections::BTreeMap;

use serde::Serialize;

use crate::care::feeds::Feed;
use crate::care::mixes::{self, Recipe};
use crate::charts::bucket::{self, Bucket};
use crate::findings::Findings;
use crate::garden::model::Garden;
use crate::garden::place::Place;
use crate::garden::planting::StepWord;
use crate::names;
use crate::sheets::mix::MixSheet;
use crate::site::amount::{Amount, decimals};
use crate::site::batch::{BatchView, about_middle, volumes};
use crate::site::feeds::{self, tenths};
use crate::site::frame::{Frame, Link, named};
use crate::site::message::Message;
use crate::site::mix_uses::{self, UseRow};
use crate::site::page::{Area, Page, Part};
use crate::units::{self, Fill, Pot, Range, System, Volume, VolumeUnit};

/// The list of mixes and feeds.
#[derive(Clone, Debug, PartialEq, Serialize)]
pub struct MixesView {
    pub frame: Frame,
    /// The mixes, by name.
    pub mixes: Vec<MixSummary>,
    /// The feeds, by name.
    pub feeds: Vec<FeedSummary>,
    /// What is in the store.
    pub stock: Vec<StockRow>,
}

/// A mix in a list.
#[derive(Clone, Debug, PartialEq, Serialize)]
pub struct MixSummary {
    pub link: Link,
    pub parts: Vec<PartRow>,
    /// How much the store is enough for.
    pub enough: Option<Message>,
}

/// A feed in a list.
#[derive(Clone, Debug, PartialEq, Serialize)]
pub struct FeedSummary {
    pub link: Link,
    /// What the label says, the nutrients that are in it.
    pub label: Vec<Message>,
    /// The label's dose.
    pub dose: Option<Message>,
}

/// Something in the store.
#[derive(Clone, Debug, PartialEq, Serialize)]
pub struct StockRow {
    pub what: String,
    pub amount: Amount,
    /// What it is sold in.
    pub bag: Option<Amount>,
}

/// An ingredient with its parts.
#[derive(Clone, Debug, PartialEq, Serialize)]
pub struct PartRow {
    pub what: String,
    pub parts: Amount,
    /// The share of the whole.
    pub share: Amount,
}

/// The page of a mix.
#[derive(Clone, Debug, PartialEq, Serialize)]
pub struct MixView {
    pub frame: Frame,
    /// A description, as Markdown.
    pub prose: String,
    pub parts: Vec<PartRow>,
    /// Its parts as layers of a bucket.
    pub bucket: Bucket,
    /// How much of its volume it loses by settling.
    pub settles: Option<Amount>,
    /// How much the store is enough for.
    pub enough: Option<Message>,
    /// What goes into what is filled with it.
    pub fills: Vec<FillRow>,
    /// Whether one of the fills is of pots whose width alone is known.
    pub has_pots: bool,
    /// All places that hold it, filled anew, against the store.
    pub anew: Option<BatchView>,
    /// Its newest uses.
    pub uses: Vec<UseRow>,
    /// How many uses there are besides.
    pub more_uses: u64,
}

/// Something that is filled with a mix.
#[derive(Clone, Debug, PartialEq, Serialize)]
pub struct FillRow {
    pub what: Message,
    /// Its page, if it has one.
    pub link: Option<Link>,
    /// What it takes.
    pub fill: Message,
    /// What is to be mixed.
    pub loose: Amount,
    /// How much of each ingredient.
    pub needed: Vec<Amount>,
}

impl Page for MixesView {
    type Key = ();

    const PART: Part = Part { key: "mixes", href: "mixes/index.html", area: Area::More };
    const TEMPLATE: &'static str = "mixes.html";

    fn keys(_: &Garden) -> Vec<()> {
        vec![()]
    }

    fn view(garden: &Garden, _: &Findings, (): &()) -> Self {
        let system = garden.settings.units;
        let mut mixes = Vec::new();
        let mut feeds = Vec::new();
        for sheet in &garden.mixes {
            let link = Link::mix(sheet);
            if let Some(recipe) = Recipe::of(sheet) {
                let enough = enough(garden, &recipe);
                mixes.push(MixSummary { link, parts: part_rows(&recipe), enough });
            } else if let Some(feed) = Feed::of(sheet) {
                let label = feeds::label(&feed);
                feeds.push(FeedSummary { link, label, dose: feeds::dose(&feed, system) });
            }
        }
        mixes.sort_by(|a, b| a.link.cmp(&b.link));
        feeds.sort_by(|a, b| a.link.cmp(&b.link));
        let stock = garden.settings.stock.iter().map(|line| StockRow {
            what: line.what.value.clone(),
            amount: Amount::measured(line.amount, system),
            bag: line.bag.map(|bag| Amount::printed(bag, system)),
        });
        MixesView {
            frame: Frame::new::<Self>(garden, &(), Message::new("part.mixes")),
            mixes,
            feeds,
            stock: stock.collect(),
        }
    }
}

/// The page of a mix or a feed.
pub fn mix_path(sheet: &MixSheet) -> String {
    format!("mixes/{}/index.html", names::slug(&sheet.name.value))
}

impl Page for MixView {
    type Key = usize;

    const PART: Part = MixesView::PART;
    const TEMPLATE: &'static str = "mix.html";

    /// The place of each mix among the sheets of mixes and feeds.
    fn keys(garden: &Garden) -> Vec<usize> {
        (0..garden.mixes.len())
            .filter(|index| Recipe::of(&garden.mixes[*index]).is_some())
            .collect()
    }

    fn path(garden: &Garden, &index: &usize) -> String {
        mix_path(&garden.mixes[index])
    }

    fn view(garden: &Garden, _: &Findings, &index: &usize) -> Self {
        let sheet = &garden.mixes[index];
        let recipe = Recipe::of(sheet).expect("a key is that of a mix");
        let system = garden.settings.units;
        let stock = &garden.settings.stock;
        let places: Vec<(&Place, Range<Volume>)> = garden
            .places
            .iter()
            .filter(|place| place.soil.as_ref().is_some_and(|soil| mixes::is_called(sheet, soil)))
            .filter_map(|place| Some((place, mixes::to_fill_place(place)?)))
            .collect();
        let pots = pots_of_season(garden, sheet);
        let has_pots = pots.iter().any(|(pot, _)| matches!(pot.1, Pot::Across(_)));
        let fills = place_rows(garden, &recipe, &places)
            .chain(pots.iter().map(|(pot, count)| pot_row(&recipe, pot, *count, system)))
            .chain(buckets(system).map(|bucket| bucket_row(&recipe, bucket, system)));
        let anew = places.iter().map(|(_, fill)| *fill).reduce(mixes::and);
        let (uses, more_uses) = mix_uses::of(garden, sheet);
        MixView {
            frame: Frame::new::<Self>(garden, &index, named(&sheet.name.value)),
            prose: sheet.prose.trim().to_owned(),
            parts: part_rows(&recipe),
            bucket: bucket::layers(&recipe.shares().map(|(_, share)| share).collect::<Vec<_>>()),
            settles: (recipe.settles() > 0.0).then(|| Amount::percent(recipe.settles())),
            enough: enough(garden, &recipe),
            fills: fills.collect(),
            has_pots,
            anew: anew.map(|fill| BatchView::new(&recipe, fill, stock, system)),
            uses,
            more_uses,
        }
    }
}

fn part_rows(recipe: &Recipe<'_>) -> Vec<PartRow> {
    let rows = recipe.parts().zip(recipe.shares());
    let row = |((what, parts), (_, share)): ((&str, f64), (&str, f64))| {
        let number = decimals(parts, 2);
        let number = number.trim_end_matches('0').trim_end_matches('.').to_owned();
        PartRow {
            what: what.to_owned(),
            parts: Amount { number, unit: "parts".to_owned(), about: false },
            share: tenths(share * 100.0, "%"),
        }
    };
    rows.map(row).collect()
}

fn enough(garden: &Garden, recipe: &Recipe<'_>) -> Option<Message> {
    let system = garden.settings.units;
    let enough = recipe.enough_for(&garden.settings.stock)?;
    let sentence = Message::new("mix.enough")
        .with("fill", Amount::measured_volume(enough.fill, system))
        .with("what", enough.runs_out);
    Some(sentence)
}

fn place_rows<'a>(
    garden: &'a Garden,
    recipe: &'a Recipe<'_>,
    places: &'a [(&Place, Range<Volume>)],
) -> impl Iterator<Item = FillRow> + 'a {
    places.iter().map(move |(place, fill)| {
        let what = match place.containers {
            Some(count) => Message::new("mix.containers").with("count", u64::from(count)),
            None => Message::new(format!("kind.{}", place.kind.word())),
        };
        let link = garden.find_place(&place.slug).map(|id| Link::place(garden, id));
        fill_row(recipe, what, link, *fill, garden.settings.units)
    })
}

/// A pot in the grower's words, and as it was understood.
type NamedPot = (String, Pot);

/// The pots that plants went into with this mix in this season, and how many of each.
fn pots_of_season(garden: &Garden, sheet: &MixSheet) -> Vec<(NamedPot, u32)> {
    let season = garden.season().days;
    let mut pots: BTreeMap<String, u32> = BTreeMap::new();
    for step in garden.plantings().flat_map(|(_, planting)| &planting.history) {
        let word = |wanted: StepWord| {
            step.words.iter().find(|(word, _)| *word == wanted).map(|(_, text)| text.as_str())
        };
        let is_it = word(StepWord::Mix).is_some_and(|mix| mixes::is_called(sheet, mix));
        let count = step.count.and_then(|plants| plants.number);
        if let (true, true, Some(pot), Some(count)) =
            (is_it, season.contains(step.date), word(StepWord::Pot), count)
        {
            *pots.entry(pot.to_owned()).or_default() += count;
        }
    }
    let read =
        |(text, count): (String, u32)| Some(((text.clone(), units::pot(&text).ok()?), count));
    pots.into_iter().filter_map(read).collect()
}

fn pot_row(recipe: &Recipe<'_>, (text, pot): &NamedPot, count: u32, system: System) -> FillRow {
    let what = Message::new("mix.pots").with("count", u64::from(count)).with("pot", text.as_str());
    fill_row(recipe, what, None, mixes::to_fill(Fill::Pots { count, pot: *pot }), system)
}

/// Amounts that are mixed at a time: in a bucket, in a barrow.
fn buckets(system: System) -> impl Iterator<Item = Volume> {
    let sizes = match system {
        System::Metric => [VolumeUnit::Litre.of(10.0), VolumeUnit::Litre.of(50.0)],
        System::Us => [VolumeUnit::Gallon.of(2.5), VolumeUnit::Gallon.of(15.0)],
    };
    sizes.into_iter()
}

fn bucket_row(recipe: &Recipe<'_>, volume: Volume, system: System) -> FillRow {
    fill_row(recipe, Message::new("mix.other"), None, Range::single(volume), system)
}

fn fill_row(
    recipe: &Recipe<'_>,
    what: Message,
    link: Option<Link>,
    fill: Range<Volume>,
    system: System,
) -> FillRow {
    let batch = recipe.batch(fill, &[]);
    FillRow {
        what,
        link,
        fill: volumes(batch.fill, system),
        loose: about_middle(batch.loose, system),
        needed: batch.ingredients.iter().map(|one| about_middle(one.needed, system)).collect(),
    }
}
