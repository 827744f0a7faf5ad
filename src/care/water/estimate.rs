//! A quantity that is known as a range, with a middle to plan by.

use std::ops::Add;

/// From the smallest to the largest value that is likely, and one between them to plan by.
#[derive(Clone, Copy, Debug, Default, PartialEq)]
pub struct Estimate {
    /// The smaller end.
    pub low: f64,
    /// What is planned by.
    pub middle: f64,
    /// The larger end.
    pub high: f64,
}

impl Estimate {
    /// A value that is known.
    pub const fn exactly(value: f64) -> Estimate {
        Estimate { low: value, middle: value, high: value }
    }

    /// A range; the middle lies half way.
    pub const fn between(low: f64, high: f64) -> Estimate {
        Estimate { low, middle: (low + high) / 2.0, high }
    }

    /// All three changed alike; the change must keep their order.
    pub fn map(self, change: impl Fn(f64) -> f64) -> Estimate {
        Estimate { low: change(self.low), middle: change(self.middle), high: change(self.high) }
    }

    /// Times a number that is not negative.
    pub fn times(self, factor: f64) -> Estimate {
        self.map(|value| value * factor)
    }

    /// Times another estimate, neither of them negative: the ends meet their like.
    pub fn by(self, other: Estimate) -> Estimate {
        Estimate {
            low: self.low * other.low,
            middle: self.middle * other.middle,
            high: self.high * other.high,
        }
    }

    /// Divided by another, neither negative: the smallest by the largest. Nothing if that may be nothing.
    pub fn over(self, other: Estimate) -> Option<Estimate> {
        (other.low > 0.0).then(|| Estimate {
            low: self.low / other.high,
            middle: self.middle / other.middle,
            high: self.high / other.low,
        })
    }
}

impl Add for Estimate {
    type Output = Estimate;

    fn add(self, other: Estimate) -> Estimate {
        Estimate {
            low: self.low + other.low,
            middle: self.middle + other.middle,
            high: self.high + other.high,
        }
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn a_quotient_is_as_wide_as_its_ends_allow() {
        let held = Estimate::between(2.0, 4.0);
        let days = held.over(Estimate::between(1.0, 2.0)).unwrap();
        assert_eq!((days.low, days.middle, days.high), (1.0, 2.0, 4.0));
        assert_eq!(held.over(Estimate::exactly(0.0)), None);
    }
}
