//! Quantities of two parts: a density, a dose, a pot, a number of pots to fill.

use crate::units::bare::whole_of;
use crate::units::reader::{Reader, Wanted, read};
use crate::units::simple::{
    AMOUNT, LENGTH, MASS, VOLUME, make_amount, make_length, make_mass, make_volume,
};
use crate::units::{Amount, Density, Kind, Length, Trouble, Volume, VolumeUnit};

/// Reads the weight of a volume: `1.2 kg per L`, `10 lb/gal`. Up to 25 kg per L, above zero.
///
/// ```
/// use trug::units;
/// let feed = units::density("1.2 kg per L").unwrap();
/// assert_eq!(Ok(feed * units::volume("5 L").unwrap()), units::mass("6 kg"));
/// ```
pub fn density(text: &str) -> Result<Density, Trouble> {
    read(text, DENSITIES, |reader| {
        let (number, unit) = reader.quantity(&Wanted { examples: DENSITIES, ..MASS })?;
        let mass = make_mass(number, unit)?;
        let density = mass / per(reader, DENSITIES)?;
        let kg_per_litre = density.get::<uom::si::mass_density::kilogram_per_cubic_meter>() / 1e3;
        match kg_per_litre {
            much if much > 25.0 => Err(Trouble::TooLarge { most: "25 kg per L" }),
            much if much <= 0.0 => Err(Trouble::TooSmall { least: "more than nothing" }),
            _ => Ok(density),
        }
    })
}

/// So much of a concentrate in so much water.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct Dose {
    /// What is measured out.
    pub amount: Amount,
    /// The water it goes into; more than nothing.
    pub per: Volume,
}

/// Reads a dose as a label gives it: `20 ml per 5 L`, `15 g per 10 L`, `1 fl oz per gal`.
///
/// ```
/// use trug::units;
/// assert_eq!(units::dose("4 ml per L").unwrap().per, units::volume("1 L").unwrap());
/// ```
pub fn dose(text: &str) -> Result<Dose, Trouble> {
    read(text, DOSES, |reader| {
        let (number, unit) = reader.quantity(&Wanted { examples: DOSES, ..AMOUNT })?;
        let amount = make_amount(number, unit)?;
        Ok(Dose { amount, per: per(reader, DOSES)? })
    })
}

/// A pot by the size that is known of it.
#[derive(Clone, Copy, Debug, PartialEq)]
pub enum Pot {
    /// `9 cm pot`: across the top.
    Across(Length),
    /// `2 L pot`: what it holds.
    Holds(Volume),
}

/// Reads a pot: `9 cm pot`, `2 L pot`, `4 in`. More than nothing.
///
/// ```
/// use trug::units::{self, LengthUnit, Pot};
/// assert_eq!(units::pot("9 cm pot"), Ok(Pot::Across(LengthUnit::Centimetre.of(9.0))));
/// ```
pub fn pot(text: &str) -> Result<Pot, Trouble> {
    read(text, POTS, one_pot)
}

/// What a mix is made for.
#[derive(Clone, Copy, Debug, PartialEq)]
pub enum Fill {
    /// `24 x 9 cm pot`.
    Pots {
        count: u32,
        /// Of which size.
        pot: Pot,
    },
    /// `40 L`: loose, by volume.
    Volume(Volume),
}

/// Reads what is to be filled: `24 x 9 cm pot`, `24 x 2 L pot`, `40 L`.
///
/// ```
/// use trug::units::{self, Fill, Pot, VolumeUnit};
/// let pot = Pot::Holds(VolumeUnit::Litre.of(2.0));
/// assert_eq!(units::fill("24 x 2 L pot"), Ok(Fill::Pots { count: 24, pot }));
/// ```
pub fn fill(text: &str) -> Result<Fill, Trouble> {
    read(text, FILLS, |reader| {
        let start = *reader;
        let count = reader.number()?;
        reader.skip_blanks();
        if reader.take(|c| matches!(c, 'x' | 'X' | '×' | '*')) {
            return Ok(Fill::Pots { count: whole_of(count.value)?, pot: one_pot(reader)? });
        }
        *reader = start;
        match one_pot(reader)? {
            Pot::Holds(volume) if !reader.whole.to_lowercase().contains("pot") => {
                Ok(Fill::Volume(volume))
            }
            pot => Ok(Fill::Pots { count: 1, pot }),
        }
    })
}

const DENSITIES: &[&str] = &["1.2 kg per L"];
const DOSES: &[&str] = &["20 ml per 5 L", "15 g per 10 L"];
const POTS: &[&str] = &["9 cm pot", "2 L pot"];
const FILLS: &[&str] = &["24 x 9 cm pot", "40 L"];

/// `per 5 L` or `per L`.
fn per(reader: &mut Reader, examples: &'static [&'static str]) -> Result<Volume, Trouble> {
    if !reader.take_per() {
        let mut ahead = *reader;
        ahead.skip_blanks();
        return Err(match ahead.rest() {
            "" => Trouble::PerMissing { examples },
            rest => Trouble::SpareText { text: rest.to_owned(), mended: None },
        });
    }
    reader.skip_blanks();
    let volume = if reader.rest().starts_with(char::is_alphabetic) {
        match reader.unit(VOLUME.kinds)? {
            Some(named) => {
                let one = crate::units::number::Number {
                    value: 1.0,
                    start: named.start,
                    end: named.start,
                };
                let (number, unit) =
                    reader.settle(one, Some(named), &Wanted { examples, ..VOLUME })?;
                make_volume(number, unit)?
            }
            None => return Err(Trouble::PerMissing { examples }),
        }
    } else {
        let (number, unit) = reader.quantity(&Wanted { examples, ..VOLUME })?;
        make_volume(number, unit)?
    };
    match VolumeUnit::Litre.measure(volume) > 0.0 {
        true => Ok(volume),
        false => Err(Trouble::TooSmall { least: "more than nothing" }),
    }
}

fn one_pot(reader: &mut Reader) -> Result<Pot, Trouble> {
    const SIZES: Wanted = Wanted { kinds: &[Kind::Length, Kind::Volume], examples: POTS, ..LENGTH };
    let (number, unit) = reader.quantity(&SIZES)?;
    let pot = match unit.kind() {
        Kind::Volume => Pot::Holds(make_volume(number, unit)?),
        _ => Pot::Across(make_length(number, unit)?),
    };
    reader.take_word(&["pot", "pots"]);
    match number > 0.0 {
        true => Ok(pot),
        false => Err(Trouble::TooSmall { least: "more than nothing" }),
    }
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::units::{LengthUnit, mass, volume};

    /// Source: NIST SP 811, B.8: 1 pound per US gallon = 1.198 264 × 10² kg/m³, per imperial
    /// gallon 9.977 637 × 10¹ kg/m³.
    #[test]
    fn densities_agree_with_sp_811() {
        for (text, published) in [("1 lb per gal", 119.8264), ("1 lb per imp gal", 99.776_37)] {
            let ours =
                density(text).unwrap().get::<uom::si::mass_density::kilogram_per_cubic_meter>();
            assert!((ours / published - 1.0).abs() < 5e-7, "{text}: {ours}");
        }
    }

    #[test]
    fn densities_and_doses() {
        assert_eq!(density("1.2 kg/L"), density("1.2 g per ml"));
        assert_eq!(density("1.2 kg per litre"), density("6 kg per 5 L"));
        let dose = dose("15 g per 10 L").unwrap();
        assert_eq!(dose.amount, Amount::Mass(mass("15 g").unwrap()));
        assert_eq!(dose.per, volume("10 L").unwrap());
    }

    #[test]
    fn what_is_wrong_with_two_parts() {
        assert!(matches!(density("1.2 kg"), Err(Trouble::PerMissing { .. })));
        assert!(matches!(density("1.2"), Err(Trouble::UnitMissing { .. })));
        assert!(matches!(density("1200 kg per L"), Err(Trouble::TooLarge { .. })));
        assert!(matches!(dose("20 ml"), Err(Trouble::PerMissing { .. })));
        assert!(matches!(dose("20 ml per"), Err(Trouble::NotANumber { .. })));
        assert!(matches!(dose("20 ml per 0 L"), Err(Trouble::TooSmall { .. })));
        assert!(matches!(dose("20 ml per plant"), Err(Trouble::UnknownUnit { .. })));
        assert!(matches!(dose("20 ml with 5 L"), Err(Trouble::SpareText { .. })));
        assert_eq!(dose("2,5 mls per 5 l").unwrap_err().mended(), Some("2.5 ml per 5 l"));
    }

    #[test]
    fn pots_and_fillings() {
        assert_eq!(pot("9cm pots"), pot("9 cm"));
        assert_eq!(pot("4 in pot"), Ok(Pot::Across(LengthUnit::Inch.of(4.0))));
        let pot = Pot::Across(LengthUnit::Centimetre.of(9.0));
        assert_eq!(fill("24 x 9 cm pot"), Ok(Fill::Pots { count: 24, pot }));
        assert_eq!(fill("24x9cm pots"), Ok(Fill::Pots { count: 24, pot }));
        assert_eq!(fill("9 cm pot"), Ok(Fill::Pots { count: 1, pot }));
        assert_eq!(fill("40 L"), Ok(Fill::Volume(VolumeUnit::Litre.of(40.0))));
        let holds = Pot::Holds(VolumeUnit::Litre.of(2.0));
        assert_eq!(fill("2 L pot"), Ok(Fill::Pots { count: 1, pot: holds }));
        assert!(matches!(fill("9 kg"), Err(Trouble::WrongKind { .. })));
        assert_eq!(fill("2.5 x 9 cm pot"), Err(Trouble::WholeWanted));
    }
}
