//! The folder of pieces beside the backups: each photograph and each piece of a video is sealed there once, and every
//! backup in the folder lists those that belong to it.
//!
//! A piece never changes. Its name is a keyed hash of what identifies it, in a folder of the first two digits, so that no
//! folder has very many files. After a change of the key the pieces are sealed anew in another folder; the earlier
//! backups keep theirs.

use crate::{
    error::{BackupError, at, damaged},
    piece_file::{LONGEST_PIECE, PieceContents, opened, sealed},
    piece_id::{BackedUpPiece, PieceId},
    pieces_folder::{PIECES_END, pieces_folder_name},
    write::create,
};
use safekeeping::RecordsKey;
use std::{
    collections::{BTreeSet, HashMap, HashSet},
    ffi::OsString,
    fs::{self, File},
    io::{ErrorKind, Write},
    path::{Path, PathBuf},
};

const UNFINISHED: &str = "-unfinished";
const NAME_DIGITS: usize = 64;
const FOLDER_DIGITS: usize = 2;

/// The folders of pieces of a clinic beside its backups, those of other keys too.
///
/// # Errors
/// When the folder of the backups cannot be read.
pub fn pieces_folders(backups: &Path, clinic: &str) -> Result<Vec<PathBuf>, BackupError> {
    let begin = format!("plantigrade-{clinic}-");
    let mut found = Vec::new();
    for entry in fs::read_dir(backups).map_err(at(backups))? {
        let entry = entry.map_err(at(backups))?;
        let name = entry.file_name().to_string_lossy().into_owned();
        // A link may lead anywhere.
        let is_folder = entry.file_type().is_ok_and(|kind| kind.is_dir());
        if is_folder && name.starts_with(&begin) && name.ends_with(PIECES_END) {
            found.push(entry.path());
        }
    }
    found.sort();
    Ok(found)
}

/// Removes the pieces of a folder that no backup names, and the folder if nothing else is in it. Returns how many there
/// were.
///
/// # Errors
/// When one cannot be removed.
pub fn remove_pieces_folder(folder: &Path) -> Result<usize, BackupError> {
    remove_unfinished(folder)?;
    let mut removed = 0;
    for (path, _) in files_in(folder)? {
        fs::remove_file(&path).map_err(at(folder))?;
        removed += 1;
    }
    for within in folders_in(folder)? {
        // Fails where something else is in it, which stays.
        let _ = fs::remove_dir(within);
    }
    let _ = fs::remove_dir(folder);
    Ok(removed)
}

/// The pieces beside the backups of one clinic, sealed with one key.
#[derive(Debug)]
pub struct SealedPieces {
    folder: PathBuf,
    key: RecordsKey,
    written_in: BTreeSet<PathBuf>,
}

impl SealedPieces {
    /// Those in a folder of backups. Nothing is read or made.
    #[must_use]
    pub fn beside(backups: &Path, clinic: &str, key: &RecordsKey) -> Self {
        let folder = backups.join(pieces_folder_name(clinic, key));
        Self { folder, key: key.clone(), written_in: BTreeSet::new() }
    }

    /// Their folder.
    #[must_use]
    pub fn folder(&self) -> &Path {
        &self.folder
    }

    /// The name of the file of a piece within the folder.
    #[must_use]
    pub fn name(&self, id: &PieceId) -> String {
        let name = self.key.piece_name(&id.bytes());
        let first: String = name.chars().take(FOLDER_DIGITS).collect();
        format!("{first}/{name}")
    }

    /// Makes the folder, for its owner only, and removes what a backup left unfinished that was stopped.
    ///
    /// # Errors
    /// When the disk of the backups fails or is away.
    pub fn prepare(&self) -> Result<(), BackupError> {
        make_folder(&self.folder).map_err(at(&self.folder))?;
        remove_unfinished(&self.folder)
    }

    /// The lengths of all pieces that are there, by their names. None where there is no folder.
    ///
    /// # Errors
    /// When the folder cannot be read.
    pub fn lengths(&self) -> Result<HashMap<String, u64>, BackupError> {
        let mut lengths = HashMap::new();
        if self.folder.is_dir() {
            for (path, bytes) in files_in(&self.folder)? {
                let file = path.file_name().unwrap_or_default().to_string_lossy().into_owned();
                let first: String = file.chars().take(FOLDER_DIGITS).collect();
                lengths.insert(format!("{first}/{file}"), bytes);
            }
        }
        Ok(lengths)
    }

    /// Seals a piece in the folder that [`SealedPieces::prepare`] made: written under a temporary name, flushed, read
    /// back, decrypted and compared; only then it gets its own name, in place of what was there under it. That name is
    /// on the disk once [`SealedPieces::flush`] returns.
    ///
    /// # Errors
    /// When the disk is full or away, or what is read back is something else. Nothing is then left behind.
    pub fn seal(&mut self, contents: &PieceContents) -> Result<BackedUpPiece, BackupError> {
        let id = contents.id();
        let to = self.folder.join(self.name(&id));
        let within = to.parent().unwrap_or(&self.folder).to_owned();
        make_folder(&within).map_err(at(&self.folder))?;
        let bytes = sealed(contents, &self.key)?;
        let mut part = OsString::from(&to);
        part.push(UNFINISHED);
        let part = PathBuf::from(part);
        let written = self.write_and_read_back(&part, &bytes, contents);
        let named = written.and_then(|()| fs::rename(&part, &to).map_err(at(&self.folder)));
        if named.is_err() {
            let _ = fs::remove_file(&part);
        }
        named?;
        self.written_in.insert(within);
        Ok(BackedUpPiece::of(&id, bytes.len() as u64))
    }

    fn write_and_read_back(
        &self,
        part: &Path,
        bytes: &[u8],
        contents: &PieceContents,
    ) -> Result<(), BackupError> {
        let mut file = create(part)?;
        file.write_all(bytes).and_then(|()| file.sync_all()).map_err(at(&self.folder))?;
        drop(file);
        let back = fs::read(part).map_err(at(&self.folder))?;
        match opened(&back, &self.key, part)? == *contents {
            true => Ok(()),
            false => Err(damaged(part, "reading it back gave something else than was written")),
        }
    }

    /// Flushes the folders in which pieces were sealed: when this returns they are there also after a loss of power.
    ///
    /// # Errors
    /// When the disk fails.
    pub fn flush(&mut self) -> Result<(), BackupError> {
        let within = std::mem::take(&mut self.written_in);
        let above = [Some(self.folder.as_path()), self.folder.parent()];
        for folder in within.iter().map(PathBuf::as_path).chain(above.into_iter().flatten()) {
            // Only where the system lets a folder be flushed.
            if let Ok(folder) = File::open(folder) {
                folder.sync_all().map_err(at(&self.folder))?;
            }
        }
        Ok(())
    }

    /// Reads a piece and compares it with its hashes; `None` where it is not there.
    ///
    /// # Errors
    /// When it is not as it was written, is sealed with another key, or the disk fails.
    pub fn read(&self, id: &PieceId) -> Result<Option<PieceContents>, BackupError> {
        let path = self.folder.join(self.name(id));
        let bytes = match fs::metadata(&path) {
            Ok(found) if found.len() > LONGEST_PIECE * 2 => return Err(damaged(&path, "it is far too long")),
            Ok(_) => fs::read(&path).map_err(at(&path))?,
            Err(error) if error.kind() == ErrorKind::NotFound => return Ok(None),
            Err(error) => return Err(at(&path)(error)),
        };
        let contents = opened(&bytes, &self.key, &path)?;
        // The file of another piece under this name.
        if contents.id() == *id { Ok(Some(contents)) } else { Err(damaged(&path, "it is another piece")) }
    }

    /// Removes every piece but these, and nothing that has not the name of one. Returns how many there were.
    ///
    /// # Errors
    /// When one cannot be removed.
    pub fn keep_only(&self, listed: &HashSet<PieceId>) -> Result<usize, BackupError> {
        let names: HashSet<PathBuf> = listed.iter().map(|id| self.folder.join(self.name(id))).collect();
        let mut removed = 0;
        for (path, _) in files_in(&self.folder)? {
            if !names.contains(&path) {
                fs::remove_file(&path).map_err(at(&self.folder))?;
                removed += 1;
            }
        }
        Ok(removed)
    }
}

fn make_folder(folder: &Path) -> std::io::Result<()> {
    let mut builder = fs::DirBuilder::new();
    #[cfg(unix)]
    std::os::unix::fs::DirBuilderExt::mode(&mut builder, 0o700);
    match builder.create(folder) {
        Err(error) if error.kind() == ErrorKind::AlreadyExists && folder.is_dir() => Ok(()),
        made => made,
    }
}

fn is_hexadecimal(text: &str, digits: usize) -> bool {
    text.len() == digits && text.bytes().all(|byte| matches!(byte, b'0'..=b'9' | b'a'..=b'f'))
}

/// Whether a file of this name within a folder is a piece.
fn is_piece(within: &Path, name: &str) -> bool {
    let folder = within.file_name().unwrap_or_default().to_string_lossy();
    is_hexadecimal(&folder, FOLDER_DIGITS) && is_hexadecimal(name, NAME_DIGITS) && name.starts_with(&*folder)
}

fn remove_unfinished(folder: &Path) -> Result<(), BackupError> {
    for within in folders_in(folder)? {
        for found in fs::read_dir(&within).map_err(at(folder))?.flatten() {
            let name = found.file_name().to_string_lossy().into_owned();
            if name.strip_suffix(UNFINISHED).is_some_and(|name| is_piece(&within, name)) {
                fs::remove_file(found.path()).map_err(at(folder))?;
            }
        }
    }
    Ok(())
}

/// The folders of two digits within a folder of pieces.
fn folders_in(folder: &Path) -> Result<Vec<PathBuf>, BackupError> {
    let mut found = Vec::new();
    for entry in fs::read_dir(folder).map_err(at(folder))? {
        let entry = entry.map_err(at(folder))?;
        let is_folder = entry.file_type().is_ok_and(|kind| kind.is_dir());
        if is_folder && is_hexadecimal(&entry.file_name().to_string_lossy(), FOLDER_DIGITS) {
            found.push(entry.path());
        }
    }
    Ok(found)
}

/// Every piece within a folder of pieces, with its length.
fn files_in(folder: &Path) -> Result<Vec<(PathBuf, u64)>, BackupError> {
    let mut found = Vec::new();
    for within in folders_in(folder)? {
        for entry in fs::read_dir(&within).map_err(at(folder))? {
            let entry = entry.map_err(at(folder))?;
            let is_file = entry.file_type().is_ok_and(|kind| kind.is_file());
            if is_file && is_piece(&within, &entry.file_name().to_string_lossy()) {
                found.push((entry.path(), entry.metadata().map_err(at(folder))?.len()));
            }
        }
    }
    Ok(found)
}
