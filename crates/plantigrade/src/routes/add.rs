//! One more entry of one kind.

use super::{
    child::id,
    confirm::{self, Outcome},
    write::{self, Draft, Pen, Written},
};
use crate::{
    app::App,
    forms::{self, Reader},
    web::{Fail, PageResult, Posted, Shared, Visitor, again, page, to, work},
};
use axum::extract::{Path, Query, State};
use clinic::ChildRecord;
use pages::{
    AddKind, AddView, Frame, Here,
    fields::{self, Filled},
    parts::Who,
};
use record::{Body, ChildId, Day, EntryId, Kind, UserId};
use serde::Deserialize;

/// Which earlier entry the new one answers.
#[derive(Debug, Deserialize)]
pub struct Answers {
    follows: Option<String>,
}

/// The form, with what is known already.
pub async fn form(
    State(app): State<Shared>,
    visitor: Visitor,
    Path((child, kind)): Path<(String, String)>,
    Query(query): Query<Answers>,
) -> PageResult {
    let child: ChildId = id(&child)?;
    let kind = AddKind::from_key(&kind).ok_or_else(Fail::not_found)?;
    let follows = query.follows.as_deref().map(id).transpose()?;
    let frame = app.frame(&visitor, Here::Elsewhere);
    let shown = work(&app, move |app| {
        let known = app.known(child, app.clock.today())?;
        let filled = prefilled(&known, kind.kind(), follows, app.clock.today());
        Ok(shown(app, &frame, &known, kind, follows, filled))
    });
    page(shown.await?)
}

fn shown(
    app: &App,
    frame: &Frame,
    known: &ChildRecord,
    kind: AddKind,
    follows: Option<EntryId>,
    filled: Filled,
) -> maud::Markup {
    let answered = follows.and_then(|follows| known.entries.iter().find(|entry| entry.id == follows));
    let view = AddView {
        who: Who::of(&known.outlook.course),
        kind,
        filled,
        once: app.once().to_string(),
        follows: answered
            .map(|entry| (entry.id, format!("{} of {}", entry.kind().words(), entry.on.words()))),
    };
    pages::add(frame, &view)
}

/// What is known already: who the child is, the appointment called off, the problem settled.
fn prefilled(known: &ChildRecord, kind: Kind, follows: Option<EntryId>, today: Day) -> Filled {
    let course = &known.outlook.course;
    let filled = match kind {
        Kind::Registration => fields::values_of(&Body::from(course.about.clone())),
        Kind::Problem => course
            .problems
            .iter()
            .find(|problem| Some(problem.entry) == follows)
            .map(|problem| settled(problem.what, problem.side))
            .unwrap_or_default(),
        Kind::AppointmentCancelled => {
            let meant = course.appointments.iter().find(|made| Some(made.entry) == follows);
            let made = meant.or_else(|| course.next_appointment(today));
            made.map(|made| Filled::default().with("for_day", made.for_day.to_string())).unwrap_or_default()
        }
        _ => Filled::default(),
    };
    filled.with(fields::ON, today.to_string())
}

fn settled(what: record::ProblemKind, side: Option<record::Side>) -> Filled {
    let filled = Filled::default().with("what", what.key()).with("settled", "yes");
    match side {
        Some(side) => filled.with("side", side.word()),
        None => filled,
    }
}

/// Saves it.
pub async fn save(
    State(app): State<Shared>,
    visitor: Visitor,
    Path((child, kind)): Path<(String, String)>,
    Posted(filled): Posted,
) -> PageResult {
    let (child, by): (ChildId, UserId) = (id(&child)?, visitor.user()?);
    let kind = AddKind::from_key(&kind).ok_or_else(Fail::not_found)?;
    let follows = filled.given(fields::FOLLOWS).map(id).transpose()?;
    let frame = app.frame(&visitor, Here::Elsewhere);
    let saved = work(&app, move |app| {
        let known = app.known(child, app.clock.today())?;
        let follows = follows.filter(|follows| known.entries.iter().any(|entry| entry.id == *follows));
        match write_form(app, (&known, by), kind.kind(), follows, &filled)? {
            Ok(()) => Ok(None),
            Err(filled) => Ok(Some(shown(app, &frame, &known, kind, follows, filled))),
        }
    });
    match saved.await? {
        None => to(&format!("/child/{child}?done=entry")),
        Some(form) => again(form),
    }
}

/// Writes a small form, or gives it back with what is wrong.
fn write_form(
    app: &App,
    (known, by): (&ChildRecord, UserId),
    kind: Kind,
    follows: Option<EntryId>,
    filled: &Filled,
) -> Result<Result<(), Filled>, Fail> {
    let today = app.clock.today();
    let mut reader = Reader::of(filled);
    let on = reader.clinical_day(fields::ON, today);
    let mut errors = reader.errors;
    let body = forms::body_of(kind, filled, on.unwrap_or(today)).map_err(|more| errors.extend(more));
    let (Some(on), Ok(body), true) = (on, body, errors.is_empty()) else {
        return Ok(Err(Filled { errors, ..filled.clone() }));
    };
    let child = known.outlook.course.child;
    let pen = Pen { child, by, once: write::once(app, filled.value(fields::ONCE)) };
    let drafts = vec![Draft { follows, ..Draft::new(body, on) }];
    Ok(match confirm::write(app, pen, &known.entries, drafts, filled)? {
        Outcome::Done(Written::Now | Written::Before) => Ok(()),
        Outcome::Done(Written::Otherwise) => Err(filled.clone().wrong("", SAVED_ALREADY)),
        Outcome::Ask(asked) => Err(asked),
    })
}

/// Said of a form that was saved and then changed and sent again.
pub const SAVED_ALREADY: &str = "This form was saved once already, and you changed it since. What is saved stands; save again only if this is to be added as well.";
