//! bendline
fn main() {}
