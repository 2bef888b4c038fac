//! A development tool that kills the program, takes its power away and lets its disk fail while records are written,
//! and then compares the records with what was acknowledged.
//!
//! The tool starts a child process that writes ([`load`]). The child says through a pipe what it is about to do and
//! what the archive acknowledged; the parent keeps the [`ledger`]. After each fault the records are opened
//! ([`examine`]): every acknowledged entry must be there as it was sent, no other may be.
//!
//! - [`kills`]: SIGKILL at random moments, over many generations of one folder.
//! - [`power`]: the child runs under a preloaded library ([`preload`]) that notes every write, flush and rename
//!   ([`journal`]); from these notes the tool builds folders as a disk could hold them after a loss of power
//!   ([`disk`]): writes that were not flushed are there, missing or torn.
//! - [`faults`]: the same library fails writes, flushes and reads, or lets the disk be full.
//! - [`program`]: the whole program, with forms sent over HTTP.
//!
//! A seed gives the same decisions. Threads and the moment of a kill depend on the computer, so that two runs with
//! one seed are not the same run. Power losses and disk errors need Linux and a C compiler.

#![cfg_attr(not(test), warn(clippy::string_slice))]

pub mod browsing;
pub mod deed;
pub mod disk;
pub mod examine;
pub mod faults;
pub mod journal;
pub mod kills;
pub mod ledger;
pub mod load;
pub mod outcome;
pub mod power;
pub mod preload;
pub mod process;
pub mod program;
