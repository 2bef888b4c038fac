//! Tests of the growth room.
#![allow(clippy::unwrap_used, clippy::expect_used, clippy::panic)]

mod feet;
