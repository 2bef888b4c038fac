//! Files of temperature loggers, good and bad.

use exchange::logger::{LoggerError, LoggerFile, LoggerRequest, Zone, read_logger};
use proptest::prelude::*;
use record::Day;
use rstest::rstest;
use std::io::{BufReader, Cursor};

fn with(text: impl Into<Vec<u8>>, request: &LoggerRequest) -> Result<LoggerFile, LoggerError> {
    read_logger(Box::new(BufReader::new(Cursor::new(text.into()))), request)
}

fn read(text: &str) -> LoggerFile {
    with(text, &LoggerRequest::default()).unwrap()
}

fn refused(text: &str) -> String {
    with(text, &LoggerRequest::default()).unwrap_err().to_string()
}

/// Seconds since 1970 of 5 March 2026, 13:05.
const AT: i64 = 1_772_715_900;

#[rstest]
#[case("time,temperature\n2026-03-05 13:05,21.5\n2026-03-05 13:20,22\n")]
#[case("Timestamp;Temp °C\n05.03.2026 13:05;21,5\n05.03.2026 13:20:00;22,0\n13.03.2026 00:00;20,0\n")]
#[case(
    "No.\tDate\tTime\tCelsius(°C)\n1\t05/03/2026\t1:05 PM\t21.5\n2\t05/03/2026\t1:20 PM\t22.0\n3\t13/03/2026\t1:20 PM\t22.0\n"
)]
#[case(
    "Plot Title: x\n\"#\",\"Date Time, UTC\",\"Temp, °F\"\n1,03/05/2026 01:05:00 PM,70.7\n2,03/05/26 01:20:00 PM,71.6\n3,03/14/26 01:20:00 PM,71.6\n"
)]
#[case("when|boot\n2026-03-05T13:05:00Z|21.5\n2026-03-05T13:20:00Z|22\n")]
#[case("when,boot temperature\n1772715900,21.5\n1772716800,22\n")]
#[case("5-Mar-2026 13:05,21.5 C\n5-Mar-2026 13:20,22 C\n")]
#[case("46086.545138889,21.5\n46086.555555556,22.0\n")]
fn usual_forms_of_time_and_temperature_are_read(#[case] text: &str) {
    let file = read(text);
    assert_eq!(file.at_s[..2], [AT, AT + 900], "{text}");
    assert!((file.celsius[0] - 21.5).abs() < 1e-9 && (file.celsius[1] - 22.0).abs() < 1e-9, "{text}");
    assert_eq!(file.days[0].day, Day::new(2026, 3, 5).unwrap());
}

#[test]
fn a_file_saved_as_wide_text_or_with_an_old_degree_sign_is_read() {
    let text = "Time\tTemp °C\n2026-03-05 13:05\t21.5\n2026-03-05 13:20\t22.0\n";
    let wide: Vec<u8> =
        [0xff, 0xfe].into_iter().chain(text.encode_utf16().flat_map(u16::to_le_bytes)).collect();
    assert_eq!(with(wide, &LoggerRequest::default()).unwrap().celsius, [21.5, 22.0]);
    let old: Vec<u8> = text.chars().map(|c| c as u32 as u8).collect();
    assert_eq!(with(old, &LoggerRequest::default()).unwrap().celsius, [21.5, 22.0]);
}

/// A heading, then two rows at 21.5 and 22.0 °C in the unit of the heading.
#[rstest]
#[case("when;Temperature (°C) 20345678", "21,5", "22,0", Some("20345678"))]
#[case("when;Temperature (°F) 20345678", "70,7", "71,6", Some("20345678"))]
#[case("when;temp_c #A12-77", "21,5", "22,0", Some("A12-77"))]
#[case("when;temp_f #C12-77", "70,7", "71,6", Some("C12-77"))]
#[case("when;Temperature °C S/N: F 2231", "21,5", "22,0", None)]
#[case("when;Temperature (°C) F-22310", "21,5", "22,0", Some("F-22310"))]
#[case("when;Celsius, serial no. 0417", "21,5", "22,0", Some("0417"))]
#[case("when;Temp °C (probe S/N: 7654321, logger S/N: 1234567)", "21,5", "22,0", Some("1234567"))]
#[case("when,\"Temp, °C (S/N: 1234567, probe S/N: 7654321)\"", "21.5", "22.0", Some("1234567"))]
#[case("when,Temp, °F (S/N: 1234567, probe S/N: 7654321)", "70.7", "71.6", Some("1234567"))]
#[case("when\tBoot temp °F SN=88-1204\tBattery %", "70.7\t98", "71.6\t98", Some("88-1204"))]
// A channel, a year, a zone, a type of sensor and a day are no numbers of a logger.
#[case("when;Temp °C ch2", "21,5", "22,0", None)]
#[case("when;Temp °C 2026", "21,5", "22,0", None)]
#[case("when;Temp °C GMT+01:00:00", "21,5", "22,0", None)]
#[case("when;Temp °C TX18C20", "21,5", "22,0", None)]
#[case("when;Temp °C 2026-03-05", "21,5", "22,0", None)]
#[case("when;Temp °C probe F", "21,5", "22,0", None)]
fn a_number_of_the_logger_in_the_heading_is_kept_and_hides_no_unit(
    #[case] heading: &str,
    #[case] first: &str,
    #[case] second: &str,
    #[case] serial: Option<&str>,
) {
    let by = if heading.starts_with("when;") { ';' } else { heading.chars().nth(4).unwrap() };
    let file = read(&format!("{heading}\n2026-03-05 13:05{by}{first}\n2026-03-05 13:20{by}{second}\n"));
    assert_eq!(file.logger.as_deref(), serial);
    assert!((file.celsius[0] - 21.5).abs() < 1e-9 && (file.celsius[1] - 22.0).abs() < 1e-9, "{file:?}");
    assert!(file.notes.is_empty(), "{:?}", file.notes);
}

#[test]
fn a_column_of_names_goes_before_the_heading_and_two_numbers_are_refused() {
    let rows = "logger,time,Temp °C 20345678\nA7,2026-03-05 13:05,21.5\nA7,2026-03-05 13:20,22\n";
    assert_eq!(read(rows).logger.as_deref(), Some("A7"));
    let two = "time;Temp °C 20345678;Temp °C 20345679\n2026-03-05 13:05;21,5;33,5\n";
    assert!(refused(two).contains("“temp °c 20345678”, “temp °c 20345679” could all be the temperature"));
    let one = "time;Temp °C 20345678\n2026-03-05 13:05;21,5\n";
    let other = LoggerRequest { logger: Some("20345679".to_owned()), ..LoggerRequest::default() };
    let words = with(one, &other).unwrap_err().to_string();
    assert!(words.contains("no logger “20345679”") && words.contains("“20345678”"), "{words}");
}

/// 70 can only be °F in a boot, 21 only °C.
#[test]
fn a_heading_with_both_units_is_read_by_the_size_of_the_values_and_said() {
    for (value, unit) in [("70.7", "°F"), ("21.5", "°C")] {
        let file = read(&format!("time;Temp (°C/°F)\n2026-03-05 13:05;{value}\n2026-03-05 13:20;{value}\n"));
        assert!((file.celsius[0] - 21.5).abs() < 1e-9, "{:?}", file.celsius);
        let note = format!("names both °C and °F. By their size the values were read as {unit}");
        assert!(file.notes.iter().any(|told| told.contains(&note)), "{:?}", file.notes);
    }
}

/// A row every quarter of an hour of the wall clock, from a list of stretches.
fn rows(stretches: &[(&str, u32, u32)], value: impl Fn(usize) -> f64) -> String {
    let mut text = "time,temp\n".to_owned();
    let mut at = 0;
    for (day, from, until) in stretches {
        for minute in (*from..*until).step_by(15) {
            text += &format!("{day} {:02}:{:02},{}\n", minute / 60, minute % 60, value(at));
            at += 1;
        }
    }
    text
}

#[test]
fn an_hour_that_comes_twice_in_autumn_makes_a_day_of_25_hours() {
    // 25 October 2026: 02:00 to 02:45 twice.
    let text = rows(
        &[
            ("2026-10-24", 0, 1440),
            ("2026-10-25", 0, 180),
            ("2026-10-25", 120, 1440),
            ("2026-10-26", 0, 1440),
        ],
        |_| 21.0,
    );
    for zone in [Zone::AsWritten, Zone::named("Europe/Berlin").unwrap()] {
        let named = matches!(zone, Zone::Named(_));
        let file = with(text.clone(), &LoggerRequest { zone, logger: None }).unwrap();
        assert_eq!(file.at_s.len(), 96 + 100 + 96);
        assert!(file.at_s.windows(2).all(|pair| pair[1] - pair[0] == 900), "named {named}");
        let hours: Vec<i64> = file.days.iter().map(|day| (day.until_s - day.from_s) / 3600).collect();
        assert_eq!(hours, [24, 25, 24], "named {named}");
        let told =
            file.notes.iter().any(|note| note.contains("an hour comes twice") && note.contains("row 110"));
        assert_eq!(told, !named, "{:?}", file.notes);
    }
}

#[test]
fn the_night_of_spring_has_23_hours_in_its_zone() {
    let text = rows(&[("2026-03-28", 0, 1440), ("2026-03-29", 0, 120), ("2026-03-29", 180, 1440)], |_| 21.0);
    let berlin = LoggerRequest { zone: Zone::named("Europe/Berlin").unwrap(), logger: None };
    let file = with(text, &berlin).unwrap();
    assert!(file.at_s.windows(2).all(|pair| pair[1] - pair[0] == 900));
    assert_eq!((file.days[1].until_s - file.days[1].from_s) / 3600, 23);
    // A logger whose clock was not changed writes times that do not exist, and the sentence says so.
    let text = rows(&[("2026-03-28", 0, 1440), ("2026-03-29", 0, 1440)], |_| 21.0);
    let notes = with(text, &berlin).unwrap().notes;
    assert!(notes.iter().any(|note| note.contains("leaves out")), "{notes:?}");
    assert!(
        Zone::named("Atlantis/Port").unwrap_err().to_string().contains("“Atlantis/Port” is no time zone")
    );
}

#[test]
fn rows_out_of_order_and_repeated_are_put_right_and_named() {
    let file = read(
        "time,temp\n2026-03-05 13:20,22\n2026-03-05 13:05,21\n2026-03-05 13:35,23\n2026-03-05 13:35,23\n2026-03-05 13:50,24\n2026-03-05 13:50,29\n",
    );
    assert_eq!(file.celsius, [21.0, 22.0, 23.0, 24.0]);
    assert_eq!(file.rows, 6);
    let notes = file.notes.join(" ");
    assert!(notes.contains("goes backwards once, first at row 3"), "{notes}");
    assert!(notes.contains("1 row give a time") && notes.contains("first row 5"), "{notes}");
    assert!(notes.contains("another temperature (7)"), "{notes}");
}

#[test]
fn rows_without_a_time_or_a_temperature_are_counted_and_named() {
    let file = read(
        "time,temp\n2026-03-05 13:05,21\n2026-03-05 13:20,ERROR\n2026-02-30 10:00,21\n\n2026-03-05 13:35,22\n",
    );
    assert_eq!(file.celsius, [21.0, 22.0]);
    let notes = file.notes.join(" ");
    assert!(notes.contains("2 rows hold no time or no temperature"), "{notes}");
    assert!(notes.contains("row 3 (“ERROR”)") && notes.contains("row 4 (“2026-02-30 10:00”)"), "{notes}");
}

/// Seconds since 1970 of the year 2214 would be put on the last day of the calendar.
#[test]
fn a_time_beyond_the_calendar_is_named_and_never_moved_into_it() {
    for far in ["7726711800", "7726711800000", "2199-12-31 23:50-05:00", "1900-01-01 00:10+05:00"] {
        let file = read(&format!("time,temp\n2026-03-05 13:05,21\n{far},22\n2026-03-05 13:35,23\n"));
        assert_eq!(file.celsius, [21.0, 23.0], "{far}");
        let notes = file.notes.join(" ");
        // An error quotes at most twenty characters.
        let begin: String = far.chars().take(20).collect();
        assert!(notes.contains(&format!("row 3 (“{begin}")), "{notes}");
        assert_eq!(file.days.len(), 1, "{far}: {:?}", file.days);
    }
}

#[test]
fn a_unit_that_changes_within_the_file_is_found() {
    let value = |at: usize| if (40..60).contains(&at) { 70.7 } else { 21.5 };
    let file = read(&rows(&[("2026-03-05", 0, 1440)], value));
    assert!(file.celsius.iter().all(|celsius| (celsius - 21.5).abs() < 1e-9));
    let notes = file.notes.join(" ");
    assert!(notes.contains("Rows 42 to 61 make no sense in °C and were read in °F"), "{notes}");
    // A single reading of 85 is the start value of a sensor, not another unit.
    let file = read(&rows(&[("2026-03-05", 0, 1440)], |at| if at == 3 { 85.0 } else { 21.5 }));
    assert_eq!(file.celsius[3], 85.0);
}

#[test]
fn a_file_all_in_fahrenheit_without_a_word_is_read_and_said() {
    let file = read(&rows(&[("2026-03-05", 0, 1440)], |at| if at < 30 { 91.4 } else { 68.0 }));
    assert!((file.celsius[0] - 33.0).abs() < 1e-9 && (file.celsius[40] - 20.0).abs() < 1e-9);
    assert!(file.notes.iter().any(|note| note.contains("read as °F")), "{:?}", file.notes);
}

#[test]
fn two_loggers_in_one_file_are_refused_unless_one_is_named() {
    let mut text = "logger,time,temp\n".to_owned();
    for minute in 0..40 {
        text += &format!("A7,2026-03-05 13:{minute:02},{}\nB2,2026-03-05 13:{minute:02},33\n", 20.0);
    }
    let words = refused(&text);
    assert!(words.contains("2 loggers") && words.contains("“A7” (40 rows, first row 2)"), "{words}");
    let one = LoggerRequest { logger: Some("B2".to_owned()), ..LoggerRequest::default() };
    let file = with(text.clone(), &one).unwrap();
    assert_eq!((file.celsius.len(), file.celsius[0], file.logger.as_deref()), (40, 33.0, Some("B2")));
    let none = LoggerRequest { logger: Some("C".to_owned()), ..LoggerRequest::default() };
    assert!(with(text.clone(), &none).unwrap_err().to_string().contains("no logger “C”"));
    // The same without names.
    let nameless: String =
        text.lines().map(|line| line.split_once(',').unwrap().1.to_owned() + "\n").collect();
    let words = refused(&nameless);
    assert!(words.contains("40 rows give another temperature") && words.contains("rows 2 and 3"), "{words}");
}

#[rstest]
#[case("", "the file is empty")]
#[case("name,born\nAnna,2020-01-01\n", "no row of the first 2 holds both")]
#[case("%PDF-1.4", "a PDF document")]
#[case("PK\x03\x04", "a workbook; save the sheet as CSV first")]
#[case("time,a,b\n2026-03-05 13:05,21.5,33.5\n", "columns “a”, “b” could all be the temperature")]
#[case("time,temp\n2006-03-05 13:05,21.5\n2026-03-05 13:05,21.5\n", "no logger's life")]
fn what_is_no_logger_file_is_refused_in_words(#[case] text: &str, #[case] words: &str) {
    assert!(refused(text).contains(words), "{}", refused(text));
}

#[test]
fn a_day_without_rows_is_still_a_day() {
    let file = read(&rows(&[("2026-05-01", 0, 1440), ("2026-05-03", 0, 1440)], |_| 21.0));
    assert_eq!(file.days.len(), 3);
}

proptest! {
    #![proptest_config(ProptestConfig { cases: 256, ..ProptestConfig::default() })]
    #[test]
    fn no_bytes_break_it(text in "([0-9]{1,4}[-/.:, ;\t]|[a-zA-Z°\"]|\n|20[0-9]{2}-[01][0-9]-[0-3][0-9] [0-2][0-9]:[0-5][0-9],[0-9]{2}\\.[0-9]\n){0,80}") {
        if let Ok(file) = with(text, &LoggerRequest::default()) {
            prop_assert!(file.at_s.windows(2).all(|pair| pair[0] < pair[1]));
            prop_assert_eq!(file.at_s.len(), file.celsius.len());
        }
    }
}
