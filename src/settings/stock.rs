//! What is in the store: by weight or volume, and pots by number.

use crate::diagnostics::codes::Code;
use crate::diagnostics::problem::{Problem, Problems};
use crate::origin::Written;
use crate::source::fields::Fields;
use crate::source::front_matter::{Map, Value};
use crate::units::{self, Amount};

/// Something in the store.
#[derive(Clone, Debug)]
pub struct Stock {
    pub what: Written<String>,
    pub amount: Amount,
    /// What it is sold in: the bag, sack or bottle.
    pub bag: Option<Amount>,
}

/// Pots go to `pots`.
pub(super) fn read(
    map: &Map,
    pots: &mut Vec<(String, u32)>,
    problems: &mut Problems,
) -> Option<Stock> {
    let mut fields = Fields::new(map, "a line under stock", problems);
    let what = fields.text("what", problems);
    let what = fields.demand("what", what, "perlite");
    let number = match (&what, fields.peek("amount").map(|node| &node.value)) {
        (Some(what), Some(Value::Text(text))) if is_pot(&what.value) => text.text.parse().ok(),
        _ => None,
    };
    if let Some(number) = number {
        fields.node("amount", problems);
        fields.finish(problems);
        pots.extend(what.map(|what| (what.value, number)));
        return None;
    }
    let amount = fields.read("amount", problems, units::amount);
    let amount = fields.demand("amount", amount, "20 L");
    let bag = fields.read("bag", problems, units::amount);
    fields.finish(problems);
    Some(Stock {
        what: what?,
        amount: amount?.value,
        bag: bag.and_then(|bag| bag_of(bag, problems)),
    })
}

/// Pots are kept by number: `9 cm pots`.
fn is_pot(what: &str) -> bool {
    what.split_whitespace().any(|word| matches!(word.to_lowercase().as_str(), "pot" | "pots"))
}

/// No number of bags that hold nothing is enough.
fn bag_of(bag: Written<Amount>, problems: &mut Problems) -> Option<Amount> {
    let is_empty = match bag.value {
        Amount::Mass(mass) => units::MassUnit::Gram.measure(mass) <= 0.0,
        Amount::Volume(volume) => units::VolumeUnit::Millilitre.measure(volume) <= 0.0,
    };
    if is_empty {
        problems.add(
            Problem::new(Code::BadQuantity, bag.at, "a bag holds more than nothing").hint(
                "write what one bag holds, such as `bag: 20 L`; leave it out if you do not know",
            ),
        );
        return None;
    }
    Some(bag.value)
}
