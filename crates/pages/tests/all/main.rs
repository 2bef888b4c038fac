//! The tests of the pages.
#![allow(clippy::unwrap_used, clippy::expect_used, clippy::panic)]

mod calls_in_languages;
mod child;
mod day_in_spanish;
mod devices;
mod forms;
mod help;
mod html;
mod languages;
mod likely;
mod locked;
mod practice;
mod results;
mod safety;
mod sample;
mod visit;
mod words;
