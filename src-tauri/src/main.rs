//! The app shell.
fn main() {}
