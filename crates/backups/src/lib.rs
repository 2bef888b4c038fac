//! The file of a backup, and how long one is kept.
//!
//! A backup is one file, and where there are photographs or videos the folder of pieces beside it. The first line of the
//! file can be read without a key ([`BackupHeader`]): when it was made, of which clinic (an id, no name), and the slots
//! of the key, so that backup and a passphrase or a recovery code are enough to restore. The rest is encrypted (age, format v1, to the X25519 identity that follows from the key of the records): a
//! list of what is in it ([`Manifest`]) and the files. Everything is checked while it is read: every byte is covered by
//! the authentication of age, and once more by the hash of each file in the list.
//!
//! Photographs and pieces of videos are sealed once for all backups of a folder ([`SealedPieces`]); the list of each backup
//! names those that belong to it. They never change, and this crate does not know what they show.
//!
//! A backup is written under a temporary name and only renamed by [`UnfinishedBackup::finish`], after the caller has
//! read it back. Nothing that this crate does not recognise by its header is ever deleted ([`BackupFile::remove`]).
//! Start reading at [`write()`] and [`BackupFile::open`].

#![cfg_attr(not(test), warn(clippy::indexing_slicing, clippy::string_slice))]

mod beside_list;
mod erasure_list;
mod error;
mod found;
mod header;
mod manifest;
mod piece_file;
mod piece_id;
mod pieces;
mod pieces_folder;
mod read;
mod retention;
mod withdrawal_list;
mod write;

pub use erasure_list::{
    KnownErasure, erasure_list_name, has_other_erasure_list, read_erasure_list, write_erasure_list,
};
pub use error::BackupError;
pub use found::{FoundBackup, list};
pub use header::{BACKUP_END, BackupHeader, clinic_id};
pub use manifest::{BackedUpFile, BackedUpSite, Manifest};
pub use piece_file::PieceContents;
pub use piece_id::{BackedUpPiece, PieceId};
pub use pieces::{SealedPieces, pieces_folders, remove_pieces_folder};
pub use pieces_folder::{PIECES_END, pieces_folder_name};
pub use read::{BackupFile, OpenBackup};
pub use retention::RetentionOfBackups;
pub use withdrawal_list::{
    KnownWithdrawal, read_withdrawal_list, withdrawal_list_name, write_withdrawal_list,
};
pub use write::{BackupSource, UnfinishedBackup, write};
