//! A bucket cut open: what a mix is made of, in layers as high as their shares.

use serde::Serialize;

use crate::charts::axis::tenth;

const WIDTH: f64 = 130.0;
const HEIGHT: f64 = 150.0;
/// So much narrower is the bottom on each side.
const SLOPE: f64 = 22.0;

/// A bucket in layers.
#[derive(Clone, Debug, PartialEq, Serialize)]
pub struct Bucket {
    /// The width of the drawing.
    pub width: f64,
    pub height: f64,
    /// The layers, from the top.
    pub layers: Vec<Layer>,
}

/// A layer.
#[derive(Clone, Copy, Debug, PartialEq, Serialize)]
pub struct Layer {
    /// Its corners, clockwise from the upper left.
    pub corners: [[f64; 2]; 4],
    /// The middle, where its number stands.
    pub middle: [f64; 2],
}

/// Layers from the top, as high as these parts are of all.
pub fn layers(parts: &[f64]) -> Bucket {
    let all: f64 = parts.iter().sum();
    let inset = |y: f64| tenth(y / HEIGHT * SLOPE);
    let mut y = 0.0;
    let layers = parts.iter().map(|part| {
        let (top, bottom) = (y, y + part / all * HEIGHT);
        y = bottom;
        let (left, low) = (inset(top), inset(bottom));
        let [top, bottom] = [top, bottom].map(tenth);
        Layer {
            corners: [
                [left, top],
                [tenth(WIDTH - left), top],
                [tenth(WIDTH - low), bottom],
                [low, bottom],
            ],
            middle: [WIDTH / 2.0, tenth((top + bottom) / 2.0)],
        }
    });
    Bucket { layers: layers.collect(), width: WIDTH, height: HEIGHT }
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn layers_are_as_high_as_their_shares_and_fill_the_bucket() {
        let bucket = layers(&[2.0, 1.0, 1.0]);
        let heights: Vec<_> =
            bucket.layers.iter().map(|layer| layer.corners[2][1] - layer.corners[0][1]).collect();
        assert_eq!(heights, [75.0, 37.5, 37.5]);
        assert_eq!(bucket.layers[0].corners[0], [0.0, 0.0]);
        assert_eq!(bucket.layers[2].corners[3], [SLOPE, HEIGHT]);
        assert_eq!(bucket.layers[0].corners[3], bucket.layers[1].corners[0]);
    }
}
