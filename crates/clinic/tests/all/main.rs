//! The tests of the clinic's records.
#![allow(clippy::unwrap_used, clippy::expect_used, clippy::panic)]

mod cache;
mod door;
mod family;
mod loss;
mod steps;
mod theatre;
mod undo;
