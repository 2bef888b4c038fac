//! A length measured on a photograph beside a card. It is evidence of its own kind: boots, growth and the course of a foot
//! read what was measured on the foot itself, never this.

use crate::{
    Day, EntryId, Finding, PictureTaps, Side,
    bounds::{PHOTOGRAPH_LENGTH, PHOTOGRAPH_LENGTH_ERROR, PHOTOGRAPH_POINT_ERROR, number_words},
    field::{KindHooks, KindSpec, field, taps, within},
};

choice! {
    /// What gives a photograph its scale.
    ScaleCard {
        /// A bank or identity card (ISO/IEC 7810, ID-1).
        BankCard = "id-1", "card of 85.6 × 54 mm";
    }
}

entry! {
    with hooks;
    /// The length of one foot in the plane of a card that lies beside it, measured on a kept photograph. The entry has
    /// the day of the photograph.
    PhotographLengthMeasured = KindSpec::new("photograph_length", "length on a photograph").since(10)
        .day_label("Photograph taken on");

    /// The entry of the photograph.
    required photograph: EntryId => field("Photograph");
    /// Which foot.
    required side: Side => field("Which foot");
    /// From the back of the heel to the tip of the longest toe, in the plane of the card, in millimetres.
    #[serde(serialize_with = "super::finite")]
    required length_mm: f64 => within("Length on the photograph", &PHOTOGRAPH_LENGTH);
    /// Half the width of the 95 % interval from the error of the points alone, in millimetres. A foot that is not in the
    /// plane of the card adds to it.
    #[serde(serialize_with = "super::finite")]
    required error_mm: f64 => within("Error of the length", &PHOTOGRAPH_LENGTH_ERROR);
    /// The points, in pixels of the kept picture: the four corners of the card where its edges would meet, the back of
    /// the heel, the tip of the longest toe.
    required taps: PictureTaps => taps("Tapped points");
    /// How exactly the corners were set: the standard deviation from which the error was computed, in pixels.
    #[serde(serialize_with = "super::finite")]
    required corner_error_px: f64 => within("Error of the corners", &PHOTOGRAPH_POINT_ERROR);
    /// How exactly heel and toe were tapped: the standard deviation from which the error was computed, in pixels.
    #[serde(serialize_with = "super::finite")]
    required tap_error_px: f64 => within("Error of heel and toe", &PHOTOGRAPH_POINT_ERROR);
    /// What gave the scale.
    required card: ScaleCard => field("Scale");
}

/// The points of a length: four corners, heel and toe.
const POINTS: usize = 6;

impl KindHooks for PhotographLengthMeasured {
    fn rules(&self, _on: Day, findings: &mut Vec<Finding>) {
        if self.taps.points().len() != POINTS {
            let text = "A length has six points: the four corners of the card, heel and toe.";
            findings.push(Finding::refuse("taps", text));
        }
    }

    fn sentence(&self) -> Option<String> {
        Some(format!(
            "on a photograph: length {} mm ± {} mm beside a {}",
            number_words(self.length_mm.round()),
            number_words(self.error_mm.ceil()),
            self.card.words()
        ))
    }
}
