//! Foot abduction brace fitted.

use crate::{Finding, Side, bounds::{BAR_ANGLE, BAR_BEND, BAR_LENGTH, FOOT_LENGTH, WEAR_HOURS}};
use crate::field::{FieldSpec, FieldType, FieldValue, KindSpec, ShownValues, field, line, per_foot, within};

choice! {
    /// How the brace is prescribed to be worn.
    Regime {
        /// All day except for washing and exercises.
        FullTime = "full_time", "full time";
        /// Nights and naps.
        NightTime = "night_time", "nights and naps";
    }
}

group! {
    /// One boot on the bar.
    #[derive(Eq)]
    Boot;

    /// Which foot.
    required side: Side => field("Which foot");
    /// Outward angle set on the bar.
    optional abduction_deg: Option<i16> => within("boot: turned out", &BAR_ANGLE);
    /// Dorsiflexion bend.
    optional dorsiflexion_deg: Option<i16> => within("boot: bend up", &BAR_BEND);
    /// Inner length of the boot.
    optional length_mm: Option<u16> => within("boot: inner length", &FOOT_LENGTH);
    /// The size as named in the clinic's stock list.
    optional size: Option<String> => line("boot: size").since(2);
}

group! {
    /// A brace and its settings.
    #[derive(Default, Eq)]
    Brace;

    /// Boots, right before left.
    optional boots: Vec<Boot> => per_foot("boot on the bar", "boot", Boot::FIELDS);
    /// Bar, heel to heel.
    optional bar_mm: Option<u16> => within("Bar, heel to heel", &BAR_LENGTH);
    /// Whether each boot on the bar can be set to its own angle; `None` if not recorded.
    optional bar_per_side: Option<bool> => field("Bar: each boot can be set to its own angle").since(4);
    /// The clinic's own label of the brace.
    optional label: Option<String> => line("The clinic's own label");
}

entry! {
    /// A brace fitted. It belongs to the child: one bar holds both feet.
    #[derive(Default, Eq)]
    BraceFitted = KindSpec::new("brace_fitted", "brace fitted");

    /// The brace.
    #[serde(default)]
    always brace: Brace => field("");
    /// How it is to be worn; `None` if not recorded. Then `course` takes the first fitting after casting as
    /// full time, with an open question if that is in doubt.
    optional regime: Option<Regime> => field("Wearing schedule");
    /// Hours per day prescribed.
    optional hours_prescribed: Option<u8> => within("Hours a day prescribed", &WEAR_HOURS);
    /// Who fitted it, if it was not the writer.
    optional fitted_by: Option<String> => line("Fitted by (if not the writer)");
}

impl FieldValue for Vec<Boot> {
    fn is_absent(&self) -> bool {
        self.is_empty()
    }

    fn inspect(&self, spec: &'static FieldSpec, findings: &mut Vec<Finding>) {
        for side in Side::BOTH {
            if self.iter().filter(|boot| boot.side == side).count() > 1 {
                let text = format!("Two boots are recorded for the {side} foot.");
                findings.push(Finding::refuse(spec.key, text));
            }
        }
        self.iter().for_each(|boot| boot.inspect_fields(findings));
    }

    fn version(&self) -> u16 {
        self.iter().map(FieldValue::version).max().unwrap_or(1)
    }

    fn show(&self, spec: &'static FieldSpec, shown: &mut ShownValues) {
        let FieldType::PerFoot(item, _) = spec.takes else { return };
        for boot in self {
            shown.renamed(boot.side.word(), |shown| {
                shown.below(item, |shown| shown.put("yes"));
                boot.show_fields(shown);
                shown.drop("side");
            });
        }
    }
}
