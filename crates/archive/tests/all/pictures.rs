//! Kept pictures: durable, whole or not at all, gone when no entry names them, and withheld after a restore.

use crate::common::{child, entry, id, open, options, someone};
use archive::{
    Archive, ArchiveError, ArrivingFile, DecisionKind, FILE_NAME, KeptSize, NewErasureRequest, NewPicture,
    PICTURES_FILE, PictureCheck, Pictures, RecordsDecision, RestoreOrder, WaitingPicture, WithheldPictures,
    make_restored,
};
use record::{Entry, Photograph, PhotographView, PictureHash, Sides, Timestamp, UserId};
use std::{collections::HashSet, fs, path::Path};

fn at(seconds: i64) -> Timestamp {
    Timestamp::from_seconds(1_700_000_000 + seconds)
}

fn pictures(dir: &Path) -> Pictures {
    Pictures::beside(dir, crate::key().as_ref())
}

/// Bytes in which no sixteen are twice, so that a trace of one picture is no trace of another. Nobody here unpacks them.
pub fn picture(seed: u64, length: usize) -> NewPicture {
    let stream = |salt: u64, length: usize| {
        let mut bytes = Vec::new();
        let mut counter = 0u64;
        while bytes.len() < length {
            let word = (seed << 32 | salt << 24 | counter).wrapping_mul(0x9e37_79b9_7f4a_7c15);
            bytes.extend(word.to_le_bytes());
            counter += 1;
        }
        bytes.truncate(length);
        bytes
    };
    NewPicture { picture: stream(1, length), thumbnail: stream(2, 9_000) }
}

fn photograph(of: u128, new: &NewPicture) -> Entry {
    let body = Photograph::of(Sides::Left, PhotographView::Sole, new.hash(), 1500, 2000);
    entry(child(of), "2024-01-02", body)
}

/// How many of the first 16 bytes of every 500 of a picture are in a file of the folder.
fn traces(dir: &Path, of: &NewPicture) -> usize {
    let parts: HashSet<&[u8]> =
        of.picture.chunks(500).chain(of.thumbnail.chunks(500)).filter_map(|part| part.get(..16)).collect();
    let files: Vec<Vec<u8>> =
        fs::read_dir(dir).unwrap().map(|file| fs::read(file.unwrap().path()).unwrap()).collect();
    let found: HashSet<&[u8]> =
        files.iter().flat_map(|bytes| bytes.windows(16)).filter(|window| parts.contains(window)).collect();
    found.len()
}

#[test]
fn a_picture_is_read_as_it_was_kept_also_after_a_start() {
    let dir = tempfile::tempdir().unwrap();
    let (one, other) = (picture(1, 250_000), picture(2, 3));
    assert_eq!(pictures(dir.path()).read(one.hash(), KeptSize::Whole).unwrap(), None);
    assert!(!dir.path().join(PICTURES_FILE).exists(), "looking makes no file");
    let hashes = pictures(dir.path()).keep(at(0), &[one.clone(), other.clone()]).unwrap();
    assert_eq!(hashes, [one.hash(), other.hash()]);
    // The hash is that of the bytes, as anybody can compute it.
    assert_eq!(one.hash(), PictureHash::new(*blake3::hash(&one.picture).as_bytes()));
    let again = pictures(dir.path());
    assert_eq!(again.read(one.hash(), KeptSize::Whole).unwrap(), Some(one.picture.clone()));
    assert_eq!(again.read(one.hash(), KeptSize::Thumbnail).unwrap(), Some(one.thumbnail.clone()));
    again.keep(at(9), std::slice::from_ref(&one)).unwrap();
    assert_eq!(again.hashes().unwrap().len(), 2, "the same picture is kept once");
    let readable = crate::key().is_none();
    assert_eq!(traces(dir.path(), &one) > 400, readable, "without a key the file is as it is");
    assert_eq!(traces(dir.path(), &one) == 0, !readable, "with one no byte can be found");
}

#[test]
fn a_full_disk_keeps_none_of_several() {
    let dir = tempfile::tempdir().unwrap();
    let small = pictures(dir.path()).with_most_pages(Some(100));
    small.keep(at(0), &[picture(1, 1_000)]).unwrap();
    // 100 pages of 4096 bytes are 410 kB: the first fits, the second does not.
    let refused = small.keep(at(1), &[picture(2, 200_000), picture(3, 300_000)]);
    assert_eq!(refused, Err(ArchiveError::Full));
    assert_eq!(small.hashes().unwrap(), [picture(1, 1_000).hash()].into());
    let waiting = [WaitingPicture { number: 1, facts: "{}".into(), picture: Some(picture(4, 500_000)) }];
    assert_eq!(small.wait((id(9), child(1), someone(), at(2)), &waiting), Err(ArchiveError::Full));
    assert_eq!(small.waiting(id(9)).unwrap(), None);
    assert_eq!(
        small.read(picture(1, 1_000).hash(), KeptSize::Whole).unwrap(),
        Some(picture(1, 1_000).picture)
    );
}

#[test]
fn damage_is_noticed() {
    let dir = tempfile::tempdir().unwrap();
    let one = picture(1, 250_000);
    pictures(dir.path()).keep(at(0), std::slice::from_ref(&one)).unwrap();
    let path = dir.path().join(PICTURES_FILE);
    let mut bytes = fs::read(&path).unwrap();
    // Far into the pages of the one picture.
    let middle = bytes.len() / 2 + 100;
    bytes[middle] ^= 1;
    fs::write(&path, bytes).unwrap();
    let read = pictures(dir.path()).read(one.hash(), KeptSize::Whole);
    assert!(matches!(read, Err(ArchiveError::Damaged(_))), "{:?}", read.map(|_| ()));
}

/// Two children name the lost picture: it is missed by both.
#[test]
fn a_check_finds_what_is_missing_changed_or_named_by_no_entry() {
    let dir = tempfile::tempdir().unwrap();
    let (archive, kept) = (open(dir.path()), pictures(dir.path()));
    let nothing = PictureCheck::default();
    assert_eq!(archive.check_pictures(&kept).unwrap(), nothing, "no picture, and none named");
    let [sound, changed, unnamed, lost] = [1, 2, 3, 4].map(|seed| picture(seed, 250_000));
    let all = [sound.clone(), changed.clone(), unnamed];
    kept.keep(at(0), &all).unwrap();
    let named = [photograph(1, &sound), photograph(1, &lost), photograph(2, &lost), photograph(2, &changed)];
    archive.append(named.to_vec()).unwrap();
    let before = archive.check_pictures(&kept).unwrap();
    let missing = [(child(1), 1), (child(2), 1)].into();
    let expected = PictureCheck { named: 3, missing, unnamed: 1, ..nothing };
    assert_eq!(before, expected);
    assert!(!before.is_sound());
    // The three are equally large and lie behind each other: the middle of the file is in the second.
    let path = dir.path().join(PICTURES_FILE);
    let mut bytes = fs::read(&path).unwrap();
    let middle = bytes.len() / 2 + 100;
    bytes[middle] ^= 1;
    fs::write(&path, bytes).unwrap();
    let after = archive.check_pictures(&kept).unwrap();
    assert_eq!(after, PictureCheck { changed: [(child(2), 1)].into(), ..expected.clone() });
    // A file that is none is said in one sentence, and not taken for an empty one.
    fs::write(&path, vec![7; 40_000]).unwrap();
    let unreadable = archive.check_pictures(&kept).unwrap();
    assert!(unreadable.unreadable.is_some() && !unreadable.is_sound(), "{unreadable:?}");
    fs::remove_file(&path).unwrap();
    let lost = archive.check_pictures(&kept).unwrap();
    assert_eq!(lost.missing, [(child(1), 2), (child(2), 2)].into(), "the whole file is lost");
}

#[test]
fn pictures_without_an_entry_are_removed_later_and_leave_no_trace() {
    let dir = tempfile::tempdir().unwrap();
    let archive = open(dir.path());
    let kept = pictures(dir.path());
    let (named, left, new) = (picture(1, 250_000), picture(2, 180_000), picture(3, 90_000));
    kept.keep(at(0), &[named.clone(), left.clone()]).unwrap();
    kept.keep(at(5_000), std::slice::from_ref(&new)).unwrap();
    archive.append(vec![photograph(1, &named)]).unwrap();
    assert!(crate::key().is_some() || traces(dir.path(), &left) > 300);
    assert_eq!(archive.remove_unnamed_media(&kept, at(4_000)).unwrap(), 1);
    assert_eq!(kept.hashes().unwrap(), [named.hash(), new.hash()].into(), "a new one is left alone");
    assert_eq!(traces(dir.path(), &left), 0, "nothing of it is left in any file");
    assert_eq!(kept.read(named.hash(), KeptSize::Whole).unwrap(), Some(named.picture));
}

#[test]
fn an_erased_record_takes_its_pictures_along_but_not_those_of_others() {
    let dir = tempfile::tempdir().unwrap();
    let archive = open(dir.path());
    let kept = pictures(dir.path());
    let (own, shared, others) = (picture(1, 250_000), picture(2, 60_000), picture(3, 60_000));
    kept.keep(at(0), &[own.clone(), shared.clone(), others.clone()]).unwrap();
    let wrong = photograph(1, &shared);
    archive
        .append(vec![photograph(1, &own), wrong.clone(), photograph(2, &shared), photograph(2, &others)])
        .unwrap();
    let waiting = [WaitingPicture { number: 1, facts: "{}".into(), picture: Some(picture(4, 70_000)) }];
    kept.wait((id(9), child(1), someone(), at(0)), &waiting).unwrap();
    let request = NewErasureRequest {
        child: child(1),
        entries: None,
        by: someone(),
        at: at(1),
        reason: "asked for by the family".into(),
        basis: "the law".into(),
    };
    let number = archive.erasure_requests().add(request).unwrap();
    archive.erasure_requests().carry_out(number, UserId::new(id(8)), at(2), 2).unwrap();
    assert_eq!(kept.hashes().unwrap(), [shared.hash(), others.hash()].into());
    assert_eq!(traces(dir.path(), &own), 0);
    assert_eq!(kept.waiting(id(9)).unwrap(), None, "nor does anything wait for the child");
    assert_eq!(traces(dir.path(), &picture(4, 70_000)), 0);
}

#[test]
fn a_single_erased_entry_takes_its_picture_along() {
    let dir = tempfile::tempdir().unwrap();
    let archive = open(dir.path());
    let one = picture(1, 50_000);
    pictures(dir.path()).keep(at(0), std::slice::from_ref(&one)).unwrap();
    let written = photograph(1, &one);
    archive.append(vec![written.clone()]).unwrap();
    archive.erase(written.id, "another child", someone(), at(1)).unwrap();
    assert!(pictures(dir.path()).hashes().unwrap().is_empty());
    assert_eq!(traces(dir.path(), &one), 0);
}

fn order(erasures: Vec<archive::Erasure>, withheld: Vec<WithheldPictures>) -> RestoreOrder {
    let decision = RecordsDecision {
        kind: DecisionKind::Restored,
        by: None,
        at: at(1_000),
        reason: "the disk was lost".into(),
        about: "restored".into(),
    };
    RestoreOrder { until: None, erasures, withheld, withheld_videos: Vec::new(), decision }
}

#[test]
fn a_restored_copy_has_no_erased_picture_and_withholds_those_of_a_consent_taken_back() {
    let dir = tempfile::tempdir().unwrap();
    let archive = open(dir.path());
    let kept = pictures(dir.path());
    let (erased, withheld) = (picture(1, 120_000), picture(2, 120_000));
    kept.keep(at(0), &[erased.clone(), withheld.clone()]).unwrap();
    let gone = photograph(1, &erased);
    archive.append(vec![gone.clone(), photograph(2, &withheld)]).unwrap();
    let copy = tempfile::tempdir().unwrap();
    archive.back_up(&copy.path().join(FILE_NAME)).unwrap();
    kept.copy_to(copy.path()).unwrap();
    assert_eq!(pictures(copy.path()).hashes().unwrap(), kept.hashes().unwrap());
    archive.erase(gone.id, "asked for", someone(), at(50)).unwrap();
    let taken_back = WithheldPictures { child: child(2), at: at(60) };
    let order = order(archive.all_erasures().unwrap(), vec![taken_back]);
    make_restored(copy.path(), &options(), &order).unwrap();
    let restored = pictures(copy.path());
    assert_eq!(restored.hashes().unwrap(), [withheld.hash()].into());
    assert_eq!(traces(copy.path(), &erased), 0);
    assert_eq!(restored.withheld().unwrap(), [taken_back]);
    // An earlier moment never takes the place of a later one.
    restored.withhold(&[WithheldPictures { child: child(2), at: at(10) }]).unwrap();
    assert_eq!(restored.withheld().unwrap(), [taken_back]);
    let opened = Archive::open_copy(copy.path(), options()).unwrap();
    assert!(opened.verify().unwrap().is_sound());
}

#[test]
fn a_file_arrives_in_parts_of_which_none_is_lost_or_taken_twice() {
    let dir = tempfile::tempdir().unwrap();
    let kept = pictures(dir.path());
    let whole = picture(1, 100_000).picture;
    let file = ArrivingFile { file: id(3), child: child(1), by: someone(), total: 100_000 };
    assert_eq!(kept.arrived(&file).unwrap(), 0);
    assert_eq!(kept.take_part(&file, at(0), (0, &whole[..40_000])).unwrap(), 40_000);
    // Sent again because the answer was lost, and one that leaves a gap.
    assert_eq!(kept.take_part(&file, at(1), (0, &whole[..40_000])).unwrap(), 40_000);
    assert_eq!(kept.take_part(&file, at(2), (50_000, &whole[50_000..])).unwrap(), 40_000);
    assert_eq!(kept.arrived_whole(&file).unwrap(), None);
    // More than the whole is not taken.
    assert_eq!(kept.take_part(&file, at(3), (40_000, &vec![0; 60_001])).unwrap(), 40_000);
    let again = pictures(dir.path());
    assert_eq!(again.take_part(&file, at(4), (40_000, &whole[40_000..])).unwrap(), 100_000);
    assert_eq!(again.arrived_whole(&file).unwrap(), Some(whole));
    // For another child, or by another person, it is another file.
    for other in [
        ArrivingFile { child: child(2), ..file },
        ArrivingFile { by: UserId::new(id(8)), ..file },
        ArrivingFile { total: 99_999, ..file },
    ] {
        assert_eq!(again.arrived(&other).unwrap(), 0);
    }
    assert_eq!(again.arriving_from(someone()).unwrap(), 100_000);
    again.forget_arrived(&file).unwrap();
    assert_eq!(again.arrived(&file).unwrap(), 0);
    assert_eq!(traces(dir.path(), &picture(1, 100_000)), 0);
}

#[test]
fn what_nobody_names_is_forgotten() {
    let dir = tempfile::tempdir().unwrap();
    let kept = pictures(dir.path());
    let waiting = |seed| {
        [
            WaitingPicture { number: 1, facts: "{\"a\":1}".into(), picture: Some(picture(seed, 80_000)) },
            WaitingPicture { number: 2, facts: "{\"b\":2}".into(), picture: None },
        ]
    };
    kept.wait((id(1), child(1), someone(), at(0)), &waiting(1)).unwrap();
    kept.wait((id(2), child(1), someone(), at(100)), &waiting(2)).unwrap();
    let found = kept.waiting_of(child(1)).unwrap();
    assert_eq!(found.iter().map(|upload| upload.upload).collect::<Vec<_>>(), [id(2), id(1)]);
    let pictures_of = [(1, "{\"a\":1}".to_owned(), true), (2, "{\"b\":2}".to_owned(), false)];
    assert_eq!(found[1].pictures, pictures_of);
    assert_eq!(kept.waiting_picture(id(1), 1).unwrap(), Some(picture(1, 80_000)));
    assert_eq!(kept.waiting_picture(id(1), 2).unwrap(), None);
    kept.forget_sent_before(at(50)).unwrap();
    assert_eq!(kept.waiting(id(1)).unwrap(), None);
    assert_eq!(traces(dir.path(), &picture(1, 80_000)), 0);
    kept.forget_waiting(id(2)).unwrap();
    assert!(kept.waiting_of(child(1)).unwrap().is_empty());
    assert_eq!(traces(dir.path(), &picture(2, 80_000)), 0);
}
