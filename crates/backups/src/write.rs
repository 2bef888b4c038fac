//! Writes a backup under a temporary name; the caller reads it back before it gets its own.

use crate::{
    error::{BackupError, at},
    header::BackupHeader,
    manifest::{BackedUpFile, LONGEST_LIST, Manifest, is_plain},
};
use safekeeping::{RecordsKey, SafekeepingError};
use std::{
    fs::{self, File, OpenOptions},
    io::{BufWriter, Read, Write},
    path::{Path, PathBuf},
};

const PIECE: usize = 1 << 16;
/// The beginning of the encrypted part.
pub(crate) const MAGIC: &[u8] = b"plantigrade bundle 1\n";

/// A file that is to be backed up.
#[derive(Debug, Clone, PartialEq, Eq)]
pub struct BackupSource {
    /// Its name in the backup.
    pub name: String,
    /// Where it is now. It must not change while it is read.
    pub path: PathBuf,
}

/// A backup that was written, and is not yet counted as one. It is deleted unless it is finished.
#[derive(Debug)]
pub struct UnfinishedBackup {
    part: PathBuf,
    to: PathBuf,
    finished: bool,
}

/// Writes a backup into a folder. `manifest` is completed with the files and the hash of the header. When this returns
/// the file is on the disk, under a temporary name.
///
/// # Errors
/// When the disk is full or away, or a file changes while it is read. Nothing is then left behind.
pub fn write(
    folder: &Path,
    header: &BackupHeader,
    mut manifest: Manifest,
    key: &RecordsKey,
    sources: &[BackupSource],
) -> Result<UnfinishedBackup, BackupError> {
    if !folder.is_dir() {
        return Err(BackupError::Away(folder.to_owned()));
    }
    let to = folder.join(header.file_name());
    let part = to.with_extension("backup-unfinished");
    let unfinished = UnfinishedBackup { part, to, finished: false };
    let line = header.line()?;
    manifest.header = blake3::hash(line.as_bytes()).to_hex().to_string();
    manifest.files = sources.iter().map(listed).collect::<Result<_, _>>()?;
    let path = &unfinished.part;
    let mut file = BufWriter::with_capacity(PIECE, create(path)?);
    file.write_all(line.as_bytes()).map_err(at(path))?;
    let file = encrypted(file, &manifest, key, sources, path)?;
    let file = file.into_inner().map_err(|error| at(path)(error.into_error()))?;
    file.sync_all().map_err(at(path))?;
    Ok(unfinished)
}

/// Only the owner may read it, although it is encrypted.
pub(crate) fn create(path: &Path) -> Result<File, BackupError> {
    let mut options = OpenOptions::new();
    options.create(true).truncate(true).write(true);
    #[cfg(unix)]
    std::os::unix::fs::OpenOptionsExt::mode(&mut options, 0o600);
    options.open(path).map_err(at(path))
}

fn encrypted(
    to: BufWriter<File>,
    manifest: &Manifest,
    key: &RecordsKey,
    sources: &[BackupSource],
    path: &Path,
) -> Result<BufWriter<File>, BackupError> {
    let failed = |why: String| BackupError::Key(SafekeepingError::Failed(why));
    let recipient = key.backup_identity()?.to_public();
    let to_all = std::iter::once(&recipient as &dyn age::Recipient);
    let encryptor = age::Encryptor::with_recipients(to_all).map_err(|error| failed(error.to_string()))?;
    let mut out = encryptor.wrap_output(to).map_err(at(path))?;
    let list = serde_json::to_vec(manifest).map_err(|error| failed(error.to_string()))?;
    let length = u32::try_from(list.len()).ok().filter(|length| *length <= LONGEST_LIST);
    let length = length.ok_or_else(|| failed("there are too many photographs and videos to list".into()))?;
    out.write_all(MAGIC).map_err(at(path))?;
    out.write_all(&length.to_be_bytes()).map_err(at(path))?;
    out.write_all(&list).map_err(at(path))?;
    for (source, listed) in sources.iter().zip(&manifest.files) {
        let copied = hashed(source, |piece| out.write_all(piece).map_err(at(path)))?;
        if copied != *listed {
            return Err(BackupError::Changed(source.path.clone()));
        }
    }
    out.finish().map_err(at(path))
}

fn listed(source: &BackupSource) -> Result<BackedUpFile, BackupError> {
    if !is_plain(&source.name) {
        let why = format!("{} is no name for a file in a backup", source.name);
        return Err(BackupError::Key(SafekeepingError::Failed(why)));
    }
    hashed(source, |_| Ok(()))
}

/// Reads a file piece by piece, and returns how it is listed.
fn hashed(
    source: &BackupSource,
    mut each: impl FnMut(&[u8]) -> Result<(), BackupError>,
) -> Result<BackedUpFile, BackupError> {
    let mut file = File::open(&source.path).map_err(at(&source.path))?;
    let (mut hasher, mut bytes, mut piece) = (blake3::Hasher::new(), 0, vec![0; PIECE]);
    loop {
        let read = file.read(&mut piece).map_err(at(&source.path))?;
        let Some(read) = piece.get(..read).filter(|read| !read.is_empty()) else { break };
        hasher.update(read);
        bytes += read.len() as u64;
        each(read)?;
    }
    Ok(BackedUpFile { name: source.name.clone(), bytes, hash: hasher.finalize().to_hex().to_string() })
}

impl UnfinishedBackup {
    /// Where it is now.
    #[must_use]
    pub fn path(&self) -> &Path {
        &self.part
    }

    /// Gives it its name. When this returns it is a backup, and on the disk.
    ///
    /// # Errors
    /// When the disk fails.
    pub fn finish(mut self) -> Result<PathBuf, BackupError> {
        fs::rename(&self.part, &self.to).map_err(at(&self.to))?;
        self.finished = true;
        // Makes the new name durable on systems where a folder can be flushed.
        if let Some(folder) = self.to.parent().and_then(|folder| File::open(folder).ok()) {
            folder.sync_all().map_err(at(&self.to))?;
        }
        Ok(self.to.clone())
    }
}

impl Drop for UnfinishedBackup {
    fn drop(&mut self) {
        if !self.finished {
            let _ = fs::remove_file(&self.part);
        }
    }
}
