//! The clinic as a site: its id and its name, saved with the records.

use crate::clock::Clock;
use clinic::archive::{Archive, ArchiveError};
use record::SiteId;

const SITE_KEY: &str = "site";

/// The clinic's own id, if it was made already.
///
/// # Errors
/// When the records cannot be read.
pub fn known_site(archive: &Archive) -> Result<Option<SiteId>, ArchiveError> {
    Ok(archive.setting(SITE_KEY)?.and_then(|text| text.parse().ok()))
}

/// The clinic's own id, made at the first start.
///
/// # Errors
/// When the records cannot be read or written.
pub fn site(archive: &Archive, clock: Clock) -> Result<SiteId, ArchiveError> {
    if let Some(id) = known_site(archive)? {
        return Ok(id);
    }
    let id = SiteId::new(clock.id());
    archive.set_setting(SITE_KEY, Some(id.to_string()))?;
    Ok(id)
}

/// Saves the clinic's name with its records, so that its site has a name wherever they are read.
///
/// # Errors
/// When the records cannot be read or written.
pub fn save_name(archive: &Archive, site: SiteId, name: &str) -> Result<(), ArchiveError> {
    let key = crate::results_table::site_setting(site);
    if archive.setting(&key)?.as_deref() != Some(name) {
        archive.set_setting(&key, Some(name.to_owned()))?;
    }
    Ok(())
}
