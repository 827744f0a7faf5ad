//! How many plants, and how much room a planting uses.

use crate::units::bare::{is_plant_word, whole_of};
use crate::units::number::Number;
use crate::units::reader::{Named, Reader, read};
use crate::units::simple::{AREA, LENGTH, make_area, make_length};
use crate::units::{Area, Kind, Length, Trouble};

/// A number of plants or seeds as a grower knows it.
#[derive(Clone, Copy, Debug, PartialEq)]
pub enum Count {
    /// `24`: counted.
    Exactly(u32),
    /// `about 20`: every figure made of it is 'about' too.
    About(u32),
    /// `30 x 4`: so many groups of so many each.
    Groups {
        /// How many groups: cells, stations, clumps.
        groups: u32,
        each: u32,
    },
    /// `3 m row`: sown along a row, nobody counts the seeds.
    Row(Length),
    /// `unknown`.
    Unknown,
}

impl Count {
    /// The number, where there is one.
    pub fn number(self) -> Option<u32> {
        match self {
            Count::Exactly(number) | Count::About(number) => Some(number),
            Count::Groups { groups, each } => Some(groups.saturating_mul(each)),
            Count::Row(_) | Count::Unknown => None,
        }
    }

    /// Whether the number is an estimate.
    pub fn is_about(self) -> bool {
        matches!(self, Count::About(_))
    }
}

/// Reads a count: `24`, `30 x 4`, `3 m row`, `about 20`, `unknown`. At most a million.
///
/// ```
/// use trug::units;
/// assert_eq!(units::count("30 x 4").unwrap().number(), Some(120));
/// assert!(units::count("about 20").unwrap().is_about());
/// assert_eq!(units::count("24 seeds").unwrap_err().mended(), Some("24"));
/// ```
pub fn count(text: &str) -> Result<Count, Trouble> {
    read(text, COUNTS, |reader| {
        if reader.take_word(&["unknown"]) {
            return Ok(Count::Unknown);
        }
        let before = *reader;
        let about = reader.take_about();
        let number = reader.number()?;
        if let Some(named) = { *reader }.unit(&[]).ok().flatten() {
            let length = row(reader, number, named, &[Kind::Number], COUNTS)?;
            return before.refuse_about().map(|()| Count::Row(length));
        }
        let groups = whole_of(number.value)?;
        let mut ahead = *reader;
        ahead.skip_blanks();
        if !ahead.take(|c| matches!(c, 'x' | 'X' | '×' | '*')) {
            if let Some(of) = UNCOUNTED.iter().find(|word| ahead.rest().eq_ignore_ascii_case(word))
            {
                return Err(Trouble::Uncounted { of: (*of).to_owned() });
            }
            if is_plant_word(ahead.rest()) {
                let mended = Some(reader.whole[..reader.at].to_owned());
                return Err(Trouble::SpareText { text: ahead.rest().to_owned(), mended });
            }
            return Ok(if about { Count::About(groups) } else { Count::Exactly(groups) });
        }
        let each = whole_of(ahead.number()?.value)?;
        *reader = ahead;
        let all = whole_of(f64::from(groups) * f64::from(each))?;
        Ok(if about { Count::About(all) } else { Count::Groups { groups, each } })
    })
}

/// What people count that says nothing of how many plants there are.
const UNCOUNTED: &[&str] = &[
    "row", "rows", "packet", "packets", "pack", "packs", "tray", "trays", "pinch", "pinches",
    "handful", "handfuls", "bed", "beds", "bag", "bags",
];

/// The part of a place that a planting takes up.
#[derive(Clone, Copy, Debug, PartialEq)]
pub enum Uses {
    /// `4 containers`, at least one.
    Containers(u32),
    /// `1.2 m²`, more than nothing.
    Area(Area),
    /// `3 m row`, more than nothing.
    Row(Length),
}

/// Reads what a planting takes up: `4 containers`, `1.2 m²`, `3 m row`.
///
/// ```
/// use trug::units::{self, Uses};
/// assert_eq!(units::uses("4 containers"), Ok(Uses::Containers(4)));
/// assert_eq!(units::uses("3 m").unwrap_err().mended(), Some("3 m row"));
/// ```
pub fn uses(text: &str) -> Result<Uses, Trouble> {
    read(text, USES, |reader| {
        reader.refuse_about()?;
        let number = reader.number()?;
        let uses = if reader.take_word(&["containers", "container", "pots", "pot"]) {
            Uses::Containers(whole_of(number.value)?)
        } else {
            let mut ahead = *reader;
            match ahead.unit(ROOM)? {
                Some(named) if named.unit.kind() == Kind::Area => {
                    *reader = ahead;
                    let (value, unit) = reader.settle(number, Some(named), &AREA)?;
                    Uses::Area(make_area(value, unit)?)
                }
                Some(named) => Uses::Row(row(reader, number, named, ROOM, USES)?),
                None => {
                    return Err(Trouble::UnitMissing {
                        number: reader.whole[number.start..number.end].to_owned(),
                        examples: USES,
                        mended: None,
                    });
                }
            }
        };
        match number.value > 0.0 {
            true => Ok(uses),
            false => Err(Trouble::TooSmall { least: "more than nothing" }),
        }
    })
}

const COUNTS: &[&str] = &["24", "30 x 4", "about 20", "3 m row"];
const USES: &[&str] = &["4 containers", "1.2 m²", "3 m row"];
const ROOM: &[Kind] = &[Kind::Area, Kind::Number];

/// The length of a row whose number has been read and whose unit comes next.
fn row(
    reader: &mut Reader,
    number: Number,
    named: Named,
    wanted: &'static [Kind],
    examples: &'static [&'static str],
) -> Result<Length, Trouble> {
    reader.at = named.end;
    let length = named.unit.kind() == Kind::Length;
    if length {
        reader.take_word(&["of"]);
        if reader.take_word(&["row", "rows"]) {
            let (value, unit) = reader.settle(number, Some(named), &LENGTH)?;
            return make_length(value, unit);
        }
    }
    Err(Trouble::WrongKind {
        unit: reader.whole[named.start..named.end].to_owned(),
        found: named.unit.kind(),
        wanted,
        examples,
        mended: length.then(|| reader.replaced(named.end..named.end, " row")),
    })
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::units::{AreaUnit, LengthUnit};

    #[test]
    fn counts_as_a_grower_knows_them() {
        assert_eq!(count("24"), Ok(Count::Exactly(24)));
        assert_eq!(count("0"), Ok(Count::Exactly(0)));
        for text in ["about 20", "~20", "approx. 20", "ca. 20", "About  20"] {
            assert_eq!(count(text), Ok(Count::About(20)), "{text}");
        }
        for text in ["30 x 4", "30x4", "30 × 4", "30*4", "30 X 4"] {
            assert_eq!(count(text), Ok(Count::Groups { groups: 30, each: 4 }), "{text}");
        }
        assert_eq!(count("about 30 x 4"), Ok(Count::About(120)));
        assert_eq!(count("Unknown"), Ok(Count::Unknown));
        let row = Ok(Count::Row(LengthUnit::Metre.of(3.0)));
        assert_eq!((count("3 m row"), count("3 m of row")), (row.clone(), row));
    }

    #[test]
    fn the_number_of_a_count() {
        let number = |text: &str| count(text).map(|count| (count.number(), count.is_about()));
        assert_eq!(number("24"), Ok((Some(24), false)));
        assert_eq!(number("about 20"), Ok((Some(20), true)));
        assert_eq!(number("30 x 4"), Ok((Some(120), false)));
        assert_eq!((number("3 m row"), number("unknown")), (Ok((None, false)), Ok((None, false))));
    }

    #[test]
    fn what_is_no_count() {
        let mended = |text: &str| count(text).unwrap_err().mended().map(str::to_owned);
        assert_eq!(count("2.5"), Err(Trouble::WholeWanted));
        assert_eq!(count("-3"), Err(Trouble::Negative));
        assert_eq!(count("20-25"), Err(Trouble::OneValueWanted));
        assert_eq!(count("1001 x 1000"), Err(Trouble::TooLarge { most: "1000000" }));
        assert_eq!(mended("3 m").as_deref(), Some("3 m row"));
        assert_eq!(mended("about 3 m row").as_deref(), Some("3 m row"));
        assert_eq!(mended("1 200").as_deref(), Some("1200"));
        assert_eq!(mended("about 24 plants").as_deref(), Some("about 24"));
        assert_eq!(mended("2 dozen"), None);
        assert_eq!(mended("2 packets"), None);
        assert_eq!(mended("3 kg"), None);
        assert_eq!(mended("dozens"), None);
    }

    #[test]
    fn what_a_planting_takes_up() {
        assert_eq!(uses("1 container"), Ok(Uses::Containers(1)));
        assert_eq!(uses("1.2 m2"), Ok(Uses::Area(AreaUnit::SquareMetre.of(1.2))));
        assert_eq!(uses("10 ft row"), Ok(Uses::Row(LengthUnit::Foot.of(10.0))));
        assert!(matches!(uses("4"), Err(Trouble::UnitMissing { .. })));
        assert!(matches!(uses("4 bags"), Err(Trouble::UnknownUnit { .. })));
        assert!(matches!(uses("4 kg"), Err(Trouble::WrongKind { .. })));
        for nothing in ["0 containers", "0 m²", "0 m row"] {
            assert!(matches!(uses(nothing), Err(Trouble::TooSmall { .. })), "{nothing}");
        }
        assert_eq!(uses("-1 m²"), Err(Trouble::Negative));
        assert_eq!(uses("1.5 containers"), Err(Trouble::WholeWanted));
    }
}
