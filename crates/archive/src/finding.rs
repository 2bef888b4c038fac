//! Compares the records with their witness.

use crate::{
    chain::Hash,
    error::ArchiveError,
    seal::{self, Key, Seal},
    witness::{FoundLog, Line, LineKind, Lines, WitnessPlace, read_log},
};
use record::Timestamp;
use rusqlite::{Connection, OptionalExtension};
use std::path::PathBuf;

/// How the records differ from what the witness knows. Until a person decides about it they are opened for reading
/// only.
#[derive(Debug, Clone, PartialEq, Eq)]
pub enum WitnessFinding {
    /// What was saved last is not in the records: the end was lost, or an older copy was put back.
    Behind {
        /// Entries in the records.
        entries: usize,
        /// Entries that were saved, by the witness.
        witnessed: usize,
        /// When the last of those was written; `None` before the first entry.
        at: Option<Timestamp>,
    },
    /// The log was changed by something other than this program.
    LogChanged,
    /// An account, a role, a device, a setting, an import, an erasure, a decision or an answer of practice was changed by something other
    /// than this program.
    RestChanged,
    /// The records are not those that were saved on this computer: their seal was made with another key, or is that
    /// of another history.
    OtherRecords,
    /// The records have had a witness, and its key is not on this computer.
    NoKey(PathBuf),
    /// The records have had a witness, and its log is gone.
    NoLog(PathBuf),
    /// The log of the witness itself was changed.
    WitnessChanged {
        /// The file.
        log: PathBuf,
        /// The line, from 1.
        line: usize,
    },
}

impl WitnessFinding {
    /// What was found and what that means, one or two sentences. `when` puts an instant into words.
    #[must_use]
    pub fn sentence(&self, when: &dyn Fn(Timestamp) -> String) -> String {
        match self {
            Self::Behind { entries, witnessed, at } => behind(*entries, *witnessed, at.map(when)),
            Self::LogChanged => "The log of entries is not the one that this program saved: it was changed or rewritten by something else.".into(),
            Self::RestChanged => "An account, role, device, setting, import, erasure or answer of practice is not as this program saved it: it was changed by something else.".into(),
            Self::OtherRecords => "The records are not those that were saved on this computer: a copy from elsewhere was put in their place, or they were rewritten.".into(),
            Self::NoKey(path) => format!("The key of the witness, {}, is not on this computer: whether entries are missing at the end of the records cannot be told.", path.display()),
            Self::NoLog(path) => format!("The witness is missing ({}): whether entries are missing at the end of the records cannot be told.", path.display()),
            Self::WitnessChanged { log, line } => format!("Line {line} of the witness, {}, was changed: whether entries are missing at the end of the records cannot be told.", log.display()),
        }
    }
}

fn behind(entries: usize, witnessed: usize, at: Option<String>) -> String {
    let at = at.map(|at| format!(" on {at}")).unwrap_or_default();
    let (here, last) = (grouped(entries), grouped(witnessed));
    let cause = "An older copy was put back, or the end of the records was lost.";
    match witnessed.saturating_sub(entries) {
        0 => format!(
            "The records are older than what was saved last: no entry is missing, but accounts, roles, devices or settings are those of an earlier time. {cause}"
        ),
        1 => {
            format!("The records end at entry {here}, but entry {last} was saved{at}. It is missing. {cause}")
        }
        missing => format!(
            "The records end at entry {here}, but entry {last} was saved{at}. {} entries are missing. {cause}",
            grouped(missing)
        ),
    }
}

/// "60,220".
fn grouped(number: usize) -> String {
    let digits = number.to_string();
    let mut text = String::with_capacity(digits.len() + digits.len() / 3);
    for (at, digit) in digits.chars().enumerate() {
        if at > 0 && (digits.len() - at).is_multiple_of(3) {
            text.push(',');
        }
        text.push(digit);
    }
    text
}

/// What comparing gave.
#[derive(Default)]
pub(crate) struct Compared {
    /// Something to be decided about by a person.
    pub finding: Option<WitnessFinding>,
    /// Why the log could not be compared, although nothing speaks against the records.
    pub warning: Option<String>,
    /// The seal of the records.
    pub seal: Option<Seal>,
    /// The lines of the witness.
    pub lines: Vec<Line>,
    /// The key.
    pub key: Option<Key>,
    /// Whether the log of the witness holds a line that was not written with the key.
    pub log_is_changed: bool,
}

/// The log of the witness as it was before the records were read: a process that writes meanwhile adds its line
/// after its commit, so that records read later are never behind.
pub(crate) struct Testimony {
    key: Option<Key>,
    log: Option<FoundLog>,
}

impl Testimony {
    pub(crate) fn read(place: &WitnessPlace) -> Result<Self, ArchiveError> {
        let key = place.read_key()?;
        Ok(Self { log: key.as_ref().map(|key| read_log(place, key)), key })
    }

    /// Whether the witness knows of anything saved.
    pub(crate) fn last(&self) -> Option<&Seal> {
        match &self.log {
            Some(FoundLog::Read(found)) => found.lines.last().map(|line| &line.seal),
            _ => None,
        }
    }

    /// Why the log cannot be read although there is a key, as where its disk is unplugged.
    pub(crate) fn away(&self) -> Option<&str> {
        match &self.log {
            Some(FoundLog::Away(why)) => Some(why),
            _ => None,
        }
    }

    /// Compares the records with it.
    pub(crate) fn compare(self, conn: &Connection, place: &WitnessPlace) -> Result<Compared, ArchiveError> {
        let seal = Seal::read(conn)?;
        let (mut finding, mut warning, mut lines, mut log_is_changed) = (None, None, Vec::new(), false);
        match (&self.key, &seal) {
            (None, None) => {}
            (None, Some(_)) => finding = Some(WitnessFinding::NoKey(place.key_file())),
            (Some(key), _) => {
                if let Some(seal) = &seal {
                    finding = of_records(conn, seal, key)?;
                }
                match self.log {
                    Some(FoundLog::Read(found)) => {
                        finding = finding_first(of_log(conn, seal.as_ref(), &found, place)?, finding);
                        log_is_changed = found.wrong.is_some();
                        lines = found.lines;
                    }
                    Some(FoundLog::Away(why)) if seal.as_ref().is_some_and(|seal| seal.number > 1) => {
                        warning = Some(why);
                    }
                    // The program can be stopped between the first seal and the first line.
                    Some(FoundLog::Missing) if seal.as_ref().is_some_and(|seal| seal.number > 1) => {
                        finding = finding.or(Some(WitnessFinding::NoLog(place.log_file())));
                    }
                    _ => {}
                }
            }
        }
        Ok(Compared { finding, warning, seal, lines, key: self.key, log_is_changed })
    }
}

/// How much is missing says more than that something differs; that the witness itself was changed says less.
fn finding_first(
    of_log: Option<WitnessFinding>,
    of_records: Option<WitnessFinding>,
) -> Option<WitnessFinding> {
    match of_log {
        Some(behind @ WitnessFinding::Behind { .. }) => Some(behind),
        other => of_records.or(other),
    }
}

/// What the records themselves and the key tell.
pub(crate) fn of_records(
    conn: &Connection,
    seal: &Seal,
    key: &Key,
) -> Result<Option<WitnessFinding>, ArchiveError> {
    if !seal.is_genuine(key) {
        return Ok(Some(WitnessFinding::OtherRecords));
    }
    if seal::log_state(conn)? != (seal.entries, seal.log) || !ends_with_its_head(conn)? {
        return Ok(Some(WitnessFinding::LogChanged));
    }
    let rest = seal::rest_state(conn, seal.form)?;
    Ok((rest != seal.rest).then_some(WitnessFinding::RestChanged))
}

/// Whether the entry that was written last is the head of the chain of its site.
fn ends_with_its_head(conn: &Connection) -> Result<bool, ArchiveError> {
    let sql =
        "SELECT e.sequence = s.length AND e.hash = s.head FROM entries e JOIN sites s ON s.number = e.site
               ORDER BY e.place DESC LIMIT 1";
    let fits: Option<bool> = conn.query_row(sql, [], |row| row.get(0)).optional()?;
    let entries: i64 = conn.query_row("SELECT coalesce(sum(length), 0) FROM sites", [], |row| row.get(0))?;
    Ok(fits.unwrap_or(entries == 0))
}

/// What the log of the witness tells.
fn of_log(
    conn: &Connection,
    seal: Option<&Seal>,
    found: &Lines,
    place: &WitnessPlace,
) -> Result<Option<WitnessFinding>, ArchiveError> {
    if let Some(last) = found.lines.last() {
        let number = seal.map_or(0, |seal| seal.number);
        if last.seal.number > number {
            let entries = seal::log_state(conn)?.0;
            return Ok(Some(behind_of(entries, &found.lines)));
        }
        if last.seal.number == number && seal.is_some_and(|seal| seal.mac != last.seal.mac) {
            return Ok(Some(WitnessFinding::OtherRecords));
        }
    }
    if let Some(line) = found.wrong {
        return Ok(Some(WitnessFinding::WitnessChanged { log: place.log_file(), line }));
    }
    // The program can be stopped between the first seal and the first line.
    let empty = found.lines.is_empty() && seal.is_some_and(|seal| seal.number > 1);
    Ok(empty.then(|| WitnessFinding::NoLog(place.log_file())))
}

fn behind_of(entries: i64, lines: &[Line]) -> WitnessFinding {
    let last = lines.last().map(|line| &line.seal);
    let count = |number: i64| usize::try_from(number).unwrap_or(0);
    WitnessFinding::Behind {
        entries: count(entries),
        witnessed: count(last.map_or(0, |seal| seal.entries)),
        at: last.and_then(Seal::written_at),
    }
}

/// The states of the log that the witness knows, by the number of entries, as far as they must still be passed
/// through: those since a person last decided to go on with other records.
pub(crate) fn states_to_pass(lines: &[Line]) -> Vec<(i64, Hash)> {
    let begin = lines.iter().rposition(|line| line.kind == LineKind::Accepted).unwrap_or(0);
    let mut states: Vec<(i64, Hash)> =
        lines.iter().skip(begin).map(|line| (line.seal.entries, line.seal.log)).collect();
    states.dedup();
    states
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn the_sentence_names_what_is_missing() {
        let at = Some(Timestamp::from_seconds(0));
        let of = |entries, witnessed| {
            WitnessFinding::Behind { entries, witnessed, at }.sentence(&|_| "3 March 2025, 14:02".into())
        };
        assert_eq!(
            of(1_204, 1_219),
            "The records end at entry 1,204, but entry 1,219 was saved on 3 March 2025, 14:02. 15 entries are missing. An older copy was put back, or the end of the records was lost."
        );
        assert!(of(9, 10).contains("It is missing."));
        assert!(of(10, 10).contains("no entry is missing"));
        assert_eq!(
            (grouped(0), grouped(999), grouped(1_000), grouped(1_234_567)),
            ("0".into(), "999".into(), "1,000".into(), "1,234,567".into())
        );
    }
}
