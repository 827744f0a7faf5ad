//! The words for trays and shelves that are to hold more than they can.

use crate::dates::shift;
use crate::diagnostics::codes::Code;
use crate::diagnostics::problem::Problem;
use crate::findings::Findings;
use crate::garden::model::Garden;
use crate::raising::bench::{Bench, Held, Measure, Week};
use crate::units::{AreaUnit, System};

/// The next overfull week of every place for raising.
pub(super) fn of(garden: &Garden, findings: &Findings) -> Vec<Problem> {
    let benches = findings.benches.iter();
    benches
        .filter_map(|bench| overfull(garden, bench, bench.overfull(garden.today).next()?))
        .collect()
}

fn overfull(garden: &Garden, bench: &Bench, week: &Week) -> Option<Problem> {
    let system = garden.settings.units;
    let of = |much| measured(much, bench.measure, system);
    let message = format!(
        "{} is to hold more than it can in the week from {}: {} wanted, {} there",
        garden.place(bench.place).name,
        week.from.max(garden.today),
        of(week.taken),
        of(bench.there),
    );
    // The one that came to the list last is the one that can still go elsewhere.
    let mut here = week.who.iter().rev();
    let last = here.next()?;
    let about = |is_about: bool| if is_about { "about " } else { "" };
    let label = |held: &Held| format!("takes {}{}", about(held.is_about), of(held.takes));
    let at = |held: &Held| garden.planting(held.planting).at;
    let mut problem = Problem::new(Code::RaisingCrowded, at(last), message).label(label(last));
    for held in here {
        problem = problem.also(at(held), label(held));
    }
    let weeks = bench.overfull(garden.today).count();
    let long = match weeks {
        1 => String::new(),
        _ => format!(
            "{weeks} weeks are too full, the last of them until {}; ",
            shift(bench.overfull(garden.today).last()?.from, 6)
        ),
    };
    Some(problem.hint(format!("{long}sow one of them later or elsewhere, or fewer seeds of it")))
}

fn measured(much: f64, measure: Measure, system: System) -> String {
    match (measure, system) {
        (Measure::Cells, _) => format!("{much:.0} cells"),
        (Measure::SquareMetres, System::Metric) => format!("{much:.2} m²"),
        (Measure::SquareMetres, System::Us) => {
            let area = AreaUnit::SquareMetre.of(much);
            format!("{:.1} ft²", AreaUnit::SquareFoot.measure(area))
        }
    }
}
