//! The files of settings beside the records: `clinic.toml`, `capacity.toml` and `stock.toml`, chosen by the first
//! byte. What can be read is written as the same.
#![no_main]

use caseload::Setting;
use guidance::brace::Stock;
use libfuzzer_sys::fuzz_target;
use plantigrade::settings::Settings;

fuzz_target!(|bytes: &[u8]| {
    let Some((first, rest)) = bytes.split_first() else { return };
    let Ok(text) = std::str::from_utf8(rest) else { return };
    match first % 3 {
        0 => clinic(text),
        1 => capacity(text),
        _ => stock(text),
    }
});

fn clinic(text: &str) {
    let Ok(settings) = Settings::parse(text) else { return };
    let over = settings.written_over(text).expect("a file that was read");
    assert_eq!(Settings::parse(&over).expect("as written"), settings);
    let other = Settings { name: "Another clinic".to_owned(), idle_minutes: 45, lock_minutes: 5, ..settings };
    let over = other.written_over(text).expect("permitted values");
    assert_eq!(Settings::parse(&over).expect("as written"), other, "{over}");
}

fn capacity(text: &str) {
    let Ok(setting) = Setting::from_toml(text) else { return };
    let written = setting.to_toml().expect("what was read can be written");
    assert_eq!(Setting::from_toml(&written).expect("as written"), setting, "{written}");
}

fn stock(text: &str) {
    let Ok(stock) = Stock::read(text) else { return };
    let written = stock.to_file();
    assert_eq!(Stock::read(&written).expect("as written"), stock, "{written}");
}
