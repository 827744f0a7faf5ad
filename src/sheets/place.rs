//! A bed, a container, a tray, a shelf, a glasshouse: where plants stand.

use crate::diagnostics::codes::Code;
use crate::diagnostics::problem::{Problem, Problems};
use crate::diagnostics::words;
use crate::origin::Written;
use crate::place_kind::{Cover, NurseryClass, PlaceKind, VesselShape};
use crate::source::announced::{Sheet, read_sheet};
use crate::source::fields::Fields;
use crate::source::files::File;
use crate::source::front_matter::{Map, Value};
use crate::source::nodes::{read_node, text_of};
use crate::units::{self, Celsius, Length, Range, Volume};

/// A place as written.
#[derive(Clone, Debug)]
pub struct PlaceSheet {
    pub name: Written<String>,
    /// The file's name without its ending, by which it may also be called.
    pub stem: String,
    pub kind: Option<PlaceKind>,
    /// Inside, along the longer side.
    pub length: Option<Length>,
    /// Inside, along the shorter side.
    pub width: Option<Length>,
    /// Of the soil.
    pub depth: Option<Length>,
    /// How many containers of this size stand here.
    pub containers: Option<u32>,
    /// Across the top.
    pub diameter: Option<Length>,
    /// Across the bottom, where it tapers.
    pub bottom_diameter: Option<Length>,
    /// From bottom to rim.
    pub height: Option<Length>,
    /// The shape of a container, where its sizes do not tell.
    pub shape: Option<VesselShape>,
    /// How high the mix stands in a container.
    pub filled_to: Option<Length>,
    /// Of one container, if given instead of its sizes.
    pub volume: Option<Volume>,
    /// The class a container was sold as, if nothing better is known of it.
    pub nursery_class: Option<NurseryClass>,
    /// How many trays fit here.
    pub trays: Option<u32>,
    /// Cells in a tray.
    pub cells: Option<u32>,
    /// Hours of sun on a clear day of the season.
    pub sun_h: Option<f64>,
    /// What is over it.
    pub cover: Cover,
    /// Where it is heated or indoors.
    pub temperature: Option<Range<Celsius>>,
    /// Whether a timer waters it.
    pub is_on_timer: bool,
    /// A mix, or a kind of soil.
    pub soil: Option<Written<String>>,
    /// Families grown here before the journal began, with the year.
    pub family_history: Vec<(u32, Vec<Written<String>>)>,
    /// The text below the front matter.
    pub prose: String,
}

/// Reads one file of `places/`.
pub fn read_place(file: &File, problems: &mut Problems) -> Sheet<PlaceSheet> {
    read_sheet(file, problems, read_fields)
}

fn read_fields(file: &File, map: &Map, prose: &str, problems: &mut Problems) -> Option<PlaceSheet> {
    let mut fields = Fields::new(map, "a place", problems);
    let name = fields.name("name", problems);
    let name = fields.demand("name", name, file.stem());
    let kind = fields.word("kind", PlaceKind::ALL, problems);
    let kind = fields.demand("kind", kind, "bed");
    let length = |key: &'static str, fields: &mut Fields<'_>, problems: &mut Problems| {
        fields.read(key, problems, units::length).map(|length| length.value)
    };
    let long = length("length", &mut fields, problems);
    let width = length("width", &mut fields, problems);
    let depth = length("depth", &mut fields, problems);
    let diameter = length("diameter", &mut fields, problems);
    let bottom_diameter = length("bottom-diameter", &mut fields, problems);
    let height = length("height", &mut fields, problems);
    let whole = |key: &'static str, fields: &mut Fields<'_>, problems: &mut Problems| {
        fields.whole(key, problems).map(|number| number.value)
    };
    let containers = whole("containers", &mut fields, problems);
    let trays = whole("trays", &mut fields, problems);
    let cells = whole("cells", &mut fields, problems);
    let volume = fields.read("volume", problems, units::volume).map(|volume| volume.value);
    let shape = fields.word("shape", VesselShape::ALL, problems).map(|shape| shape.value);
    let filled_to = length("filled-to", &mut fields, problems);
    let class = fields.text("nursery-class", problems).and_then(|text| class_of(&text, problems));
    let sun = fields.read("sun", problems, units::sun_hours).map(|sun| sun.value.0);
    let cover = fields.word("cover", Cover::ALL, problems).map_or(Cover::None, |cover| cover.value);
    let temperature = fields.read("temperature", problems, units::temperature_range);
    let watered = fields.word("watered-by", &[("hand", false), ("timer", true)], problems);
    let soil = fields.text("soil", problems);
    let family_history = fields.map("family-history", problems);
    let family_history = family_history.map_or(Vec::new(), |map| read_families(map, problems));
    fields.finish(problems);
    Some(PlaceSheet {
        name: name?,
        stem: file.stem().to_owned(),
        kind: kind.map(|kind| kind.value),
        length: long,
        width,
        depth,
        containers,
        diameter,
        bottom_diameter,
        height,
        shape,
        filled_to,
        volume,
        nursery_class: class,
        trays,
        cells,
        sun_h: sun,
        cover,
        temperature: temperature.map(|range| range.value),
        is_on_timer: watered.is_some_and(|watered| watered.value),
        soil,
        family_history,
        prose: prose.to_owned(),
    })
}

/// A class by its number, `#5` or `5`.
fn class_of(text: &Written<String>, problems: &mut Problems) -> Option<NurseryClass> {
    let number = text.value.trim_start_matches('#');
    let found = NurseryClass::ALL.iter().find(|(known, _)| *known == number);
    if found.is_none() {
        let known: Vec<&str> = NurseryClass::ALL.iter().map(|(number, _)| *number).collect();
        let message = format!("there is no nursery class {}", words::Tick(&text.value));
        problems.add(
            Problem::new(Code::UnknownWord, text.at, message)
                .hint(format!("the classes are {}", words::all_of(&known)))
                .hint("if you know what it holds, write `volume: 15 L` instead"),
        );
    }
    found.map(|(_, class)| *class)
}

/// `{2023: Brassicaceae, 2022: [Solanaceae, Fabaceae]}`
fn read_families(map: &Map, problems: &mut Problems) -> Vec<(u32, Vec<Written<String>>)> {
    let mut history = Vec::new();
    for (key, node) in &map.pairs {
        let year_node = crate::source::front_matter::Node {
            at: key.at,
            value: Value::Text(crate::source::front_matter::Text {
                text: key.value.clone(),
                quoted: false,
            }),
        };
        let year = read_node("family-history", &year_node, problems, units::whole);
        let families: Vec<_> = match &node.value {
            Value::List(items) => {
                items.iter().filter_map(|item| text_of("family-history", item, problems)).collect()
            }
            _ => text_of("family-history", node, problems).into_iter().collect(),
        };
        if let Some(year) = year {
            history.push((year.value, families));
        }
    }
    history
}
