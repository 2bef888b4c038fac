//! Records with which something is wrong, as people and commands meet them: lost ends, forged chains, damaged pages,
//! a clock turned back, a first start that was killed.

use crate::{
    clinic::{Browser, NAME, PASSWORD, TODAY, day},
    commands::{PROGRAM, WITNESSES, code, err, out, run},
    importing::SHEET,
};
use axum::http::StatusCode;
use clinic::{Account, FILE_NAME, WitnessPlace};
use plantigrade::{
    app::{App, Mode},
    auth, checks,
    clock::Clock,
    exit::Exit,
    held::HoldReason,
    routes,
};
use record::{ChildId, Role, Roles, UserId};
use serde_json::Value;
use std::{
    fs,
    io::{BufRead, BufReader},
    path::{Path, PathBuf},
    process::{Command, Stdio},
    sync::Arc,
    time::Duration,
};
use tempfile::TempDir;

/// A clinic with a witness, which is stopped and started again.
pub struct Site {
    pub dir: TempDir,
}

impl Site {
    pub fn new() -> Self {
        Self { dir: tempfile::tempdir().unwrap() }
    }

    fn records(&self) -> PathBuf {
        self.dir.path().join("records")
    }

    pub fn start(&self, today: &str) -> Result<Arc<App>, String> {
        let place = WitnessPlace::in_folder(&self.dir.path().join("witness"));
        let clock = Clock::new(Some(day(today)));
        let open = || App::open_with_witness(&self.records(), clock, Mode::default(), Some(place.clone()));
        for _ in 0..100 {
            match open() {
                // A process that another test starts has the lock too for a moment.
                Err(failure) if failure.exit == Exit::InUse => std::thread::sleep(Duration::from_millis(20)),
                other => return other.map(Arc::new).map_err(|failure| failure.sentence),
            }
        }
        Err("in use".to_owned())
    }

    /// The same with an account for each of these roles, named by its key.
    pub fn with_people(&self, roles: &[Role]) {
        let app = self.start(TODAY).unwrap();
        let hash = auth::hash_password(PASSWORD).unwrap();
        for (name, roles) in
            roles.iter().map(|role| (role.key(), Roles::NONE.with(*role))).chain([(NAME, Roles::FIRST)])
        {
            let account = Account {
                id: UserId::new(uuid::Uuid::now_v7()),
                name: name.into(),
                display_name: name.into(),
                password_hash: hash.clone(),
                created_at: app.clock.now(),
                disabled: false,
                roles,
                one_time_until: None,
                last_sign_in: None,
            };
            app.records.accounts().create_account(account).unwrap();
        }
    }
}

pub async fn browser(app: &Arc<App>, name: &str) -> Browser {
    let mut browser = Browser::new(routes::router(Arc::clone(app)));
    let page = browser.sign_in(name, PASSWORD).await;
    assert_eq!(page.status, StatusCode::SEE_OTHER, "{}", page.text);
    browser
}

pub async fn register(browser: &mut Browser, number: u32) -> ChildId {
    let (name, number) = (format!("Given{number}"), format!("CF-{number}"));
    let fields = [
        ("given_name", name.as_str()),
        ("family_name", "Vesterholt"),
        ("number", number.as_str()),
        ("sure", "yes"),
    ];
    let page = browser.send("/register", "/register", &fields).await;
    assert_eq!(page.status, StatusCode::SEE_OTHER, "{}", page.text);
    page.location().trim_start_matches("/child/").split('?').next().unwrap().parse().unwrap()
}

#[tokio::test]
async fn an_older_copy_put_back_is_served_for_reading_until_a_lead_decides() {
    let site = Site::new();
    site.with_people(&[Role::Coordinator]);
    let (first, copy) = (site.start(TODAY).unwrap(), site.dir.path().join("copy.sqlite"));
    let mut ida = browser(&first, NAME).await;
    register(&mut ida, 1).await;
    first.records.back_up(&copy).unwrap();
    register(&mut ida, 2).await;
    drop((ida, first));
    fs::copy(&copy, site.records().join(FILE_NAME)).unwrap();

    let app = site.start(TODAY).unwrap();
    let mut liv = browser(&app, Role::Coordinator.key()).await;
    let day = liv.get("/day").await;
    assert!(
        day.shown(".records-notice").contains("The records end at entry 1, but entry 2 was saved on"),
        "{}",
        day.text
    );
    assert_eq!(liv.open("/find?q=Given1").await.status, StatusCode::OK);
    let token = day_token(&mut liv).await;
    let refused = liv.post("/register", &[("csrf", &token), ("family_name", "Quist")]).await;
    assert_eq!(refused.status, StatusCode::SERVICE_UNAVAILABLE, "{}", refused.text);
    assert!(refused.shown("h1").contains("Nothing can be saved now"), "{}", refused.text);
    assert_eq!(app.records.children_count().unwrap(), 1);
    assert_eq!(liv.get("/records").await.count("form[action='/records/accept']"), 0);
    let not_hers = liv.post("/records/accept", &[("csrf", &token), ("why", "x")]).await;
    assert_eq!(not_hers.status, StatusCode::FORBIDDEN);

    let mut ida = browser(&app, NAME).await;
    let blank = ida.send("/records", "/records/accept", &[("why", " ")]).await;
    assert_eq!(blank.status, StatusCode::UNPROCESSABLE_ENTITY, "{}", blank.text);
    let before = fs::read(site.records().join(FILE_NAME)).unwrap();
    assert_eq!(fs::read(&copy).unwrap(), before, "until then nothing was changed in the file");
    let done = ida.send("/records", "/records/accept", &[("why", "The disk failed on Monday.")]).await;
    assert_eq!(done.location(), "/records?done=accepted", "{}", done.text);
    drop((ida, liv, app));

    let app = site.start(TODAY).unwrap();
    let mut ida = browser(&app, NAME).await;
    let page = ida.get("/records").await;
    assert_eq!(page.count(".records-notice"), 0, "{}", page.text);
    assert!(
        page.text.contains("The disk failed on Monday.") && page.text.contains("entry 2 was saved"),
        "{}",
        page.text
    );
    register(&mut ida, 3).await;
    assert!(app.records.verify().unwrap().is_sound());
}

/// The token of the forms of whoever is signed in.
async fn day_token(browser: &mut Browser) -> String {
    browser.get("/account").await.form("/account")["csrf"].clone()
}

#[tokio::test]
async fn a_clock_turned_back_is_named_on_every_page_and_saves_wait_for_a_person() {
    let site = Site::new();
    site.with_people(&[Role::Coordinator]);
    let app = site.start(TODAY).unwrap();
    let mut ida = browser(&app, NAME).await;
    let child = register(&mut ida, 1).await;
    drop((ida, app));

    let app = site.start("2025-03-01").unwrap();
    let mut ida = browser(&app, NAME).await;
    for path in ["/day", "/find?q=Given1", "/records", "/account", &format!("/child/{child}")] {
        let page = ida.open(path).await;
        assert_eq!(page.status, StatusCode::OK, "{path}");
        let shown = page.shown(".records-notice");
        assert!(shown.contains("The clock of this computer shows 1 March 2025"), "{path}: {}", page.text);
        assert!(shown.contains("the last entry was written on 4 March 2025"), "{path}: {shown}");
        assert!(!page.text.contains("No name, no number"), "{path}");
    }
    let page = ida.get(&format!("/child/{child}")).await;
    assert!(page.shown("h1").contains("No registration up to 1 March 2025"), "{}", page.shown("h1"));
    let token = day_token(&mut ida).await;
    let refused = ida.post("/register", &[("csrf", &token), ("family_name", "Quist")]).await;
    assert_eq!(refused.status, StatusCode::SERVICE_UNAVAILABLE, "{}", refused.text);
    let mut liv = browser(&app, Role::Coordinator.key()).await;
    let token = day_token(&mut liv).await;
    let not_hers = liv.post("/records/clock", &[("csrf", &token), ("why", "x")]).await;
    assert_eq!(not_hers.status, StatusCode::FORBIDDEN);

    let done = ida.send("/records", "/records/clock", &[("why", "It was three days ahead.")]).await;
    assert_eq!(done.location(), "/records?done=clock", "{}", done.text);
    assert_eq!(ida.get("/day").await.count(".records-notice"), 0);
    register(&mut ida, 2).await;
    assert!(ida.get("/records").await.text.contains("It was three days ahead."));
    drop((ida, liv, app));
    // It counts for what was written then. A clock that goes back once more is asked about again.
    assert_eq!(site.start("2025-03-02").unwrap().saving_refused(), None);
    assert!(site.start("2025-02-20").unwrap().saving_refused().is_some());
    assert_eq!(site.start(TODAY).unwrap().saving_refused(), None, "nor does a clock that was put right");
}

/// A clinic of some thirty children with its file as it is on the disk.
async fn filled() -> (Site, Vec<ChildId>, Vec<u8>) {
    let site = Site::new();
    site.with_people(&[]);
    let app = site.start(TODAY).unwrap();
    let mut ida = browser(&app, NAME).await;
    let mut children = Vec::new();
    for number in 0..30 {
        let child = register(&mut ida, number).await;
        let path = format!("/child/{child}/add/note");
        let text = format!("note {number} {}", "x".repeat(700));
        let page = ida.send(&path, &path, &[("on", TODAY), ("text", &text)]).await;
        assert_eq!(page.status, StatusCode::SEE_OTHER, "{}", page.text);
        children.push(child);
    }
    drop((ida, app));
    let bytes = fs::read(site.records().join(FILE_NAME)).unwrap();
    (site, children, bytes)
}

async fn the_rest_is_shown_and_nothing_saved(browser: &mut Browser, shown: ChildId, page: usize) {
    for path in ["/day", "/find?q=Given", "/attention", "/records", "/results"] {
        let answer = browser.open(path).await;
        assert_eq!(answer.status, StatusCode::OK, "page {page}, {path}: {}", answer.text);
        assert!(answer.shown(".records-notice").contains("damaged"), "page {page}, {path}");
    }
    let answer = browser.get(&format!("/child/{shown}")).await;
    assert!(answer.shown("h1").contains("Vesterholt"), "page {page}: {}", answer.text);
    let token = day_token(browser).await;
    let refused = browser.post("/register", &[("csrf", &token), ("family_name", "Quist")]).await;
    assert_eq!(refused.status, StatusCode::SERVICE_UNAVAILABLE, "page {page}");
}

#[tokio::test]
async fn each_page_damaged_in_turn_leaves_a_server_that_shows_the_rest_and_saves_nothing() {
    const PAGE: usize = 4_096;
    let (site, children, whole) = filled().await;
    let (mut started, mut refused, mut hidden_at_most, mut shown_at_least) = (0, 0, 0, children.len());
    let pages = whole.len() / PAGE;
    for page in 0..pages {
        let mut bytes = whole.clone();
        bytes[page * PAGE..(page + 1) * PAGE].fill(0xA5);
        if bytes == whole {
            continue;
        }
        fs::write(site.records().join(FILE_NAME), &bytes).unwrap();
        for end in ["-wal", "-shm"] {
            let _ = fs::remove_file(site.records().join(format!("{FILE_NAME}{end}")));
        }
        // Attempts to sign in are counted beyond a start, and here is one for each page.
        let _ = fs::remove_file(site.records().join(auth::ATTEMPTS_FILE));
        let app = match site.start(TODAY) {
            // The page of the restrictions: to show nothing is better than to show everything.
            Err(error) if error.contains("which records are restricted cannot be read") => {
                refused += 1;
                continue;
            }
            other => other.unwrap_or_else(|error| panic!("page {page} of {pages}: {error}")),
        };
        let Some(held) = &app.held else {
            // A page that holds nothing.
            assert!(
                app.records.verify().unwrap().is_sound(),
                "page {page} of {pages}: damage was not noticed"
            );
            continue;
        };
        started += 1;
        assert!(held.sentence().contains("damaged"), "{}", held.sentence());
        let named = held.hidden_children();
        assert!(
            named.iter().all(|child| child.contains("Vesterholt, no. CF-") || child.len() == 36),
            "{named:?}"
        );
        let hidden: Vec<ChildId> = match &held.why {
            HoldReason::Damaged(_, salvaged) => salvaged.affected.clone(),
            HoldReason::NotThoseSaved(..) => Vec::new(),
        };
        hidden_at_most = hidden_at_most.max(hidden.len());
        shown_at_least = shown_at_least.min(app.records.children_count().unwrap());
        assert_eq!(
            app.records.children_count().unwrap() + hidden.len(),
            children.len(),
            "page {page}: {}",
            held.sentence()
        );
        assert!(app.saving_refused().is_some());
        let router = routes::router(Arc::clone(&app));
        let mut browser = Browser::new(router);
        // Who can sign in depends on whether the accounts could be read.
        let signed_in = browser.sign_in(NAME, PASSWORD).await.status == StatusCode::SEE_OTHER;
        let whole_accounts = !held.sentence().contains("accounts could not be read");
        assert!(signed_in || !whole_accounts, "page {page}: {}", held.sentence());
        if signed_in && page % 6 == 0 {
            let shown = children.iter().find(|child| !hidden.contains(child)).unwrap();
            the_rest_is_shown_and_nothing_saved(&mut browser, *shown, page).await;
        }
        assert_eq!(
            fs::read(site.records().join(FILE_NAME)).unwrap(),
            bytes,
            "page {page}: the file stays as it is"
        );
    }
    println!(
        "{pages} pages, {started} held, at most {hidden_at_most} children not shown, at least {shown_at_least} shown"
    );
    assert!(refused <= 1, "{refused}");
    assert!(started * 3 > pages * 2, "{started} of {pages}");
    assert!(hidden_at_most <= 8 && shown_at_least > 20, "{hidden_at_most}, {shown_at_least}");
}

#[tokio::test]
async fn damage_that_is_met_while_the_server_runs_stops_saves_and_not_reading() {
    let (site, children, whole) = filled().await;
    let app = site.start(TODAY).unwrap();
    let mut ida = browser(&app, NAME).await;
    let token = day_token(&mut ida).await;
    // An entry is changed in place, as by a failing disk: the structure of the file stays whole.
    let at = whole.windows(8).position(|eight| eight == b"note 17 ").unwrap();
    let mut bytes = fs::read(site.records().join(FILE_NAME)).unwrap();
    bytes[at + 20] ^= 1;
    fs::write(site.records().join(FILE_NAME), &bytes).unwrap();
    let report = checks::check_now(&app).unwrap();
    assert!(!report.is_sound(), "{report}");
    let page = ida.get(&format!("/child/{}", children[3])).await;
    assert_eq!(page.status, StatusCode::OK, "{}", page.text);
    assert!(page.shown(".records-notice").contains("damaged"), "{}", page.text);
    let refused = ida.post("/register", &[("csrf", &token), ("family_name", "Quist")]).await;
    assert_eq!(refused.status, StatusCode::SERVICE_UNAVAILABLE, "{}", refused.text);
    let noted = checks::last(&site.records()).unwrap().unwrap();
    assert!(noted.to.contains("faults"), "{}", noted.to);
}

fn imported() -> (TempDir, PathBuf) {
    let dir = tempfile::tempdir().unwrap();
    let (sheet, data) = (dir.path().join("visits.csv"), dir.path().join("data"));
    fs::write(&sheet, SHEET).unwrap();
    let output = run(&data, &["import", sheet.to_str().unwrap()]);
    assert_eq!(code(&output), 3, "{}", err(&output));
    (dir, data)
}

fn json(output: &std::process::Output) -> Value {
    serde_json::from_str(&out(output))
        .unwrap_or_else(|error| panic!("{error}: {}{}", out(output), err(output)))
}

#[test]
fn commands_refuse_records_that_lost_their_end_with_a_code_of_their_own() {
    let (dir, data) = imported();
    let copy = dir.path().join("copy.sqlite");
    fs::copy(data.join(FILE_NAME), &copy).unwrap();
    let sound = run(&data, &["verify"]);
    assert_eq!(code(&sound), 0, "{}{}", out(&sound), err(&sound));
    for line in ["The log ends with", "states in the witness", "It proves:", "It does not prove:"] {
        assert!(out(&sound).contains(line), "{line}: {}", out(&sound));
    }
    assert_eq!(code(&run(&data, &["people", "add", "ole", "--name", "Ole", "--role", "lead"])), 0);
    fs::copy(&copy, data.join(FILE_NAME)).unwrap();
    for args in [&["due", "--all"][..], &["people", "list"], &["export", "out.csv"]] {
        let refused = run(&data, args);
        assert_eq!(code(&refused), 8, "{args:?}: {}{}", out(&refused), err(&refused));
        assert!(err(&refused).contains("older than what was saved last"), "{}", err(&refused));
        assert!(err(&refused).contains("accept-records --reason"), "{}", err(&refused));
    }
    let found = json(&run(&data, &["verify", "--json"]));
    assert_eq!(found["sound"], false);
    assert!(found["witness"]["finding"].as_str().unwrap().contains("no entry is missing"), "{found}");
    assert_eq!(code(&run(&data, &["verify"])), 8);
    assert_eq!(code(&run(&data, &["accept-records", "--reason", " "])), 2);
    let accepted = run(&data, &["accept-records", "--reason", "the copy of Monday"]);
    assert_eq!(code(&accepted), 0, "{}", err(&accepted));
    assert_eq!(code(&run(&data, &["due", "--all"])), 0);
    assert_eq!(json(&run(&data, &["verify", "--json"]))["sound"], true);
    let again = run(&data, &["accept-records", "--reason", "once more"]);
    assert!(code(&again) == 0 && out(&again).contains("nothing to accept"), "{}", out(&again));
}

#[test]
fn a_copy_elsewhere_is_checked_and_it_is_said_what_cannot_be_told_there() {
    let (dir, data) = imported();
    let copy = dir.path().join("copy");
    fs::create_dir(&copy).unwrap();
    fs::copy(data.join(FILE_NAME), copy.join(FILE_NAME)).unwrap();
    let output = run(&copy, &["verify"]);
    assert_eq!(code(&output), 0, "{}{}", out(&output), err(&output));
    assert!(
        out(&output).contains("whether entries are missing at the end of the records cannot be told"),
        "{}",
        out(&output)
    );
    assert!(
        out(&output).contains("It does not prove: that no entry is missing at the end"),
        "{}",
        out(&output)
    );
    // It can be used; a lead has to confirm it.
    let added = run(&copy, &["people", "add", "ole", "--name", "Ole", "--role", "lead"]);
    assert_eq!(code(&added), 0, "{}", err(&added));
    assert!(
        err(&added).contains("copied or moved") && err(&added).contains("cannot be told"),
        "{}",
        err(&added)
    );
}

#[test]
fn damaged_records_are_salvaged_with_a_list_of_what_is_missing() {
    let (dir, data) = imported();
    let path = data.join(FILE_NAME);
    let mut bytes = fs::read(&path).unwrap();
    // The page with the entries of the first child.
    let at = bytes.windows(8).position(|eight| eight == b"Brannock").unwrap() / 4_096;
    bytes[at * 4_096..(at + 1) * 4_096].fill(0);
    fs::write(&path, &bytes).unwrap();
    let new = dir.path().join("new");
    let output = run(&data, &["salvage", "--to", new.to_str().unwrap(), "--json"]);
    assert_eq!(code(&output), 4, "{}{}", out(&output), err(&output));
    let report = json(&output);
    let missing = report["missing_entries"].as_array().unwrap().len();
    assert!(missing > 0, "{report}");
    assert_eq!(fs::read(&path).unwrap(), bytes, "nothing is changed in the damaged file");
    assert!(
        fs::read_to_string(new.join("missing.txt"))
            .unwrap()
            .contains(&format!("{missing} entries are missing"))
    );
    assert_eq!(code(&run(&new, &["verify"])), 0);
    let again = run(&data, &["salvage", "--to", new.to_str().unwrap()]);
    assert!(code(&again) == 1 && err(&again).contains("exists already"), "{}", err(&again));
}

/// The program is killed at some moment of its first start, again and again in new folders.
#[test]
fn a_first_start_killed_at_any_moment_starts_again() {
    let start = |data: &Path| {
        Command::new(PROGRAM)
            .args(["serve", "--no-open", "--listen", "127.0.0.1:0", "--data"])
            .arg(data)
            .env(WITNESSES.0, data.with_extension("witness"))
            .stdout(Stdio::piped())
            .stderr(Stdio::null())
            .spawn()
            .unwrap()
    };
    let answers = |data: &Path| {
        let mut process = start(data);
        let mut lines = BufReader::new(process.stdout.take().unwrap()).lines().map_while(Result::ok);
        let begun = std::time::Instant::now();
        let link = lines.find(|line| line.contains("/start/"));
        let took = begun.elapsed();
        process.kill().unwrap();
        process.wait().unwrap();
        (link, took)
    };
    let dir = tempfile::tempdir().unwrap();
    let (link, whole) = answers(&dir.path().join("timed"));
    assert!(link.is_some());
    for round in 0..60_u32 {
        let data = dir.path().join(format!("clinic{round}"));
        let mut process = start(&data);
        std::thread::sleep(whole.mul_f64(f64::from(round) / 55.0).max(Duration::from_micros(10)));
        let _ = process.kill();
        process.wait().unwrap();
        let (link, _) = answers(&data);
        assert!(link.is_some(), "round {round}: {:?}", fs::read_dir(&data).map(|found| found.count()));
        let checked = Command::new(PROGRAM)
            .args(["verify", "--data"])
            .arg(&data)
            .env(WITNESSES.0, data.with_extension("witness"))
            .output()
            .unwrap();
        assert_eq!(code(&checked), 0, "round {round}: {}{}", out(&checked), err(&checked));
    }
}

/// Whatever a person saves beside the records is written by the one door that flushes it to the disk. Named are the
/// files that write otherwise, and why that is enough.
#[test]
fn nothing_that_a_person_saves_is_written_without_a_flush() {
    const OTHERWISE: &[(&str, &str)] = &[
        ("kept_file.rs", "the door itself"),
        ("copies.rs", "flushes each file and the folder"),
        ("backing_up/event_log.rs", "adds lines, and flushes"),
        ("restoring.rs", "renames and removes folders, and flushes the folder around them"),
        ("saved_maps.rs", "renames, and flushes the folder"),
        ("setting_history.rs", "adds lines, and flushes"),
        ("rewriting.rs", "renames a whole folder, and flushes"),
        ("unfinished.rs", "overwrites and renames, and flushes each file and the folder"),
        ("serve.rs", "the address of the running server"),
        ("commands/salvage.rs", "a list that is printed too"),
        ("commands/export.rs", "a file that the person asked for"),
        ("commands/import.rs", "a file that the person asked for"),
        ("commands/audit.rs", "a file that the person asked for"),
        ("auth/attempts.rs", "attempts to sign in, of which a power cut may lose the last"),
        ("network/authority.rs", "keys of the clinic's network, written once"),
    ];
    let root = Path::new(env!("CARGO_MANIFEST_DIR")).join("src");
    let (mut folders, mut wrong) = (vec![root.clone()], Vec::new());
    while let Some(folder) = folders.pop() {
        for path in fs::read_dir(folder).unwrap().map(|entry| entry.unwrap().path()) {
            if path.is_dir() {
                folders.push(path);
                continue;
            }
            // Films and lists of words lie beside the code.
            if path.extension().is_none_or(|end| end != "rs") {
                continue;
            }
            let text = fs::read_to_string(&path).unwrap();
            let code = text.split("#[cfg(test)]").next().unwrap();
            let name = path.strip_prefix(&root).unwrap().to_string_lossy().into_owned();
            let writes = ["fs::write(", "fs::rename(", "fs::copy(", "File::create(", "create_private("]
                .iter()
                .any(|call| code.contains(call));
            if writes && !OTHERWISE.iter().any(|(known, _)| *known == name) {
                wrong.push(name);
            }
        }
    }
    assert_eq!(wrong, Vec::<String>::new());
}

#[tokio::test]
async fn a_page_names_the_end_of_the_log_so_that_a_printed_one_can_be_compared() {
    let site = Site::new();
    site.with_people(&[]);
    let app = site.start(TODAY).unwrap();
    let mut ida = browser(&app, NAME).await;
    register(&mut ida, 1).await;
    let mark = app.records.mark().unwrap().to_string();
    assert!(ida.get("/day").await.shown("footer").contains(&mark));
    register(&mut ida, 2).await;
    assert!(!ida.get("/day").await.shown("footer").contains(&mark), "it changes with every entry");
}

/// Run by hand: `cargo test --workspace --test all -- --ignored times_of_a_large_clinic --nocapture`.
#[test]
#[ignore = "a measurement"]
fn times_of_a_large_clinic() {
    let site = Site::new();
    let timed =
        |what: &str, begun: std::time::Instant| println!("{what}: {:.2} s", begun.elapsed().as_secs_f64());
    {
        let app = site.start(TODAY).unwrap();
        for part in plantigrade::demo::clinic_in_parts(4_000, 1, day(TODAY)) {
            app.records.import(part, &mut |_| {}).unwrap();
        }
        println!(
            "{} entries of {} children",
            app.records.entries_count().unwrap(),
            app.records.children_count().unwrap()
        );
        let begun = std::time::Instant::now();
        assert!(app.records.verify().unwrap().is_sound());
        timed("full check", begun);
    }
    let path = site.records().join(FILE_NAME);
    println!("{} MB", fs::metadata(&path).unwrap().len() >> 20);
    let begun = std::time::Instant::now();
    drop(site.start(TODAY).unwrap());
    timed("start with the comparison and the quick check", begun);
    let begun = std::time::Instant::now();
    drop(
        App::open_with_witness(
            &site.dir.path().join("none"),
            Clock::new(Some(day(TODAY))),
            Mode::default(),
            None,
        )
        .unwrap(),
    );
    timed("start of an empty clinic", begun);
    let mut bytes = fs::read(&path).unwrap();
    let at = bytes.len() / 8_192 * 4_096;
    bytes[at..at + 4_096].fill(0xA5);
    fs::write(&path, bytes).unwrap();
    let begun = std::time::Instant::now();
    let app = site.start(TODAY).unwrap();
    timed("start with a damaged page", begun);
    println!("{}", app.held.as_ref().unwrap().sentence());
}
