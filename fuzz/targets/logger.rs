//! The file of a temperature logger. The first byte chooses the time zone.
#![no_main]

use exchange::logger::{LoggerRequest, Zone, read_logger};
use libfuzzer_sys::fuzz_target;
use std::io::Cursor;

fuzz_target!(|bytes: &[u8]| {
    let Some((first, file)) = bytes.split_first() else { return };
    let zone = match first % 3 {
        0 => Zone::AsWritten,
        1 => Zone::named("Europe/Berlin").expect("a zone"),
        _ => Zone::named("Africa/Nairobi").expect("a zone"),
    };
    let request = LoggerRequest { zone, logger: None };
    let Ok(read) = read_logger(Box::new(Cursor::new(file.to_vec())), &request) else { return };
    assert_eq!(read.at_s.len(), read.celsius.len());
    assert!(read.at_s.len() <= read.rows, "more samples than rows");
    assert!(read.rows <= file.len(), "more rows than bytes");
    assert!(read.at_s.windows(2).all(|pair| pair[0] < pair[1]), "times do not rise");
    assert!(read.celsius.iter().all(|value| value.is_finite()));
    assert!(read.days.windows(2).all(|pair| pair[0].until_s == pair[1].from_s), "days leave a gap");
    if let (Some(first), Some(last)) = (read.at_s.first(), read.at_s.last()) {
        assert!(read.days.first().is_some_and(|day| day.from_s <= *first), "a sample before the first day");
        assert!(read.days.last().is_some_and(|day| day.until_s > *last), "a sample after the last day");
    }
});
