//! An XLSX workbook: as bytes where the input begins as one does, otherwise packed from the parts in the input.
#![no_main]

use exchange::MapFile;
use libfuzzer_sys::fuzz_target;

fuzz_target!(|bytes: &[u8]| {
    if bytes.starts_with(b"PK") {
        return fuzz::import(bytes, "visits.xlsx", &MapFile::new());
    }
    let relations = br#"<Relationships><Relationship Id="a" Type="http://schemas.openxmlformats.org/officeDocument/2006/relationships/officeDocument" Target="xl/workbook.xml"/></Relationships>"#;
    let first: &[(&str, &[u8])] = if bytes.windows(11).any(|part| part == b"_rels/.rels") {
        &[]
    } else {
        &[("_rels/.rels", relations)]
    };
    if let Some(packed) = fuzz::package(first, bytes) {
        fuzz::import(&packed, "visits.xlsx", &MapFile::new());
    }
});
