//! Plan to SVG.
