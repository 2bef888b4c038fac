//! The program: its commands, its web server, sign-in, settings and the clock.
//!
//! It reaches the records through `clinic` only. It holds no clinical rule, and reads the clock in one place
//! only ([`clock`]).
//!
//! Start reading at [`cli`] for the commands, and at [`routes`] and [`app`] for the server.

pub mod access;
pub mod access_noting;
pub mod access_table;
pub mod admission;
pub mod agreement_table;
pub mod app;
pub mod auth;
pub mod backing_up;
pub mod backup_schedule;
pub mod backup_settings;
pub mod backup_trouble;
pub mod capacity_file;
pub mod chart_png;
pub mod checks;
pub mod cli;
pub mod clinic_contact;
pub mod clinic_history;
pub mod clock;
pub mod columns;
pub mod commands;
pub mod connections;
pub mod copies;
pub mod data_modes;
pub mod demo;
pub mod diary_photo;
pub mod document_texts;
pub mod door;
pub mod drafts;
pub mod drawing;
pub mod erasing;
pub mod exit;
pub mod family_copy;
pub mod figures;
pub mod folder_key;
pub mod forms;
pub mod forwarded;
pub mod found_backups;
#[doc(hidden)]
pub mod fuzzing;
pub mod headers;
pub mod held;
pub mod hosts;
pub mod import_choices;
pub mod importing;
pub mod kept_file;
pub mod key_slots;
pub mod keyring_store;
pub mod letterhead_settings;
pub mod level_sources;
pub mod listen_args;
pub mod logging;
pub mod logo;
pub mod metrics;
pub mod network;
pub mod notices;
mod open_to_serve;
pub mod people;
pub mod photograph_uploads;
pub mod place;
pub mod plans;
pub mod protocol_changes;
pub mod protocol_history;
pub mod reading_ahead;
pub mod request;
pub mod restoring;
pub mod restricted;
pub mod results_table;
pub mod rewriting;
pub mod routes;
pub mod saved_maps;
pub mod searches;
pub mod second_factor;
pub mod serve;
pub mod serve_network;
mod service_notice;
pub mod serving;
pub mod setting_changes;
pub mod setting_history;
pub mod settings;
pub mod sheet_steps;
mod stock_file;
mod stopping;
pub mod trial_reading;
pub mod unfinished;
pub mod unlock;
pub mod video_uploads;
pub mod web;

mod identity;
mod run;

pub use logging::log;
pub use run::run;
