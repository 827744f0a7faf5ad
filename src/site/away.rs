//! The sheet for whoever looks after the garden while the grower is away; made to be printed.

use chrono::NaiveDate;
use serde::Serialize;

use crate::care::tasks::away::{Absence, absences, helper_sheet};
use crate::dates::Period;
use crate::findings::Findings;
use crate::garden::model::Garden;
use crate::garden::place::PlaceId;
use crate::site::frame::{Frame, Link};
use crate::site::message::Message;
use crate::site::page::{Page, Part};
use crate::site::tasks::{self, TaskGroup, TasksView};
use crate::site::water::NeedView;

/// The helper's sheet.
#[derive(Clone, Debug, PartialEq, Serialize)]
pub struct HelperView {
    pub frame: Frame,
    /// For whom, and from when to when.
    pub lead: Message,
    pub places: Vec<PlaceToWaterRow>,
    /// Plantings that stand in no place that has a name.
    pub elsewhere: Vec<Link>,
    /// What else falls into these days.
    pub days: Vec<TaskGroup>,
}

/// A place to water.
#[derive(Clone, Debug, PartialEq, Serialize)]
pub struct PlaceToWaterRow {
    pub place: Link,
    /// Who stands there.
    pub plantings: Vec<Link>,
    /// How much it takes on a usual day in the middle of them.
    pub need: Option<NeedView>,
    /// Whether a timer does it.
    pub is_on_timer: bool,
    /// When it was last watered, as far as it was noted.
    pub last_watered: Option<NaiveDate>,
    /// What to be careful of.
    pub cautions: Vec<Message>,
}

/// What a place uses on a usual day in the middle of an absence.
fn need(garden: &Garden, findings: &Findings, absence: &Absence, id: PlaceId) -> Option<NeedView> {
    let days = absence.days;
    let middle = crate::dates::shift(days.from, days.days() / 2);
    let need = findings.water_of_place(id)?.on_usual_day(&findings.conditions, middle)?;
    Some(NeedView::new(&need, garden.settings.units))
}

/// A link to a sheet, with its days.
pub fn link_words(absence: &Absence) -> Message {
    let (from, to) = (absence.days.from, absence.days.to);
    match &absence.helper {
        Some(helper) => Message::new("helper.for")
            .with("helper", helper.as_str())
            .with("from", from)
            .with("to", to),
        None => Message::new("helper.days").with("from", from).with("to", to),
    }
}

impl Page for HelperView {
    type Key = Absence;

    const PART: Part = TasksView::PART;
    const TEMPLATE: &'static str = "away.html";

    /// The absences within sight of the task calendar.
    fn keys(garden: &Garden) -> Vec<Absence> {
        let ahead = i64::from(garden.settings.feed.look_ahead_days);
        let within = Period { from: garden.today, to: crate::dates::shift(garden.today, ahead) };
        absences(&garden.settings, within)
    }

    fn path(_: &Garden, absence: &Absence) -> String {
        format!("tasks/away-{}/index.html", absence.days.from)
    }

    fn view(garden: &Garden, findings: &Findings, absence: &Absence) -> Self {
        let sheet = helper_sheet(garden, absence.clone(), &findings.tasks);
        let plantings = |ids: &[crate::garden::planting::PlantingId]| {
            ids.iter().map(|id| Link::planting(garden, *id)).collect::<Vec<_>>()
        };
        let title = Message::new("title.helper");
        HelperView {
            frame: Frame::new::<Self>(garden, absence, title),
            lead: link_words(absence),
            places: sheet
                .places
                .iter()
                .map(|place| PlaceToWaterRow {
                    place: Link::place(garden, place.place),
                    plantings: plantings(&place.plantings),
                    need: need(garden, findings, absence, place.place),
                    is_on_timer: place.is_on_timer,
                    last_watered: place.last_watered,
                    cautions: place.cautions.iter().map(tasks::caution).collect(),
                })
                .collect(),
            elsewhere: plantings(&sheet.elsewhere),
            days: tasks::groups(garden, &sheet.tasks),
        }
    }
}
