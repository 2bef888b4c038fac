//! One entry: as it was written, how it was amended, and correcting or withdrawing it.

use super::{
    confirm, form_drafts,
    steps::{self, StepLog, StepToSave},
    submission::{Draft, Submission},
};
use crate::{
    app::App,
    clock,
    forms::{self, Reader},
    web::{Fail, PageResult, PostedTo, Shared, Visitor, again, page as shown_page, to, work},
};
use axum::extract::{Path, State};
use clinic::{ChildRecord, TakeBack};
use course::{CorrectedLog, Fate, Line, VisitPart};
use pages::{
    Amendment, EntryView, Frame, Here, StepShown,
    fields::{self, FieldError, Filled},
};
use record::{Body, ChildId, Correction, Day, Entry, EntryId, UserId, Withdrawal};

const NO_REASON: &str = "A reason is needed, so that others can follow what happened.";

/// The forms of the page.
#[derive(Default)]
struct Forms {
    correct: Option<Filled>,
    withdraw: Filled,
    take_back: Filled,
}

/// One entry.
pub async fn page(
    State(app): State<Shared>,
    visitor: Visitor,
    Path((child, entry)): Path<(ChildId, EntryId)>,
) -> PageResult {
    let (mut frame, user) = (app.frame(&visitor, Here::Child), visitor.user()?);
    let shown = work(&app, move |app| {
        let name = |what: &str| format!("/child/{child}/entry/{entry}/{what}");
        let forms = Forms {
            correct: form_drafts::restored(app, user, &name("correct"), &mut frame)?,
            withdraw: form_drafts::restored(app, user, &name("withdraw"), &mut frame)?.unwrap_or_default(),
            take_back: Filled::default(),
        };
        drawn(app, &frame, child, entry, forms)
    });
    shown_page(shown.await?)
}

fn drawn(app: &App, frame: &Frame, child: ChildId, id: EntryId, forms: Forms) -> Result<maud::Markup, Fail> {
    // Entries of later days may amend this one, so the whole log is read.
    let known = app.known(child, Day::LAST)?;
    let reading = CorrectedLog::of(&known.entries, Day::LAST);
    let line = line(&reading, id)?;
    app.may_see(frame.rights, line.entry)?;
    let current = in_force(line);
    let written = |entry: &Entry| (app.name_of(entry.by), clock::local_words(entry.at));
    let (by, when) = written(line.entry);
    let amendments = known.entries.iter().filter(|entry| entry.body.amends() == Some(id)).map(|entry| {
        let (by, written) = written(entry);
        Amendment { entry, by, written }
    });
    let name = |what: &str| format!("/child/{child}/entry/{id}/{what}");
    let correct = forms.correct.unwrap_or_else(|| current.map(prefilled).unwrap_or_default());
    let correct = correct.with(fields::DRAFT, name("correct"));
    let withdraw = forms.withdraw.with(fields::DRAFT, name("withdraw"));
    let view = EntryView {
        who: app.who(&app.known(child, app.clock.today())?.outlook.course),
        entry: line.entry,
        by,
        written: when,
        fate: line.fate,
        amendments: amendments.collect(),
        current,
        correct,
        withdraw,
        once: app.once().to_string(),
        step: step_shown(app, &known, line, forms.take_back)?,
        origin: origin(app, &known.entries, id)?,
        stock: super::stock_of_entry::of_entry(app, child, id)?,
        of_a_visit: current.is_some_and(|(_, body)| course::visit_part(body) == Some(VisitPart::Part)),
    };
    Ok(pages::entry(frame, &view))
}

fn prefilled((on, body): (Day, &Body)) -> Filled {
    fields::values_of(body).with(fields::ON, on.to_string())
}

fn line<'a>(reading: &CorrectedLog<'a>, id: EntryId) -> Result<Line<'a>, Fail> {
    reading.lines.iter().find(|line| line.entry.id == id).copied().ok_or_else(Fail::not_found)
}

/// The day and contents in force; none once withdrawn.
fn in_force<'a>(line: Line<'a>) -> Option<(Day, &'a Body)> {
    (!matches!(line.fate, Fate::Withdrawn { .. })).then_some((line.on, line.body))
}

/// What was written in one step with an entry, if the entry lists any.
fn step_shown(
    app: &App,
    known: &ChildRecord,
    line: Line<'_>,
    filled: Filled,
) -> Result<Option<StepShown>, Fail> {
    let Some(list) = line.entry.body.written_together() else { return Ok(None) };
    let said = |id: &EntryId| known.entries.iter().find(|entry| entry.id == *id);
    let entries = list.entries.iter().filter_map(said).map(|entry| (entry.id, entry.body.sentence()));
    let back = TakeBack::of(line.entry.child, &known.entries, line.entry.id);
    let other = match (list.other, list.counterpart) {
        (Some(child), Some(entry)) => {
            let name = app.who(&app.known(child, Day::LAST)?.outlook.course).shown_name();
            Some((format!("/child/{child}/entry/{entry}"), name))
        }
        _ => None,
    };
    Ok(Some(StepShown {
        entries: entries.collect(),
        other,
        can_be_taken_back: back.is_some(),
        since: back.map(|back| back.since).unwrap_or_default(),
        filled,
        seen: steps::seen(&StepLogs::of(app, line.entry.child, line.entry.id, None)?.all()),
    }))
}

/// The entry of another record from which this one was recorded again, with who wrote it there and when.
fn origin(app: &App, entries: &[Entry], id: EntryId) -> Result<Option<(String, String)>, Fail> {
    let steps = course::written_in_steps(entries);
    let list = steps.get(&id).and_then(|step| step.body.written_together());
    let Some((child, origin)) = list.and_then(|list| Some((list.other?, list.origin_of(id)?))) else {
        return Ok(None);
    };
    let Some(old) = app.records.entry(origin)? else { return Ok(None) };
    let written = format!("written there by {}, {}", app.name_of(old.by), clock::local_words(old.at));
    Ok(Some((format!("/child/{child}/entry/{origin}"), written)))
}

/// Takes back what was written in one step, in every record concerned.
pub async fn take_back(
    State(app): State<Shared>,
    visitor: Visitor,
    PostedTo { path: (child, step), by, filled }: PostedTo<(ChildId, EntryId)>,
) -> PageResult {
    let frame = app.frame(&visitor, Here::Child);
    steps::form_work(&app, format!("/child/{child}?done=taken-back"), move |app| {
        let submission = Submission::of_form(app, child, by, &filled);
        match taken_back(app, submission, step, &filled)? {
            Ok(()) => Ok(None),
            Err(take_back) => {
                let forms = Forms { take_back, ..Forms::default() };
                drawn(app, &frame, child, step, forms).map(Some)
            }
        }
    })
    .await
}

fn taken_back(
    app: &App,
    submission: Submission,
    step: EntryId,
    filled: &Filled,
) -> Result<Result<(), Filled>, Fail> {
    let logs = StepLogs::of(app, submission.child, step, Some(&submission))?;
    let gone = || Fail(pages::RequestError::Conflict("This step was taken back already.".to_owned()));
    let backs = logs.take_back().ok_or_else(gone)?;
    let mut reader = Reader::of(filled);
    let reason = reader.needed(fields::TAKE_BACK_REASON, NO_REASON);
    if backs.iter().any(|back| !back.since.is_empty()) && filled.value(fields::SURE) != "yes" {
        reader.wrong(fields::SURE, "Something was recorded since. Check it, then confirm.");
    }
    if !reader.errors.is_empty() {
        return steps::refused(app, &submission, filled, reader.errors).map(Err);
    }
    let entries = TakeBack::entries(&backs, &submission.stamp(app, reason)?);
    StepToSave { form: submission, entries, logs: logs.all() }.save(app, filled)
}

/// The logs in which a step was written, each with the entry that lists its part.
struct StepLogs(Vec<(StepLog, EntryId)>);

impl StepLogs {
    fn of(app: &App, child: ChildId, step: EntryId, form: Option<&Submission>) -> Result<Self, Fail> {
        let own = StepLog::of(app, child, form)?;
        let listed = own.entries().iter().find(|entry| entry.id == step).ok_or_else(Fail::not_found)?;
        let list = listed.body.written_together().ok_or_else(Fail::not_found)?;
        let other = list.other.zip(list.counterpart);
        let mut logs = vec![(own, step)];
        if let Some((child, counterpart)) = other {
            logs.push((StepLog::of(app, child, form)?, counterpart));
        }
        Ok(Self(logs))
    }

    fn all(&self) -> Vec<&StepLog> {
        self.0.iter().map(|(log, _)| log).collect()
    }

    /// What taking the step back would do; nothing where it was taken back.
    fn take_back(&self) -> Option<Vec<TakeBack>> {
        self.0.iter().map(|(log, step)| TakeBack::of(log.child, log.entries(), *step)).collect()
    }
}

/// Corrects the entry.
pub async fn correct(
    State(app): State<Shared>,
    visitor: Visitor,
    form: PostedTo<(ChildId, EntryId)>,
) -> PageResult {
    AmendForm::from(form).answer(&app, &visitor, CORRECT).await
}

/// Withdraws the entry.
pub async fn withdraw(
    State(app): State<Shared>,
    visitor: Visitor,
    form: PostedTo<(ChildId, EntryId)>,
) -> PageResult {
    AmendForm::from(form).answer(&app, &visitor, WITHDRAW).await
}

/// Nothing, or what is wrong with the form.
type Amended = Result<Result<(), Vec<FieldError>>, Fail>;

/// One of the two ways to amend an entry.
#[derive(Clone, Copy)]
struct Amending {
    save: fn(&AmendForm, &App) -> Amended,
    /// The two forms of the page, this one as it was sent.
    back: fn(Filled) -> Forms,
    done: &'static str,
}

const CORRECT: Amending = Amending {
    save: AmendForm::correct,
    back: |filled| Forms { correct: Some(filled), ..Forms::default() },
    done: "corrected",
};
const WITHDRAW: Amending = Amending {
    save: AmendForm::withdraw,
    back: |withdraw| Forms { withdraw, ..Forms::default() },
    done: "withdrawn",
};

/// A form that amends an entry.
struct AmendForm {
    child: ChildId,
    entry: EntryId,
    by: UserId,
    filled: Filled,
}

impl From<PostedTo<(ChildId, EntryId)>> for AmendForm {
    fn from(form: PostedTo<(ChildId, EntryId)>) -> Self {
        let (child, entry) = form.path;
        Self { child, entry, by: form.by, filled: form.filled }
    }
}

/// The reason of a correction: a usual one, words, or a usual one with words.
fn correct_reason(reader: &mut Reader<'_>) -> String {
    let usual = |key: &str| fields::USUAL_CORRECTIONS.into_iter().find(|(usual, _)| *usual == key);
    let why = reader.choice(fields::CORRECT_WHY, |key| match key {
        "other" => Some(None),
        key => usual(key).map(|(_, words)| Some(words)),
    });
    match (why.flatten(), reader.text(fields::CORRECT_REASON)) {
        (Some(usual), Some(text)) => format!("{usual}: {text}"),
        (Some(usual), None) => usual.to_owned(),
        (None, Some(text)) => text,
        (None, None) => {
            let field = if why.is_some() { fields::CORRECT_REASON } else { fields::CORRECT_WHY };
            reader.wrong(field, NO_REASON);
            String::new()
        }
    }
}

/// Why a correction of a photograph, of what was measured on one, of a letter that has some, or of a video is refused.
fn other_picture(old: &Body, new: &Body) -> Option<&'static str> {
    match (old, new) {
        (Body::Photograph(old), Body::Photograph(new)) if !new.is_same_picture(old) => {
            Some("A correction never exchanges the picture. Withdraw this entry and send the other picture.")
        }
        (Body::GaitVideo(old), Body::GaitVideo(new)) if !new.is_same_video(old) => {
            Some("A correction never exchanges the video. Withdraw this entry and send the other video.")
        }
        (Body::PhotographAngleMeasured(old), Body::PhotographAngleMeasured(new)) if old != new => {
            Some("An angle is not corrected by hand. Withdraw it and measure it again.")
        }
        (Body::DocumentHanded(old), Body::DocumentHanded(new)) if old.photographs != new.photographs => Some(
            "Which photographs a letter has is not corrected by hand. Withdraw this entry and make the letter again.",
        ),
        (Body::PhotographLengthMeasured(old), Body::PhotographLengthMeasured(new)) if old != new => {
            Some("A length on a photograph is not corrected by hand. Withdraw it and measure it again.")
        }
        _ => None,
    }
}

impl AmendForm {
    async fn answer(self, app: &Shared, visitor: &Visitor, how: Amending) -> PageResult {
        let frame = app.frame(visitor, Here::Child);
        let result = work(app, move |app| {
            // Before anything is said about the entry.
            if let Some(entry) = app.records.entry(self.entry)? {
                app.may_see(frame.rights, &entry)?;
            }
            match (how.save)(&self, app)? {
                // What the entry took out of stock is asked about where one tap puts it back.
                Ok(()) if super::stock_of_entry::is_outdated(app, self.child, self.entry)? => {
                    Ok(Err(format!("/child/{}/entry/{}#stock", self.child, self.entry)))
                }
                Ok(()) => Ok(Err(format!("/child/{}?done={}", self.child, how.done))),
                Err(errors) => {
                    let forms = (how.back)(Filled { errors, ..self.filled });
                    drawn(app, &frame, self.child, self.entry, forms).map(Ok)
                }
            }
        });
        match result.await? {
            Ok(form) => again(form),
            Err(path) => to(&path),
        }
    }

    /// The entry, if it can still be amended.
    fn amendable(&self, app: &App) -> Result<Entry, Fail> {
        let known = app.known(self.child, Day::LAST)?;
        let reading = CorrectedLog::of(&known.entries, Day::LAST);
        let line = line(&reading, self.entry)?;
        let amendable = !line.entry.kind().spec().amends;
        in_force(line).filter(|_| amendable).ok_or_else(|| {
            Fail(pages::RequestError::Conflict(
                "This entry was withdrawn, or it only amends others: take back what it did.".to_owned(),
            ))
        })?;
        Ok(line.entry.clone())
    }

    fn correct(&self, app: &App) -> Amended {
        let entry = self.amendable(app)?;
        let mut reader = Reader::of(&self.filled);
        let on = reader.clinical_day(fields::ON, app.clock.today());
        let reason = correct_reason(&mut reader);
        let mut errors = reader.errors;
        let body = forms::body_of(entry.kind(), &self.filled, on.unwrap_or(entry.on));
        let body = body.map_err(|more| errors.extend(more));
        let (Some(on), Ok(body), true) = (on, body, errors.is_empty()) else { return Ok(Err(errors)) };
        let refused = match &body {
            Body::SecondScore(second) => super::second_score::refused(app, &entry, second, on)?,
            body => other_picture(&entry.body, body).map(str::to_owned),
        };
        if let Some(text) = refused {
            return Ok(Err(vec![FieldError { field: "side".to_owned(), text }]));
        }
        let on = (on != entry.on).then_some(on);
        let correction = Correction { entry: self.entry, body: Box::new(body), on, reason };
        self.save(app, fields::CORRECT_REASON, correction)
    }

    fn withdraw(&self, app: &App) -> Amended {
        self.amendable(app)?;
        let mut reader = Reader::of(&self.filled);
        let reason = reader.needed(fields::WITHDRAW_REASON, NO_REASON);
        if !reader.errors.is_empty() {
            return Ok(Err(reader.errors));
        }
        self.save(app, fields::WITHDRAW_REASON, Withdrawal { entry: self.entry, reason })
    }

    /// Saves the amendment with the clinical day of today, so that the record as of an earlier day does not
    /// change.
    fn save(&self, app: &App, field: &str, body: impl Into<Body>) -> Amended {
        let (body, today) = (body.into(), app.clock.today());
        let refused = forms::refused(&body, today, field);
        if !refused.is_empty() {
            return Ok(Err(refused));
        }
        let submission = Submission::of_form(app, self.child, self.by, &self.filled);
        let known = app.known(self.child, Day::LAST)?;
        let drafts = vec![Draft { follows: Some(self.entry), ..Draft::new(body, today) }];
        let outcome = confirm::save(app, submission, &known.entries, drafts, &self.filled)?;
        Ok(outcome.or_form(&self.filled).map_err(|form| form.errors))
    }
}
