//! From rows to entries and a report, without writing anything.

mod changes;
mod children;
mod matches;
mod slips;

use crate::{
    ColumnMap, Disposition, FileQuestion, ImportReason, Known, Remark, Report, Stamp, Table,
    columns::PassedRow,
    evidence,
    questions::QuestionTopic,
    reader::{BraceSaid, Event, Reader, Refusals, RowRead, feet_of},
};
use children::{Children, Found, Slot};
use record::{
    AppointmentAttended, Body, BraceChange, BraceChanged, BraceFitted, ChildId, Day, Entry, EntryId, Kind,
    Registration, Severity, Side,
};
use std::collections::HashSet;
use uuid::Uuid;

/// What an import would write, and what it found.
#[derive(Debug, Clone)]
pub struct Plan {
    /// The entries to append, in the order of the rows; none of them has a refusal.
    pub entries: Vec<Entry>,
    /// What was found.
    pub report: Report,
}

/// Plans an import. Nothing is written; the same input gives the same plan, except for the ids.
///
/// `progress` is told the number of rows done, now and then and at the end.
#[must_use]
pub fn plan(
    table: &Table,
    map: &ColumnMap,
    known: &dyn Known,
    stamp: &Stamp,
    new_id: &mut dyn FnMut() -> Uuid,
    progress: &mut dyn FnMut(usize),
) -> Plan {
    let today = stamp.today;
    let dates = evidence::settle(table, map, today);
    let reader = Reader::new(table, map, &dates, today);
    let report = Report::new(table, map.columns.clone(), dates.clone());
    let mut children = Children::new(known);
    children.zeros_are_one = map.answers.get(LEADING_ZEROS).map(|answer| answer == "one child");
    let mut planner = Planner {
        reader: &reader,
        stamp,
        children,
        entries: Vec::new(),
        report,
        feet: HashSet::new(),
        slips: HashSet::new(),
        new_id,
    };
    for (done, row) in table.rows().enumerate() {
        planner.row(row);
        if done % 1000 == 999 {
            progress(done + 1);
        }
    }
    planner.finish();
    progress(planner.report.rows);
    Plan { entries: planner.entries, report: planner.report }
}

/// The id of the question whether numbers that differ by leading zeros are of one child.
const LEADING_ZEROS: &str = "leading zeros";

/// Adds that question.
fn about_zeros(mut remark: Remark) -> Remark {
    let topic = QuestionTopic::Other(LEADING_ZEROS.to_owned());
    let text = "Hospital numbers of children with the same name differ by leading zeros only. Are they of one child?";
    let mut question = FileQuestion::new(&topic, text)
        .choice("one child", "yes: one child, whose number has lost its zeros")
        .choice("two children", "no: two children")
        .blocking();
    question.column.clone_from(&remark.column);
    remark.question = Some(Box::new(question));
    remark
}

struct Planner<'a, 'r> {
    reader: &'a Reader<'r>,
    stamp: &'a Stamp,
    children: Children<'a>,
    entries: Vec<Entry>,
    report: Report,
    feet: HashSet<(Slot, Side)>,
    /// Numbers in the row of another child that are asked about, by the ids of the questions.
    slips: HashSet<String>,
    new_id: &'a mut dyn FnMut() -> Uuid,
}

/// What a row would add to a child.
#[derive(Default)]
struct Additions {
    /// Not yet of any child and without an id.
    new: Vec<Entry>,
    there_known: usize,
    there_file: usize,
    /// What the record has with other values.
    changed: Vec<Remark>,
}

impl Planner<'_, '_> {
    fn row(&mut self, row: usize) {
        let number = self.reader.table.row_number(row);
        if let Some(&passed) = self.reader.map.passed.get(&row) {
            return self.pass_over(row, passed);
        }
        if let Err(reasons) = self.take(row, number) {
            self.report.add(number, Disposition::Refused, 0, reasons, Vec::new());
        }
    }

    /// A row that is no visit: left out where that is settled, and refused where it is not.
    fn pass_over(&mut self, row: usize, passed: PassedRow) {
        let (disposition, text) = match passed {
            PassedRow::Heading => (Disposition::PassedOver, "These are the headings again."),
            PassedRow::Merged => (Disposition::PassedOver, "This row is merged with the one above it."),
            PassedRow::LeftOut => {
                (Disposition::PassedOver, "A sum, a note or a footer, as the map file says.")
            }
            PassedRow::Footer => (
                Disposition::Refused,
                "This looks like a sum, a note or a footer and not like a visit; nothing of it is taken.",
            ),
        };
        let cells = (0..self.reader.table.headers.len()).map(|at| (at, self.reader.table.cell(row, at)));
        let first = cells.into_iter().find(|(_, cell)| !cell.is_blank());
        let (at, cell) = first.unwrap_or((0, crate::table::Cell::EMPTY));
        let remark = self.reader.remark(ImportReason::FooterRow, at, cell, text);
        self.report.add(self.reader.table.row_number(row), disposition, 0, vec![remark], Vec::new());
    }

    fn take(&mut self, row: usize, number: usize) -> Result<(), Refusals> {
        let mut read = self.reader.row(row)?;
        match self.taken(row, number, &mut read) {
            Ok(()) => Ok(()),
            Err(mut reasons) => {
                reasons.append(&mut read.questions);
                Err(reasons)
            }
        }
    }

    /// Takes in a row that could be read.
    fn taken(&mut self, row: usize, number: usize, read: &mut RowRead) -> Result<(), Refusals> {
        let alone = |refusal: Box<Remark>| vec![*refusal];
        let found = self.found(row, read).map_err(alone)?;
        self.not_before_birth(row, read, &found).map_err(alone)?;
        let first_day = read.first_day.unwrap_or(self.stamp.today);
        let feet = feet_of(read);
        let (lasting, asked) = self.reader.lasting(row, &feet);
        let mut additions = self.additions(std::mem::take(&mut read.events), &found);
        for body in lasting {
            if !self.children.says(found.slot, &body) && !additions.new.iter().any(|new| new.body == body) {
                additions.new.push(self.entry(first_day, body));
            }
        }
        read.questions.extend(asked);
        read.questions.append(&mut additions.changed);
        let registers = found.slot.is_none();
        let filled = self.registration(row, &found, first_day, read, &mut additions).map_err(alone)?;
        self.judge_all(row, &mut additions, read)?;
        let slot = match (found.slot, additions.new.first().map(|entry| &entry.body)) {
            (Some(slot), _) => slot,
            (None, Some(Body::Registration(body))) => {
                self.children.register(&read.who, body.clone(), first_day, self.new_id)
            }
            (None, _) => return Ok(()),
        };
        self.children.meet(slot, &read.who);
        self.feet.extend(feet.into_iter().map(|side| (slot, side)));
        let renewed = filled.is_some_and(|filled| self.fill(slot, filled, first_day));
        self.accept(number, slot, std::mem::take(read), additions, registers, renewed);
        Ok(())
    }

    /// Puts the registration of a new child first among the additions; gives back the filled registration
    /// of one met before, where the row tells more.
    fn registration(
        &self,
        row: usize,
        found: &Found,
        first_day: Day,
        read: &mut RowRead,
        additions: &mut Additions,
    ) -> Result<Option<Registration>, Box<Remark>> {
        if found.slot.is_some_and(|slot| !self.reader.may_fill(self.children.registration(slot))) {
            return Ok(None);
        }
        let (registration, unread) = self.reader.registration(row, read);
        read.questions.extend(unread);
        let Some(slot) = found.slot else {
            additions.new.insert(0, self.entry(first_day, registration.into()));
            return Ok(None);
        };
        let filled = self.children.filled(slot, &registration);
        if let Some(filled) = &filled {
            let entry = self.entry(self.children.registered_on(slot), filled.clone().into());
            self.judge(row, &entry, &mut read.questions)?;
        }
        Ok(filled)
    }

    fn found(&mut self, row: usize, read: &mut RowRead) -> Result<Found, Box<Remark>> {
        let child = &self.reader.layout.child;
        let found = match self.children.find(&read.who) {
            Ok(found) => found,
            Err((reason, text)) => {
                let at = child.number.or(child.name).or(child.family);
                let remark = self.reader.remark_at(reason, at, row, text);
                match reason {
                    ImportReason::PossibleMatch => return Err(Box::new(about_zeros(remark))),
                    ImportReason::NumberNameDiffers => self.despite_number(read, remark)?,
                    _ => return Err(Box::new(remark)),
                }
            }
        };
        if let Some((reason, text)) = &found.question {
            let at = child.name.or(child.family);
            read.questions.push(self.reader.remark_at(*reason, at, row, text.clone()));
        }
        Ok(found)
    }

    /// Registers anew what a later row fills in: in its own entry where this import made it, in another
    /// where the child was known. Nothing on record is changed. `true` when an entry was added.
    fn fill(&mut self, slot: Slot, filled: Registration, day: Day) -> bool {
        let own = self.children.fill(slot, filled.clone());
        if let Some(entry) = own.and_then(|at| self.entries.get_mut(at)) {
            entry.body = filled.into();
            return false;
        }
        let on = self.children.registered_on(slot).max(day);
        let entry = self.entry(on, filled.into());
        self.children.registered_at(slot, self.entries.len());
        self.push(slot, entry);
        true
    }

    /// A birth told by one row counts for the others of the child.
    fn not_before_birth(&self, row: usize, read: &RowRead, found: &Found) -> Result<(), Box<Remark>> {
        let Some(slot) = found.slot else { return Ok(()) };
        let earlier = match (self.children.born(slot), read.who.born) {
            (Some(born), None) => read.first_day.filter(|day| *day < born).map(|day| (day, born)),
            (None, Some(born)) => {
                let first = self.children.registered_on(slot);
                (first < born).then_some((first, born))
            }
            _ => None,
        };
        let Some((day, born)) = earlier else { return Ok(()) };
        let at = self.reader.layout.visits.iter().find_map(|visit| visit.date);
        let text = format!("{} is before the date of birth, {}.", day.words(), born.words());
        Err(Box::new(self.reader.remark_at(ImportReason::BeforeBirth, at, row, text)))
    }

    /// What of the row is not there yet.
    fn additions(&mut self, events: Vec<(Day, Event)>, found: &Found) -> Additions {
        let mut out = Additions::default();
        for (day, event) in events {
            let body = match event {
                Event::Body(body) => body,
                Event::Brace(said) => self.brace(found.slot, day, said, &out.new),
            };
            if out.new.iter().any(|new| new.on == day && new.body == body) {
                continue;
            }
            match found.slot.and_then(|slot| self.children.there(slot, day, &body, &self.entries)) {
                Some(true) => out.there_known += 1,
                Some(false) => out.there_file += 1,
                None => self.add_or_ask(found.slot, day, body, &mut out),
            }
        }
        out
    }

    /// A brace said to be fitted is fitted. One only named is fitted when it is the child's first, a
    /// change of hours when they differ from those before, and a review otherwise.
    fn brace(&self, slot: Option<Slot>, day: Day, said: BraceSaid, new: &[Entry]) -> Body {
        let mut earlier: Vec<children::BraceOn> =
            slot.map_or(Vec::new(), |slot| self.children.braces(slot, day));
        let here = new.iter().filter(|new| new.on < day);
        earlier.extend(here.filter_map(|new| children::brace_of(new.on, &new.body)));
        let last = earlier.into_iter().max_by_key(|(on, ..)| *on);
        match last {
            Some((_, regime, hours)) if !said.fitted => {
                let regime_differs = said.regime.is_some() && said.regime != regime;
                let hours_differ = said.hours.is_some() && said.hours != hours;
                if !regime_differs && !hours_differ {
                    return AppointmentAttended::default().into();
                }
                BraceChanged {
                    change: BraceChange::Hours,
                    brace: None,
                    regime: said.regime,
                    hours_prescribed: said.hours,
                    note: None,
                }
                .into()
            }
            _ => BraceFitted { regime: said.regime, hours_prescribed: said.hours, ..BraceFitted::default() }
                .into(),
        }
    }

    /// An entry that is not yet of a child.
    fn entry(&self, on: Day, body: Body) -> Entry {
        let Stamp { at, by, site, .. } = *self.stamp;
        let (id, child) = (EntryId::new(Uuid::nil()), ChildId::new(Uuid::nil()));
        Entry { id, child, body, on, at, by, site, follows: None }
    }

    fn push(&mut self, slot: Slot, mut entry: Entry) {
        entry.id = EntryId::new((self.new_id)());
        entry.child = self.children.id(slot);
        self.entries.push(entry);
    }

    fn accept(
        &mut self,
        number: usize,
        slot: Slot,
        read: RowRead,
        additions: Additions,
        registers: bool,
        renewed: bool,
    ) {
        let there = additions.there_known + additions.there_file;
        let nothing_new = additions.new.is_empty() && !renewed;
        let is_assessment = |entry: &&Entry| matches!(entry.body, Body::Assessment(_));
        let assessments = additions.new.iter().filter(is_assessment).count();
        for entry in additions.new {
            let at = self.entries.len();
            if let Body::Registration(_) = entry.body {
                self.children.registered_at(slot, at);
            } else {
                self.children.log(slot, entry.on, &entry.body, at);
            }
            self.push(slot, entry);
        }
        self.children.takes_place(slot, read.first_day, &mut self.entries);
        if nothing_new && !registers {
            let (reason, text) = if additions.there_file == 0 && (there > 0 || self.children.is_known(slot)) {
                (ImportReason::AlreadyThere, "Everything in this row is on record already.")
            } else {
                (ImportReason::SameRowAgain, "Everything in this row is in an earlier row of this file.")
            };
            let remark = Remark::on_row(reason, text);
            // The same row again may still be the only one that names a tenotomy, or holds what is in doubt
            // and therefore not compared.
            let mut asked = read.questions;
            let open = [
                ImportReason::MeaningInDoubt,
                ImportReason::ChangedVisit,
                ImportReason::SeveralOnRecord,
                ImportReason::ErrorValue,
                ImportReason::FormulaWithoutValue,
            ];
            asked.retain(|asked| {
                open.contains(&asked.reason)
                    || asked.reason == ImportReason::AlreadyThere
                    || (reason == ImportReason::SameRowAgain && asked.reason == ImportReason::TenotomyInWords)
            });
            let is_told = |asked: &Remark| asked.reason == ImportReason::AlreadyThere;
            let disposition =
                if asked.iter().all(is_told) { Disposition::Duplicate } else { Disposition::Question };
            if asked.is_empty() || there > 0 {
                asked.push(remark);
            }
            self.report.add(number, disposition, 0, asked, Vec::new());
            return;
        }
        let plain = |remark: &Remark| {
            matches!(remark.reason, ImportReason::MissedAppointment | ImportReason::PossibleMatch)
        };
        let mut said = read.questions;
        if registers {
            said.extend(self.matches(slot, number));
        }
        let disposition = if said.iter().all(plain) { Disposition::Imported } else { Disposition::Question };
        // The gravest first: what would be lost if nobody read it.
        said.sort_by_key(|remark| (plain(remark), remark.reason != ImportReason::TenotomyInWords));
        self.report.add(number, disposition, assessments, said, read.left_out);
    }

    /// Leaves out what an entry's own rules refuse, with the foot and day it belongs to; refuses the row
    /// where nothing else is left. Other findings become questions.
    fn judge_all(&self, row: usize, additions: &mut Additions, read: &mut RowRead) -> Result<(), Refusals> {
        let mut refused = Refusals::new();
        let mut costs: Vec<(Day, Option<Side>, Kind)> = Vec::new();
        for entry in &additions.new {
            if let Err(refusal) = self.judge(row, entry, &mut read.questions) {
                refused.push(*refusal);
                costs.push((entry.on, entry.body.side(), entry.kind()));
            }
        }
        if refused.is_empty() {
            return Ok(());
        }
        // What is of no foot costs its whole visit.
        let goes = |entry: &Entry| {
            costs.iter().any(|&(on, side, _)| entry.on == on && (side.is_none() || entry.body.side() == side))
        };
        let is_left =
            |entry: &Entry| !goes(entry) && !matches!(entry.body, Body::Registration(_) | Body::Diagnosis(_));
        let whole = costs.iter().any(|&(_, _, kind)| kind == Kind::Registration);
        if whole || !additions.new.iter().any(is_left) {
            return Err(refused);
        }
        for (on, side, _) in &costs {
            let words = side.map_or_else(|| "the visit".to_owned(), |side| format!("the {side} foot"));
            read.left_out.push(format!("{words} on {}", on.words()));
        }
        additions.new.retain(|entry| !goes(entry));
        refused.append(&mut read.questions);
        read.questions = refused;
        Ok(())
    }

    /// What an entry's own rules say of it: a refusal, or questions.
    fn judge(&self, row: usize, entry: &Entry, questions: &mut Vec<Remark>) -> Result<(), Box<Remark>> {
        for finding in entry.findings() {
            let text = finding.text;
            let reason = match (finding.severity, finding.field) {
                // Asked about already, with its cell.
                (Severity::Ask, "stated_total") => continue,
                (Severity::Ask, _) => ImportReason::UnusualValue,
                (Severity::Refuse, _) if text.contains("characters") => ImportReason::TextTooLong,
                (Severity::Refuse, _) => ImportReason::ImpossibleValue,
            };
            let at = self.reader.column_of(finding.field, entry.body.side());
            let remark = self.reader.remark_at(reason, at, row, text);
            if finding.severity == Severity::Refuse {
                return Err(Box::new(remark));
            }
            questions.push(remark);
        }
        Ok(())
    }

    fn finish(&mut self) {
        self.report.children = self.children.count();
        self.report.new_children = self.children.count_new();
        self.report.affected_feet = self.feet.len();
        self.report.entries = self.entries.len();
        self.report.possible_matches = self.report.matches.len();
        let asked = self.reader.map.questions.iter().chain(&self.reader.states.questions).cloned();
        self.report.questions = std::mem::take(&mut self.report.grouped).together(asked);
        self.file_remarks();
        self.report.name_sheets(self.reader.table);
    }

    /// What is to be said of the file as a whole.
    fn file_remarks(&mut self) {
        let layout = &self.reader.layout;
        let child = &layout.child;
        self.report.remarks.extend(self.reader.table.source.misnamed());
        self.report.remarks.extend(self.reader.states.remarks.iter().cloned());
        if self.reader.table.is_put_together() {
            let text =
                "Each row of the file is one measurement: those of one child, day and foot are put together.";
            self.report.remarks.push(text.to_owned());
        }
        let mut say = |text: &str| self.report.remarks.push(text.to_owned());
        if self.reader.table.turned {
            say(
                "The sheet has each visit in a column: row 2 of this report is its column B, row 3 column C.",
            );
        }
        if child.number.is_none() && child.name.is_none() && child.family.is_none() && child.given.is_none() {
            say(
                "No column was understood as a hospital number or a name, so no row can be imported: name the columns in a map file.",
            );
        } else if child.number.is_none() && child.born.is_none() {
            say(
                "There is neither a hospital number nor a date of birth: children of the same name are taken as one child.",
            );
        }
        if self.reader.map.languages.first() == Some(&"am") {
            say(
                "The headings are Amharic: every date is read in the Gregorian calendar. Ethiopian dates look the same and lie seven or eight years back: change them before the import.",
            );
        }
        if layout.visits.iter().all(|visit| visit.date.is_none() && visit.cast_dates.is_empty()) {
            say("No column was understood as the date of a visit.");
        }
        if !self.reader.untreated.is_empty() {
            let count = self.reader.untreated.len();
            say(&format!(
                "{count} children have one foot that is scored 0 in every row and another that is affected: the scores of both are imported, and no treatment is recorded for the foot that is scored 0."
            ));
        }
        let unknown: Vec<String> =
            self.reader.map.unknown().take(12).map(|column| format!("“{}”", column.header)).collect();
        if !unknown.is_empty() {
            self.report.remarks.push(format!("Not understood and not imported: {}.", unknown.join(", ")));
        }
    }
}
