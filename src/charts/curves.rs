//! Sums that grow in the course of a season, one line a season, each with its name at its end.

use serde::Serialize;

use crate::charts::FRAME;
use crate::charts::axis::{Axis, Tick, tenth};

/// Room for values before the lines.
const VALUES: f64 = 34.0;
/// Room for names behind them.
const NAMES: f64 = 62.0;
const TOP: f64 = 22.0;
const BOTTOM: f64 = 172.0;
const HEIGHT: f64 = 194.0;
/// Two names on lines closer than this cannot be read.
const LINE: f64 = 15.0;

/// A day's sum, as a share of the stretch of days that is drawn (0 its first morning, 1 its last evening) and a value.
pub type Point = (f64, f64);

/// Growing sums.
#[derive(Clone, Debug, PartialEq, Serialize)]
pub struct Curves {
    /// The width of the drawing.
    pub width: f64,
    pub height: f64,
    /// Where the lines begin.
    pub left: f64,
    /// Where they may end.
    pub right: f64,
    /// The line on which months stand.
    pub foot: f64,
    /// Round values up the side, lowest first.
    pub values: Vec<Tick>,
    /// How many decimals these need.
    pub decimals: usize,
    /// The seasons' lines, in the order they were given.
    pub lines: Vec<Line>,
}

/// The line of a season.
#[derive(Clone, Debug, PartialEq, Serialize)]
pub struct Line {
    /// Its corners from left to right: level until a day of picking, and up on it.
    pub corners: Vec<Corner>,
    /// Where its name stands, beside its end or as near as other names leave room.
    pub name_at: f64,
}

/// A corner of a line.
#[derive(Clone, Copy, Debug, PartialEq, Serialize)]
pub struct Corner {
    pub x: f64,
    pub y: f64,
}

/// Lines for some seasons, each given by its sums in order of time and by where it ends (0 to 1).
pub fn growing(seasons: &[(Vec<Point>, f64)]) -> Curves {
    let (left, right) = (VALUES, FRAME - NAMES);
    let sums = seasons.iter().flat_map(|(points, _)| points.iter().map(|(_, sum)| *sum));
    let axis = Axis::from_zero(sums, BOTTOM, TOP, 4);
    let across = |share: f64| tenth(left + share * (right - left));
    let mut lines: Vec<Line> = seasons
        .iter()
        .map(|(points, end)| {
            let mut corners = vec![Corner { x: across(0.0), y: axis.place(0.0) }];
            let mut level = axis.place(0.0);
            for (share, sum) in points {
                corners.push(Corner { x: across(*share), y: level });
                level = axis.place(*sum);
                corners.push(Corner { x: across(*share), y: level });
            }
            corners.push(Corner { x: across(*end), y: level });
            Line { corners, name_at: level + 4.0 }
        })
        .collect();
    keep_apart(&mut lines);
    Curves {
        width: FRAME,
        height: HEIGHT,
        left,
        right,
        foot: HEIGHT - 5.0,
        values: axis.ticks(),
        decimals: axis.decimals(),
        lines,
    }
}

/// Where a day is that lies so far along the stretch.
pub fn across(share: f64) -> f64 {
    tenth(VALUES + share * (FRAME - NAMES - VALUES))
}

/// Moves names up or down until each has a line to itself, in the order of the lines' ends.
fn keep_apart(lines: &mut [Line]) {
    let mut order: Vec<usize> = (0..lines.len()).collect();
    order.sort_by(|a, b| lines[*b].name_at.total_cmp(&lines[*a].name_at));
    let lowest = BOTTOM + 4.0;
    let mut above = lowest + LINE;
    for index in order {
        let at = lines[index].name_at.min(above - LINE);
        lines[index].name_at = tenth(at);
        above = at;
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn lines_go_level_and_up() {
        let drawn = growing(&[(vec![(0.5, 1.0), (1.0, 4.0)], 1.0)]);
        let corners: Vec<_> = drawn.lines[0].corners.iter().map(|c| (c.x, c.y)).collect();
        let middle = across(0.5);
        assert_eq!(
            corners,
            [
                (34.0, 172.0),
                (middle, 172.0),
                (middle, 134.5),
                (298.0, 134.5),
                (298.0, 22.0),
                (298.0, 22.0)
            ]
        );
        assert_eq!(drawn.values.len(), 5);
    }

    #[test]
    fn names_do_not_cover_one_another() {
        let alike: Vec<_> = (0..5).map(|n| (vec![(0.2, 3.0 + f64::from(n) / 50.0)], 1.0)).collect();
        let drawn = growing(&alike);
        let mut names: Vec<f64> = drawn.lines.iter().map(|line| line.name_at).collect();
        names.sort_by(f64::total_cmp);
        assert!(names.windows(2).all(|pair| pair[1] - pair[0] >= LINE - 0.11), "{names:?}");
    }

    #[test]
    fn nothing_picked_is_a_line_on_the_ground() {
        let drawn = growing(&[(vec![], 0.5)]);
        let corners = &drawn.lines[0].corners;
        assert!(corners.iter().all(|corner| corner.y == BOTTOM));
        assert_eq!(corners[corners.len() - 1].x, across(0.5));
    }
}
