//! Foot abduction brace fitted.

use super::Inspect;
use crate::bounds::{BAR_ANGLE, BAR_BEND, BAR_LENGTH, FOOT_LENGTH, Finding, LINE_CHARS, Severity, WEAR_HOURS, judge_text};
use crate::{Day, Side};
use serde::{Deserialize, Serialize};

choice! {
    /// How the brace is prescribed to be worn.
    Regime {
        /// All day but for washing and exercises.
        FullTime = "full_time", "full time";
        /// Nights and naps.
        NightTime = "night_time", "nights and naps";
    }
}

/// One boot on the bar.
#[derive(Debug, Clone, PartialEq, Eq, Serialize, Deserialize)]
#[serde(deny_unknown_fields)]
pub struct Boot {
    /// Which foot.
    pub side: Side,
    /// Outward angle set on the bar.
    #[serde(default, skip_serializing_if = "Option::is_none")]
    pub abduction_deg: Option<i16>,
    /// Dorsiflexion bend.
    #[serde(default, skip_serializing_if = "Option::is_none")]
    pub dorsiflexion_deg: Option<i16>,
    /// Inner length of the boot.
    #[serde(default, skip_serializing_if = "Option::is_none")]
    pub length_mm: Option<u16>,
    /// The size as the clinic's own stock list names it.
    #[serde(default, skip_serializing_if = "Option::is_none")]
    pub size: Option<String>,
}

impl Boot {
    /// A boot of which only the foot is known.
    #[must_use]
    pub const fn of(side: Side) -> Self {
        Self { side, abduction_deg: None, dorsiflexion_deg: None, length_mm: None, size: None }
    }
}

/// The brace as it is set.
#[derive(Debug, Clone, Default, PartialEq, Eq, Serialize, Deserialize)]
#[serde(deny_unknown_fields)]
pub struct Brace {
    /// Boots, right before left.
    #[serde(default, skip_serializing_if = "Vec::is_empty")]
    pub boots: Vec<Boot>,
    /// Bar, heel to heel.
    #[serde(default, skip_serializing_if = "Option::is_none")]
    pub bar_mm: Option<u16>,
    /// Whether the bar lets each boot be set to an angle of its own; `None` where nobody said.
    #[serde(default, skip_serializing_if = "Option::is_none")]
    pub bar_per_side: Option<bool>,
    /// The clinic's own label for it.
    #[serde(default, skip_serializing_if = "Option::is_none")]
    pub label: Option<String>,
}

/// A brace fitted. It belongs to the child: one bar holds both feet.
#[derive(Debug, Clone, Default, PartialEq, Eq, Serialize, Deserialize)]
#[serde(deny_unknown_fields)]
pub struct BraceFitted {
    /// The brace.
    #[serde(default)]
    pub brace: Brace,
    /// How it is to be worn; `None` where a sheet does not say, then the first fitting after casting is
    /// taken as full time by `course`, as an open question where that is in doubt.
    #[serde(default, skip_serializing_if = "Option::is_none")]
    pub regime: Option<Regime>,
    /// Hours a day prescribed.
    #[serde(default, skip_serializing_if = "Option::is_none")]
    pub hours_prescribed: Option<u8>,
    /// Who fitted it, where a sheet names somebody who is not the writer.
    #[serde(default, skip_serializing_if = "Option::is_none")]
    pub fitted_by: Option<String>,
}

impl Inspect for Brace {
    fn inspect(&self, _on: Day, findings: &mut Vec<Finding>) {
        findings.extend(self.bar_mm.and_then(|mm| BAR_LENGTH.judge("bar_mm", mm.into())));
        findings.extend(self.label.iter().filter_map(|text| judge_text("label", text, LINE_CHARS)));
        for side in Side::BOTH {
            if self.boots.iter().filter(|boot| boot.side == side).count() > 1 {
                let text = format!("Two boots are written down for the {side} foot.");
                findings.push(Finding { severity: Severity::Refuse, field: "boots", text });
            }
        }
        for boot in &self.boots {
            findings.extend(boot.abduction_deg.and_then(|deg| BAR_ANGLE.judge("abduction_deg", deg.into())));
            findings.extend(boot.dorsiflexion_deg.and_then(|deg| BAR_BEND.judge("dorsiflexion_deg", deg.into())));
            findings.extend(boot.length_mm.and_then(|mm| FOOT_LENGTH.judge("length_mm", mm.into())));
            findings.extend(boot.size.iter().filter_map(|text| judge_text("size", text, LINE_CHARS)));
        }
    }
}

impl Inspect for BraceFitted {
    fn inspect(&self, on: Day, findings: &mut Vec<Finding>) {
        self.brace.inspect(on, findings);
        findings.extend(self.hours_prescribed.and_then(|hours| WEAR_HOURS.judge("hours_prescribed", hours.into())));
        findings.extend(self.fitted_by.iter().filter_map(|text| judge_text("fitted_by", text, LINE_CHARS)));
    }
}
