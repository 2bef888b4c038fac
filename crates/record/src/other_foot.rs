//! The same contents about the other foot, for an entry that was recorded for the wrong one.

use crate::{Body, Side};
use serde_json::Value;

impl Body {
    /// The same contents with right and left exchanged wherever they name a foot, also of the boots on a bar.
    /// `None` if they name none, or cannot be written. Free text is not changed.
    #[must_use]
    pub fn of_other_foot(&self) -> Option<Self> {
        let mut value: Value = serde_json::from_str(&self.to_json().ok()?).ok()?;
        exchange(&mut value).then(|| Self::from_value(self.kind(), value).ok()).flatten()
    }
}

/// Exchanges the feet, and returns whether there were any. In every kind a foot has the key `side`.
fn exchange(value: &mut Value) -> bool {
    match value {
        Value::Object(fields) => {
            let mut found = false;
            for (key, value) in fields {
                match other(value).filter(|_| key == "side") {
                    Some(side) => {
                        *value = side.word().into();
                        found = true;
                    }
                    None => found |= exchange(value),
                }
            }
            found
        }
        Value::Array(items) => {
            // Every item is exchanged, so this is no `any`.
            let found = items.iter_mut().fold(false, |found, item| exchange(item) | found);
            items.sort_by_key(|item| item.get("side").and_then(Value::as_str) == Some(Side::Left.word()));
            found
        }
        _ => false,
    }
}

fn other(value: &Value) -> Option<Side> {
    let word = value.as_str()?;
    let side = Side::BOTH.into_iter().find(|side| side.word() == word)?;
    Some(side.other())
}
