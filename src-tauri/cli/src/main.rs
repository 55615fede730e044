//! The command line `tautbook`.
fn main() {}
