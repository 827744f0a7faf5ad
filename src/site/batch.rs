//! So much of a potting mix, as somebody measures it out: litres of each ingredient, and what is to be bought.

use serde::Serialize;

use crate::care::mixes::{Batch, Ingredient, Recipe};
use crate::garden::vessel::middle;
use crate::settings::stock::Stock;
use crate::site::amount::Amount;
use crate::site::message::Message;
use crate::units::{self, Range, System, Volume};

/// So much of a mix.
#[derive(Clone, Debug, PartialEq, Serialize)]
pub struct BatchView {
    /// What is to be filled: an amount, or a range where no sizes tell.
    pub fill: Message,
    /// What is to be mixed, loose.
    pub loose: Amount,
    /// What goes into it.
    pub ingredients: Vec<IngredientRow>,
}

/// An ingredient of it.
#[derive(Clone, Debug, PartialEq, Serialize)]
pub struct IngredientRow {
    pub what: String,
    pub needed: Amount,
    /// What the store says to that.
    pub store: Message,
    /// Whether something has to be got first.
    pub is_lacking: bool,
    /// What has to be bought, where the size of a bag is known.
    pub buy: Option<Message>,
}

impl BatchView {
    /// What goes into as much of a mix as fills so much.
    pub fn new(
        recipe: &Recipe<'_>,
        fill: Range<Volume>,
        stock: &[Stock],
        system: System,
    ) -> BatchView {
        let Batch { fill, loose, ingredients } = recipe.batch(fill, stock);
        BatchView {
            fill: volumes(fill, system),
            loose: about_middle(loose, system),
            ingredients: ingredients.iter().map(|one| row(one, system)).collect(),
        }
    }
}

/// One volume, or from where to where.
pub(super) fn volumes(range: Range<Volume>, system: System) -> Message {
    let low = Amount::measured_volume(range.low, system);
    let high = Amount::measured_volume(range.high, system);
    if low == high {
        return Message::new("value.amount").with("amount", low);
    }
    // 'from about 6 L' would say the same twice.
    let plain = |amount: Amount| Amount { about: false, ..amount };
    Message::new("value.range").with("from", plain(low)).with("to", plain(high))
}

/// The middle of a range, which is only about right unless the range is a single value.
pub(super) fn about_middle(range: Range<Volume>, system: System) -> Amount {
    let amount = Amount::measured_volume(middle(range), system);
    Amount { about: amount.about || range.low < range.high, ..amount }
}

fn row(ingredient: &Ingredient, system: System) -> IngredientRow {
    let measured = |volume| Amount::measured_volume(volume, system);
    let stored = ingredient.stored;
    let lacking = stored.and_then(|stored| stored.lacking);
    let store = match stored.map(|stored| (stored.there, lacking)) {
        None => Message::new("store.not-told"),
        Some((None, _)) => Message::new("store.by-weight"),
        Some((Some(there), None)) => Message::new("store.enough").with("there", measured(there)),
        Some((Some(there), Some(lacking))) => Message::new("store.lacking")
            .with("there", measured(there))
            .with("lacking", measured(lacking)),
    };
    let buy = stored.and_then(|stored| stored.bags).map(|bags| {
        Message::new("store.buy")
            .with("count", u64::from(bags.number))
            .with("size", Amount::printed(units::Amount::Volume(bags.size), system))
            .with("left", measured(bags.left_over))
    });
    IngredientRow {
        what: ingredient.what.clone(),
        needed: about_middle(ingredient.needed, system),
        store,
        is_lacking: lacking.is_some(),
        buy,
    }
}
