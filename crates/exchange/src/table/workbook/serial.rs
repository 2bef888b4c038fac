//! Numbers of a workbook that stand for days and times, told by the format of their cell.

use crate::table::CellKind;
use record::Day;

/// What the format of a cell makes of a number.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub(super) enum NumberFormat {
    /// A plain number.
    Number,
    /// A day, or a time of day where the number is less than one.
    Date,
    /// A duration.
    Duration,
}

/// The day from which a workbook counts.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub(super) enum Epoch {
    /// 1 January 1900 is day 1, and a 29 February 1900 is counted that there was not.
    Year1900,
    /// 1 January 1904 is day 0.
    Year1904,
}

impl NumberFormat {
    /// Of a format that every spreadsheet program knows by its number.
    pub(super) const fn built_in(number: usize) -> Self {
        match number {
            14..=22 | 27..=36 | 45 | 47 | 50..=58 => Self::Date,
            46 => Self::Duration,
            _ => Self::Number,
        }
    }

    /// Of a format by its code, such as `dd/mm/yyyy` or `0.0 "points"`. Only the part for positive numbers
    /// counts. Letters in quotation marks, after a backslash or in brackets are no letters of a date.
    pub(super) fn of_code(code: &str) -> Self {
        let mut letters = code.chars();
        let mut found = Self::Number;
        while let Some(letter) = letters.next() {
            match letter.to_ascii_lowercase() {
                '\\' | '_' | '*' => {
                    letters.next();
                }
                '"' => {
                    letters.by_ref().find(|&c| c == '"');
                }
                '[' => {
                    let inside: String = letters.by_ref().take_while(|&c| c != ']').collect();
                    let inside = inside.to_ascii_lowercase();
                    let mut units = inside.chars();
                    if units.next().is_some_and(|first| {
                        matches!(first, 'h' | 'm' | 's') && units.all(|unit| unit == first)
                    }) {
                        return Self::Duration;
                    }
                }
                ';' => break,
                'd' | 'm' | 'y' | 'h' | 's' => found = Self::Date,
                _ => {}
            }
        }
        found
    }
}

/// A number as text, and what it is. In a workbook that counts from 1904 a plain number has a kind of its own,
/// so that none is later taken for a day counted from 1900.
pub(super) fn shown(number: f64, format: NumberFormat, epoch: Epoch) -> (String, CellKind) {
    match format {
        NumberFormat::Date if number >= 1.0 => match day(number, epoch) {
            Some(day) => (day.to_string(), CellKind::Date),
            None => (number.to_string(), CellKind::Text),
        },
        NumberFormat::Date | NumberFormat::Duration if (0.0..1e6).contains(&number) => {
            let minutes = (number * 1440.0).round();
            (format!("{:02}:{:02}", (minutes / 60.0).floor(), minutes % 60.0), CellKind::Time)
        }
        _ if epoch == Epoch::Year1904 => (number.to_string(), CellKind::NumberSince1904),
        _ => (number.to_string(), CellKind::Number),
    }
}

/// The day of a number; `None` outside the years of a [`Day`].
fn day(number: f64, epoch: Epoch) -> Option<Day> {
    let (first, last) = (f64::from(Day::FIRST.number()), f64::from(Day::LAST.number()));
    let before_1970 = match epoch {
        Epoch::Year1900 if number < 60.0 => 25_568.0,
        Epoch::Year1900 => 25_569.0,
        Epoch::Year1904 => 24_107.0,
    };
    let since_1970 = number.floor() - before_1970;
    (first..=last).contains(&since_1970).then(|| Day::from_number(since_1970 as i32))
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn formats_by_their_code() {
        for date in ["dd/mm/yyyy", "m/d/yy h:mm", "[$-407]d. mmmm yyyy", "yyyy\\-mm\\-dd;@", "h:mm AM/PM"] {
            assert_eq!(NumberFormat::of_code(date), NumberFormat::Date, "{date}");
        }
        for number in ["General", "0.00", "0\" days\"", "#,##0\\d", "[Red]0", "0_d", "0;dd", "@", "*d0"] {
            assert_eq!(NumberFormat::of_code(number), NumberFormat::Number, "{number}");
        }
        for duration in ["[h]:mm:ss", "[mm]", "[Blue][s].00"] {
            assert_eq!(NumberFormat::of_code(duration), NumberFormat::Duration, "{duration}");
        }
    }

    #[test]
    fn days_of_both_epochs() {
        let date = |number, epoch| shown(number, NumberFormat::Date, epoch).0;
        // 5 March 2024 is 45,356 days after 30 December 1899 and 1,462 fewer after 1 January 1904.
        assert_eq!(date(45_356.4, Epoch::Year1900), "2024-03-05");
        assert_eq!(date(43_894.4, Epoch::Year1904), "2024-03-05");
        assert_eq!(date(59.0, Epoch::Year1900), "1900-02-28");
        assert_eq!(date(61.0, Epoch::Year1900), "1900-03-01");
        assert_eq!(shown(0.75, NumberFormat::Date, Epoch::Year1900), ("18:00".to_owned(), CellKind::Time));
        assert_eq!(shown(1e9, NumberFormat::Date, Epoch::Year1900).1, CellKind::Text);
        assert_eq!(shown(45_356.0, NumberFormat::Number, Epoch::Year1904).1, CellKind::NumberSince1904);
        assert_eq!(shown(-3.0, NumberFormat::Date, Epoch::Year1900), ("-3".to_owned(), CellKind::Number));
    }
}
