//! The form for one entry of one kind.

use super::{
    child::id,
    confirm,
    day_loads::ask_if_closed,
    form_drafts,
    submission::{Draft, Submission},
};
use crate::{
    app::App,
    forms::{self, Reader},
    web::{Fail, PageResult, PostedTo, Shared, Visitor, again, page, to, work},
};
use axum::extract::{Path, Query, State};
use clinic::ChildRecord;
use course::Course;
use pages::{
    AddKind, AddView, Frame, Here,
    fields::{self, FieldError, Filled},
};
use record::{Body, ChildId, Day, EntryId, Kind, Right, Side, UserId};
use serde::Deserialize;

/// Which earlier entry the new one follows.
#[derive(Debug, Deserialize)]
pub struct AddQuery {
    follows: Option<String>,
    /// The day and the purpose of an appointment that was proposed elsewhere.
    for_day: Option<String>,
    purpose: Option<String>,
}

/// The form, filled with what is already known.
pub async fn form(
    State(app): State<Shared>,
    visitor: Visitor,
    Path((child, kind)): Path<(ChildId, String)>,
    Query(query): Query<AddQuery>,
) -> PageResult {
    let kind = AddKind::from_key(&kind).ok_or_else(Fail::not_found)?;
    let follows = query.follows.as_deref().map(id).transpose()?;
    let (mut frame, user) = (app.frame(&visitor, Here::Child), visitor.user()?);
    let needed = Right::for_kind(kind.kind());
    if !visitor.may(needed) {
        return Err(work(&app, move |app| Ok(app.refusal(needed))).await?);
    }
    let shown = work(&app, move |app| {
        let known = app.known(child, app.clock.today())?;
        let filled = prefilled(&known, kind.kind(), follows, app.clock.today());
        let filled = if kind.kind() == Kind::AppointmentMade { proposed(filled, &query) } else { filled };
        let name = format!("/child/{child}/add/{}", kind.key());
        let name = follows.map_or(name.clone(), |follows| format!("{name}?follows={follows}"));
        let filled = form_drafts::begin(app, user, &name, &mut frame, filled)?;
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
        who: app.who(&known.outlook.course),
        kind,
        filled,
        once: app.once().to_string(),
        follows: answered
            .map(|entry| (entry.id, format!("{} of {}", entry.kind().words(), entry.on.words()))),
        both_feet: offers_both_feet(kind, &known.outlook.course),
    };
    pages::add(frame, &view)
}

/// Whether a form offers both feet at once: a diagnosis always, because it says which feet are affected; otherwise
/// only where both are.
fn offers_both_feet(kind: AddKind, course: &Course) -> bool {
    kind.takes_both_feet()
        && (kind.kind() == Kind::Diagnosis || Side::BOTH.iter().all(|side| course.foot(*side).is_some()))
}

/// The only affected foot, where one form could mean either. Of two feet neither is taken for granted, and a
/// diagnosis may be of the other foot.
fn only_foot(kind: Kind, course: &Course) -> Option<Side> {
    match (kind, course.feet.as_slice()) {
        (Kind::TenotomyBooked | Kind::RelapseNoted, [only]) => Some(only.side),
        _ => None,
    }
}

/// What is already known: the child's details, the appointment to cancel, the problem to settle.
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
        kind => match only_foot(kind, course) {
            Some(side) => Filled::default().with(fields::SIDE, side.word()),
            None => Filled::default(),
        },
    };
    filled.with(fields::ON, today.to_string())
}

/// The form with a proposed day and purpose; what is neither a day nor a purpose is left out.
fn proposed(filled: Filled, query: &AddQuery) -> Filled {
    let day = query.for_day.as_deref().and_then(|text| text.parse::<Day>().ok());
    let purpose = query.purpose.as_deref().and_then(record::Purpose::from_key);
    let filled = day.map_or(filled.clone(), |day| filled.with("for_day", day.to_string()));
    match purpose {
        Some(purpose) => filled.with("purpose", purpose.key()),
        None => filled,
    }
}

fn settled(what: record::ProblemKind, side: Option<record::Side>) -> Filled {
    let filled = Filled::default().with("what", what.key()).with("settled", "yes");
    match side {
        Some(side) => filled.with("side", side.word()),
        None => filled,
    }
}

/// Saves the form.
pub async fn save(
    State(app): State<Shared>,
    visitor: Visitor,
    PostedTo { path: (child, kind), by, filled }: PostedTo<(ChildId, String)>,
) -> PageResult {
    let kind = AddKind::from_key(&kind).ok_or_else(Fail::not_found)?;
    let follows = filled.given(fields::FOLLOWS).map(id).transpose()?;
    let frame = app.frame(&visitor, Here::Child);
    let done = super::child::done_for_feet(kind, &filled);
    let saved = work(&app, move |app| {
        let known = app.known(child, app.clock.today())?;
        let follows = follows.filter(|follows| known.entries.iter().any(|entry| entry.id == *follows));
        match save_form(app, (&known, by), kind, follows, &filled)? {
            Ok(()) => Ok(None),
            Err(filled) => Ok(Some(shown(app, &frame, &known, kind, follows, filled))),
        }
    });
    match saved.await? {
        None => to(&format!("/child/{child}?done={done}")),
        Some(form) => again(form),
    }
}

/// Saves the entries of a form, or returns the form with what is wrong.
fn save_form(
    app: &App,
    (known, by): (&ChildRecord, UserId),
    kind: AddKind,
    follows: Option<EntryId>,
    filled: &Filled,
) -> Result<Result<(), Filled>, Fail> {
    let today = app.clock.today();
    let mut reader = Reader::of(filled);
    let on = reader.clinical_day(fields::ON, today);
    let mut errors = reader.errors;
    let bodies = bodies(kind, &known.outlook.course, filled, on.unwrap_or(today));
    let bodies = bodies.map_err(|more| errors.extend(more));
    let (Some(on), Ok(bodies), true) = (on, bodies, errors.is_empty()) else {
        return Ok(Err(Filled { errors, ..filled.clone() }));
    };
    let made =
        bodies.iter().find_map(|body| if let Body::AppointmentMade(made) = body { Some(made) } else { None });
    let for_day = made.map(|made| made.for_day);
    if let Some(asked) = ask_if_closed(app, for_day, "for_day", filled) {
        return Ok(Err(asked));
    }
    let child = known.outlook.course.child;
    let submission = Submission::of_form(app, child, by, filled);
    let drafts = bodies.into_iter().map(|body| Draft { follows, ..Draft::new(body, on) }).collect();
    Ok(confirm::save(app, submission, &known.entries, drafts, filled)?.or_form(filled))
}

/// The contents of a form: one body, or one for each foot, the right before the left.
fn bodies(kind: AddKind, course: &Course, filled: &Filled, on: Day) -> Result<Vec<Body>, Vec<FieldError>> {
    if !kind.takes_both_feet() || filled.given(fields::SIDE) != Some(fields::BOTH_FEET) {
        return forms::body_of(kind.kind(), filled, on).map(|body| vec![body]);
    }
    if !offers_both_feet(kind, course) {
        let text = "Both feet can only be chosen where both are on record as affected. Choose the foot.";
        return Err(vec![FieldError { field: fields::SIDE.to_owned(), text: text.to_owned() }]);
    }
    let of = |side: Side| forms::body_of(kind.kind(), &filled.clone().with(fields::SIDE, side.word()), on);
    let [right, left] = Side::BOTH.map(of);
    Ok(vec![right?, left?])
}
