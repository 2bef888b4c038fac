//! What a course is, topic by topic. Every child here is invented.
#![allow(clippy::unwrap_used, clippy::expect_used, clippy::panic)]

mod age;
mod appointments;
mod braces;
mod casts;
mod child;
mod corrections;
mod feet;
mod follow_up;
mod pairing;
mod phases;
mod problems;
mod properties;
mod questions;
mod random;
mod replay;
mod siblings;
mod sides;
