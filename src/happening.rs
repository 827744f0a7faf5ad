//! What can happen to plants: a stage reached, or plants that went.

use crate::stage::Stage;

/// What can happen to plants.
#[derive(Clone, Copy, Debug, PartialEq, Eq, PartialOrd, Ord)]
pub enum Happening {
    Reached(Stage),
    /// They showed flowers or fruit before they were set out: no stage of a plant that still has to go out.
    Showed(Stage),
    /// Some were taken out because they stood too close.
    Thinned,
    /// They stand elsewhere now.
    Moved,
    /// Some went to another garden.
    GivenAway,
    /// Some died.
    Lost,
}

impl Happening {
    /// What changes no stage.
    pub const OTHERS: &'static [Happening] =
        &[Happening::Thinned, Happening::Moved, Happening::GivenAway, Happening::Lost];

    /// The word a grower writes.
    pub fn word(self) -> &'static str {
        match self {
            Happening::Reached(stage) | Happening::Showed(stage) => stage.word(),
            Happening::Thinned => "thinned",
            Happening::Moved => "moved",
            Happening::GivenAway => "given away",
            Happening::Lost => "lost",
        }
    }
}
