//! What small gardens gave, from written text to figures.

#[path = "yields/measures.rs"]
mod measures;
#[path = "yields/written.rs"]
mod written;
