//! Tests of the forecast room.
#![allow(clippy::unwrap_used, clippy::expect_used, clippy::panic)]

mod bad_input;
mod calibration;
mod caseload_bad_input;
mod caseload_common;
mod caseload_learned;
mod caseload_published;
mod caseload_theory;
mod caseload_twin;
mod entries;
mod growth;
mod notes;
mod of_course;
mod other_clinic;
mod other_worlds;
mod plain_days;
mod plainly;
mod published;
mod recovery;
mod relapse;
mod simulate;
#[path = "../../../wear/tests/all/story.rs"]
mod story;
mod worlds;
