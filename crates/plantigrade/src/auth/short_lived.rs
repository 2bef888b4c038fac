//! What the server remembers for some minutes in memory, such as a sign-in that waits for its code. A bounded
//! number of values; the program's end forgets them all.

use std::{
    collections::HashMap,
    hash::Hash,
    sync::{Mutex, MutexGuard, PoisonError},
};

/// Values that end by themselves. Instants are seconds since 1970.
pub struct ShortLived<K, V> {
    seconds: i64,
    most: usize,
    values: Mutex<HashMap<K, (i64, V)>>,
}

impl<K: Eq + Hash + Clone, V: Clone> ShortLived<K, V> {
    /// Values that last for so many seconds, at most `most` of them.
    #[must_use]
    pub fn new(seconds: i64, most: usize) -> Self {
        Self { seconds, most, values: Mutex::default() }
    }

    fn locked(&self) -> MutexGuard<'_, HashMap<K, (i64, V)>> {
        self.values.lock().unwrap_or_else(PoisonError::into_inner)
    }

    /// Remembers a value in place of an earlier one. Where there is no room, the one that ends first is forgotten.
    pub fn put(&self, key: K, value: V, now: i64) {
        let mut values = self.locked();
        values.retain(|_, (ends, _)| *ends > now);
        if values.len() >= self.most && !values.contains_key(&key) {
            let first = values.iter().min_by_key(|(_, (ends, _))| *ends).map(|(key, _)| key.clone());
            first.and_then(|key| values.remove(&key));
        }
        values.insert(key, (now + self.seconds, value));
    }

    /// A value that has not ended.
    #[must_use]
    pub fn get(&self, key: &K, now: i64) -> Option<V> {
        self.locked().get(key).filter(|(ends, _)| *ends > now).map(|(_, value)| value.clone())
    }

    /// A value that has not ended, and forgets it: of two who ask only one gets it.
    pub fn take(&self, key: &K, now: i64) -> Option<V> {
        self.locked().remove(key).filter(|(ends, _)| *ends > now).map(|(_, value)| value)
    }

    /// Changes a value that has not ended; its end stays. Returns what `change` returns.
    pub fn update<T>(&self, key: &K, now: i64, change: impl FnOnce(&mut V) -> T) -> Option<T> {
        self.locked().get_mut(key).filter(|(ends, _)| *ends > now).map(|(_, value)| change(value))
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn a_value_ends_and_is_taken_once() {
        let values = ShortLived::new(10, 2);
        values.put("a", 1, 100);
        assert_eq!((values.get(&"a", 109), values.get(&"a", 110)), (Some(1), None));
        assert_eq!(values.update(&"a", 109, |value| *value += 1), Some(()));
        assert_eq!((values.take(&"a", 109), values.take(&"a", 109)), (Some(2), None));
        values.put("a", 1, 100);
        assert_eq!(values.take(&"a", 110), None, "too late");
    }

    #[test]
    fn where_there_is_no_room_the_one_that_ends_first_goes() {
        let values = ShortLived::new(10, 2);
        values.put("a", 1, 100);
        values.put("b", 2, 101);
        values.put("b", 3, 102);
        values.put("c", 4, 103);
        assert_eq!(
            [values.get(&"a", 103), values.get(&"b", 103), values.get(&"c", 103)],
            [None, Some(3), Some(4)]
        );
    }
}
