//! The values of an entry by the path of each in its wire form, `pirani.talar_head`, as they stand in a
//! form: yes and no for true and false, numbers as short as they can be written, nothing for what is
//! absent.
//!
//! It goes through serialisation like the wire form itself, so that no kind needs a second list, but
//! makes no JSON on the way: a timeline asks this of every entry of a child.

use serde::ser::{self, Serialize};
use std::{collections::BTreeMap, fmt};

/// The values by path.
pub(super) fn values_by_path(value: &impl Serialize) -> BTreeMap<String, String> {
    let mut flat = Flat::default();
    // Only a list or a key of a kind that no entry has can fail; nothing is then shown of it.
    let _ = value.serialize(&mut flat);
    flat.values
}

/// What has been found so far, and where we are.
#[derive(Default)]
struct Flat {
    path: String,
    values: BTreeMap<String, String>,
}

impl Flat {
    fn put(&mut self, text: String) -> Result<(), Unshown> {
        self.values.insert(self.path.clone(), text);
        Ok(())
    }

    /// A value one step further down.
    fn below(&mut self, key: &str, value: &(impl Serialize + ?Sized)) -> Result<(), Unshown> {
        let above = self.path.len();
        if above > 0 {
            self.path.push('.');
        }
        self.path.push_str(key);
        let done = value.serialize(&mut *self);
        self.path.truncate(above);
        done
    }
}
