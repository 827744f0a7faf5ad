//! What happens to the plants of one planting: groups reach stages, go elsewhere, are lost.

pub(super) mod groups;

use crate::garden::build::history::groups::Meant;
use std::cmp::Reverse;

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
    /// Whether any of its plants ever stood: what is then left in the soil is seed that never came up.
    has_come_up: bool,
}

/// To how many plants something happened, and whether the line could have meant others.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub(super) struct Done {
    pub(super) plants: Plants,
    /// Where they stand now, or stood before they went, if that is one place.
    pub(super) place: Option<PlaceId>,
    pub(super) doubt: Option<Doubt>,
}

/// A line that could mean plants in either of two places.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub(super) struct Doubt {
    pub(super) taken: PlaceId,
    pub(super) other: PlaceId,
}

/// Why something cannot have happened so.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub(super) enum Impossible {
    /// More plants were counted than there were.
    TooMany {
        /// What the grower counted.
        wanted: u32,
        remain: Plants,
    },
    /// None stood where the line says.
    NoneThere(PlaceId),
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
        self.finished = None;
        self.has_come_up = self.groups.iter().any(is_up);
        self.add(Group { stage: stage.settled(), place, plants, reached: day, arrived: day });
        self.follow_stays(day);
    }

    /// A perennial starts its year anew: whatever it reached before, it stands at its place again.
    pub(super) fn begin_season(&mut self) {
        for group in &mut self.groups {
            group.stage = group.stage.min(Stage::PlantedOut);
        }
    }

    /// Some plants, or those that are furthest on, reach a stage.
    pub(super) fn reach(
        &mut self,
        day: NaiveDate,
        stage: Stage,
        meant: &Meant,
        place: Option<PlaceId>,
    ) -> Result<Done, Impossible> {
        self.check_there(meant)?;
        let may_repeat = stage == Stage::PottedOn;
        let is_behind = |group: &Group| {
            (group.stage < stage || (may_repeat && group.stage == stage)) && meant.is_there(group)
        };
        let front =
            self.groups.iter().filter(|group| meant.is_there(group)).map(|group| group.stage);
        let front = front.max();
        if !self.groups.iter().any(is_behind) {
            // With nothing behind it, a count can only be one plant too many.
            let remain = Plants::exactly(0);
            return match meant.count.and_then(|count| count.number) {
                Some(wanted) if front <= Some(stage) => Err(Impossible::TooMany { wanted, remain }),
                _ => Err(Impossible::PastIt),
            };
        }
        if meant.count.is_none() && front > Some(stage) {
            return Err(Impossible::PastIt);
        }
        // What was potted on today already is not meant by a second line of today.
        let is_done = |group: &Group| group.stage == stage && group.reached == day;
        let order = |group: &Group| (is_done(group), Reverse(group.stage));
        let taken = self.take(meant.count, is_behind, order)?;
        let doubt = self.doubt(&taken, day, meant, |one, other| {
            is_behind(other) && other.stage == one.stage && !is_done(other)
        });
        let plants = all_of(&taken);
        let came_to = place.or(place_of(&taken));
        for group in taken {
            let place = place.or(group.place);
            let arrived = if place == group.place { group.arrived } else { day };
            self.add(Group { stage, place, reached: day, arrived, ..group });
        }
        self.finished = None;
        self.follow_stays(day);
        Ok(Done { plants, place: came_to, doubt })
    }

    /// Plants stand elsewhere now: so many, or all that are not there yet.
    pub(super) fn move_to(
        &mut self,
        day: NaiveDate,
        meant: &Meant,
        place: Option<PlaceId>,
    ) -> Result<Done, Impossible> {
        self.check_there(meant)?;
        let is_done = |group: &Group| place.is_some() && group.place == place;
        let order = |group: &Group| (is_done(group), group.arrived == day, Reverse(group.stage));
        let taken = match meant.count {
            Some(_) => self.take(meant.count, |group| meant.is_there(group), order)?,
            None => {
                let is_waiting = |group: &Group| meant.is_there(group) && group.arrived < day;
                let is_second = self.groups.iter().any(is_waiting);
                self.take_all(|group| meant.is_there(group) && (!is_second || group.arrived < day))
            }
        };
        let doubt = self.doubt(&taken, day, meant, |_, other| !is_done(other) && is_up(other));
        let plants = all_of(&taken);
        for group in taken {
            self.add(Group { place, arrived: day, ..group });
        }
        self.follow_stays(day);
        Ok(Done { plants, place, doubt })
    }

    /// Cloves, sets or tubers that were planted come up: so many of them, the rest never will.
    pub(super) fn come_up(&mut self, day: NaiveDate, meant: &Meant) -> Result<Done, Impossible> {
        self.check_there(meant)?;
        if meant.count.is_some() {
            let order = |group: &Group| Reverse(group.stage);
            let up = self.take(meant.count, |group| meant.is_there(group), order)?;
            self.groups.retain(|group| !meant.is_there(group));
            up.into_iter().for_each(|group| self.add(group));
        }
        self.follow_stays(day);
        Ok(Done { plants: all_of(&self.groups), place: place_of(&self.groups), doubt: None })
    }

    /// Plants go for good: thinned, given away, lost, or cleared.
    ///
    /// Where nothing is said they are those that are up but furthest behind; seeds last of all.
    pub(super) fn go(
        &mut self,
        day: NaiveDate,
        meant: &Meant,
        what: Happening,
    ) -> Result<Done, Impossible> {
        self.check_there(meant)?;
        let is_there = |group: &Group| meant.is_there(group);
        let is_cleared = matches!(what, Happening::Reached(_));
        let (plants, place, doubt) = match (meant.count, is_cleared) {
            (Some(_), true) => {
                let order = |group: &Group| Reverse(group.stage);
                let taken = self.take(meant.count, is_there, order)?;
                (all_of(&taken), place_of(&taken), None)
            }
            (Some(_), false) => {
                let order = |group: &Group| (!is_up(group), group.stage);
                let taken = self.take(meant.count, is_there, order)?;
                // Spares are thinned and given away; slugs know no order.
                let doubt = self.doubt(&taken, day, meant, |one, other| {
                    is_up(other) && (what == Happening::Lost || other.stage == one.stage)
                });
                (all_of(&taken), place_of(&taken), doubt)
            }
            (None, true) => {
                let taken = self.take_all(is_there);
                (standing(&taken), place_of(&taken), None)
            }
            (None, false) => {
                // Some went, nobody counted: what is left is not known any more.
                let there = self.groups.iter_mut().filter(|group| is_there(group));
                there.for_each(|group| group.plants = Plants::UNKNOWN);
                (Plants::UNKNOWN, None, None)
            }
        };
        self.close(day);
        Ok(Done { plants, place, doubt })
    }

    /// Takes plants out for a planting of their own: those that have not reached the stage, or are not in
    /// the place, that the line is about.
    pub(super) fn split(
        &mut self,
        day: NaiveDate,
        what: Happening,
        meant: &Meant,
        place: Option<PlaceId>,
    ) -> Result<(Vec<Group>, Option<Doubt>), Impossible> {
        self.check_there(meant)?;
        let is_done = |group: &Group| match what {
            Happening::Reached(stage) if stage == Stage::PottedOn => {
                group.stage > stage || (group.stage == stage && group.reached == day)
            }
            Happening::Reached(stage) => group.stage >= stage,
            _ => group.arrived == day || (place.is_some() && group.place == place),
        };
        let order = |group: &Group| (is_done(group), Reverse(group.stage));
        let taken = self.take(meant.count, |group| meant.is_there(group), order)?;
        let doubt = self
            .doubt(&taken, day, meant, |one, other| !is_done(other) && other.stage == one.stage);
        self.close(day);
        Ok((taken, doubt))
    }

    /// Whether all plants that stand are still on their way to the place where they will crop: on a shelf,
    /// in a tray, or away from where they are meant to go.
    pub(super) fn is_on_its_way(&self, is_waiting: impl Fn(PlaceId) -> bool) -> bool {
        let up = || self.groups.iter().filter(|group| is_up(group));
        up().next().is_some()
            && up().all(|group| {
                group.stage < Stage::PlantedOut && group.place.is_some_and(&is_waiting)
            })
    }

    /// Plants bear: those furthest on, whatever was noted of them.
    pub(super) fn bear(groups: &mut [Group]) {
        let front = groups.iter().map(|group| group.stage).max();
        let behind = |group: &&mut Group| {
            Some(group.stage) == front && is_up(group) && group.stage < Stage::Fruiting
        };
        groups.iter_mut().filter(behind).for_each(|group| group.stage = Stage::Fruiting);
    }

    /// Plants that stand: none once it is over, whatever seed is left in the soil.
    pub(super) fn standing(&self) -> Plants {
        match self.finished {
            Some(_) => Plants::exactly(0),
            None => standing(&self.groups),
        }
    }

    /// Where it stands now.
    pub(super) fn is_in(&self, place: PlaceId) -> bool {
        self.stays.iter().any(|stay| stay.place == place && stay.to.is_none())
    }

    /// Whether seed is left that never came up.
    pub(super) fn has_seed_left(&self) -> bool {
        self.groups.iter().any(|group| !is_up(group))
    }

    /// Ends a planting of which nothing stands any more. Seed that stayed behind its seedlings does not
    /// count as plants; it is kept, because a straggler may come up yet.
    fn close(&mut self, day: NaiveDate) {
        let is_over =
            if self.has_come_up { !self.groups.iter().any(is_up) } else { self.groups.is_empty() };
        if is_over {
            self.finished = self.finished.or(Some(day));
        }
        self.follow_stays(day);
    }
}

/// The place of all groups, if it is one.
fn place_of(groups: &[Group]) -> Option<PlaceId> {
    let first = groups.first()?.place;
    first.filter(|_| groups.iter().all(|group| group.place == first))
}

fn is_up(group: &Group) -> bool {
    group.stage > Stage::SownAgain
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

    fn all() -> Meant {
        Meant::default()
    }

    fn count(number: u32) -> Meant {
        Meant { count: Some(Plants::exactly(number)), from: Vec::new() }
    }

    fn sown(number: u32) -> Plot {
        let mut plot = Plot::default();
        plot.begin(day(1), Stage::Sown, Plants::exactly(number), Some(PlaceId(0)));
        plot
    }

    #[test]
    fn the_rest_stay_behind() {
        let mut plot = sown(24);
        plot.reach(day(8), Stage::Emerged, &count(20), None).unwrap();
        plot.reach(day(15), Stage::PottedOn, &count(12), Some(PlaceId(1))).unwrap();
        assert_eq!(standing(&plot.groups), Plants::exactly(20));
        plot.reach(day(20), Stage::PlantedOut, &all(), Some(PlaceId(2))).unwrap();
        let out: Vec<_> = plot.groups.iter().filter(|g| g.stage == Stage::PlantedOut).collect();
        assert_eq!(out[0].plants, Plants::exactly(12));
        assert!(plot.is_in(PlaceId(0)) && plot.is_in(PlaceId(2)) && !plot.is_in(PlaceId(1)));
    }

    #[test]
    fn more_than_remain_cannot_go() {
        let mut plot = sown(10);
        plot.reach(day(8), Stage::Emerged, &count(8), None).unwrap();
        let lost = plot.go(day(9), &count(11), Happening::Lost);
        assert_eq!(lost, Err(Impossible::TooMany { wanted: 11, remain: Plants::exactly(10) }));
    }

    #[test]
    fn spares_are_given_away_before_what_is_planted_out() {
        let mut plot = sown(12);
        plot.reach(day(8), Stage::PrickedOut, &count(10), None).unwrap();
        plot.reach(day(20), Stage::PlantedOut, &count(6), Some(PlaceId(2))).unwrap();
        plot.go(day(20), &count(4), Happening::GivenAway).unwrap();
        assert_eq!(plot.groups.iter().map(|g| g.stage).max(), Some(Stage::PlantedOut));
        assert_eq!(standing(&plot.groups), Plants::exactly(6));
        assert!(plot.is_in(PlaceId(2)) && !plot.is_in(PlaceId(0)));
    }

    #[test]
    fn about_may_turn_out_to_be_more() {
        let mut plot = Plot::default();
        let about = Plants { number: Some(20), is_about: true };
        plot.begin(day(1), Stage::Sown, about, None);
        plot.reach(day(8), Stage::Emerged, &count(22), None).unwrap();
        assert_eq!(standing(&plot.groups).number, Some(22));
    }

    #[test]
    fn when_the_last_plant_is_lost_the_planting_is_over() {
        let mut plot = sown(10);
        plot.reach(day(8), Stage::Emerged, &count(6), None).unwrap();
        plot.go(day(9), &count(6), Happening::Lost).unwrap();
        assert_eq!((plot.finished, plot.standing()), (Some(day(9)), Plants::exactly(0)));
        assert_eq!(plot.stays[0].to, Some(day(9)));
        // Four seeds may still come up.
        plot.reach(day(12), Stage::Emerged, &count(2), None).unwrap();
        assert_eq!((plot.finished, plot.standing()), (None, Plants::exactly(2)));
    }

    #[test]
    fn a_stage_that_all_are_past_is_out_of_order() {
        let mut plot = sown(10);
        plot.reach(day(8), Stage::PrickedOut, &all(), None).unwrap();
        assert_eq!(plot.reach(day(9), Stage::Emerged, &all(), None), Err(Impossible::PastIt));
        // Stragglers may come up later, if there are any.
        let mut plot = sown(10);
        plot.reach(day(8), Stage::PrickedOut, &count(6), None).unwrap();
        assert_eq!(
            plot.reach(day(9), Stage::Emerged, &count(2), None),
            Ok(Done { plants: Plants::exactly(2), place: Some(PlaceId(0)), doubt: None })
        );
    }
}
