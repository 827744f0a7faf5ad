//! Potting mixes by parts, and feeds by their label.

use crate::diagnostics::codes::Code;
use crate::diagnostics::problem::{Problem, Problems};
use crate::origin::{Origin, Written};
use crate::source::announced::{Sheet, read_sheet};
use crate::source::fields::Fields;
use crate::source::files::File;
use crate::source::front_matter::Map;
use crate::source::nodes::number_of;
use crate::units::{self, Density, Dose, Fraction};

/// A mix or a feed as written.
#[derive(Clone, Debug)]
pub struct MixSheet {
    pub name: Written<String>,
    /// The file's name without its ending, by which it may also be called.
    pub stem: String,
    pub is: MixKind,
    /// Manure in it, where the sheet says so.
    pub manure: Option<Manure>,
    /// The text below the front matter.
    pub prose: String,
}

/// Manure in a product; what has raw manure in it is raw.
#[derive(Clone, Copy, Debug, PartialEq, Eq, PartialOrd, Ord)]
pub enum Manure {
    /// None, whatever the name says.
    Not,
    /// Composted or heated.
    Composted,
    Raw,
}

/// A mix or a feed.
#[derive(Clone, Debug)]
pub enum MixKind {
    /// Parts by volume.
    Mix {
        /// Ingredient and number of parts.
        parts: Vec<(Written<String>, f64)>,
        /// The share of the volume lost by settling, 0 to 1.
        settles: f64,
    },
    /// Plant food.
    Feed {
        /// What the label says.
        label: FeedLabel,
        /// Mass per volume of a liquid.
        density: Option<Density>,
        /// How much feed in how much water.
        dose: Option<Dose>,
    },
}

/// A label's analysis in percent by weight.
#[derive(Clone, Copy, Debug, Default)]
pub struct FeedLabel {
    /// Nitrogen, N.
    pub n: f64,
    /// Phosphate, P2O5.
    pub p2o5: f64,
    /// Potash, K2O.
    pub k2o: f64,
    /// Magnesia, MgO; labels of some countries have the element in its place.
    pub mgo: f64,
    /// Magnesium, Mg.
    pub mg: f64,
    /// Sulphur trioxide, SO3; labels of some countries have the element in its place.
    pub so3: f64,
    /// Sulphur, S.
    pub s: f64,
}

/// Reads one file of `mixes/`.
pub fn read_mix(file: &File, problems: &mut Problems) -> Sheet<MixSheet> {
    read_sheet(file, problems, read_fields)
}

fn read_fields(file: &File, map: &Map, prose: &str, problems: &mut Problems) -> Option<MixSheet> {
    let mut fields = Fields::new(map, "a mix", problems);
    let name = fields.name("name", problems);
    let name = fields.demand("name", name, file.stem());
    let parts = fields.map("parts", problems);
    let settles = fields.read("settles", problems, units::percent);
    let settles = settles.map_or(0.0, |share| settling(share, problems));
    let label = fields.map("label", problems);
    let density = fields.read("density", problems, units::density).map(|d| d.value);
    let dose = fields.read("dose", problems, units::dose).map(|dose| dose.value);
    let classes = [("raw", Manure::Raw), ("composted", Manure::Composted), ("none", Manure::Not)];
    let manure = fields.word("manure", &classes, problems).map(|class| class.value);
    let has_neither = ["parts", "label"].iter().all(|key| !fields.is_meant(key));
    if has_neither {
        problems.add(
            Problem::new(
                Code::MissingKey,
                fields.at(),
                "a mix needs `parts`, a feed needs `label`",
            )
            .hint("add `parts: {compost: 3, sharp sand: 1}` or `label: {n: 4, p2o5: 2, k2o: 8}`"),
        );
    }
    fields.finish(problems);
    let is = match (parts, label) {
        (Some(parts), _) => MixKind::Mix { parts: read_parts(parts, problems), settles },
        (None, Some(label)) => MixKind::Feed { label: read_label(label, problems), density, dose },
        (None, None) => return None,
    };
    let stem = file.stem().to_owned();
    Some(MixSheet { name: name?, stem, is, manure, prose: prose.to_owned() })
}

/// Half and more is no settling: most likely what remains was written.
fn settling(share: Written<Fraction>, problems: &mut Problems) -> f64 {
    if share.value.0 < 0.5 {
        return share.value.0;
    }
    problems.add(
        Problem::new(Code::BadNumber, share.at, "`settles` should be below 50%")
            .hint("it is the share of the loose volume that is lost: 10% to 20% is usual"),
    );
    0.0
}

fn read_parts(map: &Map, problems: &mut Problems) -> Vec<(Written<String>, f64)> {
    let mut parts = Vec::new();
    for (name, node) in &map.pairs {
        let part = number_of(&name.value, node, 0.001, 1e6, "a number of parts", problems);
        if let Some(part) = part {
            parts.push((name.clone(), part.value));
        }
    }
    parts
}

/// Mass of the oxide for each of the element, of the atomic weights of CIAAW 2021: P 30.974, K 39.098, O 15.999.
const P2O5_OF_P: f64 = (2.0 * 30.974 + 5.0 * 15.999) / (2.0 * 30.974);
const K2O_OF_K: f64 = (2.0 * 39.098 + 15.999) / (2.0 * 39.098);

/// What is called P or K on a label is nearly always its oxide, the second or third of three figures.
fn element_on_label(
    (element, oxide, factor): (&str, &str, f64),
    at: Origin,
    number: Option<f64>,
) -> Problem {
    let (upper, figure) = (element.to_uppercase(), if element == "p" { "second" } else { "third" });
    let problem = Problem::new(
        Code::UnknownKey,
        at,
        format!("`{element}` on a label can mean `{oxide}` or the element {upper}"),
    )
    .label("which of the two?")
    .mend(
        at,
        oxide,
        format!("the {figure} of the figures N-P-K on a label is nearly always `{oxide}`: write `{oxide}`"),
    );
    match number {
        Some(number) => problem.hint(format!(
            "if the label says elemental {upper}, it is {factor:.2} times as much: `{oxide}: {:.1}`",
            number * factor
        )),
        None => problem,
    }
}

fn read_label(map: &Map, problems: &mut Problems) -> FeedLabel {
    let mut fields = Fields::new(map, "a label", problems);
    let mut percent = |key: &'static str, problems: &mut Problems| {
        let number = fields.number(key, 0.0, 100.0, "percent by weight, from 0 to 100", problems);
        number.map_or(0.0, |number| number.value)
    };
    let label = FeedLabel {
        n: percent("n", problems),
        p2o5: percent("p2o5", problems),
        k2o: percent("k2o", problems),
        mgo: percent("mgo", problems),
        mg: percent("mg", problems),
        so3: percent("so3", problems),
        s: percent("s", problems),
    };
    for (oxide, element) in [("mgo", "mg"), ("so3", "s")] {
        if let (Some(first), Some(second)) = (fields.key_at(oxide), fields.key_at(element)) {
            let message = format!("`{oxide}` and `{element}` say the same thing in two ways");
            problems.add(
                Problem::new(Code::RepeatedKey, second, message)
                    .also(first, "the other")
                    .hint("keep the one that stands on the label"),
            );
        }
    }
    for (element, oxide, factor) in [("p", "p2o5", P2O5_OF_P), ("k", "k2o", K2O_OF_K)] {
        let Some(at) = fields.pass_over(element) else { continue };
        let number = fields
            .peek(element)
            .and_then(|node| number_of(element, node, 0.0, 100.0, "", &mut Problems::new()));
        problems.add(element_on_label(
            (element, oxide, factor),
            at,
            number.map(|number| number.value),
        ));
    }
    fields.finish(problems);
    label
}
