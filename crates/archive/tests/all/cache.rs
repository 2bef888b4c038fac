//! The one cache: what it hands out, when it computes, and that it stays within its bound.

use archive::{CacheKey, CacheValue, LogCache, RecomputeCost};
use std::{
    convert::Infallible,
    sync::{
        Arc, Barrier,
        atomic::{AtomicUsize, Ordering},
    },
    thread,
    time::Duration,
};

const MOST: usize = 100_000;

fn key(name: impl ToString) -> CacheKey {
    CacheKey::clinic("test").with(name.to_string())
}

fn quick(value: usize, bytes: usize) -> CacheValue<usize> {
    CacheValue { value, bytes, cost: RecomputeCost::Quick }
}

fn slow(value: usize, bytes: usize) -> CacheValue<usize> {
    CacheValue { value, bytes, cost: RecomputeCost::Slow }
}

fn held(cache: &LogCache, name: impl ToString) -> bool {
    cache.latest::<usize>(&key(name)).is_some()
}

#[test]
fn a_value_is_handed_out_for_its_generation_and_earlier_ones_only() {
    let cache = LogCache::holding(MOST);
    cache.put(key("a"), 7, quick(1, 10));
    assert_eq!(cache.get::<usize>(&key("a"), 7).as_deref(), Some(&1));
    assert_eq!(cache.get::<usize>(&key("a"), 8), None, "the log has grown");
    assert_eq!(cache.get::<usize>(&key("b"), 7), None);
    // Computed before the log grew and saved after a later value: it must not replace that.
    cache.put(key("a"), 9, quick(3, 10));
    cache.put(key("a"), 8, quick(2, 10));
    assert_eq!(cache.get::<usize>(&key("a"), 9).as_deref(), Some(&3));
    let outdated = cache.latest::<usize>(&key("a")).unwrap();
    assert_eq!((*outdated.value, outdated.generation), (3, 9));
}

#[test]
fn the_parts_of_a_key_tell_values_apart() {
    let cache = LogCache::holding(MOST);
    let (one, other) = (crate::common::child(1), crate::common::child(2));
    let (day, next) = (crate::common::day("2024-05-01"), crate::common::day("2024-05-02"));
    let of = |child, day| CacheKey::clinic("test").of(child).as_of(day);
    cache.put(of(one, day), 1, quick(1, 10));
    for wrong in [of(other, day), of(one, next), CacheKey::clinic("other").of(one).as_of(day)] {
        assert_eq!(cache.get::<usize>(&wrong, 1), None, "{wrong:?}");
    }
    assert_eq!(cache.get::<usize>(&of(one, day).with("csv"), 1), None);
    assert_eq!(cache.get::<usize>(&of(one, day), 1).as_deref(), Some(&1));
}

#[test]
fn memory_stays_bounded_and_the_least_recently_used_goes_first() {
    let cache = LogCache::holding(MOST);
    for number in 0..50 {
        cache.put(key(number), 1, quick(number, 9_000));
        cache.get::<usize>(&key(0), 1).expect("used all the time, so it stays");
        assert!(cache.bytes() <= MOST, "{}", cache.bytes());
    }
    assert!(held(&cache, 49) && !held(&cache, 1));
    assert!(cache.bytes() > MOST / 2, "room is used: {}", cache.bytes());
}

#[test]
fn what_is_slow_to_compute_outlives_what_is_quick() {
    let cache = LogCache::holding(MOST);
    cache.put(key("rows"), 1, slow(0, 40_000));
    (0..50).for_each(|number| drop(cache.put(key(number), 1, quick(number, 9_000))));
    assert!(held(&cache, "rows"));
    assert!(cache.bytes() <= MOST, "{}", cache.bytes());
}

#[test]
fn a_slow_value_larger_than_the_bound_is_kept_alone_and_a_quick_one_not_at_all() {
    let cache = LogCache::holding(MOST);
    cache.put(key("page"), 1, quick(0, 10));
    cache.put(key("huge page"), 1, quick(0, 2 * MOST));
    assert!(held(&cache, "page") && !held(&cache, "huge page"));
    cache.put(key("huge"), 1, slow(0, 2 * MOST));
    assert!(held(&cache, "huge") && !held(&cache, "page"));
    cache.put(key("huger"), 1, slow(0, 3 * MOST));
    assert!(held(&cache, "huger") && !held(&cache, "huge"), "one at a time");
    cache.clear();
    assert_eq!(cache.bytes(), 0);
}

#[test]
fn two_threads_asking_the_same_compute_it_once() {
    let (cache, computed, start) =
        (Arc::new(LogCache::holding(MOST)), Arc::new(AtomicUsize::new(0)), Arc::new(Barrier::new(8)));
    let ask = || {
        let (cache, computed, start) = (Arc::clone(&cache), Arc::clone(&computed), Arc::clone(&start));
        move || {
            start.wait();
            let value = cache.once(&key("a"), 1, |_| {
                thread::sleep(Duration::from_millis(50));
                Ok::<_, Infallible>(quick(computed.fetch_add(1, Ordering::SeqCst), 10))
            });
            *value.unwrap()
        }
    };
    let threads: Vec<_> = (0..8).map(|_| thread::spawn(ask())).collect();
    let values: Vec<usize> = threads.into_iter().map(|one| one.join().unwrap()).collect();
    assert_eq!(values, [0; 8]);
    assert_eq!(computed.load(Ordering::SeqCst), 1);
}

#[test]
fn an_outdated_value_is_handed_to_the_computation_alone() {
    let cache = Arc::new(LogCache::holding(MOST));
    cache.put(key("a"), 1, quick(5, 10));
    let value = cache.once(&key("a"), 2, |outdated| {
        let outdated = outdated.expect("there is one of generation 1");
        assert_eq!(outdated.generation, 1);
        let before = Arc::try_unwrap(outdated.value).expect("nobody else holds it");
        Ok::<_, Infallible>(quick(before + 1, 10))
    });
    assert_eq!(*value.unwrap(), 6);
    assert_eq!(cache.get::<usize>(&key("a"), 2).as_deref(), Some(&6));
}

#[test]
fn a_computation_that_fails_or_breaks_off_leaves_the_next_to_compute() {
    let cache = Arc::new(LogCache::holding(MOST));
    let failed = cache.once(&key("a"), 1, |_| Err::<CacheValue<usize>, _>("the disk"));
    assert_eq!(failed.unwrap_err(), "the disk");
    let same = Arc::clone(&cache);
    let broken = thread::spawn(move || {
        same.once(&key("a"), 1, |_| -> Result<CacheValue<usize>, Infallible> { panic!("broken off") })
    });
    assert!(broken.join().is_err());
    let value = cache.once(&key("a"), 1, |_| Ok::<_, Infallible>(quick(1, 10)));
    assert_eq!(*value.unwrap(), 1);
}

#[test]
fn a_claim_is_given_to_one_until_it_is_dropped() {
    let cache = Arc::new(LogCache::holding(MOST));
    let claim = cache.claim(&key("a")).expect("nobody has it");
    assert!(cache.claim(&key("a")).is_none() && cache.claim(&key("b")).is_some());
    claim.put(1, quick(1, 10));
    drop(claim);
    assert!(cache.claim(&key("a")).is_some());
    assert!(held(&cache, "a"));
}
