//! Changes how summaries are computed while the records are in use, as after a change of the protocol.

use crate::{archive::Archive, error::ArchiveError, rebuild, rebuild::Summarising, summary::Summarise};
use std::sync::Arc;

impl Archive {
    /// Computes every summary again with `summarise`, in one transaction, and uses it from then on. `then` is
    /// called after the commit and before the generation rises, so that whoever reads the new generation finds
    /// what `then` changed. Every value computed before is of an earlier generation and no longer valid. Until
    /// the commit lists and searches show the earlier summaries; writes wait.
    ///
    /// # Errors
    /// When the records are open for reading only, a summary cannot be computed, or the disk fails. Nothing is
    /// then changed, and `then` is not called.
    pub fn change_summaries(
        &self,
        version: &str,
        summarise: Summarise,
        then: impl FnOnce() + Send + 'static,
    ) -> Result<(), ArchiveError> {
        let new = Arc::new(Summarising::new(version, summarise));
        let (present, watch) = (self.summarising(), self.shared_watch());
        let computed = Arc::clone(&new);
        let answered = self.writer()?.begin_alone_then(
            move |conn| rebuild::rebuild_within(conn, &computed),
            move || {
                present.become_as(&new);
                then();
                watch.every_child_changed();
            },
        )?;
        answered.recv().unwrap_or(Err(ArchiveError::Closed))
    }
}
