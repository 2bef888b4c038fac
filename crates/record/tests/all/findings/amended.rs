//! Corrections, withdrawals, and what is written together.

use super::{named, only_refusal};
use crate::examples::{day, entry, full_entry, minimal};
use record::*;

#[test]
fn a_correction_needs_a_reason_and_a_body_that_can_stand() {
    let correct = |body: Body, reason: &str| {
        only_refusal(Correction {
            entry: full_entry(Kind::Correction).follows.unwrap(),
            body: Box::new(body),
            on: None,
            reason: reason.into(),
        })
    };
    assert_eq!(correct(minimal(Kind::Note), " \n").0, "reason");
    assert_eq!(correct(minimal(Kind::Correction), "r").0, "body");
    assert_eq!(correct(minimal(Kind::Withdrawal), "r").0, "body");
    assert_eq!(correct(Assessment::of(Side::Left).into(), "r").1, "Nothing was measured.");
    // The corrected day counts: born on the 31st, registered on the 30th by mistake for the 31st.
    let born = Registration { born: Some(day("2024-07-31")), ..named("Ada".into()) };
    assert_eq!(correct(born.clone().into(), "r").0, "born");
    let mended = Correction {
        entry: full_entry(Kind::Correction).follows.unwrap(),
        body: Box::new(born.into()),
        on: Some(day("2024-07-31")),
        reason: "wrong day".into(),
    };
    assert_eq!(entry(mended).findings(), []);
}

#[test]
fn an_entry_cannot_answer_itself() {
    let mut own = entry(minimal(Kind::AppointmentMissed));
    own.follows = Some(own.id);
    assert_eq!(own.refusal().unwrap().text, "An entry cannot answer itself.");
    let id = own.id;
    let withdrawn = entry(Withdrawal { entry: id, reason: "r".into() });
    assert_eq!(withdrawn.refusal().unwrap().field, "entry");
}

/// Writes the reason and the other record into a body, and says which field is refused.
fn together(body: impl Into<Body>) -> Option<&'static str> {
    entry(body).refusal().map(|finding| finding.field)
}

#[test]
fn a_visit_is_amended_with_a_reason_and_with_a_day_only_where_it_is_moved() {
    let body = |change, moved_to, reason: &str| VisitAmended {
        moved_to,
        ..VisitAmended::of(change, day("2024-07-23"), reason.to_owned(), WrittenTogether::default())
    };
    let moved = Some(day("2024-07-24"));
    assert_eq!(together(body(VisitChange::Withdrawn, None, "did not happen")), None);
    assert_eq!(together(body(VisitChange::Withdrawn, None, " ")), Some("reason"));
    assert_eq!(together(body(VisitChange::Withdrawn, moved, "r")), Some("moved_to"));
    assert_eq!(together(body(VisitChange::DayChanged, moved, "r")), None);
    assert_eq!(together(body(VisitChange::DayChanged, None, "r")), Some("moved_to"));
}

#[test]
fn joined_records_name_the_other_and_a_reason() {
    let body = |other, reason: &str| {
        let together = WrittenTogether { other, ..WrittenTogether::default() };
        RecordsJoined::of(JoinedPart::Closed, reason.to_owned(), together)
    };
    let other = Some(full_entry(Kind::Note).child);
    assert_eq!(together(body(other, "registered twice")), None);
    assert_eq!(together(body(other, "")), Some("reason"));
    assert_eq!(together(body(None, "registered twice")), Some("other"));
}

#[test]
fn an_entry_recorded_again_leads_to_the_entry_it_was_before() {
    let [one, two, before]: [EntryId; 3] =
        ["e2", "e3", "d2"].map(|last| format!("01907e2a-0000-7000-8000-{last:0>12}").parse().unwrap());
    let list =
        WrittenTogether { entries: vec![one, two], origins: vec![before], ..WrittenTogether::default() };
    assert_eq!((list.origin_of(one), list.origin_of(two)), (Some(before), None));
}
