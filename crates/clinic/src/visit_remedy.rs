//! A whole visit withdrawn or put right in one step: the wrong child, the wrong foot, the wrong day, or a
//! visit that was never made.
//!
//! Nothing is changed in the log. The step is a list of withdrawals, corrections and entries recorded again,
//! and an entry ([`record::VisitAmended`]) that lists them, in each log concerned. They are written in one
//! transaction and taken back in one ([`crate::TakeBack`]).

use crate::{StepStamp, written_step::StepWriter};
use course::{CorrectedLog, Course, Fate, VisitPart, visit_lines, visit_misfits};
use record::{
    Body, ChildId, Correction, Day, Entry, EntryId, Side, VisitAmended, VisitChange, Withdrawal,
    WrittenTogether,
};
use std::collections::{BTreeMap, BTreeSet};

/// What is to be done with a visit.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub enum VisitRemedy {
    /// It is withdrawn.
    Withdraw,
    /// It is withdrawn and recorded for this child.
    OtherChild(ChildId),
    /// What it says of one foot is recorded for the other.
    OtherFoot,
    /// It is moved to this day.
    OtherDay(Day),
}

/// What becomes of one entry of a visit.
#[derive(Debug, Clone, PartialEq)]
pub enum EntryFate {
    /// It stays as it is.
    Stays,
    /// It is withdrawn.
    Withdrawn,
    /// It is corrected to these contents on this day.
    Becomes(Box<Body>, Day),
    /// It is withdrawn here and recorded for the other child.
    RecordedThere,
    /// It is withdrawn here; the other child's record says the same already.
    SaidThere,
}

/// One entry of a visit.
#[derive(Debug, Clone, PartialEq)]
pub struct VisitRow {
    /// The entry.
    pub entry: EntryId,
    /// Its own day, before any correction.
    entered_on: Day,
    /// The entry that it follows.
    follows: Option<EntryId>,
    /// Its contents as they hold.
    pub body: Body,
    /// Whether it is part of the visit, or only of the same day.
    pub part: VisitPart,
    /// Whether it is chosen.
    pub chosen: bool,
    /// What becomes of it.
    pub fate: EntryFate,
    /// What would become of it if it were chosen.
    pub if_chosen: EntryFate,
    /// What was written about it since, one clause each: "was corrected on 3 May 2024".
    pub since: Vec<String>,
}

/// What a remedy would do.
#[derive(Debug, Clone, PartialEq)]
pub struct VisitPlan {
    /// The child.
    pub child: ChildId,
    /// The day of the visit.
    pub on: Day,
    /// What is to be done.
    pub remedy: VisitRemedy,
    /// The entries of that day, in the order of the record.
    pub rows: Vec<VisitRow>,
    /// What the other child's record, or the other day, holds already: the visit is added to it.
    pub held_there: Vec<String>,
    /// What speaks against it: a foot that is not on record there, a day before birth.
    pub misfits: Vec<String>,
}

/// What a child's log holds of a day, in the words of the record.
fn said_on(log: &CorrectedLog<'_>, on: Day) -> Vec<String> {
    visit_lines(log, on)
        .into_iter()
        .filter(|(_, part)| *part == VisitPart::Part)
        .map(|(line, _)| line.body.sentence())
        .collect()
}

impl VisitPlan {
    /// What a remedy would do to the entries of a day. `chosen` are the entries to which it applies; `None`
    /// for those that are part of the visit. `there` is the log of the other child.
    #[must_use]
    pub fn of(
        child: ChildId,
        entries: &[Entry],
        on: Day,
        remedy: VisitRemedy,
        (chosen, there): (Option<&[EntryId]>, &[Entry]),
    ) -> Self {
        let log = CorrectedLog::of(entries, Day::LAST);
        let (other_log, there) = (there, CorrectedLog::of(there, Day::LAST));
        let lines = visit_lines(&log, on);
        let is_chosen = |id: EntryId, part: VisitPart| {
            chosen.map_or(part == VisitPart::Part, |chosen| chosen.contains(&id))
        };
        let taken: BTreeSet<EntryId> = lines
            .iter()
            .filter(|(line, part)| is_chosen(line.entry.id, *part))
            .map(|(line, _)| line.entry.id)
            .collect();
        let rows = lines.iter().map(|(line, part)| {
            let chosen = taken.contains(&line.entry.id);
            let if_chosen = fate(line, remedy, &taken, &there);
            let fate = if chosen { if_chosen.clone() } else { EntryFate::Stays };
            VisitRow {
                entry: line.entry.id,
                entered_on: line.entry.on,
                follows: line.entry.follows,
                body: line.body.clone(),
                part: *part,
                chosen,
                fate,
                if_chosen,
                since: if chosen { since(&log, line, &taken) } else { Vec::new() },
            }
        });
        let held_there = match remedy {
            VisitRemedy::OtherChild(_) => said_on(&there, on),
            VisitRemedy::OtherDay(day) => said_on(&log, day),
            VisitRemedy::Withdraw | VisitRemedy::OtherFoot => Vec::new(),
        };
        let mut plan = Self { child, on, remedy, rows: rows.collect(), held_there, misfits: Vec::new() };
        let without = || entries.iter().filter(|entry| !taken.contains(&entry.id)).cloned().collect();
        let (target, rest): (ChildId, Vec<Entry>) = match remedy {
            VisitRemedy::Withdraw => return plan,
            VisitRemedy::OtherChild(other) => (other, other_log.to_vec()),
            VisitRemedy::OtherFoot | VisitRemedy::OtherDay(_) => (child, without()),
        };
        plan.misfits = plan.misfits_of(&Course::of(target, &rest, Day::LAST));
        plan
    }

    fn misfits_of(&self, rest: &Course) -> Vec<String> {
        let side = |row: &VisitRow| match &row.fate {
            EntryFate::Becomes(body, _) if self.remedy == VisitRemedy::OtherFoot => body.side(),
            EntryFate::RecordedThere => row.body.side(),
            _ => None,
        };
        let feet: Vec<Side> = self.rows.iter().filter_map(side).collect();
        let on = if let VisitRemedy::OtherDay(day) = self.remedy { day } else { self.on };
        visit_misfits(rest, on, &feet)
    }

    /// The entries that change.
    #[must_use]
    pub fn changed(&self) -> usize {
        self.rows.iter().filter(|row| row.fate != EntryFate::Stays).count()
    }

    /// What a person has to look at before it is done: what speaks against it, and what was written since.
    #[must_use]
    pub fn to_check(&self) -> Vec<String> {
        self.misfits.iter().cloned().chain(self.since()).collect()
    }

    /// What was written since about the entries that change, each with the entry in words.
    #[must_use]
    pub fn since(&self) -> Vec<String> {
        let changing = self.rows.iter().filter(|row| row.fate != EntryFate::Stays);
        let words = |row: &VisitRow| {
            let sentence = row.body.sentence();
            row.since.iter().map(|since| format!("{sentence}: {since}")).collect::<Vec<_>>()
        };
        changing.flat_map(words).collect()
    }

    const fn change(&self) -> VisitChange {
        match self.remedy {
            VisitRemedy::Withdraw => VisitChange::Withdrawn,
            VisitRemedy::OtherChild(_) => VisitChange::MovedAway,
            VisitRemedy::OtherFoot => VisitChange::FeetExchanged,
            VisitRemedy::OtherDay(_) => VisitChange::DayChanged,
        }
    }

    /// The entries that carry it out, the one that lists the others first.
    #[must_use]
    pub fn entries(&self, stamp: &StepStamp) -> Vec<Entry> {
        let mut writer = StepWriter::new(stamp);
        let (step, counterpart) = (writer.reserve(), writer.reserve());
        let own = self.amendments(&mut writer, &stamp.reason);
        let moved_to = if let VisitRemedy::OtherDay(day) = self.remedy { Some(day) } else { None };
        let lists = |change, together| VisitAmended {
            change,
            visit_on: self.on,
            moved_to,
            reason: stamp.reason.clone(),
            together,
        };
        let listed = |entries: &[Entry]| entries.iter().map(|entry| entry.id).collect();
        let mut together = WrittenTogether { entries: listed(&own), ..WrittenTogether::default() };
        let mut all = Vec::with_capacity(own.len() * 2 + 2);
        if let VisitRemedy::OtherChild(other) = self.remedy {
            let (copies, origins) = self.copies(&mut writer, other);
            together = WrittenTogether { other: Some(other), counterpart: Some(counterpart), ..together };
            let there = WrittenTogether {
                entries: listed(&copies),
                origins,
                other: Some(self.child),
                counterpart: Some(step),
            };
            all.push(writer.numbered(counterpart, other, lists(VisitChange::MovedHere, there)));
            all.extend(copies);
        }
        all.insert(0, writer.numbered(step, self.child, lists(self.change(), together)));
        all.extend(own);
        all
    }

    fn amendments(&self, writer: &mut StepWriter<'_>, reason: &str) -> Vec<Entry> {
        let amendment = |row: &VisitRow| -> Option<Body> {
            let (entry, reason) = (row.entry, reason.to_owned());
            Some(match &row.fate {
                EntryFate::Stays => return None,
                EntryFate::Becomes(body, on) => {
                    let on = (*on != row.entered_on).then_some(*on);
                    Correction { entry, body: body.clone(), on, reason }.into()
                }
                _ => Withdrawal { entry, reason }.into(),
            })
        };
        let made = self.rows.iter().filter_map(|row| Some((row.entry, amendment(row)?)));
        made.map(|(entry, body)| writer.amend(self.child, entry, body)).collect()
    }

    /// The entries recorded for the other child, and the entries from which they come.
    fn copies(&self, writer: &mut StepWriter<'_>, other: ChildId) -> (Vec<Entry>, Vec<EntryId>) {
        let moved: Vec<&VisitRow> =
            self.rows.iter().filter(|row| row.fate == EntryFate::RecordedThere).collect();
        let ids: BTreeMap<EntryId, EntryId> = moved.iter().map(|row| (row.entry, writer.reserve())).collect();
        let copy = |row: &&VisitRow| {
            let id = ids.get(&row.entry).copied()?;
            let body = with_first(row.body.clone(), &ids);
            // What it followed in the wrong record is no entry of this child.
            let follows = row.follows.and_then(|follows| ids.get(&follows).copied());
            Some(Entry { on: self.on, follows, ..writer.numbered(id, other, body) })
        };
        (moved.iter().filter_map(copy).collect(), moved.iter().map(|row| row.entry).collect())
    }
}

/// A second score names its first, an angle or a length its photograph; both get new ids.
pub(crate) fn with_first(mut body: Body, ids: &BTreeMap<EntryId, EntryId>) -> Body {
    let anew = |id: EntryId| ids.get(&id).copied().unwrap_or(id);
    match &mut body {
        Body::SecondScore(second) => second.first = second.first.map(anew),
        Body::PhotographAngleMeasured(angle) => angle.photograph = anew(angle.photograph),
        Body::PhotographLengthMeasured(length) => length.photograph = anew(length.photograph),
        _ => {}
    }
    body
}

/// What becomes of a chosen entry.
fn fate(
    line: &course::Line<'_>,
    remedy: VisitRemedy,
    taken: &BTreeSet<EntryId>,
    there: &CorrectedLog<'_>,
) -> EntryFate {
    // A note that follows an entry confirms it as it was: for that child and that foot.
    let confirms = matches!(line.body, Body::Note(_))
        && line.entry.follows.is_some_and(|follows| taken.contains(&follows));
    match remedy {
        VisitRemedy::Withdraw => EntryFate::Withdrawn,
        VisitRemedy::OtherDay(day) => EntryFate::Becomes(Box::new(line.body.clone()), day),
        VisitRemedy::OtherChild(_) | VisitRemedy::OtherFoot if confirms => EntryFate::Withdrawn,
        // The sign of an angle depends on the foot, and whoever took one foot for the other has not looked at the points
        // of this one: it is measured again.
        VisitRemedy::OtherFoot
            if matches!(line.body, Body::PhotographAngleMeasured(_) | Body::PhotographLengthMeasured(_)) =>
        {
            EntryFate::Withdrawn
        }
        VisitRemedy::OtherFoot => match line.body.of_other_foot() {
            Some(body) => EntryFate::Becomes(Box::new(body), line.on),
            None => EntryFate::Stays,
        },
        VisitRemedy::OtherChild(_) => {
            let said =
                visit_lines(there, line.on).iter().any(|(other, _)| says_the_same(other.body, line.body));
            if said { EntryFate::SaidThere } else { EntryFate::RecordedThere }
        }
    }
}

/// Whether two entries of a day say the same. Of an attendance only the time of arrival could differ.
pub(crate) fn says_the_same(one: &Body, other: &Body) -> bool {
    one == other || matches!((one, other), (Body::AppointmentAttended(_), Body::AppointmentAttended(_)))
}

/// What was written since about an entry by others than those chosen with it.
fn since(log: &CorrectedLog<'_>, line: &course::Line<'_>, taken: &BTreeSet<EntryId>) -> Vec<String> {
    let id = line.entry.id;
    let mut since = Vec::new();
    if let Fate::Corrected { by } = line.fate {
        let on = log.line(by).map_or(line.on, |correction| correction.entry.on);
        since.push(format!("was corrected on {}; the corrected contents count", on.words()));
    }
    let others = log.lines.iter().filter(|other| {
        other.fate.holds() && !taken.contains(&other.entry.id) && course::visit_part(other.body).is_some()
    });
    let about = |other: &&course::Line<'_>| {
        let first = match other.body {
            Body::SecondScore(second) => second.first,
            Body::PhotographAngleMeasured(angle) => Some(angle.photograph),
            Body::PhotographLengthMeasured(length) => Some(length.photograph),
            _ => None,
        };
        other.entry.follows == Some(id) || first == Some(id)
    };
    since.extend(others.filter(about).map(|other| {
        format!("followed by “{}” of {}, which stays as it is", other.body.sentence(), other.on.words())
    }));
    since
}
