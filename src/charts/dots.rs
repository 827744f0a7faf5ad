//! Every planting as a mark along one scale, one row of marks for each side of a comparison.

use serde::Serialize;

use crate::charts::FRAME;
use crate::charts::axis::{Axis, Tick, tenth};

/// Half the width of a mark.
pub const RADIUS: f64 = 5.0;
const LEFT: f64 = 10.0;
const RIGHT: f64 = FRAME - 18.0;
/// Room for the name above a row.
const NAME: f64 = 20.0;
/// Room for round values below the rows.
const FOOT: f64 = 22.0;

/// Rows of marks.
#[derive(Clone, Debug, PartialEq, Serialize)]
pub struct Dots {
    /// The width of the drawing.
    pub width: f64,
    pub height: f64,
    /// Round values along the foot, lowest first.
    pub values: Vec<Tick>,
    /// How many decimals these need.
    pub decimals: usize,
    /// The line on which round values are written.
    pub foot: f64,
    /// The lower end of the lines up from them.
    pub ground: f64,
    /// The rows, from the top.
    pub rows: Vec<Row>,
}

/// A row of marks.
#[derive(Clone, Debug, PartialEq, Serialize)]
pub struct Row {
    /// The line on which its name stands.
    pub name_at: f64,
    /// The marks' middles, in the order of the values.
    pub marks: Vec<Mark>,
    /// The line the lowest marks stand on.
    pub ground: f64,
    /// Where the mean is, if it is to be shown.
    pub mean: Option<Mean>,
}

/// A mark.
#[derive(Clone, Copy, Debug, PartialEq, Serialize)]
pub struct Mark {
    pub x: f64,
    pub y: f64,
}

/// An upright line at a mean.
#[derive(Clone, Copy, Debug, PartialEq, Serialize)]
pub struct Mean {
    pub x: f64,
    /// Its upper end.
    pub top: f64,
}

/// Rows of marks for these values, with a mean where there is one.
pub fn rows(sides: &[(Vec<f64>, Option<f64>)]) -> Dots {
    let all = sides.iter().flat_map(|(values, _)| values.iter().copied());
    let axis = Axis::from_zero(all, LEFT, RIGHT, 4);
    let mut top = 0.0;
    let mut rows = Vec::new();
    for (values, mean) in sides {
        let places: Vec<f64> = values.iter().map(|value| axis.place(*value)).collect();
        let floors = floors(&places);
        let highest = floors.iter().copied().max().unwrap_or(0) as f64;
        let ground = tenth(top + NAME + (highest + 1.0) * 2.0 * RADIUS + 4.0);
        let marks = places.iter().zip(&floors).map(|(x, floor)| Mark {
            x: *x,
            y: tenth(ground - RADIUS - *floor as f64 * 2.0 * RADIUS),
        });
        rows.push(Row {
            name_at: tenth(top + NAME - 6.0),
            marks: marks.collect(),
            ground,
            mean: mean.map(|mean| Mean { x: axis.place(mean), top: tenth(top + NAME - 2.0) }),
        });
        top = ground + 8.0;
    }
    let ground = tenth(top);
    Dots {
        width: FRAME,
        height: tenth(top + FOOT),
        values: axis.ticks(),
        decimals: axis.decimals(),
        foot: tenth(top + FOOT - 6.0),
        ground,
        rows,
    }
}

/// How many marks each has below it, so that none covers another: the lowest floor on which it has room.
fn floors(places: &[f64]) -> Vec<usize> {
    let mut order: Vec<usize> = (0..places.len()).collect();
    order.sort_by(|a, b| places[*a].total_cmp(&places[*b]));
    let mut ends: Vec<f64> = Vec::new();
    let mut floors = vec![0; places.len()];
    for index in order {
        let place = places[index];
        let free = ends.iter().position(|end| place - end >= 2.0 * RADIUS);
        let floor = free.unwrap_or(ends.len());
        match ends.get_mut(floor) {
            Some(end) => *end = place,
            None => ends.push(place),
        }
        floors[index] = floor;
    }
    floors
}

#[cfg(test)]
mod tests {
    use proptest::prelude::*;

    use super::*;

    #[test]
    fn rows_share_one_scale() {
        let drawn = rows(&[(vec![0.0, 4.0], Some(2.0)), (vec![2.0], None)]);
        let [first, second] = drawn.rows.as_slice() else { panic!("two rows") };
        assert_eq!((first.marks[0].x, first.marks[1].x), (LEFT, RIGHT));
        assert_eq!(first.mean.map(|mean| mean.x), Some(second.marks[0].x));
        assert_eq!(second.mean, None);
        assert!(second.name_at > first.ground && drawn.height > second.ground);
    }

    proptest! {
        #[test]
        fn no_mark_covers_another(values in proptest::collection::vec(0.0..9.0_f64, 1..40)) {
            let drawn = rows(&[(values.clone(), None)]);
            let marks = &drawn.rows[0].marks;
            prop_assert_eq!(marks.len(), values.len());
            for (index, one) in marks.iter().enumerate() {
                for two in &marks[index + 1..] {
                    let apart = (one.x - two.x).abs().max((one.y - two.y).abs());
                    prop_assert!(apart >= 2.0 * RADIUS - 0.11, "{one:?} {two:?}");
                }
                prop_assert!(one.y > drawn.rows[0].name_at && one.y < drawn.height);
            }
        }
    }
}
