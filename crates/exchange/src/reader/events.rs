//! From what a sitting says to the bodies of entries.

use super::{BraceSaid, Event, Reader, Refusal, RowRead, Sitting, foot::FootValues, needs_foot};
use crate::{
    ImportReason, Meaning, Remark,
    text::fold,
    values::{self, Read},
    words::done::{self, Act, Said},
};
use record::{
    AppointmentAttended, AppointmentMade, AppointmentMissed, Body, BraceChange, BraceChanged, CastApplied,
    CastPurpose, CastRemoved, Day, Death, Diagnosis, Discharge, DischargeReason, LostDeclared, Note,
    OtherSurgery, Problem, Referral, RelapseNoted, RemovalReason, Side, TenotomyBooked, TenotomyDone,
    Transfer,
};

impl Reader<'_> {
    /// Adds what the sitting says as events.
    pub(super) fn write(
        &self,
        mut sitting: Sitting<'_>,
        feet: Vec<FootValues>,
        out: &mut RowRead,
    ) -> Result<(), Refusal> {
        let before = out.events.len();
        let day = sitting.day;
        let scored = feet.iter().any(|foot| !foot.assessment.is_empty());
        self.miss(&mut sitting, scored, out);
        for foot in feet {
            self.foot_events(&sitting, foot, out);
        }
        self.child_acts(&sitting, out);
        self.hours(&sitting, out);
        self.next(&sitting, out)?;
        self.declared(&mut sitting, out)?;
        self.remarks(&sitting, out);
        let review = sitting.came || sitting.acts.iter().any(|(_, act)| *act == Act::Review);
        let elsewhere =
            self.layout.diagnosis.iter().any(|&(_, _, at)| !self.text(sitting.row, Some(at)).is_empty());
        if (review || (out.events.len() == before && !elsewhere)) && !sitting.missed {
            out.events.push((day, Event::Body(AppointmentAttended::default().into())));
        }
        Ok(())
    }

    fn miss(&self, sitting: &mut Sitting<'_>, scored: bool, out: &mut RowRead) {
        if !sitting.missed {
            return;
        }
        let at = sitting.columns.done.first().map(|&(_, at)| at).or(sitting.columns.attended).unwrap_or(0);
        let cell = self.cell(sitting.row, at);
        if scored || !sitting.acts.is_empty() {
            sitting.missed = false;
            let text = "The row says that the child did not come, yet it was scored or treated; the words are kept as a note.";
            out.questions.push(self.remark(ImportReason::MissedButScored, at, cell, text));
            sitting.noted.push(at);
            return;
        }
        out.events.push((sitting.day, Event::Body(AppointmentMissed::default().into())));
        let text = "The child was expected and did not come.";
        out.questions.push(self.remark(ImportReason::MissedAppointment, at, cell, text));
    }

    fn foot_events(&self, sitting: &Sitting<'_>, foot: FootValues, out: &mut RowRead) {
        let (day, side) = (sitting.day, foot.assessment.side);
        let acts: Vec<&Act> = sitting
            .acts
            .iter()
            .filter(|(of, _)| of.is_none_or(|of| of == side))
            .map(|(_, act)| act)
            .collect();
        let named = sitting.named.is_empty() || sitting.named.contains(&side);
        let spared = sitting.named.is_empty()
            && !self.untreated.is_empty()
            && self.untreated.contains(&(self.key(sitting.row), side));
        let acts = if named && !spared { acts } else { Vec::new() };
        let mut push = |body: Body| out.events.push((day, Event::Body(body)));
        let FootValues { mut assessment, cast_number, material, tenotomy, relapse, .. } = foot;
        if !assessment.is_empty() || assessment.note.is_some() {
            let by = self.text(sitting.row, sitting.columns.seen_by);
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
        let mut cast = CastApplied { number: cast_number, material, ..CastApplied::on(side) };
        let mut cast_on = tenotomy || self.cast_dated(sitting, side);
        for act in &acts {
            if let Act::Cast(of, purpose) = act {
                cast_on = true;
                cast.material = cast.material.or(*of);
                cast.purpose = cast.purpose.or(*purpose);
            }
        }
        let silent = sitting.columns.done.iter().all(|&(_, at)| self.text(sitting.row, Some(at)).is_empty());
        cast_on |= cast_number.is_some() && silent && !spared && sitting.noted.is_empty() && !sitting.missed;
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

    fn cast_dated(&self, sitting: &Sitting<'_>, side: Side) -> bool {
        sitting
            .columns
            .cast_dates
            .iter()
            .any(|&(of, at)| of.is_none_or(|of| of == side) && !self.text(sitting.row, Some(at)).is_empty())
    }

    /// Acts that belong to the child and not to a foot.
    fn child_acts(&self, sitting: &Sitting<'_>, out: &mut RowRead) {
        let at = sitting.columns.done.first().map_or("", |&(_, at)| self.text(sitting.row, Some(at)));
        for (_, act) in sitting.acts.iter().filter(|(_, act)| !needs_foot(act)) {
            let body: Body = match act {
                Act::Brace { fitted, regime, hours } => {
                    let said = BraceSaid { fitted: *fitted, regime: *regime, hours: *hours };
                    out.events.push((sitting.day, Event::Brace(said)));
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
                    let side = if let [side] = sitting.named[..] { Some(side) } else { None };
                    Problem { side, ..Problem::of(*what) }.into()
                }
                _ => continue,
            };
            out.events.push((sitting.day, Event::Body(body)));
        }
    }

    /// A column of hours: joined to the brace of the sitting, or said of the brace by itself.
    fn hours(&self, sitting: &Sitting<'_>, out: &mut RowRead) {
        let Some(column) = sitting.columns.hours else { return };
        let text = self.text(sitting.row, Some(column));
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
                    self.cell(sitting.row, column),
                    why,
                ));
                self.note(sitting.day, &format!("{}: {text}", self.column_name(column)), out);
            }
            return;
        }
        let joined = out.events.iter_mut().rev().find_map(|(day, event)| match event {
            Event::Brace(said) if *day == sitting.day => Some(said),
            _ => None,
        });
        match joined {
            Some(said) => {
                said.regime = said.regime.or(regime);
                said.hours = said.hours.or(hours);
            }
            None => out.events.push((sitting.day, Event::Brace(BraceSaid { fitted: false, regime, hours }))),
        }
    }

    fn next(&self, sitting: &Sitting<'_>, out: &mut RowRead) -> Result<(), Refusal> {
        let Some(column) = sitting.columns.next else { return Ok(()) };
        match self.date(sitting.row, column) {
            Ok(None) => {}
            Ok(Some(for_day)) => {
                let body = AppointmentMade { for_day, time: None, purpose: None };
                out.events.push((sitting.day, Event::Body(body.into())));
            }
            Err(refusal) if refusal.reason == ImportReason::AmbiguousDate => return Err(refusal),
            Err(refusal) => {
                let text = self.text(sitting.row, Some(column));
                let why =
                    "This cannot be read as the day of an appointment; it is kept as a note.".to_owned();
                out.questions.push(Remark { reason: ImportReason::UnreadableValue, text: why, ..*refusal });
                self.note(sitting.day, &format!("{}: {text}", self.column_name(column)), out);
            }
        }
        Ok(())
    }

    fn remarks(&self, sitting: &Sitting<'_>, out: &mut RowRead) {
        for &column in &sitting.noted {
            let text = format!("{}: {}", self.column_name(column), self.text(sitting.row, Some(column)));
            self.note(sitting.day, &text, out);
        }
        for &(side, column) in &sitting.columns.remarks {
            let text = self.text(sitting.row, Some(column));
            if text.is_empty() {
                continue;
            }
            let said = side.map_or_else(|| text.to_owned(), |side| format!("{} foot: {text}", side.title()));
            self.note(sitting.day, &said, out);
            let one = side.or(if let [side] = sitting.named[..] { Some(side) } else { None });
            self.problem(sitting.day, text, one, out);
        }
    }

    /// A remark that is one known phrase for a problem is that problem as well as a note.
    fn problem(&self, day: Day, text: &str, side: Option<Side>, out: &mut RowRead) {
        let Said::Acts(acts) = done::read(text) else { return };
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

    /// Dated things of the child beside its visits, and what is known of the feet for good.
    pub(super) fn events(&self, row: usize, out: &mut RowRead) -> Result<(), Refusal> {
        for &(meaning, side, column) in &self.layout.events {
            if matches!(values::yes_no(self.text(row, Some(column))), Read::Value(false))
                || is_not_yet(self.text(row, Some(column)))
            {
                continue;
            }
            let Some(day) = self.date(row, column)? else { continue };
            let feet = side.map_or_else(|| out.feet.clone(), |side| vec![side]);
            let of_foot = matches!(meaning, Meaning::TenotomyDate | Meaning::RelapseDate);
            if of_foot && feet.is_empty() {
                let text = "The row does not say which foot.";
                return Err(self.refuse(ImportReason::UnknownSide, column, self.cell(row, column), text));
            }
            let mut push = |body: Body| out.events.push((day, Event::Body(body)));
            match meaning {
                Meaning::TenotomyDate => {
                    feet.into_iter().for_each(|side| push(TenotomyDone::on(side).into()))
                }
                Meaning::RelapseDate => {
                    feet.into_iter()
                        .for_each(|side| push(RelapseNoted { side, grade: None, note: None }.into()));
                }
                Meaning::BraceDate => {
                    out.events
                        .push((day, Event::Brace(BraceSaid { fitted: true, regime: None, hours: None })));
                }
                Meaning::ReferralDate => {
                    let from = self.text(row, self.layout.referred_from);
                    push(Referral { from: (!from.is_empty()).then(|| from.to_owned()), reason: None }.into());
                }
                Meaning::DischargeDate => {
                    push(Discharge { reason: DischargeReason::Other, note: None }.into())
                }
                Meaning::DeathDate => push(Death::default().into()),
                _ => {}
            }
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
            _ => values::nature(text).is_some_and(|(nature, complex)| {
                body.nature = body.nature.or(nature);
                body.complex = body.complex.or(complex);
                true
            }),
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
