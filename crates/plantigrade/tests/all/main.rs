//! Tests of the program as a whole: its pages through the router, its commands by running it.
#![allow(clippy::unwrap_used, clippy::expect_used, clippy::panic)]

mod access_log;
mod agreement;
mod amend;
#[cfg(feature = "encryption")]
mod at_rest;
#[cfg(feature = "encryption")]
mod at_rest_commands;
mod attention;
mod backups;
mod bad_input;
mod brace_fitting;
mod capacity;
mod circles;
mod clinic;
mod clinic_network;
mod clinic_network_tls;
mod command_rights;
mod commands;
mod confirm;
mod demo;
mod drawn_once;
mod encrypted;
mod erasing;
mod family_copy;
mod hard_input;
mod headers;
mod histories;
mod house;
mod import_choices;
mod importing;
mod json_keys;
mod kept;
#[cfg(not(feature = "encryption"))]
mod no_cipher;
mod old_folders;
mod pages;
mod people;
mod places;
mod protocol_page;
mod putting_right;
mod restoring;
mod restricted;
mod results;
mod rights;
mod second_factor;
mod second_score;
mod settings;
mod shared_tablet;
mod siblings;
mod sign_in;
mod small_forms;
mod statistics_commands;
mod stock;
mod stock_taken;
mod trial_reading;
mod trust;
mod trust_moved;
mod visit;
mod visit_form;
mod wear;
mod wear_page;
