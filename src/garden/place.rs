//! A place: a bed, a container, a tray, a shelf, a glasshouse, open ground.

use crate::place_kind::{Cover, PlaceKind};
use crate::units::{Area, AreaUnit, Celsius, Length, LengthUnit, Range, Volume, VolumeUnit};

/// Which place, as an index into the garden's places.
#[derive(Clone, Copy, Debug, PartialEq, Eq, PartialOrd, Ord, Hash)]
pub struct PlaceId(pub usize);

/// A place where plants stand.
#[derive(Clone, Debug)]
pub struct Place {
    /// Its name.
    pub name: String,
    /// Its page address.
    pub slug: String,
    /// What it is.
    pub kind: PlaceKind,
    /// Its surface, if its sizes tell.
    pub area: Option<Area>,
    /// The soil or mix it holds, if its sizes tell.
    pub soil_volume: Option<Volume>,
    /// How many containers, if it is made of containers.
    pub containers: Option<u32>,
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

/// The volume of a container filled to its rim: a frustum of a cone, a box, or as given.
///
/// `V = π h / 12 (D² + D d + d²)`, the frustum of a right circular cone (any handbook of mensuration).
pub fn container_volume(
    diameter: Option<Length>,
    bottom: Option<Length>,
    height: Option<Length>,
    sides: Option<(Length, Length)>,
) -> Option<Volume> {
    let metres = |length: Length| LengthUnit::Metre.measure(length);
    let height = metres(height?);
    let cubic_metres = match (diameter, sides) {
        (Some(diameter), _) => {
            let top = metres(diameter);
            let bottom = bottom.map_or(top, metres);
            std::f64::consts::PI * height / 12.0 * (top * top + top * bottom + bottom * bottom)
        }
        (None, Some((length, width))) => metres(length) * metres(width) * height,
        (None, None) => return None,
    };
    Some(VolumeUnit::Litre.of(cubic_metres * 1000.0))
}

/// Length times width.
pub fn rectangle(length: Option<Length>, width: Option<Length>) -> Option<Area> {
    let metres = |length: Length| LengthUnit::Metre.measure(length);
    Some(AreaUnit::SquareMetre.of(metres(length?) * metres(width?)))
}

/// The surface of a round container.
pub fn disc(diameter: Length) -> Area {
    let radius = LengthUnit::Metre.measure(diameter) / 2.0;
    AreaUnit::SquareMetre.of(std::f64::consts::PI * radius * radius)
}
