//! The garden with what its plantings taught in their crop sheets.

use std::sync::Arc;

use crate::catalogue::CropSheet;
use crate::garden::model::Garden;
use crate::garden::planting::{Planting, PlantingId};

/// A garden whose plantings have crop sheets with what was learned in them: dates ahead are made of it, and what
/// is behind is told of the [`Garden`] itself. A type of its own, so that the one cannot be taken for the other.
#[derive(Clone, Debug)]
pub struct Taught(Garden);

impl Taught {
    /// The garden with these crop sheets in place of the plantings' own.
    pub fn new(
        garden: &Garden,
        sheets: impl IntoIterator<Item = (PlantingId, CropSheet)>,
    ) -> Taught {
        let mut plantings = garden.shared_plantings().to_vec();
        for (id, sheet) in sheets {
            plantings[id.0] = Arc::new(Planting { sheet, ..garden.planting(id).clone() });
        }
        Taught(garden.with(plantings))
    }

    /// The garden as its crop sheets are written: nothing was learned.
    pub fn by_the_sheets(garden: &Garden) -> Taught {
        Taught(garden.clone())
    }

    /// The garden with the sheets that hold for what is ahead.
    pub fn garden(&self) -> &Garden {
        &self.0
    }
}
