//! Writing, reading and damaging the file of a backup.

use backups::{
    BackupError, BackupFile, BackupHeader, BackupSource, KnownErasure, KnownWithdrawal, Manifest, clinic_id,
    erasure_list_name, has_other_erasure_list, list, read_erasure_list, read_withdrawal_list,
    withdrawal_list_name, write, write_erasure_list, write_withdrawal_list,
};
use record::{ConsentMatter, EntryId, SiteId, Timestamp, UserId};
use safekeeping::{KeySlots, RecordsKey};
use std::{
    fs,
    io::Read,
    path::{Path, PathBuf},
};
use tempfile::TempDir;

const NAME: &str = "Amara Testchild";

pub fn site() -> SiteId {
    "01907e2a-0000-7000-8000-0000000000a1".parse().unwrap()
}

pub fn at(seconds: i64) -> Timestamp {
    Timestamp::from_seconds(1_741_003_200 + seconds)
}

pub struct Place {
    pub dir: TempDir,
    pub key: RecordsKey,
}

impl Place {
    pub fn new() -> Self {
        let dir = tempfile::tempdir().unwrap();
        fs::create_dir(dir.path().join("stick")).unwrap();
        fs::create_dir(dir.path().join("data")).unwrap();
        fs::write(dir.path().join("data/records.sqlite"), format!("{NAME} {}", "x".repeat(200_000))).unwrap();
        fs::write(dir.path().join("data/clinic.toml"), "name = \"Hillside\"\n").unwrap();
        Self { dir, key: RecordsKey::new() }
    }

    pub fn stick(&self) -> PathBuf {
        self.dir.path().join("stick")
    }

    pub fn sources(&self) -> Vec<BackupSource> {
        let of = |name: &str, file: &str| BackupSource {
            name: name.to_owned(),
            path: self.dir.path().join("data").join(file),
        };
        vec![of("records.sqlite", "records.sqlite"), of("sheet-maps/a.toml", "clinic.toml")]
    }

    fn made(&self, moment: Timestamp) -> PathBuf {
        let header = BackupHeader::new(moment, site(), 12, 13, KeySlots::new(&self.key));
        write(&self.stick(), &header, manifest(moment), &self.key, &self.sources()).unwrap().finish().unwrap()
    }
}

pub fn manifest(at: Timestamp) -> Manifest {
    Manifest {
        header: String::new(),
        program: "0.1.0".into(),
        at,
        records_encrypted: false,
        entries: 12,
        children: 3,
        mark: "0a1b2c3d".into(),
        sites: Vec::new(),
        witness: None,
        written: None,
        files: Vec::new(),
        pieces: Vec::new(),
    }
}

fn extracted(file: &Path, key: &RecordsKey) -> Result<TempDir, BackupError> {
    let to = tempfile::tempdir().unwrap();
    BackupFile::open(file)?.unlock(key)?.extract(to.path())?;
    Ok(to)
}

#[test]
fn a_backup_is_one_file_that_gives_back_every_byte_and_shows_none() {
    let place = Place::new();
    let file = place.made(at(0));
    assert_eq!(
        file.file_name().unwrap().to_str().unwrap(),
        format!("plantigrade-{}-2025-03-03T120000Z.backup", clinic_id(site()))
    );
    let bytes = fs::read(&file).unwrap();
    let found = |text: &[u8]| bytes.windows(text.len()).any(|part| part == text);
    assert!(!found(NAME.as_bytes()) && !found(b"Hillside") && !found(b"0a1b2c3d"));
    let to = extracted(&file, &place.key).unwrap();
    for (name, from) in [("records.sqlite", "records.sqlite"), ("sheet-maps/a.toml", "clinic.toml")] {
        let original = fs::read(place.dir.path().join("data").join(from)).unwrap();
        assert_eq!(fs::read(to.path().join(name)).unwrap(), original, "{name}");
    }
    assert_eq!(fs::read_dir(place.stick()).unwrap().count(), 1, "nothing unfinished is left");
    #[cfg(unix)]
    for path in [file, to.path().join("records.sqlite")] {
        use std::os::unix::fs::PermissionsExt;
        assert_eq!(fs::metadata(&path).unwrap().permissions().mode() & 0o777, 0o600, "{path:?}");
    }
    let other =
        extracted(&list(&place.stick(), None).unwrap()[0].file.as_ref().unwrap().path, &RecordsKey::new());
    assert!(matches!(other.unwrap_err(), BackupError::WrongKey(_)));
}

/// The first line apart, a backup is an age file (age-encryption.org/v1): the library alone opens it.
#[test]
fn behind_the_first_line_it_is_a_file_of_the_age_format() {
    let place = Place::new();
    let bytes = fs::read(place.made(at(0))).unwrap();
    let line = bytes.iter().position(|byte| *byte == b'\n').unwrap();
    assert!(bytes[line + 1..].starts_with(b"age-encryption.org/v1\n-> X25519 "));
    let identity = place.key.backup_identity().unwrap();
    let decryptor = age::Decryptor::new(&bytes[line + 1..]).unwrap();
    let mut text = Vec::new();
    let identities = std::iter::once(&identity as &dyn age::Identity);
    decryptor.decrypt(identities).unwrap().read_to_end(&mut text).unwrap();
    assert!(text.windows(NAME.len()).any(|part| part == NAME.as_bytes()));
}

#[test]
fn a_changed_byte_anywhere_and_a_cut_anywhere_are_found() {
    let place = Place::new();
    let file = place.made(at(0));
    let whole = fs::read(&file).unwrap();
    let places = (0..400).chain((400..whole.len()).step_by(1_013)).chain(whole.len() - 3..whole.len());
    for at in places {
        let mut changed = whole.clone();
        changed[at] ^= 1;
        fs::write(&file, &changed).unwrap();
        assert!(extracted(&file, &place.key).is_err(), "byte {at}");
    }
    for length in (0..whole.len()).step_by(2_011).chain([whole.len() - 1]) {
        fs::write(&file, &whole[..length]).unwrap();
        assert!(extracted(&file, &place.key).is_err(), "cut at {length}");
    }
    fs::write(&file, [whole.as_slice(), b"x"].concat()).unwrap();
    assert!(extracted(&file, &place.key).is_err(), "something added");
    fs::write(&file, &whole).unwrap();
    assert!(extracted(&file, &place.key).is_ok());
}

#[test]
fn a_header_of_another_backup_is_not_taken() {
    let place = Place::new();
    let (one, two) = (fs::read(place.made(at(0))).unwrap(), fs::read(place.made(at(60))).unwrap());
    let line = |bytes: &[u8]| bytes.iter().position(|byte| *byte == b'\n').unwrap() + 1;
    let mixed = [&one[..line(&one)], &two[line(&two)..]].concat();
    let file = place.stick().join("mixed.backup");
    fs::write(&file, mixed).unwrap();
    let refused = extracted(&file, &place.key).unwrap_err();
    assert!(refused.to_string().contains("first line was changed"), "{refused}");
    let later = String::from_utf8_lossy(&one[..line(&one)])
        .replace("\"plantigrade_backup\":1", "\"plantigrade_backup\":3");
    fs::write(&file, later).unwrap();
    assert!(matches!(BackupFile::open(&file), Err(BackupError::Newer(_))));
}

#[test]
fn the_list_has_the_own_backups_newest_first_and_only_they_can_be_removed() {
    let place = Place::new();
    let (old, new) = (place.made(at(0)), place.made(at(86_400)));
    fs::write(place.stick().join("holiday.backup"), "photos").unwrap();
    fs::write(place.stick().join("plantigrade-notes.txt"), "notes").unwrap();
    fs::write(place.stick().join(format!("plantigrade-{}-x.backup", clinic_id(site()))), "damaged").unwrap();
    let found = list(&place.stick(), Some(&clinic_id(site()))).unwrap();
    let paths: Vec<Option<&PathBuf>> =
        found.iter().map(|found| found.file.as_ref().ok().map(|file| &file.path)).collect();
    assert_eq!(paths, [Some(&new), Some(&old), None]);
    assert_eq!(list(&place.stick(), Some("00000000")).unwrap(), []);
    let of_old = found[1].file.clone().unwrap();
    of_old.remove().unwrap();
    assert!(!old.exists());
    // In its place lies something else by now.
    let of_new = found[0].file.clone().unwrap();
    fs::write(&new, "something else").unwrap();
    assert!(of_new.remove().is_err() && new.exists());
    assert!(matches!(list(&place.dir.path().join("away"), None), Err(BackupError::Away(_))));
}

#[test]
fn what_is_not_finished_is_no_backup_and_is_deleted() {
    let place = Place::new();
    let header = BackupHeader::new(at(0), site(), 12, 13, KeySlots::new(&place.key));
    let unfinished = write(&place.stick(), &header, manifest(at(0)), &place.key, &place.sources()).unwrap();
    assert_eq!(list(&place.stick(), None).unwrap(), [], "under its temporary name");
    assert!(extracted(unfinished.path(), &place.key).is_ok(), "it can be read back before");
    drop(unfinished);
    assert_eq!(fs::read_dir(place.stick()).unwrap().count(), 0);
    let nowhere = write(&place.dir.path().join("away"), &header, manifest(at(0)), &place.key, &[]);
    assert!(matches!(nowhere, Err(BackupError::Away(_))));
}

#[test]
fn the_list_of_erasures_grows_and_opens_with_its_key_only() {
    let place = Place::new();
    let clinic = clinic_id(site());
    let erasure = |n: u8| KnownErasure {
        entry: format!("01907e2a-0000-7000-8000-0000000000{n:02x}").parse::<EntryId>().unwrap(),
        by: "01907e2a-0000-7000-8000-0000000000b1".parse::<UserId>().unwrap(),
        at: at(i64::from(n)),
        reason: "asked for by the family".into(),
    };
    assert_eq!(read_erasure_list(&place.stick(), &clinic, &place.key).unwrap(), None);
    write_erasure_list(&place.stick(), &clinic, &place.key, &[erasure(1)]).unwrap();
    // From records that were restored and know of another one only.
    let file = write_erasure_list(&place.stick(), &clinic, &place.key, &[erasure(2)]).unwrap();
    let read = read_erasure_list(&place.stick(), &clinic, &place.key).unwrap().unwrap();
    assert_eq!(read, [erasure(1), erasure(2)]);
    assert!(!String::from_utf8_lossy(&fs::read(&file).unwrap()).contains("family"));
    assert_eq!(file.file_name().unwrap().to_str().unwrap(), erasure_list_name(&clinic, &place.key));
    // With another key there is another list, which does not disturb this one.
    let other = RecordsKey::new();
    assert_eq!(read_erasure_list(&place.stick(), &clinic, &other).unwrap(), None);
    assert!(has_other_erasure_list(&place.stick(), &clinic, &other));
    assert!(!has_other_erasure_list(&place.stick(), &clinic, &place.key));
    fs::copy(&file, place.stick().join(erasure_list_name(&clinic, &other))).unwrap();
    assert!(read_erasure_list(&place.stick(), &clinic, &other).is_err());
}

#[test]
fn the_list_of_consents_taken_back_keeps_the_latest_of_each_child() {
    let place = Place::new();
    let clinic = clinic_id(site());
    let taken_back = |child: u8, second: i64| KnownWithdrawal {
        child: format!("01907e2a-0000-7000-8000-0000000000{child:02x}").parse().unwrap(),
        at: at(second),
        matter: ConsentMatter::Photographs,
    };
    let write = |list: &[KnownWithdrawal]| write_withdrawal_list(&place.stick(), &clinic, &place.key, list);
    assert_eq!(write(&[]).unwrap(), None, "nothing is written where nobody took anything back");
    let file = write(&[taken_back(1, 5), taken_back(2, 6)]).unwrap().unwrap();
    assert_eq!(file.file_name().unwrap().to_str().unwrap(), withdrawal_list_name(&clinic, &place.key));
    // From restored records that know of an earlier one only.
    write(&[taken_back(1, 3), taken_back(3, 9)]).unwrap();
    write(&[taken_back(2, 8)]).unwrap();
    let read = |key| read_withdrawal_list(&place.stick(), &clinic, key);
    assert_eq!(read(&place.key).unwrap().unwrap(), [taken_back(1, 5), taken_back(2, 8), taken_back(3, 9)]);
    // A consent to videos is another one.
    let video = KnownWithdrawal { matter: ConsentMatter::Videos, ..taken_back(1, 2) };
    write(&[video]).unwrap();
    assert_eq!(
        read(&place.key).unwrap().unwrap(),
        [taken_back(1, 5), taken_back(2, 8), taken_back(3, 9), video]
    );
    let other = RecordsKey::new();
    fs::copy(&file, place.stick().join(withdrawal_list_name(&clinic, &other))).unwrap();
    assert!(read(&other).is_err(), "a list under another key is not opened");
}
