//! What is learned from whole gardens: small ones worked by hand, simulated ones, and the demo.

#[path = "learning/gardens.rs"]
mod gardens;
#[path = "learning/lessons.rs"]
mod lessons;
#[path = "learning/readings.rs"]
mod readings;
#[path = "learning/said.rs"]
mod said;
#[path = "learning/scores.rs"]
mod scores;
#[path = "learning/simulated.rs"]
mod simulated;
