//! Plan to SVG.

pub mod shape;
