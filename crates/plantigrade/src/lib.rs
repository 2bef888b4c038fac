//! The program: its commands, its web server, sign-in, settings and the clock.
//!
//! It wires the rooms below together. It holds no clinical rule, and reads the clock in one place
//! only ([`clock`]).
//!
//! Start reading at [`cli`] for the commands, and at [`routes`] and [`app`] for the server.

pub mod agreement_table;
pub mod app;
pub mod auth;
pub mod caseload;
pub mod cli;
pub mod clock;
pub mod columns;
pub mod commands;
pub mod cupboard;
pub mod demo;
pub mod exit;
pub mod forms;
pub mod headers;
pub mod histories;
pub mod importing;
pub mod known;
pub mod marks;
pub mod place;
pub mod plans;
pub mod proposal;
pub mod results_basis;
pub mod results_table;
pub mod routes;
pub mod serve;
pub mod settings;
pub mod summary;
pub mod teaching;
pub mod web;

mod logged;
mod logging;
pub use logging::log;
