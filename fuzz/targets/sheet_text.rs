//! The delimited spreadsheet of a clinic: cut into cells, its columns guessed, its rows planned.
#![no_main]

use exchange::MapFile;
use libfuzzer_sys::fuzz_target;

fuzz_target!(|bytes: &[u8]| fuzz::import(bytes, "visits.csv", &MapFile::new()));
