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
        let back: Vec<usize> = (1..self.at_s.len()).filter(|at| self.at_s[*at] < self.at_s[at - 1]).collect();
        if let Some(first) = back.first() {
            notes.push(format!(
                "The time goes backwards {}, first at row {}. All rows were put in order of time.",
                times(back.len()),
                self.rows[*first]
            ));
            let mut order: Vec<u32> = (0..self.at_s.len() as u32).collect();
            order.sort_by_key(|at| self.at_s[*at as usize]);
            let pick = |at: &u32| *at as usize;
            self.celsius = order.iter().map(|at| self.celsius[pick(at)]).collect();
            self.rows = order.iter().map(|at| self.rows[pick(at)]).collect();
            self.at_s = order.iter().map(|at| self.at_s[pick(at)]).collect();
        }
        self.leave_out_repeated(&mut notes)?;
        Ok(notes)
    }

    fn leave_out_repeated(&mut self, notes: &mut Vec<String>) -> Result<(), LoggerError> {
        let (mut same, mut differ): (Vec<u32>, Vec<(u32, u32)>) = (Vec::new(), Vec::new());
        let mut kept = 0;
        for at in 0..self.at_s.len() {
            if kept > 0 && self.at_s[kept - 1] == self.at_s[at] {
                if (self.celsius[kept - 1] - self.celsius[at]).abs() <= SAME_C {
                    same.push(self.rows[at]);
                } else {
                    differ.push((self.rows[kept - 1], self.rows[at]));
                }
                continue;
            }
            self.at_s[kept] = self.at_s[at];
            self.celsius[kept] = self.celsius[at];
            self.rows[kept] = self.rows[at];
            kept += 1;
        }
        self.at_s.truncate(kept);
        self.celsius.truncate(kept);
        self.rows.truncate(kept);
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

fn rows(count: usize) -> String {
    if count == 1 { "1 row".to_owned() } else { format!("{count} rows") }
}

fn times(count: usize) -> String {
    if count == 1 { "once".to_owned() } else { format!("{count} times") }
}
