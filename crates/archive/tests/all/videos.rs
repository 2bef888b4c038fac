//! Kept videos: in pieces that are read and checked by themselves, whole or not at all, gone when no entry names them.

use crate::common::{child, entry, id, open, options, someone};
use archive::{
    Archive, ArchiveError, DecisionKind, FILE_NAME, NewErasureRequest, NewVideo, PICTURES_FILE, Pictures,
    RecordsDecision, RestoreOrder, VIDEO_PIECE_BYTES, Videos, WithheldPictures, make_restored,
};
use record::{Entry, GaitActivity, GaitVideo, GaitView, Timestamp, VideoHash};
use std::{collections::HashSet, fs, path::Path};

fn at(seconds: i64) -> Timestamp {
    Timestamp::from_seconds(1_700_000_000 + seconds)
}

fn pictures(dir: &Path) -> Pictures {
    Pictures::beside(dir, crate::key().as_ref())
}

fn kept(dir: &Path) -> Videos {
    pictures(dir).videos()
}

/// Bytes in which no sixteen are twice. Nobody here plays them.
pub fn video(seed: u64, length: usize) -> NewVideo {
    let words =
        (0_u64..).map(|counter| (seed << 40 | counter).wrapping_mul(0x9e37_79b9_7f4a_7c15).to_le_bytes());
    let bytes: Vec<u8> = words.flatten().take(length).collect();
    NewVideo { bytes, format: "video/mp4".into() }
}

fn gait(of: u128, new: &NewVideo) -> Entry {
    let size = u32::try_from(new.bytes.len()).unwrap();
    let body = GaitVideo::of(GaitActivity::Walking, GaitView::Side, new.hash(), size, 9_000);
    entry(child(of), "2024-01-02", body)
}

/// How many of the first 16 bytes of every 500 of a video are in a file of the folder.
fn traces(dir: &Path, of: &NewVideo) -> usize {
    let parts: HashSet<&[u8]> = of.bytes.chunks(500).filter_map(|part| part.get(..16)).collect();
    let files: Vec<Vec<u8>> =
        fs::read_dir(dir).unwrap().map(|file| fs::read(file.unwrap().path()).unwrap()).collect();
    let found: HashSet<&[u8]> =
        files.iter().flat_map(|bytes| bytes.windows(16)).filter(|window| parts.contains(window)).collect();
    found.len()
}

#[test]
fn any_part_of_a_video_is_read_as_it_was_kept() {
    let dir = tempfile::tempdir().unwrap();
    // Two pieces and 77 bytes.
    let one = video(1, 2 * VIDEO_PIECE_BYTES + 77);
    assert_eq!(kept(dir.path()).read(one.hash(), 0..9).unwrap(), None);
    assert!(!dir.path().join(PICTURES_FILE).exists(), "looking makes no file");
    assert_eq!(kept(dir.path()).keep(at(0), &one).unwrap(), one.hash());
    // The hash is that of the bytes, as anybody can compute it.
    assert_eq!(one.hash(), VideoHash::new(*blake3::hash(&one.bytes).as_bytes()));
    let (again, size, piece) = (kept(dir.path()), one.bytes.len(), VIDEO_PIECE_BYTES);
    let about = again.about(one.hash()).unwrap().unwrap();
    assert_eq!((about.size, about.format.as_str()), (size as u64, "video/mp4"));
    for (start, end) in [
        (0, size),
        (0, 0),
        (0, 1),
        (piece - 1, piece + 1),
        (piece, 2 * piece),
        (2 * piece + 76, size),
        (5, 5),
    ] {
        let read = again.read(one.hash(), start as u64..end as u64).unwrap().unwrap();
        assert!(read == one.bytes[start..end], "{start}..{end}");
    }
    // Beyond the end there is nothing.
    let read = |range| again.read(one.hash(), range).unwrap().unwrap();
    assert!(read(0..u64::MAX) == one.bytes);
    assert!(read(u64::MAX - 1..u64::MAX).is_empty());
    again.keep(at(9), &one).unwrap();
    assert_eq!(again.hashes().unwrap(), [one.hash()].into(), "the same video is kept once");
    assert_eq!(again.check(one.hash()), Ok(()));
    assert_eq!(traces(dir.path(), &one) == 0, crate::key().is_some(), "with a key no byte can be found");
}

#[test]
fn damage_of_one_piece_is_noticed_there_and_nowhere_else() {
    let dir = tempfile::tempdir().unwrap();
    let one = video(1, 8 * VIDEO_PIECE_BYTES);
    kept(dir.path()).keep(at(0), &one).unwrap();
    let path = dir.path().join(PICTURES_FILE);
    let mut bytes = fs::read(&path).unwrap();
    // Within the pages of one of the middle pieces.
    let middle = bytes.len() / 2 + 100;
    bytes[middle] ^= 1;
    fs::write(&path, bytes).unwrap();
    let damaged = (0..8_u64).filter(|piece| {
        let start = piece * VIDEO_PIECE_BYTES as u64;
        kept(dir.path()).read(one.hash(), start..start + 10).is_err()
    });
    assert_eq!(damaged.count(), 1);
    assert!(kept(dir.path()).check(one.hash()).is_err());
}

#[test]
fn a_full_disk_keeps_nothing_of_a_video() {
    let dir = tempfile::tempdir().unwrap();
    let small = pictures(dir.path()).with_most_pages(Some(200)).videos();
    small.keep(at(0), &video(1, 1_000)).unwrap();
    // 200 pages of 4096 bytes are 819 kB.
    assert_eq!(small.keep(at(1), &video(2, 900_000)), Err(ArchiveError::Full));
    let waiting = (id(9), child(1), someone(), at(2));
    assert_eq!(small.wait(waiting, "{}", &video(3, 900_000)), Err(ArchiveError::Full));
    assert_eq!(small.waiting(id(9)).unwrap(), None);
    assert_eq!(small.hashes().unwrap(), [video(1, 1_000).hash()].into());
}

#[test]
fn a_video_that_waits_is_kept_and_one_that_is_forgotten_leaves_no_trace() {
    let dir = tempfile::tempdir().unwrap();
    let archive = open(dir.path());
    let (videos, pictures) = (kept(dir.path()), pictures(dir.path()));
    let (named, waits, gone) = (video(1, 300_000), video(2, 300_000), video(3, 300_000));
    videos.keep(at(0), &named).unwrap();
    videos.keep(at(0), &gone).unwrap();
    videos.wait((id(1), child(1), someone(), at(10)), "{\"a\":1}", &waits).unwrap();
    archive.append(vec![gait(1, &named)]).unwrap();
    // What waits is no rest, however old it is.
    assert_eq!(archive.remove_unnamed_media(&pictures, at(1_000)).unwrap(), 1);
    assert_eq!(videos.hashes().unwrap(), [named.hash(), waits.hash()].into());
    assert_eq!(traces(dir.path(), &gone), 0);
    let found = videos.waiting(id(1)).unwrap().unwrap();
    assert_eq!((found.child, found.facts.as_str(), found.video), (child(1), "{\"a\":1}", waits.hash()));
    assert_eq!(videos.waiting_of(child(1)).unwrap(), [found]);
    assert!(videos.waiting_of(child(2)).unwrap().is_empty());
    archive.forget_waiting_video(&pictures, id(1)).unwrap();
    assert_eq!(videos.hashes().unwrap(), [named.hash()].into());
    assert_eq!(traces(dir.path(), &waits), 0, "nothing of it is left in any file");
    // One that an entry names stays when it no longer waits.
    videos.wait((id(2), child(1), someone(), at(20)), "{}", &named).unwrap();
    archive.forget_waiting_video(&pictures, id(2)).unwrap();
    assert!(videos.read(named.hash(), 0..u64::MAX).unwrap().unwrap() == named.bytes);
}

#[test]
fn an_erased_entry_takes_its_video_with_it() {
    let dir = tempfile::tempdir().unwrap();
    let archive = open(dir.path());
    let (one, both, sent) = (video(1, 300_000), video(2, 300_000), video(3, 300_000));
    let videos = kept(dir.path());
    for new in [&one, &both] {
        videos.keep(at(0), new).unwrap();
    }
    videos.wait((id(1), child(1), someone(), at(10)), "{}", &sent).unwrap();
    let entries = [gait(1, &one), gait(1, &both), gait(2, &both)];
    archive.append(entries.to_vec()).unwrap();
    archive.erase(entries[0].id, "asked for", someone(), at(20)).unwrap();
    assert_eq!(videos.hashes().unwrap(), [both.hash(), sent.hash()].into());
    assert_eq!(traces(dir.path(), &one), 0);
    // The whole record: what waits for the child goes too, what another entry names stays.
    let request = NewErasureRequest {
        child: child(1),
        entries: None,
        by: someone(),
        at: at(30),
        reason: "asked for".into(),
        basis: "the law".into(),
    };
    let requests = archive.erasure_requests();
    let number = requests.add(request).unwrap();
    requests.carry_out(number, record::UserId::new(id(77)), at(40), 1).unwrap();
    assert_eq!(videos.hashes().unwrap(), [both.hash()].into());
    assert_eq!(traces(dir.path(), &sent), 0);
}

#[test]
fn a_restored_copy_has_no_erased_video_and_withholds_those_of_a_consent_taken_back() {
    let dir = tempfile::tempdir().unwrap();
    let archive = open(dir.path());
    let videos = kept(dir.path());
    let (erased, withheld, waits) = (video(1, 300_000), video(2, 300_000), video(3, 300_000));
    for new in [&erased, &withheld] {
        videos.keep(at(0), new).unwrap();
    }
    videos.wait((id(1), child(2), someone(), at(10)), "{}", &waits).unwrap();
    let gone = gait(1, &erased);
    archive.append(vec![gone.clone(), gait(2, &withheld)]).unwrap();
    let copy = tempfile::tempdir().unwrap();
    archive.back_up(&copy.path().join(FILE_NAME)).unwrap();
    pictures(dir.path()).copy_to(copy.path()).unwrap();
    archive.erase(gone.id, "asked for", someone(), at(50)).unwrap();
    let taken_back = WithheldPictures { child: child(2), at: at(60) };
    let decision = RecordsDecision {
        kind: DecisionKind::Restored,
        by: None,
        at: at(1_000),
        reason: "the disk was lost".into(),
        about: "restored".into(),
    };
    let order = RestoreOrder {
        until: None,
        erasures: archive.all_erasures().unwrap(),
        withheld: Vec::new(),
        withheld_videos: vec![taken_back],
        decision,
    };
    make_restored(copy.path(), &options(), &order).unwrap();
    let restored = kept(copy.path());
    assert_eq!(restored.hashes().unwrap(), [withheld.hash()].into());
    assert!(restored.waiting(id(1)).unwrap().is_none());
    assert_eq!(traces(copy.path(), &erased) + traces(copy.path(), &waits), 0);
    assert_eq!(restored.withheld().unwrap(), [taken_back]);
    assert_eq!(pictures(copy.path()).withheld().unwrap(), [], "photographs have a consent of their own");
    let opened = Archive::open_copy(copy.path(), options()).unwrap();
    assert!(opened.verify().unwrap().is_sound());
}

/// A file of pictures that an earlier program wrote has no tables of videos.
#[test]
fn a_file_of_pictures_from_before_there_were_videos_is_read_and_written() {
    // The encrypted file is the same below its encryption.
    if crate::key().is_some() {
        return;
    }
    let dir = tempfile::tempdir().unwrap();
    let picture = archive::NewPicture { picture: vec![1; 9_000], thumbnail: vec![2; 900] };
    pictures(dir.path()).keep(at(0), std::slice::from_ref(&picture)).unwrap();
    let conn = rusqlite::Connection::open(dir.path().join(PICTURES_FILE)).unwrap();
    for table in ["videos", "video_pieces", "waiting_videos", "withheld_videos"] {
        conn.execute_batch(&format!("DROP TABLE {table}")).unwrap();
    }
    drop(conn);
    let videos = kept(dir.path());
    assert!(videos.hashes().unwrap().is_empty());
    assert!(videos.withheld().unwrap().is_empty() && videos.waiting(id(1)).unwrap().is_none());
    assert_eq!(videos.read(video(1, 9).hash(), 0..9).unwrap(), None);
    videos.keep(at(1), &video(1, 9_000)).unwrap();
    assert_eq!(videos.check(video(1, 9_000).hash()), Ok(()));
    assert_eq!(pictures(dir.path()).hashes().unwrap(), [picture.hash()].into());
}
