//! Another entry should not stand at all. The old one stays readable.

use super::{Inspect, correction::judge_reason};
use crate::bounds::Finding;
use crate::{Day, EntryId};
use serde::{Deserialize, Serialize};

/// A withdrawal.
#[derive(Debug, Clone, PartialEq, Eq, Serialize, Deserialize)]
#[serde(deny_unknown_fields)]
pub struct Withdrawal {
    /// The entry withdrawn.
    pub entry: EntryId,
    /// Why.
    pub reason: String,
}

impl Inspect for Withdrawal {
    fn inspect(&self, _on: Day, findings: &mut Vec<Finding>) {
        judge_reason(&self.reason, findings);
    }
}
