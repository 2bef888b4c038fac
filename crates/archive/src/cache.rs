//! The one cache: values computed from the log, each valid for a generation of it.
//!
//! A value is found by what it is, whom it is about and the day it is computed for ([`CacheKey`]). It is
//! handed out again only while the log, or the log of its child, is of the generation it was computed for
//! ([`Archive::generation`], [`Archive::generation_of`]), so nobody has to say that something was written.
//! The protocol is not part of the key, because a handle keeps one protocol for as long as it lives.
//!
//! # Bound
//! Values are weighed in bytes, by estimate, and together weigh at most [`CACHE_BYTES`]: 128 MiB hold what a
//! clinic of 100,000 children uses in a day (the rows of three days of results 75 MB, pages 30 MB, some
//! hundred children of 25 kB) and leave room on a machine of 1 GiB. Where there is more, the least recently
//! used go, and those that are [`Worth::Quick`] to compute again before those that are [`Worth::Slow`]. A
//! single slow value that is larger than the whole bound stays alone: without it a large clinic would be
//! read anew at every request.
//!
//! [`Archive::generation`]: crate::Archive::generation
//! [`Archive::generation_of`]: crate::Archive::generation_of

use record::{ChildId, Day};
use std::{
    any::Any,
    collections::{HashMap, HashSet},
    sync::{Arc, Condvar, Mutex, MutexGuard, PoisonError},
};

/// Bytes of values held by the cache of an archive.
pub const CACHE_BYTES: usize = 128 << 20;
/// What a key and its place cost in addition to the value, bytes.
const SLOT_BYTES: usize = 160;

/// What a value is.
#[derive(Debug, Clone, PartialEq, Eq, Hash)]
pub struct CacheKey {
    /// The kind of value: one word for each type.
    pub what: &'static str,
    /// Of whom; `None` for the whole clinic.
    pub child: Option<ChildId>,
    /// As of which day, where it depends on one.
    pub as_of: Option<Day>,
    /// Whatever else decides the value.
    pub detail: String,
}

impl CacheKey {
    /// A value of the whole clinic that depends on no day.
    #[must_use]
    pub const fn clinic(what: &'static str) -> Self {
        Self { what, child: None, as_of: None, detail: String::new() }
    }

    /// The same of one child.
    #[must_use]
    pub fn of(self, child: ChildId) -> Self {
        Self { child: Some(child), ..self }
    }

    /// The same as of a day.
    #[must_use]
    pub fn as_of(self, day: Day) -> Self {
        Self { as_of: Some(day), ..self }
    }

    /// The same with what else decides the value.
    #[must_use]
    pub fn with(self, detail: impl Into<String>) -> Self {
        Self { detail: detail.into(), ..self }
    }
}

/// What it takes to compute a value again.
#[derive(Debug, Clone, Copy, PartialEq, Eq, PartialOrd, Ord)]
pub enum Worth {
    /// Milliseconds.
    Quick,
    /// Every log of the clinic has to be read.
    Slow,
}

/// A value with what it weighs.
#[derive(Debug)]
pub struct Weighed<T> {
    /// The value.
    pub value: T,
    /// Its size, bytes, by estimate.
    pub bytes: usize,
    /// What it takes to compute it again.
    pub worth: Worth,
}

/// A value of an earlier generation, to be brought up to date.
#[derive(Debug)]
pub struct Outdated<T> {
    /// The value.
    pub value: Arc<T>,
    /// The generation it was computed for.
    pub generation: u64,
}

struct Slot {
    value: Arc<dyn Any + Send + Sync>,
    generation: u64,
    bytes: usize,
    worth: Worth,
    used: u64,
}

#[derive(Default)]
struct Slots {
    bytes: usize,
    uses: u64,
    held: HashMap<CacheKey, Slot>,
    claimed: HashSet<CacheKey>,
}

/// The cache. It is shared by all clones of an archive.
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

    /// Saves a value computed for a generation, unless a later one is there already. Gives it back.
    pub fn put<T: Send + Sync + 'static>(&self, key: CacheKey, generation: u64, new: Weighed<T>) -> Arc<T> {
        let value = Arc::new(new.value);
        let bytes = new.bytes + key.detail.len() + SLOT_BYTES;
        if bytes > self.most_bytes && new.worth == Worth::Quick {
            return value;
        }
        let mut slots = self.lock();
        if slots.held.get(&key).is_some_and(|slot| slot.generation > generation) {
            return value;
        }
        slots.uses += 1;
        let slot = Slot { value: value.clone(), generation, bytes, worth: new.worth, used: slots.uses };
        let outlived = slots.insert(key, slot, self.most_bytes);
        drop(slots);
        // Dropped only now, because it takes a while and others wait for the lock.
        drop(outlived);
        value
    }

    /// A value valid for a generation, computed where it is not there. Whoever asks for the same meanwhile
    /// waits for it and does not compute it too. `compute` is given the value of an earlier generation,
    /// which nobody else then holds unless they still work with it.
    ///
    /// # Errors
    /// Those of the computation; nothing is then saved.
    pub fn once<T: Send + Sync + 'static, E>(
        self: &Arc<Self>,
        key: &CacheKey,
        generation: u64,
        compute: impl FnOnce(Option<Outdated<T>>) -> Result<Weighed<T>, E>,
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

    /// The right to compute a value on another thread; `None` where somebody has it.
    #[must_use]
    pub fn claim(self: &Arc<Self>, key: &CacheKey) -> Option<Claim> {
        let free = self.lock().claimed.insert(key.clone());
        free.then(|| Claim { cache: Arc::clone(self), key: key.clone() })
    }

    /// Drops the values whose keys are chosen.
    pub fn remove(&self, chosen: impl Fn(&CacheKey) -> bool) {
        let outlived = self.lock().remove(chosen);
        drop(outlived);
    }

    /// Drops every value.
    pub fn clear(&self) {
        self.remove(|_| true);
    }

    /// The keys of a kind of value that are held, whatever their generation.
    #[must_use]
    pub fn keys(&self, what: &str) -> Vec<CacheKey> {
        self.lock().held.keys().filter(|key| key.what == what).cloned().collect()
    }

    /// What all values weigh, bytes.
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

    /// Inserts, and gives back what had to go for it.
    fn insert(&mut self, key: CacheKey, slot: Slot, most_bytes: usize) -> Vec<Slot> {
        self.bytes += slot.bytes;
        let newest = slot.used;
        let mut outlived: Vec<Slot> = self.held.insert(key, slot).into_iter().collect();
        self.bytes -= outlived.iter().map(|slot| slot.bytes).sum::<usize>();
        if self.bytes > most_bytes {
            // A quarter more than needed, so that this is not done at every insertion.
            outlived.extend(self.make_room(most_bytes / 4 * 3, newest));
        }
        outlived
    }

    fn make_room(&mut self, most_bytes: usize, newest: u64) -> Vec<Slot> {
        let others = self.held.iter().filter(|(_, slot)| slot.used != newest);
        let mut order: Vec<_> =
            others.map(|(key, slot)| ((slot.worth, slot.used), slot.bytes, key.clone())).collect();
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

/// The right to compute a value. Given back when it is dropped, also by a computation that broke off.
pub struct Claim {
    cache: Arc<LogCache>,
    key: CacheKey,
}

impl Claim {
    /// Saves what was computed.
    pub fn put<T: Send + Sync + 'static>(&self, generation: u64, new: Weighed<T>) -> Arc<T> {
        self.cache.put(self.key.clone(), generation, new)
    }
}

impl Drop for Claim {
    fn drop(&mut self) {
        self.cache.lock().claimed.remove(&self.key);
        self.cache.released.notify_all();
    }
}
