//! Rows in order of time, each time once.

use super::LoggerError;

/// Temperatures of one time further apart than this are two loggers' or a fault, °C.
const SAME_C: f64 = 0.5;
/// So many such rows make two loggers.
const TWO_SERIES: usize = 20;

/// A series with the rows it came from.
#[derive(Debug, Default)]
pub(super) struct Series {
    pub(super) at_s: Vec<i64>,
    pub(super) celsius: Vec<f64>,
    pub(super) rows: Vec<u32>,
}

impl Series {
    /// Puts the rows in order and leaves repeated ones out; what was done, in sentences.
    pub(super) fn put_in_order(&mut self) -> Result<Vec<String>, LoggerError> {
        let mut notes = Vec::new();
        let back = self.at_s.windows(2).zip(self.rows.iter().skip(1));
        let mut back = back.filter(|(pair, _)| matches!(pair, [before, after] if after < before));
        if let Some((_, first)) = back.next() {
            notes.push(format!(
                "The time goes backwards {}, first at row {first}. All rows were put in order of time.",
                times(1 + back.count()),
            ));
            let at = |order: &u32| self.at_s.get(*order as usize).copied();
            let mut order: Vec<u32> = (0..self.at_s.len() as u32).collect();
            order.sort_by_key(at);
            self.celsius = picked(&self.celsius, &order);
            self.rows = picked(&self.rows, &order);
            self.at_s = picked(&self.at_s, &order);
        }
        self.leave_out_repeated(&mut notes)?;
        Ok(notes)
    }

    fn leave_out_repeated(&mut self, notes: &mut Vec<String>) -> Result<(), LoggerError> {
        let (mut same, mut differ): (Vec<u32>, Vec<(u32, u32)>) = (Vec::new(), Vec::new());
        let mut last: Option<(i64, f64, u32)> = None;
        let samples = self.at_s.iter().zip(&self.celsius).zip(&self.rows);
        let is_repeated = samples.map(|((&at_s, &celsius), &row)| match last {
            Some((before_s, before, first)) if before_s == at_s => {
                if (before - celsius).abs() <= SAME_C {
                    same.push(row);
                } else {
                    differ.push((first, row));
                }
                true
            }
            _ => {
                last = Some((at_s, celsius, row));
                false
            }
        });
        let repeated: Vec<bool> = is_repeated.collect();
        leave_out(&mut self.at_s, &repeated);
        leave_out(&mut self.celsius, &repeated);
        leave_out(&mut self.rows, &repeated);
        if let Some((first, second)) = differ.first().filter(|_| differ.len() >= TWO_SERIES) {
            let (first, second) = (*first as usize, *second as usize);
            return Err(LoggerError::TwoSeries { count: differ.len(), first, second });
        }
        if let Some(row) = same.first() {
            notes.push(format!(
                "{} give a time that an earlier row gives with the same temperature, first row {row}. They were \
                 used once.",
                rows(same.len())
            ));
        }
        if !differ.is_empty() {
            let told: Vec<String> = differ.iter().take(5).map(|(_, row)| row.to_string()).collect();
            notes.push(format!(
                "{} give a time that an earlier row gives with another temperature ({}). The earlier row was used.",
                rows(differ.len()),
                told.join(", ")
            ));
        }
        Ok(())
    }
}

/// The values in another order.
fn picked<T: Copy>(values: &[T], order: &[u32]) -> Vec<T> {
    order.iter().filter_map(|at| values.get(*at as usize).copied()).collect()
}

/// Leaves out the values that are marked.
fn leave_out<T>(values: &mut Vec<T>, marked: &[bool]) {
    let mut marks = marked.iter();
    values.retain(|_| !marks.next().copied().unwrap_or(false));
}

fn rows(count: usize) -> String {
    if count == 1 { "1 row".to_owned() } else { format!("{count} rows") }
}

fn times(count: usize) -> String {
    if count == 1 { "once".to_owned() } else { format!("{count} times") }
}
