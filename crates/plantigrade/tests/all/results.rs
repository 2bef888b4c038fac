//! Results as the program computes them from its own protocol: who counts as lost, and what was known when.

use crate::clinic::{Clinic, TODAY, day};
use audit::{KnownBy, LossDefinition, UnnumberedHistory};
use clinic::results_basis;
use guidance::{Outlook, Protocol};
use plantigrade::demo;
use record::{
    Assessment, Body, Brace, BraceFitted, CastApplied, ChildId, Day, Entry, EntryId, HalfPoint, Pirani,
    Referral, Regime, Registration, RelapseNoted, Side, Sign, SiteId, TenotomyDone, Timestamp, UserId,
};
use std::{collections::BTreeMap, process::Command};
use uuid::Uuid;

/// An entry written at noon of a day.
fn entry(child: u128, line: u128, on: Day, at: Day, body: Body) -> Entry {
    Entry {
        id: EntryId::new(Uuid::from_u128(0x9900_0000 + 0x1000 * child + line)),
        child: ChildId::new(Uuid::from_u128(0x7700_0000 + child)),
        body,
        on,
        at: Timestamp::from_seconds(i64::from(at.number()) * 86_400 + 43_200 + line as i64),
        by: UserId::new(Uuid::from_u128(5)),
        site: SiteId::new(Uuid::from_u128(6)),
        follows: None,
    }
}

fn scored() -> Body {
    let mut pirani = Pirani::default();
    Sign::ALL.into_iter().for_each(|sign| pirani.set(sign, Some(HalfPoint::Zero)));
    Assessment { pirani, ..Assessment::of(Side::Right) }.into()
}

/// A family that comes on the last day on which each visit of a protocol is in time, until the fifth
/// birthday. The days are worked out by the protocol itself, not by the plan that results are given.
fn always_at_the_last_moment(protocol: &Protocol, first_cast: Day) -> Vec<Entry> {
    let born = first_cast - 14;
    let mut days: Vec<(Day, Body)> = Vec::new();
    let registration =
        Registration { given_name: "Late".into(), born: Some(born), ..Registration::default() };
    days.push((first_cast, registration.into()));
    let apart = i32::from(protocol.cast_interval_range_days.high);
    (0..5).for_each(|n| days.push((first_cast + apart * n, CastApplied::on(Side::Right).into())));
    let cut = first_cast + 5 * apart;
    days.push((cut, TenotomyDone::on(Side::Right).into()));
    days.push((cut, CastApplied::on(Side::Right).into()));
    let fitted = cut + i32::from(protocol.tenotomy_cast_range_days.high);
    let brace = BraceFitted {
        brace: Brace::default(),
        regime: Some(Regime::FullTime),
        hours_prescribed: None,
        fitted_by: None,
    };
    days.push((fitted, brace.into()));
    let mut last = fitted;
    for review in protocol.early_reviews() {
        last = fitted + review.to_days;
        days.push((last, scored()));
    }
    while last < born.plus_years(i32::from(protocol.bracing_ends_years)) {
        last = protocol.review_in_time_until(last, Some(born), true);
        days.push((last, scored()));
    }
    let lines = days.into_iter().zip(0_u128..);
    lines.map(|((on, body), line)| entry(1, line, on, on, body)).collect()
}

#[test]
fn a_family_at_the_last_moment_of_every_visit_of_the_protocol_is_never_lost() {
    let half_yearly =
        Protocol::with_clinic_file("[bracing]\nreview_months_under_3y = 6\nreview_months_older = 18");
    for protocol in [Protocol::built_in(), half_yearly.unwrap()] {
        let entries = always_at_the_last_moment(&protocol, day("2016-03-04"));
        let (first, last) = (entries[0].on, entries[entries.len() - 1].on);
        for after in (1..=last - first + 1_500).step_by(13) {
            let read = UnnumberedHistory::of(
                entries[0].child,
                &entries,
                &results_basis(&protocol, first + after, KnownBy::ClinicalDay),
            );
            let mut clinic =
                audit::ClinicHistory::new(results_basis(&protocol, first + after, KnownBy::ClinicalDay));
            let row = clinic.row(read.unwrap());
            assert_eq!(
                row.loss(LossDefinition::ByPlannedInterval),
                None,
                "{after} days after the first cast"
            );
        }
        // By the published definition it has dropped out.
        let all = results_basis(&protocol, last, KnownBy::ClinicalDay);
        let row = audit::ClinicHistory::new(all.clone())
            .row(UnnumberedHistory::of(entries[0].child, &entries, &all).unwrap());
        assert!(row.loss(LossDefinition::AsPublished).is_some());
    }
}

/// In the invented clinic, its appointments taken out, on days on which it has not been written in for up to
/// fourteen months, those in casts, at the tenotomy or in the brace whom
/// the list of children to call calls lost have dropped out by the planned interval, and nobody else has.
#[test]
fn results_and_the_list_of_children_to_call_agree_on_who_is_lost() {
    use course::Phase;
    let protocol = Protocol::built_in();
    let mut children: BTreeMap<ChildId, Vec<Entry>> = BTreeMap::new();
    for entry in demo::clinic(240, 4, day(TODAY)) {
        // An appointment for later than the plan counts in results alone.
        if !matches!(entry.body, Body::AppointmentMade(_)) {
            children.entry(entry.child).or_default().push(entry);
        }
    }
    let (mut both, mut compared) = (0, 0);
    for after in [-500, -200, 0, 25, 60, 150, 250, 420] {
        let as_of = day(TODAY) + after;
        let basis = results_basis(&protocol, as_of, KnownBy::ClinicalDay);
        for (child, entries) in &children {
            let Some(read) = UnnumberedHistory::of(*child, entries, &basis) else { continue };
            let row = audit::ClinicHistory::new(basis.clone()).row(read);
            let course = course::Course::of(*child, entries, as_of);
            let treated = |phase| {
                let braced = matches!(phase, Phase::FullTimeBracing | Phase::NightTimeBracing);
                braced
                    || matches!(phase, Phase::InCorrection | Phase::WaitingForTenotomy | Phase::TenotomyCast)
            };
            let whole = course.feet.iter().all(|foot| treated(foot.phase));
            let finished = row.over.day().is_some() || course.about.born.is_none();
            if course.standing != course::Standing::Active || !whole || finished || row.first_cast().is_none()
            {
                continue;
            }
            compared += 1;
            let outlook = Outlook::of(course, &protocol);
            let called =
                outlook.attention.iter().any(|call| call.rule == "contact-lost" && call.from <= as_of);
            both += usize::from(called);
            assert_eq!(row.lost.is_some(), called, "{child} as of {as_of}");
        }
    }
    assert!(compared > 500 && both > 200, "{both} of {compared}");
}

/// Thirty children braced in 2023; on 1 July 2024 the clinic prints its results. Relapses of the spring are
/// written only in August.
#[tokio::test]
async fn last_years_results_are_printed_again_by_the_command() {
    let clinic = Clinic::new();
    let brace =
        || BraceFitted { brace: Brace::default(), regime: None, hours_prescribed: None, fitted_by: None };
    let written = (0..30_u128).flat_map(|n| {
        let cast = day("2023-01-10") + n as i32;
        let registration = Registration {
            given_name: format!("Child {n}"),
            born: Some(cast - 20),
            ..Registration::default()
        };
        let of = |line, on: Day, body: Body| entry(n, line, on, on, body);
        [
            of(0, cast - 8, registration.into()),
            of(1, cast - 8, Referral { from: Some("a midwife".into()), reason: None }.into()),
            of(2, cast, CastApplied::on(Side::Left).into()),
            of(3, cast + 40, brace().into()),
            of(4, day("2024-02-01") + n as i32, scored()),
            of(5, day("2024-06-01"), scored()),
        ]
    });
    clinic.app.records.append(written.collect()).unwrap();
    let dir = clinic.dir.path().to_owned();
    let run = |more: &[&str]| {
        let mut command = Command::new(env!("CARGO_BIN_EXE_plantigrade"));
        command
            .args(["audit", "--today", "2024-12-01", "--as-of", "2024-07-01", "--data"])
            .arg(&dir)
            .args(more);
        let output = command.output().unwrap();
        assert!(output.status.success(), "{output:?}");
        String::from_utf8(output.stdout).unwrap()
    };
    let asked: [&[&str]; 4] = [&["--json"], &["--csv"], &[], &["--year", "2023", "--json"]];
    let with = |more: &[&str]| run(&[more, &["--as-written"]].concat());
    let then: Vec<String> = asked.iter().map(|more| with(more)).collect();
    let by_day = run(&["--json"]);
    let late = (0..10_u128).map(|n| {
        let relapse = RelapseNoted { side: Side::Left, grade: None, note: None };
        entry(n, 6, day("2024-06-01"), day("2024-08-20"), relapse.into())
    });
    clinic.app.records.append(late.collect()).unwrap();
    for (more, then) in asked.iter().zip(&then) {
        assert_eq!(&with(more), then, "{more:?}");
    }
    let now = run(&["--json"]);
    assert_ne!(now, by_day, "by clinical day the relapses are known of by now");
    let relapses = |text: &str| {
        let json: serde_json::Value = serde_json::from_str(text).unwrap();
        let measures = json["measures"].as_array().unwrap().clone();
        let relapse = measures.into_iter().find(|one| one["measure"] == "relapse").unwrap();
        (json["known_by"].as_str().unwrap().to_owned(), relapse["counted"]["events"].as_i64().unwrap())
    };
    assert_eq!(relapses(&now), ("clinical-day".to_owned(), 10));
    assert_eq!(relapses(&then[0]), ("day-of-writing".to_owned(), 0));
    assert!(
        then[2].starts_with("As known on 1 July 2024, by the day of writing: 30 children"),
        "{}",
        then[2]
    );
    assert!(then[1].contains("by the day of writing"));
}

/// Both definitions of drop-out in the JSON, each named, with the plan they rest on.
#[tokio::test]
async fn the_command_gives_both_definitions_of_drop_out() {
    let clinic = Clinic::new();
    clinic.app.records.append(demo::clinic(60, 3, day(TODAY))).unwrap();
    let dir = clinic.dir.path().to_owned();
    let mut command = Command::new(env!("CARGO_BIN_EXE_plantigrade"));
    let output = command.args(["audit", "--json", "--today", TODAY, "--data"]).arg(&dir).output().unwrap();
    let json: serde_json::Value = serde_json::from_slice(&output.stdout).unwrap();
    assert_eq!(json["planned_intervals"]["review_months_older"], 12);
    let find = |key: &str| {
        let measures = json["measures"].as_array().unwrap();
        measures.iter().find(|one| one["measure"] == key).unwrap().clone()
    };
    let (planned, published) = (find("drop-out"), find("drop-out-published"));
    assert_eq!(planned["definition"]["name"], "Drop-out, by the planned interval");
    assert_eq!(planned["other"]["name"], "Drop-out, by the published definition");
    assert_eq!(planned["other"]["counted"], published["counted"]);
    assert_eq!(planned["other"]["figures"], published["figures"]);
    assert!(planned["counted"]["events"].as_i64() < published["counted"]["events"].as_i64());
}

#[tokio::test]
async fn the_page_offers_both_ways_of_what_was_known_and_draws_both_lines() {
    let (clinic, mut browser) = Clinic::signed_in().await;
    clinic.app.records.append(demo::clinic(60, 3, day(TODAY))).unwrap();
    let page = browser.get("/results?as_of=2024-12-01").await;
    assert!(page.shown(".tally").contains("by clinical day"), "{}", page.shown(".tally"));
    assert!(page.text.contains("name=\"known_by\""), "the form offers the choice");
    let page = browser.get("/results?as_of=2024-12-01&known_by=day-of-writing").await;
    assert!(page.shown(".tally").contains("by the day of writing"), "{}", page.shown(".tally"));
    assert!(page.text.contains("known_by=day-of-writing"), "links keep the choice");
    let page = browser.get("/results/drop-out").await;
    let legend = page.shown(".plot-legend");
    for name in ["Drop-out, by the planned interval", "Drop-out, by the published definition"] {
        assert!(legend.contains(name), "{name}: {legend}");
    }
}
