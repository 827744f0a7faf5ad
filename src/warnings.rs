//! What was computed and should be told at the keyboard, too: findings become problems here.
//!
//! Agronomy knows where a thing was written, but no problems; the words of a warning stand in a file for
//! each topic below. Only what is planned or growing now is told, never what is history: a warning on
//! every build that nobody can act upon would soon be overlooked with the others.

mod containers;
mod feed;
mod pieces;
mod places;
mod raising;

use crate::diagnostics::problem::Problem;
use crate::findings::Findings;
use crate::garden::model::Garden;

/// Every warning that what was computed gives rise to. They go among the other problems, which are sorted
/// when all are gathered.
pub fn of(garden: &Garden, findings: &Findings) -> Vec<Problem> {
    let mut problems = places::of(garden, findings);
    problems.extend(pieces::of(garden, findings));
    problems.extend(feed::of(garden, findings));
    problems.extend(containers::of(garden, findings));
    problems.extend(raising::of(garden, findings));
    problems
}
