//! The program as a clinician meets it: the real binary, and its pages in a real browser.
//!
//! `first_start` begins with nothing; `journey` goes the way of a child from the first account to the second visit;
//! `pointing` brings in sheets of other habits; `guides` has the guides followed to the letter by `follower`;
//! `guide` reads them; `putting_right` takes back and moves what was recorded wrongly; `second_factor` signs in with
//! codes and passkeys; `access` looks at every page for what keeps people out, in both themes and three widths;
//! `learning` scores drawn feet on a phone and comes back the next day;
//! `photographs` takes pictures of both feet, measures on them and takes the consent back; `photograph_lengths` measures a
//! length beside a card;
//! `videos` records a film, sends it over a network that breaks, plays it and takes the consent back;
//! `backups` loses the folder of the records and restores it; `protection` opens what is closed; `print` looks at
//! paper; `tablet` hands a tablet on, loses its session over a form and finds the form again; `encryption` encrypts a
//! clinic, prints the recovery sheet and unlocks after a restart.
#![allow(clippy::unwrap_used, clippy::expect_used, clippy::panic)]

mod access;
mod authenticator;
mod axe;
mod backups;
#[path = "../shared/carded.rs"]
mod carded;
mod clinic;
#[cfg(feature = "encryption")]
mod encryption;
mod first_start;
mod follower;
mod guide;
mod guides;
mod journey;
mod learning;
mod photograph_lengths;
mod photographs;
mod pointing;
mod print;
mod protection;
mod putting_right;
mod screens;
mod search;
mod second_factor;
mod stops;
mod tab;
mod tablet;
mod tablet_stops;
mod taps;
mod videos;
mod visit;

/// The day on which the invented clinics stand.
pub const TODAY: &str = "2024-05-14";

/// Runs a test on a runtime of its own.
pub fn run(test: impl Future<Output = ()>) {
    let runtime = tokio::runtime::Builder::new_multi_thread().worker_threads(2).enable_all().build();
    runtime.unwrap().block_on(test);
}
