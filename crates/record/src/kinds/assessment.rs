//! Assessment: scores and movement of one foot at one sitting.

use super::{Inspect, RelapseSigns};
use crate::bounds::{ABDUCTION, ANGLE_POINTS, DIMEGLIO_ANGLE, DIMEGLIO_TOTAL, DORSIFLEXION, FOOT_LENGTH, Finding, LINE_CHARS, NOTE_CHARS, PIRANI_TOTAL, WALKING_ITEM, judge_text};
use crate::{Angle, AngleItem, Day, Dimeglio, Halves, Pirani, Severity, Side, Walking, WalkingItem};
use serde::{Deserialize, Serialize};

/// What was measured of one foot. What was not measured is absent, never zero.
#[derive(Debug, Clone, PartialEq, Eq, Serialize, Deserialize)]
#[serde(deny_unknown_fields)]
pub struct Assessment {
    /// Which foot.
    pub side: Side,
    /// The six signs.
    #[serde(default, skip_serializing_if = "Pirani::is_empty")]
    pub pirani: Pirani,
    /// The total as somebody wrote it on a sheet; it may disagree with the signs.
    #[serde(default, skip_serializing_if = "Option::is_none")]
    pub stated_total: Option<Halves>,
    /// Dimeglio's items.
    #[serde(default, skip_serializing_if = "Dimeglio::is_empty")]
    pub dimeglio: Dimeglio,
    /// A Dimeglio total as somebody wrote it on a sheet, 0–20.
    #[serde(default, skip_serializing_if = "Option::is_none")]
    pub stated_dimeglio_total: Option<u8>,
    /// The walking-age items.
    #[serde(default, skip_serializing_if = "Walking::is_empty")]
    pub walking: Walking,
    /// Signs of relapse, in a foot that was corrected.
    #[serde(default, skip_serializing_if = "RelapseSigns::is_empty")]
    pub signs: RelapseSigns,
    /// Abduction reached.
    #[serde(default, skip_serializing_if = "Option::is_none")]
    pub abduction_deg: Option<i16>,
    /// Dorsiflexion reached, knee straight; negative is short of neutral.
    #[serde(default, skip_serializing_if = "Option::is_none")]
    pub dorsiflexion_deg: Option<i16>,
    /// Length of the foot, heel to longest toe.
    #[serde(default, skip_serializing_if = "Option::is_none")]
    pub foot_length_mm: Option<u16>,
    /// Who scored, where a sheet names somebody who is not the writer.
    #[serde(default, skip_serializing_if = "Option::is_none")]
    pub scored_by: Option<String>,
    /// Anything else.
    #[serde(default, skip_serializing_if = "Option::is_none")]
    pub note: Option<String>,
}

impl Assessment {
    /// An assessment of a foot with nothing measured yet.
    #[must_use]
    pub fn of(side: Side) -> Self {
        Self {
            side,
            pirani: Pirani::default(),
            stated_total: None,
            dimeglio: Dimeglio::default(),
            stated_dimeglio_total: None,
            walking: Walking::default(),
            signs: RelapseSigns::default(),
            abduction_deg: None,
            dorsiflexion_deg: None,
            foot_length_mm: None,
            scored_by: None,
            note: None,
        }
    }

    /// Whether nothing was measured.
    #[must_use]
    pub fn is_empty(&self) -> bool {
        *self == Self { scored_by: self.scored_by.clone(), note: self.note.clone(), ..Self::of(self.side) }
    }

    /// Whether the total on the sheet disagrees with its six signs. `false` where either is missing.
    #[must_use]
    pub fn total_disagrees(&self) -> bool {
        matches!((self.stated_total, self.pirani.total()), (Some(stated), Some(sum)) if stated != sum)
    }
}

/// Angles and points out of bounds.
pub(super) fn inspect_dimeglio(dimeglio: &Dimeglio, findings: &mut Vec<Finding>) {
    for item in AngleItem::ALL {
        findings.extend(match dimeglio.angle(item) {
            Some(Angle::Deg(deg)) => DIMEGLIO_ANGLE.judge(item.key(), deg.into()),
            Some(Angle::Points(points)) => ANGLE_POINTS.judge(item.key(), points.into()),
            None => None,
        });
    }
}

impl Assessment {
    fn inspect_movement(&self, findings: &mut Vec<Finding>) {
        findings.extend(self.abduction_deg.and_then(|deg| ABDUCTION.judge("abduction_deg", deg.into())));
        findings.extend(
            self.dorsiflexion_deg.and_then(|deg| DORSIFLEXION.judge("dorsiflexion_deg", deg.into())),
        );
        findings.extend(self.foot_length_mm.and_then(|mm| FOOT_LENGTH.judge("foot_length_mm", mm.into())));
    }

    fn inspect_items(&self, findings: &mut Vec<Finding>) {
        inspect_dimeglio(&self.dimeglio, findings);
        for item in WalkingItem::ALL {
            let points = self.walking.item(item);
            findings.extend(points.and_then(|points| WALKING_ITEM.judge(item.key(), points.into())));
        }
    }

    fn inspect_totals(&self, findings: &mut Vec<Finding>) {
        if let Some(stated) = self.stated_total {
            findings.extend(PIRANI_TOTAL.judge("stated_total", stated.value()));
        }
        if let (Some(stated), Some(sum)) = (self.stated_total, self.pirani.total())
            && stated != sum
        {
            let text = format!("The total written is {stated}, the six signs add up to {sum}.");
            findings.push(Finding { severity: Severity::Ask, field: "stated_total", text });
        }
        let field = "stated_dimeglio_total";
        if let Some(stated) = self.stated_dimeglio_total {
            findings.extend(DIMEGLIO_TOTAL.judge(field, stated.into()));
        }
        if let (Some(stated), Some(sum)) = (self.stated_dimeglio_total, self.dimeglio.total())
            && stated != sum
        {
            let text = format!("The Dimeglio total written is {stated}, its eight items add up to {sum}.");
            findings.push(Finding { severity: Severity::Ask, field, text });
        }
    }
}

impl Inspect for Assessment {
    fn inspect(&self, _on: Day, findings: &mut Vec<Finding>) {
        self.inspect_movement(findings);
        self.inspect_items(findings);
        self.inspect_totals(findings);
        if self.is_empty() && self.note.is_none() {
            let text = "Nothing was measured.".to_owned();
            findings.push(Finding { severity: Severity::Refuse, field: "pirani", text });
        }
        findings.extend(self.scored_by.iter().filter_map(|text| judge_text("scored_by", text, LINE_CHARS)));
        findings.extend(self.note.iter().filter_map(|text| judge_text("note", text, NOTE_CHARS)));
    }
}
