//! The list of places, and the page of each: its size, who stands there, who stood there.

use chrono::NaiveDate;
use serde::Serialize;

use crate::care::mixes;
use crate::dates::Period;
use crate::findings::Findings;
use crate::garden::model::Garden;
use crate::garden::place::{Place, PlaceId};
use crate::garden::planting::PlantingId;
use crate::garden::planting_names::Around;
use crate::place_kind::Cover;
use crate::sheets::mix::MixSheet;
use crate::site::amount::Amount;
use crate::site::bench::BenchView;
use crate::site::came_of_it::PlaceYields;
use crate::site::frame::{EntryLink, Frame, Link, named};
use crate::site::ground_plan::{self, GroundPlanView};
use crate::site::growth_lines::{self, GrowthView};
use crate::site::message::Message;
use crate::site::page::{Area, Page, Part};
use crate::site::place_season::PlaceSeasonView;
use crate::site::place_use::{self, CrowdView, UseView};
use crate::site::plantings::PlantingSummary;
use crate::site::rooting::{self, SmallRow};
use crate::site::seasons;
use crate::site::tasks;
use crate::site::timeline::{self, PlaceLines};
use crate::site::water::PlaceWaterView;

/// The list of places.
#[derive(Clone, Debug, PartialEq, Serialize)]
pub struct PlacesView {
    pub frame: Frame,
    pub places: Vec<PlaceSummary>,
}

/// A place in a list.
#[derive(Clone, Debug, PartialEq, Serialize)]
pub struct PlaceSummary {
    pub link: Link,
    pub kind: Message,
    /// Its surface.
    pub area: Option<Amount>,
    /// The soil or mix it holds.
    pub soil_volume: Option<Amount>,
    pub containers: Option<Amount>,
    /// Who stands there now.
    pub now: Vec<Link>,
    /// Times in which more is wanted than there is.
    pub crowds: Vec<CrowdView>,
}

/// The page of a place.
#[derive(Clone, Debug, PartialEq, Serialize)]
pub struct PlaceView {
    pub frame: Frame,
    /// What stands in the list, too.
    pub summary: PlaceSummary,
    /// A description, as Markdown.
    pub prose: String,
    /// Sun, cover, temperature, soil, watering.
    pub facts: Vec<Fact>,
    /// The mix it is filled with, if it has a page.
    pub mix: Option<Link>,
    /// Plantings whose containers are too small for them.
    pub small: Vec<SmallRow>,
    /// The place from above, with who stands there.
    pub plan: Option<GroundPlanView>,
    /// Who stands there now.
    pub growing: Vec<PlantingSummary>,
    /// How much water they take.
    pub water: Option<PlaceWaterView>,
    /// Room for raising plants, week by week.
    pub bench: Option<BenchView>,
    /// How it is used.
    pub usage: UseView,
    /// Who was, is and shall be there, on strips and as a table.
    pub lines: Option<PlaceLines>,
    /// This season's plantings as lines.
    pub year: Option<GrowthView>,
    pub came_of_it: Option<PlaceYields>,
    /// Work done to the place itself in the last seasons, newest first.
    pub care: Vec<PlaceCare>,
    /// Seasons before those, newest first.
    pub older: Vec<Link>,
}

/// Something about a place.
#[derive(Clone, Debug, PartialEq, Serialize)]
pub struct Fact {
    pub what: Message,
    pub value: Message,
}

/// Work done to a place.
#[derive(Clone, Debug, PartialEq, Serialize)]
pub struct PlaceCare {
    pub date: NaiveDate,
    pub what: Message,
    pub amount: Option<Amount>,
    /// The entry it is written in.
    pub entry: Option<EntryLink>,
}

impl Page for PlacesView {
    type Key = ();

    const PART: Part = Part { key: "places", href: "places/index.html", area: Area::Growing };
    const TEMPLATE: &'static str = "places.html";

    fn keys(_: &Garden) -> Vec<()> {
        vec![()]
    }

    fn view(garden: &Garden, findings: &Findings, (): &()) -> Self {
        let mut places: Vec<_> = garden
            .places()
            .map(|(id, place)| PlaceSummary::new(garden, findings, id, place))
            .collect();
        places.sort_by(|a, b| a.link.cmp(&b.link));
        let title = Message::new("part.places");
        PlacesView { frame: Frame::new::<Self>(garden, &(), title), places }
    }
}

impl PlaceSummary {
    fn new(garden: &Garden, findings: &Findings, id: PlaceId, place: &Place) -> PlaceSummary {
        let system = garden.settings.units;
        PlaceSummary {
            link: Link::place(garden, id),
            kind: Message::new(format!("kind.{}", place.kind.word())),
            area: place.area.map(|area| Amount::area(area, system)),
            soil_volume: place.soil_volume.map(|volume| Amount::volume(volume, system)),
            containers: place.containers.map(|number| Amount::count(number, "containers")),
            now: standing_in(garden, id)
                .map(|one| Link::planting_around(garden, one, Around::Place(id)))
                .collect(),
            crowds: place_use::crowds(garden, findings.place_of(id)),
        }
    }
}

/// Plantings that stand in a place on the garden's day.
fn standing_in(garden: &Garden, place: PlaceId) -> impl Iterator<Item = PlantingId> {
    garden
        .plantings()
        .filter(move |(_, planting)| {
            planting.is_growing() && planting.places_on(garden.today).contains(&place)
        })
        .map(|(id, _)| id)
}

impl Page for PlaceView {
    type Key = PlaceId;

    const PART: Part = PlacesView::PART;
    const TEMPLATE: &'static str = "place.html";

    fn keys(garden: &Garden) -> Vec<PlaceId> {
        garden.places().map(|(id, _)| id).collect()
    }

    fn path(garden: &Garden, &id: &PlaceId) -> String {
        format!("places/{}/index.html", garden.place(id).slug)
    }

    fn view(garden: &Garden, findings: &Findings, &id: &PlaceId) -> Self {
        let place = garden.place(id);
        PlaceView {
            frame: Frame::new::<Self>(garden, &id, named(&place.name)),
            summary: PlaceSummary::new(garden, findings, id, place),
            prose: place.prose.clone(),
            facts: facts(garden, place),
            mix: mix(garden, place).map(Link::mix),
            small: rooting::small_in(garden, findings, id),
            plan: ground_plan::of_place(garden, findings, id),
            growing: standing_in(garden, id)
                .map(|one| PlantingSummary::around(garden, findings, one, Around::Place(id)))
                .collect(),
            water: PlaceWaterView::new(garden, findings, id),
            bench: BenchView::new(garden, findings, id),
            usage: UseView::new(garden, findings, id),
            lines: timeline::lines(garden, findings, id),
            year: growth_lines::of_place(garden, findings, id),
            came_of_it: PlaceYields::new(garden, findings, id),
            care: care(garden, id, seasons::near(garden, garden.today)),
            older: PlaceSeasonView::links(garden, id),
        }
    }
}

/// Work done to a place on some days, newest first.
pub(super) fn care(garden: &Garden, id: PlaceId, days: Period) -> Vec<PlaceCare> {
    let care = garden.care_in(id).rev();
    care.filter(|care| days.contains(care.date))
        .map(|care| PlaceCare {
            date: care.date,
            what: tasks::job_with(&care.did, care.shown_with()),
            amount: care
                .amount
                .or(care.each)
                .map(|amount| Amount::of_care(amount, garden.settings.units)),
            entry: care.source.entry.and_then(|entry| Link::entry(garden, entry)),
        })
        .collect()
}

fn mix<'a>(garden: &'a Garden, place: &Place) -> Option<&'a MixSheet> {
    mixes::find(garden, place.soil.as_ref()?)
}

fn facts(garden: &Garden, place: &Place) -> Vec<Fact> {
    let system = garden.settings.units;
    let mut facts = Vec::new();
    let mut add = |key: &str, value: Option<Message>| {
        if let Some(value) = value {
            facts.push(Fact { what: Message::new(format!("fact.{key}")), value });
        }
    };
    let amount = |amount: Amount| Message::new("value.amount").with("amount", amount);
    add("container", rooting::container(place, system));
    add("sun", place.sun_h.map(|hours| amount(Amount::hours(hours))));
    let cover = match place.cover {
        Cover::None => None,
        Cover::Fleece => Some("cover.fleece"),
        Cover::Glass => Some("cover.glass"),
        Cover::Indoors => Some("cover.indoors"),
    };
    add("cover", cover.map(Message::new));
    let temperature = place.temperature.map(|range| {
        Message::new("value.range")
            .with("from", Amount::temperature(range.low, system))
            .with("to", Amount::temperature(range.high, system))
    });
    add("temperature", temperature);
    let soil = place.soil.as_ref().filter(|_| mix(garden, place).is_none());
    add("soil", soil.map(|soil| Message::new("title.name").with("name", soil.as_str())));
    add("watered", place.is_on_timer.then(|| Message::new("watered.timer")));
    add("cells", place.cells.map(|cells| amount(Amount::count(cells, "cells"))));
    facts
}
