//! Naming what was sent: each picture gets its foot and its view, all of them one day; only then anything is kept.

use super::{
    doubts::{NamedUpload, doubts},
    shown::consent_now,
};
use crate::{
    app::App,
    forms::{self, Reader},
    photograph_uploads::{PictureFacts, disk_sentence},
    routes::submission::{Draft, SaveOutcome, Submission},
    web::{Fail, PageResult, PostedTo, Shared, Visitor, again, page as show, to, work},
};
use axum::extract::{Path, State};
use clinic::{NewPicture, WaitingUpload};
use maud::Markup;
use pages::{
    Frame, Here, NamedPicture, PhotographNamesView,
    fields::{ACT, Filled, ON},
    name_field,
};
use record::{Body, ChildId, Day, Photograph, PhotographView, Sides, UserId};
use uuid::Uuid;

/// The page.
pub async fn form(
    State(app): State<Shared>,
    visitor: Visitor,
    Path((child, upload)): Path<(ChildId, Uuid)>,
) -> PageResult {
    let frame = app.frame(&visitor, Here::Child);
    let drawn = work(&app, move |app| {
        let sent = Sent::of(app, child, upload)?;
        let filled = sent.day_of_today(app.clock.today());
        drawn(app, &frame, &sent, filled)
    });
    show(drawn.await?)
}

/// An upload of a child whose family consents.
struct Sent {
    upload: WaitingUpload,
    pictures: Vec<(u16, PictureFacts)>,
}

impl Sent {
    fn of(app: &App, child: ChildId, upload: Uuid) -> Result<Self, Fail> {
        let known = app.known(child, app.clock.today())?;
        let found = app.pictures().waiting(upload)?.filter(|upload| upload.child == child);
        let upload = found.ok_or_else(Fail::not_found)?;
        if !consent_now(app, &known)?.is_in_force() {
            return Err(Fail::not_found());
        }
        let facts = |(number, facts, _): &(u16, String, bool)| Some((*number, PictureFacts::read(facts)?));
        let pictures = upload.pictures.iter().filter_map(facts).collect();
        Ok(Self { upload, pictures })
    }

    /// Today as the day, where every picture says so itself; otherwise nothing, and a person types it.
    fn day_of_today(&self, today: Day) -> Filled {
        let mut taken = self.taken().peekable();
        let is_today = |(_, facts): (u16, &PictureFacts)| facts.camera().is_some_and(|(day, _)| day == today);
        if taken.peek().is_some() && taken.all(is_today) {
            return Filled::default().with(ON, today.to_string());
        }
        Filled::default()
    }

    fn taken(&self) -> impl Iterator<Item = (u16, &PictureFacts)> {
        self.pictures
            .iter()
            .filter(|(_, facts)| facts.fault.is_none())
            .map(|(number, facts)| (*number, facts))
    }
}

fn drawn(app: &App, frame: &Frame, sent: &Sent, filled: Filled) -> Result<Markup, Fail> {
    let (child, upload) = (sent.upload.child, sent.upload.upload);
    let href = format!("/child/{child}/photographs/upload/{upload}");
    let known = app.known(child, app.clock.today())?;
    let picture = |(number, facts): &(u16, PictureFacts)| NamedPicture {
        number: *number,
        fault: facts.fault.clone(),
        findings: facts.findings.clone(),
        camera_says: facts.camera().map(|(day, time)| format!("{}, {time}", day.words())),
        camera_time: facts.camera().map(|(_, time)| time.to_owned()),
        src: format!("{href}/{number}"),
    };
    let view = PhotographNamesView {
        who: app.who(&known.outlook.course),
        pictures: sent.pictures.iter().map(picture).collect(),
        href,
        filled,
        once: app.once().to_string(),
    };
    Ok(pages::photograph_names(frame, &view))
}

/// Saves or forgets what was sent.
pub async fn save(
    State(app): State<Shared>,
    visitor: Visitor,
    PostedTo { path: (child, upload), by, filled }: PostedTo<(ChildId, Uuid)>,
) -> PageResult {
    let frame = app.frame(&visitor, Here::Child);
    let done = work(&app, move |app| {
        let saved_before = || Submission::of_form(app, child, by, &filled).is_saved(app);
        if app.pictures().waiting(upload)?.is_none() && saved_before()? {
            return Ok(Ok("saved"));
        }
        let sent = Sent::of(app, child, upload)?;
        if filled.value(ACT) == "forget" {
            app.pictures().forget_waiting(upload)?;
            return Ok(Ok("forgotten"));
        }
        let named = match named(app, &sent, &filled)? {
            Ok(named) if named.is_empty() => {
                app.pictures().forget_waiting(upload)?;
                return Ok(Ok("forgotten"));
            }
            Ok(named) => named,
            Err(filled) => return drawn(app, &frame, &sent, filled).map(Err),
        };
        match kept(app, (child, by, upload), named, &filled)? {
            Ok(()) => Ok(Ok("saved")),
            Err(filled) => drawn(app, &frame, &sent, filled).map(Err),
        }
    });
    match done.await? {
        Ok(done) => to(&format!("/child/{child}/photographs?done={done}")),
        Err(form) => again(form),
    }
}

/// Every picture with its foot, view and day, or the form with what is wrong.
fn named(app: &App, sent: &Sent, filled: &Filled) -> Result<Result<Vec<NamedUpload>, Filled>, Fail> {
    let today = app.clock.today();
    let wanted: Vec<(u16, &PictureFacts)> =
        sent.taken().filter(|(number, _)| filled.value(&name_field("leave", *number)) != "yes").collect();
    if wanted.is_empty() {
        return Ok(Ok(Vec::new()));
    }
    let known = app.known(sent.upload.child, today)?;
    let mut reader = Reader::of(filled);
    let on = reader.clinical_day(ON, today);
    let mut form = Filled { errors: reader.errors, ..filled.clone() };
    let mut named = Vec::new();
    for (number, facts) in &wanted {
        let picture =
            app.pictures().waiting_picture(sent.upload.upload, *number)?.ok_or_else(Fail::not_found)?;
        let errors = form.errors.len();
        let (said, after) = said(form, *number, facts, &picture);
        form = after;
        if let (Some(photograph), Some(on)) = (said, on) {
            form = refusals(form, *number, photograph.clone(), on);
            if form.errors.len() == errors {
                named.push(NamedUpload { number: *number, picture, photograph, on });
            }
        }
    }
    if let Some(on) = on {
        form = doubts(app, &known, form, (on, &wanted, &named))?;
    }
    Ok(if form.errors.is_empty() { Ok(named) } else { Err(form) })
}

/// What was said about one picture, and the form with what is missing.
fn said(
    mut form: Filled,
    number: u16,
    facts: &PictureFacts,
    picture: &NewPicture,
) -> (Option<Photograph>, Filled) {
    let field = |name: &str| name_field(name, number);
    let feet = Sides::from_key(form.value(&field("feet")));
    let view = PhotographView::from_key(form.value(&field("view")));
    if feet.is_none() {
        form = form.wrong(field("feet"), format!("Picture {number}: say which foot it shows, or both."));
    }
    if view.is_none() {
        form = form.wrong(field("view"), format!("Picture {number}: say which view it is."));
    }
    let of_camera = facts.camera().map(|(_, time)| time.to_owned());
    let taken_at =
        form.given(&field("time")).map(str::to_owned).filter(|time| Some(time) == of_camera.as_ref());
    let note = form.given(&field("note")).map(str::to_owned);
    let photograph = feet.zip(view).map(|(feet, view)| Photograph {
        taken_at,
        note,
        ..Photograph::of(feet, view, picture.hash(), facts.width, facts.height)
    });
    (photograph, form)
}

/// The form with what the records would refuse.
fn refusals(form: Filled, number: u16, photograph: Photograph, on: Day) -> Filled {
    let body: Body = photograph.into();
    let field = name_field("feet", number);
    forms::refused(&body, on, &field)
        .into_iter()
        .fold(form, |form, error| form.wrong(error.field, format!("Picture {number}: {}", error.text)))
}

/// Keeps the pictures, then saves their entries, then forgets what waited. Stopped between, pictures without entries are
/// left, which are removed later; never an entry without its picture.
fn kept(
    app: &App,
    (child, by, upload): (ChildId, UserId, Uuid),
    named: Vec<NamedUpload>,
    filled: &Filled,
) -> Result<Result<(), Filled>, Fail> {
    let pictures = app.pictures();
    let new: Vec<NewPicture> = named.iter().map(|one| one.picture.clone()).collect();
    if let Err(error) = pictures.keep(app.clock.now(), &new) {
        let text = disk_sentence(error)?;
        return Ok(Err(filled.clone().wrong("", text)));
    }
    let drafts = named.into_iter().map(|one| Draft::new(one.photograph, one.on)).collect();
    let saved: SaveOutcome = Submission::of_form(app, child, by, filled).save(app, drafts)?;
    if let Err(form) = saved.or_form(filled) {
        return Ok(Err(form));
    }
    pictures.forget_waiting(upload)?;
    Ok(Ok(()))
}
