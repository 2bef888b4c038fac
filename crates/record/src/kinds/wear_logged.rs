//! Hours of wear from a logger. Never mixed with reported hours.

use crate::{Day, Finding, bounds::WEAR_HOURS};
use crate::field::{KindHooks, KindSpec, field, line, within};

entry! {
    with hooks;
    /// Wear over a span of days, from a logger.
    WearLogged = KindSpec::new("wear_logged", "wear logged");

    /// First day of the span.
    required from: Day => field("First day");
    /// Last day of the span.
    required to: Day => field("Last day");
    /// Mean hours per day over the days that could be judged.
    #[serde(serialize_with = "super::finite")]
    required hours_per_day: f64 => within("Hours a day, as logged", &WEAR_HOURS);
    /// Days of the span that could be judged.
    required days_judged: u16 => field("Days that could be judged");
    /// The clinic's own label of the logger.
    optional logger: Option<String> => line("The clinic's label of the logger");
}

/// Refuses a span that ends before it begins, or more days than the span has.
pub(crate) fn judge_span(
    (from, to): (Day, Day),
    on: Day,
    days: Option<(&'static str, u16)>,
    findings: &mut Vec<Finding>,
) {
    if to < from {
        findings.push(Finding::refuse("to", "The last day lies before the first."));
        return;
    }
    if to > on {
        let text = format!(
            "The last day, {}, lies after the day of the report, {}.",
            to.words(),
            on.words()
        );
        findings.push(Finding::ask("to", text));
    }
    let span = to - from + 1;
    if let Some((field, days)) = days.filter(|&(_, days)| i32::from(days) > span) {
        let text = format!("{days} days are more than the {span} days from {from} to {to}.");
        findings.push(Finding::refuse(field, text));
    }
}


impl KindHooks for WearLogged {
    fn rules(&self, on: Day, findings: &mut Vec<Finding>) {
        judge_span((self.from, self.to), on, Some(("days_judged", self.days_judged)), findings);
        if self.days_judged == 0 {
            let text = "No day could be judged, so there are no hours to record.";
            findings.push(Finding::refuse("days_judged", text));
        }
    }
}
