//! The children whose pictures, or videos, are withheld, as the program remembers them while records are open.
//!
//! Only a restore adds to them, and nobody has records open while they are restored, so that they are read once and not
//! for every page.

use archive::{ArchiveError, WithheldPictures};
use record::{ChildId, Timestamp};
use std::{collections::HashMap, sync::OnceLock};

/// Those whose pictures and those whose videos are withheld. Each has a consent of its own.
#[derive(Default)]
pub(crate) struct KnownWithheld {
    /// Pictures.
    pub pictures: WithheldOnce,
    /// Videos.
    pub videos: WithheldOnce,
}

/// Children with the moment since which something of theirs is withheld, read when the first is asked about.
#[derive(Default)]
pub(crate) struct WithheldOnce(OnceLock<HashMap<ChildId, Timestamp>>);

impl WithheldOnce {
    /// Since when it is withheld of a child; `None` if it is not. `read` reads all children, unless they are known.
    ///
    /// # Errors
    /// When they cannot be read; then the next question reads them again.
    pub(crate) fn since(
        &self,
        child: ChildId,
        read: impl FnOnce() -> Result<Vec<WithheldPictures>, ArchiveError>,
    ) -> Result<Option<Timestamp>, ArchiveError> {
        if let Some(known) = self.0.get() {
            return Ok(known.get(&child).copied());
        }
        let read: HashMap<_, _> = read()?.into_iter().map(|one| (one.child, one.at)).collect();
        Ok(self.0.get_or_init(|| read).get(&child).copied())
    }
}

#[cfg(test)]
mod tests {
    #![allow(clippy::unwrap_used)]

    use super::*;
    use uuid::Uuid;

    #[test]
    fn they_are_read_once_and_again_only_after_an_error() {
        let child = |n| ChildId::new(Uuid::from_u128(n));
        let at = Timestamp::from_seconds(60);
        let known = WithheldOnce::default();
        let failed = known.since(child(1), || Err(ArchiveError::NoRecords("absent".into())));
        assert!(failed.is_err());
        let first = known.since(child(1), || Ok(vec![WithheldPictures { child: child(1), at }]));
        assert_eq!(first.unwrap(), Some(at));
        let later = |of| known.since(of, || Err(ArchiveError::NoRecords("read again".into()))).unwrap();
        assert_eq!((later(child(1)), later(child(2))), (Some(at), None));
    }
}
