//! Days and windows in words.

use crate::sample::day;
use pages::words::{degrees, join, range, relative, span, window_state};
use record::DayRange;
use rstest::rstest;

#[rstest]
#[case(0, "today")]
#[case(1, "tomorrow")]
#[case(-1, "yesterday")]
#[case(12, "in 12 days")]
#[case(-12, "12 days ago")]
// 28 days are 4 weeks, 182 are 26; beyond that months of 30.44 days, rounded: 365 / 30.44 = 11.99.
#[case(27, "in 27 days")]
#[case(28, "in 4 weeks")]
#[case(-182, "26 weeks ago")]
#[case(183, "in 6 months")]
#[case(-365, "12 months ago")]
fn a_day_relative_to_today(#[case] days: i32, #[case] words: &str) {
    let today = day("2024-05-14");
    assert_eq!(relative(today + days, today), words);
}

#[rstest]
#[case("2024-05-21", "2024-05-21", "21 May 2024")]
#[case("2024-05-21", "2024-05-28", "21–28 May 2024")]
#[case("2024-05-28", "2024-06-04", "28 May – 4 June 2024")]
#[case("2024-12-28", "2025-01-04", "28 December 2024 – 4 January 2025")]
fn a_window_in_words(#[case] from: &str, #[case] to: &str, #[case] words: &str) {
    assert_eq!(range(DayRange::new(day(from), day(to))), words);
}

#[rstest]
#[case("2024-05-13", "opens tomorrow")]
#[case("2024-05-14", "due from today, 5 days left")]
#[case("2024-05-16", "due now, 3 days left")]
#[case("2024-05-19", "due today")]
#[case("2024-05-20", "1 day past")]
fn the_state_of_a_window(#[case] today: &str, #[case] words: &str) {
    let window = DayRange::new(day("2024-05-14"), day("2024-05-19"));
    assert_eq!(window_state(window, day(today)), words);
}

#[test]
fn spans_degrees_and_lists() {
    assert_eq!((span(1), span(-1)), ("1 day".into(), "1 day".into()));
    assert_eq!((degrees(-5), degrees(0), degrees(20)), ("−5°".into(), "0°".into(), "20°".into()));
    assert_eq!(join(&["a".into(), "b".into(), "c".into()]), "a, b and c");
    assert_eq!(join(&[]), "");
}

/// On a phone a row of these tables is a block and each cell is shown with its own heading. Every cell but the
/// first therefore has the heading of its column as a label, and the rows and cells have explicit roles,
/// because the browser then no longer derives them.
#[test]
fn every_cell_of_a_table_that_stacks_names_its_column() {
    let mut tables = 0;
    for (name, markup) in crate::sample::every_page() {
        let page = scraper::Html::parse_document(&markup.0);
        let find = |selector: &str| scraper::Selector::parse(selector).unwrap();
        for table in page.select(&find("table.stack")) {
            tables += 1;
            let text = |element: scraper::ElementRef<'_>| element.text().collect::<String>();
            let headings: Vec<String> = table.select(&find("thead th")).map(text).collect();
            for row in table.select(&find("tbody tr")) {
                let labels: Vec<&str> = row
                    .select(&find("td"))
                    .map(|cell| cell.value().attr("data-label").unwrap_or(""))
                    .collect();
                assert_eq!(labels, headings[1..], "{name}");
                assert!(row.select(&find("[role=cell]")).count() == labels.len(), "{name}");
                assert_eq!(row.select(&find("[role=rowheader]")).count(), 1, "{name}");
            }
        }
    }
    assert!(tables >= 5, "only {tables} tables were checked");
}
