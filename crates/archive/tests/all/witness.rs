//! The end of the records lost, the records exchanged or rewritten, the witness gone: each is found at opening.

use crate::common::{child, note, options, someone};
use archive::{
    Account, Archive, ArchiveError, CodeSecret, DecisionKind, FILE_NAME, Options, RecordsDecision,
    WitnessFinding, WitnessPlace,
};
use record::{Roles, Timestamp, UserId};
use std::{
    fs,
    path::{Path, PathBuf},
};
use tempfile::TempDir;

/// Opens again what is still locked: a process that another test starts has the lock too for a moment.
pub fn patiently(open: impl Fn() -> Result<Archive, ArchiveError>) -> Result<Archive, ArchiveError> {
    for _ in 0..100 {
        match open() {
            Err(ArchiveError::InUse { .. }) => std::thread::sleep(std::time::Duration::from_millis(20)),
            other => return other,
        }
    }
    open()
}

/// A clinic with its witness beside it.
struct Site {
    dir: TempDir,
}

impl Site {
    fn new() -> Self {
        Self { dir: tempfile::tempdir().unwrap() }
    }

    fn records(&self) -> PathBuf {
        self.dir.path().join("records")
    }

    fn place(&self) -> WitnessPlace {
        WitnessPlace::in_folder(&self.dir.path().join("outside"))
    }

    fn options(&self) -> Options {
        Options { witness: Some(self.place()), ..options() }
    }

    fn open(&self) -> Archive {
        patiently(|| Archive::open(&self.records(), self.options())).unwrap()
    }

    /// The records as they are on the disk at this moment, as after a power cut, in another folder.
    fn image(&self, name: &str) -> PathBuf {
        let to = self.dir.path().join(name);
        fs::create_dir(&to).unwrap();
        for file in [FILE_NAME.to_owned(), format!("{FILE_NAME}-wal")] {
            let from = self.records().join(&file);
            if from.exists() {
                fs::copy(from, to.join(&file)).unwrap();
            }
        }
        to
    }

    /// What opening a folder against the witness finds, and how many entries there are.
    fn found(&self, records: &Path) -> (Option<WitnessFinding>, usize) {
        let archive = patiently(|| Archive::open(records, self.options())).unwrap();
        (archive.finding().cloned(), archive.entries_count().unwrap())
    }
}

fn append(archive: &Archive, numbers: std::ops::Range<u32>) {
    for number in numbers {
        archive
            .append(vec![note(child(u128::from(number % 7)), "2024-01-01", &format!("note {number}"))])
            .unwrap();
    }
}

fn wal(folder: &Path) -> PathBuf {
    folder.join(format!("{FILE_NAME}-wal"))
}

/// Twenty entries in the main file, five more in the write-ahead log only.
fn twenty_and_five() -> (Site, PathBuf) {
    let site = Site::new();
    append(&site.open(), 0..20);
    let archive = site.open();
    append(&archive, 20..25);
    let image = site.image("image");
    drop(archive);
    (site, image)
}

fn behind(finding: Option<WitnessFinding>) -> (usize, usize) {
    match finding {
        Some(WitnessFinding::Behind { entries, witnessed, at }) => {
            assert_eq!(at, Some(Timestamp::from_seconds(1_700_000_000)));
            (entries, witnessed)
        }
        other => panic!("{other:?}"),
    }
}

#[test]
fn the_image_of_a_power_cut_is_opened_as_it_is() {
    let (site, image) = twenty_and_five();
    assert_eq!(site.found(&image), (None, 25));
    let again = Archive::open(&image, site.options()).unwrap();
    assert!(again.verify().unwrap().is_sound());
}

#[test]
fn a_deleted_write_ahead_log_is_found_and_the_sentence_says_what_is_missing() {
    let (site, image) = twenty_and_five();
    fs::remove_file(wal(&image)).unwrap();
    let (finding, entries) = site.found(&image);
    let sentence = finding.clone().unwrap().sentence(&|at| at.to_string());
    assert_eq!((behind(finding), entries), ((20, 25), 20));
    assert!(
        sentence.starts_with("The records end at entry 20, but entry 25 was saved on 2023-11-14T22:13:20Z. 5 entries are missing."),
        "{sentence}"
    );
    let archive = patiently(|| Archive::open(&image, site.options())).unwrap();
    let refused = archive.append(vec![note(child(1), "2024-01-01", "one more")]).unwrap_err();
    assert!(matches!(refused, ArchiveError::Witness(_)), "{refused}");
    let reading = Archive::open_for_reading(&image, site.options()).unwrap();
    assert!(reading.finding().is_some(), "reading alone finds it too");
    assert!(!reading.verify().unwrap().is_sound());
}

#[test]
fn a_write_ahead_log_cut_at_any_place_is_found() {
    let (site, image) = twenty_and_five();
    let whole = fs::read(wal(&image)).unwrap();
    let mut lost = 0;
    for part in 0..24 {
        fs::write(wal(&image), &whole[..whole.len() * part / 24]).unwrap();
        let main = fs::read(image.join(FILE_NAME)).unwrap();
        let (finding, entries) = site.found(&image);
        assert_eq!(finding.is_none(), entries == 25, "cut at {part}/24: {finding:?}, {entries} entries");
        lost += usize::from(entries < 25);
        assert_eq!(fs::read(image.join(FILE_NAME)).unwrap(), main, "nothing is changed in what is left");
    }
    assert!(lost >= 20, "{lost}");
}

#[test]
fn a_changed_byte_anywhere_in_the_write_ahead_log_is_found_or_does_no_harm() {
    let (site, image) = twenty_and_five();
    let (whole, main) = (fs::read(wal(&image)).unwrap(), fs::read(image.join(FILE_NAME)).unwrap());
    let mut lost = 0;
    for step in 0..60 {
        let mut bytes = whole.clone();
        let at = whole.len() * step / 60;
        bytes[at] ^= 0x55;
        fs::write(wal(&image), &bytes).unwrap();
        fs::write(image.join(FILE_NAME), &main).unwrap();
        let _ = fs::remove_file(image.join(format!("{FILE_NAME}-shm")));
        let (finding, entries) = site.found(&image);
        assert_eq!(finding.is_none(), entries == 25, "byte {at}: {finding:?}, {entries} entries");
        lost += usize::from(entries < 25);
    }
    assert!(lost >= 50, "{lost}");
}

#[test]
fn an_older_copy_put_back_is_found() {
    let site = Site::new();
    let archive = site.open();
    append(&archive, 0..10);
    let copy = site.dir.path().join("copy.sqlite");
    archive.back_up(&copy).unwrap();
    append(&archive, 10..30);
    drop(archive);
    fs::copy(&copy, site.records().join(FILE_NAME)).unwrap();
    assert_eq!(behind(site.found(&site.records()).0), (10, 30));
}

#[test]
fn the_main_file_copied_alone_while_running_is_found() {
    let site = Site::new();
    append(&site.open(), 0..20);
    let archive = site.open();
    append(&archive, 20..26);
    let alone = site.dir.path().join("alone");
    fs::create_dir(&alone).unwrap();
    fs::copy(site.records().join(FILE_NAME), alone.join(FILE_NAME)).unwrap();
    drop(archive);
    assert_eq!(behind(site.found(&alone).0), (20, 26));
}

/// Rewrites the contents of an entry and every hash that follows from them, as somebody can who may write the file
/// and has read how the chain is made.
fn forge(records: &Path, place: i64) {
    let conn = crate::common::raw(records);
    let mut previous: [u8; 32] =
        conn.query_row("SELECT hash FROM entries WHERE place = ?1", [place - 1], |row| row.get(0)).unwrap();
    let mut query = conn
        .prepare("SELECT e.place, e.id, c.id, e.wire, e.salt FROM entries e JOIN children c ON c.number = e.child WHERE e.place >= ?1 ORDER BY e.place")
        .unwrap();
    type LogRow = (i64, [u8; 16], [u8; 16], String, Vec<u8>);
    let rows: Vec<LogRow> = query
        .query_map([place], |row| Ok((row.get(0)?, row.get(1)?, row.get(2)?, row.get(3)?, row.get(4)?)))
        .unwrap()
        .map(Result::unwrap)
        .collect();
    for (at, id, child, wire, salt) in rows {
        let wire = if at == place { wire.replace("note 3", "lie 3") } else { wire };
        let content = *blake3::hash(&[&salt[..], wire.as_bytes()].concat()).as_bytes();
        let hash = *blake3::hash(&[&previous[..], &id, &child, &content].concat()).as_bytes();
        conn.execute(
            "UPDATE entries SET wire = ?2, content = ?3, hash = ?4 WHERE place = ?1",
            rusqlite::params![at, wire, content, hash],
        )
        .unwrap();
        previous = hash;
    }
    conn.execute("UPDATE sites SET head = ?1", [previous]).unwrap();
    conn.execute("DELETE FROM facts", []).unwrap();
}

#[test]
fn a_rewritten_chain_is_found_although_the_chain_itself_is_valid() {
    let site = Site::new();
    append(&site.open(), 0..12);
    forge(&site.records(), 4);
    let (finding, _) = site.found(&site.records());
    assert_eq!(finding, Some(WitnessFinding::LogChanged));
    // Without the witness nothing speaks against it: the seal is what finds it.
    raw(&site.records(), "DELETE FROM seals");
    let archive = patiently(|| Archive::open(&site.records(), options())).unwrap();
    assert!(archive.verify().unwrap().is_sound());
    drop(archive);
    assert_eq!(
        behind(site.found(&site.records()).0),
        (12, 12),
        "and neither is it enough to take the seal away"
    );
}

#[test]
fn a_rewritten_chain_under_an_old_seal_of_its_own_is_found() {
    let site = Site::new();
    append(&site.open(), 0..12);
    // The forger makes a seal with a key of their own.
    let other = Site::new();
    append(&other.open(), 0..12);
    fs::copy(other.records().join(FILE_NAME), site.records().join(FILE_NAME)).unwrap();
    assert_eq!(site.found(&site.records()).0, Some(WitnessFinding::OtherRecords));
}

fn raw(records: &Path, sql: &str) {
    crate::common::raw(records).execute_batch(sql).unwrap();
}

fn account(archive: &Archive, name: &str) {
    let at = Timestamp::from_seconds(1_700_000_000);
    let new = Account {
        id: UserId::new(uuid::Uuid::now_v7()),
        name: name.into(),
        display_name: name.into(),
        password_hash: "x".into(),
        created_at: at,
        disabled: false,
        roles: Roles::FIRST,
        one_time_until: None,
        last_sign_in: None,
    };
    archive.accounts().create_account(new).unwrap();
}

fn code_secret(archive: &Archive, user: UserId) {
    let set_up_at = Timestamp::from_seconds(1_700_000_000);
    archive
        .accounts()
        .set_code_secret(user, CodeSecret { secret: vec![7; 20], set_up_at, last_step: 0 })
        .unwrap();
}

#[test]
fn a_change_of_an_account_a_role_a_setting_or_an_erasure_from_outside_is_found() {
    for sql in [
        "UPDATE accounts SET password_hash = 'y'",
        "UPDATE accounts SET disabled = 1",
        "DELETE FROM account_roles WHERE role = 'lead'",
        "INSERT INTO account_roles SELECT id, 'auditor' FROM accounts",
        "UPDATE settings SET value = 'Harbour'",
        "DELETE FROM code_secrets",
        "INSERT INTO account_events (account, at, what) SELECT id, 1, 'x' FROM accounts",
        "UPDATE erasures SET reason = 'another'",
        "DELETE FROM erasures",
        "INSERT INTO decisions (what, at, reason, about, place) VALUES ('clock', 1, 'x', 'x', 0)",
    ] {
        let site = Site::new();
        let archive = site.open();
        account(&archive, "ida");
        archive.set_setting("name", Some("Hillside".into())).unwrap();
        let user = archive.accounts().all().unwrap()[0].id;
        code_secret(&archive, user);
        let wrong = note(child(1), "2024-01-01", "wrong child");
        let id = wrong.id;
        archive.append(vec![wrong]).unwrap();
        archive
            .erase(id, "filed under the wrong child", someone(), Timestamp::from_seconds(1_700_000_100))
            .unwrap();
        drop(archive);
        assert_eq!(site.found(&site.records()).0, None);
        raw(&site.records(), sql);
        assert_eq!(site.found(&site.records()).0, Some(WitnessFinding::RestChanged), "{sql}");
    }
}

#[test]
fn an_account_lost_with_the_write_ahead_log_is_found_although_no_entry_is_missing() {
    let site = Site::new();
    append(&site.open(), 0..3);
    let archive = site.open();
    account(&archive, "ida");
    let image = site.image("image");
    drop(archive);
    fs::remove_file(wal(&image)).unwrap();
    let finding = site.found(&image).0;
    assert_eq!(behind(finding.clone()), (3, 3));
    assert!(finding.unwrap().sentence(&|_| String::new()).contains("no entry is missing"));
}

fn decision(reason: &str) -> RecordsDecision {
    RecordsDecision {
        kind: DecisionKind::Records,
        by: Some(someone()),
        at: Timestamp::from_seconds(1_700_001_000),
        reason: reason.into(),
        about: "5 entries are missing".into(),
    }
}

#[test]
fn a_person_accepts_records_with_a_reason_and_then_all_goes_on() {
    let (site, image) = twenty_and_five();
    fs::remove_file(wal(&image)).unwrap();
    let archive = patiently(|| Archive::open(&image, site.options())).unwrap();
    assert_eq!(archive.accept(&decision("  ")).unwrap_err(), ArchiveError::NoReason);
    let reading = Archive::open_for_reading(&image, site.options()).unwrap();
    assert_eq!(reading.accept(&decision("x")).unwrap_err(), ArchiveError::ReadingOnly);
    archive.accept(&decision("the copy of Monday was put back")).unwrap();
    drop(archive);
    let archive = patiently(|| Archive::open(&image, site.options())).unwrap();
    assert_eq!(archive.finding(), None);
    assert_eq!(archive.decisions().unwrap(), [decision("the copy of Monday was put back")]);
    assert_eq!(archive.accept(&decision("again")).unwrap_err(), ArchiveError::NothingToAccept);
    append(&archive, 30..35);
    let report = archive.verify().unwrap();
    assert!(report.is_sound(), "{report}");
    assert!(
        report.witness.as_ref().is_some_and(|witness| witness.states == 6 && witness.from_entry == 20),
        "{report:?}"
    );
    drop(archive);
    // What is lost after that is found as before.
    assert_eq!(
        site.found(&site.records()).0,
        Some(WitnessFinding::Behind {
            entries: 25,
            witnessed: 25,
            at: Some(Timestamp::from_seconds(1_700_000_000))
        })
    );
}

#[test]
fn a_line_that_was_not_written_any_more_is_added_at_the_next_start() {
    let site = Site::new();
    append(&site.open(), 0..4);
    let log = site.place().log_file();
    let whole = fs::read_to_string(&log).unwrap();
    let lines: Vec<&str> = whole.lines().collect();
    // Stopped after the commit: without the line, and in the middle of it.
    for left in [lines[..lines.len() - 1].join("\n") + "\n", whole[..whole.len() - 40].to_owned()] {
        fs::write(&log, left).unwrap();
        let archive = site.open();
        assert_eq!((archive.finding(), archive.witness_warning()), (None, None));
        assert_eq!(fs::read_to_string(&log).unwrap(), whole);
    }
}

#[test]
fn a_witness_that_is_gone_or_changed_is_named_and_never_made_anew_in_silence() {
    let site = Site::new();
    append(&site.open(), 0..4);
    let log = site.place().log_file();
    let whole = fs::read(&log).unwrap();
    fs::remove_file(&log).unwrap();
    assert_eq!(site.found(&site.records()).0, Some(WitnessFinding::NoLog(log.clone())));
    assert!(!log.exists());
    fs::write(&log, "").unwrap();
    assert_eq!(site.found(&site.records()).0, Some(WitnessFinding::NoLog(log.clone())), "emptied");
    let mut changed = whole.clone();
    changed[100] ^= 1;
    fs::write(&log, &changed).unwrap();
    let named = WitnessFinding::WitnessChanged { log: log.clone(), line: 1 };
    assert_eq!(site.found(&site.records()).0, Some(named));
    fs::remove_dir_all(site.dir.path().join("outside")).unwrap();
    assert!(matches!(site.found(&site.records()).0, Some(WitnessFinding::NoKey(_))));
    // A person decides, and a new witness begins.
    let archive = site.open();
    archive.accept(&decision("new computer")).unwrap();
    drop(archive);
    let archive = site.open();
    assert_eq!(archive.finding(), None);
    append(&archive, 4..6);
    assert!(archive.verify().unwrap().is_sound());
}

#[test]
fn a_changed_witness_is_put_aside_when_a_person_goes_on() {
    let site = Site::new();
    append(&site.open(), 0..4);
    let log = site.place().log_file();
    let mut changed = fs::read(&log).unwrap();
    changed[100] ^= 1;
    fs::write(&log, &changed).unwrap();
    let archive = site.open();
    archive.accept(&decision("a failing stick")).unwrap();
    drop(archive);
    assert_eq!(site.open().finding(), None);
    let aside: Vec<_> = fs::read_dir(log.parent().unwrap())
        .unwrap()
        .map(|entry| entry.unwrap().path())
        .filter(|path| fs::read(path).unwrap() == changed)
        .collect();
    assert_eq!(aside.len(), 1, "it can still be examined");
}

#[test]
fn a_disk_that_is_unplugged_does_not_stop_the_clinic_and_is_caught_up_with() {
    let site = Site::new();
    let stick = site.dir.path().join("stick");
    let place = WitnessPlace { log: stick.join("witness"), key: site.dir.path().join("key") };
    let options = || Options { witness: Some(place.clone()), ..options() };
    append(&Archive::open(&site.records(), options()).unwrap(), 0..4);
    let away = site.dir.path().join("away");
    fs::rename(&stick, &away).unwrap();
    let archive = patiently(|| Archive::open(&site.records(), options())).unwrap();
    assert_eq!(archive.finding(), None);
    append(&archive, 4..8);
    let warning = archive.witness_warning().unwrap();
    assert!(warning.contains("witness.log"), "{warning}");
    assert!(!stick.exists(), "nothing is made in its place");
    assert!(archive.verify().unwrap().witness.unwrap().warning.is_some());
    fs::rename(&away, &stick).unwrap();
    append(&archive, 8..9);
    assert_eq!(archive.witness_warning(), None);
    drop(archive);
    let archive = patiently(|| Archive::open(&site.records(), options())).unwrap();
    assert_eq!(archive.finding(), None);
    assert!(archive.verify().unwrap().is_sound());
    // What was saved while it was away is sealed too.
    drop(archive);
    raw(&site.records(), "DELETE FROM entries WHERE place = 9; UPDATE sites SET length = 8");
    assert!(Archive::open(&site.records(), options()).unwrap().finding().is_some());
}

#[test]
fn records_that_are_gone_are_not_made_anew() {
    let site = Site::new();
    append(&site.open(), 0..4);
    fs::remove_dir_all(site.records()).unwrap();
    let error = Archive::open(&site.records(), site.options()).map(|_| ()).unwrap_err();
    assert_eq!(error, ArchiveError::RecordsGone { dir: site.records(), entries: 4 });
    assert!(error.to_string().contains("4 entries were saved there"), "{error}");
    assert!(!site.records().join(FILE_NAME).exists());
}

#[test]
fn a_main_file_that_is_gone_is_not_made_anew_beside_its_log() {
    let (_site, image) = twenty_and_five();
    fs::remove_file(image.join(FILE_NAME)).unwrap();
    let error = Archive::open(&image, options()).map(|_| ()).unwrap_err();
    assert_eq!(error, ArchiveError::NoMainFile(image.join(FILE_NAME)));
}

#[test]
fn records_with_a_witness_are_not_written_without_it() {
    let site = Site::new();
    append(&site.open(), 0..2);
    let error = Archive::open(&site.records(), options()).map(|_| ()).unwrap_err();
    assert_eq!(error, ArchiveError::WitnessNotNamed);
    assert!(Archive::open_for_reading(&site.records(), options()).is_ok());
}

#[test]
fn whoever_reads_while_another_writes_finds_nothing() {
    let site = Site::new();
    let archive = site.open();
    append(&archive, 0..1);
    std::thread::scope(|scope| {
        let writer = scope.spawn(|| append(&archive, 1..400));
        let mut looked = 0;
        while !writer.is_finished() || looked < 20 {
            let reading = Archive::open_for_reading(&site.records(), site.options()).unwrap();
            assert_eq!(reading.finding(), None);
            looked += 1;
        }
    });
}

#[test]
fn a_sign_in_adds_no_line() {
    let site = Site::new();
    let archive = site.open();
    account(&archive, "ida");
    let before = fs::read_to_string(site.place().log_file()).unwrap();
    let user = archive.accounts().all().unwrap()[0].id;
    let at = Timestamp::from_seconds(1_700_000_500);
    let session = archive::Session {
        locked_at: None,
        place: None,
        token_hash: [1; 32],
        user,
        csrf_token: "t".into(),
        created_at: at,
        last_used: at,
        expires: Timestamp::from_seconds(1_700_009_000),
    };
    archive.accounts().start_session(session).unwrap();
    assert_eq!(fs::read_to_string(site.place().log_file()).unwrap(), before);
    drop(archive);
    assert_eq!(site.found(&site.records()).0, None);
}
