//! Labels for pots, trays and rows; made to be printed.

use serde::Serialize;

use crate::charts::qr_code::QrCode;
use crate::findings::Findings;
use crate::garden::model::Garden;
use crate::garden::planting::{Planting, PlantingId};
use crate::names::folded;
use crate::site::frame::Frame;
use crate::site::message::Message;
use crate::site::page::{Area, Page, Part};
use crate::site::planting::{PlantingView, way};
use crate::stage::Stage;

/// Paper that labels are printed on. Measures of ready-cut sheets are common practice, no source: they are told beside
/// the choice, to be compared with the packet.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub enum Sheet {
    /// Plain paper of any size, to be cut.
    Plain,
    /// A4 with three by eight labels of 70 × 37 mm.
    A4By24,
    /// A4 with three by seven labels of 63.5 × 38.1 mm.
    A4By21,
    /// US Letter with three by ten labels of 2⅝ × 1 in.
    LetterBy30,
}

impl Sheet {
    const ALL: [Sheet; 4] = [Sheet::Plain, Sheet::A4By24, Sheet::A4By21, Sheet::LetterBy30];

    /// Its name in addresses, words and styles.
    fn key(self) -> &'static str {
        match self {
            Sheet::Plain => "plain",
            Sheet::A4By24 => "a4-24",
            Sheet::A4By21 => "a4-21",
            Sheet::LetterBy30 => "letter-30",
        }
    }

    /// How many labels a printed page holds; plain paper takes what goes on it.
    fn labels(self) -> usize {
        match self {
            Sheet::Plain => usize::MAX,
            Sheet::A4By24 => 24,
            Sheet::A4By21 => 21,
            Sheet::LetterBy30 => 30,
        }
    }
}

/// Labels of what grows and of what is to be sown.
#[derive(Clone, Debug, PartialEq, Serialize)]
pub struct LabelsView {
    pub frame: Frame,
    /// The key of the paper they are laid out for.
    pub sheet: &'static str,
    /// All papers to choose from, and where each is.
    pub sheets: Vec<SheetChoice>,
    /// The printed pages, each with its labels.
    pub pages: Vec<Vec<Label>>,
    /// Whether the address of the site is known, so that labels have codes.
    pub has_codes: bool,
}

/// A paper to choose.
#[derive(Clone, Debug, PartialEq, Serialize)]
pub struct SheetChoice {
    pub name: Message,
    /// The page laid out for it, from the root.
    pub href: String,
    pub is_current: bool,
}

/// A label.
#[derive(Clone, Debug, PartialEq, Serialize)]
pub struct Label {
    pub crop: String,
    pub variety: Option<String>,
    /// How and when it was begun; nothing where that is still to be written.
    pub begun: Option<Message>,
    /// Where it stands or will stand.
    pub place: Option<String>,
    /// The way to the planting's page.
    pub code: Option<QrCode>,
}

impl Label {
    fn new(garden: &Garden, id: PlantingId, planting: &Planting) -> Label {
        let stands = || planting.places_on(garden.today).first().copied();
        let place = if planting.stage() >= Stage::PlantedOut {
            stands().or(planting.destined)
        } else {
            planting.destined.or_else(stands)
        };
        let site = garden.settings.site_address.as_deref();
        let page = |site| format!("{site}{}", PlantingView::path(garden, &id));
        Label {
            crop: garden.catalogue.get(planting.crop).name.clone(),
            variety: planting.variety.clone().map(String::from),
            begun: planting.begun().map(|_| way(planting)),
            place: place.map(|place| garden.place(place).name.clone()),
            code: site.and_then(|site| QrCode::new(&page(site))),
        }
    }
}

impl Page for LabelsView {
    type Key = Sheet;

    const PART: Part = Part { key: "labels", href: "labels/index.html", area: Area::More };
    const TEMPLATE: &'static str = "labels.html";

    fn keys(_: &Garden) -> Vec<Sheet> {
        Sheet::ALL.to_vec()
    }

    fn path(_: &Garden, sheet: &Sheet) -> String {
        match sheet {
            Sheet::Plain => Self::PART.href.to_owned(),
            _ => format!("labels/{}/index.html", sheet.key()),
        }
    }

    fn view(garden: &Garden, _: &Findings, sheet: &Sheet) -> Self {
        let to_label = |(_, planting): &(PlantingId, &Planting)| {
            planting.is_growing() || planting.stage() == Stage::Intended
        };
        let mut labels: Vec<Label> = garden
            .plantings()
            .filter(to_label)
            .map(|(id, planting)| Label::new(garden, id, planting))
            .collect();
        labels.sort_by_key(|label| {
            let variety = label.variety.as_deref().map(folded);
            (label.begun.is_some(), folded(&label.crop), variety)
        });
        LabelsView {
            frame: Frame::new::<Self>(garden, sheet, Message::new("part.labels")),
            sheet: sheet.key(),
            sheets: Sheet::ALL
                .iter()
                .map(|one| SheetChoice {
                    name: Message::new(format!("labels.{}", one.key())),
                    href: Self::path(garden, one),
                    is_current: one == sheet,
                })
                .collect(),
            pages: labels.chunks(sheet.labels()).map(<[Label]>::to_vec).collect(),
            has_codes: garden.settings.site_address.is_some(),
        }
    }
}
