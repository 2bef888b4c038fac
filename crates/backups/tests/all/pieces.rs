//! Pieces beside the backups: sealed once, found by a name that tells nothing, compared when they are read, and removed
//! only where they are pieces.

use crate::file::{Place, at, manifest, site};
use backups::{
    BackedUpPiece, BackupError, BackupFile, BackupHeader, PIECES_END, PieceContents, PieceId, SealedPieces,
    clinic_id, list, pieces_folder_name, pieces_folders, remove_pieces_folder, write,
};
use safekeeping::{KeySlots, RecordsKey};
use std::{
    collections::HashSet,
    fs,
    path::{Path, PathBuf},
};

/// Bytes in which no sixteen are twice.
fn bytes(seed: u64, length: usize) -> Vec<u8> {
    let words = (0_u64..).map(|n| (seed << 40 | n).wrapping_mul(0x9e37_79b9_7f4a_7c15).to_le_bytes());
    words.flatten().take(length).collect()
}

fn picture(seed: u64) -> PieceContents {
    PieceContents::Picture(bytes(seed, 150_000), bytes(seed + 1_000, 9_000))
}

fn beside(place: &Place, key: &RecordsKey) -> SealedPieces {
    let store = SealedPieces::beside(&place.stick(), &clinic_id(site()), key);
    store.prepare().unwrap();
    store
}

fn file_of(store: &SealedPieces, contents: &PieceContents) -> PathBuf {
    store.folder().join(store.name(&contents.id()))
}

fn files(folder: &Path) -> Vec<PathBuf> {
    let mut found = Vec::new();
    for entry in fs::read_dir(folder).unwrap() {
        let path = entry.unwrap().path();
        if path.is_dir() { found.extend(files(&path)) } else { found.push(path) }
    }
    found.sort();
    found
}

#[test]
fn a_piece_is_given_back_byte_for_byte_and_shows_nothing() {
    let place = Place::new();
    let mut store = beside(&place, &place.key);
    let video = PieceContents::Video(bytes(9, 256 << 10));
    for contents in [picture(1), video, PieceContents::Video(Vec::new())] {
        let id = contents.id();
        assert_eq!(store.read(&id).unwrap(), None, "before it is sealed");
        let listed = store.seal(&contents).unwrap();
        store.flush().unwrap();
        assert_eq!(store.read(&id).unwrap().as_ref(), Some(&contents));
        assert_eq!(listed.id(), Some(id), "the list finds it again");
        let file = file_of(&store, &contents);
        let sealed = fs::read(&file).unwrap();
        assert_eq!(listed.bytes, sealed.len() as u64);
        assert_eq!(store.lengths().unwrap().get(&store.name(&id)), Some(&listed.bytes));
        assert!(sealed.starts_with(b"age-encryption.org/v1\n-> X25519 "));
        #[cfg(unix)]
        {
            use std::os::unix::fs::PermissionsExt;
            assert_eq!(fs::metadata(&file).unwrap().permissions().mode() & 0o777, 0o600);
            assert_eq!(fs::metadata(store.folder()).unwrap().permissions().mode() & 0o777, 0o700);
        }
        // Neither the hashes nor their digits are in the name or can be read in the file.
        let hashes = match id {
            PieceId::Picture(one, small) => vec![one, small],
            PieceId::Video(one) => vec![one],
        };
        for hash in hashes {
            let digits = blake3::Hash::from_bytes(hash).to_hex();
            assert!(!file.to_string_lossy().contains(digits.get(..8).unwrap()));
            assert!(!sealed.windows(32).any(|part| part == hash));
        }
    }
    let part = &bytes(1, 150_000)[70_000..70_032];
    let sealed = fs::read(file_of(&store, &picture(1))).unwrap();
    assert!(!sealed.windows(32).any(|window| window == part), "a picture is readable");
    assert_eq!(files(store.folder()).len(), 3, "nothing unfinished is left");
}

/// A name is 64 hexadecimal digits in a folder of the first two. It depends on the key and on every part.
#[test]
fn the_name_of_a_piece_depends_on_its_key_and_tells_nothing_else() {
    let place = Place::new();
    let store = beside(&place, &place.key);
    let other = SealedPieces::beside(&place.stick(), &clinic_id(site()), &RecordsKey::new());
    let name = store.name(&picture(1).id());
    let (folder, file) = name.split_once('/').unwrap();
    assert!(file.len() == 64 && file.starts_with(folder) && folder.len() == 2, "{name}");
    assert!(file.chars().all(|digit| digit.is_ascii_hexdigit() && !digit.is_ascii_uppercase()), "{name}");
    assert_eq!(store.name(&picture(1).id()), name, "the same each time");
    assert_ne!(other.name(&picture(1).id()), name, "another key");
    let PieceContents::Picture(one, small) = picture(1) else { panic!() };
    assert_ne!(store.name(&PieceContents::Picture(one.clone(), bytes(7, 9)).id()), name, "another small one");
    assert_ne!(store.name(&PieceContents::Picture(small, one).id()), name, "exchanged");
    assert_ne!(store.folder(), other.folder(), "each key has a folder of its own");
    let begin = format!("plantigrade-{}-", clinic_id(site()));
    let folder = store.folder().file_name().unwrap().to_str().unwrap();
    assert!(folder.starts_with(&begin) && folder.ends_with(PIECES_END), "{folder}");
}

#[test]
fn a_changed_byte_a_cut_another_key_and_another_piece_are_found() {
    let place = Place::new();
    let mut store = beside(&place, &place.key);
    let (one, two) = (picture(1), picture(2));
    store.seal(&one).unwrap();
    store.seal(&two).unwrap();
    let file = file_of(&store, &one);
    let whole = fs::read(&file).unwrap();
    for at in (0..400).chain((400..whole.len()).step_by(4_001)).chain([whole.len() - 1]) {
        let mut changed = whole.clone();
        changed[at] ^= 1;
        fs::write(&file, &changed).unwrap();
        assert!(store.read(&one.id()).is_err(), "byte {at}");
    }
    for length in (0..whole.len()).step_by(9_973).chain([whole.len() - 1]) {
        fs::write(&file, &whole[..length]).unwrap();
        assert!(store.read(&one.id()).is_err(), "cut at {length}");
    }
    fs::write(&file, [whole.as_slice(), b"x".as_slice()].concat()).unwrap();
    assert!(store.read(&one.id()).is_err(), "something added");
    fs::copy(file_of(&store, &two), &file).unwrap();
    let found = store.read(&one.id()).unwrap_err();
    assert!(found.to_string().contains("another piece"), "{found}");
    let mut other = beside(&place, &RecordsKey::new());
    other.seal(&one).unwrap();
    fs::copy(file_of(&other, &one), &file).unwrap();
    assert!(matches!(store.read(&one.id()), Err(BackupError::WrongKey(_))));
    // Sealed anew, it takes the place of what is damaged.
    store.seal(&one).unwrap();
    assert_eq!(store.read(&one.id()).unwrap(), Some(one));
}

#[test]
fn nothing_is_removed_that_is_no_piece() {
    let place = Place::new();
    let mut store = beside(&place, &place.key);
    let (kept, gone) = (picture(1), picture(2));
    store.seal(&kept).unwrap();
    store.seal(&gone).unwrap();
    let within = file_of(&store, &kept).parent().unwrap().to_owned();
    let digits = "0123456789abcdef".repeat(4);
    let elsewhere = store.folder().join(if within.ends_with("ab") { "cd" } else { "ab" });
    for folder in [elsewhere.clone(), store.folder().join("holiday")] {
        fs::create_dir_all(folder).unwrap();
    }
    let others = [
        // A picture of somebody, names that are too short or no digits, and whole names where no piece has them.
        within.join("holiday.jpg"),
        within.join(&digits[..63]),
        within.join(format!("zz{}", &digits[2..])),
        elsewhere.join(&digits),
        store.folder().join("holiday").join(&digits),
        store.folder().join(&digits),
    ];
    for other in &others {
        fs::write(other, "somebody's").unwrap();
    }
    assert_eq!(store.keep_only(&HashSet::from([kept.id()])).unwrap(), 1);
    assert_eq!(
        (store.read(&gone.id()).unwrap(), store.read(&kept.id()).unwrap()),
        (None, Some(kept.clone()))
    );
    // What a backup left that was stopped goes with the next one.
    let mut unfinished = file_of(&store, &kept).into_os_string();
    unfinished.push("-unfinished");
    fs::write(&unfinished, "begun").unwrap();
    store.prepare().unwrap();
    assert!(!Path::new(&unfinished).exists());
    assert_eq!(remove_pieces_folder(store.folder()).unwrap(), 1);
    assert!(others.iter().all(|other| other.exists()), "{:?}", files(store.folder()));
    // A folder in which nothing else is goes as a whole.
    let mut other = beside(&place, &RecordsKey::new());
    other.seal(&kept).unwrap();
    let clinic = clinic_id(site());
    assert_eq!(pieces_folders(&place.stick(), &clinic).unwrap().len(), 2);
    remove_pieces_folder(other.folder()).unwrap();
    assert_eq!(pieces_folders(&place.stick(), &clinic).unwrap(), [store.folder()]);
    assert_eq!(pieces_folders(&place.stick(), "00000000").unwrap(), Vec::<PathBuf>::new());
}

/// A program that does not know of pieces reads form 1 alone, and so refuses a backup that has some.
#[test]
fn a_backup_with_pieces_is_of_form_two_and_names_their_folder() {
    let place = Place::new();
    let mut store = beside(&place, &place.key);
    let pieces =
        vec![store.seal(&picture(1)).unwrap(), store.seal(&PieceContents::Video(bytes(2, 9))).unwrap()];
    let made = |second: i64, folder: Option<String>, pieces: &[BackedUpPiece]| {
        let header = BackupHeader::new(at(second), site(), 12, 13, KeySlots::new(&place.key));
        let manifest = backups::Manifest { pieces: pieces.to_vec(), ..manifest(at(second)) };
        let header = header.with_pieces(folder);
        write(&place.stick(), &header, manifest, &place.key, &place.sources()).unwrap().finish().unwrap()
    };
    let name = pieces_folder_name(&clinic_id(site()), &place.key);
    let with = BackupFile::open(&made(0, Some(name.clone()), &pieces)).unwrap();
    assert_eq!((with.header.plantigrade_backup, with.header.pieces.as_ref()), (2, Some(&name)));
    assert_eq!(with.unlock(&place.key).unwrap().manifest().pieces, pieces);
    let without = made(60, None, &[]);
    let line = fs::read(&without).unwrap();
    let line =
        String::from_utf8_lossy(&line[..line.iter().position(|byte| *byte == b'\n').unwrap()]).into_owned();
    assert!(line.contains("\"plantigrade_backup\":1") && !line.contains("pieces"), "{line}");
    assert_eq!(BackupFile::open(&without).unwrap().unlock(&place.key).unwrap().manifest().pieces, []);
    // First line and list have to agree, and the folder is the one of this key.
    let hash = BackedUpPiece { hash: "0a".into(), ..pieces[0].clone() };
    for (second, folder, pieces) in [
        (120, None, pieces.clone()),
        (180, Some(name.clone()), Vec::new()),
        (240, Some("../elsewhere".to_owned()), pieces.clone()),
        (300, Some(name), vec![hash]),
    ] {
        let file = BackupFile::open(&made(second, folder, &pieces)).unwrap();
        assert!(matches!(file.unlock(&place.key), Err(BackupError::Damaged { .. })), "{second}");
    }
    assert_eq!(list(&place.stick(), None).unwrap().len(), 6, "the folder of pieces is no backup");
}
