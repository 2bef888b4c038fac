//! Reads a backup: its header without a key, the rest with it.

use crate::{
    error::{BackupError, at, damaged},
    header::{BACKUP_END, BackupHeader},
    manifest::{BackedUpFile, LONGEST_LIST, Manifest, is_plain},
    piece_id::BackedUpPiece,
    pieces_folder::pieces_folder_name,
    write::MAGIC,
};
use age::stream::StreamReader;
use safekeeping::RecordsKey;
use std::{
    fs::{self, File, OpenOptions},
    io::{BufReader, ErrorKind, Read, Write},
    path::{Path, PathBuf},
};

const PIECE: usize = 1 << 16;

/// A backup, of which only the header was read.
#[derive(Debug, Clone, PartialEq, Eq)]
pub struct BackupFile {
    /// Where it is.
    pub path: PathBuf,
    /// Its first line. It is authenticated only once the backup is opened.
    pub header: BackupHeader,
}

/// A backup that was opened with its key.
pub struct OpenBackup {
    path: PathBuf,
    manifest: Manifest,
    rest: StreamReader<BufReader<File>>,
}

impl BackupFile {
    /// Reads the header of a file.
    ///
    /// # Errors
    /// When it cannot be read, is no backup, or is of a later form.
    pub fn open(path: &Path) -> Result<Self, BackupError> {
        let mut file = BufReader::new(File::open(path).map_err(at(path))?);
        let (header, _) = BackupHeader::read(&mut file, path)?;
        Ok(Self { path: path.to_owned(), header })
    }

    /// Opens it with the key and reads the list of what is in it.
    ///
    /// # Errors
    /// [`BackupError::WrongKey`], [`BackupError::Damaged`], or an error of the disk.
    pub fn unlock(&self, key: &RecordsKey) -> Result<OpenBackup, BackupError> {
        let path = &self.path;
        let mut file = BufReader::with_capacity(PIECE, File::open(path).map_err(at(path))?);
        let (header, line) = BackupHeader::read(&mut file, path)?;
        let decryptor = age::Decryptor::new_buffered(file).map_err(|error| of_age(error, path))?;
        let identity = key.backup_identity()?;
        let rest = decryptor.decrypt(std::iter::once(&identity as &dyn age::Identity));
        let mut rest = rest.map_err(|error| of_age(error, path))?;
        let manifest = read_list(&mut rest, path)?;
        if manifest.header != blake3::hash(&line).to_hex().as_str() || header != self.header {
            return Err(damaged(path, "its first line was changed"));
        }
        let folder = header.pieces.as_ref();
        let is_own = folder.is_none_or(|folder| *folder == pieces_folder_name(&header.clinic, key));
        if !is_own || folder.is_some() == manifest.pieces.is_empty() {
            return Err(damaged(
                path,
                "its first line and its list disagree about the photographs beside it",
            ));
        }
        Ok(OpenBackup { path: path.clone(), manifest, rest })
    }

    /// Deletes the backup, if it is still the one that was read.
    ///
    /// # Errors
    /// When it is another file by now, or the disk fails.
    pub fn remove(&self) -> Result<(), BackupError> {
        let there = Self::open(&self.path)?;
        let named = self.path.file_name().unwrap_or_default().to_string_lossy();
        if there.header != self.header || named != self.header.file_name() || !named.ends_with(BACKUP_END) {
            return Err(BackupError::NotBackup(self.path.clone()));
        }
        fs::remove_file(&self.path).map_err(at(&self.path))
    }
}

pub(crate) fn of_age(error: age::DecryptError, path: &Path) -> BackupError {
    match error {
        age::DecryptError::NoMatchingKeys | age::DecryptError::KeyDecryptionFailed => {
            BackupError::WrongKey(path.to_owned())
        }
        age::DecryptError::Io(error) if !is_content(&error) => at(path)(error),
        other => damaged(path, other.to_string()),
    }
}

/// Whether an error is about what was read, and not about reading it.
fn is_content(error: &std::io::Error) -> bool {
    matches!(error.kind(), ErrorKind::InvalidData | ErrorKind::UnexpectedEof | ErrorKind::InvalidInput)
        || (error.raw_os_error().is_none() && error.kind() == ErrorKind::Other)
}

pub(crate) fn of_reading(error: std::io::Error, path: &Path) -> BackupError {
    if is_content(&error) {
        damaged(path, "a part of it was changed, or its end is missing")
    } else {
        at(path)(error)
    }
}

fn read_list(from: &mut impl Read, path: &Path) -> Result<Manifest, BackupError> {
    let mut exactly = |bytes: &mut [u8]| from.read_exact(bytes).map_err(|error| of_reading(error, path));
    let mut magic = [0; MAGIC.len()];
    exactly(&mut magic)?;
    let mut length = [0; 4];
    exactly(&mut length)?;
    let length = u32::from_be_bytes(length);
    if magic != *MAGIC || length > LONGEST_LIST {
        return Err(damaged(path, "it is encrypted with the right key, but holds no backup"));
    }
    let mut list = vec![0; usize::try_from(length).unwrap_or(0)];
    exactly(&mut list)?;
    let manifest: Manifest =
        serde_json::from_slice(&list).map_err(|error| damaged(path, error.to_string()))?;
    if let Some(file) = manifest.files.iter().find(|file| !is_plain(&file.name)) {
        return Err(damaged(path, format!("it names a file {}", file.name)));
    }
    match manifest.pieces.iter().map(BackedUpPiece::id).find(Option::is_none) {
        Some(_) => Err(damaged(path, "it lists a piece without a hash")),
        None => Ok(manifest),
    }
}

impl OpenBackup {
    /// What is in it.
    #[must_use]
    pub fn manifest(&self) -> &Manifest {
        &self.manifest
    }

    /// Writes every file below a folder, which is empty, readable by the owner only. When this returns the whole backup
    /// was read to its end, every hash fits, and the files are on the disk.
    ///
    /// # Errors
    /// When something in it is not as it was written, or the disk fails. The folder can then be deleted.
    pub fn extract(mut self, to: &Path) -> Result<Manifest, BackupError> {
        for file in &self.manifest.files {
            let target = to.join(&file.name);
            if let Some(folder) = target.parent().filter(|folder| *folder != to) {
                fs::create_dir_all(folder).map_err(at(folder))?;
            }
            extract_one(&mut self.rest, file, &target, &self.path)?;
        }
        let mut more = [0];
        match self.rest.read(&mut more) {
            Ok(0) => Ok(self.manifest),
            Ok(_) => Err(damaged(&self.path, "more follows behind its end")),
            Err(error) => Err(of_reading(error, &self.path)),
        }
    }
}

fn extract_one(
    from: &mut impl Read,
    file: &BackedUpFile,
    target: &Path,
    path: &Path,
) -> Result<(), BackupError> {
    let mut options = OpenOptions::new();
    options.create_new(true).write(true);
    #[cfg(unix)]
    std::os::unix::fs::OpenOptionsExt::mode(&mut options, 0o600);
    let mut to = options.open(target).map_err(at(target))?;
    let (mut hasher, mut left, mut piece) = (blake3::Hasher::new(), file.bytes, vec![0; PIECE]);
    while left > 0 {
        let wanted = usize::try_from(left).unwrap_or(PIECE).min(PIECE);
        let Some(part) = piece.get_mut(..wanted) else { break };
        from.read_exact(part).map_err(|error| of_reading(error, path))?;
        hasher.update(part);
        to.write_all(part).map_err(at(target))?;
        left -= part.len() as u64;
    }
    if hasher.finalize().to_hex().as_str() != file.hash {
        return Err(damaged(path, format!("{} in it is not as it was written", file.name)));
    }
    to.sync_all().map_err(at(target))
}
