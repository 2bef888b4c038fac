//! Files that only their owner can read: the records have names and dates of birth. The mode is given when a file is
//! made, so that it does not depend on what the user's shell allows, and no moment is left in which others could open
//! it.

use std::{
    fs::{File, OpenOptions},
    io::Result,
    path::Path,
};

/// Options for a file that only its owner can read once it is made. On systems without modes the user's own folder is
/// closed to other users.
#[must_use]
pub fn private_options() -> OpenOptions {
    let mut options = OpenOptions::new();
    #[cfg(unix)]
    std::os::unix::fs::OpenOptionsExt::mode(&mut options, 0o600);
    options
}

/// Opens a file to be written anew, readable by its owner only.
///
/// # Errors
/// When it cannot be made.
pub fn create_private(path: &Path) -> Result<File> {
    let file = private_options().write(true).create(true).truncate(true).open(path)?;
    make_private(path)?;
    Ok(file)
}

/// Makes an empty file for a library that opens it by itself, unless there is one.
///
/// # Errors
/// When it cannot be made.
pub fn touch_private(path: &Path) -> Result<()> {
    private_options().write(true).create(true).truncate(false).open(path).map(|_| ())
}

/// Closes a file or folder to other users. Returns whether it was open to them.
///
/// # Errors
/// When it belongs to somebody else, or is gone.
#[cfg(unix)]
pub fn make_private(path: &Path) -> Result<bool> {
    use std::os::unix::fs::PermissionsExt;
    let mut found = std::fs::metadata(path)?.permissions();
    if found.mode() & 0o077 == 0 {
        return Ok(false);
    }
    found.set_mode(found.mode() & 0o700);
    std::fs::set_permissions(path, found).map(|()| true)
}

/// On other systems the user's own folder is closed to other users.
///
/// # Errors
/// None.
#[cfg(not(unix))]
pub fn make_private(_: &Path) -> Result<bool> {
    Ok(false)
}
