//! The groups of a planting: which of them a line means, taken out, and put in where they stand then.

use crate::garden::build::history::{Doubt, Impossible, Plot, is_up};
use crate::garden::place::PlaceId;
use crate::garden::planting::{Group, Plants, Stay};
use chrono::NaiveDate;

/// Which plants a line is about, as far as it says so.
#[derive(Clone, Debug, Default)]
pub(in crate::garden::build) struct Meant {
    pub(in crate::garden::build) count: Option<Plants>,
    /// Where they stood; empty if nothing is said.
    pub(in crate::garden::build) from: Vec<PlaceId>,
}

impl Meant {
    /// Plants whose place nobody ever wrote may be anywhere.
    pub(super) fn is_there(&self, group: &Group) -> bool {
        self.from.is_empty() || group.place.is_none_or(|place| self.from.contains(&place))
    }
}

impl Plot {
    pub(super) fn check_there(&self, meant: &Meant) -> Result<(), Impossible> {
        match meant.from.first() {
            Some(place) if !self.groups.iter().any(|group| meant.is_there(group)) => {
                Err(Impossible::NoneThere(*place))
            }
            _ => Ok(()),
        }
    }

    /// Takes so many plants in an order, those that arrived first before others; without a count all that
    /// are first in that order.
    pub(super) fn take<K: Ord>(
        &mut self,
        count: Option<Plants>,
        from: impl Fn(&Group) -> bool,
        order: impl Fn(&Group) -> K,
    ) -> Result<Vec<Group>, Impossible> {
        self.groups.sort_by_key(|group| (order(group), group.arrived));
        if let Some(count) = count {
            return self.take_in_order(count, from);
        }
        let first = self.groups.iter().find(|group| from(group)).map(&order);
        Ok(self.take_all(|group| from(group) && Some(order(group)) == first))
    }

    /// Whether a counted line could as well be about plants in another place. What came there on the same
    /// day is meant by a line of its own.
    pub(super) fn doubt(
        &self,
        taken: &[Group],
        day: NaiveDate,
        meant: &Meant,
        could_be: impl Fn(&Group, &Group) -> bool,
    ) -> Option<Doubt> {
        let wanted = meant.count?.number?;
        let first = taken.first().filter(|_| meant.from.is_empty())?;
        let place = first.place.filter(|_| taken.iter().all(|group| group.place == first.place))?;
        let mut others = self.groups.iter().filter(|other| {
            other.place != Some(place)
                && other.arrived < day
                && other.plants.number.is_none_or(|number| number >= wanted)
                && could_be(first, other)
        });
        Some(Doubt { taken: place, other: others.find_map(|other| other.place)? })
    }

    fn take_in_order(
        &mut self,
        count: Plants,
        from: impl Fn(&Group) -> bool,
    ) -> Result<Vec<Group>, Impossible> {
        let Some(wanted) = count.number else {
            // An unknown number goes from all of them and leaves an unknown number.
            let mut taken = Vec::new();
            for group in self.groups.iter_mut().filter(|group| from(group)) {
                taken.push(Group { plants: Plants::UNKNOWN, ..*group });
                group.plants = Plants::UNKNOWN;
            }
            return Ok(taken);
        };
        let remain = self.groups.iter().filter(|group| from(group)).map(|group| group.plants);
        let remain = remain.reduce(Plants::and).unwrap_or(Plants::exactly(0));
        let is_certain = !remain.is_about && !count.is_about;
        if is_certain && remain.number.is_some_and(|remain| remain < wanted) {
            return Err(Impossible::TooMany { wanted, remain });
        }
        let mut left = wanted;
        let mut taken = Vec::new();
        for group in self.groups.iter_mut().filter(|group| from(group)) {
            if left == 0 {
                break;
            }
            let here = group.plants.number.map_or(left, |number| number.min(left));
            left -= here;
            group.plants.number = group.plants.number.map(|number| number - here);
            let plants = Plants { number: Some(here), is_about: count.is_about };
            taken.push(Group { plants, ..*group });
        }
        if let Some(first) = taken.first_mut() {
            // 'about 20' may turn out to have been 22.
            first.plants.number = first.plants.number.map(|number| number + left);
        }
        self.drop_empty();
        Ok(taken)
    }

    pub(super) fn take_all(&mut self, from: impl Fn(&Group) -> bool) -> Vec<Group> {
        let (taken, kept) = self.groups.iter().copied().partition(|group| from(group));
        self.groups = kept;
        taken
    }

    pub(super) fn add(&mut self, new: Group) {
        let alike = |group: &&mut Group| group.stage == new.stage && group.place == new.place;
        match self.groups.iter_mut().find(alike) {
            Some(group) => {
                group.plants = group.plants.and(new.plants);
                group.reached = group.reached.max(new.reached);
                group.arrived = group.arrived.max(new.arrived);
            }
            None => self.groups.push(new),
        }
        self.has_come_up |= is_up(&new);
        self.drop_empty();
    }

    fn drop_empty(&mut self) {
        self.groups.retain(|group| group.plants.number != Some(0));
    }

    /// Opens a stay where plants now stand and closes one where none do. Seeds that were left behind
    /// by their seedlings hold no place.
    pub(super) fn follow_stays(&mut self, day: NaiveDate) {
        let is_seed_alone = !self.has_come_up && self.finished.is_none();
        let mut places: Vec<PlaceId> = self
            .groups
            .iter()
            .filter(|group| is_seed_alone || is_up(group))
            .filter_map(|group| group.place)
            .collect();
        places.sort_unstable();
        places.dedup();
        for stay in self.stays.iter_mut().filter(|stay| stay.to.is_none()) {
            if !places.contains(&stay.place) {
                stay.to = Some(day);
            }
        }
        for place in places {
            if !self.is_in(place) {
                self.stays.push(Stay { place, from: day, to: None });
            }
        }
    }
}
