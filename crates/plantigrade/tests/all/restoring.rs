//! Restores: after a loss, to a moment, with erasures, killed, refused.

use crate::{
    backups::{BackedUp, PASSPHRASE, names},
    clinic::day,
    commands::{PROGRAM, WITNESSES, code, err, opened, out, run},
    importing::SHEET,
};
use clinic::{DecisionKind, FILE_NAME};
use plantigrade::{
    app::{App, Mode},
    backing_up::{self, BackupKeys, give_erasures_to},
    clock::Clock,
    restoring::{RestoreWish, restore},
    settings::Settings,
};
use record::{Timestamp, UserId};
use safekeeping::UnlockSecret;
use serde_json::Value;
use std::{
    fs,
    io::Write,
    path::{Path, PathBuf},
    process::{Command, Output, Stdio},
    time::Instant,
};
use tempfile::TempDir;

fn passphrase() -> UnlockSecret {
    UnlockSecret::typed(PASSPHRASE, None).unwrap()
}

fn wish(file: &Path, to: &Path) -> RestoreWish {
    RestoreWish {
        file: file.to_owned(),
        to: to.to_owned(),
        until: None,
        move_aside: false,
        reason: "the disk was lost".into(),
        at: Timestamp::from_seconds(1_741_100_000),
    }
}

/// Records brought in by a command, with a witness, a key and a stick.
struct Imported {
    dir: TempDir,
    data: PathBuf,
    stick: PathBuf,
}

impl Imported {
    fn new() -> Self {
        let dir = tempfile::tempdir().unwrap();
        let (data, stick) = (dir.path().join("data"), dir.path().join("stick"));
        fs::create_dir(&stick).unwrap();
        let site = Self { dir, data, stick };
        site.import("first.csv", SHEET);
        backing_up::set_up(&site.data, PASSPHRASE).unwrap();
        site
    }

    fn import(&self, name: &str, text: &str) {
        let sheet = self.dir.path().join(name);
        fs::write(&sheet, text).unwrap();
        let output = run(&self.data, &["import", sheet.to_str().unwrap()]);
        assert!([0, 3].contains(&code(&output)), "{}{}", out(&output), err(&output));
    }

    fn backup(&self) -> PathBuf {
        let output = run(&self.data, &["backup", "--to", self.stick.to_str().unwrap(), "--json"]);
        assert_eq!(code(&output), 0, "{}{}", out(&output), err(&output));
        let made: Value = serde_json::from_str(&out(&output)).unwrap();
        assert!(
            made["backups"][0]["witness"].as_str().is_some_and(|head| head.contains("at line")),
            "{made}"
        );
        PathBuf::from(made["backups"][0]["file"].as_str().unwrap())
    }
}

const MORE: &str = "\
Hosp No,Name,DOB,Sex,Visit,Side,PC,EH,RE,MC,CLB,LHT,Total,Cast no
703,\"Later, Child\",23/01/2025,M,13/02/2025,R,1,1,1,1,1,1,6,1
";

pub fn restored(file: &Path, to: &Path, secret: &str, more: &[&str]) -> Output {
    let mut command = Command::new(PROGRAM);
    command.env(WITNESSES.0, WITNESSES.1).env_remove("PLANTIGRADE_DATA");
    command.args(["restore", file.to_str().unwrap(), "--to", to.to_str().unwrap()]);
    command.args(["--reason", "the disk was lost", "--passphrase-stdin", "--today", "2025-03-05"]).args(more);
    command.stdin(Stdio::piped()).stdout(Stdio::piped()).stderr(Stdio::piped());
    let mut child = command.spawn().unwrap();
    let _ = child.stdin.take().unwrap().write_all(format!("{secret}\n").as_bytes());
    child.wait_with_output().unwrap()
}

#[test]
fn after_the_loss_of_the_folder_a_restore_brings_everything_back_and_nobody_is_alarmed() {
    let site = Imported::new();
    let file = site.backup();
    let before = run(&site.data, &["child", "701", "--json"]);
    site.import("more.csv", MORE);
    fs::remove_dir_all(&site.data).unwrap();
    let gone = run(&site.data, &["import", site.dir.path().join("more.csv").to_str().unwrap()]);
    assert_eq!(code(&gone), 8, "the witness knows of the loss: {}", err(&gone));
    fs::remove_dir_all(&site.data).unwrap();

    let wrong = restored(&file, &site.data, "not the passphrase", &[]);
    assert_eq!(code(&wrong), 1, "{}", err(&wrong));
    assert!(err(&wrong).contains("does not open") && !site.data.exists(), "{}", err(&wrong));
    let output = restored(&file, &site.data, PASSPHRASE, &["--json"]);
    assert_eq!(code(&output), 0, "{}{}", out(&output), err(&output));
    let report: Value = serde_json::from_str(&out(&output)).unwrap();
    assert!(report["entries_lost_by_witness"].as_u64().unwrap() >= 2, "{report}");
    assert_eq!(report["entries"], report["entries_in_backup"]);
    assert!(out(&output).contains("were saved that are not in the restored records"), "{report}");

    let checked = run(&site.data, &["verify", "--json"]);
    assert_eq!(code(&checked), 0, "{}{}", out(&checked), err(&checked));
    let checked: Value = serde_json::from_str(&out(&checked)).unwrap();
    assert!(checked["sound"] == true && checked["witness"]["finding"].is_null(), "{checked}");
    assert_eq!(out(&run(&site.data, &["child", "701", "--json"])), out(&before));
    let app = opened(&site.data, Clock::new(Some(day("2025-03-05"))));
    assert!(app.held.is_none() && app.standing_notices().is_empty());
    let decision = app.records.decisions().unwrap().remove(0);
    assert_eq!((decision.kind, decision.reason.as_str()), (DecisionKind::Restored, "the disk was lost"));
    drop(app);
    // It goes on: more can be saved, and the next backup is one of the same clinic.
    site.import("more.csv", MORE);
    std::thread::sleep(std::time::Duration::from_millis(1_100));
    site.backup();
    let drill = run(&site.data, &["drill", "--of", site.stick.to_str().unwrap(), "--json"]);
    assert_eq!(code(&drill), 0, "{}{}", out(&drill), err(&drill));
}

#[test]
fn a_new_computer_needs_the_backup_and_the_code_alone() {
    let site = Imported::new();
    let code_of_sheet = BackupKeys::needed(&site.data).unwrap().new_recovery_code(&site.data).unwrap();
    let file = site.backup();
    let elsewhere = tempfile::tempdir().unwrap();
    let carried = elsewhere.path().join("carried.backup");
    fs::copy(&file, &carried).unwrap();
    let to = elsewhere.path().join("new/records");
    let half = code_of_sheet.halves();
    let halves = format!("{} {}", half.1, half.0);
    for secret in [code_of_sheet.to_string(), halves] {
        let output = restored(&carried, &to, &secret, &[]);
        assert_eq!(code(&output), 0, "{}{}", out(&output), err(&output));
        assert!(out(&output).contains("nothing is known of a witness"), "{}", out(&output));
        assert!(out(&output).contains("no list of all erasures beside the backup"), "{}", out(&output));
        assert_eq!(code(&run(&to, &["verify"])), 0);
        let app = opened(&to, Clock::new(Some(day("2025-03-05"))));
        assert_eq!(app.records.children_count().unwrap(), 2);
        drop(app);
        // The next passes for another new computer.
        fs::remove_dir_all(&to).unwrap();
        let witness = plantigrade::place::witness_under(Path::new(WITNESSES.1), &to, None);
        fs::remove_dir_all(witness.key).unwrap();
    }
    let one_half = restored(&carried, &to, &half.0.to_string(), &[]);
    assert!(code(&one_half) != 0 && err(&one_half).contains("half"), "{}", err(&one_half));
    assert_eq!(names(to.parent().unwrap()), Vec::<String>::new(), "nothing is left of what failed");
}

#[tokio::test]
async fn nothing_is_ever_written_over() {
    let site = BackedUp::new().await;
    let file = site.made().file;
    let place = tempfile::tempdir().unwrap();
    let to = place.path().join("records");
    fs::create_dir(&to).unwrap();
    fs::write(to.join("letter.txt"), "dear").unwrap();
    let refused = restore(&wish(&file, &to), &passphrase()).unwrap_err();
    assert!(refused.0.contains("never writes over anything"), "{refused}");
    let none = RestoreWish { reason: " ".into(), ..wish(&file, &to) };
    assert!(restore(&none, &passphrase()).unwrap_err().0.contains("Give the reason"));
    let report = restore(&RestoreWish { move_aside: true, ..wish(&file, &to) }, &passphrase()).unwrap();
    assert_eq!(fs::read_to_string(report.aside.unwrap().join("letter.txt")).unwrap(), "dear");
    assert!(to.join(FILE_NAME).exists());
    // The records of a running program are not moved.
    let running = RestoreWish { move_aside: true, ..wish(&file, site.clinic.dir.path()) };
    let refused = restore(&running, &passphrase()).unwrap_err();
    assert!(refused.0.contains("already open in another copy"), "{refused}");
    let damaged = fs::read(&file).unwrap();
    fs::write(&file, &damaged[..damaged.len() - 9]).unwrap();
    let other = place.path().join("other");
    assert!(restore(&wish(&file, &other), &passphrase()).unwrap_err().0.contains("damaged"));
    assert!(!other.exists());
}

#[tokio::test]
async fn a_restore_to_a_moment_leaves_out_what_was_saved_later_and_lists_it() {
    let mut site = BackedUp::new().await;
    std::thread::sleep(std::time::Duration::from_millis(1_100));
    let moment = site.clinic.app.clock.now();
    std::thread::sleep(std::time::Duration::from_millis(1_100));
    let later = [("family_name", "Later"), ("given_name", "Child"), ("number", "L-1"), ("sides", "left")];
    site.clinic.child(&mut site.browser, &later).await;
    let made = site.made();
    let place = tempfile::tempdir().unwrap();
    let to = place.path().join("records");
    let report =
        restore(&RestoreWish { until: Some(moment), ..wish(&made.file, &to) }, &passphrase()).unwrap();
    assert!(!report.records.left_out.is_empty());
    assert_eq!(report.records.entries + report.records.left_out.len(), made.state.mark.entries);
    let list = fs::read_to_string(report.left_out_list.unwrap()).unwrap();
    assert!(list.contains("registration") && !list.contains("Later"), "ids and kinds, no names: {list}");
    let app = App::open(&to, site.clinic.app.clock, Mode::default()).unwrap();
    assert_eq!(app.records.children_count().unwrap(), 2);
    assert!(app.records.verify().unwrap().is_sound());
    assert!(app.records.decisions().unwrap()[0].about.contains("as they were on"));
}

#[tokio::test]
async fn what_was_erased_after_a_backup_is_erased_again_by_its_restore() {
    let site = BackedUp::new().await;
    let made = site.made();
    let (dir, stick) = (site.clinic.dir.path(), site.stick.path());
    let text = format!("[backups]\nfolders = [{:?}]\n", stick);
    fs::write(dir.join("clinic.toml"), text).unwrap();
    let records = &site.clinic.app.records;
    let by = UserId::new(uuid::Uuid::now_v7());
    for entry in site.clinic.entries(site.children[1]) {
        records.erase(entry.id, "asked for by the family", by, site.clinic.app.clock.now()).unwrap();
    }
    give_erasures_to(dir, records, &Settings::read(dir).unwrap());
    let place = tempfile::tempdir().unwrap();
    let to = place.path().join("records");
    let report = restore(&wish(&made.file, &to), &passphrase()).unwrap();
    assert!(report.records.erased_again >= 1 && report.erasures_known, "{report:?}");
    for name in names(&to) {
        let path = to.join(&name);
        if path.is_file() {
            let bytes = fs::read(&path).unwrap();
            for part in ["Zorzabel", "zorzabel", "Quillon", "W-77"] {
                assert!(
                    !bytes.windows(part.len()).any(|window| window == part.as_bytes()),
                    "{name} has {part}"
                );
            }
        }
    }
    let app = App::open(&to, site.clinic.app.clock, Mode::default()).unwrap();
    assert!(app.records.verify().unwrap().is_sound());
    assert_eq!(app.records.children_count().unwrap(), 1);
    assert_eq!(app.records.all_erasures().unwrap(), records.all_erasures().unwrap());
}

#[tokio::test]
async fn restores_killed_at_many_moments_leave_nothing_or_the_whole() {
    let site = BackedUp::new().await;
    let file = site.made().file;
    let place = tempfile::tempdir().unwrap();
    let begun = Instant::now();
    let first = restored(&file, &place.path().join("first"), PASSPHRASE, &[]);
    assert_eq!(code(&first), 0, "{}", err(&first));
    let whole = begun.elapsed();
    let to = place.path().join("records");
    let (mut killed, mut finished) = (0, 0);
    for part in 1..=20 {
        let mut command = Command::new(PROGRAM);
        command
            .env(WITNESSES.0, WITNESSES.1)
            .stdin(Stdio::piped())
            .stdout(Stdio::null())
            .stderr(Stdio::null());
        command.args(["restore", file.to_str().unwrap(), "--to", to.to_str().unwrap()]);
        command.args(["--reason", "the disk was lost", "--passphrase-stdin", "--move-aside"]);
        let mut process = command.spawn().unwrap();
        let _ = process.stdin.take().unwrap().write_all(format!("{PASSPHRASE}\n").as_bytes());
        std::thread::sleep(whole * part / 20);
        killed += usize::from(process.try_wait().unwrap().is_none());
        let _ = process.kill();
        process.wait().unwrap();
        if to.exists() {
            finished += 1;
            let checked = run(&to, &["verify"]);
            assert_eq!(code(&checked), 0, "part {part}: {}{}", out(&checked), err(&checked));
        }
    }
    assert!(killed >= 6, "only {killed} were killed in time, {finished} finished");
    let last = restored(&file, &to, PASSPHRASE, &["--move-aside"]);
    assert_eq!(code(&last), 0, "{}", err(&last));
    assert_eq!(code(&run(&to, &["verify"])), 0);
    let left = names(place.path()).into_iter().filter(|name| name.contains("restoring")).count();
    assert_eq!(left, 0, "{:?}", names(place.path()));
}
