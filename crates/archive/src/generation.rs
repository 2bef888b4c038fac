//! The generation of the log: a number that rises with every written entry and every erasure, by any process,
//! and when the records are computed in another way.
//!
//! A value computed from the log is valid for the generation that was read before the computation began. The
//! number comes from the file and not from the calls of this program, so that writes of another process count
//! too: the writing thread checks the file after each commit, before it answers; a program that only reads
//! checks it at each request.

use crate::error::ArchiveError;
use record::ChildId;
use rusqlite::Connection;
use std::{
    collections::HashMap,
    sync::{
        Mutex, PoisonError,
        atomic::{AtomicU64, Ordering},
    },
};
use uuid::Uuid;

/// The largest number of children whose own generation is stored, about 40 bytes each. Beyond it, as after an
/// import, every child counts as changed.
const CHILDREN_REMEMBERED: usize = 16_384;
/// More new entries than this at once are an import: every child then counts as changed.
const ENTRIES_LOOKED_AT: i64 = 65_536;

/// The state of the log as this process last saw it.
#[derive(Default)]
pub(crate) struct LogWatch {
    now: AtomicU64,
    seen: Mutex<Seen>,
}

#[derive(Default)]
struct Seen {
    place: i64,
    erasure: i64,
    /// The generation of every child that is not in `children`.
    floor: u64,
    children: HashMap<ChildId, u64>,
}

impl LogWatch {
    pub(crate) fn now(&self) -> u64 {
        self.now.load(Ordering::Acquire)
    }

    /// Checks whether the log has grown or an entry was erased.
    fn try_look(&self, conn: &Connection) -> Result<u64, ArchiveError> {
        let sql = "SELECT (SELECT coalesce(max(place), 0) FROM entries),
                          (SELECT coalesce(max(number), 0) FROM erasures)";
        let (place, erasure): (i64, i64) =
            conn.prepare_cached(sql)?.query_row([], |row| Ok((row.get(0)?, row.get(1)?)))?;
        let mut seen = self.seen.lock().unwrap_or_else(PoisonError::into_inner);
        // Another connection may have a slightly older state of the file; the log never becomes shorter.
        if place <= seen.place && erasure <= seen.erasure {
            return Ok(self.now());
        }
        let next = self.now() + 1;
        if place - seen.place > ENTRIES_LOOKED_AT || seen.floor == 0 {
            seen.all(next);
        } else {
            let written = written_since(conn, seen.place, seen.erasure)?;
            seen.children.extend(written.into_iter().map(|child| (child, next)));
            if seen.children.len() > CHILDREN_REMEMBERED {
                seen.all(next);
            }
        }
        (seen.place, seen.erasure) = (place.max(seen.place), erasure.max(seen.erasure));
        self.now.store(next, Ordering::Release);
        Ok(next)
    }

    /// Checks the log. If the file is damaged there, every child counts as changed; the error appears when the
    /// damaged part is read.
    pub(crate) fn look(&self, conn: &Connection) -> u64 {
        self.try_look(conn).unwrap_or_else(|_| {
            self.every_child_changed();
            self.now()
        })
    }

    /// What is computed from every log changes, although no log has: a new generation begins for every child.
    pub(crate) fn every_child_changed(&self) {
        let mut seen = self.seen.lock().unwrap_or_else(PoisonError::into_inner);
        let next = self.now() + 1;
        seen.all(next);
        self.now.store(next, Ordering::Release);
    }

    pub(crate) fn of_child(&self, child: ChildId) -> u64 {
        let seen = self.seen.lock().unwrap_or_else(PoisonError::into_inner);
        seen.children.get(&child).copied().unwrap_or(seen.floor)
    }

    pub(crate) fn since(&self, generation: u64) -> Option<Vec<ChildId>> {
        let seen = self.seen.lock().unwrap_or_else(PoisonError::into_inner);
        let later = seen.children.iter().filter(|(_, at)| **at > generation);
        (generation >= seen.floor).then(|| later.map(|(child, _)| *child).collect())
    }
}

impl Seen {
    fn all(&mut self, generation: u64) {
        self.floor = generation;
        self.children = HashMap::new();
    }
}

fn written_since(conn: &Connection, place: i64, erasure: i64) -> Result<Vec<ChildId>, ArchiveError> {
    let sql = "SELECT DISTINCT c.id FROM entries e JOIN children c ON c.number = e.child WHERE e.place > ?1
               UNION SELECT c.id FROM erasures x JOIN entries e ON e.id = x.entry
               JOIN children c ON c.number = e.child WHERE x.number > ?2";
    let mut query = conn.prepare_cached(sql)?;
    let ids = query.query_map([place, erasure], |row| Ok(ChildId::new(Uuid::from_bytes(row.get(0)?))))?;
    Ok(ids.collect::<Result<_, _>>()?)
}
