//! The tests of the pages.
#![allow(clippy::unwrap_used, clippy::expect_used, clippy::panic)]

mod forms;
mod html;
mod safety;
mod sample;
mod visit;
mod words;
