//! The handle of the records.

use crate::{summary, withheld::KnownWithheld};
use archive::{
    AccessLog, Accounts, Archive, ArchiveError, CacheKey, CacheValue, Claim, DatabaseKey, Devices,
    ErasureRequests, FormDraftRows, LogCache, Options, Pins, PracticeRows, Progress, Receipt, RecomputeCost,
    RecordHolds, Restrictions, WitnessPlace,
};
use course::Course;
use guidance::{Outlook, Protocol};
use record::{ChildId, Day, Entry, Timestamp};
use std::{
    path::Path,
    sync::{
        Arc, PoisonError, RwLock,
        atomic::{AtomicU64, Ordering},
    },
    thread,
};

/// The estimated size of a course and its outlook in addition to the entries, bytes.
const OUTLOOK_BYTES: usize = 8 << 10;
/// The estimated size of an entry in memory, bytes.
const ENTRY_BYTES: usize = size_of::<Entry>() + 128;

/// Options of opening records.
#[derive(Clone, Default)]
pub struct RecordsOptions {
    /// A limit of the size of the file, in pages of 4096 bytes; beyond it the disk counts as full.
    pub most_pages: Option<u32>,
    /// Called with the number of summaries done and of all, if they must be computed again on opening.
    pub on_rebuild: Option<Progress>,
    /// Where the witness of the records is; `None` for records without one.
    pub witness: Option<WitnessPlace>,
    /// Whether the structure of the file is checked before it is opened, which reads all of it.
    pub quick_check: bool,
    /// The key with which the files are encrypted; `None` for records that are not.
    pub key: Option<DatabaseKey>,
}

/// A child's entries and the outlook computed from them for a day.
#[derive(Debug)]
pub struct ChildRecord {
    /// In the order written.
    pub entries: Vec<Entry>,
    /// The course, the next steps and the calls for attention.
    pub outlook: Outlook,
}

/// The records of a clinic with everything computed from them under one protocol. A clone is another handle to
/// the same records.
#[derive(Clone)]
pub struct ClinicRecords {
    archive: Archive,
    protocol: Arc<RwLock<Arc<Protocol>>>,
    counters: Arc<Counters>,
    withheld: Arc<KnownWithheld>,
}

#[derive(Default)]
struct Counters {
    imports: AtomicU64,
    readings: AtomicU64,
    decisions: AtomicU64,
}

pub(crate) fn options(protocol: &Arc<Protocol>, how: RecordsOptions) -> Options {
    let RecordsOptions { most_pages, on_rebuild, witness, quick_check, key } = how;
    Options { most_pages, on_rebuild, witness, quick_check, key, ..summary::options(protocol) }
}

impl ClinicRecords {
    /// Opens the records in a folder for reading and writing; creates them if there are none. Records that are not
    /// those that their witness knows are open for reading only, and [`ClinicRecords::finding`] says why.
    ///
    /// # Errors
    /// As [`Archive::open`].
    pub fn open(dir: &Path, protocol: Arc<Protocol>, how: RecordsOptions) -> Result<Self, ArchiveError> {
        Ok(Self::of(Archive::open(dir, options(&protocol, how))?, protocol))
    }

    /// Opens for reading only, also while another process writes. `key` is the one with which they are encrypted.
    ///
    /// # Errors
    /// As [`Archive::open_for_reading`].
    pub fn open_for_reading(
        dir: &Path,
        protocol: Arc<Protocol>,
        key: Option<DatabaseKey>,
    ) -> Result<Self, ArchiveError> {
        Self::open_compared(dir, protocol, RecordsOptions { key, ..RecordsOptions::default() })
    }

    /// The same, compared with the witness; [`ClinicRecords::finding`] has the result.
    ///
    /// # Errors
    /// As [`Archive::open_for_reading`].
    pub fn open_compared(
        dir: &Path,
        protocol: Arc<Protocol>,
        how: RecordsOptions,
    ) -> Result<Self, ArchiveError> {
        Ok(Self::of(Archive::open_for_reading(dir, options(&protocol, how))?, protocol))
    }

    pub(crate) fn of(archive: Archive, protocol: Arc<Protocol>) -> Self {
        Self {
            archive,
            protocol: Arc::new(RwLock::new(protocol)),
            counters: Arc::default(),
            withheld: Arc::default(),
        }
    }

    /// The key with which the records are encrypted; `None` if they are not.
    #[must_use]
    pub fn key(&self) -> Option<&DatabaseKey> {
        self.archive.key()
    }

    pub(crate) const fn archive(&self) -> &Archive {
        &self.archive
    }

    /// The accounts, sessions and one-time links, which are saved with the records.
    #[must_use]
    pub fn accounts(&self) -> Accounts {
        self.archive.accounts()
    }

    /// The devices on the clinic's network, which are saved with the records.
    #[must_use]
    pub fn devices(&self) -> Devices {
        self.archive.devices()
    }

    /// Opens the access log beside these records for writing. Where it cannot be used, the records can all the same,
    /// and [`AccessLog::trouble`] says why nothing is noted.
    #[must_use]
    pub fn open_access_log(&self, now: Timestamp) -> AccessLog {
        self.archive.access_log(now).unwrap_or_else(|error| self.archive.access_log_failed(now, &error))
    }

    /// The access log beside these records, to be read, checked, or added to by a command.
    #[must_use]
    pub fn access_log_beside(&self) -> AccessLog {
        self.archive.access_log_beside()
    }

    /// The restricted records.
    #[must_use]
    pub fn restrictions(&self) -> Restrictions {
        self.archive.restrictions()
    }

    /// The requests to erase.
    #[must_use]
    pub fn erasure_requests(&self) -> ErasureRequests {
        self.archive.erasure_requests()
    }

    /// The records that are kept until a day.
    #[must_use]
    pub fn holds(&self) -> RecordHolds {
        self.archive.holds()
    }

    /// The PINs of people on devices, which are saved with the records.
    #[must_use]
    pub fn pins(&self) -> Pins {
        self.archive.pins()
    }

    /// Forms that were filled in and not saved, sealed, which are saved with the records.
    #[must_use]
    pub fn form_drafts(&self) -> FormDraftRows {
        self.archive.form_drafts()
    }

    /// The answers of people who learn to score, which are saved with the records.
    #[must_use]
    pub fn practice(&self) -> PracticeRows {
        self.archive.practice()
    }

    /// The protocol in force. Whoever computes a value for the cache reads the generation first and the protocol
    /// after it: a value made with an earlier protocol is then of an earlier generation, and no longer valid.
    #[must_use]
    pub fn protocol(&self) -> Arc<Protocol> {
        Arc::clone(&self.protocol.read().unwrap_or_else(PoisonError::into_inner))
    }

    /// Puts another protocol in force. When this returns everything follows from it: the next steps, calls and
    /// lists saved with the records are computed again in one transaction, and nothing computed under the earlier
    /// protocol is valid any more. In a large clinic writes wait some seconds for it.
    ///
    /// # Errors
    /// As [`Archive::change_summaries`]; the earlier protocol then stays in force.
    pub fn change_protocol(&self, new: Arc<Protocol>) -> Result<(), ArchiveError> {
        if *self.protocol() == *new {
            return Ok(());
        }
        let Options { summarise, summary_version, .. } = summary::options(&new);
        let present = Arc::clone(&self.protocol);
        self.archive.change_summaries(&summary_version, summarise, move || {
            *present.write().unwrap_or_else(PoisonError::into_inner) = new;
        })
    }

    /// The cache of computed values.
    #[must_use]
    pub fn cache(&self) -> &Arc<LogCache> {
        self.archive.cache()
    }

    /// A child's entries and outlook as known on a day; `None` for a child without entries.
    ///
    /// # Errors
    /// When the records cannot be read.
    pub fn child(&self, child: ChildId, as_of: Day) -> Result<Option<Arc<ChildRecord>>, ArchiveError> {
        let generation = self.archive.generation_of(child)?;
        let key = CacheKey::clinic("child").of(child).as_of(as_of);
        let found = self.cache().once(&key, generation, |_| {
            let entries = self.archive.entries(child)?;
            let outlook = self.outlook(child, &entries, as_of);
            let bytes = OUTLOOK_BYTES + entries.len() * ENTRY_BYTES;
            let value = ChildRecord { entries, outlook };
            Ok::<_, ArchiveError>(CacheValue { value, bytes, cost: RecomputeCost::Quick })
        })?;
        Ok(Some(found).filter(|found| !found.entries.is_empty()))
    }

    /// The outlook of a child as known on a day, computed from its entries.
    #[must_use]
    pub fn outlook(&self, child: ChildId, entries: &[Entry], as_of: Day) -> Outlook {
        Outlook::of(Course::of(child, entries, as_of), &self.protocol())
    }

    /// Appends very many entries in one transaction. The forecasts then learn from the clinic's feet again.
    ///
    /// # Errors
    /// As [`Archive::append_many`].
    pub fn import(
        &self,
        entries: Vec<Entry>,
        progress: &mut dyn FnMut(usize),
    ) -> Result<Receipt, ArchiveError> {
        let receipt = self.archive.append_many(entries, progress)?;
        self.count_import();
        Ok(receipt)
    }

    /// Notes that very much was written, so that what the whole clinic teaches is learned again.
    pub(crate) fn count_import(&self) {
        self.counters.imports.fetch_add(1, Ordering::AcqRel);
    }

    /// How many imports there were since opening: what is learned from the whole clinic is valid until the
    /// next, because single visits hardly change it.
    pub(crate) fn imports(&self) -> u64 {
        self.counters.imports.load(Ordering::Acquire)
    }

    /// Notes that a person decided something about the records as a whole.
    pub(crate) fn count_decision(&self) {
        self.counters.decisions.fetch_add(1, Ordering::AcqRel);
    }

    /// The children whose pictures and videos are withheld, once they were read.
    pub(crate) fn known_withheld(&self) -> &KnownWithheld {
        &self.withheld
    }

    /// How many such decisions were made since opening.
    pub(crate) fn decisions_made(&self) -> u64 {
        self.counters.decisions.load(Ordering::Acquire)
    }

    /// The number of a new reading of the whole clinic, from 1.
    pub(crate) fn next_reading(&self) -> u64 {
        self.counters.readings.fetch_add(1, Ordering::AcqRel) + 1
    }

    /// Computes a value on a new thread and saves it, unless another thread is computing it.
    pub(crate) fn in_background<T: Send + Sync + 'static>(
        &self,
        key: &CacheKey,
        generation: u64,
        compute: impl FnOnce(&Self) -> Result<CacheValue<T>, ArchiveError> + Send + 'static,
    ) {
        let Some(claim) = self.cache().claim(key) else { return };
        let (records, what) = (self.clone(), key.what);
        let work = move |claim: Claim| match compute(&records) {
            Ok(new) => drop(claim.put(generation, new)),
            Err(error) => tracing::warn!("the clinic could not be read for its {what}: {error}"),
        };
        let started = thread::Builder::new().name(format!("reading for {what}")).spawn(move || work(claim));
        if let Err(error) = started {
            tracing::warn!("the clinic is not read for its {what}: {error}");
        }
    }
}
