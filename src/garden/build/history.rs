//! What happens to the plants of one planting: groups reach stages, go elsewhere, are lost.

use chrono::NaiveDate;

use crate::garden::place::PlaceId;
use crate::garden::planting::{Group, Plants, Stay, standing};
use crate::happening::Happening;
use crate::stage::Stage;

/// The plants of a planting while its history is followed.
#[derive(Clone, Debug, Default)]
pub(super) struct Plot {
    pub(super) groups: Vec<Group>,
    pub(super) stays: Vec<Stay>,
    pub(super) finished: Option<NaiveDate>,
}

/// Why something cannot have happened so.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub(super) enum Impossible {
    /// More plants were counted than there were.
    TooMany {
        /// What the grower counted.
        wanted: u32,
        /// What there was.
        remain: Plants,
    },
    /// All plants are past this stage.
    PastIt,
}

impl Plot {
    /// New plants: the beginning of a planting, or a second sowing.
    pub(super) fn begin(
        &mut self,
        day: NaiveDate,
        stage: Stage,
        plants: Plants,
        place: Option<PlaceId>,
    ) {
        self.add(Group { stage: stage.settled(), place, plants });
        self.follow_stays(day);
    }

    /// A perennial starts its year anew: whatever it reached before, it stands at its place again.
    pub(super) fn begin_season(&mut self) {
        for group in &mut self.groups {
            group.stage = group.stage.min(Stage::PlantedOut);
        }
    }

    /// Some plants, or those that are furthest on, reach a stage. Returns how many.
    pub(super) fn reach(
        &mut self,
        day: NaiveDate,
        stage: Stage,
        count: Option<Plants>,
        place: Option<PlaceId>,
    ) -> Result<Plants, Impossible> {
        if stage == Stage::Finished {
            return self.go(day, count, Happening::Reached(stage), None);
        }
        let may_repeat = stage == Stage::PottedOn;
        let is_behind = |group: &Group| group.stage < stage || (may_repeat && group.stage == stage);
        if !self.groups.iter().any(is_behind) {
            // With nothing behind it, a count can only be one plant too many.
            let remain = Plants::exactly(0);
            return match count.and_then(|count| count.number) {
                Some(wanted) if self.front() <= Some(stage) => {
                    Err(Impossible::TooMany { wanted, remain })
                }
                _ => Err(Impossible::PastIt),
            };
        }
        let is_straggling = count.is_none() && self.front() > Some(stage);
        if is_straggling {
            return Err(Impossible::PastIt);
        }
        let front =
            self.groups.iter().filter(|group| is_behind(group)).map(|group| group.stage).max();
        let taken = match count {
            Some(count) => self.take(count, is_behind)?,
            None => self.take_all(|group| Some(group.stage) == front),
        };
        let reached = all_of(&taken);
        for group in taken {
            self.add(Group { stage, place: place.or(group.place), ..group });
        }
        self.follow_stays(day);
        Ok(reached)
    }

    /// Plants stand elsewhere now: so many, or all. Returns how many.
    pub(super) fn move_to(
        &mut self,
        day: NaiveDate,
        count: Option<Plants>,
        place: Option<PlaceId>,
    ) -> Result<Plants, Impossible> {
        let taken = match count {
            Some(count) => self.take(count, |_| true)?,
            None => self.take_all(|_| true),
        };
        let moved = all_of(&taken);
        for group in taken {
            self.add(Group { place, ..group });
        }
        self.follow_stays(day);
        Ok(moved)
    }

    /// Cloves, sets or tubers that were planted come up: so many of them, the rest never will.
    /// Returns how many.
    pub(super) fn come_up(
        &mut self,
        day: NaiveDate,
        count: Option<Plants>,
    ) -> Result<Plants, Impossible> {
        if let Some(count) = count {
            let up = self.take(count, |_| true)?;
            self.groups = Vec::new();
            up.into_iter().for_each(|group| self.add(group));
        }
        self.follow_stays(day);
        Ok(all_of(&self.groups))
    }

    /// Plants go for good: thinned, given away, lost, or cleared; from `place`, if it is said.
    ///
    /// Where nothing is said, spares are given away and thinned first, and what is lost is lost from
    /// those furthest on. Returns how many.
    pub(super) fn go(
        &mut self,
        day: NaiveDate,
        count: Option<Plants>,
        what: Happening,
        place: Option<PlaceId>,
    ) -> Result<Plants, Impossible> {
        let is_there = |group: &Group| place.is_none() || group.place == place;
        let gone = match (count, what) {
            (Some(count), Happening::GivenAway | Happening::Thinned) => {
                all_of(&self.take_spares(count, is_there)?)
            }
            (Some(count), _) => all_of(&self.take(count, is_there)?),
            (None, Happening::Reached(_)) => standing(&self.take_all(|_| true)),
            (None, _) => {
                // Some went, nobody counted: what is left is not known any more.
                self.groups.iter_mut().for_each(|group| group.plants = Plants::UNKNOWN);
                Plants::UNKNOWN
            }
        };
        if standing(&self.groups) == Plants::exactly(0) {
            self.groups.clear();
            self.finished = Some(day);
        }
        self.follow_stays(day);
        Ok(gone)
    }

    /// Takes plants out for a planting of their own.
    pub(super) fn split(
        &mut self,
        day: NaiveDate,
        count: Option<Plants>,
    ) -> Result<Vec<Group>, Impossible> {
        let front = self.front();
        let taken = match count {
            Some(count) => self.take(count, |_| true)?,
            None => self.take_all(|group| Some(group.stage) == front),
        };
        if standing(&self.groups) == Plants::exactly(0) {
            self.groups.clear();
            self.finished = Some(day);
        }
        self.follow_stays(day);
        Ok(taken)
    }

    /// The stage of the plants furthest on.
    pub(super) fn front(&self) -> Option<Stage> {
        self.groups.iter().map(|group| group.stage).max()
    }

    /// Where it stands now.
    pub(super) fn is_in(&self, place: PlaceId) -> bool {
        self.stays.iter().any(|stay| stay.place == place && stay.to.is_none())
    }

    /// Takes so many plants, from those furthest on first.
    fn take(
        &mut self,
        count: Plants,
        from: impl Fn(&Group) -> bool,
    ) -> Result<Vec<Group>, Impossible> {
        self.groups.sort_by_key(|group| std::cmp::Reverse(group.stage));
        self.take_in_order(count, from)
    }

    /// Takes so many plants, from those that are up but furthest behind first, seeds last.
    fn take_spares(
        &mut self,
        count: Plants,
        from: impl Fn(&Group) -> bool,
    ) -> Result<Vec<Group>, Impossible> {
        self.groups.sort_by_key(|group| (group.stage <= Stage::SownAgain, group.stage));
        self.take_in_order(count, from)
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

    fn take_all(&mut self, from: impl Fn(&Group) -> bool) -> Vec<Group> {
        let (taken, kept) = self.groups.iter().copied().partition(|group| from(group));
        self.groups = kept;
        taken
    }

    fn add(&mut self, new: Group) {
        let alike = |group: &&mut Group| group.stage == new.stage && group.place == new.place;
        match self.groups.iter_mut().find(alike) {
            Some(group) => group.plants = group.plants.and(new.plants),
            None => self.groups.push(new),
        }
        self.drop_empty();
    }

    fn drop_empty(&mut self) {
        self.groups.retain(|group| group.plants.number != Some(0));
    }

    /// Opens a stay where plants now stand and closes one where none do. Seeds that were left behind
    /// by their seedlings hold no place.
    fn follow_stays(&mut self, day: NaiveDate) {
        let is_up = self.groups.iter().any(|group| group.stage > Stage::Sown);
        let mut places: Vec<PlaceId> = self
            .groups
            .iter()
            .filter(|group| !is_up || group.stage > Stage::Sown)
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

/// The plants of all groups.
fn all_of(groups: &[Group]) -> Plants {
    groups.iter().map(|group| group.plants).reduce(Plants::and).unwrap_or(Plants::exactly(0))
}

#[cfg(test)]
mod tests {
    use super::*;

    fn day(number: u32) -> NaiveDate {
        NaiveDate::from_ymd_opt(2026, 3, number).unwrap()
    }

    fn count(number: u32) -> Option<Plants> {
        Some(Plants::exactly(number))
    }

    fn sown(number: u32) -> Plot {
        let mut plot = Plot::default();
        plot.begin(day(1), Stage::Sown, Plants::exactly(number), Some(PlaceId(0)));
        plot
    }

    #[test]
    fn the_rest_stay_behind() {
        let mut plot = sown(24);
        plot.reach(day(8), Stage::Emerged, count(20), None).unwrap();
        plot.reach(day(15), Stage::PottedOn, count(12), Some(PlaceId(1))).unwrap();
        assert_eq!(standing(&plot.groups), Plants::exactly(20));
        plot.reach(day(20), Stage::PlantedOut, None, Some(PlaceId(2))).unwrap();
        let out: Vec<_> = plot.groups.iter().filter(|g| g.stage == Stage::PlantedOut).collect();
        assert_eq!(out[0].plants, Plants::exactly(12));
        assert!(plot.is_in(PlaceId(0)) && plot.is_in(PlaceId(2)) && !plot.is_in(PlaceId(1)));
    }

    #[test]
    fn more_than_remain_cannot_go() {
        let mut plot = sown(10);
        plot.reach(day(8), Stage::Emerged, count(8), None).unwrap();
        let lost = plot.go(day(9), count(11), Happening::Lost, None);
        assert_eq!(lost, Err(Impossible::TooMany { wanted: 11, remain: Plants::exactly(10) }));
    }

    #[test]
    fn spares_are_given_away_before_what_is_planted_out() {
        let mut plot = sown(12);
        plot.reach(day(8), Stage::PrickedOut, count(10), None).unwrap();
        plot.reach(day(20), Stage::PlantedOut, count(6), Some(PlaceId(2))).unwrap();
        plot.go(day(20), count(4), Happening::GivenAway, None).unwrap();
        assert_eq!(plot.groups.iter().map(|g| g.stage).max(), Some(Stage::PlantedOut));
        assert_eq!(standing(&plot.groups), Plants::exactly(6));
        assert!(plot.is_in(PlaceId(2)) && !plot.is_in(PlaceId(0)));
    }

    #[test]
    fn about_may_turn_out_to_be_more() {
        let mut plot = Plot::default();
        let about = Plants { number: Some(20), is_about: true };
        plot.begin(day(1), Stage::Sown, about, None);
        plot.reach(day(8), Stage::Emerged, count(22), None).unwrap();
        assert_eq!(standing(&plot.groups).number, Some(22));
    }

    #[test]
    fn when_the_last_plant_is_lost_the_planting_is_over() {
        let mut plot = sown(10);
        plot.reach(day(8), Stage::Emerged, count(6), None).unwrap();
        plot.go(day(9), count(6), Happening::Lost, None).unwrap();
        // Four seeds may still come up.
        assert_eq!(plot.finished, None);
        plot.go(day(12), count(4), Happening::Lost, None).unwrap();
        assert_eq!(plot.finished, Some(day(12)));
        assert_eq!(plot.stays[0].to, Some(day(12)));
    }

    #[test]
    fn a_stage_that_all_are_past_is_out_of_order() {
        let mut plot = sown(10);
        plot.reach(day(8), Stage::PrickedOut, None, None).unwrap();
        assert_eq!(plot.reach(day(9), Stage::Emerged, None, None), Err(Impossible::PastIt));
        // Stragglers may come up later, if there are any.
        let mut plot = sown(10);
        plot.reach(day(8), Stage::PrickedOut, count(6), None).unwrap();
        assert_eq!(plot.reach(day(9), Stage::Emerged, count(2), None), Ok(Plants::exactly(2)));
    }
}
