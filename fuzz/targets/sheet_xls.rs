//! An XLS workbook: the compound file and the records in it. The first bytes are put in place, so that the input is
//! always taken for one.
#![no_main]

use exchange::MapFile;
use libfuzzer_sys::fuzz_target;

fuzz_target!(|bytes: &[u8]| {
    let mut file = bytes.to_vec();
    let mark = b"\xd0\xcf\x11\xe0\xa1\xb1\x1a\xe1";
    if file.len() < mark.len() {
        return;
    }
    file[..mark.len()].copy_from_slice(mark);
    fuzz::import(&file, "visits.xls", &MapFile::new());
});
