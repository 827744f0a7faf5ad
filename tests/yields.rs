//! What small gardens gave, from written text to figures.

#[path = "yields/lots.rs"]
mod lots;
#[path = "yields/measures.rs"]
mod measures;
#[path = "yields/written.rs"]
mod written;
