//! A spreadsheet as somebody types it, and the bytes of its file.

use super::fact::Place;
use record::Day;
use rust_xlsxwriter::{Format, Workbook};

/// What somebody put into a cell.
#[derive(Debug, Clone, PartialEq, Default)]
pub enum Put {
    #[default]
    Blank,
    Text(String),
    Number(f64),
    /// A real date of a workbook; year-month-day in a text file.
    Date(Day),
}

impl From<&str> for Put {
    fn from(text: &str) -> Self {
        if text.is_empty() { Self::Blank } else { Self::Text(text.to_owned()) }
    }
}

impl From<String> for Put {
    fn from(text: String) -> Self {
        Self::from(text.as_str())
    }
}

impl From<u32> for Put {
    fn from(number: u32) -> Self {
        Self::Number(number.into())
    }
}

impl From<Day> for Put {
    fn from(day: Day) -> Self {
        Self::Date(day)
    }
}

impl<T: Into<Self>> From<Option<T>> for Put {
    fn from(value: Option<T>) -> Self {
        value.map_or(Self::Blank, Into::into)
    }
}

/// Half points as a number.
pub fn points(halves: u32) -> Put {
    Put::Number(f64::from(halves) / 2.0)
}

/// A row of cells of any kind.
#[macro_export]
macro_rules! cells {
    ($($cell:expr),* $(,)?) => { vec![$($crate::corpus::sheet::Put::from($cell)),*] };
}

/// One sheet.
#[derive(Debug, Clone, Default)]
pub struct Page {
    pub name: String,
    pub rows: Vec<Vec<Put>>,
    /// Row and first and last column, counted from 0, of merged cells.
    pub merged: Vec<(usize, usize, usize)>,
}

impl Page {
    pub fn named(name: &str) -> Self {
        Self { name: name.to_owned(), ..Self::default() }
    }

    /// Adds a row and gives its number, the first being 1.
    pub fn row(&mut self, cells: Vec<Put>) -> usize {
        self.rows.push(cells);
        self.rows.len()
    }

    /// Adds a row of texts.
    pub fn heads(&mut self, heads: &[&str]) {
        self.row(heads.iter().map(|&head| Put::from(head)).collect());
    }

    /// The place of the row that comes next, in the first sheet.
    pub fn next(&self) -> Place {
        (0, self.rows.len() + 1)
    }
}

/// The sheet as text with a delimiter. A decimal comma is written where the delimiter is a semicolon.
pub fn csv(page: &Page, delimiter: char) -> String {
    let cell = |put: &Put| match put {
        Put::Blank => String::new(),
        Put::Number(number) if delimiter == ';' => number.to_string().replace('.', ","),
        Put::Number(number) => number.to_string(),
        Put::Date(day) => day.to_string(),
        Put::Text(text) if text.contains([delimiter, '"', '\n']) => {
            format!("\"{}\"", text.replace('"', "\"\""))
        }
        Put::Text(text) => text.clone(),
    };
    let line = |row: &Vec<Put>| row.iter().map(cell).collect::<Vec<_>>().join(&delimiter.to_string());
    page.rows.iter().map(|row| line(row) + "\r\n").collect()
}

/// The sheets as a workbook.
pub fn xlsx(pages: &[Page]) -> Vec<u8> {
    let mut book = Workbook::new();
    let date = Format::new().set_num_format("dd/mm/yyyy");
    for page in pages {
        let sheet = book.add_worksheet();
        sheet.set_name(&page.name).unwrap();
        for &(row, first, last) in &page.merged {
            let text = page.rows[row].get(first).cloned().unwrap_or_default();
            let Put::Text(text) = text else { panic!("merged cells hold a text: {text:?}") };
            let row = u32::try_from(row).unwrap();
            let (first, last) = (u16::try_from(first).unwrap(), u16::try_from(last).unwrap());
            sheet.merge_range(row, first, row, last, &text, &Format::new()).unwrap();
        }
        for (row, cells) in (0u32..).zip(&page.rows) {
            for (column, put) in (0u16..).zip(cells) {
                match put {
                    Put::Blank => {}
                    Put::Text(text) => {
                        sheet.write_string(row, column, text).unwrap();
                    }
                    Put::Number(number) => {
                        sheet.write_number(row, column, *number).unwrap();
                    }
                    Put::Date(day) => {
                        // 1 January 1970 is day 25 569 of a workbook.
                        let serial = f64::from(day.number() + 25_569);
                        sheet.write_number_with_format(row, column, serial, &date).unwrap();
                    }
                }
            }
        }
    }
    book.save_to_buffer().unwrap()
}
