//! Running counts over the days of a year, so that 'how many such days between' is one subtraction.

/// A running sum; `until[n]` is the sum over the first n days.
pub(super) struct Tally {
    until: Vec<f64>,
}

impl Tally {
    /// The days that have a property.
    pub(super) fn count<D>(days: &[D], has: impl Fn(&D) -> bool) -> Tally {
        Tally::sum(days, |day| if has(day) { 1.0 } else { 0.0 })
    }

    /// An amount for each day. What is not above 0 counts as 0, so that the sum never falls.
    pub(super) fn sum<D>(days: &[D], amount: impl Fn(&D) -> f64) -> Tally {
        let mut until = Vec::with_capacity(days.len() + 1);
        let mut sum = 0.0;
        until.push(sum);
        for day in days {
            sum += amount(day).max(0.0);
            until.push(sum);
        }
        Tally { until }
    }

    /// The sum from day `from` until before day `to`, as far as the days reach.
    pub(super) fn between(&self, from: i64, to: i64) -> f64 {
        self.at(to) - self.at(from)
    }

    /// The first day on which the sum since the start of `from` has reached `wanted`; `from` itself for
    /// nothing wanted, none if the days do not reach.
    pub(super) fn reached(&self, from: i64, wanted: f64) -> Option<i64> {
        let goal = self.at(from) + wanted;
        let day = self.until.partition_point(|sum| *sum < goal);
        (day < self.until.len()).then_some((day as i64).max(from))
    }

    fn at(&self, day: i64) -> f64 {
        let last = self.until.len() as i64 - 1;
        self.until[day.clamp(0, last) as usize]
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn counts_between_days() {
        let tally = Tally::count(&[true, false, true, true], |day| *day);
        assert_eq!(tally.between(0, 4), 3.0);
        assert_eq!(tally.between(1, 3), 1.0);
        assert_eq!(tally.between(-5, 90), 3.0);
        assert_eq!(tally.reached(1, 2.0), Some(4));
        assert_eq!(tally.reached(1, 0.0), Some(1));
        assert_eq!(tally.reached(0, 4.0), None);
    }

    #[test]
    fn what_is_no_number_counts_nothing() {
        assert_eq!(Tally::sum(&[1.0, f64::NAN, 2.0], |day| *day).between(0, 3), 3.0);
    }
}
