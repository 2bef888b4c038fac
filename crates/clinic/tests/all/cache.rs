//! What is computed from the records is computed once, and again exactly where something was written.

use audit::{KnownBy, ResultsBasis};
use clinic::{ChildRecord, ClinicRecords, RecordsOptions, results_basis};
use guidance::{Protocol, brace::Stock};
use record::{
    Assessment, Body, BraceFitted, CastApplied, ChildId, Day, DayRange, Entry, EntryId, Kind, Note,
    Registration, Side, SiteId, Timestamp, UserId,
};
use std::{
    path::Path,
    sync::{Arc, Barrier},
    thread,
};
use tempfile::TempDir;
use uuid::Uuid;

fn day(text: &str) -> Day {
    text.parse().unwrap()
}

fn today() -> Day {
    day("2025-03-04")
}

fn child(number: u128) -> ChildId {
    ChildId::new(Uuid::from_u128(number))
}

fn entry(of: ChildId, on: Day, body: impl Into<Body>) -> Entry {
    Entry {
        id: EntryId::new(Uuid::now_v7()),
        child: of,
        body: body.into(),
        on,
        at: Timestamp::from_seconds(1_740_000_000),
        by: UserId::new(Uuid::from_u128(7)),
        site: SiteId::new(Uuid::from_u128(1)),
        follows: None,
    }
}

/// A child in the brace since January with a foot of 95 mm.
fn log(number: u128) -> Vec<Entry> {
    let of = child(number);
    let born = Some(day("2024-10-01"));
    let registration =
        Registration { given_name: format!("Child {number}"), born, ..Registration::default() };
    let measured = Assessment { foot_length_mm: Some(95), ..Assessment::of(Side::Left) };
    let mut entries = vec![entry(of, day("2024-10-10"), registration)];
    entries.extend((0..5).map(|week| entry(of, day("2024-10-10") + 7 * week, CastApplied::on(Side::Left))));
    entries.push(entry(of, day("2025-01-10"), measured));
    entries.push(entry(of, day("2025-01-10"), BraceFitted::default()));
    entries
}

fn records(dir: &Path) -> ClinicRecords {
    let records =
        ClinicRecords::open(dir, Arc::new(Protocol::built_in()), RecordsOptions::default()).unwrap();
    records.import((1..=20).flat_map(log).collect(), &mut |_| {}).unwrap();
    records
}

fn clinic() -> (TempDir, ClinicRecords) {
    let dir = tempfile::tempdir().unwrap();
    let records = records(dir.path());
    (dir, records)
}

fn note(of: ChildId) -> Vec<Entry> {
    vec![entry(of, today(), Note { text: "Seen.".into() })]
}

fn known(records: &ClinicRecords, number: u128) -> Arc<ChildRecord> {
    records.child(child(number), today()).unwrap().expect("a known child")
}

fn basis(records: &ClinicRecords) -> ResultsBasis {
    results_basis(&records.protocol(), today(), KnownBy::ClinicalDay)
}

#[test]
fn a_write_about_a_child_leaves_every_other_child_as_it_was() {
    let (_dir, records) = clinic();
    let (one, two) = (known(&records, 1), known(&records, 2));
    assert!(Arc::ptr_eq(&one, &known(&records, 1)), "not computed again");
    records.append(note(child(1))).unwrap();
    let again = known(&records, 1);
    assert_eq!(again.entries.len(), one.entries.len() + 1);
    assert!(Arc::ptr_eq(&two, &known(&records, 2)), "nobody wrote about this child");
    assert!(records.child(child(99), today()).unwrap().is_none());
}

#[test]
fn a_reading_handle_sees_what_another_wrote_and_nothing_else_changes_for_it() {
    let (dir, writer) = clinic();
    let protocol = Arc::new(Protocol::built_in());
    let reader = ClinicRecords::open_for_reading(dir.path(), protocol, None).unwrap();
    let (one, two) = (known(&reader, 1), known(&reader, 2));
    let rows = reader.results(&basis(&reader)).unwrap().expect("a small clinic is read at once");
    let relapse = record::RelapseNoted { side: Side::Left, grade: None, note: None };
    writer.append(vec![entry(child(1), today(), relapse)]).unwrap();
    assert_eq!(known(&reader, 1).entries.len(), one.entries.len() + 1);
    assert!(Arc::ptr_eq(&two, &known(&reader, 2)));
    let after = reader.results(&basis(&reader)).unwrap().unwrap();
    let fresh = reader.results_at_once(&basis(&reader)).unwrap();
    assert_eq!(format!("{:?}", after.children), format!("{:?}", fresh.children));
    assert_ne!(format!("{:?}", after.children), format!("{:?}", rows.children));
}

#[test]
fn two_threads_asking_for_results_read_the_clinic_once() {
    let (_dir, records) = clinic();
    let start = Arc::new(Barrier::new(4));
    let ask = || {
        let (records, start) = (records.clone(), Arc::clone(&start));
        move || {
            start.wait();
            records.results(&basis(&records)).unwrap().unwrap()
        }
    };
    let threads: Vec<_> = (0..4).map(|_| thread::spawn(ask())).collect();
    let rows: Vec<_> = threads.into_iter().map(|one| one.join().unwrap()).collect();
    assert!(rows.iter().all(|one| std::ptr::eq(&**one, &*rows[0])), "the same rows for all");
    assert_eq!(rows[0].children.len(), 20);
}

#[test]
fn what_the_clinic_taught_lasts_over_visits_and_is_learned_again_after_an_import() {
    let (_dir, records) = clinic();
    let taught = records.forecaster(today()).unwrap();
    assert_eq!(records.forecast_reading(today()), taught.reading);
    records.append(note(child(1))).unwrap();
    assert!(Arc::ptr_eq(&taught, &records.forecaster(today()).unwrap()));
    records.import(log(21), &mut |_| {}).unwrap();
    assert_eq!(records.forecast_reading(today()), 0, "not read since the import");
    assert!(records.forecaster(today()).unwrap().reading > taught.reading);
}

#[test]
fn stock_needs_follow_a_measurement() {
    let (_dir, records) = clinic();
    let boots: String = (80..=180)
        .step_by(10)
        .map(|mm| format!("[[boots]]\nlabel = \"boot {mm}\"\ninner_mm = {mm}\nin_store = 2\n"))
        .collect();
    let stock = Stock::read(&boots).unwrap();
    let window = DayRange::new(today(), today() + 91);
    let before = records.stock_needs(&stock, window).unwrap();
    assert_eq!(before.counted + before.unmeasured, 20, "every child is in the brace");
    records.append(vec![entry(child(1), today(), record::Death::default())]).unwrap();
    let after = records.stock_needs(&stock, window).unwrap();
    assert_eq!(after.counted + after.unmeasured, 19);
}

#[test]
fn the_cache_holds_every_kind_of_value_in_one_bound() {
    let (_dir, records) = clinic();
    let cache = records.cache();
    (1..=20).for_each(|number| drop(known(&records, number)));
    records.results(&basis(&records)).unwrap();
    records.forecaster(today()).unwrap();
    let kinds = ["child", "results", "forecaster", "count"];
    assert_eq!(kinds.map(|kind| cache.keys(kind).len()), [20, 1, 1, 1]);
    assert!((1..archive::CACHE_BYTES).contains(&cache.bytes()), "{}", cache.bytes());
    assert!(known(&records, 1).entries.iter().any(|entry| entry.kind() == Kind::BraceFitted));
}

/// Every value that depends on the protocol is made again, and equals what a clinic opened with it computes.
#[test]
fn another_protocol_in_force_leaves_nothing_of_the_earlier_one() {
    let (dir, records) = clinic();
    let boots = "[[boots]]\nlabel = \"boot 100\"\ninner_mm = 100\nin_store = 2\n";
    let (stock, window) = (Stock::read(boots).unwrap(), DayRange::new(today(), today() + 91));
    let steps = |records: &ClinicRecords| format!("{:?}", known(records, 1).outlook.steps);
    // The rows with the plan from which losses are computed.
    let results = |records: &ClinicRecords| {
        let rows = records.results(&basis(records)).unwrap().unwrap();
        format!("{:?} {:?}", rows.basis(), rows.children)
    };
    let listed = |records: &ClinicRecords| format!("{:?}", records.children(None, None, 0, 100).unwrap().0);
    let needs =
        |records: &ClinicRecords| format!("{:?}", records.stock_needs(&stock, window).unwrap().boots(&stock));
    let all = |records: &ClinicRecords| [steps(records), results(records), listed(records), needs(records)];
    let before = all(&records);
    let taught = records.forecaster(today()).unwrap();
    let own = Arc::new(
        Protocol::with_clinic_file(
            "[bracing]\nfull_time_weeks = 20\nearly_reviews_weeks = [2, 8]\nearly_review_days_after = 3\noutgrown_rule = \"closed-shoe-room\"\n",
        )
        .unwrap(),
    );
    // Another handle, as a page in work has it.
    let other = records.clone();
    records.change_protocol(Arc::clone(&own)).unwrap();
    assert_eq!(other.protocol(), own);
    let after = all(&other);
    // A list of one size and no boots of known size: what they need hardly moves.
    for (n, (before, after)) in before.iter().zip(&after).enumerate().take(3) {
        assert_ne!(before, after, "value {n} does not depend on the protocol, so that nothing was tried");
    }
    assert!(Arc::ptr_eq(&taught, &records.forecaster(today()).unwrap()), "the feet have taught the same");
    assert!(records.verify().unwrap().is_sound());
    drop((records, other));
    let again = ClinicRecords::open(dir.path(), own, RecordsOptions::default()).unwrap();
    assert_eq!(all(&again), after);
    again.change_protocol(Arc::new(Protocol::built_in())).unwrap();
    assert_eq!(all(&again), before, "and back again");
}
