//! The check of the log: whether every row is as it was written, none is missing and none was moved.

use super::{
    ACCESS_KEY_FILE, AccessHead, AccessLog,
    file::{COLUMNS, hash_at, open_for_reading, row_of},
    hash::{AccessKey, KeyId, RowHash, beginning},
    row::AccessOutcome,
};
use crate::error::ArchiveError;
use record::Timestamp;
use rusqlite::Connection;
use std::fmt;

/// Faults that are listed; more are only counted.
const LISTED: usize = 20;

/// Something wrong with the log.
#[derive(Debug, Clone, PartialEq, Eq)]
pub struct AccessFault {
    /// The row.
    pub number: i64,
    /// The message, one sentence.
    pub text: String,
}

/// The result of a check.
#[derive(Debug, Clone, Default, PartialEq, Eq)]
pub struct AccessReport {
    /// The number of rows.
    pub rows: i64,
    /// The time of the first row.
    pub first: Option<Timestamp>,
    /// The time of the last row.
    pub last: Option<Timestamp>,
    /// Rows made with a key that is no longer there: whether they were changed cannot be told.
    pub unjudged: i64,
    /// Rows that say that others are missing.
    pub gaps: i64,
    /// The last row, to be noted.
    pub head: Option<AccessHead>,
    /// When the length was last noted with the records.
    pub noted: Option<Timestamp>,
    /// The first faults found.
    pub faults: Vec<AccessFault>,
    /// The number of all faults.
    pub faults_count: usize,
}

/// What a check without a fault shows, and what it cannot show.
pub const ACCESS_CHECK_WORDS: &str = "The check shows that no row was changed, removed or moved by anybody who does not have the key, and that the log is not shorter than when its length was last noted with the records. It cannot show this against somebody who may write the log, its key and the records alike, such as the owner of this computer: note the last row and its fingerprint on paper, and compare.";

impl AccessReport {
    /// Whether there is no fault, and every row could be judged.
    #[must_use]
    pub const fn is_sound(&self) -> bool {
        self.faults_count == 0 && self.unjudged == 0
    }

    fn fault(&mut self, number: i64, text: String) {
        self.faults_count += 1;
        if self.faults.len() < LISTED {
            self.faults.push(AccessFault { number, text });
        }
    }

    /// What was found, in one or two sentences.
    #[must_use]
    pub fn words(&self) -> String {
        let mut text = match self.faults_count {
            0 => format!("{} rows checked: nothing is wrong.", self.rows),
            1 => format!("{} rows checked: one fault was found.", self.rows),
            more => format!("{} rows checked: {more} faults were found.", self.rows),
        };
        if self.unjudged > 0 {
            text.push_str(&format!(
                " {} rows were written with a key that is no longer there ({ACCESS_KEY_FILE}): whether they were changed cannot be told.",
                self.unjudged
            ));
        }
        if self.gaps > 0 {
            text.push_str(&format!(" {} rows say that openings before them are missing.", self.gaps));
        }
        text
    }
}

impl fmt::Display for AccessReport {
    fn fmt(&self, f: &mut fmt::Formatter<'_>) -> fmt::Result {
        writeln!(f, "{}", self.words())?;
        for fault in &self.faults {
            writeln!(f, "- {}", fault.text)?;
        }
        if let Some(head) = &self.head {
            writeln!(f, "Last row {}, fingerprint {}.", head.rows, head.fingerprint())?;
        }
        write!(f, "{ACCESS_CHECK_WORDS}")
    }
}

/// A row with what its hash needs.
struct Checked {
    key: KeyId,
    hash: RowHash,
}

impl AccessLog {
    /// Checks every row, and the lengths noted with the records.
    ///
    /// # Errors
    /// When the file cannot be read at all.
    pub fn check(&self) -> Result<AccessReport, ArchiveError> {
        self.flush()?;
        let mut report = AccessReport::default();
        let heads = match &self.archive {
            Some(archive) => archive.access_heads()?,
            None => Vec::new(),
        };
        report.noted = heads.last().map(|(at, _)| *at);
        let Some(conn) = open_for_reading(self.dir(), self.key())? else {
            if let Some((_, head)) = heads.last() {
                report.fault(1, format!("The log is missing; {} rows had been noted.", head.rows));
            }
            return Ok(report);
        };
        check_rows(&conn, AccessKey::read(self.dir())?.as_ref(), &mut report)?;
        check_heads(&conn, &heads, &mut report)?;
        Ok(report)
    }

    /// Whether a row has the fingerprint that was noted on paper.
    ///
    /// # Errors
    /// When the file cannot be read.
    pub fn has_fingerprint(&self, number: i64, fingerprint: &str) -> Result<bool, ArchiveError> {
        self.flush()?;
        let Some(conn) = open_for_reading(self.dir(), self.key())? else { return Ok(false) };
        let hash = hash_at(&conn, number)?;
        let plain = fingerprint.trim().to_lowercase();
        Ok(hash.is_some_and(|hash| AccessHead { rows: number, hash }.fingerprint() == plain))
    }
}

fn check_rows(
    conn: &Connection,
    key: Option<&AccessKey>,
    report: &mut AccessReport,
) -> Result<(), ArchiveError> {
    let mut query = conn.prepare(&format!("SELECT {COLUMNS}, key, hash FROM access ORDER BY number"))?;
    let mut rows = query.query([])?;
    let (mut expected, mut previous) = (1, beginning());
    while let Some(row) = rows.next()? {
        let number: i64 = row.get(0)?;
        let checked = Checked { key: row.get(9)?, hash: row.get(10)? };
        report.rows += 1;
        if number != expected {
            let missing = number - expected;
            report.fault(
                number,
                format!("{missing} rows before row {number} are missing (from row {expected})."),
            );
        }
        match row_of(row)? {
            None => report.fault(number, format!("Row {number} was changed: it is no row of this program.")),
            Some(found) => {
                let at = found.event.at;
                report.first.get_or_insert(at);
                report.last = Some(at);
                report.gaps += i64::from(found.event.outcome == AccessOutcome::Gap);
                match key.filter(|key| key.id == checked.key) {
                    None => report.unjudged += 1,
                    Some(key) if key.row(&previous, number, &found.event) == checked.hash => {}
                    // After a missing row the next cannot agree, and says nothing more.
                    Some(_) if number != expected => {}
                    Some(_) => report.fault(
                        number,
                        format!("Row {number} was changed or moved: it does not follow from the row before."),
                    ),
                }
            }
        }
        (expected, previous) = (number + 1, checked.hash);
        report.head = Some(AccessHead { rows: number, hash: checked.hash });
    }
    Ok(())
}

/// The lengths noted with the records.
fn check_heads(
    conn: &Connection,
    heads: &[(Timestamp, AccessHead)],
    report: &mut AccessReport,
) -> Result<(), ArchiveError> {
    let there = report.head.map_or(0, |head| head.rows);
    for (at, head) in heads {
        if head.rows > there {
            let text = format!(
                "Rows {} to {} are missing from the end: {} rows had been noted on {}.",
                there + 1,
                head.rows,
                head.rows,
                at.day().words()
            );
            report.fault(head.rows, text);
        } else if hash_at(conn, head.rows)? != Some(head.hash) {
            let text = format!("Row {} is not the one that was noted on {}.", head.rows, at.day().words());
            report.fault(head.rows, text);
        }
    }
    Ok(())
}
