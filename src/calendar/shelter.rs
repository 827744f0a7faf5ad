//! What a cover over a place is worth: later frost, warmer nights.

use crate::place_kind::Cover;

/// What a cover adds.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct Shelter {
    /// Days by which frost ends earlier in spring and comes later in autumn.
    pub frost_days: i64,
    /// How much warmer it is under it, °C.
    pub warmer_c: f64,
}

impl Shelter {
    /// The shelter of a cover; none indoors, where the garden's climate does not hold.
    ///
    /// The warmth is common practice, no source: fleece of the usual weight keeps off about 2 °C of frost,
    /// unheated glass or film about 4 °C.
    pub fn of(cover: Cover) -> Option<Shelter> {
        let warmer_c = match cover {
            Cover::None => 0.0,
            Cover::Fleece => 2.0,
            Cover::Glass => 4.0,
            Cover::Indoors => return None,
        };
        Some(Shelter { frost_days: frost_shift(cover)?, warmer_c })
    }
}

/// By how many days a cover shortens the season of frost at either end; none indoors.
///
/// Two weeks under fleece, four under unheated glass or film. Common practice, no source: covers and nights
/// differ, and a hard frost comes through both.
pub fn frost_shift(cover: Cover) -> Option<i64> {
    match cover {
        Cover::None => Some(0),
        Cover::Fleece => Some(14),
        Cover::Glass => Some(28),
        Cover::Indoors => None,
    }
}
