//! How the records are opened.

use crate::{
    database_file::DatabaseFile,
    database_key::DatabaseKey,
    schema,
    summary::{Progress, Summarise, Summary},
    witness::WitnessPlace,
};
use record::Entry;
use std::{path::Path, sync::Arc};

/// How summaries are computed.
#[derive(Clone)]
pub struct Options {
    /// Computes a child's summary.
    pub summarise: Summarise,
    /// A hash of everything that the summary depends on except the log: protocol and program version. If it
    /// differs from the stored one, all summaries are computed again on opening.
    pub summary_version: String,
    /// Reports the progress of that, because it can take a while.
    pub on_rebuild: Option<Progress>,
    /// A limit of the size of the file, in pages of 4096 bytes; beyond it the disk counts as full.
    pub most_pages: Option<u32>,
    /// Where the witness of the records is; `None` for records without one.
    pub witness: Option<WitnessPlace>,
    /// Whether the structure of the file is checked before it is opened (`PRAGMA quick_check`), which reads all of it.
    pub quick_check: bool,
    /// The key of the file; `None` for records that are not encrypted.
    pub key: Option<DatabaseKey>,
}

impl Options {
    /// Options without a progress report or a limit.
    #[must_use]
    pub fn new(
        summary_version: impl Into<String>,
        summarise: impl Fn(&[Entry]) -> Summary + Send + Sync + 'static,
    ) -> Self {
        Self {
            summarise: Arc::new(summarise),
            summary_version: summary_version.into(),
            on_rebuild: None,
            most_pages: None,
            witness: None,
            quick_check: false,
            key: None,
        }
    }
}

impl Options {
    pub(crate) fn file_in(&self, dir: &Path) -> DatabaseFile {
        DatabaseFile::new(dir.join(schema::FILE_NAME), self.key.as_ref())
    }
}
