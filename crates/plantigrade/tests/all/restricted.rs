//! Restricted records: every door is closed to whoever is not named, lists do not tell whose the record is, and a
//! stated reason opens it for an hour.
#![allow(clippy::unwrap_used, clippy::expect_used, clippy::panic)]

use crate::{
    access_log::{person, rows},
    clinic::{Browser, Clinic, Page, TODAY},
    commands::{code, err, out, run},
};
use axum::http::{Method, StatusCode};
use clinic::{AccessOutcome, NewRestrictedOpening};
use plantigrade::{access::AccessNeed, routes};
use record::{ChildId, Kind, Role, Timestamp, UserId};

/// A child of a colleague: no other child has a word of this.
const HILDE: &[(&str, &str)] = &[
    ("family_name", "Quillfeather"),
    ("given_name", "Hildegund"),
    ("number", "CF-777"),
    ("born", "2025-02-18"),
    ("sides", "right"),
    ("nature", "idiopathic"),
];

/// Words that tell whose record it is or what is in it.
const TELLING: [&str; 4] = ["Quillfeather", "Hildegund", "18 February 2025", "0700 555 321"];

const REASON: &str = "Child of a colleague.";

pub struct Restricted {
    pub clinic: Clinic,
    /// The lead, who is not named.
    lead: Browser,
    pub named: Browser,
    pub other: Browser,
    other_user: UserId,
    coordinator: Browser,
    pub child: ChildId,
    pub open_child: ChildId,
}

impl Restricted {
    pub async fn new() -> Self {
        let (clinic, mut lead) = Clinic::signed_in().await;
        let child = clinic.child(&mut lead, HILDE).await;
        let open_child = clinic.child(&mut lead, &[("family_name", "Brekke"), ("number", "CF-102")]).await;
        let visit = format!("/child/{child}/visit");
        let fields = [("on", TODAY), ("right.lateral_border", "0.5"), ("right.cast", "correction")];
        assert_eq!(lead.send(&visit, &visit, &fields).await.status, StatusCode::SEE_OTHER);
        // Others are expected too, so that the page of the day is made by several threads.
        let mut expected = vec![child, open_child];
        for (name, number) in [("Dahl", "CF-103"), ("Ferreira", "CF-104"), ("Nakamura", "CF-105")] {
            expected.push(clinic.child(&mut lead, &[("family_name", name), ("number", number)]).await);
        }
        for child in expected {
            let made = format!("/child/{child}/add/appointment-made");
            let page = lead.send(&made, &made, &[("on", TODAY), ("for_day", TODAY)]).await;
            assert_eq!(page.status, StatusCode::SEE_OTHER, "{}", page.text);
        }
        let (named_user, named) = person(&clinic, "tove", Role::Clinician).await;
        let (other_user, other) = person(&clinic, "osei", Role::Clinician).await;
        let (_, coordinator) = person(&clinic, "liv", Role::Coordinator).await;
        let path = format!("/child/{child}/restriction");
        let field = format!("person.{named_user}");
        let fields = [(field.as_str(), "yes"), ("reason", REASON), ("do", "restrict")];
        let page = lead.send(&path, &path, &fields).await;
        assert_eq!(page.status, StatusCode::SEE_OTHER, "{}", page.text);
        Self { clinic, lead, named, other, other_user, coordinator, child, open_child }
    }

    /// Every entry of the restricted child.
    fn entries(&self) -> Vec<String> {
        self.clinic.entries(self.child).iter().map(|entry| entry.id.to_string()).collect()
    }

    /// The addresses of a route, with the restricted child in every place that takes a child, alone and beside a
    /// child that is open.
    fn addresses(&self, pattern: &str) -> Vec<String> {
        let entry = self.entries()[1].clone();
        let fill = |id: String, other: String| {
            pattern
                .replace("{id}", &id)
                .replace("{other}", &other)
                .replace("{entry}", &entry)
                .replace("{first}", &entry)
                .replace("{second}", &entry)
                .replace("{on}", TODAY)
                .replace("{kind}", "note")
        };
        let (closed, open) = (self.child.to_string(), self.open_child.to_string());
        let mut all = vec![fill(closed.clone(), open.clone())];
        if pattern.contains("{other}") {
            all.push(fill(open, closed));
        }
        all
    }
}

fn tells(page: &Page) -> Option<&'static str> {
    TELLING.into_iter().find(|word| page.text.contains(word))
}

pub fn is_refused(page: &Page) -> bool {
    page.status == StatusCode::FORBIDDEN
        && (page.shown("h1") == "This record is restricted"
            || page.shown("h1") == "Your role does not allow this")
}

#[tokio::test]
async fn every_route_about_a_child_refuses_whoever_is_not_named() {
    let mut clinic = Restricted::new().await;
    let before = clinic.clinic.entries(clinic.child).len();
    let (mut asked, mut wrong) = (0, Vec::new());
    for (pattern, method, need) in routes::declared() {
        if !pattern.contains("/child/") || matches!(need, AccessNeed::Nothing) {
            continue;
        }
        // There the record is opened for a reason, or the restriction changed; the latter shows no identity either.
        let shows_number = ["/child/{id}/open-restricted", "/child/{id}/restriction"].contains(&pattern);
        for path in clinic.addresses(pattern) {
            for who in ["lead", "other", "coordinator"] {
                let browser = match who {
                    "lead" => &mut clinic.lead,
                    "other" => &mut clinic.other,
                    _ => &mut clinic.coordinator,
                };
                let page = if method == Method::GET {
                    browser.get(&path).await
                } else {
                    browser.post(&path, &[("csrf", "x"), ("on", TODAY)]).await
                };
                asked += 1;
                if !(is_refused(&page) || shows_number) {
                    wrong.push(format!("{who} {method} {path}: {} {}", page.status, page.shown("h1")));
                }
                if let Some(word) = tells(&page) {
                    wrong.push(format!("{who} {method} {path} tells {word}"));
                }
            }
        }
    }
    println!("{asked} requests about a restricted record");
    assert!(wrong.is_empty(), "{}", wrong.join("\n"));
    assert!(asked > 120, "{asked}");
    assert_eq!(clinic.clinic.entries(clinic.child).len(), before, "nothing was written");
    let path = format!("/child/{}", clinic.child);
    let page = clinic.named.get(&path).await;
    assert!(page.status == StatusCode::OK && page.text.contains("Quillfeather"), "{}", page.status);
}

#[tokio::test]
async fn an_id_written_in_another_way_or_in_a_query_or_form_opens_no_door() {
    let mut clinic = Restricted::new().await;
    let (id, open) = (clinic.child.to_string(), clinic.open_child.to_string());
    let encoded: String = id.bytes().map(|byte| format!("%{byte:02X}")).collect();
    let ways = [
        format!("/child/{encoded}"),
        format!("/child/{}", id.to_uppercase()),
        format!("/child/{}", id.replace('-', "")),
        format!("/child/%7B{id}%7D"),
        format!("/child/urn:uuid:{id}"),
        format!("/child/{id}?as_of=2025-03-04"),
        format!("/child/{open}/family?with={id}"),
        format!("/child/{open}/family?with={encoded}"),
        format!("/child/{open}/visit/{TODAY}/change?how=child&to={id}"),
    ];
    for path in ways {
        let page = clinic.other.get(&path).await;
        assert!(tells(&page).is_none(), "{path} tells");
        assert!(is_refused(&page), "{path}: {}", page.status);
    }
    // A lead who is not named sees who opened the record, without a name.
    let log = clinic.lead.get(&format!("/access-log?child={id}")).await;
    assert!(
        log.count("tbody tr") >= 3 && log.text.contains("CF-777") && tells(&log).is_none(),
        "{}",
        log.shown("main")
    );
    // Entries of the restricted child below the address of another.
    for entry in clinic.entries() {
        for below in ["entry", "second-score", "both-scores", "appointment"] {
            let end = if below == "appointment" { "/move" } else { "" };
            let page = clinic.other.get(&format!("/child/{open}/{below}/{entry}{end}")).await;
            assert!(
                tells(&page).is_none() && page.status != StatusCode::OK,
                "{below} {entry}: {}",
                page.status
            );
        }
    }
    // The child in a field of a form.
    let shown = clinic.other.get("/day").await;
    let csrf = shown
        .html()
        .select(&scraper::Selector::parse("input[name=csrf]").unwrap())
        .next()
        .unwrap()
        .value()
        .attr("value")
        .unwrap()
        .to_owned();
    let before = clinic.clinic.entries(clinic.child).len();
    for path in ["/day/arrived", "/day/missed", "/day/undo"] {
        let page = clinic.other.post(path, &[("csrf", &csrf), ("child", &id), ("on", TODAY)]).await;
        assert!(is_refused(&page) && tells(&page).is_none(), "{path}: {}", page.status);
    }
    let page = clinic
        .other
        .post(&format!("/child/{open}/family"), &[("csrf", &csrf), ("with", &id), ("relation", "twin")])
        .await;
    assert!(is_refused(&page), "{}", page.status);
    assert_eq!(clinic.clinic.entries(clinic.child).len(), before);
}

#[tokio::test]
async fn lists_and_searches_show_the_number_and_nothing_that_tells_whose_it_is() {
    let mut clinic = Restricted::new().await;
    let pages = [
        "/day",
        "/calls",
        "/attention",
        "/attention/lost",
        "/find",
        "/find?q=Quillfeather",
        "/find?q=Hilde",
        "/find?q=2025-02-18",
        "/find?q=CF-777",
        "/find?q=CF-777&part=brief",
        "/find?q=CF-777&part=1",
        "/theatre",
        "/stock",
        "/trouble",
        "/capacity",
        "/results",
        "/results/agreement",
        "/forecasts",
    ];
    let (mut seen, mut wrong) = (0, Vec::new());
    for path in pages {
        for who in ["lead", "other", "coordinator"] {
            let browser = match who {
                "lead" => &mut clinic.lead,
                "other" => &mut clinic.other,
                _ => &mut clinic.coordinator,
            };
            let page = browser.open(path).await;
            // What was typed stands in the box of the search; that is not a finding.
            let found = page.shown("main li, main table, main .found-list, ul");
            wrong.extend(
                TELLING
                    .into_iter()
                    .filter(|word| found.contains(word))
                    .map(|word| format!("{who} {path}: {word}")),
            );
            seen += usize::from(found.contains("Restricted record") && found.contains("CF-777"));
        }
    }
    assert!(wrong.is_empty(), "{}", wrong.join("\n"));
    assert!(seen >= 9, "the record is shown by its number {seen} times only");
    let count = async |browser: &mut Browser, path: &str| browser.open(path).await.count("li.found");
    assert_eq!(count(&mut clinic.other, "/find?q=Quillfeather").await, 0);
    assert_eq!(count(&mut clinic.other, "/find?q=CF-777").await, 1);
    assert_eq!(count(&mut clinic.other, "/find?q=CF-77").await, 0, "part of a number could be tried out");
    assert_eq!(count(&mut clinic.named, "/find?q=Quillfeather").await, 1);
    let day = clinic.named.get("/day").await;
    assert!(day.text.contains("Hildegund"), "whoever is named sees the name");
    assert_eq!(day.count("a.who-name[href^='/child/']"), 5, "{}", day.shown("main"));
    // The page of the day is drawn for each reader, and not from what another saw.
    assert!(!clinic.other.get("/day").await.text.contains("Hildegund"));
}

#[tokio::test]
async fn a_stated_reason_opens_the_record_for_an_hour_is_noted_and_every_lead_is_told() {
    let mut clinic = Restricted::new().await;
    let (path, open) =
        (format!("/child/{}", clinic.child), format!("/child/{}/open-restricted", clinic.child));
    let asked = clinic.other.get(&path).await;
    assert_eq!((asked.status, asked.count(&format!("form[action='{open}']"))), (StatusCode::FORBIDDEN, 1));
    let mut form = asked.form(&open);
    let mut send = async |browser: &mut Browser, more: &[(&str, &str)]| {
        for (name, value) in more {
            form.insert((*name).to_owned(), (*value).to_owned());
        }
        let pairs: Vec<(&str, &str)> =
            form.iter().map(|(name, value)| (name.as_str(), value.as_str())).collect();
        browser.post(&open, &pairs).await
    };
    let page = send(&mut clinic.other, &[("why_opened", "other"), ("reason", "because")]).await;
    assert_eq!(page.status, StatusCode::UNPROCESSABLE_ENTITY);
    assert!(page.shown(".errors").contains("at least 10 characters"), "{}", page.shown("main"));
    let page = send(&mut clinic.other, &[("why_opened", "")]).await;
    assert_eq!(page.status, StatusCode::UNPROCESSABLE_ENTITY);
    assert_eq!(clinic.other.get(&path).await.status, StatusCode::FORBIDDEN, "still closed");
    let page = send(&mut clinic.other, &[("why_opened", "covering"), ("reason", "Cast is wet.")]).await;
    assert_eq!((page.status, page.location()), (StatusCode::SEE_OTHER, path.as_str()));
    assert!(clinic.other.get(&path).await.text.contains("Quillfeather"));
    assert_eq!(clinic.lead.get(&path).await.status, StatusCode::FORBIDDEN, "open for that person only");
    let noted = rows(&clinic.clinic);
    let opened = noted.iter().find(|one| one.outcome == AccessOutcome::OpenedRestricted).unwrap();
    assert_eq!((opened.child, opened.person), (Some(clinic.child), Some(clinic.other_user)));
    assert_eq!(opened.note, "I am covering for a colleague who is named: Cast is wet.");
    let refused = |one: &&clinic::AccessEvent| {
        one.outcome == AccessOutcome::Restricted && one.child == Some(clinic.child)
    };
    assert!(noted.iter().filter(refused).count() >= 1);
    // Every lead is told until each has acknowledged it; nobody else is.
    let (_, mut second) = person(&clinic.clinic, "ada", Role::Lead).await;
    let told = async |browser: &mut Browser, path: &str| browser.get(path).await.shown(".message.warning");
    assert!(told(&mut clinic.lead, "/day").await.contains("1 restricted record was opened"));
    assert!(told(&mut second, "/attention").await.contains("1 restricted record was opened"));
    assert!(!told(&mut clinic.other, "/day").await.contains("restricted"));
    let page = clinic.lead.get("/restricted").await;
    assert!(page.shown("main").contains("Cast is wet.") && tells(&page).is_none(), "{}", page.shown("main"));
    let page = clinic.lead.send("/restricted", "/restricted", &[]).await;
    assert_eq!(page.status, StatusCode::SEE_OTHER);
    assert!(!told(&mut clinic.lead, "/day").await.contains("restricted"));
    assert!(
        told(&mut second, "/attention").await.contains("1 restricted record was opened"),
        "each for themselves"
    );
}

#[tokio::test]
async fn an_opening_ends_and_the_restriction_can_be_lifted_with_its_history() {
    let mut clinic = Restricted::new().await;
    let (path, now) = (format!("/child/{}", clinic.child), clinic.clinic.app.clock.now());
    let opening = |until: i64| NewRestrictedOpening {
        child: clinic.child,
        by: clinic.other_user,
        at: now,
        until: Timestamp::from_seconds(now.seconds() + until),
        reason: "Emergency care".into(),
        device: "this computer".into(),
    };
    let app = clinic.clinic.app.clone();
    let closed = |seconds: i64| {
        let at = Timestamp::from_seconds(now.seconds() + seconds);
        app.restricted.closed_to(Some(clinic.other_user), at).has(clinic.child)
    };
    assert!(closed(0));
    app.restricted.open(opening(60)).unwrap();
    assert!(!closed(59) && closed(60), "at the end of its time it is closed again");
    let form = format!("{path}/restriction");
    let page = clinic.lead.get(&form).await;
    assert!(tells(&page).is_none() && page.shown("main").contains("CF-777"), "{}", page.shown("main"));
    let page = clinic.lead.send(&form, &form, &[("reason", "short"), ("do", "lift")]).await;
    assert_eq!(page.status, StatusCode::UNPROCESSABLE_ENTITY);
    let nobody = page.form(&form).into_keys().filter(|name| name.starts_with("person.")).count();
    assert!(nobody <= 1);
    let page = clinic.lead.send(&form, &form, &[("reason", "The colleague has left."), ("do", "lift")]).await;
    assert_eq!(page.status, StatusCode::SEE_OTHER);
    assert_eq!(clinic.other.get(&path).await.status, StatusCode::OK);
    let page = clinic.lead.get(&form).await;
    let history = page.shown("section");
    assert!(history.contains("Restricted to tove of the clinic") && history.contains(REASON), "{history}");
    assert!(history.contains("Lifted") && history.contains("The colleague has left."), "{history}");
    let changes: Vec<String> = rows(&clinic.clinic)
        .into_iter()
        .filter(|one| one.outcome == AccessOutcome::Changed)
        .map(|one| one.note)
        .collect();
    assert_eq!(changes.len(), 2, "{changes:?}");
}

#[tokio::test]
async fn commands_leave_a_restricted_record_closed() {
    let clinic = Restricted::new().await;
    let data = clinic.clinic.dir.path();
    let child = run(data, &["child", "CF-777"]);
    assert_eq!(code(&child), 7, "{}", err(&child));
    assert!(out(&child).is_empty() && err(&child).contains("restricted"), "{}", err(&child));
    let due = run(data, &["due", "--all"]);
    assert!(out(&due).contains("Restricted record") && out(&due).contains("CF-777"), "{}", out(&due));
    assert!(TELLING.iter().all(|word| !out(&due).contains(word)), "{}", out(&due));
    let file = data.join("all.csv");
    let export = run(data, &["export", file.to_str().unwrap()]);
    assert!(out(&export).contains("1 restricted records are left out"), "{}", out(&export));
    let text = std::fs::read_to_string(file).unwrap();
    assert!(text.contains("Brekke") && TELLING.iter().all(|word| !text.contains(word)));
    let noted = rows(&clinic.clinic);
    let refused = noted.iter().rev().find(|one| one.what == "child").unwrap();
    assert_eq!((refused.child, refused.outcome), (Some(clinic.child), AccessOutcome::Restricted));
}

#[tokio::test]
async fn nothing_is_written_about_a_closed_record_by_any_way() {
    let clinic = Restricted::new().await;
    let entry =
        clinic.clinic.entries(clinic.child).into_iter().find(|entry| entry.kind() == Kind::Registration);
    let entry = record::Entry {
        id: record::EntryId::new(uuid::Uuid::now_v7()),
        by: clinic.other_user,
        ..entry.unwrap()
    };
    let refused = clinic.clinic.app.append(vec![entry]).unwrap_err();
    assert!(matches!(refused.0, pages::RequestError::Restricted(_)), "{refused:?}");
}
