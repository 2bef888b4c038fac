//! A wrong key, a missing one, a file that is not encrypted: a sentence each, and nothing is changed.

use crate::common::{child, note, open, options, raw, registration};
use archive::{
    Archive, ArchiveError, DatabaseKey, FILE_NAME, KeptSize, NewPicture, NewVideo, Options, PICTURES_FILE,
    PartlyRead, Pictures, WithheldPictures, salvage, write_with_key,
};
use std::{fs, path::Path};

fn refusal(dir: &Path, key: Option<DatabaseKey>) -> ArchiveError {
    let with = || Options { key: key.clone(), ..options() };
    let before = fs::read(dir.join(FILE_NAME)).unwrap();
    let writing = Archive::open(dir, with()).map(|_| ()).unwrap_err();
    let reading = Archive::open_for_reading(dir, with()).map(|_| ()).unwrap_err();
    assert_eq!(writing, reading);
    let to = tempfile::tempdir().unwrap();
    if key.is_some() {
        let salvaged = salvage(dir, &to.path().join("new"), PartlyRead::Write, None, key.as_ref());
        assert_eq!(salvaged.unwrap_err(), writing);
    }
    assert_eq!(fs::read(dir.join(FILE_NAME)).unwrap(), before, "nothing is changed");
    writing
}

fn some_records(dir: &Path, key: Option<DatabaseKey>) {
    let archive = Archive::open(dir, Options { key, ..options() }).unwrap();
    for number in 0..30 {
        let entry = registration(child(number), "Quillon", "Zorzabel", &format!("N-{number}"), None);
        archive.append(vec![entry, note(child(number), "2024-01-02", "plaster changed")]).unwrap();
    }
}

#[test]
fn a_wrong_key_is_not_taken_for_damage() {
    let dir = tempfile::tempdir().unwrap();
    some_records(dir.path(), crate::key());
    let error = refusal(dir.path(), Some(DatabaseKey::new(&[1; 32])));
    assert_eq!(error, ArchiveError::OtherKey(dir.path().join(FILE_NAME)));
    assert!(error.to_string().contains("another key") && !error.to_string().contains("damaged"), "{error}");
    assert!(open(dir.path()).verify().unwrap().is_sound());
}

#[test]
fn encrypted_records_without_a_key_are_refused() {
    let dir = tempfile::tempdir().unwrap();
    some_records(dir.path(), crate::key());
    let error = refusal(dir.path(), None);
    assert!(error.to_string().contains("key-slots.json"), "{error}");
}

#[test]
fn plain_records_are_not_opened_with_a_key() {
    let dir = tempfile::tempdir().unwrap();
    some_records(dir.path(), None);
    assert_eq!(refusal(dir.path(), crate::key()), ArchiveError::NotEncrypted(dir.path().join(FILE_NAME)));
}

#[test]
fn damage_of_the_first_page_is_not_taken_for_a_wrong_key() {
    for from in [0, 16, 2_000] {
        let dir = tempfile::tempdir().unwrap();
        some_records(dir.path(), crate::key());
        let path = dir.path().join(FILE_NAME);
        let mut bytes = fs::read(&path).unwrap();
        bytes[from..4_096].fill(0xA5);
        fs::write(&path, bytes).unwrap();
        let error = Archive::open(dir.path(), options()).map(|_| ()).unwrap_err();
        assert!(matches!(error, ArchiveError::Damaged(_)), "{from}: {error}");
        let to = tempfile::tempdir().unwrap();
        let new = to.path().join("new");
        let told = salvage(dir.path(), &new, PartlyRead::Write, None, crate::key().as_ref()).unwrap();
        assert_eq!(told.entries, 60, "{from}: {told:?}");
        assert!(open(&new).verify().unwrap().is_sound());
    }
}

#[test]
fn no_word_of_the_records_is_in_the_files() {
    let dir = tempfile::tempdir().unwrap();
    some_records(dir.path(), crate::key());
    let archive = open(dir.path());
    let log = archive.access_log(record::Timestamp::from_seconds(1_700_000_000)).unwrap();
    archive.back_up(&dir.path().join("copy.sqlite")).unwrap();
    fs::create_dir(dir.path().join("log")).unwrap();
    log.copy_to(&dir.path().join("log")).unwrap();
    archive.append(vec![note(child(1), "2024-01-03", "Zorzabel again")]).unwrap();
    let mut looked_at = 0;
    for file in fs::read_dir(dir.path()).unwrap().chain(fs::read_dir(dir.path().join("log")).unwrap()) {
        let path = file.unwrap().path();
        if path.is_dir() {
            continue;
        }
        let bytes = fs::read(&path).unwrap();
        looked_at += usize::from(bytes.len() > 4_000);
        for word in ["Zorzabel", "zorzabel", "Quillon", "plaster", "N-17", "CREATE TABLE", "SQLite format"] {
            let found = bytes.windows(word.len()).any(|here| here == word.as_bytes());
            assert!(!found || path.ends_with("records.sqlite-shm"), "{word} in {}", path.display());
        }
    }
    assert!(looked_at >= 5, "{looked_at}");
}

/// The same records plain, encrypted, and encrypted with another key.
#[test]
fn records_written_with_another_key_are_the_same_records() {
    let dir = tempfile::tempdir().unwrap();
    let at = |name: &str| dir.path().join(name).join(FILE_NAME);
    some_records(&dir.path().join("plain"), None);
    let (one, two) = (crate::key().unwrap(), DatabaseKey::new(&[9; 32]));
    for name in ["one", "two"] {
        fs::create_dir(dir.path().join(name)).unwrap();
    }
    write_with_key((&at("plain"), None), &at("one"), &one).unwrap();
    write_with_key((&at("one"), Some(&one)), &at("two"), &two).unwrap();
    let mark = |name: &str, key: Option<DatabaseKey>| {
        let archive = Archive::open(&dir.path().join(name), Options { key, ..options() }).unwrap();
        let report = archive.verify().unwrap();
        assert!(report.is_sound() && report.summaries_compared, "{report}");
        (report.entries, report.mark.unwrap(), archive.search("Zorzabel", 50).unwrap().len())
    };
    let plain = mark("plain", None);
    assert_eq!(plain, mark("one", Some(one.clone())));
    assert_eq!(plain, mark("two", Some(two)));
    assert_eq!(
        write_with_key((&at("plain"), None), &at("one"), &one).unwrap_err(),
        ArchiveError::Exists(at("one"))
    );
    let id: i64 =
        raw(&dir.path().join("one")).pragma_query_value(None, "application_id", |row| row.get(0)).unwrap();
    assert_eq!(id, 0x506c_4772);
}

/// Plain pictures, encrypted, and encrypted with another key, with what waits and what is withheld.
#[test]
fn pictures_written_with_another_key_are_the_same_pictures() {
    let dir = tempfile::tempdir().unwrap();
    let folder = |name: &str| {
        let folder = dir.path().join(name);
        fs::create_dir(&folder).unwrap();
        folder
    };
    let (plain, one, two) = (folder("plain"), folder("one"), folder("two"));
    let new = |seed: u8| NewPicture { picture: vec![seed; 70_000], thumbnail: vec![seed + 100; 5_000] };
    let at = record::Timestamp::from_seconds(1_700_000_000);
    let kept = Pictures::beside(&plain, None);
    // Nothing is written where nothing is kept.
    kept.write_with_key(&one, &crate::key().unwrap()).unwrap();
    assert!(!one.join(PICTURES_FILE).exists());
    kept.keep(at, &[new(1), new(2)]).unwrap();
    let withheld = [WithheldPictures { child: child(1), at }];
    kept.withhold(&withheld).unwrap();
    let film = NewVideo { bytes: vec![7; 600_000], format: "video/mp4".into() };
    kept.videos().keep(at, &film).unwrap();
    kept.videos().withhold(&withheld).unwrap();
    kept.write_with_key(&one, &crate::key().unwrap()).unwrap();
    let other = DatabaseKey::new(&[9; 32]);
    Pictures::beside(&one, crate::key().as_ref()).write_with_key(&two, &other).unwrap();
    for (folder, key) in [(&one, crate::key().unwrap()), (&two, other)] {
        let written = Pictures::beside(folder, Some(&key));
        assert_eq!(written.hashes().unwrap(), kept.hashes().unwrap());
        assert_eq!(written.withheld().unwrap(), withheld);
        let read = written.read(new(2).hash(), KeptSize::Thumbnail).unwrap();
        assert_eq!(read, Some(new(2).thumbnail));
        assert_eq!(written.videos().check(film.hash()), Ok(()));
        assert_eq!(written.videos().withheld().unwrap(), withheld);
        let bytes = fs::read(folder.join(PICTURES_FILE)).unwrap();
        assert!(!bytes.windows(32).any(|part| part == [1; 32] || part == [102; 32] || part == [7; 32]));
        assert!(Pictures::beside(folder, None).hashes().is_err(), "without the key nothing opens");
    }
}
