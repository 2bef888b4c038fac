//! An appointment made.

use super::Inspect;
use crate::bounds::{Finding, LINE_CHARS, Severity, judge_text};
use crate::Day;
use serde::{Deserialize, Serialize};

choice! {
    /// What an appointment is for.
    Purpose {
        /// First visit.
        First = "first", "first visit";
        /// Change of cast.
        Cast = "cast", "cast";
        /// Tenotomy.
        Tenotomy = "tenotomy", "tenotomy";
        /// Last cast off and brace fitted.
        BraceFitting = "brace_fitting", "cast off and brace fitting";
        /// Review in the brace.
        BraceReview = "brace_review", "brace review";
        /// Any other review.
        Review = "review", "review";
        /// Anything else.
        Other = "other", "other";
    }
}

/// An appointment; the entry's day is the day it was made.
#[derive(Debug, Clone, PartialEq, Eq, Serialize, Deserialize)]
#[serde(deny_unknown_fields)]
pub struct AppointmentMade {
    /// The day the child is expected.
    pub for_day: Day,
    /// Time of day as said, "09:30".
    #[serde(default, skip_serializing_if = "Option::is_none")]
    pub time: Option<String>,
    /// What for.
    #[serde(default, skip_serializing_if = "Option::is_none")]
    pub purpose: Option<Purpose>,
}

impl Inspect for AppointmentMade {
    fn inspect(&self, on: Day, findings: &mut Vec<Finding>) {
        if self.for_day < on {
            let text = "The appointment lies before the day on which it was made.".to_owned();
            findings.push(Finding { severity: Severity::Ask, field: "for_day", text });
        }
        findings.extend(self.time.iter().filter_map(|text| judge_text("time", text, LINE_CHARS)));
    }
}
