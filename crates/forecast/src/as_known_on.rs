//! What was known of a child on an earlier day.

use crate::{SeenChild, SeenFoot};

impl SeenChild {
    /// The child as it was known on a day, without anything later.
    ///
    /// Facts without a date cannot be restored exactly: the number of casts is that of the visits with a
    /// cast by then, and a booked visit is unknown. For a record, [`course::Course`] as of that day is better.
    #[must_use]
    pub fn as_known_on(&self, day: i32) -> Self {
        let by = |known: Option<i32>| known.filter(|known| *known <= day);
        Self {
            born_day: self.born_day,
            gestation_weeks: self.gestation_weeks,
            feet: self.feet.iter().map(|foot| foot.as_known_on(day)).collect(),
            wear: self.wear.iter().filter(|span| span.to_day <= day).copied().collect(),
            next_day: None,
            last_day: self.last_day.min(day),
            left_day: by(self.left_day),
        }
    }
}

impl SeenFoot {
    fn as_known_on(&self, day: i32) -> Self {
        let by = |known: Option<i32>| known.filter(|known| *known <= day);
        let visits: Vec<_> = self.visits.iter().filter(|visit| visit.day <= day).copied().collect();
        let ready_day = by(self.ready_day);
        let casts = visits.iter().filter(|visit| visit.cast).count();
        let all_known = by(self.brace_day).is_some();
        Self {
            casts: if all_known { self.casts } else { u16::try_from(casts).unwrap_or(u16::MAX) },
            ready_day,
            tenotomy_decided: self.tenotomy_decided.filter(|_| ready_day.is_some()),
            tenotomy_planned_day: self.tenotomy_planned_day.filter(|_| ready_day.is_some()),
            tenotomy_day: by(self.tenotomy_day),
            brace_day: by(self.brace_day),
            full_time_end_day: by(self.full_time_end_day),
            relapse_day: by(self.relapse_day),
            visits,
            ..self.clone()
        }
    }
}
