//! A corrected row that is imported again is a change of its visit, never a silent second measurement.

use crate::common::{Memory, bodies, import, import_table, of_row, row_report, table};
use exchange::{ChangedVisits, Disposition, Plan, guess, plan};
use record::{Assessment, Body, Correction, Entry};

const FIRST: &str = "Hosp No,Name,Date,Side,PC,EH,RE,MC,CLB,LHT,Total,Abduction,Done,Cast no\n\
    1,Ole By,2024-02-01,R,1,1,1,1,1,1,6,20,cast,1\n\
    1,Ole By,2024-02-08,R,1,1,1,0.5,1,1,5.5,30,cast,2\n";

/// The first row again with another sign, total and no abduction.
const CORRECTED: &str = "Hosp No,Name,Date,Side,PC,EH,RE,MC,CLB,LHT,Total,Abduction,Done,Cast no\n\
    1,Ole By,2024-02-01,R,1,1,1,0.5,1,1,5.5,,cast,1\n\
    1,Ole By,2024-02-08,R,1,1,1,0.5,1,1,5.5,30,cast,2\n";

fn decided(text: &str, known: &Memory, answer: ChangedVisits) -> Plan {
    let table = table(text);
    let mut map = guess(&table);
    map.changed_visits = answer;
    let mut ids = crate::common::ids(9_000);
    plan(&table, &map, known, &crate::common::stamp(), &mut ids, &mut |_| {})
}

fn first() -> Memory {
    Memory(import(FIRST).entries)
}

fn scored_on(known: &Memory, day: &str) -> Entry {
    let is = |entry: &&Entry| matches!(entry.body, Body::Assessment(_)) && entry.on.to_string() == day;
    known.0.iter().find(is).unwrap().clone()
}

#[test]
fn a_changed_score_is_asked_about_with_both_values_and_nothing_is_written() {
    let plan = import_table(&table(CORRECTED), None, &first());
    assert_eq!(plan.entries, Vec::new());
    assert_eq!(of_row(&plan, 2), Some((Disposition::Question, "changed-visit")));
    assert_eq!(of_row(&plan, 3), Some((Disposition::Duplicate, "already-there")));
    let text = &row_report(&plan, 2).unwrap().remark.text;
    assert!(text.contains("1 February 2024") && text.contains('6') && text.contains("5.5"), "{text}");
}

#[test]
fn a_correction_keeps_what_the_file_does_not_hold() {
    let known = first();
    let plan = decided(CORRECTED, &known, ChangedVisits::Correct);
    let old = scored_on(&known, "2024-02-01");
    let [Entry { body: Body::Correction(correction), follows, on, .. }] = &plan.entries[..] else {
        panic!("{:?}", plan.entries)
    };
    assert_eq!((correction.entry, *follows, on.to_string()), (old.id, Some(old.id), "2025-06-02".to_owned()));
    let Body::Assessment(new) = &*correction.body else { panic!("{correction:?}") };
    let Body::Assessment(before) = &old.body else { panic!("{old:?}") };
    assert_eq!((new.abduction_deg, new.side), (before.abduction_deg, before.side));
    assert_eq!(new.abduction_deg, Some(20));
    assert_eq!(new.stated_total.map(record::Halves::value), Some(5.5));
    assert_ne!(new.pirani, before.pirani);
    // Once corrected, the file holds nothing new.
    let corrected = Memory([known.0, plan.entries].concat());
    let again = decided(CORRECTED, &corrected, ChangedVisits::Correct);
    assert_eq!((again.entries.len(), again.report.dispositions.duplicate), (0, 2));
}

#[test]
fn a_second_measurement_and_the_record_as_it_is_are_choices_too() {
    let known = first();
    let second = decided(CORRECTED, &known, ChangedVisits::Second);
    let added = bodies(&second, |body| match body {
        Body::Assessment(body) => Some(body.clone()),
        _ => None,
    });
    assert_eq!((second.entries.len(), added.len()), (1, 1));
    let both = Memory([known.0.clone(), second.entries].concat());
    assert_eq!(import_table(&table(CORRECTED), None, &both).entries, Vec::new());
    assert_eq!(import_table(&table(FIRST), None, &both).entries, Vec::new());

    let left = decided(CORRECTED, &known, ChangedVisits::Leave);
    assert_eq!((left.entries.len(), left.report.dispositions.duplicate), (0, 2));
}

#[test]
fn with_two_on_record_it_is_not_clear_which_to_correct() {
    let known = first();
    let other = scored_on(&known, "2024-02-01");
    let Body::Assessment(body) = other.body.clone() else { unreachable!() };
    let body = Assessment { abduction_deg: Some(25), ..body };
    let mut both = known;
    let id = record::EntryId::new(uuid::Uuid::from_u128(77));
    both.0.push(Entry { id, body: body.into(), ..other });
    let plan = decided(CORRECTED, &both, ChangedVisits::Correct);
    assert_eq!(plan.entries, Vec::new());
    assert!(row_report(&plan, 2).unwrap().remark.text.contains("not clear which one"));
}

#[test]
fn a_row_with_fewer_values_than_the_record_is_no_change_and_one_with_more_is() {
    let fewer = FIRST.replace(",20,cast,1", ",,cast,");
    assert_eq!(import_table(&table(&fewer), None, &first()).entries, Vec::new());
    assert_eq!(import_table(&table(&fewer), None, &first()).report.dispositions.duplicate, 2);
    let without = Memory(import(&FIRST.replace(",20,", ",,")).entries);
    let plan = import_table(&table(FIRST), None, &without);
    assert_eq!(of_row(&plan, 2), Some((Disposition::Question, "changed-visit")));
}

#[test]
fn a_corrected_number_of_a_cast_is_a_change_and_another_day_is_not() {
    let recast = FIRST.replace("20,cast,1", "20,cast,3");
    let plan = import_table(&table(&recast), None, &first());
    assert_eq!((plan.entries.len(), of_row(&plan, 2)), (0, Some((Disposition::Question, "changed-visit"))));
    let later = FIRST.replace("2024-02-01", "2024-02-02");
    assert_eq!(import_table(&table(&later), None, &first()).entries.len(), 2);
    let left = FIRST.replace("2024-02-01,R", "2024-02-01,L");
    assert_eq!(import_table(&table(&left), None, &first()).entries.len(), 2);
}

/// The change is of what holds: a score corrected since is compared as corrected.
#[test]
fn a_score_corrected_since_is_compared_as_it_holds() {
    let mut known = first();
    let old = scored_on(&known, "2024-02-01");
    let Body::Assessment(body) = old.body.clone() else { unreachable!() };
    let body = Assessment { abduction_deg: Some(40), ..body };
    let correction =
        Correction { entry: old.id, body: Box::new(body.into()), on: None, reason: "misread".into() };
    let id = record::EntryId::new(uuid::Uuid::from_u128(78));
    known.0.push(Entry { id, body: correction.into(), ..old });
    // The file as it was is known; the same with the corrected value too; a third value is asked about.
    assert_eq!(import_table(&table(FIRST), None, &known).entries, Vec::new());
    assert_eq!(
        import_table(&table(&FIRST.replace(",20,", ",40,")), None, &known).report.dispositions.duplicate,
        2
    );
    let plan = import_table(&table(&FIRST.replace(",20,", ",50,")), None, &known);
    assert_eq!(of_row(&plan, 2), Some((Disposition::Question, "changed-visit")));
}
