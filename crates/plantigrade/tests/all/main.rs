//! Tests of the program as a whole: its pages through the router, its commands by running it.

mod amend;
mod bad_input;
mod clinic;
mod commands;
mod headers;
mod importing;
mod pages;
mod sign_in;
mod small_forms;
mod visit;
