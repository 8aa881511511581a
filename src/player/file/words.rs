//! Keys and values of the player file, as messages show them.

use serde_json::Value;

use crate::diagnostic::printable;

/// The path of a key under another.
pub(super) fn join(path: &str, key: &str) -> String {
    if path.is_empty() {
        key.to_owned()
    } else {
        format!("{path}.{key}")
    }
}

/// A value as messages show it.
pub(super) fn found(value: &Value) -> String {
    match value {
        Value::Array(items) => format!("a list of {}", items.len()),
        Value::Object(_) => "an object in braces".to_owned(),
        other => printable(&other.to_string()),
    }
}
