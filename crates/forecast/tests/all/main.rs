//! Tests of the crate `forecast`.
#![allow(clippy::unwrap_used, clippy::expect_used, clippy::panic)]

mod bad_input;
mod calibration;
mod entries;
mod notes;
mod of_course;
mod other_clinic;
mod other_worlds;
mod plain_days;
mod plainly;
mod recovery;
mod relapse;
mod simulate;
#[path = "../../../wear/tests/all/story.rs"]
mod story;
mod worlds;
