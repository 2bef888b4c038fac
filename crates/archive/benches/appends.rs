//! How many entries a second are saved, each acknowledged by itself, beside the bare library:
//! `cargo bench -p archive --bench appends` (`-- --seconds 3 --rounds 5`); with `--features encryption` and
//! `-- --encrypted 1` both sides are encrypted with the same cipher.
//!
//! Each way writes the same rows: the row of the entry with its hashes, and the summary of its child. The bare ways
//! have the same durability (write-ahead log, a flush for each commit) and one line appended to a second file and
//! flushed for each commit, as the archive has its witness. "Alone" commits each entry by itself; "together" is a
//! writing thread that puts the entries of all waiting clients into one commit. The ways take turns, so that other
//! work on the computer slows all of them; the median of the rounds counts.
#![allow(clippy::unwrap_used)]

use archive::{Archive, DatabaseKey, Options, Summary, WitnessPlace};
use record::{ChildId, Entry, EntryId, Note, SiteId, Timestamp, UserId};
use rusqlite::{Connection, params};
use std::{
    fs::File,
    io::Write,
    path::Path,
    sync::{
        Mutex,
        atomic::{AtomicU32, Ordering},
        mpsc,
    },
    time::{Duration, Instant},
};
use uuid::Uuid;

/// Children of each writer: the summary is computed from the whole log of the child, which must stay short.
const CHILDREN: u32 = 5_000;
/// A line of the witness has about this length.
const LINE: [u8; 420] = [b'x'; 420];
/// How long the bare writing thread waits for the clients that it has just answered.
const GATHERING: Duration = Duration::from_millis(1);

fn entry(writer: u32) -> Entry {
    let child = u128::from(writer) << 64 | u128::from(rand::random::<u32>() % CHILDREN);
    Entry {
        id: EntryId::new(Uuid::now_v7()),
        child: ChildId::new(Uuid::from_u128(child)),
        body: Note { text: "cast changed".into() }.into(),
        on: "2024-01-01".parse().unwrap(),
        at: Timestamp::from_seconds(1_700_000_000),
        by: UserId::new(Uuid::from_u128(7)),
        site: SiteId::new(Uuid::from_u128(1)),
        follows: None,
    }
}

fn summarise(entries: &[Entry]) -> Summary {
    let mut summary = Summary::empty(entries[0].child);
    summary.last_seen = entries.last().map(|entry| entry.on);
    summary
}

/// Calls `save` from some threads for a while. Returns how often a second.
fn rate(writers: u32, time: Duration, save: impl Fn(u32) + Sync) -> f64 {
    let (count, begun) = (AtomicU32::new(0), Instant::now());
    std::thread::scope(|scope| {
        for writer in 0..writers {
            let (save, count) = (&save, &count);
            scope.spawn(move || {
                while begun.elapsed() < time {
                    save(writer);
                    count.fetch_add(1, Ordering::Relaxed);
                }
            });
        }
    });
    f64::from(count.load(Ordering::Relaxed)) / begun.elapsed().as_secs_f64()
}

/// Whether both sides are encrypted.
fn is_encrypted() -> bool {
    option("--encrypted", 0) == 1
}

/// The bare library with the second file.
struct Bare {
    conn: Connection,
    line: File,
}

/// The row of an entry.
struct BareRow {
    id: [u8; 16],
    child: [u8; 16],
    wire: String,
    summary: String,
    hashes: [[u8; 32]; 2],
}

impl BareRow {
    fn of(entry: &Entry) -> Self {
        let summary = serde_json::to_string(&summarise(std::slice::from_ref(entry))).unwrap();
        let (id, child) = (*entry.id.uuid().as_bytes(), *entry.child.uuid().as_bytes());
        Self { id, child, wire: entry.to_json().unwrap(), summary, hashes: [rand::random(), rand::random()] }
    }
}

impl Bare {
    fn open(dir: &Path) -> Self {
        let conn = Connection::open(dir.join("bare.sqlite")).unwrap();
        if is_encrypted() {
            conn.execute_batch(&format!("PRAGMA key = \"x'{}'\"", "5a".repeat(32))).unwrap();
            // A build without a cipher ignores the key.
            conn.query_row("PRAGMA cipher_version", [], |row| row.get::<_, String>(0)).unwrap();
        }
        conn.pragma_update(None, "journal_mode", "WAL").unwrap();
        conn.pragma_update(None, "synchronous", "FULL").unwrap();
        conn.execute_batch(
            "CREATE TABLE entries (place INTEGER PRIMARY KEY, id BLOB NOT NULL UNIQUE, child BLOB NOT NULL,
               site INTEGER NOT NULL, sequence INTEGER NOT NULL, wire TEXT, salt BLOB, content BLOB, hash BLOB);
             CREATE INDEX of_child ON entries (child, place);
             CREATE TABLE summaries (child BLOB PRIMARY KEY, name TEXT NOT NULL, body TEXT NOT NULL);",
        )
        .unwrap();
        Self { conn, line: File::create(dir.join("bare.log")).unwrap() }
    }

    fn insert(&self, row: &BareRow) {
        let sql = "INSERT INTO entries (id, child, site, sequence, wire, salt, content, hash)
                   VALUES (?1, ?2, 1, 1, ?3, ?4, ?5, ?6)";
        let mut insert = self.conn.prepare_cached(sql).unwrap();
        insert.execute(params![row.id, row.child, row.wire, row.id, row.hashes[0], row.hashes[1]]).unwrap();
        let mut put =
            self.conn.prepare_cached("INSERT OR REPLACE INTO summaries VALUES (?1, '', ?2)").unwrap();
        put.execute(params![row.child, row.summary]).unwrap();
    }

    fn commit(&mut self, rows: &[BareRow]) {
        self.conn.execute_batch("BEGIN IMMEDIATE").unwrap();
        rows.iter().for_each(|row| self.insert(row));
        self.conn.execute_batch("COMMIT").unwrap();
        self.line.write_all(&LINE).and_then(|()| self.line.sync_data()).unwrap();
    }
}

/// Each entry in a commit of its own.
fn alone(dir: &Path, writers: u32, time: Duration) -> f64 {
    let bare = Mutex::new(Bare::open(dir));
    rate(writers, time, |writer| {
        let row = BareRow::of(&entry(writer));
        bare.lock().unwrap().commit(&[row]);
    })
}

/// The entries of all clients that wait in one commit.
fn together(dir: &Path, writers: u32, time: Duration) -> f64 {
    let (sender, receiver) = mpsc::channel::<(BareRow, mpsc::Sender<()>)>();
    let mut bare = Bare::open(dir);
    let thread = std::thread::spawn(move || {
        let mut before = 1;
        while let Ok(first) = receiver.recv() {
            let mut waiting = vec![first];
            let until = Instant::now() + GATHERING;
            while waiting.len() < 256 {
                let next = match receiver.try_recv() {
                    Ok(next) => Some(next),
                    Err(_) if waiting.len() < before => {
                        receiver.recv_timeout(until.saturating_duration_since(Instant::now())).ok()
                    }
                    Err(_) => None,
                };
                let Some(next) = next else { break };
                waiting.push(next);
            }
            before = waiting.len();
            let (rows, answers): (Vec<_>, Vec<_>) = waiting.into_iter().unzip();
            bare.commit(&rows);
            answers.into_iter().for_each(|answer| answer.send(()).unwrap());
        }
    });
    let sender = Mutex::new(Some(sender));
    let rate = rate(writers, time, |writer| {
        let (answer, answered) = mpsc::channel();
        let row = BareRow::of(&entry(writer));
        sender.lock().unwrap().as_ref().unwrap().send((row, answer)).unwrap();
        answered.recv().unwrap();
    });
    sender.lock().unwrap().take();
    thread.join().unwrap();
    rate
}

fn archive(dir: &Path, writers: u32, time: Duration) -> f64 {
    let witness = Some(WitnessPlace::in_folder(&dir.join("outside")));
    let key = is_encrypted().then(|| DatabaseKey::new(&[0x5a; 32]));
    let options = Options { witness, key, ..Options::new("1", summarise) };
    let archive = Archive::open(&dir.join("records"), options).unwrap();
    let rate = rate(writers, time, |writer| {
        archive.append(vec![entry(writer)]).unwrap();
    });
    let (commits, jobs) = archive.commits_and_jobs();
    eprintln!(
        "  archive, {writers} writers: {:.0} a second, {:.1} entries a commit",
        rate,
        jobs as f64 / commits as f64
    );
    rate
}

fn option(name: &str, otherwise: u64) -> u64 {
    let mut arguments = std::env::args().skip_while(|argument| argument != name).skip(1);
    arguments.next().and_then(|value| value.parse().ok()).unwrap_or(otherwise)
}

fn main() {
    let (time, rounds) = (Duration::from_secs(option("--seconds", 3)), option("--rounds", 5));
    println!("entries a second, median of {rounds} rounds of {} s", time.as_secs());
    println!("| writers | bare, alone | bare, together | archive | of the better |");
    println!("|---|---|---|---|---|");
    for writers in [1, 8, 64] {
        let mut rates = [const { Vec::new() }; 3];
        for _ in 0..rounds {
            for (rates, way) in rates.iter_mut().zip([alone, together, archive]) {
                rates.push(way(tempfile::tempdir().unwrap().path(), writers, time));
            }
        }
        let [alone, together, archive] = rates.map(|mut rates: Vec<f64>| {
            rates.sort_by(f64::total_cmp);
            rates[rates.len() / 2]
        });
        let share = archive / alone.max(together);
        println!("| {writers} | {alone:.0} | {together:.0} | {archive:.0} | {share:.2} |");
    }
}
