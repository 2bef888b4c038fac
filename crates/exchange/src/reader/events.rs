//! From what a visit says to the bodies of entries.

use super::{BraceSaid, Event, Reader, Refusal, Refusals, RowRead, RowVisit, foot::FootValues, needs_foot};
use crate::{
    ImportReason, Meaning, Remark,
    sides::WordSide,
    text::fold,
    values::{self, Read},
    words::done::{self, Act},
};
use record::{
    AppointmentAttended, AppointmentMade, AppointmentMissed, Body, BraceChange, BraceChanged, CastApplied,
    CastPurpose, CastRemoved, Day, Death, Diagnosis, Discharge, DischargeReason, LostDeclared, Note,
    OtherSurgery, Problem, Referral, RelapseNoted, RemovalReason, Side, TenotomyBooked, TenotomyDone,
    Transfer,
};

impl Reader<'_> {
    /// Adds what the visit says as events.
    pub(super) fn write(
        &self,
        mut visit: RowVisit<'_>,
        feet: Vec<FootValues>,
        out: &mut RowRead,
    ) -> Result<(), Refusal> {
        let before = out.events.len();
        let day = visit.day;
        let scored = feet.iter().any(|foot| !foot.assessment.is_empty());
        self.miss(&mut visit, scored, out);
        for foot in feet {
            self.foot_events(&visit, foot, out);
        }
        self.child_acts(&visit, out);
        self.hours(&visit, out);
        self.next(&visit, out)?;
        self.declared(&mut visit, out)?;
        self.remarks(&visit, out);
        let review = visit.came || visit.acts.iter().any(|(_, act)| *act == Act::Review);
        let elsewhere =
            self.layout.diagnosis.iter().any(|&(_, _, at)| !self.text(visit.row, Some(at)).is_empty());
        if (review || (out.events.len() == before && !elsewhere)) && !visit.missed {
            out.events.push((day, Event::Body(AppointmentAttended::default().into())));
        }
        Ok(())
    }

    fn miss(&self, visit: &mut RowVisit<'_>, scored: bool, out: &mut RowRead) {
        if !visit.missed {
            return;
        }
        let at = visit.columns.done.first().map(|&(_, at)| at).or(visit.columns.attended);
        if scored || !visit.acts.is_empty() {
            visit.missed = false;
            let text = "The row says that the child did not come, yet it was scored or treated; the words are kept as a note.";
            out.questions.push(self.remark_at(ImportReason::MissedButScored, at, visit.row, text));
            visit.noted.extend(at);
            return;
        }
        out.events.push((visit.day, Event::Body(AppointmentMissed::default().into())));
        let text = "The child was expected and did not come.";
        out.questions.push(self.remark_at(ImportReason::MissedAppointment, at, visit.row, text));
    }

    fn foot_events(&self, visit: &RowVisit<'_>, foot: FootValues, out: &mut RowRead) {
        let (day, side) = (visit.day, foot.assessment.side);
        let named = visit.named.is_empty() || visit.named.contains(&side);
        let spared = visit.named.is_empty()
            && !self.untreated.is_empty()
            && self.untreated.contains(&(self.key(visit.row), side));
        // Words that name the foot count for it, whatever its scores.
        let of_foot = |of: Option<Side>| of.map_or(named && !spared, |of| of == side);
        let acts = visit.acts.iter().filter(|(of, _)| of_foot(*of)).map(|(_, act)| act);
        let acts: Vec<&Act> = acts.collect();
        let mut push = |body: Body| out.events.push((day, Event::Body(body)));
        let FootValues { mut assessment, cast_number, material, tenotomy, relapse, .. } = foot;
        if !assessment.is_empty() || assessment.note.is_some() {
            let by = self.text(visit.row, visit.columns.seen_by);
            assessment.scored_by = (!by.is_empty()).then(|| by.to_owned());
            push(assessment.into());
        }
        let tenotomy = tenotomy || acts.contains(&&Act::Tenotomy);
        if tenotomy || acts.contains(&&Act::TenotomyOnly) {
            push(TenotomyDone::on(side).into());
        }
        if relapse && !acts.contains(&&Act::Relapse) {
            push(RelapseNoted { side, grade: None, note: None }.into());
        }
        let mut numbers: Vec<u8> = cast_number.into_iter().collect();
        let mut cast = CastApplied { number: cast_number, material, ..CastApplied::on(side) };
        let mut cast_on = tenotomy || self.cast_dated(visit, side);
        for act in &acts {
            if let Act::Cast(said) = act {
                cast_on = true;
                cast.material = cast.material.or(said.material);
                cast.purpose = cast.purpose.or(said.purpose);
                numbers.extend(said.number);
            }
        }
        let silent = visit.columns.done.iter().all(|&(_, at)| self.text(visit.row, Some(at)).is_empty());
        cast_on |= cast_number.is_some() && silent && !spared && visit.noted.is_empty() && !visit.missed;
        cast.number = self.one_cast_number(visit, side, &numbers, out);
        let mut push = |body: Body| out.events.push((day, Event::Body(body)));
        if cast_on {
            if tenotomy {
                cast.purpose = Some(CastPurpose::AfterTenotomy);
            }
            push(cast.into());
        }
        for act in acts {
            if let Some(body) = foot_act(act, side) {
                push(body);
            }
        }
    }

    /// The number of a cast, where its column and the words do not contradict each other.
    fn one_cast_number(
        &self,
        visit: &RowVisit<'_>,
        side: Side,
        numbers: &[u8],
        out: &mut RowRead,
    ) -> Option<u8> {
        let first = *numbers.first()?;
        let Some(other) = numbers.iter().find(|&&number| number != first) else { return Some(first) };
        let at = visit
            .columns
            .foot
            .iter()
            .find(|(of, meaning, _)| *meaning == Meaning::CastNumber && of.is_none_or(|of| of == side));
        let why =
            format!("The {side} cast would be number {first} and number {other}; its number is left out.");
        let remark = |&(_, _, at): &(Option<Side>, Meaning, usize)| {
            self.remark(ImportReason::UnreadableValue, at, self.cell(visit.row, at), why)
        };
        out.questions.extend(at.map(remark));
        None
    }

    fn cast_dated(&self, visit: &RowVisit<'_>, side: Side) -> bool {
        visit
            .columns
            .cast_dates
            .iter()
            .any(|&(of, at)| of.is_none_or(|of| of == side) && !self.text(visit.row, Some(at)).is_empty())
    }

    /// Acts that belong to the child and not to a foot.
    fn child_acts(&self, visit: &RowVisit<'_>, out: &mut RowRead) {
        let at = visit.columns.done.first().map_or("", |&(_, at)| self.text(visit.row, Some(at)));
        for (_, act) in visit.acts.iter().filter(|(_, act)| !needs_foot(act)) {
            let body: Body = match act {
                Act::Brace { fitted, regime, hours } => {
                    let said = BraceSaid { fitted: *fitted, regime: *regime, hours: *hours };
                    out.events.push((visit.day, Event::Brace(said)));
                    continue;
                }
                Act::BraceStopped => changed(BraceChange::Stopped).into(),
                Act::NewSize => changed(BraceChange::Size).into(),
                Act::Discharged(completed) => {
                    let reason = if *completed { DischargeReason::Completed } else { DischargeReason::Other };
                    Discharge { reason, note: Some(at.to_owned()).filter(|_| !completed) }.into()
                }
                Act::Transferred => Transfer::default().into(),
                Act::Died => Death::default().into(),
                Act::Lost => LostDeclared::default().into(),
                Act::Problem(what) => {
                    let side = if let [side] = visit.named[..] { Some(side) } else { None };
                    Problem { side, ..Problem::of(*what) }.into()
                }
                _ => continue,
            };
            out.events.push((visit.day, Event::Body(body)));
        }
    }

    /// A column of hours: joined to the brace of the visit, or said of the brace by itself.
    fn hours(&self, visit: &RowVisit<'_>, out: &mut RowRead) {
        let Some(column) = visit.columns.hours else { return };
        let text = self.text(visit.row, Some(column));
        if text.is_empty() {
            return;
        }
        let hours = if let Read::Value(hours @ 1..=24) = values::whole(text) {
            u8::try_from(hours).ok()
        } else {
            None
        };
        let plain = hours.map_or_else(|| fold(text), |hours| format!("{hours}h"));
        let (regime, hours) = done::regime(&plain);
        if regime.is_none() && hours.is_none() {
            if values::whole(text) != Read::Value(0) {
                let why = "This does not say how many hours the brace is prescribed; it is kept as a note.";
                out.questions.push(self.remark(
                    ImportReason::UnreadableValue,
                    column,
                    self.cell(visit.row, column),
                    why,
                ));
                self.note(visit.day, &format!("{}: {text}", self.column_name(column)), out);
            }
            return;
        }
        let joined = out.events.iter_mut().rev().find_map(|(day, event)| match event {
            Event::Brace(said) if *day == visit.day => Some(said),
            _ => None,
        });
        match joined {
            Some(said) => {
                said.regime = said.regime.or(regime);
                said.hours = said.hours.or(hours);
            }
            None => out.events.push((visit.day, Event::Brace(BraceSaid { fitted: false, regime, hours }))),
        }
    }

    fn next(&self, visit: &RowVisit<'_>, out: &mut RowRead) -> Result<(), Refusal> {
        let Some(column) = visit.columns.next else { return Ok(()) };
        match self.date(visit.row, column) {
            Ok(None) => {}
            Ok(Some(for_day)) => {
                let body = AppointmentMade { for_day, time: None, purpose: None };
                out.events.push((visit.day, Event::Body(body.into())));
            }
            Err(refusal) if refusal.reason == ImportReason::AmbiguousDate => return Err(refusal),
            Err(refusal) => {
                let text = self.text(visit.row, Some(column));
                let why =
                    "This cannot be read as the day of an appointment; it is kept as a note.".to_owned();
                let Remark { column: name, value, .. } = *refusal;
                out.questions.push(Remark {
                    column: name,
                    value,
                    ..Remark::on_row(ImportReason::UnreadableValue, why)
                });
                self.note(visit.day, &format!("{}: {text}", self.column_name(column)), out);
            }
        }
        Ok(())
    }

    fn remarks(&self, visit: &RowVisit<'_>, out: &mut RowRead) {
        for &column in &visit.noted {
            let text = format!("{}: {}", self.column_name(column), self.text(visit.row, Some(column)));
            self.note(visit.day, &text, out);
        }
        for &(side, column) in &visit.columns.remarks {
            let text = self.text(visit.row, Some(column));
            if text.is_empty() {
                continue;
            }
            let said = side.map_or_else(|| text.to_owned(), |side| format!("{} foot: {text}", side.title()));
            self.note(visit.day, &said, out);
            let one = side.or(if let [side] = visit.named[..] { Some(side) } else { None });
            self.problem(visit.day, text, one, out);
        }
    }

    /// A remark that is one known phrase for a problem is that problem as well as a note.
    fn problem(&self, day: Day, text: &str, side: Option<Side>, out: &mut RowRead) {
        let Ok(acts) = done::acts_in(text) else { return };
        let body: Body = match (&acts[..], side) {
            ([Act::Problem(what)], _) => Problem { side, ..Problem::of(*what) }.into(),
            ([Act::CastOff(why @ RemovalReason::Slipped)], Some(side)) => {
                CastRemoved { side, why: *why, note: None }.into()
            }
            _ => return,
        };
        out.events.push((day, Event::Body(body)));
    }

    fn note(&self, day: Day, text: &str, out: &mut RowRead) {
        out.events.push((day, Event::Body(Note { text: text.to_owned() }.into())));
    }

    /// Dated things of the child other than its visits, and what is known of the feet for good. A cell that
    /// cannot be read costs what it dates.
    pub(super) fn events(&self, row: usize, out: &mut RowRead, costs: &mut Refusals) {
        for &(meaning, side, column) in &self.layout.events {
            if matches!(values::yes_no(self.text(row, Some(column))), Read::Value(false))
                || is_not_yet(self.text(row, Some(column)))
            {
                continue;
            }
            let event = match self.date(row, column) {
                Ok(None) => continue,
                Ok(Some(day)) => self.dated(row, (meaning, side, column), day, out),
                Err(refusal) => Err(refusal),
            };
            if let Err(refusal) = event {
                out.left_out.push(format!("the {}", meaning.words()));
                costs.push(*refusal);
            }
        }
    }

    /// What a column of dates says of a day.
    fn dated(
        &self,
        row: usize,
        (meaning, side, column): (Meaning, Option<Side>, usize),
        day: Day,
        out: &mut RowRead,
    ) -> Result<(), Refusal> {
        let feet = side.map_or_else(|| out.feet.clone(), |side| vec![side]);
        let of_foot = matches!(meaning, Meaning::TenotomyDate | Meaning::RelapseDate);
        let cell = self.cell(row, column);
        if of_foot && feet.is_empty() {
            let text = "The row does not say which foot.";
            return Err(self.refuse(ImportReason::UnknownSide, column, cell, text));
        }
        // One date for two feet: each may have its own, or one of them none.
        if of_foot && feet.len() > 1 && self.is_of_both(column) == Some(false) {
            self.note(day, &format!("{}: {}", self.column_name(column), cell.trimmed()), out);
            out.left_out.push(format!("the {}", meaning.words()));
            let why = "One date for both feet; it is kept as a note, and nothing is taken as done.";
            out.questions.push(self.remark(ImportReason::UnknownSide, column, cell, why));
            return Ok(());
        }
        if of_foot && feet.len() > 1 && self.is_of_both(column).is_none() {
            let text = format!(
                "The row is about both feet and gives one {}: it may be that of the right foot, of the left, or of both.",
                meaning.words()
            );
            let remark = self.remark(ImportReason::UnknownSide, column, cell, text);
            return Err(Box::new(self.ask_about_both(column, meaning, remark)));
        }
        let mut push = |body: Body| out.events.push((day, Event::Body(body)));
        match meaning {
            Meaning::TenotomyDate => feet.into_iter().for_each(|side| push(TenotomyDone::on(side).into())),
            Meaning::RelapseDate => {
                feet.into_iter().for_each(|side| push(RelapseNoted { side, grade: None, note: None }.into()));
            }
            Meaning::BraceDate => {
                out.events.push((day, Event::Brace(BraceSaid { fitted: true, regime: None, hours: None })));
            }
            Meaning::ReferralDate => {
                let from = self.text(row, self.layout.referred_from);
                push(Referral { from: (!from.is_empty()).then(|| from.to_owned()), reason: None }.into());
            }
            Meaning::DischargeDate => push(Discharge { reason: DischargeReason::Other, note: None }.into()),
            Meaning::DeathDate => push(Death::default().into()),
            _ => {}
        }
        Ok(())
    }

    /// What holds for the child from its first day: written once, when the record does not say it yet.
    pub(crate) fn lasting(&self, row: usize, feet: &[Side]) -> (Vec<Body>, Vec<Remark>) {
        let (mut bodies, mut questions) = (Vec::new(), Vec::new());
        for side in Side::BOTH {
            let mut body = Diagnosis { side, nature: None, complex: None, earlier_treatment: None };
            for &(meaning, of, at) in &self.layout.diagnosis {
                let text = self.text(row, Some(at));
                if text.is_empty() || of.map_or(!feet.contains(&side), |of| of != side) {
                    continue;
                }
                self.diagnose(row, meaning, at, &mut body, &mut questions, &mut bodies);
            }
            if body.nature.is_some() || body.complex.is_some() || body.earlier_treatment.is_some() {
                bodies.push(body.into());
            }
        }
        for column in [self.layout.cast_count, self.layout.referred_from].into_iter().flatten() {
            let text = self.text(row, Some(column));
            let told = self.layout.referred_from == Some(column)
                && self.layout.events.iter().any(|(meaning, ..)| *meaning == Meaning::ReferralDate);
            if !text.is_empty() && !told {
                bodies.push(Note { text: format!("{}: {text}", self.column_name(column)) }.into());
            }
        }
        bodies.dedup();
        questions.dedup();
        (bodies, questions)
    }

    /// The feet that the words of a diagnosis name, and the words without them: "R clubfoot".
    fn without_feet(&self, text: &str) -> (Vec<Side>, String) {
        let (mut feet, mut rest) = (Vec::new(), Vec::new());
        let whole = fold(text);
        for word in whole.split(' ') {
            match self.cell_sides.of_word(word) {
                WordSide::Feet(named) => feet.extend(named.each()),
                WordSide::Doubtful | WordSide::Other => rest.push(word),
            }
        }
        (feet, rest.join(" "))
    }

    fn diagnose(
        &self,
        row: usize,
        meaning: Meaning,
        at: usize,
        body: &mut Diagnosis,
        questions: &mut Vec<Remark>,
        notes: &mut Vec<Body>,
    ) {
        let text = self.text(row, Some(at));
        let known = match meaning {
            Meaning::EarlierTreatment => {
                body.earlier_treatment = Some(text.to_owned());
                true
            }
            Meaning::Complex => match (values::yes_no(text), values::nature(text)) {
                (Read::Value(complex), _) => {
                    body.complex = Some(complex);
                    true
                }
                (_, Some((_, complex @ Some(_)))) => {
                    body.complex = complex;
                    true
                }
                _ => false,
            },
            _ => {
                let (named, rest) = self.without_feet(text);
                let other = !named.is_empty() && !named.contains(&body.side);
                values::nature(text).or_else(|| values::nature(&rest)).is_some_and(|(nature, complex)| {
                    if other {
                        let why = format!(
                            "The diagnosis names another foot than the {}, of which the row says something.",
                            body.side
                        );
                        questions.push(self.remark(ImportReason::UnknownSide, at, self.cell(row, at), why));
                    } else {
                        body.nature = body.nature.or(nature);
                        body.complex = body.complex.or(complex);
                    }
                    true
                })
            }
        };
        if !known {
            let why = "This word for the kind of clubfoot is not known; it is kept as a note.";
            questions.push(self.remark(ImportReason::UnknownWord, at, self.cell(row, at), why));
            notes.push(Note { text: format!("{}: {text}", self.column_name(at)) }.into());
        }
    }
}

/// The feet a row is about: those it names, else those it says something of.
pub(crate) fn feet_of(read: &RowRead) -> Vec<Side> {
    if !read.feet.is_empty() {
        return read.feet.clone();
    }
    let of = |event: &Event| if let Event::Body(body) = event { body.side() } else { None };
    let said: Vec<Side> = read.events.iter().filter_map(|(_, event)| of(event)).collect();
    Side::BOTH.into_iter().filter(|side| said.contains(side)).collect()
}

fn foot_act(act: &Act, side: Side) -> Option<Body> {
    Some(match act {
        Act::CastOff(why) => CastRemoved { side, why: *why, note: None }.into(),
        Act::TenotomyBooked => TenotomyBooked { side, planned_on: None, place: None }.into(),
        Act::Relapse => RelapseNoted { side, grade: None, note: None }.into(),
        Act::Surgery(procedure) => OtherSurgery { side, procedure: *procedure, note: None }.into(),
        _ => return None,
    })
}

const fn changed(change: BraceChange) -> BraceChanged {
    BraceChanged { change, brace: None, regime: None, hours_prescribed: None, note: None }
}

/// Words in a date column for something that has not happened.
fn is_not_yet(text: &str) -> bool {
    matches!(
        fold(text).as_str(),
        "pending"
            | "not yet"
            | "nil"
            | "awaiting"
            | "awaited"
            | "not needed"
            | "not required"
            | "not applicable"
    )
}
