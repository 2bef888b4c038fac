//! The page of agreement, its table, and the command, over a clinic with feet scored twice.
#![allow(clippy::unwrap_used, clippy::expect_used, clippy::panic)]

use crate::clinic::{Clinic, TODAY, day};
use axum::http::StatusCode;
use record::{
    Assessment, Body, ChildId, Day, Entry, EntryId, HalfPoint, Registration, SecondScore, Side, Sign,
    Timestamp, UserId,
};
use std::process::Command;
use uuid::Uuid;

fn points(n: u32) -> record::Pirani {
    let mut pirani = record::Pirani::default();
    for (place, sign) in (0..).zip(Sign::ALL) {
        pirani.set(sign, Some(HalfPoint::ALL[((n + place) % 3) as usize]));
    }
    pirani
}

/// So many children, each with one foot scored by the first person and again by the second, who judges a
/// foot in four as if it were another.
fn scored_twice(clinic: &Clinic, children: u32, on: Day) -> [UserId; 2] {
    let raters = [clinic.account("ada", "a long password"), clinic.account("bo", "a long password")];
    let mut entries = Vec::new();
    for n in 0..children {
        let child = ChildId::new(Uuid::from_u128(0x7000_0000 + u128::from(n)));
        let id = |k: u32| EntryId::new(Uuid::from_u128(0x9000_0000 + u128::from(10 * n + k)));
        let mut write = |k: u32, by: UserId, body: Body| {
            entries.push(Entry {
                id: id(k),
                child,
                body,
                on: on - n as i32,
                at: Timestamp::from_seconds(1_700_000_000 + i64::from(10 * n + k)),
                by,
                site: clinic.app.site,
                follows: None,
            });
        };
        let given_name = format!("Child {n}");
        write(0, raters[0], Registration { given_name, ..Registration::default() }.into());
        write(1, raters[0], Assessment { pirani: points(n), ..Assessment::of(Side::Left) }.into());
        let seen = points(n + u32::from(n.is_multiple_of(4)));
        write(
            2,
            raters[1],
            SecondScore { first: Some(id(1)), pirani: seen, ..SecondScore::of(Side::Left) }.into(),
        );
    }
    clinic.app.records.append(entries).unwrap();
    raters
}

#[tokio::test]
async fn the_page_names_the_raters_and_the_table_does_not() {
    let (clinic, mut browser) = Clinic::signed_in().await;
    scored_twice(&clinic, 24, day(TODAY));
    let page = browser.get("/results/agreement").await;
    assert_eq!(page.status, StatusCode::OK, "{}", page.text);
    assert!(page.shown(".tally").contains("24 feet of 24 children scored by two people blind"));
    // Six of 24 differ: the same in 75 %.
    assert!(page.shown("#signs ~ .scroll td").contains("75 %"), "{}", page.shown("table"));
    assert!(page.text.contains("ada of the clinic"), "{}", page.text);
    let table = browser.get("/results/agreement.csv").await;
    assert_eq!(table.headers["content-disposition"], "attachment; filename=\"plantigrade-agreement.csv\"");
    assert!(!table.text.contains("ada of"), "{}", table.text);
    assert!(table.text.contains("item,total,2025-03-04,"), "{}", table.text);
    assert!(table.text.contains(",24,24,same,0.75,,,"), "{}", table.text);
    let linked = browser.get("/results").await;
    assert_eq!(linked.count("a[href='/results/agreement']"), 1);
}

#[tokio::test]
async fn few_children_do_not_leave_the_clinic() {
    let (clinic, mut browser) = Clinic::signed_in().await;
    scored_twice(&clinic, 4, day(TODAY));
    let table = browser.get("/results/agreement.csv").await;
    let rows: Vec<&str> =
        table.text.lines().filter(|row| row.starts_with("item,") || row.starts_with("rater,")).collect();
    assert_eq!(rows.len(), 10 + 2);
    // There is no Dimeglio score: its rows show 0.
    for row in rows.iter().filter(|row| !row.contains("dimeglio")) {
        assert!(row.contains(",withheld,withheld,,,,,") && row.ends_with(",withheld"), "{row}");
    }
}

#[tokio::test]
async fn what_was_true_on_a_day_is_told_of_that_day() {
    let (clinic, mut browser) = Clinic::signed_in().await;
    scored_twice(&clinic, 24, day(TODAY));
    // Child n was scored n days before today: of the 24 those from 4 days before on back were known then.
    let page = browser.get("/results/agreement?as_of=2025-02-28").await;
    assert!(page.shown(".tally").contains("28 February 2025"), "{}", page.shown(".tally"));
    assert!(page.shown(".tally").contains("20 feet of 20 children"), "{}", page.shown(".tally"));
    let page = browser.get("/results/agreement?from=2025-03-03&to=2025-03-03").await;
    assert!(page.shown(".tally").contains("1 foot of 1 child"), "{}", page.shown(".tally"));
}

#[tokio::test]
async fn the_command_says_the_same_in_words_and_in_json() {
    let clinic = Clinic::new();
    scored_twice(&clinic, 24, day(TODAY));
    let dir = clinic.dir.path().to_owned();
    let Clinic { app, router, dir: _kept } = clinic;
    drop((app, router));
    let run = |more: &[&str]| {
        let mut command = Command::new(env!("CARGO_BIN_EXE_plantigrade"));
        let output = command
            .args(["audit", "--agreement", "--today", TODAY, "--data"])
            .arg(&dir)
            .args(more)
            .output()
            .unwrap();
        assert!(output.status.success(), "{output:?}");
        String::from_utf8(output.stdout).unwrap()
    };
    let text = run(&[]);
    assert!(text.contains("24 feet of 24 children scored by two people blind"), "{text}");
    assert!(text.contains("ada of the clinic: ") && text.contains("the same in 75 %"), "{text}");
    let json: serde_json::Value = serde_json::from_str(&run(&["--json"])).unwrap();
    assert_eq!(json["agreement"]["n"], 24);
    assert_eq!(json["agreement"]["items"][0]["item"], "lateral-border");
    assert_eq!(json["agreement"]["items"][0]["same"], 0.75);
    assert_eq!(json["raters"], serde_json::json!(["ada of the clinic", "bo of the clinic"]));
    assert!(json["published"]["empty-heel"].as_str().unwrap().contains("0.72"));
    assert!(run(&["--csv"]).starts_with("part,item,as_of,"));
}

/// Records of three sites: this clinic, one whose name the records know, and one they know nothing of.
#[tokio::test]
async fn other_sites_bear_their_names_where_the_records_know_them() {
    let (clinic, mut browser) = Clinic::signed_in().await;
    let records = &clinic.app.records;
    let own = clinic.app.site;
    let known = record::SiteId::new(Uuid::from_u128(0x51));
    let unknown = record::SiteId::new(Uuid::from_u128(0xbeef));
    records.save_site_name(known, "Island clinic").unwrap();
    let entries = (0..).zip([own, known, unknown]).map(|(n, site)| Entry {
        id: EntryId::new(Uuid::from_u128(0x9900 + n)),
        child: ChildId::new(Uuid::from_u128(0x7700 + n)),
        body: record::CastApplied::on(Side::Left).into(),
        on: day(TODAY),
        at: Timestamp::from_seconds(1_700_000_000 + n as i64),
        by: UserId::new(Uuid::from_u128(5)),
        site,
        follows: None,
    });
    records.append(entries.collect()).unwrap();
    let page = browser.get("/results").await;
    let options = page.shown("select[name=site] option");
    for name in [clinic.app.settings().name.as_str(), "Island clinic", "site ending beef"] {
        assert!(options.contains(name), "{name}: {options}");
    }
}

/// Twelve children begin casts in 2024: more than five, so that the number leaves; whom the command is asked
/// for must be there.
#[tokio::test]
async fn the_year_is_told_by_the_command_in_words_and_in_json() {
    let clinic = Clinic::new();
    let by = clinic.account("ada", "a long password");
    let write = |n: u128, k: u128, body: Body, on: Day| Entry {
        id: EntryId::new(Uuid::from_u128(0x9900 + 10 * n + k)),
        child: ChildId::new(Uuid::from_u128(0x7700 + n)),
        body,
        on,
        at: Timestamp::from_seconds(1_700_000_000 + (10 * n + k) as i64),
        by,
        site: clinic.app.site,
        follows: None,
    };
    let entries = (0..12).flat_map(|n| {
        let cast = day("2024-03-01") + n as i32;
        let registration = Registration {
            given_name: format!("Child {n}"),
            born: Some(cast - 20),
            ..Registration::default()
        };
        [
            write(n, 0, registration.into(), cast - 10),
            write(n, 1, record::CastApplied::on(Side::Left).into(), cast),
        ]
    });
    clinic.app.records.append(entries.collect()).unwrap();
    let dir = clinic.dir.path().to_owned();
    let Clinic { app, router, dir: _kept } = clinic;
    drop((app, router));
    let run = |more: &[&str]| {
        let mut command = Command::new(env!("CARGO_BIN_EXE_plantigrade"));
        command.args(["audit", "--year", "2024", "--today", TODAY, "--data"]).arg(&dir).args(more);
        command.output().unwrap()
    };
    let text = String::from_utf8(run(&[]).stdout).unwrap();
    assert!(text.contains("Children who began casting: 12"), "{text}");
    assert!(text.contains("Age at the first cast (age-first-cast)"), "{text}");
    let output = run(&["--json", "--clinician", "ada of the clinic"]);
    let json: serde_json::Value = serde_json::from_slice(&output.stdout).unwrap();
    assert_eq!((&json["year"], &json["begun"]), (&serde_json::json!(2024), &serde_json::json!(12)));
    // Each was 20 days old.
    let age =
        json["lines"].as_array().unwrap().iter().find(|line| line["measure"] == "age-first-cast").unwrap();
    assert_eq!(age["figures"][0]["value"], 20.0);
    assert_eq!(json["selected"], "first cast by ada of the clinic");
    let nobody = run(&["--clinician", "nobody here"]);
    assert!(!nobody.status.success());
    let said = String::from_utf8(nobody.stderr).unwrap();
    assert!(said.contains("There is no clinician “nobody here”. There are: ada of the clinic."), "{said}");
}
