//! Stages and tasks of small gardens, from written text to what is to be done.

#[path = "tasks/cautions.rs"]
mod cautions;
#[path = "tasks/cold.rs"]
mod cold;
#[path = "tasks/ending.rs"]
mod ending;
#[path = "tasks/harvest.rs"]
mod harvest;
#[path = "tasks/properties.rs"]
mod properties;
#[path = "tasks/rules.rs"]
mod rules;
#[path = "tasks/stages.rs"]
mod stages;
#[path = "tasks/steps.rs"]
mod steps;
#[path = "tasks/switched.rs"]
mod switched;
#[path = "tasks/together.rs"]
mod together;
#[path = "tasks/written.rs"]
mod written;
