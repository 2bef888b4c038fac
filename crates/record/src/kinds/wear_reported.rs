//! Hours of wear as reported by the family. Never mixed with logged hours.

use crate::{Day, Finding, bounds::WEAR_HOURS};
use crate::field::{FormSpec, KindHooks, KindSpec, field, long, within};

entry! {
    with hooks;
    /// Wear over a span of days, as reported by the family.
    WearReported = KindSpec::new("wear_reported", "wear reported")
        .form(FormSpec::new(60, "Brace wear reported by the family")).day_label("Reported on");

    /// First day of the span.
    required from: Day => field("First day");
    /// Last day of the span.
    required to: Day => field("Last day");
    /// Mean hours per day over the span.
    #[serde(serialize_with = "super::finite")]
    required hours_per_day: f64 => within("Hours a day, as the family reports", &WEAR_HOURS);
    /// Days in the span on which it was not worn at all, if reported.
    optional days_without: Option<u16> => field("Days without the brace");
    /// Why it was worn less.
    optional reason: Option<String> => long("Why it was worn less");
}

impl KindHooks for WearReported {
    fn rules(&self, on: Day, findings: &mut Vec<Finding>) {
        let without = self.days_without.map(|days| ("days_without", days));
        super::wear_logged::judge_span((self.from, self.to), on, without, findings);
    }
}
