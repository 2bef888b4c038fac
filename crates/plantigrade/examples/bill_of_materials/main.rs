//! Prints the bill of materials of the program:
//! `cargo run -p plantigrade --example bill_of_materials -- [FEATURE …] > bill-of-materials.json`.
#![allow(dead_code)]

mod bill;

use bill::{Materials, bill};
use std::path::Path;

fn main() -> Result<(), String> {
    let features: Vec<String> = std::env::args().skip(1).collect();
    let root = Path::new(env!("CARGO_MANIFEST_DIR")).join("../..");
    let shipped = Materials::of(&root, &features)?.shipped(false)?;
    let epoch = std::env::var("SOURCE_DATE_EPOCH").ok().and_then(|text| text.parse().ok());
    let text = serde_json::to_string_pretty(&bill(&shipped, epoch)).map_err(|error| error.to_string())?;
    println!("{text}");
    Ok(())
}
