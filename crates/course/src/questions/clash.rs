//! Two entries about the same thing that duplicate or contradict each other. Both stay; a person settles it.
//!
//! - A cast or tenotomy of one foot recorded twice for one day: counted once, both named.
//! - Two assessments of one foot on one day that differ in a value both give. Both are kept. Two that
//!   complete each other, or agree, do not clash.
//! - Two diagnoses of one foot on one day that differ in its nature or in whether it is complex.
//! - Two registrations by different people within a day of each other that differ in day of birth or
//!   sex. A later change is a change, not a clash.

use super::question;
use crate::casts::Twice;
use crate::events::Event;
use crate::{Question, QuestionKind};
use record::{AngleItem, DimeglioSign};
use record::{Assessment, Body, Diagnosis, Dimeglio, EntryId, Registration, Side, Sign};

/// Two registrations recorded within this many seconds of each other were made at the same time.
const AT_ONCE_SECONDS: i64 = 24 * 60 * 60;

/// Casts and tenotomies recorded twice.
pub(crate) fn ask_twice(open: &mut Vec<Question>, side: Side, twice: &[Twice]) {
    for same in twice.chunk_by(|one, next| (one.what, one.first) == (next.what, next.first)) {
        let Some(first) = same.first() else { continue };
        let text = format!(
            "More than one {} of the {side} foot is recorded for {}; it is counted once.",
            first.what,
            first.on.words()
        );
        let entries = std::iter::once(first.first).chain(same.iter().map(|twice| twice.again)).collect();
        open.push(question(QuestionKind::Clash, side, first.on, text, entries));
    }
}

/// Assessments, diagnoses and registrations that differ.
pub(super) fn ask(open: &mut Vec<Question>, events: &[Event<'_>]) {
    let mut assessed: [Option<(&Event<'_>, &Assessment)>; 2] = [None; 2];
    let mut diagnosed: [Option<(&Event<'_>, &Diagnosis)>; 2] = [None; 2];
    let mut registered: Option<(&Event<'_>, &Registration)> = None;
    for event in events {
        match event.body {
            Body::Assessment(body) => {
                let last = assessed[usize::from(body.side == Side::Left)].replace((event, body));
                let same_day = last.filter(|(last, _)| last.on == event.on);
                if let Some((last, _)) = same_day.filter(|(_, before)| scores_differ(before, body)) {
                    add(open, body.side, "assessments", last.id(), event);
                }
            }
            Body::Diagnosis(body) => {
                let last = diagnosed[usize::from(body.side == Side::Left)].replace((event, body));
                let same_day = last.filter(|(last, _)| last.on == event.on);
                if let Some((last, _)) = same_day.filter(|(_, before)| diagnoses_differ(before, body)) {
                    add(open, body.side, "diagnoses", last.id(), event);
                }
            }
            Body::Registration(body) => {
                let last = registered.replace((event, body));
                open.extend(last.and_then(|last| registrations(last, (event, body))));
            }
            _ => {}
        }
    }
}

/// Asks about a day's entries of one foot, or adds one more entry to an existing question.
fn add(open: &mut Vec<Question>, side: Side, what: &str, before: EntryId, event: &Event<'_>) {
    let asked = |question: &&mut Question| {
        question.kind == QuestionKind::Clash
            && (question.side, question.on) == (Some(side), event.on)
            && question.entries.last() == Some(&before)
    };
    if let Some(question) = open.last_mut().filter(asked) {
        question.entries.push(event.id());
        return;
    }
    let text = format!("The {what} of the {side} foot on {} differ from each other.", event.on.words());
    open.push(question(QuestionKind::Clash, side, event.on, text, vec![before, event.id()]));
}

fn differ<T: PartialEq>(one: Option<T>, other: Option<T>) -> bool {
    matches!((one, other), (Some(one), Some(other)) if one != other)
}

fn scores_differ(one: &Assessment, other: &Assessment) -> bool {
    Sign::ALL.into_iter().any(|sign| differ(one.pirani.sign(sign), other.pirani.sign(sign)))
        || dimeglio_differs(&one.dimeglio, &other.dimeglio)
        || differ(one.stated_total, other.stated_total)
        || differ(one.stated_dimeglio_total, other.stated_dimeglio_total)
        || differ(one.abduction_deg, other.abduction_deg)
        || differ(one.dorsiflexion_deg, other.dorsiflexion_deg)
        || differ(one.foot_length_mm, other.foot_length_mm)
}

fn dimeglio_differs(one: &Dimeglio, other: &Dimeglio) -> bool {
    AngleItem::ALL.into_iter().any(|item| differ(one.angle(item), other.angle(item)))
        || DimeglioSign::ALL.into_iter().any(|sign| differ(one.sign(sign), other.sign(sign)))
}

fn diagnoses_differ(one: &Diagnosis, other: &Diagnosis) -> bool {
    differ(one.nature, other.nature) || differ(one.complex, other.complex)
}

fn registrations(
    (one, before): (&Event<'_>, &Registration),
    (event, after): (&Event<'_>, &Registration),
) -> Option<Question> {
    let apart = one.entry.at.seconds().abs_diff(event.entry.at.seconds());
    let at_once = one.entry.by != event.entry.by && apart <= AT_ONCE_SECONDS.unsigned_abs();
    let what = match (differ(before.born, after.born), differ(before.sex, after.sex)) {
        (true, true) => "day of birth and sex",
        (true, false) => "day of birth",
        (false, true) => "sex",
        (false, false) => return None,
    };
    let text = format!("Two people registered the child at about the same time with a different {what}.");
    let entries = vec![one.id(), event.id()];
    at_once.then(|| question(QuestionKind::Clash, None, event.on, text, entries))
}
