//! Values that are possible but unusual: what the checks of a single entry ask about, and hours that do not
//! fit the recorded regime. Impossible values are rejected before they are saved.

use super::question;
use crate::braces::{FULL_TIME_FROM_HOURS, NIGHT_TIME_TO_HOURS};
use crate::events::Event;
use crate::{Question, QuestionKind};
use record::{Body, Entry, Finding, Regime, Severity};

/// A total that disagrees with its signs has a question of its own.
const ASKED_ELSEWHERE: &str = "stated_total";

pub(super) fn ask(open: &mut Vec<Question>, events: &[Event<'_>]) {
    for event in events {
        for finding in findings(event) {
            if finding.severity == Severity::Ask && finding.field != ASKED_ELSEWHERE {
                let text = format!("{} of {}: {}", event.body.kind().words(), event.on.words(), finding.text);
                add(open, event, text);
            }
        }
        if let Some(text) = hours_against_regime(event) {
            add(open, event, text);
        }
    }
}

fn add(open: &mut Vec<Question>, event: &Event<'_>, mut text: String) {
    if let Some(first) = text.get_mut(..1) {
        first.make_ascii_uppercase();
    }
    open.push(question(QuestionKind::Unusual, event.body.side(), event.on, text, vec![event.id()]));
}

/// The findings about the effective contents.
fn findings(event: &Event<'_>) -> Vec<Finding> {
    if event.is_corrected() {
        Entry { body: event.body.clone(), on: event.on, ..event.entry.clone() }.findings()
    } else {
        event.entry.findings()
    }
}

fn hours_against_regime(event: &Event<'_>) -> Option<String> {
    let (regime, hours) = match event.body {
        Body::BraceFitted(body) => (body.regime, body.hours_prescribed?),
        Body::BraceChanged(body) => (body.regime, body.hours_prescribed?),
        _ => return None,
    };
    let words = match regime {
        Some(Regime::FullTime) if hours <= NIGHT_TIME_TO_HOURS => Regime::FullTime.words(),
        Some(Regime::NightTime) if hours >= FULL_TIME_FROM_HOURS => Regime::NightTime.words(),
        None if hours > NIGHT_TIME_TO_HOURS && hours < FULL_TIME_FROM_HOURS => {
            return Some(format!("{hours} hours a day in the brace may be full time or nights and naps."));
        }
        _ => return None,
    };
    Some(format!("{hours} hours a day in the brace do not fit “{words}”."))
}
