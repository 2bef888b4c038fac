//! Encrypted records: nothing readable in any file, every way to unlock, and what happens with a wrong one.
#![allow(clippy::unwrap_used, clippy::expect_used, clippy::panic)]

use crate::{
    clinic::{AMINA, Browser, Clinic, NAME, PASSWORD, TODAY, day},
    commands::{PROGRAM, WITNESSES, code, err, out, run},
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
    unlock::by_typed,
};
use record::{ChildId, UserId};
use safekeeping::{KeySlots, RecoveryCode, SLOTS_FILE};
use std::{
    fs,
    io::Write as _,
    path::{Path, PathBuf},
    process::{Command, Output, Stdio},
    sync::Arc,
    time::{Duration, Instant},
};
use tempfile::TempDir;
use tokio::sync::mpsc;

const PASSPHRASE: &str = "heron quay lantern";

/// Every file below a folder.
pub fn files(folder: &Path) -> Vec<PathBuf> {
    let Ok(entries) = fs::read_dir(folder) else { return Vec::new() };
    let paths = entries.map(|entry| entry.unwrap().path());
    paths.flat_map(|path| if path.is_dir() { files(&path) } else { vec![path] }).collect()
}

/// The files below folders in which a word can be read, as UTF-8 and as UTF-16 of either order, in any case.
fn readable(folders: &[&Path], words: &[&str]) -> Vec<String> {
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
            for word in WORDS {
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

fn slots_of(dir: &Path) -> KeySlots {
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
    let held = LockedRecords::hold(dir, Vec::new(), false).unwrap();
    (routes::locked_router(Arc::new(held), sender), orders)
}

#[tokio::test]
async fn locked_records_show_one_page_and_slow_down_guessing() {
    let (dir, new, _) = encrypted();
    let (router, mut orders) = locked(dir.path());
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

#[tokio::test]
async fn the_recovery_code_and_both_halves_unlock() {
    let (dir, new, code) = encrypted();
    let slots = slots_of(dir.path());
    assert!(by_typed(&slots, &code.to_string().to_uppercase(), None).unwrap() == new.key);
    let (first, second) = code.halves();
    for (one, other) in [(&first, &second), (&second, &first)] {
        assert!(by_typed(&slots, &one.to_string(), Some(&other.to_string())).unwrap() == new.key);
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

/// Runs a command with a key file, and text on its standard input.
fn typed(data: &Path, args: &[&str], input: &str) -> Output {
    let mut process = command(data, args).stdin(Stdio::piped()).spawn().unwrap();
    // The command may have ended before it reads.
    let _ = process.stdin.take().unwrap().write_all(input.as_bytes());
    process.wait_with_output().unwrap()
}

fn command(data: &Path, args: &[&str]) -> Command {
    let mut command = Command::new(PROGRAM);
    command.env(WITNESSES.0, WITNESSES.1).args(args).args(["--data", data.to_str().unwrap()]);
    command.stdout(Stdio::piped()).stderr(Stdio::piped()).env_remove("PLANTIGRADE_KEY_FILE");
    command
}

/// A plain folder with two children, made by the command.
fn plain(dir: &Path) -> PathBuf {
    let (sheet, data) = (dir.join("visits.csv"), dir.join("data"));
    fs::write(&sheet, SHEET).unwrap();
    assert_eq!(code(&run(&data, &["import", sheet.to_str().unwrap()])), 3);
    data
}

fn text_of(path: &Path) -> &str {
    path.to_str().unwrap()
}

/// Encrypts by the command; returns the key file.
fn encrypt(data: &Path, dir: &Path) -> PathBuf {
    let (key, sheet) = (dir.join("start.key"), dir.join("sheet.txt"));
    let args = [
        "encrypt",
        "--no-backup",
        "--passphrase-stdin",
        "--new-key-file",
        text_of(&key),
        "--sheet",
        text_of(&sheet),
    ];
    let done = typed(data, &args, &format!("{PASSPHRASE}\n{PASSPHRASE}\n"));
    assert_eq!(code(&done), 0, "{}{}", out(&done), err(&done));
    assert!(out(&done).contains("entries of 2 children are encrypted"), "{}", out(&done));
    key
}

#[test]
fn commands_encrypt_unlock_and_change_the_key() {
    let dir = tempfile::tempdir().unwrap();
    let data = plain(dir.path());
    let backup = dir.path().join("backup");
    let asked = typed(&data, &["encrypt", "--passphrase-stdin"], "");
    assert_eq!(code(&asked), 2, "a copy first, or not: {}", err(&asked));
    let weak = ["encrypt", "--backup", text_of(&backup), "--passphrase-stdin", "--sheet", "/dev/null/none"];
    let refused = typed(&data, &weak, "short\nshort\n");
    assert_eq!(code(&refused), 3, "{}", err(&refused));
    assert_eq!(code(&typed(&backup, &["verify"], "")), 0, "the copy is whole");
    let key = encrypt(&data, dir.path());
    assert_eq!(readable(&[&data], &["Brannock", "Ostwick", "SQLite format"]), Vec::<String>::new());
    let verify = |key: &Path| typed(&data, &["verify", "--key-file", text_of(key)], "");
    let checked = verify(&key);
    assert_eq!(code(&checked), 0, "{}{}", out(&checked), err(&checked));
    let child = typed(&data, &["child", "701", "--key-file", text_of(&key)], "");
    assert!(out(&child).contains("Brannock"), "{}{}", out(&child), err(&child));
    // In the environment, and as a credential of the system.
    let by_environment = command(&data, &["verify"]).env("PLANTIGRADE_KEY_FILE", &key).output().unwrap();
    assert_eq!(code(&by_environment), 0, "{}", err(&by_environment));
    let credentials = dir.path().join("credentials");
    fs::create_dir(&credentials).unwrap();
    fs::copy(&key, credentials.join("plantigrade-key")).unwrap();
    let by_credential =
        command(&data, &["verify"]).env("CREDENTIALS_DIRECTORY", &credentials).output().unwrap();
    assert_eq!(code(&by_credential), 0, "{}", err(&by_credential));
    // Encrypting twice, and a new passphrase, code and key.
    let again = typed(&data, &["encrypt", "--no-backup", "--key-file", text_of(&key)], "");
    assert_eq!(code(&again), 3, "{}", err(&again));
    let before = slots_of(&data);
    let change = ["change-key", "--passphrase-stdin", "--key-file", text_of(&key)];
    let changed = typed(&data, &change, "four quiet boats\nfour quiet boats\n");
    assert_eq!(code(&changed), 0, "{}", err(&changed));
    assert!(slots_of(&data).unlock_with_passphrase("four quiet boats").is_ok());
    assert_eq!(slots_of(&data).key_name(), before.key_name(), "the same key, locked anew");
    let sheet = dir.path().join("halves.txt");
    let halves = typed(
        &data,
        &["recovery-sheet", "--split", "--sheet", text_of(&sheet), "--key-file", text_of(&key)],
        "",
    );
    assert_eq!(code(&halves), 0, "{}", err(&halves));
    let text = fs::read_to_string(&sheet).unwrap();
    assert!(text.contains("HALF 1 OF 2") && text.contains('\u{c}') && text.contains("HALF 2 OF 2"), "{text}");
    let (new_key, new_sheet) = (dir.path().join("second.key"), dir.path().join("second.txt"));
    let all = [
        "change-key",
        "--records-key",
        "--passphrase-stdin",
        "--new-key-file",
        text_of(&new_key),
        "--sheet",
        text_of(&new_sheet),
        "--key-file",
        text_of(&key),
    ];
    let done = typed(&data, &all, &format!("{PASSPHRASE}\n{PASSPHRASE}\n"));
    assert_eq!(code(&done), 0, "{}{}", out(&done), err(&done));
    assert!(out(&done).contains("no longer unlock them; make new ones: start.key"), "{}", out(&done));
    assert_ne!(slots_of(&data).key_name(), before.key_name());
    assert_eq!((code(&verify(&key)), code(&verify(&new_key))), (9, 0));
}

#[cfg(unix)]
#[test]
fn refused_rows_are_for_their_owner_and_never_go_into_an_encrypted_folder() {
    use std::os::unix::fs::PermissionsExt;
    let dir = tempfile::tempdir().unwrap();
    let data = plain(dir.path());
    let refused = dir.path().join("visits.refused.csv");
    assert_eq!(fs::metadata(&refused).unwrap().permissions().mode() & 0o777, 0o600);
    let key = encrypt(&data, dir.path());
    fs::remove_file(&refused).unwrap();
    // A folder in which nothing can be made: /dev/fd has the sheet under a number.
    let sheet = fs::File::open(dir.path().join("visits.csv")).unwrap();
    let process =
        command(&data, &["import", "/dev/stdin", "--key-file", text_of(&key)]).stdin(sheet).output().unwrap();
    let told = err(&process);
    assert!(!told.contains("panicked"), "{told}");
    let plain: Vec<_> =
        files(&data).into_iter().filter(|path| path.to_string_lossy().contains("refused")).collect();
    assert_eq!(plain, Vec::<PathBuf>::new());
    assert_eq!(readable(&[&data], &["Brannock", "Ostwick"]), Vec::<String>::new());
}

#[test]
fn a_wrong_missing_or_foreign_key_is_a_sentence_each_and_changes_nothing() {
    let (one, two) = (tempfile::tempdir().unwrap(), tempfile::tempdir().unwrap());
    let (data, other) = (plain(one.path()), plain(two.path()));
    let (key, foreign) = (encrypt(&data, one.path()), encrypt(&other, two.path()));
    let not_a_key = one.path().join("letter.txt");
    fs::write(&not_a_key, "Dear colleague,\n").unwrap();
    let gone = one.path().join("gone.key");
    let before = |data: &Path| -> Vec<(PathBuf, Vec<u8>)> {
        let mut all: Vec<_> =
            files(data).into_iter().filter(|path| !text_of(path).ends_with("-shm")).collect();
        all.sort();
        all.into_iter().map(|path| (path.clone(), fs::read(path).unwrap())).collect()
    };
    let whole = before(&data);
    for (args, words) in [
        (&["verify", "--key-file", text_of(&foreign)][..], "does not open these records"),
        (&["verify", "--key-file", text_of(&gone)], "cannot be read"),
        (&["verify", "--key-file", text_of(&not_a_key)], "is no key file"),
        (&["verify"], "The records are encrypted. Run this at a terminal"),
        (&["import", "nowhere.csv", "--key-file", text_of(&foreign)], "does not open these records"),
        (
            &["salvage", "--to", text_of(&one.path().join("new")), "--key-file", text_of(&foreign)],
            "does not open",
        ),
    ] {
        let output = typed(&data, args, "");
        assert_eq!(code(&output), 9, "{args:?}: {}{}", out(&output), err(&output));
        assert!(err(&output).contains(words), "{args:?}: {}", err(&output));
    }
    assert_eq!(before(&data), whole);
    // Key slots of another clinic: they open, but not these records.
    let own = fs::read(data.join(SLOTS_FILE)).unwrap();
    fs::copy(other.join(SLOTS_FILE), data.join(SLOTS_FILE)).unwrap();
    let output = typed(&data, &["verify", "--key-file", text_of(&foreign)], "");
    assert_eq!(code(&output), 9, "{}", err(&output));
    assert!(err(&output).contains("another key than that of this folder"), "{}", err(&output));
    // Without slots at all.
    fs::remove_file(data.join(SLOTS_FILE)).unwrap();
    let output = typed(&data, &["verify"], "");
    assert!(err(&output).contains("key-slots.json is missing beside it"), "{}", err(&output));
    fs::write(data.join(SLOTS_FILE), own).unwrap();
    assert_eq!(before(&data), whole);
    assert_eq!(code(&typed(&data, &["verify", "--key-file", text_of(&key)], "")), 0);
}

fn copy_folder(from: &Path, to: &Path) {
    fs::create_dir_all(to).unwrap();
    for entry in fs::read_dir(from).unwrap().map(Result::unwrap) {
        if entry.path().is_dir() {
            copy_folder(&entry.path(), &to.join(entry.file_name()));
        } else {
            fs::copy(entry.path(), to.join(entry.file_name())).unwrap();
        }
    }
}

/// Kills a command at many moments after it has begun to write new files; `check` looks at what is left.
fn killed_at_many_moments(
    template: &Path,
    args: &dyn Fn(&Path) -> Vec<String>,
    check: &dyn Fn(&Path, &Path) -> &'static str,
) {
    const ROUNDS: u32 = 24;
    let dir = tempfile::tempdir().unwrap();
    let begin = |folder: &Path| {
        let data = folder.join("data");
        copy_folder(template, &data);
        let args = args(folder);
        let args: Vec<&str> = args.iter().map(String::as_str).collect();
        let mut process = command(&data, &args).stdin(Stdio::piped()).spawn().unwrap();
        process.stdin.take().unwrap().write_all(format!("{PASSPHRASE}\n{PASSPHRASE}\n").as_bytes()).unwrap();
        let begun = Instant::now();
        while !data.join("encryption.new").exists() && process.try_wait().unwrap().is_none() {
            assert!(begun.elapsed() < Duration::from_secs(120), "it never began");
            std::thread::sleep(Duration::from_micros(200));
        }
        (data, process, Instant::now())
    };
    let timed = dir.path().join("timed");
    let (_, mut process, begun) = begin(&timed);
    assert!(process.wait().unwrap().success());
    let whole = begun.elapsed();
    let mut states = Vec::new();
    for round in 0..ROUNDS {
        let folder = dir.path().join(format!("round{round}"));
        let (data, mut process, _) = begin(&folder);
        std::thread::sleep(whole.mul_f64(f64::from(round) / f64::from(ROUNDS - 2)));
        // It may have finished by itself.
        let _ = process.kill();
        process.wait().unwrap();
        states.push(check(&folder, &data));
        for left in ["encryption.new", "encryption.ready"] {
            assert!(!data.join(left).exists(), "round {round}: {left} is left");
        }
        fs::remove_dir_all(&folder).unwrap();
    }
    println!("killed within {whole:?}: {states:?}");
    let first = states[0];
    assert!(states.iter().any(|state| *state != first), "always the same: {states:?}");
}

#[test]
fn encrypt_killed_at_any_moment_leaves_one_or_the_other() {
    let dir = tempfile::tempdir().unwrap();
    let template = plain(dir.path());
    let args = |folder: &Path| {
        let (key, sheet) = (folder.join("start.key"), folder.join("sheet.txt"));
        let args = [
            "encrypt",
            "--no-backup",
            "--passphrase-stdin",
            "--new-key-file",
            text_of(&key),
            "--sheet",
            text_of(&sheet),
        ];
        args.map(str::to_owned).to_vec()
    };
    killed_at_many_moments(&template, &args, &|folder, data| {
        let key = folder.join("start.key");
        let checked = typed(data, &["verify", "--key-file", text_of(&key)], "");
        assert_eq!(code(&checked), 0, "{}{}", out(&checked), err(&checked));
        let child = typed(data, &["child", "701", "--key-file", text_of(&key)], "");
        assert!(out(&child).contains("Brannock"), "{}", err(&child));
        if data.join(SLOTS_FILE).exists() {
            assert_eq!(readable(&[data], &["Brannock", "SQLite format"]), Vec::<String>::new());
            "encrypted"
        } else {
            "plain"
        }
    });
}

#[test]
fn a_change_of_the_key_killed_at_any_moment_leaves_one_or_the_other() {
    let dir = tempfile::tempdir().unwrap();
    let template = plain(dir.path());
    let old = encrypt(&template, dir.path());
    let args = |folder: &Path| {
        let (key, sheet) = (folder.join("second.key"), folder.join("second.txt"));
        let args = [
            "change-key",
            "--records-key",
            "--passphrase-stdin",
            "--key-file",
            text_of(&old),
            "--new-key-file",
            text_of(&key),
            "--sheet",
            text_of(&sheet),
        ];
        args.map(str::to_owned).to_vec()
    };
    killed_at_many_moments(&template, &args, &|folder, data| {
        let with = |key: &Path| code(&typed(data, &["verify", "--key-file", text_of(key)], ""));
        match (with(&old), with(&folder.join("second.key"))) {
            (0, 9) => "old key",
            (9, 0) => "new key",
            other => panic!("{other:?}"),
        }
    });
}

/// Killed while an import writes: the records are whole, and nothing readable is left.
#[test]
fn a_kill_while_entries_are_written_leaves_nothing_readable() {
    let dir = tempfile::tempdir().unwrap();
    let data = plain(dir.path());
    let key = encrypt(&data, dir.path());
    let sheet = dir.path().join("many.csv");
    let mut text = "Hosp No,Name,DOB,Sex,Visit,Side,PC,EH,RE,MC,CLB,LHT,Total,Cast no\n".to_owned();
    for number in 0..1_500 {
        text.push_str(&format!(
            "9{number},\"Zorzabel, Quillon\",23/01/2025,M,13/02/2025,R,1,1,1,1,1,1,6,1\n"
        ));
    }
    fs::write(&sheet, text).unwrap();
    for round in 1..=4_u64 {
        let args = ["import", text_of(&sheet), "--key-file", text_of(&key)];
        let mut process = command(&data, &args).stdin(Stdio::null()).spawn().unwrap();
        std::thread::sleep(Duration::from_millis(400 * round));
        let _ = process.kill();
        process.wait().unwrap();
        let found = readable(&[&data], &["Zorzabel", "Quillon", "Brannock"]);
        assert_eq!(found, Vec::<String>::new(), "round {round}");
    }
    let checked = typed(&data, &["verify", "--key-file", text_of(&key)], "");
    assert_eq!(code(&checked), 0, "{}{}", out(&checked), err(&checked));
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
