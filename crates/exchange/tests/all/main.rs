//! Tests of what the exchange promises.
#![allow(clippy::unwrap_used, clippy::expect_used, clippy::panic)]

mod any_bytes;
mod bad_input;
mod cell_answers;
mod cells;
mod changed;
mod child;
mod columns;
mod common;
mod corpus;
mod dates;
mod done;
mod doubts;
mod export;
mod guard;
mod habits;
mod harbour;
mod hostile;
mod layouts;
mod logger;
mod map_file;
mod packages;
mod questions;
mod rows;
mod scores;
mod scripts;
mod sides;
mod tenotomy;
mod turned;
mod twice;
mod workbooks;
