//! One entry: as it was written, how it was amended, and correcting or withdrawing it.

use super::{
    confirm,
    submission::{Draft, Submission},
};
use crate::{
    app::App,
    clock,
    forms::{self, Reader},
    web::{Fail, PageResult, PostedTo, Shared, Visitor, again, page as shown_page, to, work},
};
use axum::extract::{Path, State};
use course::{CorrectedLog, Fate, Line};
use pages::{
    Amendment, EntryView, Frame, Here,
    fields::{self, FieldError, Filled},
};
use record::{Body, ChildId, Correction, Day, Entry, EntryId, Kind, UserId, Withdrawal};

const NO_REASON: &str = "A reason is needed, so that others can follow what happened.";

/// The two forms of the page.
#[derive(Default)]
struct Forms {
    correct: Option<Filled>,
    withdraw: Filled,
}

/// One entry.
pub async fn page(
    State(app): State<Shared>,
    visitor: Visitor,
    Path((child, entry)): Path<(ChildId, EntryId)>,
) -> PageResult {
    let frame = app.frame(&visitor, Here::Elsewhere);
    shown_page(work(&app, move |app| drawn(app, &frame, child, entry, Forms::default())).await?)
}

fn drawn(app: &App, frame: &Frame, child: ChildId, id: EntryId, forms: Forms) -> Result<maud::Markup, Fail> {
    // Entries of later days may amend this one, so the whole log is read.
    let known = app.known(child, Day::LAST)?;
    let reading = CorrectedLog::of(&known.entries, Day::LAST);
    let line = line(&reading, id)?;
    let current = in_force(line);
    let written = |entry: &Entry| (app.name_of(entry.by), clock::local_words(entry.at));
    let (by, when) = written(line.entry);
    let amendments = known.entries.iter().filter(|entry| amends(entry) == Some(id)).map(|entry| {
        let (by, written) = written(entry);
        Amendment { entry, by, written }
    });
    let correct = forms.correct.unwrap_or_else(|| current.map(prefilled).unwrap_or_default());
    let view = EntryView {
        who: app.who(&app.known(child, app.clock.today())?.outlook.course),
        entry: line.entry,
        by,
        written: when,
        fate: line.fate,
        amendments: amendments.collect(),
        current,
        correct,
        withdraw: forms.withdraw,
        once: app.once().to_string(),
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

/// Which entry a correction or withdrawal is about.
fn amends(entry: &Entry) -> Option<EntryId> {
    match &entry.body {
        Body::Correction(correction) => Some(correction.entry),
        Body::Withdrawal(withdrawal) => Some(withdrawal.entry),
        _ => None,
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
    back: |filled| Forms { correct: Some(filled), withdraw: Filled::default() },
    done: "corrected",
};
const WITHDRAW: Amending = Amending {
    save: AmendForm::withdraw,
    back: |withdraw| Forms { correct: None, withdraw },
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

impl AmendForm {
    async fn answer(self, app: &Shared, visitor: &Visitor, how: Amending) -> PageResult {
        let frame = app.frame(visitor, Here::Elsewhere);
        let path = format!("/child/{}?done={}", self.child, how.done);
        let result = work(app, move |app| match (how.save)(&self, app)? {
            Ok(()) => Ok(None),
            Err(errors) => {
                let forms = (how.back)(Filled { errors, ..self.filled });
                drawn(app, &frame, self.child, self.entry, forms).map(Some)
            }
        });
        result.await?.map_or_else(|| to(&path), again)
    }

    /// The entry, if it can still be amended.
    fn amendable(&self, app: &App) -> Result<Entry, Fail> {
        let known = app.known(self.child, Day::LAST)?;
        let reading = CorrectedLog::of(&known.entries, Day::LAST);
        let line = line(&reading, self.entry)?;
        let amendable = !matches!(line.entry.kind(), Kind::Correction | Kind::Withdrawal);
        in_force(line).filter(|_| amendable).ok_or_else(|| {
            Fail(pages::RequestError::Conflict(
                "This entry was withdrawn, or is itself a correction or withdrawal.".to_owned(),
            ))
        })?;
        Ok(line.entry.clone())
    }

    fn correct(&self, app: &App) -> Amended {
        let entry = self.amendable(app)?;
        let mut reader = Reader::of(&self.filled);
        let on = reader.clinical_day(fields::ON, app.clock.today());
        let reason = reader.needed(fields::CORRECT_REASON, NO_REASON);
        let mut errors = reader.errors;
        let body = forms::body_of(entry.kind(), &self.filled, on.unwrap_or(entry.on));
        let body = body.map_err(|more| errors.extend(more));
        let (Some(on), Ok(body), true) = (on, body, errors.is_empty()) else { return Ok(Err(errors)) };
        if let Body::SecondScore(second) = &body {
            let refused = super::second_score::refused(app, &entry, second, on)?;
            if let Some(text) = refused {
                return Ok(Err(vec![FieldError { field: "side".to_owned(), text }]));
            }
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
