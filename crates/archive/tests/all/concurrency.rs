//! Many at once.

use crate::common::{child, note, open, site};
use std::thread;

#[test]
fn many_write_and_read_at_once_and_share_commits() {
    const THREADS: u128 = 16;
    const EACH: u128 = 40;
    let dir = tempfile::tempdir().unwrap();
    let archive = open(dir.path());
    thread::scope(|scope| {
        for thread in 0..THREADS {
            let archive = archive.clone();
            scope.spawn(move || {
                for number in 0..EACH {
                    // Half of the threads write about one and the same child.
                    let who = if thread % 2 == 0 { child(1) } else { child(100 + thread) };
                    let mut next = note(who, "2024-01-01", &format!("attention/r/{}/2024-01-01", number % 4));
                    next.site = site(1 + thread % 3);
                    archive.append(vec![next.clone()]).unwrap();
                    // What is acknowledged is there for every reader at once.
                    assert!(archive.entries(who).unwrap().contains(&next));
                }
            });
        }
    });
    let (commits, jobs) = archive.commits_and_jobs();
    println!("{jobs} appends in {commits} commits");
    assert_eq!(jobs, (THREADS * EACH) as u64);
    assert!(commits < jobs, "no commit was shared");
    assert_eq!(archive.entries(child(1)).unwrap().len(), (THREADS / 2 * EACH) as usize);
    let report = archive.verify().unwrap();
    assert!(report.is_sound(), "{report}");
    assert_eq!(report.entries, (THREADS * EACH) as usize);
}

#[test]
fn a_failing_append_takes_none_of_its_neighbours_with_it() {
    let dir = tempfile::tempdir().unwrap();
    let archive = open(dir.path());
    let there = note(child(1), "2024-01-01", "there");
    archive.append(vec![there.clone()]).unwrap();
    let failed: usize = thread::scope(|scope| {
        let one = |thread: u128| {
            let (archive, there) = (archive.clone(), there.clone());
            scope.spawn(move || {
                let mut failed = 0;
                for number in 0..30_u128 {
                    let fresh = note(child(10 + thread), "2024-01-01", "fresh");
                    let with_duplicate = number % 3 == 0;
                    let entries = if with_duplicate { vec![fresh, there.clone()] } else { vec![fresh] };
                    let result = archive.append(entries);
                    assert_eq!(result.is_err(), with_duplicate);
                    failed += usize::from(result.is_err());
                }
                failed
            })
        };
        (0..8).map(one).collect::<Vec<_>>().into_iter().map(|thread| thread.join().unwrap()).sum()
    });
    // 8 threads of 30, every third refused: 80 refused, 160 written, and the one from before.
    assert_eq!(failed, 80);
    assert_eq!(archive.entries_count().unwrap(), 161);
    assert!(archive.verify().unwrap().is_sound());
}
