//! Pages that are being drawn: a few at a time, and each once however many ask for it.

use clinic::CacheKey;
use std::{
    collections::HashMap,
    sync::{
        Arc, Mutex, PoisonError, Weak,
        atomic::{AtomicU64, Ordering},
    },
};
use tokio::sync::{Mutex as Turn, OwnedMutexGuard, Semaphore, SemaphorePermit};

/// The pages that are being drawn.
pub struct PagesInWork {
    /// More at once would only need more memory.
    at_once: Semaphore,
    turns: Mutex<HashMap<CacheKey, Weak<Turn<()>>>>,
    drawn: AtomicU64,
}

impl PagesInWork {
    /// So many pages are drawn at once at most.
    #[must_use]
    pub fn new(at_once: usize) -> Self {
        Self { at_once: Semaphore::new(at_once), turns: Mutex::default(), drawn: AtomicU64::new(0) }
    }

    /// Waits until nobody else draws this page. Whoever waited looks into the cache again.
    pub async fn alone(&self, key: &CacheKey) -> OwnedMutexGuard<()> {
        let turn = {
            let mut turns = self.turns.lock().unwrap_or_else(PoisonError::into_inner);
            if let Some(turn) = turns.get(key).and_then(Weak::upgrade) {
                turn
            } else {
                turns.retain(|_, turn| turn.strong_count() > 0);
                let turn = Arc::new(Turn::new(()));
                turns.insert(key.clone(), Arc::downgrade(&turn));
                turn
            }
        };
        turn.lock_owned().await
    }

    /// Waits for a place among those that draw.
    pub async fn begin(&self) -> Option<SemaphorePermit<'_>> {
        // Fails only when the server stops.
        let place = self.at_once.acquire().await.ok();
        self.drawn.fetch_add(1, Ordering::Relaxed);
        place
    }

    /// How many pages were drawn since the start; those from the cache are not counted.
    #[must_use]
    pub fn drawn(&self) -> u64 {
        self.drawn.load(Ordering::Relaxed)
    }
}
