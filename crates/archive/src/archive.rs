//! The handle of the records.

use crate::{
    cache::{CACHE_BYTES, CacheKey, CacheValue, LogCache, RecomputeCost},
    database_file::DatabaseFile,
    database_key::DatabaseKey,
    error::ArchiveError,
    error::of_io,
    finding::{Compared, Testimony, WitnessFinding},
    generation::LogWatch,
    health::Health,
    lock::RecordsLock,
    options::Options,
    reader::Readers,
    rebuild::{self, Summarising},
    schema,
    seal::Seal,
    sealing::Sealing,
    upgrade,
    witness::{WitnessPlace, flush_folder},
    writer::Writer,
};
use record::ChildId;
use rusqlite::Connection;
use std::{
    fs,
    path::{Path, PathBuf},
    sync::{
        Arc,
        atomic::{AtomicU64, Ordering},
    },
};

/// The records in one folder. A clone is another handle to the same.
#[derive(Clone)]
pub struct Archive {
    inner: Arc<Inner>,
}

// Dropped in this order: connections first, the lock last.
struct Inner {
    readers: Readers,
    writer: Option<Writer>,
    cache: Arc<LogCache>,
    watch: Arc<LogWatch>,
    account_changes: AtomicU64,
    summarising: Arc<Summarising>,
    dir: PathBuf,
    current: bool,
    health: Arc<Health>,
    witness: Option<WitnessPlace>,
    finding: Option<WitnessFinding>,
    lock: Option<RecordsLock>,
}

impl Archive {
    /// Opens the records in a folder for reading and writing; creates folder and file if needed. Only one
    /// process can do so. Records that are not those that their witness knows are opened for reading only, and
    /// [`Archive::finding`] says why.
    ///
    /// # Errors
    /// When another process has opened them, the file is damaged, newer or no records file, the records are gone
    /// and the witness knows of them, or the folder cannot be used. Nothing is then changed.
    pub fn open(dir: &Path, options: Options) -> Result<Self, ArchiveError> {
        make_dir(dir)?;
        let lock = RecordsLock::take(dir)?;
        let file = options.file_in(dir);
        schema::finish_interrupted(&file)?;
        let compared = compare(dir, &options)?;
        if let Some(finding) = compared.as_ref().and_then(|compared| compared.finding.clone()) {
            return Self::only_for_reading(dir, options, Some(lock), Some(finding));
        }
        if options.quick_check && file.path.exists() {
            quick_check(&file)?;
        }
        upgrade::copy_before(&file)?;
        let conn = schema::open_writer(&file)?;
        schema::tidy(&conn, &file.path);
        // SQLite has made a new log just now. It flushes the folder at the first commit, and goes on if that fails.
        flush_folder(dir).map_err(|error| of_io(&error, dir))?;
        if let Some(pages) = options.most_pages {
            conn.pragma_update(None, "max_page_count", pages)?;
        }
        let summarising = Arc::new(Summarising::new(&options.summary_version, options.summarise));
        if !summarising.is_stored(&conn)? {
            rebuild::rebuild(&conn, &summarising, options.on_rebuild.as_ref())?;
        }
        let (cache, watch, health) = (new_cache(), Arc::new(LogWatch::default()), Arc::default());
        let sealing = match (&options.witness, compared) {
            (Some(place), Some(compared)) => Some(Sealing::begin(&conn, place, compared, &health)?),
            _ => {
                refuse_sealed(&conn, &health)?;
                None
            }
        };
        watch.look(&conn);
        let writer = Writer::start(conn, &cache, &watch, sealing, &health)?;
        Ok(Self {
            inner: Arc::new(Inner {
                readers: Readers::new(&file),
                writer: Some(writer),
                cache,
                watch,
                account_changes: AtomicU64::default(),
                summarising,
                dir: dir.into(),
                current: true,
                health,
                witness: options.witness,
                finding: None,
                lock: Some(lock),
            }),
        })
    }

    /// Opens for reading only, also while another process writes. Never creates or changes anything. Whether the
    /// records are those that their witness knows, [`Archive::finding`] says.
    ///
    /// # Errors
    /// When there are no records, or the file is damaged, newer, older or no records file.
    pub fn open_for_reading(dir: &Path, options: Options) -> Result<Self, ArchiveError> {
        let compared = compare(dir, &options)?;
        Self::only_for_reading(dir, options, None, compared.and_then(|compared| compared.finding))
    }

    fn only_for_reading(
        dir: &Path,
        options: Options,
        lock: Option<RecordsLock>,
        finding: Option<WitnessFinding>,
    ) -> Result<Self, ArchiveError> {
        let file = options.file_in(dir);
        if !file.path.is_file() {
            return Err(ArchiveError::NoRecords(dir.into()));
        }
        let conn = schema::open_reader(&file)?;
        schema::check_ours(&conn, &file.path)?;
        schema::check_layout(&conn, &file.path).map_err(|error| match (&error, &finding) {
            // An older program cannot be asked to bring records up to date that a person must decide about first.
            (ArchiveError::Older, Some(finding)) => {
                ArchiveError::Witness(finding.sentence(&|at| at.to_string()))
            }
            _ => error,
        })?;
        let summarising = Arc::new(Summarising::new(&options.summary_version, options.summarise));
        let current = summarising.is_stored(&conn)?;
        let watch = Arc::new(LogWatch::default());
        watch.look(&conn);
        let readers = Readers::new(&file);
        readers.keep(conn);
        let (cache, dir) = (new_cache(), dir.into());
        let account_changes = AtomicU64::default();
        let inner = Inner {
            readers,
            writer: None,
            cache,
            watch,
            account_changes,
            summarising,
            dir,
            current,
            health: Arc::default(),
            witness: options.witness,
            finding,
            lock,
        };
        Ok(Self { inner: Arc::new(inner) })
    }

    /// How the records differ from what their witness knows; they are then open for reading only. `None` also where
    /// they have no witness.
    #[must_use]
    pub fn finding(&self) -> Option<&WitnessFinding> {
        self.inner.finding.as_ref()
    }

    /// What is damaged, as far as it was noticed since opening; nothing more is then written.
    #[must_use]
    pub fn damage(&self) -> Option<String> {
        self.inner.health.damage()
    }

    /// Why the witness cannot be written at present. Entries are saved all the same.
    #[must_use]
    pub fn witness_warning(&self) -> Option<String> {
        self.inner.health.witness_warning()
    }

    /// Where the witness is.
    #[must_use]
    pub fn witness_place(&self) -> Option<&WitnessPlace> {
        self.inner.witness.as_ref()
    }

    pub(crate) fn note(&self, error: &ArchiveError) {
        self.inner.health.note(error);
    }

    /// Whether these records were opened as the only process that may write them.
    pub(crate) fn is_locked(&self) -> bool {
        self.inner.lock.is_some()
    }

    /// Notes damage that a check found; nothing more is then written.
    pub fn note_damage(&self, what: &str) {
        self.inner.health.note(&ArchiveError::Damaged(what.to_owned()));
    }

    /// The file of the records.
    pub(crate) fn file(&self) -> &DatabaseFile {
        self.inner.readers.file()
    }

    /// The key with which the records are encrypted; `None` if they are not.
    #[must_use]
    pub fn key(&self) -> Option<&DatabaseKey> {
        self.file().key.as_ref()
    }

    /// The folder.
    #[must_use]
    pub fn dir(&self) -> &Path {
        &self.inner.dir
    }

    /// Whether the summaries were computed by this program and protocol. This is always so when opened for
    /// writing. Otherwise lists and searches may be out of date, but never the entries.
    #[must_use]
    pub fn summaries_current(&self) -> bool {
        self.inner.current
    }

    /// The number of commits and of jobs since opening. Jobs that arrive together share a commit.
    #[must_use]
    pub fn commits_and_jobs(&self) -> (u64, u64) {
        self.inner.writer.as_ref().map_or((0, 0), |writer| {
            (writer.counters.commits.load(Ordering::Acquire), writer.counters.jobs.load(Ordering::Acquire))
        })
    }

    /// How many writes wait to be begun.
    #[must_use]
    pub fn waiting(&self) -> u64 {
        self.inner.writer.as_ref().map_or(0, |writer| writer.counters.waiting.load(Ordering::Relaxed))
    }

    /// How summaries are computed. A job of the writing thread asks when it runs, not when it is sent: the way may
    /// be changed by a job before it.
    pub(crate) fn summarising(&self) -> Arc<Summarising> {
        Arc::clone(&self.inner.summarising)
    }

    pub(crate) fn writer(&self) -> Result<&Writer, ArchiveError> {
        if let Some(finding) = &self.inner.finding {
            return Err(ArchiveError::Witness(finding.sentence(&|at| at.to_string())));
        }
        if let Some(damage) = self.inner.health.damage() {
            return Err(ArchiveError::Damaged(damage));
        }
        self.inner.writer.as_ref().ok_or(ArchiveError::ReadingOnly)
    }

    /// How often accounts or sessions were changed since opening.
    pub(crate) fn account_changes(&self) -> &AtomicU64 {
        &self.inner.account_changes
    }

    /// The cache of values computed from the log, shared by every clone of this handle.
    #[must_use]
    pub fn cache(&self) -> &Arc<LogCache> {
        &self.inner.cache
    }

    /// The watch for a job of the writing thread.
    pub(crate) fn shared_watch(&self) -> Arc<LogWatch> {
        Arc::clone(&self.inner.watch)
    }

    pub(crate) fn watch(&self) -> &LogWatch {
        &self.inner.watch
    }

    pub(crate) fn read<T>(
        &self,
        read: impl FnOnce(&Connection) -> Result<T, ArchiveError>,
    ) -> Result<T, ArchiveError> {
        let done = self.inner.readers.read(read);
        if let Err(error) = &done {
            self.inner.health.note(error);
        }
        done
    }

    /// A count, counted again once the log has grown.
    pub(crate) fn count(
        &self,
        key: &str,
        count: impl FnOnce(&Connection) -> Result<i64, ArchiveError>,
    ) -> Result<usize, ArchiveError> {
        let key = CacheKey::clinic("count").with(key);
        let counted = self.cache().once(&key, self.generation()?, |_| {
            let value = usize::try_from(self.read(count)?).unwrap_or(0);
            Ok::<_, ArchiveError>(CacheValue { value, bytes: 0, cost: RecomputeCost::Quick })
        })?;
        Ok(*counted)
    }
}

fn new_cache() -> Arc<LogCache> {
    Arc::new(LogCache::holding(CACHE_BYTES))
}

/// Compares the records with their witness before anything is changed in them; `None` without a witness.
fn compare(dir: &Path, options: &Options) -> Result<Option<Compared>, ArchiveError> {
    let Some(place) = &options.witness else { return Ok(None) };
    let file = options.file_in(dir);
    // Before the records: whoever writes them meanwhile adds the line of the witness afterwards.
    let testimony = Testimony::read(place)?;
    if !file.path.exists() {
        return match testimony.last() {
            Some(last) => Err(ArchiveError::RecordsGone {
                dir: dir.into(),
                entries: usize::try_from(last.entries).unwrap_or(0),
            }),
            None => Ok(Some(Compared::default())),
        };
    }
    let conn = schema::open_reader(&file)?;
    schema::check_ours(&conn, &file.path)?;
    conn.execute_batch("BEGIN")?;
    testimony.compare(&conn, place).map(Some)
}

/// Refuses to write without a witness to records that have one.
fn refuse_sealed(conn: &Connection, health: &Health) -> Result<(), ArchiveError> {
    match Seal::read(conn) {
        Ok(Some(_)) => Err(ArchiveError::WitnessNotNamed),
        Ok(None) => Ok(()),
        // What can be read of a damaged file can still be read.
        Err(error) => {
            health.note(&error);
            Ok(())
        }
    }
}

fn quick_check(file: &DatabaseFile) -> Result<(), ArchiveError> {
    let conn = schema::open_reader(file)?;
    let result: String = conn.query_row("PRAGMA quick_check(1)", [], |row| row.get(0))?;
    if result == "ok" { Ok(()) } else { Err(ArchiveError::Damaged(result)) }
}

pub(crate) fn make_dir(dir: &Path) -> Result<(), ArchiveError> {
    if dir.is_dir() {
        return Ok(());
    }
    let mut builder = fs::DirBuilder::new();
    builder.recursive(true);
    // The records have names and dates of birth, so only the owner may read them.
    #[cfg(unix)]
    std::os::unix::fs::DirBuilderExt::mode(&mut builder, 0o700);
    builder.create(dir).map_err(|error| of_io(&error, dir))?;
    dir.parent().map_or(Ok(()), flush_folder).map_err(|error| of_io(&error, dir))
}

impl Archive {
    /// The generation of the log. Read it before computing a value from the log, so that the value is never
    /// taken for newer than it is.
    ///
    /// # Errors
    /// When the file cannot be read.
    pub fn generation(&self) -> Result<u64, ArchiveError> {
        // No other process can write while this one has the lock.
        if self.is_locked() {
            return Ok(self.watch().now());
        }
        self.read(|conn| Ok(self.watch().look(conn)))
    }

    /// The generation of the last write about a child, or a later one; never later than
    /// [`Archive::generation`].
    ///
    /// # Errors
    /// When the file cannot be read.
    pub fn generation_of(&self, child: ChildId) -> Result<u64, ArchiveError> {
        self.generation()?;
        Ok(self.watch().of_child(child))
    }

    /// The children with entries written after a generation, in no order; `None` if it may be any child.
    ///
    /// # Errors
    /// When the file cannot be read.
    pub fn written_since(&self, generation: u64) -> Result<Option<Vec<ChildId>>, ArchiveError> {
        self.generation()?;
        Ok(self.watch().since(generation))
    }
}
