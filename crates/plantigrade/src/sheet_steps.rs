//! Recovery sheets that are shown and not yet confirmed from paper. They are in memory alone, and end by themselves.

use crate::{auth::ShortLived, key_slots::SheetGroups, rewriting::NewKey};
use pages::encryption::SheetPurpose;
use record::UserId;
use safekeeping::RecoveryCode;
use std::sync::Arc;

/// How long a sheet may be on the screen.
const SECONDS: i64 = 30 * 60;
/// Of how many people at once.
const MOST: usize = 20;

/// A sheet that is on the screen.
pub struct OpenSheet {
    /// What is done once it is on paper.
    pub purpose: SheetPurpose,
    /// The code.
    pub code: RecoveryCode,
    /// Its groups, as they are shown.
    pub groups: SheetGroups,
    /// The key that is to be used, where the records are to be encrypted.
    pub new: Option<NewKey>,
    /// Whether the person is at the first start, and goes on with it.
    pub first: bool,
}

/// The sheets by person.
pub struct SheetSteps(ShortLived<UserId, Arc<OpenSheet>>);

impl Default for SheetSteps {
    fn default() -> Self {
        Self(ShortLived::new(SECONDS, MOST))
    }
}

impl SheetSteps {
    /// Shows a sheet to a person, in place of an earlier one.
    pub fn show(&self, person: UserId, sheet: OpenSheet, now: i64) {
        self.0.put(person, Arc::new(sheet), now);
    }

    /// The sheet of a person.
    #[must_use]
    pub fn of(&self, person: UserId, now: i64) -> Option<Arc<OpenSheet>> {
        self.0.get(&person, now)
    }

    /// The sheet of a person, which is then no longer shown.
    #[must_use]
    pub fn take(&self, person: UserId, now: i64) -> Option<Arc<OpenSheet>> {
        self.0.take(&person, now)
    }
}
