//! Brothers, sisters and twins: links that hold, who may be one, and one day for both.

use caseload::{Closure, Setting};
use clinic::{ClinicDays, ClinicRecords, RecordsOptions, shared_day};
use guidance::{Outlook, Protocol};
use record::*;
use std::path::Path;
use uuid::Uuid;

fn open(dir: &Path) -> ClinicRecords {
    ClinicRecords::open(dir, Protocol::built_in().into(), RecordsOptions::default()).unwrap()
}

fn day(text: &str) -> Day {
    text.parse().unwrap()
}

fn child(number: u128) -> ChildId {
    ChildId::new(Uuid::from_u128(number))
}

fn entry(number: u128, on: &str, body: impl Into<Body>) -> Entry {
    Entry {
        id: EntryId::new(Uuid::now_v7()),
        child: child(number),
        body: body.into(),
        on: day(on),
        at: Timestamp::from_seconds(1_740_000_000),
        by: UserId::new(Uuid::from_u128(7)),
        site: SiteId::new(Uuid::from_u128(1)),
        follows: None,
    }
}

fn registered(number: u128, given: &str, phone: Option<&str>) -> Entry {
    let carer = Carer { name: "Hana".to_owned(), phone: phone.map(str::to_owned), ..Carer::default() };
    let about = Registration {
        given_name: given.to_owned(),
        family_name: "Invented".to_owned(),
        born: Some(day("2025-01-01")),
        carers: vec![carer],
        ..Registration::default()
    };
    entry(number, "2025-01-07", about)
}

fn twin(of: u128, other: u128, order: BirthOrder) -> Entry {
    let link = Sibling { birth_order: Some(order), ..Sibling::of(child(other), SiblingRelation::Twin) };
    entry(of, "2025-01-08", link)
}

fn siblings(records: &ClinicRecords, of: u128) -> Vec<ChildId> {
    let on = day("2025-02-01");
    let known = records.child(child(of), on).unwrap().unwrap();
    let found = records.siblings(&known.outlook.course, on).unwrap();
    found.into_iter().map(|one| one.record.outlook.course.child).collect()
}

#[test]
fn a_link_holds_while_both_records_have_it() {
    let dir = tempfile::tempdir().unwrap();
    let records = open(dir.path());
    let on = day("2025-02-01");
    let there = twin(1, 2, BirthOrder::First);
    records.append(vec![registered(1, "Amina", None), registered(2, "Bilal", None), there]).unwrap();
    assert_eq!(siblings(&records, 1), [], "the other record does not link back");
    assert_eq!(records.named_twins(child(1), &[child(2)], on).unwrap(), []);
    let back = twin(2, 1, BirthOrder::Second);
    records.append(vec![back.clone()]).unwrap();
    assert_eq!((siblings(&records, 1), siblings(&records, 2)), (vec![child(2)], vec![child(1)]));
    let named = records.named_twins(child(1), &[child(2)], on).unwrap();
    assert_eq!((named[0].name.as_str(), named[0].order), ("Bilal Invented", Some(BirthOrder::Second)));
    let taken_back = Withdrawal { entry: back.id, reason: "wrong child".to_owned() };
    records.append(vec![entry(2, "2025-01-09", taken_back)]).unwrap();
    assert_eq!((siblings(&records, 1), siblings(&records, 2)), (vec![], vec![]), "it ends in both");
}

#[test]
fn a_child_with_the_same_number_or_name_and_birth_may_be_a_brother_or_sister() {
    let dir = tempfile::tempdir().unwrap();
    let records = open(dir.path());
    let other_family = |number, phone| {
        let Body::Registration(about) = registered(number, "Cleo", Some(phone)).body else { panic!() };
        let born = Some(day("2020-05-05"));
        entry(number, "2025-01-07", Registration { family_name: "Else".to_owned(), born, ..about })
    };
    let entries = vec![
        registered(1, "Amina", Some("0700 1234")),
        registered(2, "Bilal", None),
        other_family(3, "(0700) 12-34"),
        other_family(4, "0700 12345"),
    ];
    records.append(entries).unwrap();
    let known = records.child(child(1), day("2025-02-01")).unwrap().unwrap();
    let possible = records.possible_siblings(&known.outlook.course).unwrap();
    let found: Vec<_> = possible.iter().map(|one| (one.child, one.why.as_str())).collect();
    let expected = [
        (child(2), "the same family name, born 1 January 2025"),
        (child(3), "the same telephone number, 0700 1234"),
    ];
    assert_eq!(found, expected);
}

/// A child with a cast of the right foot on a day; the next is due 5 to 10 days later.
fn in_cast(number: u128, on: &str, more: Option<AppointmentMade>) -> Outlook {
    let mut entries =
        vec![registered(number, "Amina", None), entry(number, on, CastApplied::on(Side::Right))];
    entries.extend(more.map(|made| entry(number, on, made)));
    let as_of = day("2025-02-11");
    let course = course::Course::of(child(number), &entries, as_of);
    Outlook::of(course, &Protocol::built_in())
}

fn made(for_day: &str) -> Option<AppointmentMade> {
    Some(AppointmentMade { for_day: day(for_day), time: None, purpose: Some(Purpose::Cast) })
}

// Cast on 10 February: the next from 15 to 20; cast on 9 February: from 14 to 19. That no appointment is set
// is a call of the day after the cast, to be acted on within 7 days: by 18 and 17. Both: 15 to 17.
#[test]
fn one_day_is_proposed_on_which_both_are_due() {
    let today = day("2025-02-11");
    let both = |one: &Outlook, other: &Outlook, weekdays: &[Weekday]| {
        let clinic = ClinicDays::on(weekdays);
        shared_day([one, other], today, &clinic).map(|shared| (shared.day.to_string(), shared.expected))
    };
    let (one, other) = (in_cast(1, "2025-02-10", None), in_cast(2, "2025-02-09", None));
    assert_eq!(both(&one, &other, &[]), Some(("2025-02-15".to_owned(), [false, false])));
    // 17 February 2025 was a Monday.
    assert_eq!(both(&one, &other, &[Weekday::Monday]), Some(("2025-02-17".to_owned(), [false, false])));
    assert_eq!(both(&one, &other, &[Weekday::Tuesday]), None, "no clinic day suits both");
    let expected = in_cast(2, "2025-02-09", made("2025-02-16"));
    assert_eq!(both(&one, &expected, &[]), Some(("2025-02-16".to_owned(), [false, true])));
    let too = in_cast(1, "2025-02-10", made("2025-02-16"));
    assert_eq!(both(&too, &expected, &[]), None, "both come on one day already");
    // While the clinic is closed no day suits, and after that the next one does.
    let shut = |to: &str| {
        let closure = Closure { from: day("2025-02-14"), to: Some(day(to)), why: String::new() };
        let setting = Some(Setting { closures: vec![closure], ..Setting::default() });
        shared_day([&one, &other], today, &ClinicDays { setting, ..ClinicDays::default() })
    };
    assert_eq!(shut("2025-02-15").map(|shared| shared.day), Some(day("2025-02-16")));
    assert_eq!(shut("2025-02-28"), None);
    // Cast on 4 February: the next from 9 to 14; their days do not meet.
    assert_eq!(both(&one, &in_cast(2, "2025-02-04", None), &[]), None);
}

#[test]
fn no_later_day_is_proposed_where_one_of_them_has_to_be_seen_today() {
    let today = day("2025-02-11");
    let one = in_cast(1, "2025-02-10", None);
    let cast = entry(2, "2025-02-09", CastApplied::on(Side::Right));
    let slipped = Problem { side: Some(Side::Right), ..Problem::of(ProblemKind::CastSlipped) };
    let with = |more: Option<Entry>| {
        let mut entries = vec![registered(2, "Bilal", None), cast.clone()];
        entries.extend(more);
        Outlook::of(course::Course::of(child(2), &entries, today), &Protocol::built_in())
    };
    assert!(shared_day([&one, &with(None)], today, &ClinicDays::default()).is_some());
    let urgent = with(Some(entry(2, "2025-02-11", slipped)));
    assert_eq!(shared_day([&one, &urgent], today, &ClinicDays::default()), None);
    assert_eq!(shared_day([&urgent, &one], today, &ClinicDays::default()), None);
}
