//! A QR code (ISO/IEC 18004) as one shape.

use qrcode::{Color, QrCode as Symbol};
use serde::Serialize;

/// Light modules that the standard wants on every side.
const QUIET_ZONE: usize = 4;

/// A QR code, its quiet zone included. One unit is one module.
#[derive(Clone, Debug, PartialEq, Serialize)]
pub struct QrCode {
    /// Units from side to side.
    pub size: usize,
    /// The dark modules, row by row, as an SVG path.
    pub path: String,
}

impl QrCode {
    /// The code of a text, of which 15 % may be lost; nothing if it is too long for one (2,331 bytes).
    pub fn new(text: &str) -> Option<QrCode> {
        let symbol = Symbol::new(text).ok()?;
        let width = symbol.width();
        let mut path = String::new();
        for (row, modules) in symbol.to_colors().chunks(width).enumerate() {
            let mut column = 0;
            for run in modules.chunk_by(|one, next| one == next) {
                if run[0] == Color::Dark {
                    let (x, y, length) = (column + QUIET_ZONE, row + QUIET_ZONE, run.len());
                    path.push_str(&format!("M{x} {y}h{length}v1h-{length}z"));
                }
                column += run.len();
            }
        }
        Some(QrCode { size: width + 2 * QUIET_ZONE, path })
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    /// The shape drawn on paper, four dots a module.
    fn drawn(code: &QrCode) -> Vec<Vec<bool>> {
        let mut dark = vec![vec![false; code.size * 4]; code.size * 4];
        for run in code.path.split('z').filter(|run| !run.is_empty()) {
            let numbers: Vec<usize> = run
                .split(|char: char| !char.is_ascii_digit())
                .filter_map(|number| number.parse().ok())
                .collect();
            let [x, y, length, ..] = numbers[..] else { panic!("{run}") };
            for line in &mut dark[4 * y..4 * (y + 1)] {
                line[4 * x..4 * (x + length)].fill(true);
            }
        }
        dark
    }

    /// Read by rqrr, a decoder by other people.
    #[test]
    fn another_program_reads_it() {
        for text in [
            "webcal://garden.example/tasks.ics",
            "https://beans.example/a-school/plantings/tomato-26-03-14/index.html",
            "https://beans.example/%E8%8C%84%E5%AD%90/",
        ] {
            let code = QrCode::new(text).expect("a code");
            let dark = drawn(&code);
            let paper = |x: usize, y: usize| if dark[y][x] { 0 } else { 255 };
            let mut sheet =
                rqrr::PreparedImage::prepare_from_greyscale(dark.len(), dark.len(), paper);
            let grids = sheet.detect_grids();
            let [grid] = &grids[..] else { panic!("{} codes", grids.len()) };
            assert_eq!(grid.decode().expect("readable").1, text);
        }
    }

    #[test]
    fn what_is_too_long_has_none() {
        assert!(QrCode::new(&"x".repeat(2_331)).is_some());
        assert_eq!(QrCode::new(&"x".repeat(2_332)), None);
    }
}
