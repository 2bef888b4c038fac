//! Answers of people who learn to score: on disk before they are acknowledged, once for each case, and sealed.

use crate::{
    common::{id, note, open, options, raw},
    witness::patiently,
};
use archive::{
    Account, Archive, ArchiveError, FILE_NAME, Options, PartlyRead, PhotographPracticeRow, PracticeRow,
    PracticeSaved, WitnessFinding, WitnessPlace, salvage,
};
use record::{Day, EntryId, HalfPoint, Roles, Sign, Timestamp, UserId};
use std::{fs, path::Path};

fn person(number: u128) -> UserId {
    UserId::new(id(number))
}

fn with_people(archive: &Archive) {
    for number in [1, 2] {
        let account = Account {
            id: person(number),
            name: format!("person {number}"),
            display_name: "Sister Invented".into(),
            password_hash: "$argon2 invented".into(),
            created_at: Timestamp::from_seconds(1_700_000_000),
            disabled: false,
            roles: Roles::FIRST,
            one_time_until: None,
            last_sign_in: None,
        };
        archive.accounts().create_account(account).unwrap();
    }
}

/// The answer of a person to the case of this seed; the seeds of the program have 53 bits.
fn answer(form: u128, who: u128, seed: u64) -> PracticeRow {
    PracticeRow {
        form: id(form),
        person: person(who),
        on: Day::new(2025, 3, 4).unwrap(),
        sign: Sign::EmptyHeel,
        seed,
        drawing: 1,
        given: HalfPoint::One,
        reference: HalfPoint::Half,
    }
}

const LARGEST: u64 = (1 << 53) - 1;

#[test]
fn answers_are_read_in_the_order_in_which_they_were_saved_by_their_person_alone() {
    let dir = tempfile::tempdir().unwrap();
    let archive = open(dir.path());
    with_people(&archive);
    let rows = archive.practice();
    let all = [answer(11, 1, LARGEST), answer(12, 2, 5), answer(13, 1, 4)];
    let saved = all.map(|row| rows.add(row).unwrap());
    assert_eq!(saved, [1, 2, 3].map(PracticeSaved::Saved));
    assert_eq!(rows.of(person(1)).unwrap(), [(1, all[0]), (3, all[2])]);
    assert_eq!(rows.of(person(2)).unwrap(), [(2, all[1])]);
    assert_eq!(rows.of(person(3)).unwrap(), []);
}

#[test]
fn a_case_is_answered_once_by_each_person_and_the_first_answer_counts() {
    let dir = tempfile::tempdir().unwrap();
    let archive = open(dir.path());
    with_people(&archive);
    let rows = archive.practice();
    rows.add(answer(11, 1, 7)).unwrap();
    // The same form again, and another form of the same case with another answer.
    assert_eq!(rows.add(answer(11, 1, 7)).unwrap(), PracticeSaved::Before(1, id(11)));
    let changed = PracticeRow { given: HalfPoint::Half, ..answer(12, 1, 7) };
    assert_eq!(rows.add(changed).unwrap(), PracticeSaved::Before(1, id(11)));
    assert_eq!(rows.of(person(1)).unwrap(), [(1, answer(11, 1, 7))]);
    // Another sign, another version of the drawings, another person.
    assert_eq!(
        rows.add(PracticeRow { sign: Sign::TalarHead, ..answer(13, 1, 7) }).unwrap(),
        PracticeSaved::Saved(2)
    );
    assert_eq!(rows.add(PracticeRow { drawing: 2, ..answer(14, 1, 7) }).unwrap(), PracticeSaved::Saved(3));
    assert_eq!(rows.add(answer(15, 2, 7)).unwrap(), PracticeSaved::Saved(4));
    assert_eq!(rows.add(answer(16, 3, 7)).unwrap_err(), ArchiveError::NoAccount);
    assert_eq!(rows.of(person(2)).unwrap().len(), 1);
}

#[test]
fn many_answers_to_one_case_at_once_are_one() {
    let dir = tempfile::tempdir().unwrap();
    let archive = open(dir.path());
    with_people(&archive);
    let rows = archive.practice();
    let saved: Vec<PracticeSaved> = std::thread::scope(|scope| {
        let threads: Vec<_> = (0..8)
            .map(|form| {
                let rows = rows.clone();
                scope.spawn(move || rows.add(answer(20 + form, 1, 7)).unwrap())
            })
            .collect();
        threads.into_iter().map(|thread| thread.join().unwrap()).collect()
    });
    let first = saved.iter().filter(|one| matches!(one, PracticeSaved::Saved(_))).count();
    assert_eq!((first, rows.of(person(1)).unwrap().len()), (1, 1), "{saved:?}");
}

fn on_photograph(who: u128, child: u128, sign: Sign) -> PhotographPracticeRow {
    PhotographPracticeRow {
        person: person(who),
        on: Day::new(2025, 3, 4).unwrap(),
        child: crate::common::child(child),
        photograph: EntryId::new(id(500 + child)),
        sign,
        given: HalfPoint::Zero,
        reference: HalfPoint::One,
    }
}

#[test]
fn a_sign_of_a_child_is_scored_on_one_photograph_and_an_erasure_removes_it() {
    let dir = tempfile::tempdir().unwrap();
    let archive = open(dir.path());
    with_people(&archive);
    let rows = archive.practice();
    let entries = [
        note(crate::common::child(1), "2024-01-01", "one"),
        note(crate::common::child(2), "2024-01-01", "two"),
    ];
    let erased = entries[0].id;
    archive.append(entries.to_vec()).unwrap();
    let [sole, other_child, behind] = [
        on_photograph(1, 1, Sign::MedialCrease),
        on_photograph(1, 2, Sign::MedialCrease),
        on_photograph(1, 2, Sign::PosteriorCrease),
    ];
    for row in [sole, other_child, behind, on_photograph(2, 1, Sign::MedialCrease)] {
        rows.add_on_photograph(row).unwrap();
    }
    // Another photograph of the child, and another answer.
    let again = PhotographPracticeRow { photograph: EntryId::new(id(9)), given: HalfPoint::One, ..sole };
    rows.add_on_photograph(again).unwrap();
    assert_eq!(rows.on_photographs(person(1)).unwrap(), [sole, other_child, behind]);
    assert_eq!(rows.of(person(1)).unwrap(), [], "counted apart from drawn feet");
    archive.erase(erased, "asked for", person(2), Timestamp::from_seconds(1_800_000_000)).unwrap();
    assert_eq!(rows.on_photographs(person(1)).unwrap(), [other_child, behind]);
    assert_eq!(rows.on_photographs(person(2)).unwrap(), []);
}

/// The files as they are on the disk at this moment, as after the program was killed.
fn image(of: &Path, to: &Path) {
    fs::create_dir_all(to).unwrap();
    for file in [FILE_NAME.to_owned(), format!("{FILE_NAME}-wal")] {
        if of.join(&file).exists() {
            fs::copy(of.join(&file), to.join(&file)).unwrap();
        }
    }
}

#[test]
fn an_acknowledged_answer_is_there_after_the_program_was_killed() {
    let dir = tempfile::tempdir().unwrap();
    let (records, killed) = (dir.path().join("records"), dir.path().join("killed"));
    let archive = open(&records);
    with_people(&archive);
    archive.practice().add(answer(11, 1, 7)).unwrap();
    image(&records, &killed);
    drop(archive);
    let again = open(&killed);
    assert_eq!(again.practice().of(person(1)).unwrap(), [(1, answer(11, 1, 7))]);
    assert!(again.verify().unwrap().is_sound());
}

#[test]
fn an_answer_that_was_changed_outside_the_program_is_found() {
    let dir = tempfile::tempdir().unwrap();
    let records = dir.path().join("records");
    let with =
        || Options { witness: Some(WitnessPlace::in_folder(&dir.path().join("outside"))), ..options() };
    let started = || patiently(|| Archive::open(&records, with())).unwrap();
    let archive = started();
    with_people(&archive);
    archive.practice().add(answer(11, 1, 7)).unwrap();
    drop(archive);
    assert_eq!(started().finding(), None);
    raw(&records).execute_batch("UPDATE practice_answers SET given = reference").unwrap();
    assert_eq!(started().finding(), Some(&WitnessFinding::RestChanged));
}

#[test]
fn a_salvage_copies_the_answers() {
    let dir = tempfile::tempdir().unwrap();
    let (records, into) = (dir.path().join("records"), dir.path().join("salvaged"));
    let archive = open(&records);
    with_people(&archive);
    archive.practice().add(answer(11, 1, LARGEST)).unwrap();
    drop(archive);
    let told = salvage(&records, &into, PartlyRead::Write, None, crate::key().as_ref()).unwrap();
    assert!(told.is_whole(), "{told:?}");
    assert_eq!(open(&into).practice().of(person(1)).unwrap(), [(1, answer(11, 1, LARGEST))]);
}
