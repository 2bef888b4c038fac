//! The access log: who opened what, when, from which device, and what was refused. A file of its own beside the
//! records, so that it can be read, kept and lost apart from them.
//!
//! Rows are only added. Each carries a keyed hash over its contents and the hash of the row before; the key is a
//! file that only the owner may read. The number of rows and the last hash are noted with the records
//! ([`AccessLog::check`] compares), so that a tail that was cut off is found. Whoever may write the log, the key and
//! the records alike can write all three anew: [`AccessReport`] says what a check proves and what it does not.
//!
//! A row is handed to a thread that writes several at once, so that no page waits for the disk.

mod check;
mod file;
mod hash;
mod query;
mod queue;
mod row;

pub use check::{ACCESS_CHECK_WORDS, AccessFault, AccessReport};
pub use query::AccessFilter;
pub use row::{AccessAct, AccessEvent, AccessOutcome, AccessRow};

use crate::{
    archive::Archive, database_file::DatabaseFile, database_key::DatabaseKey, error::ArchiveError,
    whole_copy::copy_whole,
};
use file::LogFile;
use queue::{Asked, LogState, NoteHead};
use record::Timestamp;
use rusqlite::{OptionalExtension, params};
use std::{
    collections::HashMap,
    path::{Path, PathBuf},
    sync::{
        Arc, Mutex, PoisonError,
        atomic::Ordering,
        mpsc::{self, SyncSender, TrySendError},
    },
    thread::JoinHandle,
};

/// The name of the log within the folder of the records.
pub const ACCESS_FILE: &str = "access.sqlite";
/// The name of the file with the key of its hashes.
pub const ACCESS_KEY_FILE: &str = "access.key";
/// Looking at the same page of the same child again within this time is not another row.
pub const ACCESS_ONE_ROW_SECONDS: i64 = 60;
/// Rows that wait to be written; more are counted as lost.
const QUEUE: usize = 10_000;
/// Looks that are remembered, so that they are not noted twice; beyond it all are forgotten.
const REMEMBERED: usize = 20_000;

/// How long the log was and its last hash, as noted with the records.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub struct AccessHead {
    /// The number of rows.
    pub rows: i64,
    /// The hash of the last of them.
    pub hash: [u8; 32],
}

impl AccessHead {
    /// A short form of the hash to note on paper: "3f9a-02c1-77de-5b10".
    #[must_use]
    pub fn fingerprint(&self) -> String {
        let parts: Vec<String> = self
            .hash
            .chunks(2)
            .take(4)
            .map(|two| two.iter().map(|byte| format!("{byte:02x}")).collect())
            .collect();
        parts.join("-")
    }
}

/// The access log of the records in one folder.
pub struct AccessLog {
    dir: PathBuf,
    archive: Option<Archive>,
    sender: Option<SyncSender<Asked>>,
    thread: Option<JoinHandle<()>>,
    state: Arc<LogState>,
    recent: Mutex<HashMap<AccessEvent, i64>>,
}

impl Archive {
    /// Opens the access log for writing beside these records; creates file and key if there are none.
    ///
    /// # Errors
    /// When the file or its key cannot be used.
    pub fn access_log(&self, now: Timestamp) -> Result<AccessLog, ArchiveError> {
        let mut file = LogFile::open(self.dir(), self.key())?;
        let missing = file.missing_since(self.access_heads()?.last().map(|(_, head)| *head))?;
        if let Some(note) = missing {
            file.append(&[AccessEvent::gap(now, note)])?;
        }
        // What commands added while no program had the records open.
        if let Some((at, head)) = file.last()? {
            self.note_access_head(at, head)?;
        }
        let archive = self.clone();
        let note: NoteHead = Box::new(move |at, head| archive.note_access_head(at, head));
        let (sender, receiver) = mpsc::sync_channel(QUEUE);
        let state = Arc::new(LogState::default());
        let of_thread = Arc::clone(&state);
        let thread = std::thread::Builder::new()
            .name("access log".into())
            .spawn(move || queue::serve(file, &receiver, &of_thread, &note))
            .map_err(|error| ArchiveError::Database(error.to_string()))?;
        Ok(AccessLog {
            dir: self.dir().to_owned(),
            archive: Some(self.clone()),
            sender: Some(sender),
            thread: Some(thread),
            state,
            recent: Mutex::default(),
        })
    }

    /// An access log that cannot be written, with the reason. The records can be used; what is opened is counted as
    /// lost, and [`AccessLog::trouble`] says why.
    #[must_use]
    pub fn access_log_failed(&self, now: Timestamp, error: &ArchiveError) -> AccessLog {
        let log = self.access_log_beside();
        log.state.lose(0, now, &error.to_string());
        log
    }

    /// Opens the access log beside records that are opened for reading: it can be read and checked, and rows can be
    /// added with [`AccessLog::append_now`].
    #[must_use]
    pub fn access_log_beside(&self) -> AccessLog {
        AccessLog {
            dir: self.dir().to_owned(),
            archive: Some(self.clone()),
            sender: None,
            thread: None,
            state: Arc::default(),
            recent: Mutex::default(),
        }
    }

    /// The lengths and last hashes that were noted, one for each day (its last), the earliest first.
    pub(crate) fn access_heads(&self) -> Result<Vec<(Timestamp, AccessHead)>, ArchiveError> {
        self.read(|conn| {
            let mut query = conn.prepare_cached("SELECT at, rows, head FROM access_heads ORDER BY day")?;
            let heads = query.query_map([], |row| {
                let head = AccessHead { rows: row.get(1)?, hash: row.get(2)? };
                Ok((Timestamp::from_seconds(row.get(0)?), head))
            })?;
            Ok(heads.collect::<Result<_, _>>()?)
        })
    }

    fn note_access_head(&self, at: Timestamp, head: AccessHead) -> Result<(), ArchiveError> {
        self.writer()?.run(move |conn| {
            let sql = "INSERT OR REPLACE INTO access_heads (day, at, rows, head) VALUES (?1, ?2, ?3, ?4)";
            let day = at.day().number();
            conn.prepare_cached(sql)?.execute(params![day, at.seconds(), head.rows, head.hash])?;
            Ok(())
        })
    }
}

impl AccessLog {
    /// Hands over what is to be noted and does not wait for the disk. A look at the same page of the same child by
    /// the same person on the same device within [`ACCESS_ONE_ROW_SECONDS`] is noted once. If the rows cannot be
    /// written, [`AccessLog::trouble`] says so, and the number of those lost becomes a row once they can again.
    pub fn note(&self, event: AccessEvent) {
        if self.is_repeated(&event) {
            return;
        }
        let Some(sender) = &self.sender else { return };
        match sender.try_send(Asked::Event(event.clone())) {
            Ok(()) => self.remember(event),
            Err(TrySendError::Full(_) | TrySendError::Disconnected(_)) => {
                self.state.lose(1, event.at, "more was opened than could be written");
            }
        }
    }

    fn is_repeated(&self, event: &AccessEvent) -> bool {
        if event.act != AccessAct::Look {
            return false;
        }
        let recent = self.recent.lock().unwrap_or_else(PoisonError::into_inner);
        let last = recent.get(&event.without_time());
        last.is_some_and(|last| (0..ACCESS_ONE_ROW_SECONDS).contains(&(event.at.seconds() - last)))
    }

    fn remember(&self, event: AccessEvent) {
        if event.act != AccessAct::Look {
            return;
        }
        let mut recent = self.recent.lock().unwrap_or_else(PoisonError::into_inner);
        if recent.len() >= REMEMBERED {
            recent.clear();
        }
        let at = event.at.seconds();
        recent.insert(event.without_time(), at);
    }

    /// Waits until everything handed over before is on the disk.
    ///
    /// # Errors
    /// When it cannot be written.
    pub fn flush(&self) -> Result<(), ArchiveError> {
        let Some(sender) = &self.sender else { return Ok(()) };
        let (done, answer) = mpsc::channel();
        sender.send(Asked::Flush(done)).map_err(|_| ArchiveError::Closed)?;
        answer.recv().unwrap_or(Err(ArchiveError::Closed))
    }

    /// Adds rows at once beside the records in a folder, for a command, which ends soon after. Nothing is added where
    /// there are no records. `key` is the one with which they are encrypted.
    ///
    /// # Errors
    /// When they cannot be written.
    pub fn append_now(
        dir: &Path,
        key: Option<&DatabaseKey>,
        events: &[AccessEvent],
    ) -> Result<(), ArchiveError> {
        if !dir.join(crate::schema::FILE_NAME).is_file() {
            return Ok(());
        }
        LogFile::open(dir, key)?.append(events).map(|_| ())
    }

    /// Since when and why rows cannot be written, and how many openings were not noted; `None` while all is well.
    #[must_use]
    pub fn trouble(&self) -> Option<(Timestamp, String)> {
        self.state.trouble()
    }

    /// A number that changes whenever [`AccessLog::trouble`] does.
    #[must_use]
    pub fn trouble_changes(&self) -> u64 {
        self.state.changes.load(Ordering::Acquire)
    }

    fn key(&self) -> Option<&DatabaseKey> {
        self.archive.as_ref().and_then(Archive::key)
    }

    /// The folder.
    #[must_use]
    pub fn dir(&self) -> &Path {
        &self.dir
    }

    /// Copies the log and its key into a folder, also while it is in use; encrypted as it is. Nothing is copied where there is no log.
    ///
    /// # Errors
    /// When a file cannot be read or written.
    pub fn copy_to(&self, folder: &Path) -> Result<(), ArchiveError> {
        self.flush()?;
        let Some(conn) = file::open_for_reading(&self.dir, self.key())? else { return Ok(()) };
        copy_whole(&conn, &DatabaseFile::new(folder.join(ACCESS_FILE), self.key()))?;
        hash::copy_key(&self.dir, folder)
    }

    /// The number of rows and the last hash; `None` where there is no row.
    ///
    /// # Errors
    /// When the file cannot be read.
    pub fn head(&self) -> Result<Option<AccessHead>, ArchiveError> {
        self.flush()?;
        let Some(conn) = file::open_for_reading(&self.dir, self.key())? else { return Ok(None) };
        let sql = "SELECT number, hash FROM access ORDER BY number DESC LIMIT 1";
        let head = conn.query_row(sql, [], |row| Ok(AccessHead { rows: row.get(0)?, hash: row.get(1)? }));
        Ok(head.optional()?)
    }
}

impl Drop for AccessLog {
    fn drop(&mut self) {
        self.sender.take();
        if let Some(thread) = self.thread.take() {
            let _ = thread.join();
        }
    }
}
