//! The words for more pieces than plants can give.

use crate::diagnostics::codes::Code;
use crate::diagnostics::problem::Problem;
use crate::diagnostics::words::{self, Tick};
use crate::findings::Findings;
use crate::garden::model::Garden;

/// A guess of the plants may be wrong by as much (common practice, no source).
const GUESSED: f64 = 1.25;

/// Every planting of which more was counted than its plants can give, told at the newest picking.
pub(super) fn of(garden: &Garden, findings: &Findings) -> Vec<Problem> {
    let mut problems = Vec::new();
    for (id, planting) in garden.plantings().filter(|(_, planting)| !planting.is_perennial) {
        let measures = findings.book.of_planting(id);
        let unit = planting.sheet.harvest_unit.as_deref();
        let (Ok(plants), Some(each), Some(unit)) =
            (&measures.plants, planting.sheet.most_pieces(), unit)
        else {
            continue;
        };
        let picked = measures.sum.counts.get(unit).copied().unwrap_or(0);
        let slack = if plants.is_about { GUESSED } else { 1.0 };
        let most = f64::from(plants.number) * f64::from(each) * slack;
        let last = garden.harvests_of(id).rfind(|harvest| harvest.plantings == [id]);
        let Some(last) = last.filter(|_| f64::from(picked) > most) else { continue };
        let crop = &garden.catalogue.get(planting.crop).name;
        let message = format!(
            "{picked} {unit} were picked of {}, but it had {}",
            Tick(&planting.id),
            words::count(plants.number as usize, "plant"),
        );
        let gives = match each {
            1 => format!("a plant of {crop} gives one"),
            _ => format!("a plant of {crop} gives {each} at most"),
        };
        problems.push(
            Problem::new(Code::ManyPieces, last.source.at, message)
                .label("the newest picking")
                .also(planting.at, "the plants")
                .hint(format!(
                    "{gives}; mend the count, or the number of plants; what was counted fresh and is weighed again now \
                     that it is dry is `cured: true`"
                )),
        );
    }
    problems
}
