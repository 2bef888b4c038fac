//! Everything the record promises, checked from outside.
#![allow(clippy::unwrap_used, clippy::expect_used, clippy::panic)]

mod bounds;
mod days;
mod examples;
mod findings;
mod forms;
mod golden;
mod round_trip;
mod scores;
mod strategies;
mod wire;
