//! Plan to terminal text and JSON.
