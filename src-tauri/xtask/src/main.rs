//! The project's own commands.
fn main() {}
