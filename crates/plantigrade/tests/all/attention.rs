//! The list of children who need attention: one row each, nobody left out, calls put off through the page.
#![allow(clippy::unwrap_used, clippy::expect_used, clippy::panic)]

use crate::clinic::{AMINA, Clinic, day};
use crate::commands::{PROGRAM, out, run};
use axum::http::StatusCode;
use clinic::{WorkFilter, WorkKind};
use course::Course;
use guidance::{Outlook, Protocol, Urgency};
use plantigrade::{
    app::{App, Mode},
    clock::Clock,
    demo, serve,
};
use record::{Body, ChildId, Day, Entry};
use std::collections::{BTreeMap, BTreeSet};

fn today() -> Day {
    day("2025-03-04")
}

fn invented(dir: &std::path::Path, on: Day) -> App {
    let mode = Mode { invented: true, ..Mode::default() };
    serve::demo_app(dir, 120, 3, Clock::new(Some(on)), mode).unwrap()
}

/// The worst call in the list of every child of the invented clinic, worked out from its log.
fn worst(app: &App, on: Day) -> BTreeMap<ChildId, (u8, Day, &'static str)> {
    let protocol = Protocol::built_in();
    let mut worst = BTreeMap::new();
    app.records
        .for_each_child(&mut |child, entries: Vec<Entry>| {
            let outlook = Outlook::of(Course::of(child, &entries, Day::LAST), &protocol);
            let open = outlook.attention.iter().filter(|call| call.is_listed(on));
            if let Some(call) = open.min_by_key(|call| (call.urgency, call.from)) {
                worst.insert(child, (call.urgency.rank(), call.from, call.rule));
            }
        })
        .unwrap();
    worst
}

/// The list is a query on dates: also on days to come it has one row for each child with a call, led by the
/// worst of them, and its counts are those of its rows.
#[test]
fn one_row_per_child_led_by_its_worst_call_today_and_later() {
    let dir = tempfile::tempdir().unwrap();
    let app = invented(dir.path(), today());
    let filter = WorkFilter { kind: Some(WorkKind::Row), ..WorkFilter::default() };
    for ahead in [0, 1, 7, 30, 120, 1_000, 4_000] {
        let on = today() + ahead;
        let (rows, total) = app.records.worklist(on, &filter, 0, usize::MAX).unwrap();
        assert_eq!(rows.len(), total, "{on}");
        let children: BTreeSet<ChildId> = rows.iter().map(|row| row.child).collect();
        assert_eq!(children.len(), rows.len(), "{on}: a child has one row");
        let expected = worst(&app, on);
        assert_eq!(children, expected.keys().copied().collect(), "{on}: nobody is left out");
        for row in &rows {
            assert_eq!(row.item.urgency, expected[&row.child].0, "{on}");
            let open = row.further.iter().map(|item| (item.urgency, item.from)).min();
            let (urgency, from, _) = expected[&row.child];
            assert_eq!(open, Some((urgency, from)), "{on}: the calls of the child are shown beside the row");
        }
    }
}

#[test]
fn due_lists_every_child_with_a_call_of_the_same_day_or_this_week() {
    let dir = tempfile::tempdir().unwrap();
    let expected: BTreeSet<String> = {
        let app = invented(dir.path(), today());
        let urgent = |call: &(u8, Day, &str)| call.0 <= Urgency::ThisWeek.rank();
        worst(&app, today())
            .into_iter()
            .filter(|(_, call)| urgent(call))
            .map(|(child, _)| child.to_string())
            .collect()
    };
    assert!(expected.len() > 5, "{PROGRAM}: the invented clinic has some");
    let output = run(dir.path(), &["due", "--within", "0", "--json"]);
    let rows: Vec<serde_json::Value> = serde_json::from_str(&out(&output)).unwrap();
    let listed: BTreeSet<String> =
        rows.iter().filter_map(|row| Some(row["child"].as_str()?.to_owned())).collect();
    let missing: Vec<_> = expected.difference(&listed).collect();
    assert!(missing.is_empty(), "{missing:?}");
}

#[tokio::test]
async fn a_child_without_a_call_has_nothing_to_put_off() {
    let (clinic, mut browser) = Clinic::signed_in().await;
    // Registered today: that no appointment is set is called from tomorrow.
    let child = clinic.child(&mut browser, AMINA).await;
    let page = browser.get(&format!("/child/{child}/put-off")).await;
    assert_eq!(page.status, StatusCode::OK, "{}", page.text);
    assert!(page.text.contains("No call of this child can be put off today"), "{}", page.text);
}

/// Referred two weeks ago with no appointment set.
#[tokio::test]
async fn what_was_put_off_is_an_attempt_to_reach_the_family() {
    let clinic = Clinic::new();
    clinic.account(crate::clinic::NAME, crate::clinic::PASSWORD);
    let mut browser = clinic.browser_signed_in().await;
    let child = clinic.child(&mut browser, AMINA).await;
    let referred = Entry {
        id: record::EntryId::new(uuid::Uuid::now_v7()),
        child,
        body: Body::Referral(record::Referral::default()),
        on: day("2025-02-20"),
        at: clinic.app.clock.now(),
        by: record::UserId::new(uuid::Uuid::nil()),
        site: clinic.app.site,
        follows: None,
    };
    clinic.app.records.append(vec![referred]).unwrap();
    let rows = "section.calls > ul.call-list > li.call";
    assert_eq!(browser.get("/attention").await.count(rows), 1);
    let path = format!("/child/{child}/put-off");
    let missing = browser.send(&path, &path, &[("because", "The family is abroad.")]).await;
    assert_eq!(missing.status, StatusCode::UNPROCESSABLE_ENTITY, "{}", missing.text);
    let fields =
        [("until", "2025-03-14"), ("because", "The family is abroad."), ("way", "phone"), ("reached", "yes")];
    let mut chosen = fields.to_vec();
    chosen.extend([("rule.no-next-appointment", "yes"), ("rule.first-visit-overdue", "yes")]);
    let saved = browser.send(&path, &path, &chosen).await;
    assert_eq!((saved.status, saved.location()), (StatusCode::SEE_OTHER, "/attention"), "{}", saved.text);
    let page = browser.get("/attention").await;
    assert_eq!((page.count(rows), page.count("details.put-off li.call")), (0, 2), "{}", page.text);
    let filter = WorkFilter { kind: Some(WorkKind::Row), ..WorkFilter::default() };
    let total = |on: &str| clinic.app.records.worklist(day(on), &filter, 0, 0).unwrap().1;
    assert_eq!((total("2025-03-13"), total("2025-03-14")), (0, 1));
    let note = clinic.entries(child).into_iter().find_map(|entry| match entry.body {
        Body::ContactAttempt(attempt) => attempt.note,
        _ => None,
    });
    assert_eq!(
        note.as_deref(),
        Some("Not before 2025-03-14 (no next appointment; referred and not seen): The family is abroad.")
    );
}

#[tokio::test]
async fn the_lost_list_is_counted_and_shown_with_its_routine() {
    let dir = tempfile::tempdir().unwrap();
    let app = std::sync::Arc::new(invented(dir.path(), today()));
    let filter = WorkFilter { kind: Some(WorkKind::Lost), ..WorkFilter::default() };
    let total = app.records.worklist(today(), &filter, 0, 0).unwrap().1;
    assert!(total > 0, "the invented clinic has lost somebody");
    let path = serve::demo_path(&app).unwrap();
    let mut browser = crate::clinic::Browser::new(plantigrade::routes::router(app));
    browser.get(&path).await;
    let page = browser.get("/attention/lost").await;
    assert_eq!((page.status, page.count("ul.call-list > li.call")), (StatusCode::OK, total.min(40)));
    assert!(page.text.contains("Next: ") || page.text.contains("Every way was tried"), "{}", page.text);
    assert!(browser.get("/attention").await.text.contains(&format!("Lost list: {total} ")));
}

#[test]
fn the_calls_of_the_invented_clinic_do_not_depend_on_the_order_of_rows() {
    let mut children: BTreeMap<ChildId, Vec<Entry>> = BTreeMap::new();
    for entry in demo::clinic(80, 5, today()) {
        children.entry(entry.child).or_default().push(entry);
    }
    let protocol = Protocol::built_in();
    for (child, mut entries) in children {
        let calls = |entries: &[Entry]| Outlook::of(Course::of(child, entries, today()), &protocol).attention;
        let before = calls(&entries);
        entries.reverse();
        assert_eq!(before, calls(&entries), "{child}");
    }
}

/// The measured table names every rule, so that none is without its burden.
#[test]
fn every_rule_has_its_burden_in_the_manual() {
    let path = std::path::Path::new(env!("CARGO_MANIFEST_DIR")).join("../../docs/attention.md");
    let text = std::fs::read_to_string(path).unwrap();
    let missing: Vec<_> = guidance::attention::RULES
        .iter()
        .filter(|rule| !text.contains(&format!("(`{}`)", rule.key)))
        .collect();
    assert!(missing.is_empty(), "run the example attention_burden again: {missing:?}");
}
