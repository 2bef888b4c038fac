//! What is found by the marks of every child, without reading a log.

use crate::{
    ClinicRecords,
    marks::{ADVICE, FILE, LOGGER, cut},
};
use archive::ArchiveError;
use guidance::brace_problem::AdviceTally;
use record::{ChildId, Day, DayRange, Helped, ProblemKind};

/// What of a logger's file is recorded for another child.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub enum LoggerElsewhere {
    /// This very file.
    File(ChildId),
    /// This logger, over some of the same days.
    Days(ChildId),
}

impl ClinicRecords {
    /// Whether a logger's file, or the same logger over some of the same days, is recorded for another child.
    ///
    /// # Errors
    /// When the records cannot be read.
    pub fn logger_elsewhere(
        &self,
        child: ChildId,
        label: &str,
        name: Option<&str>,
        days: DayRange,
    ) -> Result<Option<LoggerElsewhere>, ArchiveError> {
        let other = |found: Vec<ChildId>| found.into_iter().find(|other| *other != child);
        let ever = DayRange::new(Day::FIRST, Day::LAST);
        if let Some(found) = other(self.archive().marked(FILE, label, ever)?) {
            return Ok(Some(LoggerElsewhere::File(found)));
        }
        let Some(name) = name else { return Ok(None) };
        Ok(other(self.archive().marked(LOGGER, &cut(name), days)?).map(LoggerElsewhere::Days))
    }

    /// What helped before with the problems of the brace, counted over every child up to a day.
    ///
    /// # Errors
    /// When the records cannot be read.
    pub fn advice_tally(&self, until: Day) -> Result<AdviceTally, ArchiveError> {
        let mut tally = AdviceTally::default();
        for (key, times) in self.archive().marks_counted(ADVICE, until)? {
            let mut parts = key.splitn(3, '/');
            let (Some(kind), Some(helped), Some(advised)) = (parts.next(), parts.next(), parts.next()) else {
                continue;
            };
            if let Some(kind) = ProblemKind::from_key(kind) {
                let times = u32::try_from(times).unwrap_or(u32::MAX);
                tally.count(kind, advised, Helped::from_key(helped), times);
            }
        }
        Ok(tally)
    }
}
