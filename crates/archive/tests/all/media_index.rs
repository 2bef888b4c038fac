//! The index of pictures and videos: it has no byte of them, and with the pieces it becomes the same file again.

use crate::{common::child, pictures::picture, videos::video};
use archive::{
    KeptSize, LostPiece, MediaBytes, MediaOwner, MediaPiece, MediaRead, NamedMedia, NewPicture, NewVideo,
    PICTURES_FILE, PICTURES_INDEX_FILE, Pictures, VIDEO_PIECE_BYTES, WithheldPictures,
};
use record::Timestamp;
use std::{collections::HashSet, fs, path::Path};

fn at(seconds: i64) -> Timestamp {
    Timestamp::from_seconds(1_700_000_000 + seconds)
}

fn beside(dir: &Path) -> Pictures {
    Pictures::beside(dir, crate::key().as_ref())
}

/// Two pictures and two videos that entries name, one of each that none names, and what a restore withholds.
struct Kept {
    dir: tempfile::TempDir,
    pictures: [NewPicture; 2],
    videos: [NewVideo; 2],
    named: NamedMedia,
    withheld: WithheldPictures,
}

impl Kept {
    fn new() -> Self {
        let dir = tempfile::tempdir().unwrap();
        let pictures = [picture(1, 250_000), picture(2, 30_000)];
        // Two pieces and 77 bytes; one piece.
        let videos = [video(1, 2 * VIDEO_PIECE_BYTES + 77), video(2, 9_000)];
        let kept = beside(dir.path());
        kept.keep(at(0), &pictures).unwrap();
        kept.keep(at(1), &[picture(3, 70_000)]).unwrap();
        for new in videos.iter().chain([&video(3, 8_000)]) {
            kept.videos().keep(at(2), new).unwrap();
        }
        let withheld = WithheldPictures { child: child(1), at: at(9) };
        kept.withhold(&[withheld]).unwrap();
        kept.videos().withhold(&[WithheldPictures { child: child(2), ..withheld }]).unwrap();
        let named = NamedMedia {
            pictures: pictures.iter().map(NewPicture::hash).collect(),
            videos: videos.iter().map(NewVideo::hash).collect(),
        };
        Self { dir, pictures, videos, named, withheld }
    }

    /// The index in a new folder, and its pieces.
    fn index(&self) -> (tempfile::TempDir, Vec<MediaPiece>) {
        let to = tempfile::tempdir().unwrap();
        let pieces = beside(self.dir.path()).copy_index(to.path(), &self.named).unwrap().unwrap();
        (to, pieces)
    }

    /// What is lost when the file is put together in a folder from the pieces for which `fate` gives nothing else.
    fn put_together(&self, to: &Path, fate: impl Fn(&MediaPiece) -> Option<MediaRead>) -> Vec<LostPiece> {
        let mut reader = beside(self.dir.path()).pieces();
        beside(to)
            .put_together(to, &mut |piece: &MediaPiece| fate(piece).map_or_else(|| reader.read(piece), Ok))
            .unwrap()
    }
}

#[test]
fn the_index_has_what_entries_name_and_no_byte_of_it() {
    let nothing = tempfile::tempdir().unwrap();
    let none = beside(nothing.path()).copy_index(nothing.path(), &NamedMedia::default()).unwrap();
    assert!(none.is_none() && !nothing.path().join(PICTURES_INDEX_FILE).exists());
    let kept = Kept::new();
    let (to, pieces) = kept.index();
    // Two pictures, three pieces of one video and one of the other.
    assert_eq!(pieces.len(), 2 + 3 + 1);
    let index = fs::read(to.path().join(PICTURES_INDEX_FILE)).unwrap();
    // A page for each table and each of its indexes are fewer than 30 pages of 4096 bytes; the pictures have more.
    assert!(index.len() < 30 * 4_096, "{}", index.len());
    let parts: HashSet<&[u8]> = kept.pictures.iter().flat_map(|one| one.picture.chunks(500)).collect();
    let parts: HashSet<&[u8]> = parts.into_iter().filter_map(|part| part.get(..16)).collect();
    assert!(index.windows(16).all(|window| !parts.contains(window)));
    let names: Vec<_> = fs::read_dir(to.path()).unwrap().map(|file| file.unwrap().file_name()).collect();
    assert_eq!(names, [PICTURES_INDEX_FILE], "one file, without a log");
}

#[test]
fn with_its_pieces_the_index_becomes_the_same_file_again() {
    let kept = Kept::new();
    let (to, _) = kept.index();
    assert_eq!(kept.put_together(to.path(), |_| None), []);
    let (again, before) = (beside(to.path()), beside(kept.dir.path()));
    assert_eq!(again.hashes().unwrap(), kept.named.pictures);
    assert_eq!(again.videos().hashes().unwrap(), kept.named.videos);
    for new in &kept.pictures {
        for (size, bytes) in [(KeptSize::Whole, &new.picture), (KeptSize::Thumbnail, &new.thumbnail)] {
            assert!(again.read(new.hash(), size).unwrap().as_ref() == Some(bytes));
        }
    }
    for new in &kept.videos {
        assert!(again.videos().read(new.hash(), 0..u64::MAX).unwrap().as_ref() == Some(&new.bytes));
        assert_eq!(again.videos().about(new.hash()).unwrap(), before.videos().about(new.hash()).unwrap());
    }
    assert_eq!(again.withheld().unwrap(), [kept.withheld]);
    assert_eq!(again.videos().withheld().unwrap(), before.videos().withheld().unwrap());
    let names: Vec<_> = fs::read_dir(to.path()).unwrap().map(|file| file.unwrap().file_name()).collect();
    assert_eq!(names, [PICTURES_FILE], "the index is gone, and there is no log");
    // Every row begins with a page of zeros, so that a removed picture is overwritten wholly.
    if crate::key().is_none() {
        let conn = rusqlite::Connection::open(to.path().join(PICTURES_FILE)).unwrap();
        for table in ["pictures", "video_pieces"] {
            let sql = format!("SELECT min(length(margin)), max(length(margin)) FROM {table}");
            let lengths: (i64, i64) = conn.query_row(&sql, [], |row| Ok((row.get(0)?, row.get(1)?))).unwrap();
            assert_eq!(lengths, (4_096, 4_096), "{table}");
        }
    }
    // Nothing is looked for where there is no index.
    assert_eq!(kept.put_together(to.path(), |_| Some(MediaRead::Gone)), []);
}

#[test]
fn what_cannot_be_had_is_left_out_and_named() {
    let kept = Kept::new();
    let (to, pieces) = kept.index();
    let (lost, changed) = (kept.pictures[0].hash(), kept.videos[0].hash());
    let second = |piece: &MediaPiece| matches!(piece, MediaPiece::Video { place: 1, .. });
    let fate = |piece: &MediaPiece| match piece.owner() {
        MediaOwner::Picture(hash) if hash == lost => Some(MediaRead::Gone),
        // The bytes of another piece under the name of this one.
        MediaOwner::Video(hash) if hash == changed && second(piece) => {
            Some(MediaRead::Sound(MediaBytes::Video(vec![1; 9])))
        }
        _ => None,
    };
    let found = kept.put_together(to.path(), fate);
    let expected: Vec<LostPiece> = pieces
        .iter()
        .filter(|piece| piece.owner() == MediaOwner::Picture(lost) || second(piece))
        .map(|piece| LostPiece { piece: *piece, damaged: second(piece) })
        .collect();
    assert_eq!((found.len(), &found), (2, &expected));
    // No row without its bytes: whoever looks for it is told that it is not kept.
    let again = beside(to.path());
    assert_eq!(again.hashes().unwrap(), [kept.pictures[1].hash()].into());
    assert_eq!(again.videos().hashes().unwrap(), [kept.videos[1].hash()].into());
    assert_eq!(again.videos().check(kept.videos[1].hash()), Ok(()));
}

#[test]
fn what_is_erased_meanwhile_is_taken_out_of_the_index() {
    let kept = Kept::new();
    let (to, pieces) = kept.index();
    let gone = HashSet::from([
        MediaOwner::Picture(kept.pictures[0].hash()),
        MediaOwner::Video(kept.videos[0].hash()),
    ]);
    let source = beside(kept.dir.path());
    source.take_out_of_index(to.path(), &gone).unwrap();
    let asked = std::cell::RefCell::new(Vec::new());
    let lost = kept.put_together(to.path(), |piece| {
        asked.borrow_mut().push(*piece);
        None
    });
    let left: Vec<MediaPiece> = pieces.into_iter().filter(|piece| !gone.contains(&piece.owner())).collect();
    assert_eq!((lost, asked.into_inner()), (Vec::new(), left));
}

#[test]
fn a_reader_says_what_became_of_a_piece() {
    let kept = Kept::new();
    let (_, pieces) = kept.index();
    let mut reader = beside(kept.dir.path()).pieces();
    assert!(pieces.iter().all(|piece| matches!(reader.read(piece), Ok(MediaRead::Sound(_)))));
    let none = MediaPiece::Picture { hash: picture(9, 9).hash(), thumbnail: [0; 32] };
    assert_eq!(reader.read(&none).unwrap(), MediaRead::Gone);
    // Of some 1,000 kB the first 80 are pages of the tables, and the next 260 those of the first picture.
    let path = kept.dir.path().join(PICTURES_FILE);
    let mut bytes = fs::read(&path).unwrap();
    let within = bytes.len() / 5 / 4_096 * 4_096 + 2_000;
    bytes[within] ^= 1;
    fs::write(&path, bytes).unwrap();
    let mut reader = beside(kept.dir.path()).pieces();
    let read: Vec<MediaRead> = pieces.iter().map(|piece| reader.read(piece).unwrap()).collect();
    let sound = read.iter().filter(|read| matches!(read, MediaRead::Sound(_))).count();
    assert!(read.contains(&MediaRead::Damaged), "the changed byte is in one of them");
    assert_eq!(sound, pieces.len() - 1, "and the others are read all the same");
}
