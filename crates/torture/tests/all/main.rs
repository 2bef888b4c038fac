//! A short run of each kind, what was found, and that a fault would be found.
#![allow(clippy::unwrap_used, clippy::expect_used, clippy::panic)]

#[cfg(target_os = "linux")]
mod detection;
#[cfg(target_os = "linux")]
mod found;
mod short_runs;
