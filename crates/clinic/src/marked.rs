//! Queries by the marks of the children, which read no log.

use crate::{
    ClinicRecords,
    marks::{ADVICE, FILE, LOGGER, cut},
};
use archive::ArchiveError;
use guidance::brace_problem::AdviceTally;
use record::{ChildId, Day, DayRange, Helped, ProblemKind};

/// What another child's record has of a logger's file.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub enum LoggerElsewhere {
    /// The same file.
    File(ChildId),
    /// The same logger on some of the same days.
    Days(ChildId),
}

impl ClinicRecords {
    /// Whether another child's record has a logger's file, or the same logger on some of the same days.
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

    /// How often each advice on a problem of the brace was given and helped, over every child up to a day.
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
