//! Encrypted records: nothing readable in any file, every way to unlock, and what happens with a wrong one.
#![allow(clippy::unwrap_used, clippy::expect_used, clippy::panic)]

use crate::{
    clinic::{AMINA, Browser, Clinic, NAME, PASSWORD, TODAY, day},
    importing::{self, SHEET},
};
use axum::http::StatusCode;
use clinic::{ACCESS_FILE, NewErasureRequest};
use plantigrade::{
    app::{App, Mode},
    checks,
    clock::Clock,
    copies,
    door::DoorOrder,
    key_slots, place,
    rewriting::{NewKey, rewrite},
    routes::{self, LockedRecords},
};
use record::{ChildId, UserId};
use safekeeping::{KeySlots, RecordsKey, RecoveryCode, SLOTS_FILE, SafekeepingError, UnlockSecret};
use std::{
    fs,
    path::{Path, PathBuf},
    sync::Arc,
};
use tempfile::TempDir;
use tokio::sync::mpsc;
use tower::ServiceExt as _;

pub const PASSPHRASE: &str = "heron quay lantern";

/// Every file below a folder.
pub fn files(folder: &Path) -> Vec<PathBuf> {
    let Ok(entries) = fs::read_dir(folder) else { return Vec::new() };
    let paths = entries.map(|entry| entry.unwrap().path());
    paths.flat_map(|path| if path.is_dir() { files(&path) } else { vec![path] }).collect()
}

/// The files below folders in which a word can be read, as UTF-8 and as UTF-16 of either order, in any case.
pub fn readable(folders: &[&Path], words: &[&str]) -> Vec<String> {
    let mut found = Vec::new();
    for path in folders.iter().flat_map(|folder| files(folder)) {
        let bytes: Vec<u8> = fs::read(&path).unwrap().iter().map(u8::to_ascii_lowercase).collect();
        for word in words {
            let word = word.to_lowercase();
            let wide = |of: fn(u16) -> [u8; 2]| word.encode_utf16().flat_map(of).collect::<Vec<u8>>();
            for form in [word.as_bytes().to_vec(), wide(u16::to_le_bytes), wide(u16::to_be_bytes)] {
                if bytes.windows(form.len()).any(|here| here == form) {
                    found.push(format!("“{word}” in {}", path.display()));
                }
            }
        }
    }
    found
}

fn opened(dir: &Path, state: &Path) -> App {
    let place = place::witness_under(state, dir, None);
    App::open_with_witness(dir, Clock::new(Some(day(TODAY))), Mode::default(), Some(place)).unwrap()
}

fn served(app: App, dir: TempDir) -> Clinic {
    let app = Arc::new(app);
    Clinic { router: routes::router(Arc::clone(&app)), app, dir }
}

/// A tour of everything that writes: a child, a note, a draft, an import with refused rows, a saved map, the log of
/// who opened what, a changed setting, a check, a copy, and an erasure.
async fn tour(clinic: &Clinic, browser: &mut Browser, first: ChildId, copy: &Path) {
    let child = clinic.child(browser, AMINA).await;
    let add = format!("/child/{child}/add/note");
    let page = browser.send(&add, &add, &[("text", "Plaster slipped at Marstrand harbour")]).await;
    assert_eq!(page.status, StatusCode::SEE_OTHER, "{}", page.text);
    let mut form = browser.get(&add).await.form(&add);
    form.insert("text".into(), "Skin of the heel looked sore".into());
    let pairs: Vec<(&str, &str)> = form.iter().map(|(name, value)| (name.as_str(), value.as_str())).collect();
    assert_eq!(browser.post("/draft", &pairs).await.status, StatusCode::OK);
    let csrf = importing::csrf(browser).await;
    let preview = importing::upload(browser, &csrf, "visits.csv", SHEET.as_bytes()).await;
    let confirm = preview.form("/import/confirm");
    let pairs: Vec<(&str, &str)> =
        confirm.iter().map(|(name, value)| (name.as_str(), value.as_str())).collect();
    let done = browser.post("/import/confirm", &pairs).await;
    assert!(done.text.contains("Import finished"), "{}", done.text);
    let page = browser.send("/settings", "/settings", &[("idle_minutes", "25")]).await;
    assert_eq!(page.status, StatusCode::SEE_OTHER, "{}", page.text);
    browser.get(&format!("/child/{child}")).await;
    clinic.app.access_log.flush().unwrap();
    checks::check_now(&clinic.app).unwrap();
    let by = clinic.app.records.accounts().account_by_name(NAME).unwrap().unwrap().id;
    copies::make(&clinic.app, by, copy.to_str().unwrap()).unwrap().unwrap();
    erase(clinic, first, by);
}

/// Erases a whole record, by two leads.
fn erase(clinic: &Clinic, child: ChildId, by: UserId) {
    let (requests, at) = (clinic.app.records.erasure_requests(), clinic.app.clock.now());
    let request = NewErasureRequest {
        child,
        entries: None,
        by,
        at,
        reason: "asked for".into(),
        basis: "the law".into(),
    };
    let number = requests.add(request).unwrap();
    let other = clinic.account("mo", PASSWORD);
    assert!(requests.carry_out(number, other, at, clinic.entries(child).len()).unwrap());
    assert!(clinic.entries(child).is_empty());
}

const WORDS: &[&str] = &[
    "Vesterholt",
    "Amina",
    "CF-101",
    "Marstrand",
    "looked sore",
    "Brannock",
    "Ostwick",
    "Tuva",
    "visits.csv",
    "ida of the clinic",
    "CREATE TABLE",
];

/// Of the same tour in a plain clinic the words can be read; otherwise the search would find nothing in any.
#[tokio::test]
async fn no_word_of_the_clinic_is_in_any_file() {
    for encrypted in [false, true] {
        let (dir, state, copy) =
            (tempfile::tempdir().unwrap(), tempfile::tempdir().unwrap(), tempfile::tempdir().unwrap());
        let first = served(opened(dir.path(), state.path()), dir);
        first.account(NAME, PASSWORD);
        let mut browser = first.browser_signed_in().await;
        let child = first
            .child(&mut browser, &[("family_name", "Ostwick"), ("given_name", "Tuva"), ("number", "CF-7")])
            .await;
        let Clinic { app, router, dir } = first;
        drop((router, browser, app));
        if encrypted {
            let (new, _) = key_slots::new_key(PASSPHRASE).unwrap();
            let done = rewrite(dir.path(), &new).unwrap();
            assert_eq!((done.entries, done.children, done.left.len()), (1, 1, 0));
        }
        let clinic = served(opened(dir.path(), state.path()), dir);
        assert_eq!(clinic.app.records.key().is_some(), encrypted);
        let mut browser = clinic.browser_signed_in().await;
        tour(&clinic, &mut browser, child, copy.path()).await;
        // While it is open: the write-ahead logs are there.
        let folders = [clinic.dir.path(), state.path(), copy.path()];
        assert!(clinic.dir.path().join(format!("{ACCESS_FILE}-wal")).exists());
        let open = readable(&folders, WORDS);
        assert!(clinic.app.records.verify().unwrap().is_sound());
        let Clinic { app, router, dir } = clinic;
        drop((router, browser, app));
        let closed = readable(&[dir.path(), state.path(), copy.path()], WORDS);
        if encrypted {
            assert_eq!((open, closed), (Vec::new(), Vec::new()));
        } else {
            // Drafts are sealed for their person in every clinic.
            for word in WORDS.iter().filter(|word| **word != "looked sore") {
                let word = word.to_lowercase();
                assert!(
                    open.iter().any(|found| found.contains(&word)),
                    "“{word}” is not even in plain files"
                );
            }
        }
        // What was written can be read by the program.
        let again = opened(dir.path(), state.path());
        assert_eq!(again.records.entries_count().unwrap(), again.records.verify().unwrap().entries);
        assert!(plantigrade::clinic_history::history(dir.path()).unwrap().last("idle_minutes").is_some());
        assert!(checks::last(dir.path()).unwrap().is_some() && copies::last(dir.path()).unwrap().is_some());
    }
}

pub fn slots_of(dir: &Path) -> KeySlots {
    KeySlots::from_text(&fs::read_to_string(dir.join(SLOTS_FILE)).unwrap()).unwrap()
}

/// A folder with records, encrypted by the library of the program.
fn encrypted() -> (TempDir, NewKey, RecoveryCode) {
    let dir = tempfile::tempdir().unwrap();
    drop(App::open(dir.path(), Clock::new(Some(day(TODAY))), Mode::default()).unwrap());
    let (new, code) = key_slots::new_key(PASSPHRASE).unwrap();
    rewrite(dir.path(), &new).unwrap();
    (dir, new, code)
}

fn locked(dir: &Path) -> (axum::Router, mpsc::UnboundedReceiver<DoorOrder>) {
    let (sender, orders) = mpsc::unbounded_channel();
    let held = LockedRecords::hold(dir, Vec::new(), false, None).unwrap();
    (routes::locked_router(Arc::new(held), sender), orders)
}

#[tokio::test]
async fn locked_records_show_one_page_and_slow_down_guessing() {
    let (dir, new, _) = encrypted();
    let (router, mut orders) = locked(dir.path());
    // A page of another site that points its own name at this computer does not even see that.
    let request = axum::http::Request::get("/").header("host", "attacker.example");
    let other = router.clone().oneshot(request.body(axum::body::Body::empty()).unwrap()).await.unwrap();
    assert_eq!(other.status(), StatusCode::MISDIRECTED_REQUEST);
    let mut browser = Browser::new(router);
    for path in ["/", "/day", "/child/1", "/help", "/access-log.csv"] {
        let page = browser.get(path).await;
        assert_eq!(page.shown("h1"), "Unlock the records", "{path}");
        assert_eq!(page.count("nav") + page.count("a[href^='/child']"), 0, "{path}");
    }
    let health = browser.get("/health").await;
    assert_eq!((health.status, health.text.as_str()), (StatusCode::SERVICE_UNAVAILABLE, "locked"));
    let late = browser.post("/register", &[("family_name", "Vesterholt")]).await;
    assert_eq!(late.status, StatusCode::SERVICE_UNAVAILABLE);
    assert!(late.text.contains("is not saved"), "{}", late.text);
    let before = fs::read(dir.path().join(SLOTS_FILE)).unwrap();
    for tried in 1..=4 {
        let page = browser.post("/unlock-records", &[("key", "heron quay lanterns")]).await;
        assert_eq!(page.status, StatusCode::UNPROCESSABLE_ENTITY);
        let words = if tried <= 3 { "does not open these records" } else { "Too many wrong tries" };
        assert!(page.text.contains(words), "try {tried}: {}", page.text);
    }
    // The right one has to wait as well.
    let page = browser.post("/unlock-records", &[("key", PASSPHRASE)]).await;
    assert!(page.text.contains("Too many wrong tries") && orders.try_recv().is_err(), "{}", page.text);
    assert_eq!(fs::read(dir.path().join(SLOTS_FILE)).unwrap(), before);
    // A form of another site is not tried.
    let (router, mut orders) = locked_again(dir.path(), browser);
    let mut browser = Browser::new(router);
    let answering = tokio::spawn(async move {
        let Some(DoorOrder::Open(key, answer)) = orders.recv().await else { panic!("nothing was asked") };
        answer.send(Ok(())).unwrap();
        key
    });
    let page = browser.post("/unlock-records", &[("key", PASSPHRASE)]).await;
    assert_eq!((page.status, page.location()), (StatusCode::SEE_OTHER, "/"));
    assert!(answering.await.unwrap() == new.key);
}

/// The same folder once the first server has ended.
fn locked_again(dir: &Path, first: Browser) -> (axum::Router, mpsc::UnboundedReceiver<DoorOrder>) {
    drop(first);
    locked(dir)
}

fn by_typed(slots: &KeySlots, typed: &str, other: Option<&str>) -> Result<RecordsKey, SafekeepingError> {
    UnlockSecret::typed(typed, other)?.unlock(slots)
}

#[tokio::test]
async fn the_recovery_code_and_both_halves_unlock() {
    let (dir, new, code) = encrypted();
    let slots = slots_of(dir.path());
    assert!(by_typed(&slots, &code.to_string().to_uppercase(), None).unwrap() == new.key);
    let (first, second) = code.halves();
    for (one, other) in [(&first, &second), (&second, &first)] {
        assert!(by_typed(&slots, &one.to_string(), Some(&other.to_string())).unwrap() == new.key);
        assert!(by_typed(&slots, &format!("{one}  {other}"), None).unwrap() == new.key);
    }
    for (typed, other, words) in [
        (first.to_string(), None, "The other half is needed"),
        (first.to_string(), Some(first.to_string()), "the same half"),
        (RecoveryCode::new().to_string(), None, "typed without an error, but it does not open"),
    ] {
        let error = by_typed(&slots, &typed, other.as_deref()).unwrap_err();
        assert!(error.to_string().contains(words), "{error}");
    }
    let (router, mut orders) = locked(dir.path());
    let mut browser = Browser::new(router);
    let page = browser.post("/unlock-records", &[("key", &code.to_string())]).await;
    assert_eq!(page.shown("h1"), "Choose a new passphrase", "{}", page.text);
    let step = page.form("/unlock-records")["step"].clone();
    let send = |first: &'static str, second: &'static str| {
        [("step", step.clone()), ("passphrase", first.to_owned()), ("passphrase_again", second.to_owned())]
    };
    let as_pairs = |fields: &[(&'static str, String); 3]| -> Vec<(&'static str, String)> { fields.to_vec() };
    for (first, second, words) in
        [("short", "short", "at least 12"), ("four quiet boats", "four quiet boots", "not the same")]
    {
        let fields = as_pairs(&send(first, second));
        let fields: Vec<(&str, &str)> = fields.iter().map(|(name, value)| (*name, value.as_str())).collect();
        let page = browser.post("/unlock-records", &fields).await;
        assert!(page.text.contains(words), "{}", page.text);
    }
    let answering = tokio::spawn(async move {
        let Some(DoorOrder::Open(key, answer)) = orders.recv().await else { panic!("nothing was asked") };
        answer.send(Ok(())).unwrap();
        key
    });
    let fields = as_pairs(&send("four quiet boats", "four quiet boats"));
    let fields: Vec<(&str, &str)> = fields.iter().map(|(name, value)| (*name, value.as_str())).collect();
    let page = browser.post("/unlock-records", &fields).await;
    assert_eq!(page.status, StatusCode::SEE_OTHER, "{}", page.text);
    assert!(answering.await.unwrap() == new.key);
    let slots = slots_of(dir.path());
    assert!(slots.unlock_with_passphrase("four quiet boats").unwrap() == new.key);
    assert!(slots.unlock_with_passphrase(PASSPHRASE).is_err(), "the lost one no longer opens");
    assert!(slots.unlock_with_code(&code).is_ok(), "the sheet stays");
}

/// A clinic that can be encrypted from its pages, and what it orders.
async fn orderable() -> (Clinic, Browser, mpsc::UnboundedReceiver<DoorOrder>) {
    let dir = tempfile::tempdir().unwrap();
    let mut app = App::open(dir.path(), Clock::new(Some(day(TODAY))), Mode::default()).unwrap();
    let (sender, orders) = mpsc::unbounded_channel();
    app.orders = Some(sender);
    let clinic = served(app, dir);
    clinic.account(NAME, PASSWORD);
    let browser = clinic.browser_signed_in().await;
    (clinic, browser, orders)
}

const OFFER: &str = "/settings/encryption";
const ON_PAPER: &str = "/settings/encryption/sheet";

#[tokio::test]
async fn nothing_is_encrypted_before_the_sheet_is_on_paper() {
    let (clinic, mut browser, mut orders) = orderable().await;
    clinic.child(&mut browser, AMINA).await;
    let offered = browser.get("/find").await;
    assert!(offered.text.contains("The records on this computer are not encrypted"), "{}", offered.text);
    let filled = |own: &'static str, first: &'static str, second: &'static str| {
        [("own_password", own), ("passphrase", first), ("passphrase_again", second), ("do", "encrypt")]
    };
    for (fields, words) in [
        (filled("wrong", PASSPHRASE, PASSPHRASE), "Your own password is wrong"),
        (filled(PASSWORD, "short", "short"), "at least 12 characters"),
        (filled(PASSWORD, PASSPHRASE, "heron quay lanterns"), "not the same"),
    ] {
        let page = browser.send(OFFER, OFFER, &fields).await;
        assert_eq!(page.status, StatusCode::UNPROCESSABLE_ENTITY);
        assert!(page.text.contains(words), "{}", page.text);
        assert!(!page.text.contains(PASSPHRASE), "a passphrase is sent back");
    }
    let page = browser.send(OFFER, OFFER, &filled(PASSWORD, PASSPHRASE, PASSPHRASE)).await;
    assert_eq!(page.location(), ON_PAPER);
    let sheet = browser.get(ON_PAPER).await;
    assert_eq!(sheet.count(".code-groups li"), 8, "{}", sheet.text);
    let last = sheet.shown(".code-groups li").lines().last().unwrap().to_owned();
    let confirm = |last: &str, backed: bool| {
        let mut fields = vec![("do", "confirm".to_owned()), ("last_group", last.to_owned())];
        if backed {
            fields.push(("backed_up", "yes".to_owned()));
        }
        fields
    };
    for (fields, words) in [
        (confirm("aaaaa", true), "not the last group"),
        (confirm(&last, false), "Make a copy of the records first"),
    ] {
        let fields: Vec<(&str, &str)> = fields.iter().map(|(name, value)| (*name, value.as_str())).collect();
        let page = browser.send(ON_PAPER, ON_PAPER, &fields).await;
        assert!(page.text.contains(words) && orders.try_recv().is_err(), "{}", page.text);
    }
    let answering = tokio::spawn(async move {
        let Some(DoorOrder::Rewrite(new, begun)) = orders.recv().await else { panic!("nothing was asked") };
        begun.send(()).unwrap();
        new
    });
    let fields = confirm(&last.to_uppercase(), true);
    let fields: Vec<(&str, &str)> = fields.iter().map(|(name, value)| (*name, value.as_str())).collect();
    let page = browser.send(ON_PAPER, ON_PAPER, &fields).await;
    assert_eq!(page.location(), "/settings/encryption?done=encrypted", "{}", page.text);
    let new = answering.await.unwrap();
    let code: RecoveryCode = sheet.shown(".code-groups li").replace('\n', " ").parse().unwrap();
    assert!(new.slots.unlock_with_code(&code).unwrap() == new.key, "the code on paper is the one in use");
    assert!(new.slots.unlock_with_passphrase(PASSPHRASE).unwrap() == new.key);
    assert!(!clinic.dir.path().join(SLOTS_FILE).exists(), "the pages themselves change nothing");
    let Clinic { app, router, dir } = clinic;
    drop((router, browser, app));
    assert_eq!(rewrite(dir.path(), &new).unwrap().children, 1);
}

#[tokio::test]
async fn passphrase_and_sheet_are_changed_on_the_page() {
    let (dir, new, code) = encrypted();
    let app = App::open(dir.path(), Clock::new(Some(day(TODAY))), Mode::default()).unwrap();
    let clinic = served(app, dir);
    clinic.account(NAME, PASSWORD);
    let mut browser = clinic.browser_signed_in().await;
    let page = browser.get(OFFER).await;
    assert!(
        page.text.contains("The records on this computer are encrypted")
            && page.text.contains("the passphrase")
    );
    assert!(!browser.get("/find").await.text.contains("are not encrypted"));
    let fields = [
        ("own_password", PASSWORD),
        ("passphrase", "four quiet boats"),
        ("passphrase_again", "four quiet boats"),
        ("do", "passphrase"),
    ];
    assert_eq!(browser.send(OFFER, OFFER, &fields).await.location(), "/settings/encryption?done=passphrase");
    let slots = slots_of(clinic.dir.path());
    assert!(slots.unlock_with_passphrase("four quiet boats").unwrap() == new.key);
    let page =
        browser.send(OFFER, OFFER, &[("sheet_password", PASSWORD), ("split", "yes"), ("do", "sheet")]).await;
    assert_eq!(page.location(), ON_PAPER);
    let sheet = browser.get(ON_PAPER).await;
    assert_eq!((sheet.count(".recovery-sheet"), sheet.count(".code-groups li")), (2, 16));
    let groups: Vec<String> = sheet.shown(".code-groups li").lines().map(str::to_owned).collect();
    assert!(
        slots_of(clinic.dir.path()).unlock_with_code(&code).is_ok(),
        "nothing changes before it is confirmed"
    );
    let fields = [("do", "confirm"), ("last_group", groups[15].as_str())];
    assert_eq!(browser.send(ON_PAPER, ON_PAPER, &fields).await.location(), "/settings/encryption?done=sheet");
    let slots = slots_of(clinic.dir.path());
    assert!(slots.unlock_with_code(&code).is_err(), "the earlier sheet");
    assert!(by_typed(&slots, &groups[..8].join(" "), Some(&groups[8..].join(" "))).unwrap() == new.key);
}

/// Damaged encrypted records are shown from a copy that is encrypted too.
#[test]
fn what_can_be_read_of_damaged_records_is_shown_from_an_encrypted_copy() {
    let dir = tempfile::tempdir().unwrap();
    let app = App::open(dir.path(), Clock::new(Some(day(TODAY))), Mode::default()).unwrap();
    for part in plantigrade::demo::clinic_in_parts(30, 1, day(TODAY)) {
        app.records.import(part, &mut |_| {}).unwrap();
    }
    let expected = app.records.children_count().unwrap();
    drop(app);
    let (new, _) = key_slots::new_key(PASSPHRASE).unwrap();
    rewrite(dir.path(), &new).unwrap();
    let path = dir.path().join(clinic::FILE_NAME);
    let mut bytes = fs::read(&path).unwrap();
    let pages = bytes.len() / 4_096;
    let mut shown = 0;
    for page in (pages / 3..pages).step_by(pages / 5) {
        let whole = bytes.clone();
        bytes[page * 4_096..(page + 1) * 4_096].fill(0xA5);
        fs::write(&path, &bytes).unwrap();
        let app =
            App::open_with_witness(dir.path(), Clock::new(Some(day(TODAY))), Mode::default(), None).unwrap();
        if let Some(held) = &app.held {
            shown += 1;
            let copy = fs::read(held.copy.path().join(clinic::FILE_NAME)).unwrap();
            assert!(!copy.starts_with(b"SQLite format"), "the copy is plain");
            assert!(app.records.children_count().unwrap() + 8 >= expected, "page {page}");
        }
        drop(app);
        bytes = whole;
    }
    assert!(shown >= 3, "{shown} damaged pages were noticed");
}
