//! A measurement of the child: the shoulder width, for the bar.

use crate::{Day, Finding, bounds::SHOULDER_WIDTH};
use crate::field::{FormSpec, KindHooks, KindSpec, field, long, within};

choice! {
    /// Which width of the shoulders. The two differ by about 3 cm, so a figure without this is not used.
    ShoulderWidth {
        /// Between the outer edges of the two acromions, bone to bone.
        Biacromial = "biacromial", "bone to bone: outer edge of one acromion to the other";
        /// Over the widest of the upper arms, arms at the sides.
        Bideltoid = "bideltoid", "over the upper arms at their widest, arms at the sides";
    }
}

entry! {
    with hooks;
    /// A measurement of the child.
    #[derive(Default, Eq)]
    BodyMeasured = KindSpec::new("body_measured", "child measured").since(2)
        .form(FormSpec::new(70, "Shoulder width"));

    /// Width of the shoulders, in millimetres.
    optional shoulder_mm: Option<u16> => within("Shoulder width", &SHOULDER_WIDTH).needed();
    /// Which width was measured.
    optional shoulder_width: Option<ShoulderWidth> => field("Which width")
        .hint("The two differ by about 3 cm. Without an answer the width is not used for the bar.");
    /// Anything else.
    optional note: Option<String> => long("Anything else");
}

impl KindHooks for BodyMeasured {
    fn rules(&self, _on: Day, findings: &mut Vec<Finding>) {
        match (self.shoulder_mm, self.shoulder_width) {
            (None, _) => findings.push(Finding::refuse("shoulder_mm", "The shoulder width is missing.")),
            (Some(_), None) => {
                let text = "Which shoulder width was measured is missing: bone to bone and over the arms differ by about 3 cm.";
                findings.push(Finding::ask("shoulder_width", text));
            }
            (Some(_), Some(_)) => {}
        }
    }
}
