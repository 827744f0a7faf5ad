//! What a page is: its part of the menu, its template, its path and its view, told in one file.

use serde::Serialize;

use crate::findings::Findings;
use crate::garden::model::{Garden, Season};

/// An entry of the menu's one row. The first page of an area, in the order in which pages are listed, is
/// where the row leads to; the other parts stand behind its last entry.
#[derive(Clone, Copy, Debug, PartialEq, Eq, Serialize)]
#[serde(rename_all = "lowercase")]
pub enum Area {
    /// What is to be done.
    Today,
    /// What grows, and where.
    Growing,
    Picked,
    /// What was written.
    Journal,
    /// Everything else.
    More,
}

/// A part of the site.
#[derive(Clone, Copy, Debug, PartialEq, Eq, Serialize)]
pub struct Part {
    /// Its key, which is also the key of its words.
    pub key: &'static str,
    /// Its first page, from the root.
    pub href: &'static str,
    /// Where it stands in the menu.
    pub area: Area,
}

impl Part {
    /// The page of a season in a part that has one for each: the current season's is the part's first page.
    pub fn of_season(self, garden: &Garden, season: Season) -> String {
        if season == garden.season() {
            return self.href.to_owned();
        }
        format!("{}/{}/index.html", self.key, season.name().replace('/', "-"))
    }
}

/// A kind of page. It is listed in [`crate::site::each_page`], and known nowhere else.
pub trait Page: Serialize + Sized + 'static {
    /// Which of its kind a page is: a planting, a season; `()` where there is only one.
    type Key: Send + Sync + 'static;

    /// The part of the site it belongs to. The first page of a part brings it into the menu.
    const PART: Part;

    /// The template that places the view.
    const TEMPLATE: &'static str;

    /// The pages there are of this kind.
    fn keys(garden: &Garden) -> Vec<Self::Key>;

    /// Whether there is anything to show on it.
    fn is_needed(_findings: &Findings, _key: &Self::Key) -> bool {
        true
    }

    /// Where it lies, from the root: `crops/leek/index.html`.
    fn path(_garden: &Garden, _key: &Self::Key) -> String {
        Self::PART.href.to_owned()
    }

    /// What it shows.
    fn view(garden: &Garden, findings: &Findings, key: &Self::Key) -> Self;
}

/// Is told every kind of page.
pub trait Visit {
    /// One kind of page.
    fn page<P: Page>(&mut self);
}
