//! The tests of the room.
#![allow(clippy::unwrap_used, clippy::expect_used, clippy::panic)]

mod angles;
