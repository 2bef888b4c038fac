//! Backups, drills and the notice on every page.

use crate::{
    clinic::{AMINA, Browser, Clinic, NAME, PASSWORD, TODAY, day},
    commands::{PROGRAM, code, err, out, run},
};
use axum::http::StatusCode;
use backups::{BackupFile, BackupHeader, BackupSource};
use clinic::FILE_NAME;
use plantigrade::{
    backing_up::{self, BackedUpClinic, BackupEvents, BackupKeys, MadeBackup, own_files},
    clock::Clock,
    figures,
    settings::Settings,
};
use record::{ChildId, Role, Roles};
use std::{
    fs,
    path::{Path, PathBuf},
    process::{Command, Stdio},
    time::{Duration, Instant},
};
use tempfile::TempDir;

pub const PASSPHRASE: &str = "four quiet herons wading";

/// A clinic with two children and a key of its backups, and a stick.
pub struct BackedUp {
    pub clinic: Clinic,
    pub browser: Browser,
    pub stick: TempDir,
    pub children: [ChildId; 2],
}

impl BackedUp {
    pub async fn new() -> Self {
        let (clinic, mut browser) = Clinic::signed_in().await;
        let one = clinic.child(&mut browser, AMINA).await;
        let two = clinic
            .child(
                &mut browser,
                &[("family_name", "Zorzabel"), ("given_name", "Quillon"), ("number", "W-77")],
            )
            .await;
        backing_up::set_up(clinic.dir.path(), PASSPHRASE).unwrap().unwrap();
        Self { clinic, browser, stick: tempfile::tempdir().unwrap(), children: [one, two] }
    }

    pub fn on(&self, clock: Clock) -> BackedUpClinic<'_> {
        BackedUpClinic {
            dir: self.clinic.dir.path(),
            records: &self.clinic.app.records,
            clock,
            by: "Ida Maren".into(),
        }
    }

    pub fn made(&self) -> MadeBackup {
        backing_up::make(&self.on(self.clinic.app.clock), self.stick.path()).unwrap()
    }

    /// What a drill says is wrong.
    fn wrong(&self) -> Vec<String> {
        let outcome = backing_up::drill(&self.on(self.clinic.app.clock), self.stick.path()).unwrap();
        assert_eq!(outcome.passed(), outcome.wrong.is_empty());
        outcome.wrong
    }

    /// A backup, written with the right key, of records that were changed by `change`.
    fn forged(&self, change: &str) -> PathBuf {
        let made = self.made();
        let (dir, work) = (self.clinic.dir.path(), tempfile::tempdir().unwrap());
        let keys = BackupKeys::needed(dir).unwrap();
        let file = BackupFile::open(&made.file).unwrap();
        let manifest = file.unlock(&keys.key).unwrap().extract(work.path()).unwrap();
        let conn = rusqlite::Connection::open(work.path().join(FILE_NAME)).unwrap();
        conn.execute_batch(change).unwrap();
        drop(conn);
        fs::remove_file(&made.file).unwrap();
        let sources: Vec<BackupSource> = manifest
            .files
            .iter()
            .map(|file| BackupSource { name: file.name.clone(), path: work.path().join(&file.name) })
            .collect();
        let header = BackupHeader { ..file.header };
        backups::write(self.stick.path(), &header, manifest, &keys.key, &sources).unwrap().finish().unwrap()
    }
}

pub fn names(folder: &Path) -> Vec<String> {
    let mut names: Vec<String> = fs::read_dir(folder)
        .unwrap()
        .map(|file| file.unwrap().file_name().to_string_lossy().into_owned())
        .collect();
    names.sort();
    names
}

fn backups_in(folder: &Path) -> Vec<String> {
    names(folder).into_iter().filter(|name| name.ends_with(".backup")).collect()
}

#[tokio::test]
async fn a_lead_sets_backups_up_makes_one_and_the_drill_has_its_date_on_the_page() {
    let (clinic, mut browser) = Clinic::signed_in().await;
    clinic.child(&mut browser, AMINA).await;
    let stick = tempfile::tempdir().unwrap();
    let page = browser.get("/backups").await;
    assert_eq!((page.status, page.count("h1")), (StatusCode::OK, 1));
    assert_eq!(page.count("form[action='/backups/make']"), 0, "there is no key yet");
    let twice = |text: &'static str| [("backup_passphrase", text), ("backup_passphrase_again", text)];
    let weak = browser.send("/backups", "/backups/passphrase", &twice("password1234")).await;
    assert_eq!(weak.status, StatusCode::UNPROCESSABLE_ENTITY, "{}", weak.text);
    assert!(weak.text.contains("passphrase") && !weak.text.contains("password1234"), "{}", weak.text);
    let code = browser.send("/backups", "/backups/passphrase", &twice(PASSPHRASE)).await;
    assert_eq!(code.status, StatusCode::OK, "{}", code.text);
    assert_eq!(code.html().select(&scraper::Selector::parse(".code-groups li").unwrap()).count(), 8);

    let folder = stick.path().to_str().unwrap();
    let rule = [
        ("backup_every_hours", "12"),
        ("backup_not_before", ""),
        ("backup_keep_days", "7"),
        ("backup_keep_weeks", "8"),
        ("backup_keep_months", "24"),
    ];
    let with = |folder| [vec![("backup_folder_1", folder)], rule.to_vec()].concat();
    let inside = clinic.dir.path().to_str().unwrap().to_owned();
    for (wrong, says) in [
        ("stick", "whole path"),
        (inside.as_str(), "folder of the records"),
        ("/nowhere/at/all", "is not there"),
    ] {
        let refused = browser.send("/backups", "/backups/settings", &with(wrong)).await;
        assert!(
            refused.status == StatusCode::UNPROCESSABLE_ENTITY && refused.text.contains(says),
            "{wrong}: {}",
            refused.text
        );
    }
    let saved = browser.send("/backups", "/backups/settings", &with(folder)).await;
    assert_eq!(saved.location(), "/backups?done=saved", "{}", saved.text);
    assert_eq!(Settings::read(clinic.dir.path()).unwrap().backups.folders, [stick.path()]);
    assert!(browser.get("/settings/history").await.text.contains(folder));

    assert!(!figures::text(&clinic.app).contains("plantigrade_backup_age_seconds"));
    let made = browser.send("/backups", "/backups/make", &[]).await;
    assert_eq!(made.location(), "/backups?done=made", "{}", made.text);
    // The clock of this clinic stands still.
    let shown = figures::text(&clinic.app);
    assert!(shown.contains("\nplantigrade_backup_age_seconds 0\n"), "{shown}");
    assert!(shown.contains("\nplantigrade_backup_drill_failed 0\n"), "{shown}");
    assert_eq!(backups_in(stick.path()).len(), 1);
    let page = browser.get("/backups").await;
    assert!(
        page.shown("main").contains("None yet. The newest backup is tried once a week"),
        "{}",
        page.shown("main")
    );
    let tried = browser.send("/backups", "/backups/drill", &[]).await;
    assert_eq!(tried.location(), "/backups?done=tried", "{}", tried.text);
    let page = browser.get("/backups").await.shown("main");
    assert!(page.contains("Passed on 4 March 2025") && page.contains("equal to the records"), "{page}");
    assert!(page.contains("ida of the clinic, read back and checked"), "{page}");
    assert!(
        browser.get("/records").await.shown("main").contains("passed"),
        "the page on the records has it too"
    );
    // Whoever is no lead sees nothing of it.
    let user = clinic.account("osei", PASSWORD);
    clinic.app.records.accounts().set_roles(user, Roles::NONE.with(Role::Clinician)).unwrap();
    let mut other = Browser::new(clinic.router.clone());
    other.sign_in("osei", PASSWORD).await;
    assert_eq!(other.get("/backups").await.status, StatusCode::FORBIDDEN);
}

#[tokio::test]
async fn everybody_is_told_when_the_last_good_backup_is_older_than_a_week() {
    let site = BackedUp::new().await;
    let user = site.clinic.account("osei", PASSWORD);
    site.clinic.app.records.accounts().set_roles(user, Roles::NONE.with(Role::Clinician)).unwrap();
    let BackedUp { clinic, stick, browser, .. } = site;
    let Clinic { app, router, dir } = clinic;
    drop((app, router, browser));
    let site = Kept { dir, stick };
    let told = |today: &'static str, name: &'static str| told_on(&site, today, name);
    assert!(!told("2025-03-10", NAME).await.0.contains("No backup"), "not in the first week");
    let (text, links) = told("2025-03-14", NAME).await;
    assert!(text.contains("No backup of these records was ever made") && links == 1, "{text}");
    let (text, links) = told("2025-03-14", "osei").await;
    assert!(text.contains("Tell a lead of the clinic") && links == 0, "{text}");
    let made = run(site.dir.path(), &["backup", "--to", site.stick.path().to_str().unwrap()]);
    assert_eq!(code(&made), 0, "{}", err(&made));
    assert!(!told("2025-03-10", NAME).await.0.contains("backup of these records"));
    let (text, _) = told("2025-03-14", NAME).await;
    assert!(text.contains("The last good backup of these records was made on 4 March 2025"), "{text}");
}

/// What is left of a clinic whose program was ended.
struct Kept {
    dir: TempDir,
    stick: TempDir,
}

async fn told_on(site: &Kept, today: &str, name: &str) -> (String, usize) {
    let clock = Clock::new(Some(day(today)));
    let app = plantigrade::app::App::open(site.dir.path(), clock, plantigrade::app::Mode::default()).unwrap();
    let mut browser = Browser::new(plantigrade::routes::router(std::sync::Arc::new(app)));
    browser.sign_in(name, PASSWORD).await;
    let page = browser.get("/day").await;
    (page.shown("main"), page.count(".records-notice a[href='/backups']"))
}

#[tokio::test]
async fn a_drill_passes_and_counts_what_was_saved_and_erased_since() {
    let mut site = BackedUp::new().await;
    let made = site.made();
    assert_eq!(made.state.children, 2);
    let more = [("family_name", "Later"), ("given_name", "Child"), ("number", "L-1")];
    site.clinic.child(&mut site.browser, &more).await;
    let entry = site.clinic.entries(site.children[1])[0].id;
    site.clinic
        .app
        .records
        .erase(entry, "asked for", record::UserId::new(uuid::Uuid::now_v7()), site.clinic.app.clock.now())
        .unwrap();
    let outcome = backing_up::drill(&site.on(site.clinic.app.clock), site.stick.path()).unwrap();
    assert!(outcome.passed(), "{:?}", outcome.wrong);
    let compared = outcome.compared.unwrap();
    assert_eq!(
        (compared.entries, compared.erased_since, compared.summaries),
        (made.state.mark.entries, 1, 2)
    );
    assert!(compared.saved_since >= 1 && compared.kinds.contains_key("registration"), "{compared:?}");
    assert!(
        names(site.clinic.dir.path()).iter().all(|name| !name.starts_with("backup-work-")),
        "nothing is left"
    );
    assert!(names(site.stick.path()).iter().all(|name| !name.contains("unfinished")));
}

#[tokio::test]
async fn a_drill_fails_where_anything_is_not_as_it_was_written() {
    let site = BackedUp::new().await;
    let made = site.made().file;
    let whole = fs::read(&made).unwrap();
    for at in [1_000, whole.len() / 2, whole.len() - 5] {
        let mut changed = whole.clone();
        changed[at] ^= 4;
        fs::write(&made, changed).unwrap();
        let wrong = site.wrong();
        assert!(!wrong.is_empty(), "byte {at}");
    }
    fs::remove_file(&made).unwrap();
    let says = |wrong: Vec<String>, part: &str| {
        assert!(wrong.iter().any(|text| text.contains(part)), "{part}: {wrong:?}");
    };
    says(site.wrong(), "There is no backup of this clinic");
    let forged = site.forged("DELETE FROM entries WHERE place = 2");
    says(site.wrong(), "not in the copy");
    fs::remove_file(forged).unwrap();
    let forged = site.forged("UPDATE summaries SET body = replace(body, 'Amina', 'Amira')");
    says(site.wrong(), "The lists do not agree");
    fs::remove_file(forged).unwrap();
    let forged = site.forged(
        "INSERT INTO migrations VALUES (
        (SELECT max(number) + 1 FROM migrations), 'later', '2030-01-01T00:00:00Z')",
    );
    says(site.wrong(), "newer version of the program");
    fs::remove_file(forged).unwrap();

    // The backup of another clinic under the name of one of this.
    let other = BackedUp::new().await;
    let foreign = other.made().file;
    let own = site.made().file;
    fs::copy(&foreign, &own).unwrap();
    says(site.wrong(), "There is no backup of this clinic");
    // Even with this clinic's key and name.
    let keys = BackupKeys::needed(site.clinic.dir.path()).unwrap();
    let others = BackupKeys::needed(other.clinic.dir.path()).unwrap();
    let work = tempfile::tempdir().unwrap();
    let opened = BackupFile::open(&foreign).unwrap();
    let manifest = opened.unlock(&others.key).unwrap().extract(work.path()).unwrap();
    let sources: Vec<BackupSource> = manifest
        .files
        .iter()
        .map(|file| BackupSource { name: file.name.clone(), path: work.path().join(&file.name) })
        .collect();
    fs::remove_file(&own).unwrap();
    let header = BackupHeader { clinic: backups::clinic_id(site.clinic.app.site), ..opened.header };
    backups::write(site.stick.path(), &header, manifest, &keys.key, &sources).unwrap().finish().unwrap();
    says(site.wrong(), "not in the records");
    let events = BackupEvents::read(site.clinic.dir.path()).unwrap();
    assert_eq!(events.0.last().unwrap().act, backing_up::BackupAct::DrillFailed);
    // Everybody is told, until a drill passes there.
    let folders = [site.stick.path().to_owned()];
    let trouble = |site: &BackedUp| {
        let app = &site.clinic.app;
        backing_up::trouble(&app.dir, &app.records, &folders, app.clock.now()).unwrap()
    };
    assert!(matches!(trouble(&site), Some(plantigrade::backup_trouble::BackupTrouble::DrillFailed(_))));
    for name in backups_in(site.stick.path()) {
        fs::remove_file(site.stick.path().join(name)).unwrap();
    }
    site.made();
    assert!(trouble(&site).is_some());
    assert_eq!(site.wrong(), Vec::<String>::new());
    assert_eq!(trouble(&site), None);
}

#[tokio::test]
async fn what_the_rule_no_longer_keeps_is_deleted_and_nothing_else() {
    let site = BackedUp::new().await;
    let foreign = site.stick.path().join("plantigrade-00000000-2020-01-01T000000Z.backup");
    fs::write(&foreign, "somebody else's").unwrap();
    fs::write(site.stick.path().join("photos.zip"), "photos").unwrap();
    for today in ["2025-01-06", "2025-01-07", "2025-01-08", "2025-02-28", "2025-03-01", "2025-03-03"] {
        backing_up::make(&site.on(Clock::new(Some(day(today)))), site.stick.path()).unwrap();
    }
    let made = backing_up::make(&site.on(Clock::new(Some(day(TODAY)))), site.stick.path()).unwrap();
    let kept = backups_in(site.stick.path());
    let days: Vec<&str> =
        kept.iter().filter(|name| name.len() > 40).filter_map(|name| name.get(21..31)).collect();
    // The last of its week in January, and all of the last seven days.
    assert!(
        days.contains(&"2025-01-08") && !days.contains(&"2025-01-06") && !days.contains(&"2025-01-07"),
        "{kept:?}"
    );
    for kept in ["2025-02-28", "2025-03-01", "2025-03-03", "2025-03-04"] {
        assert!(days.contains(&kept), "{kept}: {days:?}");
    }
    assert!(made.file.exists() && foreign.exists() && site.stick.path().join("photos.zip").exists());
}

#[tokio::test]
async fn a_disk_that_takes_no_more_leaves_the_last_good_backup() {
    let site = BackedUp::new().await;
    let good = site.made();
    let (dir, stick) = (site.clinic.dir.path(), site.stick.path());
    let before = fs::read(&good.file).unwrap();
    // The copy of the records fits into the limit, the backup, which holds more than that, does not.
    fs::write(dir.join("stock.toml"), format!("# {}\n", "x".repeat(400_000))).unwrap();
    let records = fs::metadata(dir.join(FILE_NAME)).unwrap().len() + 300_000;
    let limit = records.div_ceil(512);
    let limited = format!("trap '' XFSZ; ulimit -f {limit}; exec \"$0\" backup --to \"$1\" --json");
    let output = Command::new("sh")
        .args(["-c", &limited, PROGRAM, stick.to_str().unwrap()])
        .env("PLANTIGRADE_DATA", dir)
        .output()
        .unwrap();
    assert_eq!(code(&output), 1, "{}{}", out(&output), err(&output));
    assert!(out(&output).contains("\"made\": false"), "{}", out(&output));
    assert!(err(&output).contains("takes no file as large"), "{}", err(&output));
    assert_eq!(fs::read(&good.file).unwrap(), before);
    assert_eq!(names(stick).len(), 2, "the backup and the list of erasures: {:?}", names(stick));
    let away = tempfile::tempdir().unwrap().path().join("stick");
    let refused = backing_up::make(&site.on(site.clinic.app.clock), &away).unwrap_err();
    assert!(refused.0.contains("is not there"), "{refused}");
    assert!(site.wrong().is_empty(), "and the drill of the last one passes");
}

#[tokio::test]
async fn backups_killed_at_many_moments_leave_only_good_ones() {
    let site = BackedUp::new().await;
    let (dir, stick) = (site.clinic.dir.path(), site.stick.path());
    let command = || {
        let mut command = Command::new(PROGRAM);
        command.args(["backup", "--to", stick.to_str().unwrap()]).env("PLANTIGRADE_DATA", dir);
        command.stdout(Stdio::null()).stderr(Stdio::null());
        command
    };
    let begun = Instant::now();
    assert!(command().status().unwrap().success());
    let whole = begun.elapsed();
    let mut killed = 0;
    for part in 1..=24 {
        let mut process = command().spawn().unwrap();
        std::thread::sleep(whole * part / 24);
        killed += usize::from(process.try_wait().unwrap().is_none());
        let _ = process.kill();
        process.wait().unwrap();
        let keys = BackupKeys::needed(dir).unwrap();
        for name in backups_in(stick) {
            let to = tempfile::tempdir().unwrap();
            let file = BackupFile::open(&stick.join(&name)).unwrap();
            file.unlock(&keys.key).unwrap().extract(to.path()).unwrap();
        }
        // Names have seconds.
        std::thread::sleep(Duration::from_millis(300));
    }
    assert!(killed >= 8, "only {killed} were killed in time");
    std::thread::sleep(Duration::from_millis(1_100));
    site.made();
    assert!(names(dir).iter().all(|name| !name.starts_with("backup-work-")), "{:?}", names(dir));
    assert!(site.wrong().is_empty());
}

#[tokio::test]
async fn a_backup_has_every_file_of_the_clinic_and_none_of_this_computer() {
    let site = BackedUp::new().await;
    let dir = site.clinic.dir.path();
    fs::create_dir(dir.join("sheet-maps")).unwrap();
    fs::write(dir.join("sheet-maps/0a.toml"), "").unwrap();
    fs::write(dir.join("stock.toml"), "").unwrap();
    site.made();
    let own: Vec<String> = own_files(dir).unwrap().into_iter().map(|file| file.name).collect();
    assert!(
        own.contains(&"sheet-maps/0a.toml".to_owned()) && own.contains(&"stock.toml".to_owned()),
        "{own:?}"
    );
    assert!(own.iter().all(|name| !["backups.jsonl", "backup.key", "copies.jsonl"].contains(&name.as_str())));
    let bytes = fs::read(&site.made_later().file).unwrap();
    for part in ["Vesterholt", "Zorzabel", "W-77", "records.sqlite"] {
        assert!(!bytes.windows(part.len()).any(|window| window == part.as_bytes()), "{part} is readable");
    }
}

#[tokio::test]
async fn a_lost_key_file_is_put_back_by_the_passphrase_and_the_code_changes_with_it() {
    let site = BackedUp::new().await;
    let dir = site.clinic.dir.path();
    let name = BackupKeys::needed(dir).unwrap().key.name();
    fs::remove_file(dir.join(backing_up::KEY_FILE)).unwrap();
    let refused = backing_up::make(&site.on(site.clinic.app.clock), site.stick.path()).unwrap_err();
    assert!(refused.0.contains("backup.key"), "{refused}");
    assert!(backing_up::set_up(dir, "another long passphrase").is_err(), "not the present one");
    assert!(backing_up::set_up(dir, PASSPHRASE).unwrap().is_none());
    assert_eq!(BackupKeys::needed(dir).unwrap().key.name(), name);
    // A changed passphrase opens the key, the earlier one no longer does.
    assert!(backing_up::set_up(dir, "another long passphrase").unwrap().is_none());
    let slots = BackupKeys::needed(dir).unwrap().slots;
    assert!(slots.unlock_with_passphrase(PASSPHRASE).is_err());
    assert_eq!(slots.unlock_with_passphrase("another long passphrase").unwrap().name(), name);
    #[cfg(unix)]
    for file in [backing_up::KEY_FILE, backing_up::SLOTS] {
        use std::os::unix::fs::PermissionsExt;
        assert_eq!(fs::metadata(dir.join(file)).unwrap().permissions().mode() & 0o777, 0o600, "{file}");
    }
}

impl BackedUp {
    /// Another one, in a later second.
    pub fn made_later(&self) -> MadeBackup {
        std::thread::sleep(Duration::from_millis(1_100));
        self.made()
    }
}
