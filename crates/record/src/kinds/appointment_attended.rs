//! The child came.

use super::Inspect;
use crate::bounds::Finding;
use crate::Day;
use serde::{Deserialize, Serialize};

/// The child came on the entry's day; `follows` names the appointment where there was one.
#[derive(Debug, Clone, Default, PartialEq, Eq, Serialize, Deserialize)]
#[serde(deny_unknown_fields)]
pub struct AppointmentAttended {
    /// Time of arrival as said, "09:42".
    #[serde(default, skip_serializing_if = "Option::is_none")]
    pub time: Option<String>,
}

impl Inspect for AppointmentAttended {
    fn inspect(&self, _on: Day, findings: &mut Vec<Finding>) {
        findings.extend(self.time.iter().filter_map(|text| crate::bounds::judge_text("time", text, 20)));
    }
}
