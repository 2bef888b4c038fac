//! Heel-cord tenotomy booked for one foot.

use super::Inspect;
use crate::bounds::{Finding, LINE_CHARS, judge_text};
use crate::{Day, Side};
use serde::{Deserialize, Serialize};

/// A tenotomy booked.
#[derive(Debug, Clone, PartialEq, Eq, Serialize, Deserialize)]
#[serde(deny_unknown_fields)]
pub struct TenotomyBooked {
    /// Which foot.
    pub side: Side,
    /// The day it is booked for, where fixed.
    #[serde(default, skip_serializing_if = "Option::is_none")]
    pub planned_on: Option<Day>,
    /// Where it will be done.
    #[serde(default, skip_serializing_if = "Option::is_none")]
    pub place: Option<String>,
}

impl Inspect for TenotomyBooked {
    fn inspect(&self, _on: Day, findings: &mut Vec<Finding>) {
        findings.extend(self.place.iter().filter_map(|text| judge_text("place", text, LINE_CHARS)));
    }
}
