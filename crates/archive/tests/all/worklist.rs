//! Lists of work, appointments and counts.

use crate::common::{child, day, note, open, registration};
use archive::{Archive, WorkFilter, WorkKind, WorkRow};
use record::DayRange;
use tempfile::TempDir;

fn clinic() -> (TempDir, Archive) {
    let dir = tempfile::tempdir().unwrap();
    let archive = open(dir.path());
    let texts = [
        (1, "attention/slow/2/2024-03-01"),
        (1, "step/cast/1/2024-03-05"),
        (2, "attention/cast-long/0/2024-03-10"),
        (2, "phase/casting"),
        (3, "attention/slow/2/2024-02-01"),
        (3, "attention/cast-long/0/2024-03-02"),
        (4, "question/two-braces/3/2024-01-01"),
        (4, "visit/2024-03-10/10:30"),
        (5, "visit/2024-03-10/09:15"),
        (5, "visit/2024-03-11/09:15"),
        (6, "visit/2024-03-10"),
    ];
    for (who, text) in texts {
        archive.append(vec![note(child(who), "2024-01-01", text)]).unwrap();
    }
    (dir, archive)
}

fn brief(rows: &[WorkRow]) -> Vec<(u128, &str)> {
    rows.iter().map(|row| (row.child.uuid().as_u128(), row.item.rule.as_str())).collect()
}

#[test]
fn items_come_by_urgency_then_by_day_and_only_from_their_day_on() {
    let (_dir, archive) = clinic();
    let all = WorkFilter::default();
    let on = |text: &str, filter: &WorkFilter| archive.worklist(day(text), filter, 0, 100).unwrap();
    let (rows, total) = on("2024-03-10", &all);
    let expected =
        [(3, "cast-long"), (2, "cast-long"), (1, "cast"), (3, "slow"), (1, "slow"), (4, "two-braces")];
    assert_eq!((brief(&rows), total), (expected.to_vec(), 6));
    // The day before, the item of 10 March does not apply yet.
    let (rows, total) = on("2024-03-09", &all);
    assert_eq!((rows[0].child, total), (child(3), 5));
    assert_eq!(rows[1].item.rule, "cast");
}

#[test]
fn filters_narrow_the_list_and_its_total() {
    let (_dir, archive) = clinic();
    let on = |filter: &WorkFilter| {
        let (rows, total) = archive.worklist(day("2024-03-10"), filter, 0, 100).unwrap();
        (brief(&rows).iter().map(|(who, rule)| format!("{who} {rule}")).collect::<Vec<_>>(), total)
    };
    let attention = WorkFilter { kind: Some(WorkKind::Attention), ..WorkFilter::default() };
    assert_eq!(
        on(&attention),
        (["3 cast-long", "2 cast-long", "3 slow", "1 slow"].map(String::from).to_vec(), 4)
    );
    let slow = WorkFilter { rule: Some("slow".into()), ..attention.clone() };
    assert_eq!(on(&slow), (["3 slow", "1 slow"].map(String::from).to_vec(), 2));
    let urgent = WorkFilter { min_urgency: Some(1), ..WorkFilter::default() };
    assert_eq!(on(&urgent), (["3 cast-long", "2 cast-long", "1 cast"].map(String::from).to_vec(), 3));
    let casting = WorkFilter { phase: Some("casting".into()), ..WorkFilter::default() };
    assert_eq!(on(&casting), (vec!["2 cast-long".to_owned()], 1));
    let nothing = WorkFilter { rule: Some("'; DROP TABLE work; --".into()), ..WorkFilter::default() };
    assert_eq!(on(&nothing), (Vec::new(), 0));
}

#[test]
fn pages_join_up_to_the_whole() {
    let dir = tempfile::tempdir().unwrap();
    let archive = open(dir.path());
    let entries = (0..97)
        .map(|n| {
            note(child(n % 40), "2024-01-01", &format!("attention/r/{}/2024-01-{:02}", n % 3, n % 28 + 1))
        })
        .collect();
    archive.append_many(entries, &mut |_| {}).unwrap();
    let on = day("2024-01-31");
    let (whole, total) = archive.worklist(on, &WorkFilter::default(), 0, usize::MAX).unwrap();
    assert_eq!((whole.len(), total), (97, 97));
    let sorted = whole.is_sorted_by_key(|row| (row.item.urgency, row.item.from));
    assert!(sorted, "by urgency, then by day");
    let mut joined = Vec::new();
    for offset in (0..total).step_by(10) {
        joined.extend(archive.worklist(on, &WorkFilter::default(), offset, 10).unwrap().0);
    }
    assert_eq!(joined, whole);
    assert!(archive.worklist(on, &WorkFilter::default(), 97, 10).unwrap().0.is_empty());
}

#[test]
fn the_total_follows_every_write() {
    let (_dir, archive) = clinic();
    let total = || archive.worklist(day("2024-03-10"), &WorkFilter::default(), 0, 1).unwrap().1;
    assert_eq!((total(), total()), (6, 6));
    archive.append(vec![note(child(9), "2024-01-01", "step/cast/1/2024-03-10")]).unwrap();
    assert_eq!(total(), 7);
}

#[test]
fn rules_due_items_and_appointments() {
    let (_dir, archive) = clinic();
    let rules = archive.rules(day("2024-03-05"), WorkKind::Attention).unwrap();
    assert_eq!(rules, [("slow".to_owned(), 2), ("cast-long".to_owned(), 1)]);
    let week = DayRange::new(day("2024-03-02"), day("2024-03-08"));
    assert_eq!(brief(&archive.due(week, &WorkFilter::default()).unwrap()), [(3, "cast-long"), (1, "cast")]);
    let expected = archive.expected(day("2024-03-10")).unwrap();
    let times: Vec<_> = expected.iter().map(|(who, made)| (who.child, made.time.as_deref())).collect();
    // Without a time first, since they have to be found a place.
    assert_eq!(times, [(child(6), None), (child(5), Some("09:15")), (child(4), Some("10:30"))]);
    let days = archive.appointments_per_day(DayRange::new(day("2024-03-01"), day("2024-03-31"))).unwrap();
    assert_eq!(days, [(day("2024-03-10"), 3), (day("2024-03-11"), 1)]);
    let phases = archive.phases().unwrap();
    assert_eq!(phases, [(String::new(), String::new(), 5), ("casting".into(), "in casting".into(), 1)]);
}

#[test]
fn a_row_shows_who_the_child_is() {
    let dir = tempfile::tempdir().unwrap();
    let archive = open(dir.path());
    let who = registration(child(1), "Amina", "Osei", "CF-1", Some("2023-10-05"));
    archive.append(vec![who, note(child(1), "2024-01-09", "step/cast/1/2024-01-10")]).unwrap();
    let (rows, _) = archive.worklist(day("2024-01-10"), &WorkFilter::default(), 0, 10).unwrap();
    let [row] = rows.as_slice() else { panic!("one row") };
    assert_eq!((row.given_name.as_str(), row.family_name.as_str()), ("Amina", "Osei"));
    assert_eq!((row.born, row.last_seen), (Some(day("2023-10-05")), Some(day("2024-01-09"))));
    assert_eq!(
        (row.numbers.as_slice(), row.item.text.as_str()),
        (&["CF-1".to_owned()][..], "step/cast/1/2024-01-10")
    );
}

/// The expected lists, counted row by row and not updated step by step.
fn counted(rows: &[WorkRow]) -> Vec<(u8, String, usize)> {
    let mut counts = std::collections::BTreeMap::new();
    for row in rows {
        *counts.entry((row.item.urgency, row.item.rule.clone())).or_insert(0) += 1;
    }
    counts.into_iter().map(|((urgency, rule), count)| (urgency, rule, count)).collect()
}

#[test]
fn counts_are_kept_up_as_children_are_written_about() {
    let (_dir, archive) = clinic();
    let today = day("2024-03-10");
    let filters = [
        WorkFilter { kind: Some(WorkKind::Attention), ..WorkFilter::default() },
        WorkFilter {
            kind: Some(WorkKind::Attention),
            phase: Some("casting".into()),
            ..WorkFilter::default()
        },
        WorkFilter { min_urgency: Some(1), ..WorkFilter::default() },
        WorkFilter { rule: Some("slow".into()), ..WorkFilter::default() },
    ];
    let agree = |after: &str| {
        for filter in &filters {
            let mut counts = archive.counts(today, filter).unwrap();
            counts.sort();
            let (rows, total) = archive.worklist(today, filter, 0, usize::MAX).unwrap();
            assert_eq!(counts, counted(&rows), "{after}: {filter:?}");
            assert_eq!(total, rows.len(), "{after}: {filter:?}");
        }
    };
    agree("at first");
    // Each changes what another one wrote: an item more, a phase, an item of a later day, a new child.
    let texts = [
        "attention/slow/2/2024-03-10",
        "phase/bracing",
        "attention/slow/2/2024-03-11",
        "step/x/1/2024-01-01",
    ];
    for (n, text) in texts.into_iter().enumerate() {
        archive.append(vec![note(child(2), "2024-03-10", text)]).unwrap();
        archive.append(vec![note(child(20 + n as u128), "2024-03-10", text)]).unwrap();
        agree(text);
    }
    // One that is refused takes what it changed back with it.
    let entry = note(child(3), "2024-03-10", "attention/slow/2/2024-03-01");
    archive.append(vec![entry.clone()]).unwrap();
    agree("written");
    let again = vec![note(child(1), "2024-03-10", "attention/slow/2/2024-02-01"), entry.clone()];
    assert!(archive.append(again).is_err());
    agree("refused");
    archive.erase(entry.id, "wrong child", record::UserId::new(uuid::Uuid::nil()), entry.at).unwrap();
    agree("erased");
    let many = (100..300).map(|who| note(child(who), "2024-03-10", "attention/late/1/2024-03-01")).collect();
    archive.append_many(many, &mut |_| {}).unwrap();
    agree("brought in");
    // Another day, and back.
    let (rows, total) = archive.worklist(day("2024-03-11"), &filters[0], 0, usize::MAX).unwrap();
    assert_eq!(rows.len(), total);
    agree("on the day again");
}
