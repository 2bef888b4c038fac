//! Assessment: scores and range of movement of one foot at one visit.

use super::RelapseSigns;
use crate::{
    Day, Dimeglio, Finding, Halves, Pirani, Side, Walking,
    bounds::{ABDUCTION, DIMEGLIO_TOTAL, DORSIFLEXION, FOOT_LENGTH, PIRANI_TOTAL, number_words},
    field::{KindHooks, KindSpec, field, line, long, within},
};

entry! {
    with hooks;
    /// What was measured of one foot. A value that was not measured is absent, never zero.
    #[derive(Eq)]
    Assessment = KindSpec::new("assessment", "assessment")
        .first(&["side", "pirani", "stated_total", "abduction_deg", "dorsiflexion_deg", "foot_length_mm"]);

    /// Which foot.
    required side: Side => field("Which foot");
    /// The six signs.
    optional pirani: Pirani => field("");
    /// The total as recorded on a sheet; it may differ from the sum of the signs.
    optional stated_total: Option<Halves> => within("Pirani total as written on a sheet", &PIRANI_TOTAL);
    /// Dimeglio's items.
    optional dimeglio: Dimeglio => field("Dimeglio: ");
    /// The Dimeglio total as recorded on a sheet, 0–20.
    optional stated_dimeglio_total: Option<u8> => within("Dimeglio total as written on a sheet", &DIMEGLIO_TOTAL);
    /// The walking-age items.
    optional walking: Walking => field("Walking age: ");
    /// Signs of relapse, in a foot that was corrected.
    optional signs: RelapseSigns => field("Relapse: ").since(2);
    /// Abduction reached.
    optional abduction_deg: Option<i16> => within("Abduction", &ABDUCTION);
    /// Dorsiflexion reached, knee straight; negative is short of neutral.
    optional dorsiflexion_deg: Option<i16> => within("Dorsiflexion, knee straight", &DORSIFLEXION);
    /// Length of the foot, heel to longest toe.
    optional foot_length_mm: Option<u16> => within("Foot length", &FOOT_LENGTH);
    /// Who scored, if it was not the writer.
    optional scored_by: Option<String> => line("Scored by (if not the writer)");
    /// Anything else.
    optional note: Option<String> => long("Anything else");
}

impl Assessment {
    /// Whether nothing was measured.
    #[must_use]
    pub fn is_empty(&self) -> bool {
        *self == Self { scored_by: self.scored_by.clone(), note: self.note.clone(), ..Self::of(self.side) }
    }

    /// Whether the total on the sheet differs from the sum of the six signs. `false` if either is missing.
    #[must_use]
    pub fn total_disagrees(&self) -> bool {
        matches!((self.stated_total, self.pirani.total()), (Some(stated), Some(sum)) if stated != sum)
    }

    /// The findings, in one line.
    pub(super) fn found(&self) -> String {
        let degrees = |deg: i16| format!("{}°", number_words(deg.into()));
        let mut found = Vec::new();
        match self.pirani.total() {
            Some(total) => found.push(format!(
                "Pirani {total} of 6 (midfoot {}, hindfoot {})",
                sum_words(self.pirani.midfoot()),
                sum_words(self.pirani.hindfoot())
            )),
            None if !self.pirani.is_empty() => {
                found.push(format!("Pirani incomplete, {} of 6 signs", 6 - self.pirani.missing().count()));
            }
            None => {}
        }
        found.extend(self.stated_total.map(|total| format!("total on the sheet {total}")));
        found.extend(self.abduction_deg.map(|deg| format!("abduction {}", degrees(deg))));
        found.extend(self.dorsiflexion_deg.map(|deg| format!("dorsiflexion {}", degrees(deg))));
        found.extend(self.foot_length_mm.map(|mm| format!("length {mm} mm")));
        found.extend(self.dimeglio.total().map(|total| format!("Dimeglio {total} of 20")));
        found.extend(self.stated_dimeglio_total.map(|total| format!("Dimeglio on the sheet {total}")));
        found.extend(self.walking.total().map(|total| format!("walking age {total} of 12")));
        found.extend(self.signs.there());
        found.extend(self.note.clone());
        if found.is_empty() { "assessed".to_owned() } else { found.join(", ") }
    }
}

fn sum_words(score: Option<Halves>) -> String {
    score.map_or_else(|| "incomplete".to_owned(), |score| score.to_string())
}

/// The sums of the two scores; none for a score without any sign.
pub(super) fn sums_of(pirani: &Pirani, dimeglio: &Dimeglio) -> Vec<(&'static str, String)> {
    let of = |sum: Option<Halves>, most: u8| {
        sum.map_or_else(|| "incomplete".to_owned(), |sum| format!("{sum} of {most}"))
    };
    let mut sums = Vec::new();
    if !pirani.is_empty() {
        sums.push(("Midfoot contracture score", of(pirani.midfoot(), 3)));
        sums.push(("Hindfoot contracture score", of(pirani.hindfoot(), 3)));
        sums.push(("Pirani total", of(pirani.total(), 6)));
    }
    if let (Some(total), Some(grade)) = (dimeglio.total(), dimeglio.grade()) {
        sums.push(("Dimeglio total", format!("{total} of 20, {}", grade.words())));
    }
    sums
}

impl KindHooks for Assessment {
    fn rules(&self, _on: Day, findings: &mut Vec<Finding>) {
        if let (Some(stated), Some(sum)) = (self.stated_total, self.pirani.total())
            && stated != sum
        {
            let text = format!("The total written is {stated}, the six signs add up to {sum}.");
            findings.push(Finding::ask("stated_total", text));
        }
        if let (Some(stated), Some(sum)) = (self.stated_dimeglio_total, self.dimeglio.total())
            && stated != sum
        {
            let text = format!("The Dimeglio total written is {stated}, its eight items add up to {sum}.");
            findings.push(Finding::ask("stated_dimeglio_total", text));
        }
        if self.is_empty() && self.note.is_none() {
            findings.push(Finding::refuse("pirani", "Nothing was measured."));
        }
    }

    fn sentence(&self) -> Option<String> {
        Some(self.found())
    }

    fn sums(&self) -> Vec<(&'static str, String)> {
        let mut sums = sums_of(&self.pirani, &self.dimeglio);
        sums.extend(self.walking.total().map(|total| ("Walking-age total", format!("{total} of 12"))));
        sums
    }
}
