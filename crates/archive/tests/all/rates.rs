//! How many entries a second are saved, each by itself, with and without the witness, beside the bare library. Run by
//! hand: `cargo test --workspace --test all -- --ignored rates --nocapture`.

use crate::common::{child, note, options};
use archive::{Archive, Options, WitnessPlace};
use rusqlite::{Connection, params};
use std::{
    fs::File,
    io::Write,
    path::Path,
    sync::{
        Mutex,
        atomic::{AtomicU32, Ordering},
    },
    time::{Duration, Instant},
};

const MEASURED: Duration = Duration::from_millis(1_500);
/// The four ways take turns, so that other work on the computer slows all of them; the median counts.
const ROUNDS: usize = 5;

/// Calls `save` from some threads for a while. Returns how often a second.
fn rate(writers: u32, save: impl Fn(u32) + Sync) -> f64 {
    let (count, begun) = (AtomicU32::new(0), Instant::now());
    std::thread::scope(|scope| {
        for writer in 0..writers {
            let (save, count) = (&save, &count);
            scope.spawn(move || {
                while begun.elapsed() < MEASURED {
                    save(writer);
                    count.fetch_add(1, Ordering::Relaxed);
                }
            });
        }
    });
    f64::from(count.load(Ordering::Relaxed)) / begun.elapsed().as_secs_f64()
}

/// The same wire row in a table of its own, a durable transaction for each.
fn bare(dir: &Path, writers: u32, with_file: bool) -> f64 {
    let conn = Connection::open(dir.join("bare.sqlite")).unwrap();
    conn.pragma_update(None, "journal_mode", "WAL").unwrap();
    conn.pragma_update(None, "synchronous", "FULL").unwrap();
    conn.execute_batch("CREATE TABLE entries (id BLOB PRIMARY KEY, child BLOB, wire TEXT)").unwrap();
    conn.execute_batch("CREATE INDEX of_child ON entries (child)").unwrap();
    let both = Mutex::new((conn, File::create(dir.join("bare.log")).unwrap()));
    rate(writers, |writer| {
        let entry = note(child(u128::from(writer)), "2024-01-01", "cast changed");
        let wire = entry.to_json().unwrap();
        let mut both = both.lock().unwrap();
        let mut insert = both.0.prepare_cached("INSERT INTO entries VALUES (?1, ?2, ?3)").unwrap();
        insert.execute(params![entry.id.uuid().as_bytes(), entry.child.uuid().as_bytes(), wire]).unwrap();
        drop(insert);
        if with_file {
            both.1.write_all(&[b'x'; 420]).and_then(|()| both.1.sync_data()).unwrap();
        }
    })
}

fn archive(dir: &Path, writers: u32, witness: bool) -> f64 {
    let place = WitnessPlace::in_folder(&dir.join("outside"));
    let options = Options { witness: witness.then_some(place), ..options() };
    let archive = Archive::open(&dir.join("records"), options).unwrap();
    rate(writers, |writer| {
        // A child of its own for each few entries: the summary is computed from the whole log of the child.
        let child = child(u128::from(writer) << 64 | u128::from(rand::random::<u32>() % 5_000));
        archive.append(vec![note(child, "2024-01-01", "cast changed")]).unwrap();
    })
}

#[test]
#[ignore = "a measurement"]
fn entries_a_second() {
    println!("writers | bare | bare, a line and a flush | archive | archive with witness");
    for writers in [1, 8, 64] {
        let dir = || tempfile::tempdir().unwrap();
        let mut rates = [const { Vec::new() }; 4];
        for _ in 0..ROUNDS {
            rates[0].push(bare(dir().path(), writers, false));
            rates[1].push(bare(dir().path(), writers, true));
            rates[2].push(archive(dir().path(), writers, false));
            rates[3].push(archive(dir().path(), writers, true));
        }
        let median = |mut rates: Vec<f64>| {
            rates.sort_by(f64::total_cmp);
            format!("{:.0}", rates[ROUNDS / 2])
        };
        println!("{writers} | {}", rates.map(median).join(" | "));
    }
}
