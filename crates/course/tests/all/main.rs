//! What a course is, topic by topic. Every child here is invented.
#![allow(clippy::unwrap_used, clippy::expect_used, clippy::panic)]

mod child;
mod phases;
