//! The handle of the records.

use crate::{
    cache::{CACHE_BYTES, CacheKey, CacheValue, LogCache, RecomputeCost},
    error::ArchiveError,
    error::of_io,
    generation::LogWatch,
    lock::Lock,
    reader::Readers,
    rebuild::{self, Summarising},
    schema,
    summary::{Progress, Summarise, Summary},
    writer::Writer,
};
use record::{ChildId, Entry};
use rusqlite::Connection;
use std::{
    fs,
    path::{Path, PathBuf},
    sync::{
        Arc,
        atomic::{AtomicU64, Ordering},
    },
};

/// How summaries are computed.
#[derive(Clone)]
pub struct Options {
    /// Computes a child's summary.
    pub summarise: Summarise,
    /// A hash of everything that the summary depends on except the log: protocol and program version. If it
    /// differs from the stored one, all summaries are computed again on opening.
    pub summary_version: String,
    /// Reports the progress of that, because it can take a while.
    pub on_rebuild: Option<Progress>,
    /// A limit of the size of the file, in pages of 4096 bytes; beyond it the disk counts as full.
    pub most_pages: Option<u32>,
}

impl Options {
    /// Options without a progress report or a limit.
    #[must_use]
    pub fn new(
        summary_version: impl Into<String>,
        summarise: impl Fn(&[Entry]) -> Summary + Send + Sync + 'static,
    ) -> Self {
        Self {
            summarise: Arc::new(summarise),
            summary_version: summary_version.into(),
            on_rebuild: None,
            most_pages: None,
        }
    }
}

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
    _lock: Option<Lock>,
}

impl Archive {
    /// Opens the records in a folder for reading and writing; creates folder and file if needed. Only one
    /// process can do so.
    ///
    /// # Errors
    /// When another process has opened them, the file is damaged, newer or no records file, or the folder
    /// cannot be used. Nothing is then changed.
    pub fn open(dir: &Path, options: Options) -> Result<Self, ArchiveError> {
        make_dir(dir)?;
        let lock = Lock::take(dir)?;
        let path = dir.join(schema::FILE_NAME);
        let conn = schema::open_writer(&path)?;
        if let Some(pages) = options.most_pages {
            conn.pragma_update(None, "max_page_count", pages)?;
        }
        let summarising = Arc::new(Summarising::new(&options.summary_version, options.summarise));
        if !summarising.is_stored(&conn)? {
            rebuild::rebuild(&conn, &summarising, options.on_rebuild.as_ref())?;
        }
        let (cache, watch) = (new_cache(), Arc::new(LogWatch::default()));
        watch.look(&conn);
        let writer = Writer::start(conn, &cache, &watch)?;
        Ok(Self {
            inner: Arc::new(Inner {
                readers: Readers::new(&path),
                writer: Some(writer),
                cache,
                watch,
                account_changes: AtomicU64::default(),
                summarising,
                dir: dir.into(),
                current: true,
                _lock: Some(lock),
            }),
        })
    }

    /// Opens for reading only, also while another process writes. Never creates or changes anything.
    ///
    /// # Errors
    /// When there are no records, or the file is damaged, newer, older or no records file.
    pub fn open_for_reading(dir: &Path, options: Options) -> Result<Self, ArchiveError> {
        let path = dir.join(schema::FILE_NAME);
        if !path.is_file() {
            return Err(ArchiveError::NoRecords(dir.into()));
        }
        let conn = schema::open_reader(&path)?;
        schema::check_ours(&conn, &path)?;
        schema::check_layout(&conn, &path)?;
        let summarising = Arc::new(Summarising::new(&options.summary_version, options.summarise));
        let current = summarising.is_stored(&conn)?;
        let watch = Arc::new(LogWatch::default());
        watch.look(&conn);
        let readers = Readers::new(&path);
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
            _lock: None,
        };
        Ok(Self { inner: Arc::new(inner) })
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

    /// How summaries are computed. A job of the writing thread asks when it runs, not when it is sent: the way may
    /// be changed by a job before it.
    pub(crate) fn summarising(&self) -> Arc<Summarising> {
        Arc::clone(&self.inner.summarising)
    }

    pub(crate) fn writer(&self) -> Result<&Writer, ArchiveError> {
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
        self.inner.readers.read(read)
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

fn make_dir(dir: &Path) -> Result<(), ArchiveError> {
    if dir.is_dir() {
        return Ok(());
    }
    let mut builder = fs::DirBuilder::new();
    builder.recursive(true);
    // The records have names and dates of birth, so only the owner may read them.
    #[cfg(unix)]
    std::os::unix::fs::DirBuilderExt::mode(&mut builder, 0o700);
    builder.create(dir).map_err(|error| of_io(&error, dir))
}

impl Archive {
    /// The generation of the log. Read it before computing a value from the log, so that the value is never
    /// taken for newer than it is.
    ///
    /// # Errors
    /// When the file cannot be read.
    pub fn generation(&self) -> Result<u64, ArchiveError> {
        // No other process can write while this one has the lock.
        if self.writer().is_ok() {
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
