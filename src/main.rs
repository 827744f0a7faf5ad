//! The command `trug`.
fn main() {}
