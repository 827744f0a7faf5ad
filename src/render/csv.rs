//! Tables as comma-separated values (RFC 4180): UTF-8 without a mark, CRLF after every record.
//!
//! A spreadsheet takes a cell that begins like a formula for one. OWASP ('CSV Injection', and ASVS
//! 5.0 requirement 1.2.10) advises an apostrophe before a cell that begins with `=`, `+`, `-`, `@`, TAB
//! or CR; a plain number may begin with a sign.

use csv::{Terminator, WriterBuilder};

use crate::render::plain_text::plain;
use crate::site::table::HarvestRow;

/// The columns of `harvests.csv`, in order; the unit of the weight stands in its name.
const HARVEST_COLUMNS: [&str; 11] = [
    "date", "planting", "crop", "variety", "place", "weight_g", "count", "unit", "quality",
    "cured", "note",
];

/// `harvests.csv`: a header, then a record a picking, in the order given. What is not known is an empty
/// cell, never zero; dates are ISO 8601, `cured` is `true` or `false`.
pub fn harvests(rows: &[HarvestRow]) -> Vec<u8> {
    let mut table = WriterBuilder::new().terminator(Terminator::CRLF).from_writer(Vec::new());
    table.write_record(HARVEST_COLUMNS).expect("memory takes every byte");
    for row in rows {
        table.write_record(harvest_cells(row)).expect("memory takes every byte");
    }
    table.into_inner().expect("memory takes every byte")
}

fn harvest_cells(row: &HarvestRow) -> [String; HARVEST_COLUMNS.len()] {
    [
        row.date.format("%Y-%m-%d").to_string(),
        words(&row.planting),
        words(&row.crop),
        optional_words(&row.variety),
        optional_words(&row.place),
        // A weight that is no number is not known.
        row.weight_g
            .filter(|grams| grams.is_finite())
            .map(|grams| grams.to_string())
            .unwrap_or_default(),
        row.count.map(|count| count.to_string()).unwrap_or_default(),
        optional_words(&row.unit),
        optional_words(&row.quality),
        row.cured.map(|cured| cured.to_string()).unwrap_or_default(),
        optional_words(&row.note),
    ]
}

fn optional_words(cell: &Option<String>) -> String {
    cell.as_deref().map(words).unwrap_or_default()
}

/// A text in a cell: line ends as LF, no other control characters, and nothing a spreadsheet would run.
/// Full-width forms count too, and white space before the sign does not hide it.
fn words(raw: &str) -> String {
    let text = plain(raw);
    let begins_like_a_formula = text.starts_with(['\t', '\n'])
        || text.trim_start().starts_with(['=', '+', '-', '@', '＝', '＋', '－', '＠']);
    if begins_like_a_formula && !is_number(&text) { format!("'{text}") } else { text }
}

/// Digits with at most a sign and a decimal point: what a spreadsheet reads as a number and nothing else.
fn is_number(text: &str) -> bool {
    let digits = text.strip_prefix(['+', '-']).unwrap_or(text);
    let (whole, part) = digits.split_once('.').unwrap_or((digits, "0"));
    [whole, part]
        .iter()
        .all(|run| !run.is_empty() && run.bytes().all(|digit| digit.is_ascii_digit()))
}

#[cfg(test)]
mod tests {
    use chrono::NaiveDate;
    use proptest::prelude::*;

    use super::*;

    fn row(note: &str) -> HarvestRow {
        HarvestRow {
            date: NaiveDate::from_ymd_opt(2026, 7, 9).unwrap(),
            planting: "kohlrabi-26".into(),
            crop: "kohlrabi".into(),
            variety: None,
            place: Some("quay bed, north".into()),
            weight_g: Some(640.5),
            count: Some(2),
            unit: Some("heads".into()),
            quality: None,
            cured: Some(false),
            note: Some(note.into()),
        }
    }

    fn unknown() -> HarvestRow {
        HarvestRow {
            place: None,
            weight_g: None,
            count: None,
            unit: None,
            cured: None,
            note: None,
            ..row("")
        }
    }

    #[test]
    fn a_table_in_full() {
        let rows = [row("said \"crisp\"\r\nand sweet"), unknown()];
        let text = String::from_utf8(harvests(&rows)).unwrap();
        let expected = "date,planting,crop,variety,place,weight_g,count,unit,quality,cured,note\r\n\
            2026-07-09,kohlrabi-26,kohlrabi,,\"quay bed, north\",640.5,2,heads,,false,\"said \"\"crisp\"\"\nand sweet\"\r\n\
            2026-07-09,kohlrabi-26,kohlrabi,,,,,,,,\r\n";
        assert_eq!(text, expected);
    }

    #[test]
    fn a_weight_is_a_plain_number_or_nothing() {
        for (grams, cell) in
            [(640.0, "640"), (0.0, "0"), (1.25e7, "12500000"), (f64::NAN, ""), (f64::INFINITY, "")]
        {
            assert_eq!(harvest_cells(&HarvestRow { weight_g: Some(grams), ..row("") })[5], cell);
        }
    }

    /// The characters OWASP lists in 'CSV Injection', and its exception for nothing but numbers is ours.
    #[test]
    fn no_cell_begins_like_a_formula() {
        for bad in [
            "=1+1",
            "+1+1",
            "-1-1",
            "@SUM(A1)",
            "=cmd|' /C calc'!A0",
            " =1",
            "\t=1",
            "\tx",
            "-",
            "-.5e",
            "＝1",
            "+44 20",
            "-1\n=2",
        ] {
            assert_eq!(words(bad), format!("'{bad}"));
        }
        assert_eq!(words("\r=1"), "'\n=1");
        assert_eq!(words("\0=1"), "'=1");
        for fine in ["", "-5", "+5.25", "12", "two - or three", "a@b", "'tis fine", "1=1"] {
            assert_eq!(words(fine), fine);
        }
    }

    proptest! {
        /// Read back by the same crate's reader and by a few lines of RFC 4180 written here.
        #[test]
        fn any_note_comes_back(note in "[a\",\r\n é=+🥕-]{0,12}") {
            let bytes = harvests(&[row(&note), unknown()]);
            let expected = words(&note);
            let mut reader = csv::Reader::from_reader(bytes.as_slice());
            let read: Vec<_> = reader.records().map(Result::unwrap).collect();
            prop_assert_eq!(&read[0][10], expected.as_str());
            let text = String::from_utf8(bytes).unwrap();
            let records = read_rfc4180(&text);
            prop_assert_eq!(records.len(), 3);
            prop_assert!(records.iter().all(|record| record.len() == 11));
            prop_assert_eq!(&records[1][10], &expected);
        }
    }

    fn read_rfc4180(text: &str) -> Vec<Vec<String>> {
        let (mut records, mut record, mut cell, mut quoted) =
            (vec![], vec![], String::new(), false);
        let mut chars = text.chars().peekable();
        while let Some(c) = chars.next() {
            match (quoted, c) {
                (true, '"') if chars.next_if_eq(&'"').is_some() => cell.push('"'),
                (true, '"') => quoted = false,
                (true, c) => cell.push(c),
                (false, '"') if cell.is_empty() => quoted = true,
                (false, ',') => record.push(std::mem::take(&mut cell)),
                (false, '\r') => {
                    assert_eq!(chars.next(), Some('\n'));
                    record.push(std::mem::take(&mut cell));
                    records.push(std::mem::take(&mut record));
                }
                (false, '"' | '\n') => panic!("neither of these may stand bare: {text:?}"),
                (false, c) => cell.push(c),
            }
        }
        assert!(
            record.is_empty() && cell.is_empty() && !quoted,
            "the last record has no CRLF: {text:?}"
        );
        records
    }
}
