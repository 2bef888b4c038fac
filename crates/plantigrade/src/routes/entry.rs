//! One entry: as written, what became of it, and correcting or withdrawing it.

use super::{
    add::SAVED_ALREADY,
    child::id,
    confirm::{self, Outcome},
    write::{self, Draft, Pen, Written},
};
use crate::{
    app::App,
    clock,
    forms::{self, Reader},
    web::{Fail, PageResult, Posted, Shared, Visitor, again, page as shown_page, to, work},
};
use axum::extract::{Path, State};
use clinic::ChildRecord;
use course::{CorrectedLog, Fate, Line};
use pages::{
    Amendment, EntryView, Frame, Here,
    fields::{self, FieldError, Filled},
    parts::Who,
};
use record::{Body, ChildId, Correction, Day, Entry, EntryId, Kind, UserId, Withdrawal};

/// The forms of the page as they stand.
#[derive(Default)]
struct Forms {
    correct: Option<Filled>,
    withdraw: Filled,
}

/// One entry.
pub async fn page(
    State(app): State<Shared>,
    visitor: Visitor,
    Path((child, entry)): Path<(String, String)>,
) -> PageResult {
    let (child, entry): (ChildId, EntryId) = (id(&child)?, id(&entry)?);
    let frame = app.frame(&visitor, Here::Elsewhere);
    shown_page(work(&app, move |app| drawn(app, &frame, child, entry, Forms::default())).await?)
}

fn drawn(app: &App, frame: &Frame, child: ChildId, id: EntryId, forms: Forms) -> Result<maud::Markup, Fail> {
    // Entries of later days may amend this one, so the whole log is read.
    let known = app.known(child, Day::LAST)?;
    let reading = CorrectedLog::of(&known.entries, Day::LAST);
    let line = line(&reading, id)?;
    let holds = holds(line);
    let written = |entry: &Entry| (app.name_of(entry.by), clock::local_words(entry.at));
    let (by, when) = written(line.entry);
    let amendments = known.entries.iter().filter(|entry| amends(entry) == Some(id)).map(|entry| {
        let (by, written) = written(entry);
        Amendment { entry, by, written }
    });
    let correct = forms.correct.unwrap_or_else(|| holds.map(prefilled).unwrap_or_default());
    let view = EntryView {
        who: Who::of(&app.known(child, app.clock.today())?.outlook.course),
        entry: line.entry,
        by,
        written: when,
        fate: line.fate,
        amendments: amendments.collect(),
        current: holds,
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

/// Day and contents that hold; none once withdrawn.
fn holds<'a>(line: Line<'a>) -> Option<(Day, &'a Body)> {
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

/// Corrects it.
pub async fn correct(
    State(app): State<Shared>,
    visitor: Visitor,
    Path((child, entry)): Path<(String, String)>,
    Posted(filled): Posted,
) -> PageResult {
    let amend = Amend::of(&visitor, &child, &entry, filled)?;
    let (frame, path) =
        (app.frame(&visitor, Here::Elsewhere), format!("/child/{}?done=corrected", amend.child));
    let result = work(&app, move |app| match amend.correct(app)? {
        Ok(()) => Ok(None),
        Err(errors) => {
            let correct = Some(Filled { errors, ..amend.filled });
            drawn(app, &frame, amend.child, amend.entry, Forms { correct, ..Forms::default() }).map(Some)
        }
    });
    result.await?.map_or_else(|| to(&path), again)
}

/// Withdraws it.
pub async fn withdraw(
    State(app): State<Shared>,
    visitor: Visitor,
    Path((child, entry)): Path<(String, String)>,
    Posted(filled): Posted,
) -> PageResult {
    let amend = Amend::of(&visitor, &child, &entry, filled)?;
    let (frame, path) =
        (app.frame(&visitor, Here::Elsewhere), format!("/child/{}?done=withdrawn", amend.child));
    let result = work(&app, move |app| match amend.withdraw(app)? {
        Ok(()) => Ok(None),
        Err(errors) => {
            let withdraw = Filled { errors, ..amend.filled };
            drawn(app, &frame, amend.child, amend.entry, Forms { withdraw, correct: None }).map(Some)
        }
    });
    result.await?.map_or_else(|| to(&path), again)
}

/// A form that amends an entry.
struct Amend {
    child: ChildId,
    entry: EntryId,
    by: UserId,
    filled: Filled,
}

impl Amend {
    fn of(visitor: &Visitor, child: &str, entry: &str, filled: Filled) -> Result<Self, Fail> {
        Ok(Self { child: id(child)?, entry: id(entry)?, by: visitor.user()?, filled })
    }

    /// The entry, if it can still be amended.
    fn standing(&self, known: &ChildRecord) -> Result<Entry, Fail> {
        let reading = CorrectedLog::of(&known.entries, Day::LAST);
        let line = line(&reading, self.entry)?;
        let amendable = !matches!(line.entry.kind(), Kind::Correction | Kind::Withdrawal);
        holds(line).filter(|_| amendable).ok_or_else(|| {
            Fail(pages::RequestError::Conflict(
                "This entry was withdrawn, or itself amends another.".to_owned(),
            ))
        })?;
        Ok(line.entry.clone())
    }

    fn correct(&self, app: &App) -> Result<Result<(), Vec<FieldError>>, Fail> {
        let known = app.known(self.child, Day::LAST)?;
        let standing = self.standing(&known)?;
        let mut reader = Reader::of(&self.filled);
        let on = reader.clinical_day(fields::ON, app.clock.today());
        let reason = reader
            .needed(fields::CORRECT_REASON, "A reason is needed, so that others can follow what happened.");
        let mut errors = reader.errors;
        let body = forms::body_of(standing.kind(), &self.filled, on.unwrap_or(standing.on));
        let body = body.map_err(|more| errors.extend(more));
        let (Some(on), Ok(body), true) = (on, body, errors.is_empty()) else { return Ok(Err(errors)) };
        if let Body::SecondScore(second) = &body {
            let refused = super::second_score::refused(app, &standing, second, on)?;
            if let Some(text) = refused {
                return Ok(Err(vec![FieldError { field: "side".to_owned(), text }]));
            }
        }
        let on = (on != standing.on).then_some(on);
        self.write(
            app,
            fields::CORRECT_REASON,
            Correction { entry: self.entry, body: Box::new(body), on, reason },
        )
    }

    fn withdraw(&self, app: &App) -> Result<Result<(), Vec<FieldError>>, Fail> {
        let known = app.known(self.child, Day::LAST)?;
        self.standing(&known)?;
        let mut reader = Reader::of(&self.filled);
        let reason = reader
            .needed(fields::WITHDRAW_REASON, "A reason is needed, so that others can follow what happened.");
        if !reader.errors.is_empty() {
            return Ok(Err(reader.errors));
        }
        self.write(app, fields::WITHDRAW_REASON, Withdrawal { entry: self.entry, reason })
    }

    /// Writes the amendment on today's day, so that the record of an earlier day stays as it was known.
    fn write(
        &self,
        app: &App,
        field: &str,
        body: impl Into<Body>,
    ) -> Result<Result<(), Vec<FieldError>>, Fail> {
        let (body, today) = (body.into(), app.clock.today());
        let refused = forms::refused(&body, today, field);
        if !refused.is_empty() {
            return Ok(Err(refused));
        }
        let pen =
            Pen { child: self.child, by: self.by, once: write::once(app, self.filled.value(fields::ONCE)) };
        let known = app.known(self.child, Day::LAST)?;
        let drafts = vec![Draft { follows: Some(self.entry), ..Draft::new(body, today) }];
        Ok(match confirm::write(app, pen, &known.entries, drafts, &self.filled)? {
            Outcome::Done(Written::Now | Written::Before) => Ok(()),
            Outcome::Done(Written::Otherwise) => {
                Err(vec![FieldError { field: String::new(), text: SAVED_ALREADY.to_owned() }])
            }
            Outcome::Ask(asked) => Err(asked.errors),
        })
    }
}
