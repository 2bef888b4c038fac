//! Tests of the crate `practice`.
#![allow(clippy::unwrap_used, clippy::expect_used, clippy::panic)]

mod answers;
mod cases;
mod confirmed;
mod drawings;
mod measure;
mod photographed;
mod progress;
mod repetition;
