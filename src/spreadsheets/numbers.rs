//! Numbers as spreadsheets write them: the column decides which sign divides them.

/// The sign before the tenths.
#[derive(Clone, Copy, Debug, PartialEq, Eq, clap::ValueEnum)]
pub(crate) enum Decimal {
    /// 1.5
    Point,
    /// 1,5
    Comma,
}

/// Which sign divides the numbers of some cells: nothing if no number has any.
///
/// # Errors
/// If it cannot be told: `1,250` may be a thousand and more, or one and a quarter.
pub(super) fn decimal(
    cells: &[(usize, &str)],
    told: Option<Decimal>,
) -> Result<Option<Decimal>, String> {
    if told.is_some() {
        return Ok(told);
    }
    let mut unsure = None;
    let mut sure: Option<(Decimal, usize, &str)> = None;
    for (line, cell) in cells {
        let number: String =
            cell.chars().filter(|c| c.is_ascii_digit() || [',', '.'].contains(c)).collect();
        let found = match (number.rfind(','), number.rfind('.')) {
            (None, None) => continue,
            (Some(comma), Some(point)) if comma > point => Some(Decimal::Comma),
            (Some(_), Some(_)) => Some(Decimal::Point),
            (Some(at), None) => {
                (number.len() - at != 4 || number.starts_with('0')).then_some(Decimal::Comma)
            }
            (None, Some(at)) => {
                (number.len() - at != 4 || number.starts_with('0')).then_some(Decimal::Point)
            }
        };
        match (found, sure) {
            (None, _) => unsure = unsure.or(Some((*line, *cell))),
            (Some(found), None) => sure = Some((found, *line, cell)),
            (Some(found), Some((before, other_line, other))) if found != before => {
                return Err(format!(
                    "the numbers contradict each other: {other} in line {other_line}, {cell} in line {line}; \
                     mend one of the two, or say --decimal comma or --decimal point"
                ));
            }
            _ => {}
        }
    }
    match (sure, unsure) {
        (Some((decimal, ..)), _) => Ok(Some(decimal)),
        (None, None) => Ok(None),
        (None, Some((line, cell))) => Err(format!(
            "{cell} in line {line} may be more than a thousand or less than ten, and no line decides it; say \
             --decimal comma or --decimal point"
        )),
    }
}

/// A number, and what stands behind it.
pub(super) fn number(cell: &str, decimal: Option<Decimal>) -> Option<(f64, &str)> {
    let is_of_it = |c: char| c.is_ascii_digit() || "+-−.,'".contains(c);
    let end = cell.find(|c: char| !is_of_it(c)).unwrap_or(cell.len());
    let (figures, rest) = cell.split_at(end);
    let plain = match decimal {
        Some(Decimal::Comma) => figures.replace(['.', '\''], "").replace(',', "."),
        _ => figures.replace([',', '\''], ""),
    };
    let number: f64 = plain.replace('−', "-").parse().ok()?;
    Some((number, rest.trim()))
}

#[cfg(test)]
mod tests {
    use super::*;

    fn of(cells: &[&str]) -> Result<Option<Decimal>, String> {
        decimal(&cells.iter().map(|cell| (1, *cell)).collect::<Vec<_>>(), None)
    }

    #[test]
    fn the_column_decides_or_the_grower_is_asked() {
        assert_eq!(of(&["1,250", "0,5"]), Ok(Some(Decimal::Comma)));
        assert_eq!(of(&["1,250", "0.5 kg"]), Ok(Some(Decimal::Point)));
        assert_eq!(of(&["1.250,5"]), Ok(Some(Decimal::Comma)));
        assert_eq!(of(&["12", "300 g"]), Ok(None));
        assert!(of(&["1,250"]).unwrap_err().contains("--decimal"));
        assert!(of(&["1,5", "2.5"]).unwrap_err().contains("contradict"));
        assert_eq!(number("1.250,5 g", Some(Decimal::Comma)), Some((1250.5, "g")));
        assert_eq!(number("1,250", Some(Decimal::Point)), Some((1250.0, "")));
        assert_eq!(number("-2,5", Some(Decimal::Comma)), Some((-2.5, "")));
        assert_eq!(number("viel", None), None);
    }
}
