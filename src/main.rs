//! bendline
fn main(){}
