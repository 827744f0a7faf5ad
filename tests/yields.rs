//! What small gardens gave, from written text to figures.

mod lots;
mod measures;
mod written;
