//! Every route with every method, and every kind of entry, as every role: what happens is what `docs/rights.md`
//! says. And what the roles see: no link to what they may not open, no score for the coordinator, no identity for
//! the auditor.
#![allow(clippy::unwrap_used, clippy::expect_used, clippy::panic)]

use crate::clinic::{AMINA, Browser, Clinic, PASSWORD, Page, TODAY};
use axum::{
    body::Body,
    http::{Method, Request, StatusCode, header},
};
use plantigrade::{
    app::{App, Mode},
    clock::Clock,
    routes, serve,
};
use record::{Body as Contents, ChildId, Correction, Entry, EntryId, Kind, Role, Roles, UserId, Withdrawal};
use std::{
    collections::{BTreeMap, BTreeSet},
    path::PathBuf,
    sync::Arc,
};

pub const ROLES: [Role; 5] = [Role::Clinician, Role::Coordinator, Role::Theatre, Role::Auditor, Role::Lead];

/// The lines of the table under a heading of the page, as cells.
pub fn table(heading: &str) -> Vec<Vec<String>> {
    let path = PathBuf::from(env!("CARGO_MANIFEST_DIR")).join("../../docs/rights.md");
    let text = std::fs::read_to_string(path).unwrap();
    let section = text.split("\n## ").find(|section| section.starts_with(heading)).unwrap();
    let rows = section.lines().filter(|line| line.starts_with('|')).skip(2);
    rows.map(|row| row.trim_matches('|').split('|').map(|cell| cell.trim().to_owned()).collect()).collect()
}

/// A clinic with one person of each role, and a child with a score and an appointment.
struct Rights {
    clinic: Clinic,
    users: BTreeMap<Role, UserId>,
    child: ChildId,
    other: ChildId,
    appointment: EntryId,
    score: EntryId,
}

impl Rights {
    async fn new() -> Self {
        let (clinic, mut browser) = Clinic::signed_in().await;
        let users = ROLES.map(|role| (role, clinic.account(role.key(), PASSWORD)));
        for (role, user) in users {
            clinic.app.records.accounts().set_roles(user, Roles::NONE.with(role)).unwrap();
        }
        let child = clinic.child(&mut browser, AMINA).await;
        let other = clinic.child(&mut browser, &[("family_name", "Brekke"), ("number", "CF-102")]).await;
        let path = format!("/child/{child}/add/appointment-made");
        let page = browser.send(&path, &path, &[("on", TODAY), ("for_day", "2025-03-11")]).await;
        assert_eq!(page.status, StatusCode::SEE_OTHER, "{}", page.text);
        let path = format!("/child/{child}/visit");
        let fields = [("on", TODAY), ("right.lateral_border", "0.5"), ("right.cast", "correction")];
        let page = browser.send(&path, &path, &fields).await;
        assert_eq!(page.status, StatusCode::SEE_OTHER, "{}", page.text);
        let of =
            |kind: Kind| clinic.entries(child).into_iter().find(|entry| entry.kind() == kind).unwrap().id;
        let (appointment, score) = (of(Kind::AppointmentMade), of(Kind::Assessment));
        Self { users: users.into_iter().collect(), child, other, appointment, score, clinic }
    }

    /// The address of a row: its parameters filled in, by the word that follows the address.
    fn address(&self, pattern: &str, word: &str) -> String {
        let entry = if word == "treatment" { self.score } else { self.appointment };
        let id = if pattern.starts_with("/people") {
            self.users[&Role::Auditor].to_string()
        } else if pattern.starts_with("/import") {
            "01907e2a-0000-7000-8000-0000000000e1".to_owned()
        } else {
            self.child.to_string()
        };
        pattern
            .replace("{id}", &id)
            .replace("{other}", &self.other.to_string())
            .replace("{entry}", &entry.to_string())
            .replace("{first}", &self.score.to_string())
            .replace("{second}", &self.score.to_string())
            .replace("{on}", TODAY)
            .replace("{kind}", if word == "treatment" { "diagnosis" } else { "appointment-made" })
            .replace("{number}", "1")
            .replace("{upload}", "01907e2a-0000-7000-8000-0000000000e1")
            .replace("{feet}/{view}", "left/sole")
            .replace("{size}", "small")
            .replace("{sign}/{level}", "empty_heel/0.5")
            .replace("{sign}", "empty_heel")
            .replace("{measure}", "relapse")
            .replace("{file}", "app.css")
            .replace("{part}", if word == "manual" { "signs" } else { "sign-in" })
            .replace("{token}", &"0".repeat(64))
    }

    fn fields(&self, pattern: &str, word: &str) -> Vec<(&'static str, &'static str)> {
        match (pattern, word) {
            ("/register", "with feet") => {
                vec![("family_name", "Quist"), ("sides", "right"), ("sure", "yes")]
            }
            ("/register", _) => vec![("family_name", "Quist"), ("sure", "yes")],
            ("/child/{id}/call", "putting off") => {
                vec![("way", "phone"), ("reached", "yes"), ("said", PUT_OFF)]
            }
            ("/child/{id}/call", _) => vec![("way", "phone"), ("reached", "yes")],
            ("/child/{id}/add/{kind}", "treatment") => vec![("on", TODAY), ("side", "right")],
            ("/child/{id}/add/{kind}", _) => vec![("on", TODAY), ("for_day", "2025-03-18")],
            ("/child/{id}/entry/{entry}/correct", "appointment") => {
                vec![("on", TODAY), ("for_day", "2025-03-12"), ("correct_reason", "Another day.")]
            }
            ("/child/{id}/entry/{entry}/correct", _) => {
                vec![("on", TODAY), ("side", "right"), ("medial_crease", "1"), ("correct_reason", "Wrong.")]
            }
            ("/child/{id}/entry/{entry}/withdraw", _) => vec![("withdraw_reason", "Wrong.")],
            _ => Vec::new(),
        }
    }

    /// The answer to a request of somebody with a session of its own.
    async fn ask(&self, who: Option<UserId>, method: &Method, path: &str, fields: &[(&str, &str)]) -> Page {
        let mut browser = Browser::new(self.clinic.router.clone());
        let mut csrf = "a".repeat(64);
        match who {
            Some(user) => {
                let now = self.clinic.app.clock.now();
                let token = self.clinic.app.sessions.begin(user, now).unwrap();
                csrf = self.clinic.app.sessions.who(&token, now).unwrap().unwrap().csrf.clone();
                browser.set_cookie("session", token.text());
            }
            // The token of a form before signing in.
            None => browser.set_cookie("form", &csrf),
        }
        if method == Method::GET {
            return browser.get(path).await;
        }
        let mut pairs: Vec<(&str, &str)> = vec![("csrf", csrf.as_str())];
        pairs.extend_from_slice(fields);
        browser.post(path, &pairs).await
    }
}

const PUT_OFF: &str = "Not before 2025-03-20 (missed appointment): the family is abroad.";

/// What happened, in the words of the table.
fn happened(page: &Page) -> &'static str {
    let shown = page.shown("h1");
    match page.status {
        StatusCode::SEE_OTHER if page.location().starts_with("/sign-in?then=") => "sign in",
        StatusCode::FORBIDDEN if shown.contains("Your role does not allow this") => "–",
        StatusCode::FORBIDDEN if shown.contains("This form has expired") => "sign in",
        _ => "yes",
    }
}

#[tokio::test]
async fn every_route_answers_every_role_as_the_table_says() {
    let rights = Rights::new().await;
    let mut asked = BTreeSet::new();
    let (mut cells, mut differ, mut statuses) = (0, Vec::new(), BTreeMap::<u16, usize>::new());
    for row in table("Pages and forms") {
        let (pattern, word) = row[0].trim_start_matches('`').split_once('`').unwrap();
        let (word, method) = (word.trim(), row[1].parse::<Method>().unwrap());
        asked.insert((pattern.to_owned(), method.to_string()));
        let who = std::iter::once(None).chain(ROLES.map(|role| Some(rights.users[&role])));
        assert_eq!(row.len(), 2 + 1 + ROLES.len(), "{row:?}");
        for (user, said) in who.zip(&row[2..]) {
            let (path, fields) = (rights.address(pattern, word), rights.fields(pattern, word));
            let page = rights.ask(user, &method, &path, &fields).await;
            *statuses.entry(page.status.as_u16()).or_default() += 1;
            assert_ne!(page.status, StatusCode::INTERNAL_SERVER_ERROR, "{method} {path}: {}", page.text);
            cells += 1;
            let said = if said == "part" { "yes" } else { said };
            if happened(&page) != said {
                differ.push(format!(
                    "{row:?}: {said} for {user:?}, but {} {}",
                    page.status,
                    page.shown("h1")
                ));
            }
        }
    }
    let declared: BTreeSet<(String, String)> = routes::declared()
        .into_iter()
        .map(|(path, method, _)| (path.to_owned(), method.to_string()))
        .collect();
    assert_eq!(declared, asked, "left: the routes; right: the table");
    println!("{cells} cells of routes and roles compared; answers by status: {statuses:?}");
    assert!(differ.is_empty(), "{}", differ.join("\n"));
    assert!(cells > 500, "{cells}");
}

/// An example of a kind of entry, with only what it needs, about a child and by a person.
fn example(kind: Kind, child: ChildId, by: UserId) -> Entry {
    let folder = PathBuf::from(env!("CARGO_MANIFEST_DIR")).join("../record/tests/golden");
    let of_kind = |path: &PathBuf| {
        path.file_name().unwrap().to_string_lossy().starts_with(&format!("{}.v", kind.wire()))
    };
    let mut files: Vec<PathBuf> =
        std::fs::read_dir(folder).unwrap().map(|file| file.unwrap().path()).collect();
    files.retain(of_kind);
    files.sort();
    let text = std::fs::read_to_string(files.last().unwrap()).unwrap();
    let entries: Vec<serde_json::Value> = serde_json::from_str(&text).unwrap();
    let entry = Entry::from_json(&entries.last().unwrap().to_string()).unwrap();
    Entry { id: EntryId::new(uuid::Uuid::now_v7()), child, by, follows: None, ..entry }
}

/// Whether a person may write an entry: "yes" or "–".
fn written(app: &App, entry: Entry) -> &'static str {
    match app.append(vec![entry]) {
        Ok(done) => {
            done.unwrap();
            "yes"
        }
        Err(fail) => {
            assert!(matches!(fail.0, pages::RequestError::NoRight(_)), "{fail:?}");
            "–"
        }
    }
}

#[tokio::test]
async fn every_kind_of_entry_is_written_corrected_and_withdrawn_by_the_roles_of_the_table_only() {
    let rights = Rights::new().await;
    let (app, lead) = (&rights.clinic.app, rights.users[&Role::Lead]);
    let (mut cells, mut differ, mut kinds) = (0, Vec::new(), Vec::new());
    for row in table("Kinds of entry") {
        let key = row[0].trim_matches('`');
        let kind = Kind::ALL.iter().copied().find(|kind| kind.wire() == key).unwrap();
        kinds.push(kind);
        for (role, said) in ROLES.into_iter().zip(&row[1..]) {
            let by = rights.users[&role];
            let mine = example(kind, rights.child, by);
            let first = example(kind, rights.child, lead);
            assert_eq!(written(app, first.clone()), "yes", "{kind:?} by the lead");
            let amend = |body: Contents| Entry {
                body,
                id: EntryId::new(uuid::Uuid::now_v7()),
                ..example(kind, rights.child, by)
            };
            let reason = || "Wrong.".to_owned();
            let correction = |entry: EntryId, body: Contents| {
                amend(Correction { entry, body: Box::new(body), on: None, reason: reason() }.into())
            };
            let corrected = correction(first.id, first.body.clone());
            let withdrawn = amend(Withdrawal { entry: first.id, reason: reason() }.into());
            // A correction that is withdrawn counts as what it corrects.
            let again = correction(first.id, first.body.clone());
            let by_lead = Entry { by: lead, ..again };
            assert_eq!(written(app, by_lead.clone()), "yes");
            let undone = amend(Withdrawal { entry: by_lead.id, reason: reason() }.into());
            for (what, entry) in
                [("writes", mine), ("corrects", corrected), ("withdraws", withdrawn), ("undoes", undone)]
            {
                cells += 1;
                let said = match (said.as_str(), what) {
                    ("reports", "writes") => "yes",
                    ("reports", _) => "–",
                    (said, _) => said,
                };
                let happened = written(app, entry);
                if happened != said {
                    differ
                        .push(format!("{kind:?}: {role:?} {what}: {said} in the table, {happened} in fact"));
                }
            }
        }
    }
    let mut missing: Vec<Kind> = Kind::ALL.iter().copied().filter(|kind| !kinds.contains(kind)).collect();
    missing.retain(|kind| !matches!(kind, Kind::Correction | Kind::Withdrawal));
    assert!(missing.is_empty(), "without a row: {missing:?}");
    println!("{cells} cells of kinds, acts and roles compared");
    assert!(differ.is_empty(), "{}", differ.join("\n"));
}

#[tokio::test]
async fn a_change_of_kind_by_correction_needs_the_right_for_what_it_brings() {
    let rights = Rights::new().await;
    let coordinator = rights.users[&Role::Coordinator];
    let score = example(Kind::Assessment, rights.child, coordinator);
    let entry = rights.appointment;
    let body = Correction { entry, body: Box::new(score.body.clone()), on: None, reason: "x".to_owned() };
    let sly = Entry { body: body.into(), ..score };
    assert_eq!(written(&rights.clinic.app, sly), "–");
    let unknown = Withdrawal { entry: EntryId::new(uuid::Uuid::now_v7()), reason: "x".to_owned() };
    let blind = Entry { body: unknown.into(), ..example(Kind::Note, rights.child, coordinator) };
    assert_eq!(written(&rights.clinic.app, blind), "–", "what an unknown entry holds cannot be judged");
}

/// The invented clinic with a browser of each role.
async fn invented() -> (tempfile::TempDir, Arc<App>, BTreeMap<Role, Browser>) {
    let dir = tempfile::tempdir().unwrap();
    let mode = Mode { invented: true, ..Mode::default() };
    let clock = Clock::new(Some(TODAY.parse().unwrap()));
    let app = Arc::new(serve::demo_app(dir.path(), 40, 7, clock, mode).unwrap());
    let mut browsers = BTreeMap::new();
    for account in app.records.accounts().all().unwrap() {
        let mut browser = Browser::new(routes::router(app.clone()));
        browser
            .set_cookie("invented-session", app.sessions.begin(account.id, app.clock.now()).unwrap().text());
        browsers.insert(account.roles.iter().last().unwrap(), browser);
    }
    assert_eq!(browsers.len(), ROLES.len(), "the invented clinic has somebody of each role");
    (dir, app, browsers)
}

/// The own addresses that links and forms of a page lead to.
fn leads_to(page: &Page, selector: &str, attribute: &str) -> BTreeSet<String> {
    let html = page.html();
    let selector = scraper::Selector::parse(selector).unwrap();
    let found = html.select(&selector).filter_map(|one| one.value().attr(attribute));
    let own = found.filter(|path| path.starts_with('/'));
    own.map(|path| path.split('#').next().unwrap().to_owned()).collect()
}

/// The pages that somebody comes to by following links from the first page, at most some hundred.
async fn reached(browser: &mut Browser) -> Vec<(String, Page)> {
    let mut waiting = BTreeSet::from(["/".to_owned()]);
    let (mut seen, mut pages) = (BTreeSet::new(), Vec::new());
    while let Some(path) = waiting.pop_first() {
        if !seen.insert(path.clone()) || pages.len() >= 160 {
            continue;
        }
        let mut page = browser.get(&path).await;
        if page.status == StatusCode::SEE_OTHER {
            let to = page.location().to_owned();
            page = browser.get(&to).await;
        }
        assert_ne!(page.status, StatusCode::FORBIDDEN, "a link leads to {path}: {}", page.shown("main"));
        if page.headers[header::CONTENT_TYPE].to_str().unwrap().starts_with("text/html") {
            waiting.extend(leads_to(&page, "a[href]", "href"));
        }
        pages.push((path, page));
    }
    pages
}

/// What a path needs, as the routes declare it.
fn needs(method: &Method, path: &str) -> routes::AccessNeed {
    let parts =
        |path: &str| path.split('?').next().unwrap().split('/').map(str::to_owned).collect::<Vec<_>>();
    let path = parts(path);
    let fits = |pattern: &str| {
        let pattern = parts(pattern);
        pattern.len() == path.len()
            && pattern.iter().zip(&path).all(|(one, two)| one == two || one.starts_with('{'))
    };
    let found = routes::declared().into_iter().filter(|(pattern, of, _)| of == method && fits(pattern));
    // The most exact first: fewest parameters.
    found.min_by_key(|(pattern, ..)| pattern.matches('{').count()).unwrap_or_else(|| panic!("{path:?}")).2
}

#[tokio::test]
async fn nobody_is_led_to_what_the_role_may_not_open_or_send() {
    let (_dir, _app, browsers) = invented().await;
    for (role, mut browser) in browsers {
        let pages = reached(&mut browser).await;
        let rights = Roles::NONE.with(role).rights();
        for (path, page) in &pages {
            for action in leads_to(page, "form[method=post]", "action").union(&leads_to(
                page,
                "button[formaction]",
                "formaction",
            )) {
                let lacking = needs(&Method::POST, action).lacking(rights);
                assert_eq!(lacking, None, "{role:?}: {path} has a form for {action}");
            }
        }
        println!("{role:?}: {} pages reached by links, none refused", pages.len());
        let least = match role {
            Role::Theatre => 3,
            Role::Auditor => 10,
            _ => 100,
        };
        assert!(pages.len() >= least, "{role:?}: {}", pages.len());
    }
}

/// Words that stand only where treatment is shown.
const TREATMENT: &[&str] = &[
    "stalled",
    "elapse",
    "brought forward",
    "Pirani",
    "Dimeglio",
    "hindfoot",
    "midfoot",
    "contracture",
    "in correction",
    "full-time bracing",
    "night-time bracing",
    "class=\"picture",
    "half a point",
];

#[tokio::test]
async fn the_coordinator_sees_children_without_scores_and_the_clinician_sees_them() {
    let (_dir, app, mut browsers) = invented().await;
    let (children, _) = app.records.children(Some(true), None, 0, 200).unwrap();
    let (mut told, mut named) = (0, 0);
    let mut paths: Vec<String> = children.iter().map(|child| format!("/child/{}", child.child)).collect();
    paths.extend(children.iter().map(|child| format!("/child/{}?entries=all", child.child)));
    paths.extend(children.iter().map(|child| format!("/child/{}/call", child.child)));
    let lists = [
        "/day",
        "/day?on=2025-02-25",
        "/calls",
        "/find",
        "/find?q=a",
        "/find?q=a&part=1",
        "/attention/lost",
        "/stock",
    ];
    paths.extend(lists.map(str::to_owned));
    for path in &paths {
        let page = browsers.get_mut(&Role::Coordinator).unwrap().open(path).await;
        assert_eq!(page.status, StatusCode::OK, "{path}");
        for word in TREATMENT {
            assert!(
                !page.text.contains(word),
                "{path} tells the coordinator of “{word}”: {}",
                page.shown("main")
            );
        }
        named += usize::from(page.count("h1") == 1);
        let full = browsers.get_mut(&Role::Clinician).unwrap().open(path).await;
        told += usize::from(TREATMENT.iter().any(|word| full.text.contains(word)));
    }
    println!("{} pages: {told} tell a clinician of treatment, none the coordinator", paths.len());
    assert!(named >= children.len() && told >= children.len(), "{named} {told}");
}

#[tokio::test]
async fn the_auditor_sees_results_and_no_child_and_the_theatre_only_its_list() {
    let (_dir, app, mut browsers) = invented().await;
    let (children, _) = app.records.children(None, None, 0, 200).unwrap();
    let names = |child: &clinic::Summary| {
        let full = format!("{} {}", child.given_name, child.family_name);
        child
            .numbers
            .iter()
            .cloned()
            .chain([full.trim().to_owned(), child.child.to_string()])
            .collect::<Vec<_>>()
    };
    let known: Vec<String> =
        children.iter().flat_map(names).filter(|text| text.chars().count() > 3).collect();
    assert!(known.len() > 100);
    let auditor = browsers.get_mut(&Role::Auditor).unwrap();
    let mut pages = reached(auditor).await;
    for path in ["/results/agreement.csv", "/results/relapse.csv", "/results/relapse?side=left", "/forecasts"]
    {
        pages.push((path.to_owned(), auditor.get(path).await));
    }
    for (path, page) in &pages {
        assert_eq!(page.status, StatusCode::OK, "{path}");
        assert!(!page.text.contains("/child/"), "{path} leads to a child");
        for text in &known {
            assert!(!page.text.contains(text.as_str()), "{path} names {text}");
        }
    }
    println!("the auditor's {} pages name none of {} names, numbers and ids", pages.len(), known.len());
    let theatre = browsers.get_mut(&Role::Theatre).unwrap();
    let page = theatre.get("/theatre").await;
    assert!(page.count(".theatre-row") > 0 && !page.text.contains("/child/"), "{}", page.text);
    for word in ["Pirani", "Dimeglio", "cast"] {
        assert!(!page.shown("main").contains(word), "the list of the theatre tells of “{word}”");
    }
    for child in children.iter().take(3) {
        assert_eq!(theatre.get(&format!("/child/{}", child.child)).await.status, StatusCode::FORBIDDEN);
    }
}

#[tokio::test]
async fn a_refused_page_says_what_was_refused_which_role_it_needs_and_who_gives_it() {
    let rights = Rights::new().await;
    let user = rights.users[&Role::Coordinator];
    for (path, role) in
        [("/attention", "treating clinician"), ("/people", "lead"), ("/import/refused?token=x", "lead")]
    {
        let page = rights.ask(Some(user), &Method::GET, path, &[]).await;
        assert_eq!(page.status, StatusCode::FORBIDDEN, "{path}");
        let shown = page.shown("main");
        assert!(
            shown.contains("You may not ") && shown.contains(role) && shown.contains("ida of the clinic"),
            "{shown}"
        );
    }
    // A page that is not in the list of routes, and a method that is not declared.
    let page = rights.ask(Some(rights.users[&Role::Lead]), &Method::GET, "/nowhere", &[]).await;
    assert_eq!(page.status, StatusCode::NOT_FOUND);
    let mut browser = rights.clinic.browser_signed_in().await;
    let request = Request::builder().method("PUT").uri("/day").body(Body::empty()).unwrap();
    assert_eq!(browser.request(request).await.status, StatusCode::NOT_FOUND);
}

#[tokio::test]
async fn disabling_and_a_change_of_roles_hold_at_the_next_request() {
    let rights = Rights::new().await;
    let (app, user) = (&rights.clinic.app, rights.users[&Role::Clinician]);
    let mut browser = Browser::new(rights.clinic.router.clone());
    browser.set_cookie("session", app.sessions.begin(user, app.clock.now()).unwrap().text());
    let path = format!("/child/{}", rights.child);
    assert!(browser.get(&path).await.text.contains("What comes next"));
    app.records.accounts().set_roles(user, Roles::NONE.with(Role::Coordinator)).unwrap();
    let page = browser.get(&path).await;
    assert!(
        page.status == StatusCode::OK && !page.text.contains("What comes next"),
        "the page of the old role is shown"
    );
    assert_eq!(browser.get("/attention").await.status, StatusCode::FORBIDDEN);
    app.records.accounts().set_disabled(user, true).unwrap();
    assert_eq!(browser.get("/day").await.status, StatusCode::SEE_OTHER, "a disabled person is still in");
    app.records.accounts().set_disabled(user, false).unwrap();
    assert_eq!(browser.get("/day").await.status, StatusCode::SEE_OTHER, "the old session has come back");
}
