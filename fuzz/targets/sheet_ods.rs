//! An ODS workbook: as bytes where the input begins as one does, otherwise packed from the parts in the input.
#![no_main]

use exchange::MapFile;
use libfuzzer_sys::fuzz_target;

fuzz_target!(|bytes: &[u8]| {
    if bytes.starts_with(b"PK") {
        return fuzz::import(bytes, "visits.ods", &MapFile::new());
    }
    let kind: &[u8] = b"application/vnd.oasis.opendocument.spreadsheet";
    if let Some(packed) = fuzz::package(&[("mimetype", kind)], bytes) {
        fuzz::import(&packed, "visits.ods", &MapFile::new());
    }
});
