//! A file of the clinic's own that pages write: the whole file or nothing, with the version before it kept.

use std::{
    fs::{self, File},
    io::{ErrorKind, Result, Write},
    path::{Path, PathBuf},
};

/// A file in the data folder, and the earlier version beside it: `clinic.toml` and `clinic.before.toml`.
#[derive(Debug, Clone)]
pub struct KeptFile {
    now: PathBuf,
    before: PathBuf,
}

impl KeptFile {
    /// The file of this name, which ends in `.toml`.
    #[must_use]
    pub fn of(dir: &Path, name: &str) -> Self {
        let now = dir.join(name);
        let before = now.with_extension("before.toml");
        Self { now, before }
    }

    /// Its place.
    #[must_use]
    pub fn path(&self) -> &Path {
        &self.now
    }

    /// Its text; `None` if there is no such file.
    ///
    /// # Errors
    /// When it is there and cannot be read.
    pub fn read(&self) -> Result<Option<String>> {
        match fs::read_to_string(&self.now) {
            Ok(text) => Ok(Some(text)),
            Err(error) if error.kind() == ErrorKind::NotFound => Ok(None),
            Err(error) => Err(error),
        }
    }

    /// Writes it. The version before is kept, with a first line that says in words when it was replaced and by
    /// whom (`replaced`). When this returns the file is on the disk.
    ///
    /// # Errors
    /// When it cannot be written; the version before then remains.
    pub fn write(&self, text: &str, replaced: &str) -> Result<()> {
        if let Some(earlier) = self.read()? {
            let words: String = replaced.chars().filter(|char| !char.is_control()).collect();
            write_whole(&self.before, &format!("# Replaced {words}.\n{earlier}"))?;
        }
        write_whole(&self.now, text)
    }

    /// Writes it where the version before must remain as it was, because it can be put back in use whole. When this
    /// returns both are on the disk.
    ///
    /// # Errors
    /// When it cannot be written; the version before then remains.
    pub fn replace(&self, text: &str) -> Result<()> {
        if let Some(earlier) = self.read()? {
            write_whole(&self.before, &earlier)?;
        }
        write_whole(&self.now, text)
    }

    /// Puts back what was there before a change that failed; `None` removes the file.
    ///
    /// # Errors
    /// When the disk fails.
    pub fn put_back(&self, earlier: Option<&str>) -> Result<()> {
        match earlier {
            Some(text) => write_whole(&self.now, text),
            None => fs::remove_file(&self.now),
        }
    }
}

/// Writes a file whole, or not at all.
///
/// # Errors
/// When the disk fails; an earlier file of that name then remains.
pub fn write_whole(path: &Path, text: &str) -> Result<()> {
    write_bytes(path, text.as_bytes())
}

/// The same for any contents.
///
/// # Errors
/// As [`write_whole`].
pub fn write_bytes(path: &Path, bytes: &[u8]) -> Result<()> {
    let mut name = path.file_name().unwrap_or_default().to_owned();
    name.push(".new");
    let new = path.with_file_name(name);
    let mut file = clinic::create_private(&new)?;
    file.write_all(bytes)?;
    file.sync_all()?;
    fs::rename(&new, path)?;
    path.parent().map_or(Ok(()), sync_folder)
}

/// Makes a folder that only its owner can enter, with those above it.
///
/// # Errors
/// When it cannot be made.
pub fn private_folder(folder: &Path) -> Result<()> {
    let mut builder = fs::DirBuilder::new();
    builder.recursive(true);
    #[cfg(unix)]
    std::os::unix::fs::DirBuilderExt::mode(&mut builder, 0o700);
    builder.create(folder)
}

/// A renamed file is on the disk once its folder is. Where a folder cannot be opened, as on Windows, the system
/// does that by itself.
///
/// # Errors
/// When the disk fails.
pub fn sync_folder(folder: &Path) -> Result<()> {
    File::open(folder).map_or(Ok(()), |folder| folder.sync_all())
}

#[cfg(test)]
mod tests {
    #![allow(clippy::unwrap_used)]
    use super::*;

    #[test]
    fn the_earlier_version_is_kept_with_the_time_and_the_name() {
        let dir = tempfile::tempdir().unwrap();
        let file = KeptFile::of(dir.path(), "clinic.toml");
        assert_eq!(file.read().unwrap(), None);
        file.write("a = 1\n", "on day 1").unwrap();
        assert!(!dir.path().join("clinic.before.toml").exists(), "there was none before");
        file.write("a = 2\n", "on day 2\nby Ida").unwrap();
        assert_eq!(file.read().unwrap().as_deref(), Some("a = 2\n"));
        let before = fs::read_to_string(dir.path().join("clinic.before.toml")).unwrap();
        assert_eq!(before, "# Replaced on day 2by Ida.\na = 1\n");
        file.put_back(Some("a = 1\n")).unwrap();
        assert_eq!(file.read().unwrap().as_deref(), Some("a = 1\n"));
        file.put_back(None).unwrap();
        assert_eq!(file.read().unwrap(), None);
        assert_eq!(fs::read_dir(dir.path()).unwrap().count(), 1, "nothing half written is left");
    }
}
