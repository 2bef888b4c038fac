//! An angle measured on a photograph. It is evidence of its own kind: the course of a foot reads what was measured on
//! the foot itself, never this.

use crate::{
    Day, EntryId, Finding, PhotographAngle, PictureTaps, Side,
    bounds::{PHOTOGRAPH_ANGLE, PHOTOGRAPH_ANGLE_ERROR, number_words},
    field::{KindHooks, KindSpec, field, taps, within},
};

entry! {
    with hooks;
    /// An angle of one foot, measured on a kept photograph by tapped points. The entry has the day of the photograph.
    PhotographAngleMeasured = KindSpec::new("photograph_angle", "angle on a photograph").since(9)
        .day_label("Photograph taken on");

    /// The entry of the photograph.
    required photograph: EntryId => field("Photograph");
    /// Which foot.
    required side: Side => field("Which foot");
    /// Which angle.
    required angle: PhotographAngle => field("Angle");
    /// The angle in degrees, signed as [`PhotographAngle`] says.
    #[serde(serialize_with = "super::finite")]
    required degrees: f64 => within("Angle on the photograph", &PHOTOGRAPH_ANGLE);
    /// Half the width of the 95 % interval from the error of the taps alone, in degrees. How the foot was held adds to
    /// it.
    #[serde(serialize_with = "super::finite")]
    required error_deg: f64 => within("Error of the angle", &PHOTOGRAPH_ANGLE_ERROR);
    /// The tapped points, in pixels of the kept picture.
    required taps: PictureTaps => taps("Tapped points");
}

impl KindHooks for PhotographAngleMeasured {
    fn rules(&self, _on: Day, _findings: &mut Vec<Finding>) {}

    fn sentence(&self) -> Option<String> {
        let round = |value: f64| number_words(value.round());
        Some(format!(
            "on a photograph: {} {}° ± {}°",
            self.angle.words(),
            round(self.degrees),
            round(self.error_deg)
        ))
    }
}
