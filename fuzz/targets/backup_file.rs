//! The file of a backup, and a piece beside it. The first byte chooses: a whole file, of which the first line is read, or
//! changes to a real backup, none of which may be opened, unless nothing was changed; the same of a piece. Nothing is
//! ever written outside the folder.
#![no_main]

use backups::{
    BackupError, BackupFile, BackupHeader, BackupSource, Manifest, PieceContents, SealedPieces, clinic_id,
    write,
};
use libfuzzer_sys::fuzz_target;
use record::{SiteId, Timestamp};
use safekeeping::{KeySlots, RecordsKey};
use std::{
    fs,
    path::{Path, PathBuf},
    sync::LazyLock,
};

const RECORDS: &[u8] = b"an invented clinic, 40 bytes, or nearly!";

struct Made {
    folder: PathBuf,
    key: RecordsKey,
    bytes: Vec<u8>,
    piece: PieceContents,
    sealed: Vec<u8>,
}

static MADE: LazyLock<Made> = LazyLock::new(|| {
    // In memory where the system has such a folder: every input is a file.
    let within =
        Some(PathBuf::from("/dev/shm")).filter(|path| path.is_dir()).unwrap_or_else(std::env::temp_dir);
    let folder = within.join(format!("fuzz-backup-{}", std::process::id()));
    fs::create_dir_all(&folder).expect("a folder");
    let key = RecordsKey::new();
    let at = Timestamp::from_seconds(1_741_003_200);
    let site = site();
    let header = BackupHeader::new(at, site, 12, 13, KeySlots::new(&key));
    let source = BackupSource { name: "records.sqlite".into(), path: folder.join("source") };
    fs::write(&source.path, RECORDS).expect("a source");
    let made =
        write(&folder, &header, manifest(at), &key, &[source]).expect("written").finish().expect("finished");
    let piece = PieceContents::Picture(RECORDS.to_vec(), b"small".to_vec());
    let mut store = SealedPieces::beside(&folder, &clinic_id(site), &key);
    store.prepare().expect("a folder of pieces");
    store.seal(&piece).expect("sealed");
    let sealed = fs::read(store.folder().join(store.name(&piece.id()))).expect("read");
    Made { bytes: fs::read(made).expect("read"), folder, key, piece, sealed }
});

fn site() -> SiteId {
    SiteId::new(uuid::Uuid::from_u128(7))
}

fn manifest(at: Timestamp) -> Manifest {
    Manifest {
        header: String::new(),
        program: "1".into(),
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

fuzz_target!(|bytes: &[u8]| {
    let Some((first, rest)) = bytes.split_first() else { return };
    let path = MADE.folder.join("input.backup");
    if *first >= 128 {
        return piece(first % 2 == 0, rest);
    }
    if first % 2 == 0 {
        fs::write(&path, rest).expect("written");
        // What was not made with the key is never opened.
        assert!(opened(&path).is_err(), "a file that was never backed up is opened");
        return;
    }
    let changed = changed(&MADE.bytes, rest);
    fs::write(&path, &changed).expect("written");
    match opened(&path) {
        Ok(records) => assert!(changed == MADE.bytes && records == RECORDS, "a changed backup is opened"),
        Err(error) => {
            assert!(changed != MADE.bytes, "a whole backup is not opened: {error}");
            assert!(!error.to_string().is_empty());
        }
    }
});

/// A piece beside the backups: a file that was never sealed, or the real one with changes.
fn piece(whole: bool, rest: &[u8]) {
    let bytes = if whole { rest.to_vec() } else { changed(&MADE.sealed, rest) };
    let store = SealedPieces::beside(&MADE.folder, &clinic_id(site()), &MADE.key);
    let id = MADE.piece.id();
    fs::write(store.folder().join(store.name(&id)), &bytes).expect("written");
    match store.read(&id) {
        Ok(read) => {
            assert!(bytes == MADE.sealed && read.as_ref() == Some(&MADE.piece), "a changed piece is opened")
        }
        Err(error) => {
            assert!(bytes != MADE.sealed, "a whole piece is not opened: {error}");
            assert!(!error.to_string().is_empty());
        }
    }
}

/// A real file with bytes changed, and its end cut off or longer: three bytes for each change.
fn changed(file: &[u8], edits: &[u8]) -> Vec<u8> {
    let mut file = file.to_vec();
    for edit in edits.chunks_exact(3) {
        let at = usize::from(u16::from_be_bytes([edit[0], edit[1]]));
        match at {
            65_535 => file.push(edit[2]),
            65_534 => file.truncate(file.len().saturating_sub(usize::from(edit[2]))),
            _ if file.is_empty() => {}
            at => {
                let at = at % file.len();
                file[at] = edit[2];
            }
        }
    }
    file
}

/// The records in a backup, opened with the key into an empty folder.
fn opened(path: &Path) -> Result<Vec<u8>, BackupError> {
    let to = MADE.folder.join("to");
    let _ = fs::remove_dir_all(&to);
    fs::create_dir(&to).expect("a folder");
    BackupFile::open(path)?.unlock(&MADE.key)?.extract(&to)?;
    Ok(fs::read(to.join("records.sqlite")).unwrap_or_default())
}
