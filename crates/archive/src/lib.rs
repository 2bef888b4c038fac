//! The archive: the log of entries on disk, in one SQLite file.
//!
//! It appends and reads entries, stores one summary per child with the log for lists and searches, and checks
//! that nothing was changed or lost ([`Archive::verify`]). An acknowledged entry is on disk. It also stores
//! accounts, sessions and devices as plain rows, and holds in memory the one cache of values computed from the log
//! ([`LogCache`]).
//!
//! It never interprets an entry, and never updates or deletes one. The only exception is [`Archive::erase`],
//! which removes the body and leaves id, hash and reason. The caller computes the summaries; they can be
//! deleted and computed again at any time.
//!
//! Start reading at [`Archive::open`], then [`Archive::append`] and [`Summary`].

#![cfg_attr(not(test), warn(clippy::indexing_slicing, clippy::string_slice))]

mod accept;
mod access_log;
mod accounts;
mod append;
mod archive;
mod backup;
mod cache;
mod chain;
mod change_summaries;
#[cfg(feature = "encryption")]
mod cipher_pages;
mod compare_copy;
mod database_file;
mod database_key;
mod dates;
mod decisions;
mod devices;
mod erase;
mod erasure_requests;
mod error;
mod file_pages;
mod filter;
mod finding;
mod fold;
mod form_drafts;
#[doc(hidden)]
pub mod fuzzing;
mod generation;
mod health;
mod holds;
mod imports;
mod keys;
mod lock;
mod marked;
mod marks;
mod media;
mod media_index;
mod media_pieces;
mod options;
mod page_languages;
mod picture_check;
mod pictures;
mod pins;
mod practice_rows;
mod private_files;
mod reader;
mod reading;
mod rebuild;
mod restored;
mod restrictions;
mod salvage;
mod salvage_tables;
mod schema;
mod seal;
mod sealing;
mod search;
mod second_factors;
mod session_locks;
mod state;
mod summaries;
mod summary;
mod tally;
mod upgrade;
mod verify;
mod videos;
mod waiting_pictures;
mod whole_copy;
mod withheld;
mod witness;
mod worklist;
mod writer;
mod written_anew;

pub use access_log::{
    ACCESS_CHECK_WORDS, ACCESS_FILE, ACCESS_KEY_FILE, ACCESS_ONE_ROW_SECONDS, AccessAct, AccessEvent,
    AccessFault, AccessFilter, AccessHead, AccessLog, AccessOutcome, AccessReport, AccessRow,
};
pub use accounts::{Account, Accounts, Link, Session, TokenHash, sign_in_key};
pub use append::Receipt;
pub use archive::Archive;
pub use cache::{CACHE_BYTES, CacheKey, CacheValue, Claim, LogCache, Outdated, RecomputeCost};
pub use compare_copy::{CopyDifference, CopyReport};
pub use database_key::DatabaseKey;
pub use decisions::{DecisionKind, RecordsDecision};
pub use devices::{Device, Devices, NewDevice};
pub use erase::Erasure;
pub use erasure_requests::{ErasureDecision, ErasureRequest, ErasureRequests, NewErasureRequest};
pub use error::ArchiveError;
pub use filter::WorkFilter;
pub use finding::WitnessFinding;
pub use form_drafts::{FormDraftRow, FormDraftRows};
pub use holds::{RecordHold, RecordHolds};
pub use imports::{NewImport, PastImport, UndoneImport};
pub use lock::RecordsLock;
pub use media::NamedMedia;
pub use media_index::PICTURES_INDEX_FILE;
pub use media_pieces::{LostPiece, MediaBytes, MediaOwner, MediaPiece, MediaRead, MediaReader};
pub use options::Options;
pub use picture_check::PictureCheck;
pub use pictures::{KeptSize, NewPicture, PICTURES_FILE, Pictures};
pub use pins::{PinTry, Pins};
pub use practice_rows::{PhotographPracticeRow, PracticeRow, PracticeRows, PracticeSaved};
pub use private_files::{create_private, make_private, private_options, touch_private};
pub use restored::{
    LeftOutEntry, RestoreOrder, RestoredRecords, admit_restored, make_restored, witnessed_entries,
};
pub use restrictions::{NewRestrictedOpening, RestrictedOpening, RestrictionStep, Restrictions};
pub use salvage::{MissingEntry, PartlyRead, Salvaged, salvage};
pub use schema::FILE_NAME;
pub use search::Hit;
pub use second_factors::{AccountEvent, CodeSecret, FactorCounts, Passkey, RecoveryCodes};
pub use state::{RecordsState, SiteChain, WitnessHead};
pub use summary::{AppointmentItem, Mark, Progress, SavedText, Summarise, Summary, WorkItem, WorkKind};
pub use upgrade::{TakenBackUpgrade, take_back_upgrade};
pub use verify::{Fault, FaultKind, RecordsMark, VerifyReport, WitnessCheck};
pub use videos::{AboutVideo, NewVideo, VIDEO_PIECE_BYTES, Videos, WaitingVideo};
pub use waiting_pictures::{ArrivingFile, WaitingPicture, WaitingUpload};
pub use withheld::WithheldPictures;
pub use witness::WitnessPlace;
pub use worklist::WorkRow;
pub use written_anew::write_with_key;

/// Whether this build can encrypt records and open encrypted ones.
pub const CAN_ENCRYPT: bool = cfg!(feature = "encryption");
