//! Tests of the program as a whole: its pages through the router, its commands by running it.
#![allow(clippy::unwrap_used, clippy::expect_used, clippy::panic)]

mod agreement;
mod amend;
mod attention;
mod bad_input;
mod brace_fitting;
mod capacity;
mod circles;
mod clinic;
mod clinic_network;
mod clinic_network_tls;
mod commands;
mod confirm;
mod demo;
mod encrypted;
mod hard_input;
mod headers;
mod histories;
mod house;
mod import_choices;
mod importing;
mod json_keys;
mod kept;
mod pages;
mod putting_right;
mod results;
mod second_score;
mod siblings;
mod sign_in;
mod small_forms;
mod statistics_commands;
mod stock;
mod visit;
mod visit_form;
mod wear;
mod wear_page;
