//! A place: a bed, a container, a tray, a shelf, a glasshouse, open ground.

use crate::garden::vessel::Vessel;
use crate::place_kind::{Cover, PlaceKind};
use crate::units::{Area, Celsius, Length, Range, Volume};

/// Which place, as an index into the garden's places.
#[derive(Clone, Copy, Debug, PartialEq, Eq, PartialOrd, Ord, Hash)]
pub struct PlaceId(pub usize);

/// A place where plants stand.
#[derive(Clone, Debug)]
pub struct Place {
    pub name: String,
    pub slug: String,
    pub kind: PlaceKind,
    /// Length and width of soil that is a rectangle, if both are known.
    pub sides: Option<[Length; 2]>,
    /// Its surface, if its sizes tell.
    pub area: Option<Area>,
    /// The soil or mix it holds, if its sizes tell.
    pub soil_volume: Option<Volume>,
    /// How many containers, if it is made of containers.
    pub containers: Option<u32>,
    /// One of its containers, if it is made of containers and one is known.
    pub vessel: Option<Vessel>,
    /// How deep the soil is, or how high a container stands.
    pub depth: Option<Length>,
    /// How many trays fit.
    pub trays: Option<u32>,
    /// How many cells, if it is made of trays.
    pub cells: Option<u32>,
    /// Hours of sun.
    pub sun_h: Option<f64>,
    /// What is over it.
    pub cover: Cover,
    /// Where it is heated or indoors.
    pub temperature: Option<Range<Celsius>>,
    /// Whether a timer waters it.
    pub is_on_timer: bool,
    /// What it is filled with, in the grower's words.
    pub soil: Option<String>,
    /// Families grown here before the journal began, by year, as the grower wrote them.
    pub family_history: Vec<(u32, Vec<String>)>,
    /// A description, as Markdown.
    pub prose: String,
}

impl Place {
    /// Whether the air over it is that of outdoors: no glass, no roof. Fleece lets it through.
    pub fn is_outdoors(&self) -> bool {
        let is_open = matches!(self.cover, Cover::None | Cover::Fleece);
        is_open && !matches!(self.kind, PlaceKind::Glasshouse | PlaceKind::Shelf)
    }
}
