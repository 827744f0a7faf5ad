//! Numbers by chance for simulated gardens, the same in every run.

use std::f64::consts::PI;

/// SplitMix64 (G. Steele, D. Lea, C. Flood, OOPSLA 2014), and what is made of it.
pub(crate) struct Dice(u64);

impl Dice {
    pub(crate) fn new(seed: u64) -> Dice {
        Dice(seed)
    }

    /// Anything from 0 to 1, 1 excluded.
    pub(crate) fn roll(&mut self) -> f64 {
        self.0 = self.0.wrapping_add(0x9e37_79b9_7f4a_7c15);
        let mut z = self.0;
        z = (z ^ (z >> 30)).wrapping_mul(0xbf58_476d_1ce4_e5b9);
        z = (z ^ (z >> 27)).wrapping_mul(0x94d0_49bb_1331_11eb);
        ((z ^ (z >> 31)) >> 11) as f64 / (1_u64 << 53) as f64
    }

    /// The standard normal (Box & Muller 1958).
    pub(crate) fn normal(&mut self) -> f64 {
        let (one, two) = (1.0 - self.roll(), self.roll());
        (-2.0 * libm::log(one)).sqrt() * libm::cos(2.0 * PI * two)
    }
}
