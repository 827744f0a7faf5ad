//! A place seen from above: a bed to scale with its plantings as strips across it, or containers in rows.

use serde::Serialize;

use crate::charts::FRAME;
use crate::charts::axis::tenth;

/// More containers would be too small to tell apart.
pub const MOST_CONTAINERS: usize = 60;
/// A number needs so much height, so the longest beds are drawn a little wider than they are.
const LEAST_HEIGHT: f64 = 22.0;
/// A square bed is no higher than this, and then not as wide as the page.
const MOST_HEIGHT: f64 = 200.0;
/// A container is no larger, with the gap to the next.
const LARGEST_CONTAINER: f64 = 44.0;
const GAP: f64 = 5.0;

/// A drawing of a place.
#[derive(Clone, Debug, PartialEq, Serialize)]
pub struct GroundPlan {
    pub width: f64,
    pub height: f64,
    /// Pieces of ground, or containers.
    pub pieces: Vec<Piece>,
}

/// A piece of ground, or a container.
#[derive(Clone, Copy, Debug, PartialEq, Serialize)]
pub struct Piece {
    /// The number of the planting in the list, from 1; nothing where it is free.
    pub number: Option<usize>,
    /// Left edge.
    pub x: f64,
    /// Upper edge.
    pub y: f64,
    /// From left to right.
    pub width: f64,
    /// From top to bottom.
    pub height: f64,
    /// The middle, where the number stands.
    pub middle: [f64; 2],
}

/// A bed of two sides in one unit, with shares of its ground in order; what is left of the whole is free.
/// Shares of more than the whole are drawn as narrow as they must be to find room.
pub fn bed(sides: [f64; 2], shares: &[f64]) -> GroundPlan {
    let (long, short) = (sides[0].max(sides[1]), sides[0].min(sides[1]));
    let scale = (FRAME / long).min(MOST_HEIGHT / short);
    let (width, height) = (tenth(long * scale), tenth((short * scale).max(LEAST_HEIGHT)));
    let taken: f64 = shares.iter().sum();
    let free = (1.0 - taken).max(0.0);
    let all = taken.max(1.0);
    let mut x = 0.0;
    let numbered = shares.iter().enumerate().map(|(index, share)| (Some(index + 1), *share));
    // A sliver is rounding, not room.
    let strips = numbered.chain((free > 0.01).then_some((None, free)));
    let pieces = strips.map(|(number, share)| {
        let strip = width * share / all;
        x += strip;
        Piece::new(number, [x - strip, 0.0], [strip, height])
    });
    GroundPlan { pieces: pieces.collect(), width, height }
}

/// Containers in rows, as many of them taken by each planting as said, in order; the others are free.
pub fn containers(number: usize, taken: &[usize]) -> GroundPlan {
    let in_a_row = if number > 40 { 12 } else { 10 };
    let rows = number.div_ceil(in_a_row).max(1);
    let columns = number.div_ceil(rows).max(1);
    let pitch = (FRAME / columns as f64).min(LARGEST_CONTAINER);
    let mut owners = (1..).zip(taken).flat_map(|(owner, much)| vec![owner; *much]);
    let pieces = (0..number).map(|at| {
        let corner = [(at % columns) as f64 * pitch, (at / columns) as f64 * pitch];
        Piece::new(owners.next(), corner, [pitch - GAP; 2])
    });
    GroundPlan {
        pieces: pieces.collect(),
        width: tenth(columns as f64 * pitch - GAP),
        height: tenth(rows as f64 * pitch - GAP),
    }
}

impl Piece {
    fn new(number: Option<usize>, [x, y]: [f64; 2], [width, height]: [f64; 2]) -> Piece {
        let middle = [tenth(x + width / 2.0), tenth(y + height / 2.0)];
        let [x, y, width, height] = [x, y, width, height].map(tenth);
        Piece { number, x, y, width, height, middle }
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn strips_are_as_wide_as_their_shares() {
        let plan = bed([1.2, 2.4], &[0.5, 0.25]);
        assert_eq!([plan.width, plan.height], [360.0, 180.0]);
        let strips: Vec<_> =
            plan.pieces.iter().map(|piece| (piece.number, piece.x, piece.width)).collect();
        assert_eq!(strips, [(Some(1), 0.0, 180.0), (Some(2), 180.0, 90.0), (None, 270.0, 90.0)]);
        assert_eq!(plan.pieces[0].middle, [90.0, 90.0]);
    }

    #[test]
    fn more_than_there_is_room_for_is_drawn_within_the_bed() {
        let plan = bed([2.0, 1.0], &[1.0, 0.5]);
        let ends: Vec<_> = plan.pieces.iter().map(|piece| piece.x + piece.width).collect();
        assert_eq!(ends, [240.0, 360.0]);
    }

    #[test]
    fn odd_beds_can_be_read() {
        assert_eq!(bed([30.0, 0.5], &[]).height, LEAST_HEIGHT);
        let square = bed([1.0, 1.0], &[1.0]);
        assert_eq!((square.width, square.height, square.pieces.len()), (200.0, 200.0, 1));
    }

    #[test]
    fn each_container_belongs_to_somebody_or_is_free() {
        let plan = containers(12, &[6, 2, 2]);
        let owners: Vec<_> = plan.pieces.iter().map(|piece| piece.number).collect();
        let of = |number, times| vec![Some(number); times];
        assert_eq!(owners, [of(1, 6), of(2, 2), of(3, 2), vec![None; 2]].concat());
        let inside = |piece: &Piece| {
            piece.x + piece.width <= plan.width + 0.1 && piece.y + piece.height <= plan.height + 0.1
        };
        assert!(plan.pieces.iter().all(inside) && plan.width <= FRAME, "{plan:?}");
        for number in 1..=MOST_CONTAINERS {
            let plan = containers(number, &[number + 3]);
            assert_eq!(plan.pieces.len(), number);
            assert!(plan.width <= FRAME && plan.height <= MOST_HEIGHT, "{number}: {plan:?}");
            assert!(plan.pieces.iter().all(|piece| piece.width >= 18.0), "{number}: {plan:?}");
        }
    }
}
