//! The pages that put right: a visit, two records, a call, an appointment. Invented data.

use super::{day, frame, in_brace, in_casts, today};
use maud::Markup;
use pages::{
    CallListView, CallRow, CallView, DayLoad, DayPlaces, Here, JoinCandidate, JoinClashRow, JoinDetail,
    JoinFindView, JoinView, MoveAppointmentView, RemedyRow, VisitEntriesView, VisitFault, VisitRemedyView,
    call as call_fields,
    fields::{self, Filled},
    join::detail_field,
    visit_remedy::CHECKED,
};
use record::{Carer, EntryId};
use uuid::Uuid;

fn entry(number: u128) -> EntryId {
    EntryId::new(Uuid::from_u128(number))
}

fn carers(given: &str) -> Vec<Carer> {
    let mother = Carer {
        name: format!("{given}’s mother"),
        relation: Some("mother".into()),
        phone: Some("+00 555 0100".into()),
        language: None,
    };
    let nameless = Carer { phone: Some("+00 555 0199".into()), ..Carer::default() };
    vec![mother, nameless]
}

fn loads() -> Vec<DayLoad> {
    let load = |on: &str, booked, due| {
        let places = Some(("cast places", 8));
        DayLoad { day: day(on), places: DayPlaces { booked, places, ..DayPlaces::default() }, due }
    };
    vec![load("2024-05-21", 5, true), load("2024-05-24", 8, false)]
}

pub fn pages(given: &str) -> Vec<(&'static str, Markup)> {
    let mut all = visits(given);
    all.extend(joins(given));
    all.extend(calls(given));
    all
}

fn visits(given: &str) -> Vec<(&'static str, Markup)> {
    let (who, other) = (in_casts(given).who(), in_brace().who());
    let said = |text: &str| format!("{text} ({given})");
    let entries = VisitEntriesView {
        who: who.clone(),
        on: today(),
        entries: vec![
            (entry(31), said("Right foot: Pirani 4.5")),
            (entry(32), said("Right foot: cast applied")),
        ],
        query: Some(given.to_owned()),
        is_over: false,
        found: vec![(other.clone(), "sounds alike".into())],
    };
    let row = |number, after: Option<&str>, changes, chosen| RemedyRow {
        entry: entry(number),
        before: said("Right foot: cast applied"),
        after: after.map(said),
        changes,
        chosen,
    };
    let remedy = VisitRemedyView {
        who,
        on: today(),
        fault: VisitFault::Foot,
        other: None,
        to: None,
        rows: vec![
            row(31, Some("Left foot: cast applied"), true, true),
            row(32, None, false, true),
            row(33, None, true, false),
        ],
        to_check: vec![said("was corrected on 13 May 2024")],
        held_there: Vec::new(),
        filled: Filled::default()
            .with(fields::REASON, VisitFault::Foot.reason())
            .wrong(CHECKED, "Something has to be checked first. Look at it, and confirm."),
        once: "once".into(),
        seen: "12".into(),
    };
    let moved = VisitRemedyView {
        fault: VisitFault::Child,
        other: Some(other),
        held_there: vec![said("Left foot: cast applied")],
        filled: Filled::default(),
        ..remedy.clone()
    };
    vec![
        ("whole-visit", pages::visit_entries(&frame(Here::Elsewhere), &entries)),
        ("remedy-foot", pages::visit_remedy(&frame(Here::Elsewhere), &remedy)),
        ("remedy-child", pages::visit_remedy(&frame(Here::Elsewhere), &moved)),
    ]
}

fn joins(given: &str) -> Vec<(&'static str, Markup)> {
    let (who, other) = (in_casts(given).who(), in_brace().who());
    let find = JoinFindView {
        who: who.clone(),
        query: given.to_owned(),
        is_over: true,
        found: vec![JoinCandidate {
            who: other.clone(),
            alike: "same family name, same telephone".into(),
            differs: "other given name".into(),
            may_be_siblings: true,
        }],
    };
    let detail = |key, label: &str, kept: Option<&str>, other: Option<&str>| JoinDetail {
        key,
        label: label.into(),
        kept: kept.map(str::to_owned),
        other: other.map(str::to_owned),
        differs: kept.is_some() && other.is_some() && kept != other,
    };
    let join = JoinView {
        both: [who, other],
        details: vec![
            detail("born", "Day of birth", Some("30 March 2024"), Some("31 March 2024")),
            detail("sex", "Sex", Some("girl"), None),
        ],
        same: vec![(today(), "Left foot: cast applied".into())],
        clashes: vec![JoinClashRow {
            on: today(),
            entry: entry(41),
            kept: "Right foot: Pirani 4.5".into(),
            other: "Right foot: Pirani 5".into(),
        }],
        recorded_again: 7,
        entries: [vec![(today(), format!("Registered as {given}"))], Vec::new()],
        may_be_siblings: true,
        filled: Filled::default()
            .wrong(detail_field("born"), "The records disagree: choose which is right.")
            .wrong(fields::SURE, "Confirm that both records are of one child."),
        once: "once".into(),
        seen: "12+3".into(),
    };
    vec![
        ("join-find", pages::join_find(&frame(Here::Elsewhere), &find)),
        ("join", pages::join(&frame(Here::Elsewhere), &join)),
    ]
}

fn calls(given: &str) -> Vec<(&'static str, Markup)> {
    let who = in_casts(given).who();
    let call = CallView {
        who: who.clone(),
        carers: carers(given),
        why: vec!["The child did not attend on 14 May 2024 (cast); no other appointment is booked.".into()],
        attempts: vec!["13 May 2024: telephone, not reached".into()],
        appointment: Some((entry(51), "14 May 2024, cast, did not come".into())),
        problems: (record::ProblemKind::ALL.to_vec(), 8),
        days: loads(),
        can_be_put_off: true,
        filled: Filled::default()
            .with(call_fields::WAY, "phone")
            .wrong(call_fields::REACHED, "Choose whether the family was reached."),
        once: "once".into(),
    };
    let row = |carers| CallRow {
        who: who.clone(),
        carers,
        why: "Did not come (cast).".into(),
        last: Some("13 May 2024: telephone, not reached".into()),
        reached: Some("Last reached on 2 April 2024".into()),
        lives: Some("Kisima village, behind the mill".into()),
        appointment: Some(entry(51)),
    };
    let list = CallListView {
        on: today(),
        rows: vec![row(carers(given)), row(Vec::new())],
        done: vec![row(carers(given))],
        more: 3,
    };
    let moving = MoveAppointmentView {
        path: format!("{}/appointment/{}/move", who.href(), entry(51)),
        who: who.clone(),
        from: today(),
        about: "09:30, cast".into(),
        days: loads(),
        filled: Filled::default().wrong(pages::move_appointment::TO_DAY, "Choose the day."),
        once: "once".into(),
    };
    vec![
        ("call", pages::call(&frame(Here::Elsewhere), &call)),
        ("calls", pages::calls(&frame(Here::Day), &list)),
        ("move-appointment", pages::move_appointment(&frame(Here::Day), &moving)),
    ]
}
