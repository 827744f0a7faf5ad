//! Lying bars one below the other, each with its name before it and its value behind it.

use serde::Serialize;

use crate::charts::FRAME;
use crate::charts::axis::tenth;

/// Room for a name before the bars.
const NAMES: f64 = 42.0;
/// Room for a value behind the longest bar.
const VALUES: f64 = 78.0;
/// From one bar to the next.
const PITCH: f64 = 24.0;
const THICKNESS: f64 = 13.0;

/// Lying bars.
#[derive(Clone, Debug, PartialEq, Serialize)]
pub struct Bars {
    /// The width of the drawing.
    pub width: f64,
    pub height: f64,
    /// Where the bars begin.
    pub from: f64,
    /// The bars, from the top.
    pub bars: Vec<Bar>,
}

/// A bar.
#[derive(Clone, Copy, Debug, PartialEq, Serialize)]
pub struct Bar {
    /// Its upper edge.
    pub y: f64,
    /// From the upper to the lower edge.
    pub height: f64,
    /// Its length; nothing where there is no value, which is not the same as a value of nothing.
    pub width: Option<f64>,
    /// The line on which its name and value stand.
    pub line: f64,
    /// Where its value begins.
    pub value_at: f64,
}

/// Bars for these values, the longest as long as there is room.
pub fn lying(values: &[Option<f64>]) -> Bars {
    let longest = values.iter().flatten().copied().fold(0.0, f64::max);
    let room = FRAME - NAMES - VALUES;
    let bars = values.iter().enumerate().map(|(index, value)| {
        let y = index as f64 * PITCH + (PITCH - THICKNESS) / 2.0;
        let length =
            |value: f64| if longest > 0.0 { tenth(value.max(0.0) / longest * room) } else { 0.0 };
        let width = value.map(length);
        Bar {
            y: tenth(y),
            height: THICKNESS,
            width,
            line: tenth(y + THICKNESS - 2.0),
            value_at: tenth(NAMES + width.unwrap_or(0.0) + 6.0),
        }
    });
    Bars {
        width: FRAME,
        height: tenth(values.len() as f64 * PITCH),
        from: NAMES,
        bars: bars.collect(),
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn lengths_are_as_the_values() {
        let bars = lying(&[Some(4.0), None, Some(0.0), Some(1.0)]).bars;
        let widths: Vec<_> = bars.iter().map(|bar| bar.width).collect();
        assert_eq!(widths, [Some(240.0), None, Some(0.0), Some(60.0)]);
        assert_eq!(bars[3].value_at, NAMES + 66.0);
        assert!(bars.iter().all(|bar| bar.value_at + 60.0 <= FRAME));
        assert_eq!(lying(&[Some(0.0)]).bars[0].width, Some(0.0));
    }
}
