//! Values of the whole clinic that take seconds to compute: while entries are being saved all the time, each would be
//! out of date before it is ready. Who asks then gets the last one, with its time, while the next is computed.

use crate::records::ClinicRecords;
use archive::{ArchiveError, CacheKey, CacheValue};
use record::Timestamp;
use std::sync::Arc;

/// Clinics up to this size are computed while the caller waits, as everywhere.
const SMALL: usize = 1_500;
/// Between two computations at least, so that one that is asked for all the time does not take all of the processor.
const SECONDS_BETWEEN: i64 = 5;
/// A value older than this is not given: the caller waits for a new one.
const SECONDS_AT_MOST: i64 = 600;

/// A value with when it was begun to be computed.
struct TimedValue<T> {
    value: Arc<T>,
    at: Timestamp,
}

/// A value that is current, or a few minutes old.
#[derive(Debug)]
pub struct RecentValue<T> {
    /// The value.
    pub value: Arc<T>,
    /// When it was begun to be computed: what was saved later is not in it.
    pub at: Timestamp,
    /// Whether nothing was saved since.
    pub is_current: bool,
}

impl ClinicRecords {
    /// A value of the whole clinic: the current one where it is in the cache or the clinic is small; otherwise one
    /// that is at most ten minutes old, while the current one is computed in the background, once for all who ask.
    ///
    /// # Errors
    /// The error of the computation, if the caller has to wait for it.
    pub fn current_or_recent<T: Send + Sync + 'static>(
        &self,
        key: &CacheKey,
        now: Timestamp,
        compute: impl FnOnce(&Self) -> Result<CacheValue<T>, ArchiveError> + Send + 'static,
    ) -> Result<RecentValue<T>, ArchiveError> {
        let generation = self.archive().generation()?;
        let timed = move |records: &Self| {
            let CacheValue { value, bytes, cost } = compute(records)?;
            Ok(CacheValue { value: TimedValue { value: Arc::new(value), at: now }, bytes, cost })
        };
        let found = |timed: &TimedValue<T>, is_current| RecentValue {
            value: Arc::clone(&timed.value),
            at: timed.at,
            is_current,
        };
        if let Some(current) = self.cache().get::<TimedValue<T>>(key, generation) {
            return Ok(found(&current, true));
        }
        let age = |timed: &TimedValue<T>| now.seconds() - timed.at.seconds();
        if self.archive().children_count()? > SMALL
            && let Some(last) = self.cache().latest::<TimedValue<T>>(key)
            && (0..=SECONDS_AT_MOST).contains(&age(&last.value))
        {
            if age(&last.value) >= SECONDS_BETWEEN {
                self.in_background(key, generation, timed);
            }
            return Ok(found(&last.value, false));
        }
        let current = self.cache().once(key, generation, |_| timed(self))?;
        Ok(found(&current, true))
    }
}
