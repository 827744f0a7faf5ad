//! What came of it: yields, what can be compared, and the season looked back on.

pub mod bootstrap;
pub mod comparisons;
pub mod review;
pub mod weekly;
pub mod yields;
