//! Erasure on legal request: two leads, nothing left in any file of the records, and the chain still verifies. Holds
//! and the retention period.
#![allow(clippy::unwrap_used, clippy::expect_used, clippy::panic)]

use crate::{
    access_log::person,
    clinic::{Browser, Clinic, NAME, PASSWORD, TODAY},
    command_rights::run_as,
    commands::{code, err, out, run},
};
use axum::http::StatusCode;
use record::{ChildId, Kind, Role};
use serde_json::Value;
use std::path::Path;

/// A child no word of which occurs anywhere else.
const HILDE: &[(&str, &str)] = &[
    ("family_name", "Quillfeather"),
    ("given_name", "Hildegund"),
    ("number", "QX-90071"),
    ("born", "2024-02-29"),
    ("sides", "right"),
    ("nature", "idiopathic"),
    ("carer_name", "Wendelgard Quillfeather"),
    ("carer_phone", "0700 555 32123"),
];

/// What must be in no file once the record is erased, in any case.
const TELLING: [&str; 6] =
    ["quillfeather", "hildegund", "wendelgard", "qx-90071", "qx90071", "zinzolin remark"];

/// The texts that are in the raw bytes of any file of a folder, with the file.
fn found_in_files(dir: &Path) -> Vec<String> {
    let mut found = Vec::new();
    for entry in std::fs::read_dir(dir).unwrap() {
        let path = entry.unwrap().path();
        if path.is_dir() {
            found.extend(found_in_files(&path));
            continue;
        }
        let bytes = std::fs::read(&path).unwrap().to_ascii_lowercase();
        let holds = |text: &&&str| bytes.windows(text.len()).any(|window| window == text.as_bytes());
        let name = path.file_name().unwrap().to_string_lossy().into_owned();
        found.extend(TELLING.iter().filter(holds).map(|text| format!("{name}: {text}")));
    }
    found
}

struct Erasing {
    clinic: Clinic,
    first: Browser,
    second: Browser,
    child: ChildId,
    other: ChildId,
}

impl Erasing {
    async fn new() -> Self {
        let (clinic, mut first) = Clinic::signed_in().await;
        let child = clinic.child(&mut first, HILDE).await;
        let other = clinic.child(&mut first, &[("family_name", "Brekke"), ("number", "CF-102")]).await;
        let visit = format!("/child/{child}/visit");
        let fields = [("on", TODAY), ("right.lateral_border", "0.5"), ("right.cast", "correction")];
        assert_eq!(first.send(&visit, &visit, &fields).await.status, StatusCode::SEE_OTHER);
        let note = format!("/child/{child}/add/note");
        let page =
            first.send(&note, &note, &[("on", TODAY), ("text", "A zinzolin remark about Hildegund.")]).await;
        assert_eq!(page.status, StatusCode::SEE_OTHER, "{}", page.text);
        let (_, second) = person(&clinic, "ada", Role::Lead).await;
        Self { clinic, first, second, child, other }
    }

    /// Asks for the erasure of the whole record and returns the address of the request.
    async fn ask(&mut self) -> String {
        let path = format!("/child/{}/erasure", self.child);
        let fields =
            [("scope", "record"), ("reason", "Request of the family."), ("basis", "Article 17, 1 March")];
        let page = self.first.send(&path, &path, &fields).await;
        assert_eq!(page.status, StatusCode::SEE_OTHER, "{}", page.text);
        page.location().to_owned()
    }
}

#[tokio::test]
async fn a_second_lead_erases_the_record_and_no_file_has_a_word_of_it() {
    let mut one = Erasing::new().await;
    let dir = one.clinic.dir.path().to_owned();
    let before = one.clinic.entries(one.child).len();
    assert!(!found_in_files(&dir).is_empty(), "the search finds what is there");
    let request = one.ask().await;
    let shown = one.second.get(&request).await;
    let main = shown.shown("main");
    assert!(main.contains(&format!("{before} entries")) && main.contains("note: 1"), "{main}");
    assert!(main.contains("Request of the family.") && main.contains("Article 17, 1 March"), "{main}");
    // Another number, and none at all.
    for number in ["", "CF-102"] {
        let page = one.second.send(&request, &request, &[("number", number), ("do", "carry-out")]).await;
        assert_eq!(page.status, StatusCode::UNPROCESSABLE_ENTITY, "{number}");
        assert_eq!(one.clinic.entries(one.child).len(), before);
    }
    let page = one.second.send(&request, &request, &[("number", "qx-90071"), ("do", "carry-out")]).await;
    assert_eq!(page.status, StatusCode::SEE_OTHER, "{}", page.shown("main"));
    assert!(one.clinic.entries(one.child).is_empty());
    assert_eq!(found_in_files(&dir), Vec::<String>::new(), "while the program runs");
    // Nothing finds or shows it, and the other child is there.
    assert_eq!(one.first.open("/find?q=Quillfeather").await.count("li.found"), 0);
    assert_eq!(one.first.open("/find?q=QX-90071").await.count("li.found"), 0);
    assert_eq!(one.first.get(&format!("/child/{}", one.child)).await.status, StatusCode::NOT_FOUND);
    assert_eq!(one.first.get(&format!("/child/{}", one.other)).await.status, StatusCode::OK);
    let report = one.clinic.app.records.verify().unwrap();
    assert!(report.is_sound(), "{report}");
    assert_eq!(report.erased, before);
    // What remains: who asked, who carried it out, why and how much. The access log still has who opened it.
    let main = one.first.get(&request).await.shown("main");
    for words in
        ["ida of the clinic", "ada of the clinic", "Request of the family.", "Carried out", "note: 1"]
    {
        assert!(main.contains(words), "{words}: {main}");
    }
    let opened = one.first.get(&format!("/access-log?child={}", one.child)).await;
    assert!(
        opened.count("tbody tr") > 3 && opened.text.contains("A record without entries"),
        "{}",
        opened.shown("table")
    );
    let json = run(&dir, &["erasure", "list", "--json"]);
    let json: Value = serde_json::from_str(&out(&json)).unwrap();
    let kinds = json["requests"][0]["erased"].as_array().unwrap();
    let sum: u64 = kinds.iter().map(|kind| kind["count"].as_u64().unwrap()).sum();
    assert_eq!((sum, &json["requests"][0]["done"]), (before as u64, &Value::Bool(true)));
    // A second press does nothing more.
    assert_eq!(one.second.get(&request).await.count("button.grave"), 0);
    assert_eq!(code(&run(&dir, &["verify"])), 0);
    let dir_kept = one.clinic.dir;
    drop((one.first, one.second, one.clinic.router, one.clinic.app));
    assert_eq!(found_in_files(dir_kept.path()), Vec::<String>::new(), "after the program has ended");
}

#[tokio::test]
async fn one_lead_alone_cannot_erase_also_not_in_a_second_browser() {
    let mut one = Erasing::new().await;
    let before = one.clinic.entries(one.child).len();
    let request = one.ask().await;
    let own = one.first.get(&request).await;
    assert!(own.count("button.grave") == 0 && own.shown("main").contains("another lead has to carry it out"));
    let mut again = one.clinic.browser_signed_in().await;
    for browser in [&mut one.first, &mut again] {
        let fields = [("number", "QX-90071"), ("do", "carry-out")];
        let page = browser.send(&request, &request, &fields).await;
        assert_eq!(page.status, StatusCode::UNPROCESSABLE_ENTITY);
        assert!(
            page.shown(".errors").contains("one lead and carried out by another"),
            "{}",
            page.shown("main")
        );
    }
    assert_eq!(one.clinic.entries(one.child).len(), before);
    // Taken back; then it cannot be carried out any more.
    assert_eq!(one.first.send(&request, &request, &[("do", "refuse")]).await.status, StatusCode::SEE_OTHER);
    let main = one.second.get(&request).await.shown("main");
    assert!(main.contains("Closed without erasing anything"), "{main}");
    let number: i64 = request.rsplit('/').next().unwrap().parse().unwrap();
    let ada = one.clinic.app.records.accounts().account_by_name("ada").unwrap().unwrap().id;
    let requests = one.clinic.app.records.erasure_requests();
    let refused = requests.carry_out(number, ada, one.clinic.app.clock.now(), before).unwrap_err();
    assert_eq!(refused, clinic::ArchiveError::Decided(number));
}

#[tokio::test]
async fn a_single_lead_is_told_to_add_a_second() {
    let (clinic, mut lead) = Clinic::signed_in().await;
    let child = clinic.child(&mut lead, HILDE).await;
    let page = lead.get(&format!("/child/{child}/erasure")).await;
    assert!(page.shown("main").contains("You are the only lead."), "{}", page.shown("main"));
    assert_eq!(page.count("main a[href='/people']"), 1);
    person(&clinic, "ada", Role::Lead).await;
    assert!(!lead.get(&format!("/child/{child}/erasure")).await.text.contains("You are the only lead."));
}

#[tokio::test]
async fn what_was_recorded_since_the_request_was_looked_at_stops_the_erasure() {
    let mut one = Erasing::new().await;
    let request = one.ask().await;
    let shown = one.second.get(&request).await;
    let mut form = shown.form(&request);
    let note = format!("/child/{}/add/note", one.child);
    let page = one.first.send(&note, &note, &[("on", TODAY), ("text", "Written meanwhile.")]).await;
    assert_eq!(page.status, StatusCode::SEE_OTHER);
    form.insert("number".into(), "QX-90071".into());
    form.insert("do".into(), "carry-out".into());
    let pairs: Vec<(&str, &str)> = form.iter().map(|(name, value)| (name.as_str(), value.as_str())).collect();
    let page = one.second.post(&request, &pairs).await;
    assert_eq!(page.status, StatusCode::UNPROCESSABLE_ENTITY);
    assert!(page.shown(".errors").contains("meanwhile"), "{}", page.shown(".errors"));
    assert!(!one.clinic.entries(one.child).is_empty());
}

#[tokio::test]
async fn single_entries_can_be_erased_and_the_rest_stays() {
    let mut one = Erasing::new().await;
    let entries = one.clinic.entries(one.child);
    let note = entries.iter().find(|entry| entry.kind() == Kind::Note).unwrap().id;
    let path = format!("/child/{}/erasure", one.child);
    let fields = [("scope", "entries"), ("reason", "Wrong child."), ("basis", "Article 17")];
    let none = one.first.send(&path, &path, &fields).await;
    assert_eq!(none.status, StatusCode::UNPROCESSABLE_ENTITY, "nothing is ticked");
    let field = format!("entry.{note}");
    let more = [fields[0], fields[1], fields[2], (field.as_str(), "yes")];
    let page = one.first.send(&path, &path, &more).await;
    let request = page.location().to_owned();
    let page = one.second.send(&request, &request, &[("number", "QX-90071"), ("do", "carry-out")]).await;
    assert_eq!(page.status, StatusCode::SEE_OTHER, "{}", page.shown("main"));
    let left = one.clinic.entries(one.child);
    assert_eq!(left.len(), entries.len() - 1);
    assert!(left.iter().all(|entry| entry.id != note));
    let found = found_in_files(one.clinic.dir.path());
    assert!(found.iter().all(|text| !text.contains("zinzolin")) && !found.is_empty(), "{found:?}");
    assert!(one.clinic.app.records.verify().unwrap().is_sound());
}

#[tokio::test]
async fn a_hold_keeps_a_record_from_being_erased_until_it_ends() {
    let mut one = Erasing::new().await;
    let request = one.ask().await;
    let (path, form) = (format!("/child/{}/hold", one.child), format!("/child/{}/erasure", one.child));
    let past = one.first.send(&form, &path, &[("until", "2025-03-03"), ("hold_reason", "Court case.")]).await;
    assert_eq!(past.status, StatusCode::UNPROCESSABLE_ENTITY);
    let page = one.first.send(&form, &path, &[("until", "2030-01-31"), ("hold_reason", "Court case.")]).await;
    assert_eq!(page.status, StatusCode::SEE_OTHER, "{}", page.text);
    let shown = one.second.get(&request).await;
    assert!(shown.count("button.grave") == 0 && shown.shown("main").contains("held until 31 January 2030"));
    let fields = [("number", "QX-90071"), ("do", "carry-out")];
    let page = one.second.send(&request, &request, &fields).await;
    assert_eq!(page.status, StatusCode::UNPROCESSABLE_ENTITY);
    assert!(!one.clinic.entries(one.child).is_empty());
    let page = one.first.send(&form, &path, &[("until", ""), ("hold_reason", "Case closed.")]).await;
    assert_eq!(page.status, StatusCode::SEE_OTHER);
    assert_eq!(one.second.send(&request, &request, &fields).await.status, StatusCode::SEE_OTHER);
    assert!(one.clinic.entries(one.child).is_empty());
}

#[tokio::test]
async fn the_commands_need_two_people_too() {
    let one = Erasing::new().await;
    let (dir, child) = (one.clinic.dir, one.child);
    drop((one.first, one.second, one.clinic.router, one.clinic.app));
    let ask =
        ["erasure", "request", "QX-90071", "--reason", "Request of the family.", "--basis", "Article 17"];
    let nobody = run(dir.path(), &ask);
    assert!(code(&nobody) == 7 && err(&nobody).contains("--as"), "{}", err(&nobody));
    let as_person = |args: &[&str], name: &str| {
        let all = [args, &["--as", name, "--password-stdin"]].concat();
        run_as(dir.path(), &all, PASSWORD)
    };
    let asked = as_person(&ask, NAME);
    assert!(code(&asked) == 0 && out(&asked).contains("Request 1"), "{}", err(&asked));
    let carry = ["erasure", "carry-out", "1", "--number", "QX-90071"];
    let own = as_person(&carry, NAME);
    assert!(code(&own) != 0 && err(&own).contains("carried out by another"), "{}", err(&own));
    let wrong = as_person(&["erasure", "carry-out", "1", "--number", "CF-102"], "ada");
    assert!(code(&wrong) != 0, "{}", out(&wrong));
    let done = as_person(&carry, "ada");
    assert_eq!(code(&done), 0, "{}", err(&done));
    assert_eq!(found_in_files(dir.path()), Vec::<String>::new());
    assert_ne!(code(&run(dir.path(), &["child", &child.to_string()])), 0);
    assert_eq!(code(&run(dir.path(), &["verify"])), 0);
    assert_eq!(code(&run(dir.path(), &["access-log", "verify"])), 0);
}

/// Days by hand: the clinic's day is 4 March 2025; the child was born on 29 February 2024, and its last entry is of
/// 4 March 2025.
#[tokio::test]
async fn the_retention_page_lists_what_falls_due_and_erases_nothing() {
    let mut one = Erasing::new().await;
    let none = one.first.get("/retention").await.shown("main");
    assert!(none.contains("No retention period is set; the program deletes nothing by itself."), "{none}");
    let settings = async |browser: &mut Browser, fields: &[(&str, &str)]| {
        browser.send("/settings", "/settings", fields).await
    };
    for wrong in [("retention_after_last", "0"), ("retention_age", "101"), ("retention_age", "ten")] {
        let page = settings(&mut one.first, &[wrong]).await;
        assert_eq!(page.status, StatusCode::UNPROCESSABLE_ENTITY, "{wrong:?}");
        assert!(page.shown(".errors").contains("from 1 to 100"), "{}", page.shown(".errors"));
    }
    // One year old on 1 March 2025, because 2025 has no 29 February: due. The other child has no day of birth.
    let page = settings(&mut one.first, &[("retention_age", "1")]).await;
    assert_eq!(page.status, StatusCode::SEE_OTHER, "{}", page.shown("main"));
    let main = one.first.get("/retention").await.shown("main");
    assert!(main.contains("until the age of 1 years") && main.contains("due since 1 March 2025"), "{main}");
    assert!(main.contains("its day of birth is not recorded"), "{main}");
    // Two years after the last entry of 4 March 2025 is 4 March 2027: not due.
    settings(&mut one.first, &[("retention_after_last", "2")]).await;
    let main = one.first.get("/retention").await.shown("main");
    assert!(main.contains("1 records are not due yet") && main.contains("4 March 2027"), "{main}");
    let json = run(one.clinic.dir.path(), &["retention", "--json"]);
    let json: Value = serde_json::from_str(&out(&json)).unwrap();
    let rows = json["records"].as_array().unwrap();
    assert_eq!(rows.len(), 2, "{json}");
    assert_eq!(
        (&rows[0]["due"], &rows[0]["by"], &rows[0]["is_due"]),
        (&"2027-03-04".into(), &"last_entry".into(), &false.into())
    );
    assert_eq!(rows[1]["by"], "birth_unknown");
    // A held record is left out.
    settings(&mut one.first, &[("retention_after_last", ""), ("retention_age", "1")]).await;
    let form = format!("/child/{}/erasure", one.child);
    let hold = format!("/child/{}/hold", one.child);
    one.first.send(&form, &hold, &[("until", "2030-01-31"), ("hold_reason", "Court case.")]).await;
    let page = one.first.get("/retention").await;
    assert!(page.shown("main").contains("No record is due.") && page.shown("main").contains("Court case."));
    // Nothing was erased by any of this, and the history has every change.
    assert_eq!(one.clinic.app.records.verify().unwrap().erased, 0);
    let history = one.first.get("/settings/history").await.shown("table");
    assert!(history.contains("Keep records until the age of") && history.contains("2 years"), "{history}");
    let file = std::fs::read_to_string(one.clinic.dir.path().join("clinic.toml")).unwrap();
    assert!(file.contains("retention_until_age = 1") && !file.contains("retention_years_after"), "{file}");
}
