//! Tests of the forecast room.
#![allow(clippy::unwrap_used, clippy::expect_used, clippy::panic)]

mod bad_input;
mod calibration;
mod entries;
mod of_course;
mod other_clinic;
mod plainly;
mod recovery;
mod notes;
mod simulate;
