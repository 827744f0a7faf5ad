//! The words for a task feed that has more events than it may.

use crate::diagnostics::codes::Code;
use crate::diagnostics::problem::Problem;
use crate::findings::Findings;
use crate::garden::model::Garden;
use crate::site::feed::MOST_EVENTS;
use crate::site::task_feed;

/// What the task feed of the whole garden cannot hold.
pub(super) fn of(garden: &Garden, findings: &Findings) -> Option<Problem> {
    let left_out = task_feed::left_out(garden, &findings.tasks);
    let message = format!(
        "tasks.ics holds {MOST_EVENTS} events, the most that phones are known to take; the farthest {left_out} are left out"
    );
    let problem = Problem::new(Code::FeedFull, garden.settings.feed.look_ahead_at, message);
    (left_out > 0).then(|| {
        problem
            .label("looks so far ahead")
            .hint("look less far ahead, allow fewer events a day, or choose `one-event: per job`")
    })
}
