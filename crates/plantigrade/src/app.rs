//! The state of the running server.

use crate::{
    auth::{CodeThrottle, KnownDevices, OpenSteps, RequestRate, Sessions, Throttle},
    backup_trouble::BackupTrouble,
    capacity_file, clinic_history,
    clock::Clock,
    door::{DoorOrders, RestoreOutcome},
    drafts::{DraftSecret, FormDrafts},
    drawing::PagesInWork,
    exit::Failure,
    folder_key,
    held::HeldRecords,
    metrics::ServerMetrics,
    network::ClinicNetwork,
    place,
    plans::Plans,
    protocol_history,
    request::{Fail, Visitor},
    restricted::{RestrictedRecords, closed_now},
    searches::Searches,
    settings::{self, Settings},
    sheet_steps::SheetSteps,
    trial_reading::TrialReader,
};
use caseload::Setting;
use clinic::{
    AccessLog, CAN_ENCRYPT, CacheKey, CacheValue, ChildRecord, ClinicDays, ClinicRecords, RecomputeCost,
    RecordsOptions, WitnessPlace,
};
use guidance::{Outlook, Protocol};
use pages::{Frame, FrameNotices, Here};
use record::{ChildId, Day, Entry, Right, Rights, SiteId, UserId};
use std::{
    net::SocketAddr,
    path::{Path, PathBuf},
    sync::{
        Arc, Mutex, PoisonError, RwLock,
        atomic::{AtomicU64, Ordering},
    },
};
use tokio::sync::Semaphore;
use uuid::Uuid;

/// The clinic's own protocol file within the data folder.
pub const PROTOCOL_FILE: &str = "protocol.toml";
/// Where the secret of the folder cannot be read, what was counted before cannot be found again.
fn random_key() -> [u8; 32] {
    let mut key = [0; 32];
    rand::fill(&mut key[..]);
    key
}

const HASHED_AT_ONCE: usize = 4;
/// Files that are uploaded at a time.
pub const UPLOADS_AT_ONCE: usize = 3;

/// One page per processor core and a few more, because some wait for the disk.
fn drawn_at_once() -> usize {
    std::thread::available_parallelism().map_or(1, usize::from) + 2
}

/// How the server was started.
#[derive(Debug, Clone, Copy, Default)]
pub struct Mode {
    /// Cookies only over encrypted connections.
    pub secure: bool,
    /// A proxy in front gives the visitor's address.
    pub behind_proxy: bool,
    /// The clinic is invented, and its sign-in is shown.
    pub invented: bool,
    /// Where this computer's own door listens, once that is known.
    pub here: Option<SocketAddr>,
}

/// Everything the routes need.
pub struct App {
    /// Who opened what. Closed before the records, with which its length is noted.
    pub access_log: AccessLog,
    /// Which records are restricted.
    pub restricted: RestrictedRecords,
    /// The records, with everything computed from them.
    pub records: ClinicRecords,
    /// The folder of the records and of the clinic's own files.
    pub dir: PathBuf,
    /// The clinic's settings and how often they were changed since the start.
    settings: RwLock<Arc<Settings>>,
    settings_changes: AtomicU64,
    /// The clock.
    pub clock: Clock,
    /// Who is signed in.
    pub sessions: Sessions,
    /// Slows down guessing.
    pub throttle: Throttle,
    /// Forms that were filled in and not saved.
    pub drafts: FormDrafts,
    /// The secret from which the keys of drafts are derived.
    pub secret: Arc<DraftSecret>,
    /// The devices admitted on the clinic's network.
    pub devices: KnownDevices,
    /// Slows down guessing of their one-time codes.
    pub code_throttle: CodeThrottle,
    /// Slows down an address that asks too often.
    pub request_rate: RequestRate,
    /// Steps of signing in that were begun and not finished.
    pub open_steps: OpenSteps,
    /// The clinic's network, if it is served.
    pub network: Option<ClinicNetwork>,
    /// Reads files that somebody sent, before the server does.
    pub trial: TrialReader,
    /// What people searched for.
    pub searches: Searches,
    /// Imports that were previewed and not yet confirmed.
    pub plans: Plans,
    /// Passwords are checked a few at a time: each takes 19 MiB.
    pub hashing: Semaphore,
    /// Files are taken a few at a time: each is held whole.
    pub uploads: Semaphore,
    /// Pages that are being drawn.
    pub drawing: PagesInWork,
    /// Whether a drawn page is saved until the log grows; otherwise every page is drawn for each request.
    pub saves_pages: bool,
    /// One import is written at a time.
    pub importing: Mutex<()>,
    /// The clinic's list of boots and bars is written by one person at a time.
    pub listing: Mutex<()>,
    /// The settings and the protocol are changed by one person at a time.
    pub setting: Mutex<()>,
    /// The site of the clinic, as in entries.
    pub site: SiteId,
    /// How the server was started.
    pub mode: Mode,
    /// Why the records are served for reading only, from a copy.
    pub held: Option<HeldRecords>,
    /// What the last full check found, if it found something.
    pub failed_check: Mutex<Option<String>>,
    /// Counts requests.
    pub metrics: ServerMetrics,
    /// Whether there is a recent backup, as it was a moment ago.
    pub(crate) backup_state: Mutex<Option<(i64, Option<BackupTrouble>)>>,
    /// Recovery sheets that are being printed.
    pub sheets: SheetSteps,
    /// Has the records closed, encrypted and opened again; `None` where the program cannot do that.
    pub orders: Option<DoorOrders>,
    /// Why the last change of the key failed.
    key_trouble: Mutex<Option<String>>,
    /// What came of restoring a backup in place of the records that were open before.
    restore_outcome: Mutex<Option<RestoreOutcome>>,
    /// A limit of the file of photographs in pages of 4096 bytes, as on a disk of that size.
    pub(crate) most_picture_pages: Option<u32>,
}

/// Where the witness of the records in a folder is, by the settings there.
///
/// # Errors
/// When the settings cannot be read.
pub fn witness_of(dir: &Path) -> Result<Option<WitnessPlace>, Failure> {
    Ok(witness_by(dir, &Settings::read(dir)?))
}

/// The same for a process that writes. A clinic goes on without a witness where the usual place cannot be written,
/// and not where its settings name a place.
///
/// # Errors
/// When the settings cannot be read.
pub fn witness_to_write(dir: &Path) -> Result<Option<WitnessPlace>, Failure> {
    let settings = Settings::read(dir)?;
    let Some(place) = witness_by(dir, &settings) else { return Ok(None) };
    match std::fs::create_dir_all(&place.key) {
        Err(error) if settings.witness.is_none() => {
            tracing::warn!("there is no witness of the records: {}: {error}", place.key.display());
            Ok(None)
        }
        _ => Ok(Some(place)),
    }
}

fn witness_by(dir: &Path, settings: &Settings) -> Option<WitnessPlace> {
    place::witness_place(dir, settings.witness.as_deref())
}

/// The built-in protocol with the values of the clinic's own file.
///
/// # Errors
/// When the file cannot be read or used, with line and reason.
pub fn protocol(dir: &Path) -> Result<Arc<Protocol>, Failure> {
    let path = dir.join(PROTOCOL_FILE);
    let text = match std::fs::read_to_string(&path) {
        Ok(text) => text,
        Err(error) if error.kind() == std::io::ErrorKind::NotFound => {
            return Ok(Arc::new(Protocol::built_in()));
        }
        Err(error) => return Err(Failure::settings(format!("{} cannot be read: {error}.", path.display()))),
    };
    let shown = path.display().to_string();
    let sentence =
        |error| crate::exit::sentence(&format!("the protocol file {shown} cannot be used: {error}"));
    let protocol = Protocol::with_clinic_file(&text).map_err(|error| Failure::settings(sentence(error)))?;
    Ok(Arc::new(protocol))
}

impl App {
    /// Opens the records in a folder for serving.
    ///
    /// # Errors
    /// When the protocol, the settings or the records cannot be used.
    pub fn open(dir: &Path, clock: Clock, mode: Mode) -> Result<Self, Failure> {
        Self::open_with(dir, clock, mode, None)
    }

    /// As [`App::open`], with a limit of `most_pages` pages for the file of the records, as on a disk of that
    /// size.
    ///
    /// # Errors
    /// As [`App::open`].
    pub fn open_with(dir: &Path, clock: Clock, mode: Mode, most_pages: Option<u32>) -> Result<Self, Failure> {
        let protocol = protocol(dir)?;
        let settings = Settings::read(dir)?;
        let how =
            RecordsOptions { most_pages, key: folder_key::database_key(dir)?, ..RecordsOptions::default() };
        let records = ClinicRecords::open(dir, protocol, how)?;
        let app = Self::over(records, dir, settings, clock, mode, None)?;
        Ok(Self { most_picture_pages: most_pages, ..app })
    }

    /// Everything around records that are open. If they are held, `records` is the copy that is shown.
    ///
    /// # Errors
    /// When they cannot be read or written.
    pub(crate) fn over(
        records: ClinicRecords,
        dir: &Path,
        settings: Settings,
        clock: Clock,
        mode: Mode,
        held: Option<HeldRecords>,
    ) -> Result<Self, Failure> {
        crate::data_modes::close_at_start(dir);
        records.accounts().delete_expired(clock.now())?;
        let noted = match held {
            Some(_) => Ok(()),
            None => clinic_history::note_changes_by_hand(dir, &settings, clock)
                .and_then(|()| protocol_history::note_changes_by_hand(dir, &records.protocol(), clock)),
        };
        if let Err(error) = noted {
            tracing::warn!("the history of the settings cannot be written: {error}");
        }
        let secret = Arc::new(DraftSecret::of(dir));
        let site = records.own_site_or(SiteId::new(clock.id()))?;
        records.save_site_name(site, &settings.name)?;
        let access_log = records.open_access_log(clock.now());
        if let Some((_, why)) = access_log.trouble() {
            tracing::error!("the access log cannot be written: {why}");
        }
        Ok(Self {
            access_log,
            restricted: RestrictedRecords::read(records.restrictions(), clock.now())?,
            sessions: Sessions::new(
                records.accounts(),
                records.pins(),
                settings.idle_minutes,
                settings.lock_minutes,
            ),
            drafts: FormDrafts::open(records.form_drafts(), Arc::clone(&secret), clock.now())?,
            throttle: Throttle::open(dir, &secret.attempts_key().unwrap_or_else(|_| random_key())),
            secret,
            devices: KnownDevices::new(records.devices()),
            code_throttle: CodeThrottle::default(),
            request_rate: RequestRate::default(),
            open_steps: OpenSteps::default(),
            network: None,
            trial: TrialReader::default(),
            searches: Searches::default(),
            plans: Plans::default(),
            importing: Mutex::default(),
            listing: Mutex::default(),
            hashing: Semaphore::new(HASHED_AT_ONCE),
            uploads: Semaphore::new(UPLOADS_AT_ONCE),
            drawing: PagesInWork::new(drawn_at_once()),
            saves_pages: true,
            dir: dir.to_owned(),
            records,
            settings: RwLock::new(Arc::new(settings)),
            settings_changes: AtomicU64::default(),
            setting: Mutex::default(),
            clock,
            site,
            mode,
            held,
            failed_check: Mutex::default(),
            metrics: ServerMetrics::default(),
            backup_state: Mutex::default(),
            sheets: SheetSteps::default(),
            orders: None,
            key_trouble: Mutex::default(),
            restore_outcome: Mutex::default(),
            most_picture_pages: None,
        })
    }

    /// The frame of a page.
    #[must_use]
    pub fn frame(&self, visitor: &Visitor, here: Here) -> Frame {
        Frame {
            user: visitor.who.as_ref().map(|who| who.name.clone()),
            // Where everything else is closed, no way to it is shown.
            rights: if self.lacks_second_factor(visitor) { Rights::NONE } else { visitor.rights() },
            today: self.clock.today(),
            csrf: visitor.csrf().to_owned(),
            clinic_name: self.settings().name.clone(),
            here,
            message: None,
            invented: self.mode.invented,
            notices: self.notices(visitor),
            person: visitor.who.as_ref().map(|who| who.user.to_string()).unwrap_or_default(),
            drafts: visitor.who.as_ref().map_or(0, |who| self.drafts.count(who.user)),
            restored: Vec::new(),
            standing: self.standing_for(visitor).into_iter().chain(self.backup_notice(visitor)).collect(),
            cannot_encrypt: !CAN_ENCRYPT,
            language: visitor.language(),
            mark: self.records.mark().ok().filter(|mark| mark.entries > 0).map(|mark| mark.to_string()),
        }
    }

    /// What a lead is told on every page.
    fn notices(&self, visitor: &Visitor) -> FrameNotices {
        let lead = visitor.who.as_ref().filter(|who| who.may(Right::SeeAccessLog));
        let Some(lead) = lead else { return FrameNotices::default() };
        let trouble = self.access_log.trouble().map(|(since, why)| {
            let since = crate::clock::local_words(since);
            format!("Since {since} what is opened is not noted ({why}). Records stay open for care. Check the disk, and tell whoever looks after this computer.")
        });
        FrameNotices {
            restricted_openings: self.restricted.unseen_count(lead.user),
            log_trouble: trouble,
            offers_encryption: self.offers_encryption(),
        }
    }

    /// Whether the records are not encrypted, and could be: those of the invented clinic are deleted when it ends.
    #[must_use]
    pub fn offers_encryption(&self) -> bool {
        CAN_ENCRYPT && !self.mode.invented && self.orders.is_some() && self.records.key().is_none()
    }

    /// Notes why a change of the key failed.
    pub fn set_key_trouble(&self, why: &str) {
        *self.key_trouble.lock().unwrap_or_else(PoisonError::into_inner) = Some(why.to_owned());
    }

    /// Why the last change of the key failed.
    #[must_use]
    pub fn key_trouble(&self) -> Option<String> {
        self.key_trouble.lock().unwrap_or_else(PoisonError::into_inner).clone()
    }

    /// Notes what came of restoring a backup.
    pub fn set_restore_outcome(&self, outcome: RestoreOutcome) {
        *self.restore_outcome.lock().unwrap_or_else(PoisonError::into_inner) = Some(outcome);
    }

    /// What came of restoring a backup since the start.
    #[must_use]
    pub fn restore_outcome(&self) -> Option<RestoreOutcome> {
        self.restore_outcome.lock().unwrap_or_else(PoisonError::into_inner).clone()
    }

    /// What a drawn page depends on beside the records: which are closed to the reader, and what leads are told.
    #[must_use]
    pub fn reader_key(&self, visitor: &Visitor) -> String {
        let closed = closed_now().map(|closed| closed.key()).unwrap_or_default();
        let lead = visitor.who.as_ref().is_some_and(|who| who.may(Right::SeeAccessLog));
        let told = lead.then(|| (self.restricted.changes(), self.access_log.trouble_changes()));
        // A page drawn in one language is never shown to who reads another.
        format!("{closed} {told:?} {:?} {}", self.backup_trouble(), visitor.language().tag())
    }

    /// The clinic's settings in force.
    #[must_use]
    pub fn settings(&self) -> Arc<Settings> {
        Arc::clone(&self.settings.read().unwrap_or_else(PoisonError::into_inner))
    }

    /// How often the settings were changed since the start: part of the key of whatever depends on them.
    #[must_use]
    pub fn settings_changes(&self) -> u64 {
        self.settings_changes.load(Ordering::Acquire)
    }

    /// Puts settings in force.
    ///
    /// # Errors
    /// When the clinic's name cannot be saved with the records; the earlier settings then stay in force.
    pub fn change_settings(&self, new: Settings) -> Result<(), Fail> {
        self.records.save_site_name(self.site, &new.name)?;
        self.sessions.set_minutes(new.idle_minutes, new.lock_minutes);
        *self.settings.write().unwrap_or_else(PoisonError::into_inner) = Arc::new(new);
        self.settings_changes.fetch_add(1, Ordering::AcqRel);
        Ok(())
    }

    /// The setting for capacity that the clinic saved, with the days on which the clinic is closed. `None` where it
    /// saved none, or one that cannot be used.
    #[must_use]
    pub fn capacity(&self) -> Option<Setting> {
        capacity_file::of_clinic(&self.dir).map(|setting| self.with_closures(setting))
    }

    /// A setting for capacity with the days on which the clinic is closed, which are saved with its settings.
    #[must_use]
    pub fn with_closures(&self, mut setting: Setting) -> Setting {
        settings::add_closures(&mut setting.closures, &self.settings().closures);
        setting
    }

    /// The protocol in force.
    #[must_use]
    pub fn protocol(&self) -> Arc<Protocol> {
        self.records.protocol()
    }

    /// On which days the clinic is held, and the places it saved for them.
    #[must_use]
    pub fn clinic_days(&self) -> ClinicDays {
        ClinicDays { setting: self.capacity(), ..self.settings().days() }
    }

    /// A child's entries and what is computed from them, as known on a day. A child without entries is not
    /// found.
    ///
    /// # Errors
    /// When there are no entries or they cannot be read.
    pub fn known(&self, child: ChildId, as_of: Day) -> Result<Arc<ChildRecord>, Fail> {
        self.records.child(child, as_of)?.ok_or_else(Fail::not_found)
    }

    /// The child whose record is used instead of this one, if the two were joined.
    ///
    /// # Errors
    /// When the log cannot be read.
    pub fn joined_into(&self, child: ChildId) -> Result<Option<ChildId>, Fail> {
        // The entries alone: a course as of the last day would be computed and kept for every page.
        Ok(course::joined_into(&self.records.entries(child)?))
    }

    /// What is computed from a child's entries, as known on a day.
    #[must_use]
    pub fn outlook(&self, child: ChildId, entries: &[Entry], as_of: Day) -> Outlook {
        self.records.outlook(child, entries, as_of)
    }

    /// The name of the user who wrote an entry.
    #[must_use]
    pub fn name_of(&self, user: UserId) -> String {
        let key = CacheKey::clinic("name").with(user.to_string());
        // A name is valid until an account changes.
        let (cache, changes) = (self.records.cache(), self.records.accounts().changes());
        if let Some(saved) = cache.get::<String>(&key, changes) {
            return String::clone(&saved);
        }
        let Some(name) = self.look_up_name(user) else {
            return "somebody without an account here".to_owned();
        };
        let bytes = name.len();
        cache.put(key, changes, CacheValue { value: name.clone(), bytes, cost: RecomputeCost::Quick });
        name
    }

    fn look_up_name(&self, user: UserId) -> Option<String> {
        let account = || self.records.accounts().account(user).ok().flatten().map(|found| found.display_name);
        let writer = || self.records.import_writer().ok().flatten();
        account().or_else(|| (writer() == Some(user)).then(|| "imported from a file".to_owned()))
    }

    /// A new id for a form that is sent once.
    #[must_use]
    pub fn once(&self) -> Uuid {
        self.clock.id()
    }
}
