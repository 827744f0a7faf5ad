//! Stages and tasks of small gardens, from written text to what is to be done.

mod cautions;
mod cold;
mod ending;
mod harvest;
mod properties;
mod rules;
mod stages;
mod steps;
mod switched;
mod together;
mod written;
