//! Reads the rows of the stock list.

use guidance::brace::{Bar, BootSize, Stock};
use pages::{
    fields::{FieldError, Filled},
    stock::rows::StockKind,
};
use record::bounds::{BAR_LENGTH, Bound, FOOT_LENGTH};
use std::collections::BTreeSet;

/// The longest label, and the largest count.
const LABEL_CHARS: usize = 100;
const MOST: u16 = 10_000;
/// The most rows of each kind.
const MOST_ROWS: usize = 200;

/// The list of the rows; empty rows are left out.
///
/// # Errors
/// What is wrong, with the field of each.
pub fn stock(filled: &Filled) -> Result<Stock, Vec<FieldError>> {
    let mut reader = Reader { filled, errors: Vec::new() };
    let boots = reader.rows(StockKind::Boot, Reader::boot);
    let bars = reader.rows(StockKind::Bar, Reader::bar);
    if reader.errors.is_empty() { Ok(Stock::of(boots, bars)) } else { Err(reader.errors) }
}

struct Reader<'a> {
    filled: &'a Filled,
    errors: Vec<FieldError>,
}

impl Reader<'_> {
    fn wrong(&mut self, field: String, text: String) {
        self.errors.push(FieldError { field, text });
    }

    fn rows<T>(&mut self, kind: StockKind, read: fn(&mut Self, usize, String) -> Option<T>) -> Vec<T> {
        let (mut rows, mut labels) = (Vec::new(), BTreeSet::new());
        for row in kind.rows(self.filled) {
            let any =
                kind.columns().iter().any(|(what, _)| self.filled.given(&kind.name(row, what)).is_some());
            if !any {
                continue;
            }
            let field = kind.name(row, "label");
            let label = self.filled.given(&field).unwrap_or_default().to_owned();
            if label.is_empty() || label.chars().count() > LABEL_CHARS {
                let text = format!("Your own label is needed, of at most {LABEL_CHARS} characters.");
                self.wrong(field, text);
            } else if !labels.insert(label.clone()) {
                self.wrong(field, format!("The label “{label}” is used twice. Each row needs its own."));
            } else if rows.len() == MOST_ROWS {
                self.wrong(field, format!("At most {MOST_ROWS} rows can be saved."));
            }
            rows.extend(read(self, row, label));
        }
        rows
    }

    fn boot(&mut self, row: usize, label: String) -> Option<BootSize> {
        let inner_mm =
            self.length(StockKind::Boot.name(row, "inner_mm"), "The length inside the boot", &FOOT_LENGTH);
        let in_store = self.count(StockKind::Boot.name(row, "in_store"));
        Some(BootSize { label, inner_mm: inner_mm?, in_store: in_store? })
    }

    fn bar(&mut self, row: usize, label: String) -> Option<Bar> {
        let from_mm = self.length(StockKind::Bar.name(row, "from_mm"), "The shortest setting", &BAR_LENGTH);
        let to_mm = self.length(StockKind::Bar.name(row, "to_mm"), "The longest setting", &BAR_LENGTH);
        let in_store = self.count(StockKind::Bar.name(row, "in_store"));
        let (from_mm, to_mm) = (from_mm?, to_mm?);
        if from_mm > to_mm {
            let text =
                format!("The longest setting, {to_mm} mm, is shorter than the shortest, {from_mm} mm.");
            self.wrong(StockKind::Bar.name(row, "to_mm"), text);
        }
        Some(Bar { label, from_mm, to_mm, in_store: in_store? })
    }

    fn length(&mut self, field: String, what: &str, bound: &Bound) -> Option<u16> {
        let (low, high) = bound.possible;
        let given = self.filled.given(&field).unwrap_or_default();
        let mm = given.parse().ok().filter(|&mm: &u16| (low..=high).contains(&f64::from(mm)));
        if mm.is_none() {
            let problem =
                if given.is_empty() { "is missing".to_owned() } else { format!("cannot be “{given}”") };
            self.wrong(
                field,
                format!("{what} {problem}: whole millimetres from {low} to {high} are expected."),
            );
        }
        mm
    }

    /// `Some(None)` if they are not counted.
    #[allow(clippy::option_option)]
    fn count(&mut self, field: String) -> Option<Option<u16>> {
        let Some(given) = self.filled.given(&field) else { return Some(None) };
        let count = given.parse().ok().filter(|&count| count <= MOST);
        if count.is_none() {
            let text = format!(
                "“{given}” is not a count: a whole number from 0 to {MOST} is expected, or nothing if they are not counted."
            );
            self.wrong(field, text);
        }
        count.map(Some)
    }
}
