//! Undoing an import withdraws what it brought and keeps what was changed since.

use clinic::{ArchiveError, ClinicRecords, KeptReason, NewImport, RecordsOptions, UndoStamp, plan_import};
use exchange::{Report, Stamp, guess, read_table};
use guidance::Protocol;
use record::{
    Assessment, Body, Correction, Day, Entry, EntryId, ImportId, Kind, Note, SiteId, Timestamp, UserId,
    Withdrawal,
};
use std::{fmt::Write as _, sync::Arc};
use tempfile::TempDir;
use uuid::Uuid;

const FILE: &str = "Hosp No,Name,DOB,Date,Side,Total,Done\n\
    1,Ole By,2024-01-05,2024-02-01,R,5,cast\n\
    1,Ole By,2024-01-05,2024-02-08,R,4,cast\n\
    2,Ida Moe,2024-01-09,2024-02-01,L,6,cast\n";

struct Clinic {
    records: ClinicRecords,
    imports: u128,
    _dir: TempDir,
}

fn stamp() -> Stamp {
    let at: Timestamp = "2025-06-02T12:00:00Z".parse().unwrap();
    Stamp {
        at,
        today: "2025-06-02".parse().unwrap(),
        by: UserId::new(Uuid::from_u128(1)),
        site: SiteId::new(Uuid::from_u128(2)),
    }
}

impl Clinic {
    fn new() -> Self {
        let dir = tempfile::tempdir().unwrap();
        let protocol = Arc::new(Protocol::built_in());
        let records = ClinicRecords::open(dir.path(), protocol, RecordsOptions::default()).unwrap();
        Self { records, imports: 0, _dir: dir }
    }

    fn import(&mut self, text: &str) -> (ImportId, Report) {
        self.imports += 1;
        let table = read_table(text.as_bytes(), "visits.csv", None).unwrap();
        let (archive, map) = (&self.records, guess(&table));
        let first = Uuid::from_u128(self.imports << 64);
        let plan = plan_import(Some(archive), (&table, &map), &stamp(), first, &mut |_| {}).unwrap();
        let id = ImportId::new(Uuid::from_u128(self.imports));
        let about = NewImport { id, file: "visits.csv".into(), by: stamp().by, at: stamp().at };
        self.records.import_file(plan.entries, about, &mut |_| {}).unwrap();
        (id, plan.report)
    }

    fn undo(&self, id: ImportId) -> clinic::UndoPlan {
        let Stamp { at, today, by, site } = stamp();
        let stamp = UndoStamp { on: today, at, by, site, reason: "wrong file".into() };
        self.records.undo_import(id, &stamp, Uuid::now_v7(), &mut |_| {}).unwrap()
    }

    /// Writes an entry about the same child as another, by hand.
    fn write(&self, about: &Entry, body: impl Into<Body>, follows: Option<EntryId>) {
        let at: Timestamp = "2025-06-03T12:00:00Z".parse().unwrap();
        let id = EntryId::new(Uuid::now_v7());
        let entry = Entry { id, body: body.into(), at, on: at.day(), follows, ..about.clone() };
        self.records.append(vec![entry]).unwrap();
    }

    fn imported(&self, id: ImportId, kind: Kind) -> Vec<Entry> {
        let entries = self.records.entries_of_import(id).unwrap();
        entries.into_iter().filter(|entry| entry.kind() == kind).collect()
    }
}

#[test]
fn nothing_of_an_untouched_import_holds_afterwards_and_the_file_can_come_again() {
    let mut clinic = Clinic::new();
    let (id, first) = clinic.import(FILE);
    assert_eq!((first.children, clinic.records.children_count().unwrap()), (2, 2));
    let plan = clinic.undo(id);
    assert_eq!((plan.withdrawn.len(), plan.kept.len(), plan.children_gone), (first.entries, 0, 2));
    let archive = &clinic.records;
    assert_eq!(archive.children_count().unwrap(), 0);
    assert_eq!(archive.search("Ole By", 10).unwrap(), Vec::new());
    assert_eq!(archive.entries_count().unwrap(), 2 * first.entries, "every entry stays readable");
    assert!(archive.verify().unwrap().is_sound());
    let child = plan.withdrawn[0].child;
    let record = clinic.records.child(child, Day::LAST).unwrap().unwrap();
    assert_eq!(record.outlook.course.feet.len(), 0);
    let again = clinic.records.plan_undo(id).unwrap_err();
    assert_eq!(again, ArchiveError::AlreadyUndone(id));
    let (_, second) = clinic.import(FILE);
    assert_eq!((second.entries, second.dispositions), (first.entries, first.dispositions));
}

#[test]
fn what_was_corrected_or_followed_since_is_kept_with_the_registration() {
    let mut clinic = Clinic::new();
    let (id, report) = clinic.import(FILE);
    let scores = clinic.imported(id, Kind::Assessment);
    let (corrected, followed, other) = (&scores[0], &scores[1], &scores[2]);
    let Body::Assessment(body) = corrected.body.clone() else { panic!("{corrected:?}") };
    let body = Assessment { abduction_deg: Some(20), ..body };
    let correction =
        Correction { entry: corrected.id, body: Box::new(body.into()), on: None, reason: "misread".into() };
    clinic.write(corrected, correction, Some(corrected.id));
    clinic.write(followed, Note { text: "looked at again".into() }, Some(followed.id));
    let plan = clinic.undo(id);
    let kept: Vec<_> = plan.kept.iter().map(|kept| (kept.kind, kept.why)).collect();
    assert_eq!(
        kept,
        [
            (Kind::Assessment, KeptReason::Corrected),
            (Kind::Assessment, KeptReason::Followed),
            (Kind::Registration, KeptReason::ChildHasEntries)
        ]
    );
    assert_eq!(plan.withdrawn.len(), report.entries - 3);
    assert_eq!(plan.children_gone, 1);
    assert!(plan.withdrawn.iter().any(|entry| entry.id == other.id));
    let archive = &clinic.records;
    assert_eq!(archive.children_count().unwrap(), 1);
    assert_eq!(archive.search("Ole By", 10).unwrap().len(), 1);
}

#[test]
fn a_child_seen_since_stays_registered_and_what_was_withdrawn_is_not_withdrawn_again() {
    let mut clinic = Clinic::new();
    let (id, report) = clinic.import(FILE);
    let scores = clinic.imported(id, Kind::Assessment);
    clinic.write(&scores[0], Note { text: "seen today".into() }, None);
    clinic.write(
        &scores[2],
        Withdrawal { entry: scores[2].id, reason: "other child".into() },
        Some(scores[2].id),
    );
    let plan = clinic.records.plan_undo(id).unwrap();
    assert_eq!(plan.kept.iter().map(|kept| kept.why).collect::<Vec<_>>(), [KeptReason::ChildHasEntries]);
    assert_eq!((plan.withdrawn_before, plan.withdrawn.len()), (1, report.entries - 2));
    assert_eq!(plan.children_gone, 1);
}

/// Someone corrects entries while the import is undone: each entry is either kept with its correction or
/// withdrawn before anybody corrected it.
#[test]
fn a_correction_saved_in_the_moment_of_the_undo_is_kept() {
    let mut text = "Hosp No,Name,DOB,Date,Side,Total,Done\n".to_owned();
    for row in 0..400 {
        let (child, month) = (row / 4, row % 4 + 2);
        let _ = writeln!(text, "{child},Ole By{child},2024-01-05,2024-{month:02}-01,R,{},cast", 6 - row % 4);
    }
    let mut clinic = Clinic::new();
    let (id, _) = clinic.import(&text);
    let scores = clinic.imported(id, Kind::Assessment);
    let correct = |score: &Entry| {
        let Body::Assessment(body) = score.body.clone() else { panic!("{score:?}") };
        let body = Box::new(Assessment { abduction_deg: Some(20), ..body }.into());
        let correction = Correction { entry: score.id, body, on: None, reason: "misread".into() };
        clinic.write(score, correction, Some(score.id));
    };
    let plan = std::thread::scope(|scope| {
        scope.spawn(|| {
            for score in scores.iter().step_by(40) {
                correct(score);
                std::thread::sleep(std::time::Duration::from_millis(10));
            }
        });
        clinic.undo(id)
    });
    let mut corrected_first = 0;
    for score in &scores {
        let entries = clinic.records.entries(score.child).unwrap();
        let place = |of: &dyn Fn(&Body) -> bool| entries.iter().position(|entry| of(&entry.body));
        let corrected = place(&|body| matches!(body, Body::Correction(c) if c.entry == score.id));
        let withdrawn = place(&|body| matches!(body, Body::Withdrawal(w) if w.entry == score.id));
        let kept = plan.kept.iter().any(|kept| kept.entry == score.id && kept.why == KeptReason::Corrected);
        assert_eq!(kept, withdrawn.is_none(), "{score:?}");
        assert!(withdrawn.is_none_or(|at| corrected.is_none_or(|correction| at < correction)), "{score:?}");
        corrected_first += usize::from(kept);
    }
    println!("{corrected_first} of 10 corrections came before the undo");
}

/// What a person withdrew stays away when the file comes again, also after an undone import of it.
#[test]
fn what_a_person_withdrew_does_not_come_back_with_the_file() {
    let mut clinic = Clinic::new();
    let (id, _) = clinic.import(FILE);
    let scores = clinic.imported(id, Kind::Assessment);
    clinic.write(
        &scores[0],
        Withdrawal { entry: scores[0].id, reason: "wrong foot".into() },
        Some(scores[0].id),
    );
    let (_, again) = clinic.import(FILE);
    assert_eq!(again.entries, 0);
}

/// An import into a known child is undone without touching what was there.
#[test]
fn a_second_import_is_undone_without_the_first() {
    let mut clinic = Clinic::new();
    let (_, first) = clinic.import(FILE);
    let (id, second) = clinic.import(&format!("{FILE}1,Ole By,2024-01-05,2024-02-15,R,3,cast\n"));
    assert_eq!(second.entries, 2);
    let plan = clinic.undo(id);
    assert_eq!((plan.withdrawn.len(), plan.kept.len(), plan.children_gone), (2, 0, 0));
    let (_, third) = clinic.import(FILE);
    assert_eq!((third.entries, third.dispositions.duplicate), (0, first.rows));
}

/// The clinic's midnight is not that of UTC: what is undone late in the evening has the day of the clinic.
#[test]
fn an_undo_has_the_day_of_the_clinic_and_not_that_of_utc() {
    let mut clinic = Clinic::new();
    let (id, _) = clinic.import(FILE);
    let Stamp { at, by, site, .. } = stamp();
    let on: Day = "2025-06-03".parse().unwrap();
    let stamp = UndoStamp { on, at, by, site, reason: "wrong file".into() };
    let plan = clinic.records.undo_import(id, &stamp, Uuid::now_v7(), &mut |_| {}).unwrap();
    let child = plan.withdrawn.first().unwrap().child;
    let entries = clinic.records.entries(child).unwrap();
    let withdrawals: Vec<_> =
        entries.iter().filter(|entry| matches!(entry.body, Body::Withdrawal(_))).collect();
    assert!(!withdrawals.is_empty() && withdrawals.iter().all(|entry| entry.on == on && entry.at == at));
}
