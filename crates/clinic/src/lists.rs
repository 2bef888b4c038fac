//! Lists of children, of their work and of their appointments: indexed queries on the summary rows. No course
//! is computed.

use crate::ClinicRecords;
use archive::{ArchiveError, Hit, Summary, WorkFilter, WorkKind, WorkRow};
use course::Phase;
use record::{ChildId, Day, DayRange};

impl ClinicRecords {
    /// Children by name, hospital number and day of birth, spelling mistakes tolerated; best match first, at
    /// most `limit`.
    ///
    /// # Errors
    /// When the records cannot be read.
    pub fn search(&self, text: &str, limit: usize) -> Result<Vec<Hit>, ArchiveError> {
        self.archive().search(text, limit)
    }

    /// The children who have or had a hospital number.
    ///
    /// # Errors
    /// When the records cannot be read.
    pub fn by_number(&self, number: &str) -> Result<Vec<ChildId>, ArchiveError> {
        self.archive().by_number(number)
    }

    /// A child's row in lists; `None` for a child of whom nothing is in any list.
    ///
    /// # Errors
    /// When the records cannot be read.
    pub fn summary_of(&self, child: ChildId) -> Result<Option<Summary>, ArchiveError> {
        self.archive().summary(child)
    }

    /// A page of the children by name, and the number of all who pass the filters `active` and `phase_key`;
    /// `None` lets every child through.
    ///
    /// # Errors
    /// When the records cannot be read.
    pub fn children(
        &self,
        active: Option<bool>,
        phase_key: Option<&str>,
        offset: usize,
        limit: usize,
    ) -> Result<(Vec<Summary>, usize), ArchiveError> {
        self.archive().children(active, phase_key, offset, limit)
    }

    /// The children in care of whom a foot waits for tenotomy, by name. A child is listed under the earliest phase
    /// of its feet, so that the phases before are searched too.
    ///
    /// # Errors
    /// When the records cannot be read.
    pub fn waiting_for_tenotomy(&self) -> Result<Vec<ChildId>, ArchiveError> {
        let phases = Phase::ALL.into_iter().filter(|phase| *phase <= Phase::WaitingForTenotomy);
        let mut waiting = Vec::new();
        for phase in phases {
            let (children, _) = self.archive().children(Some(true), Some(phase.key()), 0, usize::MAX)?;
            let of_it =
                children.into_iter().filter(|child| child.phase.contains(Phase::WaitingForTenotomy.words()));
            waiting.extend(of_it.map(|child| child.child));
        }
        Ok(waiting)
    }

    /// The number of children who have a record.
    ///
    /// # Errors
    /// When the records cannot be read.
    pub fn children_count(&self) -> Result<usize, ArchiveError> {
        self.archive().children_count()
    }

    /// A page of the items of work that apply on a day, the most urgent first, and the number of all of them.
    ///
    /// # Errors
    /// When the records cannot be read.
    pub fn worklist(
        &self,
        day: Day,
        filter: &WorkFilter,
        offset: usize,
        limit: usize,
    ) -> Result<(Vec<WorkRow>, usize), ArchiveError> {
        self.archive().worklist(day, filter, offset, limit)
    }

    /// The numbers of items of a worklist by rank of urgency and by rule, in no order.
    ///
    /// # Errors
    /// When the records cannot be read.
    pub fn worklist_counts(
        &self,
        day: Day,
        filter: &WorkFilter,
    ) -> Result<Vec<(u8, String, usize)>, ArchiveError> {
        self.archive().counts(day, filter)
    }

    /// The numbers of calls for attention that apply on a day, by the key of their rule, the most frequent first.
    ///
    /// # Errors
    /// When the records cannot be read.
    pub fn calls_by_rule(&self, day: Day) -> Result<Vec<(String, usize)>, ArchiveError> {
        self.archive().rules(day, WorkKind::Attention)
    }

    /// The children with an appointment on a day, in order of time; a child with several is listed once for each.
    ///
    /// # Errors
    /// When the records cannot be read.
    pub fn expected_children(&self, day: Day) -> Result<Vec<ChildId>, ArchiveError> {
        self.archive().expected_children(day)
    }

    /// How many appointments there are on each of these days; days without any are left out.
    ///
    /// # Errors
    /// When the records cannot be read.
    pub fn appointments_per_day(&self, days: DayRange) -> Result<Vec<(Day, usize)>, ArchiveError> {
        self.archive().appointments_per_day(days)
    }
}
