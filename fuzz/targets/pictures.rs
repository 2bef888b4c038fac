//! Other pictures than photographs of feet: the clinic's logo, and a filled-in diary. The first byte chooses which. A
//! logo that is taken is read again and is small; a diary that is read has no more days than its code says.
#![no_main]

use libfuzzer_sys::fuzz_target;
use plantigrade::fuzzing::{diary_of_picture, logo_png};

fuzz_target!(|bytes: &[u8]| {
    let Some((first, rest)) = bytes.split_first() else { return };
    if first % 2 == 0 { logo(rest) } else { diary(rest) }
});

fn logo(bytes: &[u8]) {
    let Some(kept) = logo_png(bytes) else { return };
    assert!(kept.len() <= 1 << 20, "a logo of {} bytes is kept", kept.len());
    assert_eq!(logo_png(&kept).as_deref(), Some(&*kept), "a kept logo is read as another picture");
}

fn diary(bytes: &[u8]) {
    let Some(reading) = diary_of_picture(bytes) else { return };
    let days: Vec<_> = reading.code.days().collect();
    assert!(reading.rows.len() <= days.len());
    assert!(reading.rows.iter().all(|row| days.contains(&row.day)), "a day that the diary does not have");
}
