//! The one cache: values computed from the log, each valid for a generation of it.
//!
//! The key of a value is its kind, its child and its day ([`CacheKey`]). A value is returned only while the
//! log, or the log of its child, is of the generation for which it was computed ([`Archive::generation`],
//! [`Archive::generation_of`]), so a write need not invalidate it. The protocol is not part of the key: when
//! it changes, a new generation begins for every child ([`Archive::change_summaries`]).
//!
//! # Size
//! Each value has an estimated size in bytes, and all together have at most [`CACHE_BYTES`]: 96 MiB hold what
//! a clinic of 100,000 children uses in a day (the rows of three days of results 75 MB, pages 20 MB, about
//! a hundred children of 25 kB) and leave memory on a machine of 1 GiB. Beyond that the least recently used values
//! are dropped, those that are [`RecomputeCost::Quick`] to compute again before those that are [`RecomputeCost::Slow`]. A single
//! slow value that is larger than the limit stays as the only one: without it every request would read the whole
//! log of a large clinic.
//!
//! [`Archive::change_summaries`]: crate::Archive::change_summaries
//! [`Archive::generation`]: crate::Archive::generation
//! [`Archive::generation_of`]: crate::Archive::generation_of

use record::{ChildId, Day};
use std::{
    any::Any,
    collections::{HashMap, HashSet},
    sync::{Arc, Condvar, Mutex, MutexGuard, PoisonError},
};

/// The maximum size of the values in the cache of an archive, bytes.
pub const CACHE_BYTES: usize = 96 << 20;
/// The size of a key and its slot in addition to the value, bytes.
const SLOT_BYTES: usize = 160;

/// The key of a value.
#[derive(Debug, Clone, PartialEq, Eq, Hash)]
pub struct CacheKey {
    /// The kind of value: one word for each type.
    pub what: &'static str,
    /// The child; `None` for the whole clinic.
    pub child: Option<ChildId>,
    /// The as-of day, if it depends on one.
    pub as_of: Option<Day>,
    /// Anything else on which the value depends.
    pub detail: String,
}

impl CacheKey {
    /// The key of a value of the whole clinic that depends on no day.
    #[must_use]
    pub const fn clinic(what: &'static str) -> Self {
        Self { what, child: None, as_of: None, detail: String::new() }
    }

    /// For one child.
    #[must_use]
    pub fn of(self, child: ChildId) -> Self {
        Self { child: Some(child), ..self }
    }

    /// As of a day.
    #[must_use]
    pub fn as_of(self, day: Day) -> Self {
        Self { as_of: Some(day), ..self }
    }

    /// With anything else on which the value depends.
    #[must_use]
    pub fn with(self, detail: impl Into<String>) -> Self {
        Self { detail: detail.into(), ..self }
    }
}

/// The effort of computing a value again.
#[derive(Debug, Clone, Copy, PartialEq, Eq, PartialOrd, Ord)]
pub enum RecomputeCost {
    /// Milliseconds.
    Quick,
    /// Every log of the clinic must be read.
    Slow,
}

/// A value with its size.
#[derive(Debug)]
pub struct CacheValue<T> {
    /// The value.
    pub value: T,
    /// Its estimated size, bytes.
    pub bytes: usize,
    /// The effort of computing it again.
    pub cost: RecomputeCost,
}

/// A value of an earlier generation, to be brought up to date.
#[derive(Debug)]
pub struct Outdated<T> {
    /// The value.
    pub value: Arc<T>,
    /// The generation for which it was computed.
    pub generation: u64,
}

struct Slot {
    value: Arc<dyn Any + Send + Sync>,
    generation: u64,
    bytes: usize,
    cost: RecomputeCost,
    used: u64,
}

#[derive(Default)]
struct Slots {
    bytes: usize,
    uses: u64,
    held: HashMap<CacheKey, Slot>,
    claimed: HashSet<CacheKey>,
}

/// The cache, shared by all clones of an archive.
pub struct LogCache {
    most_bytes: usize,
    slots: Mutex<Slots>,
    released: Condvar,
}

impl LogCache {
    /// An empty cache that holds at most `most_bytes` bytes; with 0 it holds only slow values, one at a time.
    #[must_use]
    pub fn holding(most_bytes: usize) -> Self {
        Self { most_bytes, slots: Mutex::default(), released: Condvar::new() }
    }

    /// A value that is valid for a generation or a later one.
    #[must_use]
    pub fn get<T: Send + Sync + 'static>(&self, key: &CacheKey, generation: u64) -> Option<Arc<T>> {
        self.lock().get(key).filter(|found| found.generation >= generation).map(|found| found.value)
    }

    /// A value of any generation.
    #[must_use]
    pub fn latest<T: Send + Sync + 'static>(&self, key: &CacheKey) -> Option<Outdated<T>> {
        self.lock().get(key)
    }

    /// Saves a value computed for a generation, unless there is a later one. Returns the value.
    pub fn put<T: Send + Sync + 'static>(
        &self,
        key: CacheKey,
        generation: u64,
        new: CacheValue<T>,
    ) -> Arc<T> {
        let value = Arc::new(new.value);
        let bytes = new.bytes + key.detail.len() + SLOT_BYTES;
        if bytes > self.most_bytes && new.cost == RecomputeCost::Quick {
            return value;
        }
        let mut slots = self.lock();
        if slots.held.get(&key).is_some_and(|slot| slot.generation > generation) {
            return value;
        }
        slots.uses += 1;
        let slot = Slot { value: value.clone(), generation, bytes, cost: new.cost, used: slots.uses };
        let replaced = slots.insert(key, slot, self.most_bytes);
        drop(slots);
        // Dropped after the lock, because it takes a while and others wait for the lock.
        drop(replaced);
        value
    }

    /// A value valid for a generation, computed if it is not in the cache. Other callers with the same key wait
    /// for it and do not compute it too. `compute` takes the value of an earlier generation, which is then no
    /// longer in the cache.
    ///
    /// # Errors
    /// The error of the computation; nothing is then saved.
    pub fn once<T: Send + Sync + 'static, E>(
        self: &Arc<Self>,
        key: &CacheKey,
        generation: u64,
        compute: impl FnOnce(Option<Outdated<T>>) -> Result<CacheValue<T>, E>,
    ) -> Result<Arc<T>, E> {
        let mut slots = self.lock();
        loop {
            if let Some(found) = slots.get(key).filter(|found| found.generation >= generation) {
                return Ok(found.value);
            }
            if slots.claimed.insert(key.clone()) {
                break;
            }
            slots = self.released.wait(slots).unwrap_or_else(PoisonError::into_inner);
        }
        let outdated = slots.take(key);
        drop(slots);
        let _claim = Claim { cache: Arc::clone(self), key: key.clone() };
        Ok(self.put(key.clone(), generation, compute(outdated)?))
    }

    /// The right to compute a value on another thread; `None` if another caller has it.
    #[must_use]
    pub fn claim(self: &Arc<Self>, key: &CacheKey) -> Option<Claim> {
        let free = self.lock().claimed.insert(key.clone());
        free.then(|| Claim { cache: Arc::clone(self), key: key.clone() })
    }

    /// Drops the values of the chosen keys.
    pub fn remove(&self, chosen: impl Fn(&CacheKey) -> bool) {
        let removed = self.lock().remove(chosen);
        drop(removed);
    }

    /// Drops every value.
    pub fn clear(&self) {
        self.remove(|_| true);
    }

    /// The keys of a kind of value in the cache, of any generation.
    #[must_use]
    pub fn keys(&self, what: &str) -> Vec<CacheKey> {
        self.lock().held.keys().filter(|key| key.what == what).cloned().collect()
    }

    /// The size of all values, bytes.
    #[must_use]
    pub fn bytes(&self) -> usize {
        self.lock().bytes
    }

    fn lock(&self) -> MutexGuard<'_, Slots> {
        self.slots.lock().unwrap_or_else(PoisonError::into_inner)
    }
}

impl Slots {
    fn get<T: Send + Sync + 'static>(&mut self, key: &CacheKey) -> Option<Outdated<T>> {
        self.uses += 1;
        let slot = self.held.get_mut(key)?;
        slot.used = self.uses;
        slot.read()
    }

    fn take<T: Send + Sync + 'static>(&mut self, key: &CacheKey) -> Option<Outdated<T>> {
        let slot = self.held.remove(key)?;
        self.bytes -= slot.bytes;
        slot.read()
    }

    /// Inserts a value, and returns the values that it replaces.
    fn insert(&mut self, key: CacheKey, slot: Slot, most_bytes: usize) -> Vec<Slot> {
        self.bytes += slot.bytes;
        let newest = slot.used;
        let mut replaced: Vec<Slot> = self.held.insert(key, slot).into_iter().collect();
        self.bytes -= replaced.iter().map(|slot| slot.bytes).sum::<usize>();
        if self.bytes > most_bytes {
            // A quarter more than needed, so that this is not necessary at every insertion.
            replaced.extend(self.shrink_to(most_bytes / 4 * 3, newest));
        }
        replaced
    }

    /// Removes values until the rest has at most `most_bytes`; never the newest.
    fn shrink_to(&mut self, most_bytes: usize, newest: u64) -> Vec<Slot> {
        let others = self.held.iter().filter(|(_, slot)| slot.used != newest);
        let mut order: Vec<_> =
            others.map(|(key, slot)| ((slot.cost, slot.used), slot.bytes, key.clone())).collect();
        order.sort_unstable_by_key(|(place, ..)| *place);
        let mut gone = HashSet::new();
        let mut left = self.bytes;
        for (_, bytes, key) in order {
            if left <= most_bytes {
                break;
            }
            left -= bytes;
            gone.insert(key);
        }
        self.remove(|key| gone.contains(key))
    }

    fn remove(&mut self, chosen: impl Fn(&CacheKey) -> bool) -> Vec<Slot> {
        let gone: Vec<Slot> = self.held.extract_if(|key, _| chosen(key)).map(|(_, slot)| slot).collect();
        self.bytes -= gone.iter().map(|slot| slot.bytes).sum::<usize>();
        gone
    }
}

impl Slot {
    fn read<T: Send + Sync + 'static>(&self) -> Option<Outdated<T>> {
        let value = Arc::clone(&self.value).downcast().ok()?;
        Some(Outdated { value, generation: self.generation })
    }
}

/// The right to compute a value. It ends when it is dropped, also if the computation panics.
pub struct Claim {
    cache: Arc<LogCache>,
    key: CacheKey,
}

impl Claim {
    /// Saves the computed value.
    pub fn put<T: Send + Sync + 'static>(&self, generation: u64, new: CacheValue<T>) -> Arc<T> {
        self.cache.put(self.key.clone(), generation, new)
    }
}

impl Drop for Claim {
    fn drop(&mut self) {
        self.cache.lock().claimed.remove(&self.key);
        self.cache.released.notify_all();
    }
}
