//! What a sum of pickings is about, in one form for pages and for garden.json.

use chrono::NaiveDate;
use schemars::JsonSchema;
use serde::Serialize;

use crate::garden::model::Garden;
use crate::garden::place::PlaceId;
use crate::garden::planting::PlantingId;
use crate::place_kind::PlaceKind;
use crate::results::yields::Whose;
use crate::results::yields::book::Only;

/// What was weighed for several of them together.
pub const SEVERAL: &str = "(several)";
/// Where nobody wrote down which.
pub const UNKNOWN: &str = "(unknown)";

/// What a sum of pickings is about. What is not there is not narrowed: without a season, of all years.
#[derive(Clone, Debug, Default, PartialEq, Eq, PartialOrd, Ord, JsonSchema, Serialize)]
pub struct Heading {
    /// The season's name.
    pub season: Option<String>,
    /// The month: `2026-06`.
    pub month: Option<String>,
    /// The crop's slug, or `(several)` together.
    pub crop: Option<String>,
    /// The variety, `(several)` together or `(unknown)`.
    pub variety: Option<String>,
    /// The planting's id.
    pub planting: Option<String>,
    /// The place's slug, `(several)` together or `(unknown)`.
    pub place: Option<String>,
    /// The kind of place, `(several)` together or `(unknown)`.
    pub kind: Option<String>,
}

impl Heading {
    /// Of a season, by a day in it.
    pub fn season(self, garden: &Garden, day: NaiveDate) -> Heading {
        Heading { season: Some(garden.season_of(day).name()), ..self }
    }

    /// Of a month, by a day in it.
    pub fn month(self, day: NaiveDate) -> Heading {
        Heading { month: Some(day.format("%Y-%m").to_string()), ..self }
    }

    /// Of a crop, or of several together.
    pub fn crop(self, garden: &Garden, whose: Whose) -> Heading {
        let crop = match whose {
            Whose::Crop(id) => garden.catalogue.get(id).slug.clone(),
            Whose::Several => SEVERAL.to_owned(),
        };
        Heading { crop: Some(crop), ..self }
    }

    pub fn variety(self, variety: &Only<String>) -> Heading {
        Heading { variety: Some(one(variety, Clone::clone)), ..self }
    }

    pub fn planting(self, garden: &Garden, id: PlantingId) -> Heading {
        Heading { planting: Some(garden.planting(id).id.to_string()), ..self }
    }

    pub fn place(self, garden: &Garden, place: &Only<PlaceId>) -> Heading {
        Heading { place: Some(one(place, |id| garden.place(*id).slug.clone())), ..self }
    }

    /// Of a kind of place.
    pub fn kind(self, kind: &Only<PlaceKind>) -> Heading {
        Heading { kind: Some(one(kind, |kind| kind.word().to_owned())), ..self }
    }

    /// The same as one text: `season=2026/crop=pea/variety=Tall Sugar`, or `all`.
    pub fn key(&self) -> String {
        let parts = [
            ("season", &self.season),
            ("month", &self.month),
            ("crop", &self.crop),
            ("variety", &self.variety),
            ("planting", &self.planting),
            ("place", &self.place),
            ("kind", &self.kind),
        ];
        let said = parts
            .iter()
            .filter_map(|(name, value)| value.as_ref().map(|value| format!("{name}={value}")));
        let said: Vec<String> = said.collect();
        if said.is_empty() { "all".to_owned() } else { said.join("/") }
    }
}

fn one<T>(only: &Only<T>, name: impl Fn(&T) -> String) -> String {
    match only {
        Only::One(one) => name(one),
        Only::Several => SEVERAL.to_owned(),
        Only::Unknown => UNKNOWN.to_owned(),
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn a_key_says_what_it_is_narrowed_to() {
        assert_eq!(Heading::default().key(), "all");
        let pea = Heading { crop: Some("pea".to_owned()), ..Heading::default() };
        let pea = pea.variety(&Only::Several).kind(&Only::One(PlaceKind::Bed));
        assert_eq!(pea.key(), "crop=pea/variety=(several)/kind=bed");
    }
}
