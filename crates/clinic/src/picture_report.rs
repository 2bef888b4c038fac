//! The check of the kept photographs in words, with the numbers of the children concerned.

use crate::ClinicRecords;
use archive::{ArchiveError, PictureCheck, Pictures};
use record::{ChildId, Day};
use std::collections::BTreeMap;

/// Sentences that are listed; more are only counted.
const LISTED: usize = 20;

/// What a check of the kept photographs found.
#[derive(Debug, Clone, Default, PartialEq, Eq)]
pub struct PictureReport {
    /// How many photographs the entries name.
    pub named: usize,
    /// How many pictures are kept that no entry names. That is no fault: the program removes them once a day.
    pub unnamed: usize,
    /// How many photographs are missing or not as they were written, once for each child that names them.
    pub faults_count: usize,
    /// What is wrong, one sentence for each child; the first of many.
    pub faults: Vec<String>,
}

impl PictureReport {
    /// Whether every photograph that an entry names is kept as it was written.
    #[must_use]
    pub fn is_sound(&self) -> bool {
        self.faults_count == 0
    }

    /// What is wrong in one sentence without a child, for lists that may be read without a key; `None` where nothing is.
    #[must_use]
    pub fn words(&self) -> Option<String> {
        match self.faults_count {
            0 => None,
            1 => Some("1 photograph that an entry names is missing or not as it was written.".to_owned()),
            several => Some(format!(
                "{several} photographs that entries name are missing or not as they were written."
            )),
        }
    }

    fn add(&mut self, sentence: String) {
        if self.faults.len() < LISTED {
            self.faults.push(sentence);
        }
    }
}

impl ClinicRecords {
    /// Checks the kept photographs against the entries; reads every one.
    ///
    /// # Errors
    /// When the records cannot be read; what is wrong with the photographs is in the report.
    pub fn check_pictures(&self, pictures: &Pictures, today: Day) -> Result<PictureReport, ArchiveError> {
        let PictureCheck { named, missing, changed, unnamed, unreadable } =
            self.archive().check_pictures(pictures)?;
        let mut report = PictureReport { named, unnamed, ..PictureReport::default() };
        if let Some(why) = unreadable {
            report.faults_count = named.max(1);
            report.add(format!("The file of the photographs cannot be read: {}", record::sentence(&why)));
        }
        self.tell(&mut report, &missing, today, ["is not kept", "are not kept"])?;
        self.tell(
            &mut report,
            &changed,
            today,
            ["is not as it was written", "are not as they were written"],
        )?;
        Ok(report)
    }

    fn tell(
        &self,
        report: &mut PictureReport,
        found: &BTreeMap<ChildId, usize>,
        today: Day,
        [one, several]: [&str; 2],
    ) -> Result<(), ArchiveError> {
        for (child, count) in found {
            report.faults_count += count;
            let (whose, verb) = (self.number_of(*child, today)?, if *count == 1 { one } else { several });
            let photographs = if *count == 1 { "photograph" } else { "photographs" };
            report.add(format!("{count} {photographs} of the child {whose} {verb}."));
        }
        Ok(())
    }

    /// The number of a child, or its id where it has none. Names are not in reports that may be logged.
    fn number_of(&self, child: ChildId, today: Day) -> Result<String, ArchiveError> {
        let known = self.child(child, today)?;
        let number = known.as_ref().and_then(|known| known.outlook.course.about.numbers.first());
        Ok(number.cloned().unwrap_or_else(|| child.to_string()))
    }
}
