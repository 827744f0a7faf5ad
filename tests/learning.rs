//! What is learned from whole gardens: small ones worked by hand, simulated ones, and the demo.

mod gardens;
mod lessons;
mod readings;
mod said;
mod scores;
mod simulated;
