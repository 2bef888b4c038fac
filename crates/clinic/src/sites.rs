//! The sites whose entries are in the records, and the author of imports at the command line: saved with the
//! records as settings.

use crate::ClinicRecords;
use archive::ArchiveError;
use record::{SiteId, UserId};
use std::str::FromStr;

const OWN_SITE: &str = "site";
const IMPORT_WRITER: &str = "import-writer";

fn name_of(site: SiteId) -> String {
    format!("site-name {site}")
}

impl ClinicRecords {
    /// The id of this clinic's own site; `None` before [`ClinicRecords::own_site_or`] has saved one.
    ///
    /// # Errors
    /// When the records cannot be read.
    pub fn own_site(&self) -> Result<Option<SiteId>, ArchiveError> {
        self.saved_id(OWN_SITE)
    }

    /// The id of this clinic's own site; at the first start `new`, which is then saved.
    ///
    /// # Errors
    /// When the records cannot be read or written.
    pub fn own_site_or(&self, new: SiteId) -> Result<SiteId, ArchiveError> {
        self.saved_id_or(OWN_SITE, new)
    }

    /// The name of a site; `None` where no name is saved.
    ///
    /// # Errors
    /// When the records cannot be read.
    pub fn site_name(&self, site: SiteId) -> Result<Option<String>, ArchiveError> {
        let name = self.archive().setting(&name_of(site))?;
        Ok(name.filter(|name| !name.trim().is_empty()))
    }

    /// Saves the name of a site, so that it is known wherever the records are read.
    ///
    /// # Errors
    /// When the records cannot be read or written.
    pub fn save_site_name(&self, site: SiteId, name: &str) -> Result<(), ArchiveError> {
        let key = name_of(site);
        if self.archive().setting(&key)?.as_deref() == Some(name) {
            return Ok(());
        }
        self.archive().set_setting(&key, Some(name.to_owned()))
    }

    /// The author of entries that were imported at the command line; `None` before the first such import.
    ///
    /// # Errors
    /// When the records cannot be read.
    pub fn import_writer(&self) -> Result<Option<UserId>, ArchiveError> {
        self.saved_id(IMPORT_WRITER)
    }

    /// The author of entries that are imported at the command line; at the first import `new`, which is then
    /// saved.
    ///
    /// # Errors
    /// When the records cannot be read or written.
    pub fn import_writer_or(&self, new: UserId) -> Result<UserId, ArchiveError> {
        self.saved_id_or(IMPORT_WRITER, new)
    }

    /// An id that cannot be read is damage: taken for missing, it would be replaced by a new one.
    fn saved_id<T: FromStr>(&self, key: &str) -> Result<Option<T>, ArchiveError> {
        let read = |text: String| {
            text.parse::<T>().map_err(|_| ArchiveError::Damaged(format!("its setting “{key}” is not an id")))
        };
        self.archive().setting(key)?.map(read).transpose()
    }

    fn saved_id_or<T: FromStr + ToString>(&self, key: &str, new: T) -> Result<T, ArchiveError> {
        if let Some(saved) = self.saved_id(key)? {
            return Ok(saved);
        }
        self.archive().set_setting(key, Some(new.to_string()))?;
        Ok(new)
    }
}
