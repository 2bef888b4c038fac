//! An appointment moved by hand to another day.

use super::{
    call::{field_of_day, new_day},
    day_loads::{ask_if_closed, day_loads},
    form_drafts,
    submission::{Draft, Submission},
};
use crate::{
    app::App,
    forms::Reader,
    web::{Fail, PageResult, PostedTo, Shared, Visitor, again, page, to, work},
};
use axum::extract::{Path, State};
use clinic::ChildRecord;
use course::{Appointment, AppointmentState};
use pages::{
    Frame, Here, MoveAppointmentView, RequestError,
    fields::Filled,
    move_appointment::{TIME, TO_DAY},
};
use record::{AppointmentMade, ChildId, EntryId};

/// The form.
pub async fn form(
    State(app): State<Shared>,
    visitor: Visitor,
    Path((child, entry)): Path<(ChildId, EntryId)>,
) -> PageResult {
    let (mut frame, user) = (app.frame(&visitor, Here::Day), visitor.user()?);
    page(
        work(&app, move |app| {
            let known = app.known(child, app.clock.today())?;
            let made = expected(&known, entry)?;
            let filled = Filled::default().with(TIME, made.time.clone().unwrap_or_default());
            let name = format!("/child/{child}/appointment/{entry}/move");
            let filled = form_drafts::begin(app, user, &name, &mut frame, filled)?;
            shown(app, &frame, &known, made, filled)
        })
        .await?,
    )
}

/// The appointment, in whatever state.
fn of_entry(known: &ChildRecord, entry: EntryId) -> Result<&Appointment, Fail> {
    let mut made = known.outlook.course.appointments.iter();
    made.find(|made| made.entry == entry && made.made_on.is_some()).ok_or_else(Fail::not_found)
}

/// The appointment, if the child is still expected.
fn expected(known: &ChildRecord, entry: EntryId) -> Result<&Appointment, Fail> {
    let made = of_entry(known, entry)?;
    if made.state != AppointmentState::Expected {
        let text =
            "This appointment was kept, missed, moved or cancelled: make a new one on the child’s page.";
        return Err(Fail(RequestError::Conflict(text.to_owned())));
    }
    Ok(made)
}

fn shown(
    app: &App,
    frame: &Frame,
    known: &ChildRecord,
    made: &Appointment,
    filled: Filled,
) -> Result<maud::Markup, Fail> {
    let who = app.who(&known.outlook.course);
    let about = [made.time.clone(), made.purpose.map(|purpose| purpose.words().to_owned())];
    let mut days = day_loads(app, &known.outlook, app.clock.today(), made.purpose)?;
    days.retain(|load| load.day != made.for_day);
    let view = MoveAppointmentView {
        path: format!("{}/appointment/{}/move", who.href(), made.entry),
        who,
        from: made.for_day,
        about: about.into_iter().flatten().collect::<Vec<_>>().join(", "),
        days,
        filled,
        once: app.once().to_string(),
    };
    Ok(pages::move_appointment(frame, &view))
}

/// Moves the appointment: a new one replaces it.
pub async fn save(
    State(app): State<Shared>,
    visitor: Visitor,
    PostedTo { path: (child, entry), by, filled }: PostedTo<(ChildId, EntryId)>,
) -> PageResult {
    let frame = app.frame(&visitor, Here::Day);
    let saved = work(&app, move |app| {
        let today = app.clock.today();
        let known = app.known(child, today)?;
        let submission = Submission::of_form(app, child, by, &filled);
        // Sent again, the appointment is no longer the one expected: it was moved by this form.
        let made =
            if submission.is_saved(app)? { of_entry(&known, entry)? } else { expected(&known, entry)? };
        let mut reader = Reader::of(&filled);
        let for_day = new_day(&mut reader, &filled, today);
        if for_day.is_none() && reader.errors.is_empty() {
            reader.wrong(TO_DAY, "Choose the day.");
        }
        if for_day == Some(made.for_day) {
            reader.wrong(TO_DAY, "The appointment is on that day already.");
        }
        let time = reader.text(TIME);
        let (Some(for_day), true) = (for_day, reader.errors.is_empty()) else {
            let filled = Filled { errors: reader.errors, ..filled.clone() };
            return shown(app, &frame, &known, made, filled).map(Err);
        };
        let field = field_of_day(&filled);
        if let Some(asked) = ask_if_closed(app, Some(for_day), field, &filled) {
            return shown(app, &frame, &known, made, asked).map(Err);
        }
        let body = AppointmentMade { for_day, time, purpose: made.purpose };
        let draft = Draft { follows: Some(entry), ..Draft::new(body, today) };
        match submission.save(app, vec![draft])?.or_form(&filled) {
            Ok(()) => Ok(Ok(made.for_day)),
            Err(filled) => shown(app, &frame, &known, made, filled).map(Err),
        }
    });
    match saved.await? {
        Ok(on) => to(&format!("/day?on={on}&done=moved")),
        Err(form) => again(form),
    }
}
