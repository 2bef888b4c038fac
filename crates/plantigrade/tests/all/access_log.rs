//! What the pages and the commands note in the access log, who may read it, and its files.
#![allow(clippy::unwrap_used, clippy::expect_used, clippy::panic)]

use crate::{
    clinic::{AMINA, Browser, Clinic, NAME, PASSWORD},
    commands::{code, err, out, run},
};
use axum::http::StatusCode;
use clinic::{AccessAct, AccessEvent, AccessFilter, AccessOutcome};
use record::{ChildId, Role, Roles, UserId};
use serde_json::Value;

/// The rows noted so far, the earliest first.
pub fn rows(clinic: &Clinic) -> Vec<AccessEvent> {
    let (rows, _) = clinic.app.access_log.rows(&AccessFilter::default(), 0, 10_000).unwrap();
    rows.into_iter().rev().map(|row| row.event).collect()
}

/// The rows noted by what `work` does.
fn since(clinic: &Clinic, before: usize) -> Vec<AccessEvent> {
    rows(clinic).split_off(before)
}

/// A person with one role, and a browser signed in as that person.
pub async fn person(clinic: &Clinic, name: &str, role: Role) -> (UserId, Browser) {
    let user = clinic.account(name, PASSWORD);
    clinic.app.records.accounts().set_roles(user, Roles::NONE.with(role)).unwrap();
    let mut browser = Browser::new(clinic.router.clone());
    let page = browser.sign_in(name, PASSWORD).await;
    assert_eq!(page.status, StatusCode::SEE_OTHER, "{}", page.text);
    (user, browser)
}

fn short(event: &AccessEvent) -> (AccessAct, &str, Option<ChildId>, AccessOutcome) {
    (event.act, event.what.as_str(), event.child, event.outcome)
}

#[tokio::test]
async fn each_opening_is_noted_once_with_person_device_and_child_also_from_the_cache() {
    let (clinic, mut browser) = Clinic::signed_in().await;
    let child = clinic.child(&mut browser, AMINA).await;
    let (other, mut colleague) = person(&clinic, "tove", Role::Clinician).await;
    let before = rows(&clinic).len();
    let path = format!("/child/{child}");
    for _ in 0..3 {
        assert_eq!(browser.get(&path).await.status, StatusCode::OK);
    }
    assert_eq!(colleague.get(&path).await.status, StatusCode::OK);
    browser.get("/attention").await;
    browser.get(&format!("/child/{child}/visit")).await;
    browser.get("/results").await;
    browser.get("/settings").await;
    browser.get("/child/01907e2a-0000-7000-8000-0000000000ff").await;
    let noted = since(&clinic, before);
    let (look, opened) = (AccessAct::Look, AccessOutcome::Opened);
    let expected = [
        (look, "/child/{id}", Some(child), opened),
        (look, "/child/{id}", Some(child), opened),
        (look, "/attention", None, opened),
        (look, "/child/{id}/visit", Some(child), opened),
    ];
    assert_eq!(noted.iter().map(short).collect::<Vec<_>>(), expected, "{noted:#?}");
    assert_eq!(noted[1].person, Some(other));
    assert!(noted.iter().all(|event| event.device == "this computer" && event.note.is_empty()));
}

#[tokio::test]
async fn a_form_and_both_children_of_a_join_are_noted() {
    let (clinic, mut browser) = Clinic::signed_in().await;
    let child = clinic.child(&mut browser, AMINA).await;
    let other = clinic.child(&mut browser, &[("family_name", "Brekke"), ("number", "CF-102")]).await;
    let before = rows(&clinic).len();
    browser.get(&format!("/child/{child}/join/{other}")).await;
    let path = format!("/child/{child}/visit");
    let fields = [("on", crate::clinic::TODAY), ("right.lateral_border", "0.5")];
    let page = browser.send(&path, &path, &fields).await;
    assert_eq!(page.status, StatusCode::SEE_OTHER, "{}", page.text);
    let noted = since(&clinic, before);
    let children: Vec<_> = noted.iter().map(|event| (event.act, event.child)).collect();
    assert_eq!(children[..2], [(AccessAct::Look, Some(child)), (AccessAct::Look, Some(other))]);
    assert_eq!(children[3], (AccessAct::Send, Some(child)), "{noted:#?}");
}

#[tokio::test]
async fn what_a_role_may_not_open_is_refused_and_noted_with_the_right_that_was_lacking() {
    let (clinic, mut browser) = Clinic::signed_in().await;
    let child = clinic.child(&mut browser, AMINA).await;
    let (coordinator, mut browser) = person(&clinic, "liv", Role::Coordinator).await;
    let before = rows(&clinic).len();
    for path in [format!("/child/{child}/visit"), "/settings".to_owned(), "/access-log".to_owned()] {
        assert_eq!(browser.get(&path).await.status, StatusCode::FORBIDDEN, "{path}");
    }
    // Refused by the handler, which knows the kind of the entry.
    let page = browser.get(&format!("/child/{child}/add/diagnosis")).await;
    assert_eq!(page.status, StatusCode::FORBIDDEN);
    let noted = since(&clinic, before);
    assert!(noted.iter().all(|one| one.outcome == AccessOutcome::Refused && one.person == Some(coordinator)));
    let told: Vec<_> = noted.iter().map(|one| (one.what.as_str(), one.child, one.note.as_str())).collect();
    let record = "record scores, treatment and decisions";
    assert_eq!(
        told,
        [
            ("/child/{id}/visit", Some(child), record),
            ("/settings", None, "change how the clinic is run"),
            ("/access-log", None, "see who opened which record"),
            ("/child/{id}/add/{kind}", Some(child), record),
        ]
    );
}

#[tokio::test]
async fn the_page_filters_checks_and_gives_its_rows_as_files() {
    let (clinic, mut lead) = Clinic::signed_in().await;
    let child = clinic.child(&mut lead, AMINA).await;
    let other = clinic.child(&mut lead, &[("family_name", "Brekke"), ("number", "CF-102")]).await;
    let (clinician, mut browser) = person(&clinic, "tove", Role::Clinician).await;
    browser.get(&format!("/child/{child}")).await;
    browser.get(&format!("/child/{other}")).await;
    browser.get("/settings").await;
    let page = lead.get("/access-log").await;
    assert_eq!(page.status, StatusCode::OK);
    assert!(
        page.shown("table").contains("Amina Vesterholt")
            && page.shown("table").contains("tove of the clinic")
    );
    // As a person chooses it: the form is sent, and leads to an address without what was typed.
    let address = async |lead: &mut Browser, query: &str| {
        let csrf = lead.get("/access-log").await.form("/sign-out")["csrf"].clone();
        let pairs = query.split('&').filter_map(|pair| pair.split_once('='));
        let fields: Vec<(&str, &str)> = pairs.chain([("csrf", csrf.as_str())]).collect();
        let led = lead.post("/access-log", &fields).await.location().to_owned();
        assert!(!led.contains("CF-101") && !led.contains("brekke") && !led.contains("csrf"), "{led}");
        led
    };
    let count = async |lead: &mut Browser, query: &str| {
        let led = address(lead, query).await;
        lead.get(&led).await.count("tbody tr")
    };
    let by = format!("person={clinician}");
    assert_eq!(count(&mut lead, &by).await, 3);
    assert_eq!(count(&mut lead, &format!("{by}&child=CF-101")).await, 1);
    assert_eq!(count(&mut lead, &format!("{by}&child=brekke")).await, 1);
    assert_eq!(count(&mut lead, &format!("{by}&child={other}")).await, 1);
    assert_eq!(count(&mut lead, &format!("{by}&child=nobody-of-this-name")).await, 0);
    assert_eq!(count(&mut lead, "refused=yes").await, 1);
    assert_eq!(count(&mut lead, "restricted=yes").await, 0);
    assert_eq!(count(&mut lead, &format!("{by}&from=2025-03-05")).await, 0);
    assert_eq!(count(&mut lead, &format!("{by}&to=2025-03-03")).await, 0);
    let wrong = lead.get("/access-log?from=yesterday").await;
    assert!(wrong.count(".errors") == 1 && wrong.count("tbody tr") == 0, "{}", wrong.shown("main"));
    let of_child = address(&mut lead, &format!("{by}&child=CF-101")).await;
    let csv = lead.get(&of_child.replace("/access-log?", "/access-log.csv?")).await;
    let shown = lead.get(&of_child).await;
    assert!(shown.text.contains("value=\"CF-101\""), "the form shows what was typed");
    assert!(!shown.text.contains("child=CF-101"), "and no link holds it");
    let typed = lead.get(&format!("/access-log?{by}&child=CF-101")).await;
    assert!(typed.text.contains("not remembered any more") && typed.count("tbody tr") == 0);
    let lines: Vec<&str> = csv.text.lines().collect();
    assert!(
        lines[0].starts_with("row,at,person_id,person,device,child_id,child_number,act,what,outcome,note")
    );
    assert!(lines.len() == 2 && lines[1].contains(",CF-101,look,/child/{id},opened,"), "{lines:?}");
    assert!(!csv.text.contains("Vesterholt"), "a file that may be passed on has no name of a child");
    let json: Value = serde_json::from_str(&lead.get("/access-log.json?refused=yes").await.text).unwrap();
    assert_eq!(json[0]["outcome"], "refused");
    assert_eq!(json[0]["note"], "change how the clinic is run");
    let csrf = "form[method=post][action='/access-log'] input[name=csrf]";
    let csrf = page
        .html()
        .select(&scraper::Selector::parse(csrf).unwrap())
        .next()
        .unwrap()
        .attr("value")
        .unwrap()
        .to_owned();
    let checked = lead.post("/access-log", &[("csrf", &csrf), ("check", "yes")]).await;
    assert!(checked.shown(".message").contains("nothing is wrong"), "{}", checked.shown(".message"));
    // Looking at the log is noted as well.
    assert!(rows(&clinic).iter().any(|one| one.what == "/access-log.csv"));
    // On the page of the child, for the lead only.
    let link = format!("a[href='/access-log?child={child}']");
    assert_eq!(lead.get(&format!("/child/{child}")).await.count(&link), 1);
    assert_eq!(browser.get(&format!("/child/{child}")).await.count(&link), 0);
}

#[tokio::test]
async fn a_text_that_looks_like_a_formula_is_no_formula_in_the_file() {
    let (clinic, mut lead) = Clinic::signed_in().await;
    clinic.app.access_log.note(AccessEvent {
        at: clinic.app.clock.now(),
        person: None,
        device: "=HYPERLINK(1)".into(),
        child: None,
        act: AccessAct::Command,
        what: "due".into(),
        outcome: AccessOutcome::Opened,
        note: String::new(),
    });
    let csv = lead.get("/access-log.csv").await;
    assert!(csv.text.contains("'=HYPERLINK(1)") && !csv.text.contains(",=HYPERLINK"), "{}", csv.text);
}

#[tokio::test]
async fn commands_are_noted_and_tampering_is_told_by_exit_code() {
    let (clinic, mut browser) = Clinic::signed_in().await;
    let child = clinic.child(&mut browser, AMINA).await;
    let data = clinic.dir.path();
    let before = rows(&clinic).len();
    assert_eq!(code(&run(data, &["child", "CF-101"])), 0);
    assert_eq!(code(&run(data, &["due"])), 0);
    assert_ne!(code(&run(data, &["child", "CF-999"])), 0);
    let file = data.join("visits.csv");
    assert_eq!(code(&run(data, &["export", file.to_str().unwrap()])), 0);
    let noted = since(&clinic, before);
    let told: Vec<_> = noted.iter().map(|one| (one.what.as_str(), one.child, one.person)).collect();
    assert_eq!(told, [("child", Some(child), None), ("due", None, None), ("export", None, None)]);
    let listed = run(data, &["access-log", "list", "--child", "CF-101", "--person", "nobody", "--json"]);
    let listed: Value = serde_json::from_str(&out(&listed)).unwrap();
    assert_eq!((&listed["total"], &listed["rows"][0]["what"]), (&Value::from(1), &Value::from("child")));
    let unknown = run(data, &["access-log", "list", "--person", "nemo"]);
    assert!(code(&unknown) == 1 && err(&unknown).contains("nemo"), "{}", err(&unknown));
    let sound = run(data, &["access-log", "verify"]);
    assert!(code(&sound) == 0 && out(&sound).contains("nothing is wrong"), "{}", out(&sound));
    assert!(out(&sound).contains("It cannot show this against somebody who may write the log"));
    let (dir, app) = (clinic.dir, clinic.app);
    drop((clinic.router, browser));
    drop(app);
    let log = rusqlite::Connection::open(dir.path().join("access.sqlite")).unwrap();
    log.execute("DELETE FROM access WHERE number = (SELECT max(number) FROM access)", []).unwrap();
    log.execute("DELETE FROM access WHERE number = (SELECT max(number) FROM access)", []).unwrap();
    drop(log);
    let cut = run(dir.path(), &["access-log", "verify"]);
    assert_eq!(code(&cut), 4, "{}", out(&cut));
}

/// The log is beside the records and not in them: where it cannot be used, the records open all the same, and every
/// lead is told.
#[tokio::test]
async fn without_a_usable_log_care_goes_on_and_leads_are_warned() {
    let (clinic, mut browser) = Clinic::signed_in().await;
    let child = clinic.child(&mut browser, AMINA).await;
    let (dir, app) = (clinic.dir, clinic.app);
    drop((clinic.router, browser));
    drop(app);
    for end in ["-wal", "-shm"] {
        let _ = std::fs::remove_file(dir.path().join(format!("access.sqlite{end}")));
    }
    std::fs::write(dir.path().join("access.sqlite"), "this is no database at all, and long enough").unwrap();
    let clock = plantigrade::clock::Clock::new(Some(crate::clinic::day(crate::clinic::TODAY)));
    let mode = plantigrade::app::Mode::default();
    let app = std::sync::Arc::new(plantigrade::app::App::open(dir.path(), clock, mode).unwrap());
    let mut lead = Browser::new(plantigrade::routes::router(app.clone()));
    assert_eq!(lead.sign_in(NAME, PASSWORD).await.status, StatusCode::SEE_OTHER);
    let page = lead.get(&format!("/child/{child}")).await;
    assert_eq!(page.status, StatusCode::OK);
    assert!(
        page.shown(".message.warning").contains("The access log cannot be written"),
        "{}",
        page.shown("main")
    );
}
