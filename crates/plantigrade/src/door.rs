//! What answers at the address of the program at present: the page of locked records, the pages of the clinic, or a
//! page that says that the records are being encrypted. One takes the place of the other while the address is served.

use crate::rewriting::NewKey;
use axum::{Router, extract::Request, response::IntoResponse};
use record::Timestamp;
use safekeeping::{RecordsKey, UnlockSecret};
use std::{
    path::PathBuf,
    sync::{Arc, PoisonError, RwLock},
};
use tokio::sync::{mpsc::UnboundedSender, oneshot};
use tower::ServiceExt;

/// What answers at present. A clone is another handle to the same.
#[derive(Clone)]
pub struct ServedDoor(Arc<RwLock<Router>>);

impl ServedDoor {
    /// A door with what answers first.
    #[must_use]
    pub fn new(router: Router) -> Self {
        Self(Arc::new(RwLock::new(router)))
    }

    /// Lets something else answer from the next request on.
    pub fn exchange(&self, router: Router) {
        *self.0.write().unwrap_or_else(PoisonError::into_inner) = router;
    }

    /// The router to be served: it hands every request to what answers at present.
    pub fn router(&self) -> Router {
        let door = self.clone();
        Router::new().fallback(move |request: Request| {
            let now = door.0.read().unwrap_or_else(PoisonError::into_inner).clone();
            async move { now.oneshot(request).await.into_response() }
        })
    }
}

/// What a page asks of the program as a whole.
pub enum DoorOrder {
    /// The records were unlocked: open them, and say when they are open or why they cannot be.
    Open(RecordsKey, oneshot::Sender<Result<(), String>>),
    /// Close the records, write them anew with another key and open them again. Says when nothing else answers any more.
    Rewrite(Box<NewKey>, oneshot::Sender<()>),
    /// Close the records, which are empty, restore a backup in their place and open them. Says when nothing else answers
    /// any more.
    Restore(Box<RestoreRequest>, oneshot::Sender<()>),
}

/// A backup to be restored in place of the records that are open.
#[derive(Debug)]
pub struct RestoreRequest {
    /// Its file.
    pub file: PathBuf,
    /// What opens it.
    pub secret: UnlockSecret,
    /// Why it is restored.
    pub reason: String,
    /// When.
    pub at: Timestamp,
}

/// What came of restoring a backup, in sentences.
#[derive(Debug, Clone, PartialEq, Eq)]
pub enum RestoreOutcome {
    /// It was restored.
    Restored(String),
    /// It was not.
    Failed(String),
}

/// Takes orders.
pub type DoorOrders = UnboundedSender<DoorOrder>;
