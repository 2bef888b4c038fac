//! Reading a diary from a picture. What is read fills the form of the diary; a person checks it and saves.

use super::wear::view as wear_view;
use crate::{
    app::App,
    diary_photo::{self, PHOTO_BYTES},
    trial_reading::{TrialError, TrialKind},
    web::{Fail, PageResult, Shared, Visitor, again, page as show, too_large, work},
};
use axum::extract::{Multipart, Path, State};
use letters::{DiaryReading, RowReading, read_diary};
use maud::Markup;
use pages::{
    ASKED, DIARY_PHOTO as PHOTO, DiaryScanView, Frame, HOURS, Here, Message, RequestError,
    fields::{CSRF, DRAFT, Filled},
};
use record::{ChildId, Day};

/// The page.
pub async fn form(State(app): State<Shared>, visitor: Visitor, Path(child): Path<ChildId>) -> PageResult {
    let frame = app.frame(&visitor, Here::Child);
    show(work(&app, move |app| drawn(app, &frame, child, None)).await?)
}

fn drawn(app: &App, frame: &Frame, child: ChildId, error: Option<String>) -> Result<Markup, Fail> {
    let known = app.known(child, app.clock.today())?;
    Ok(pages::diary_scan(frame, &DiaryScanView { who: app.who(&known.outlook.course), error }))
}

/// The form with the picture.
#[derive(Default)]
struct Upload {
    csrf: String,
    photo: Vec<u8>,
}

impl Upload {
    async fn read(mut form: Multipart) -> Result<Self, Fail> {
        let broken = |_| {
            Fail(RequestError::Refused(
                "The picture was not received completely, or is too large.".to_owned(),
            ))
        };
        let mut upload = Self::default();
        while let Some(field) = form.next_field().await.map_err(broken)? {
            let name = field.name().unwrap_or_default().to_owned();
            let bytes = field.bytes().await.map_err(broken)?;
            match name.as_str() {
                CSRF => upload.csrf = String::from_utf8_lossy(&bytes).trim().to_owned(),
                PHOTO if bytes.len() > PHOTO_BYTES => return Err(too_large(PHOTO_BYTES)),
                PHOTO => upload.photo = bytes.to_vec(),
                _ => {}
            }
        }
        Ok(upload)
    }
}

/// Reads a picture and fills the form of the diary. Saves nothing.
pub async fn read(
    State(app): State<Shared>,
    visitor: Visitor,
    Path(child): Path<ChildId>,
    form: Multipart,
) -> PageResult {
    let mut frame = app.frame(&visitor, Here::Child);
    let upload = Upload::read(form).await?;
    if !visitor.sent(&upload.csrf) {
        return Err(Fail(RequestError::Stale));
    }
    let read = work(&app, move |app| {
        let reading = match judged(app, child, &upload.photo)? {
            Ok(reading) => reading,
            Err(sentence) => return Ok((false, drawn(app, &frame, child, Some(sentence))?)),
        };
        let today = app.clock.today();
        let asked = weeks(&reading);
        let (filled, words) = filled(&reading, (child, asked), today);
        frame.message = Some(Message::Warning(words));
        Ok((true, pages::wear(&frame, &wear_view(app, child, asked, filled, None)?)))
    });
    match read.await? {
        (true, markup) => show(markup),
        (false, markup) => again(markup),
    }
}

/// The diary on a picture, or why it fills in nothing: it cannot be read, or is that of another child.
fn judged(app: &App, child: ChildId, photo: &[u8]) -> Result<Result<DiaryReading, String>, Fail> {
    if let Err(error) = app.trial.read(TrialKind::Diary, &[photo]) {
        return Ok(Err(match error {
            TrialError::TooLong(_) | TrialError::Ended => {
                "The picture cannot be read: it is damaged, or reading it needs more time or memory than is allowed. Take it again.".to_owned()
            }
            TrialError::NotStarted(_) => error.to_string(),
        }));
    }
    let picture = match diary_photo::unpacked(photo) {
        Ok(picture) => picture,
        Err(fault) => return Ok(Err(fault.to_string())),
    };
    match read_diary(&picture) {
        Ok(reading) => match other_child(app, child, reading.code.child)? {
            None => Ok(Ok(reading)),
            Some(sentence) => Ok(Err(sentence)),
        },
        Err(unread) => Ok(Err(unread.to_string())),
    }
}

/// Why a diary is not that of this child. A record that was joined to this one counts as this one.
fn other_child(app: &App, child: ChildId, of_code: ChildId) -> Result<Option<String>, Fail> {
    if of_code == child || app.joined_into(of_code)? == Some(child) {
        return Ok(None);
    }
    let known = app.known(of_code, app.clock.today()).ok().filter(|_| !app.is_closed(of_code));
    let whose = known.map_or_else(
        || "another child".to_owned(),
        |known| {
            let who = app.who(&known.outlook.course);
            format!("another child: {}, {}", who.shown_name(), who.number())
        },
    );
    Ok(Some(format!("This is the diary of {whose}. Check whose paper you have in your hand.")))
}

/// The weeks of the form that hold every day of a diary.
fn weeks(reading: &DiaryReading) -> (Day, u16) {
    let from = ::wear::adherence::monday(reading.code.from);
    let last = reading.rows.last().map_or(from, |row| row.day);
    (from, u16::try_from((last - from) / 7 + 1).unwrap_or(1))
}

/// The form with the hours that were read, a question at every day that has to be looked up, and what is said above.
/// A day to come that is empty is no question.
fn filled(reading: &DiaryReading, (child, weeks): (ChildId, (Day, u16)), today: Day) -> (Filled, String) {
    let name = format!("/child/{child}/wear?week={}&weeks={}", weeks.0, weeks.1);
    let mut filled = Filled::default().with(DRAFT, name);
    let (mut read, mut asked) = (0, 0);
    for row in &reading.rows {
        let field = format!("{HOURS}{}", row.day);
        let question = match (row.reading, row.reading.question()) {
            (RowReading::Hours(hours), _) if row.day <= today => {
                filled = filled.with(field, hours.to_string());
                read += 1;
                None
            }
            (RowReading::Hours(_), _) => Some("A box is ticked for a day in the future. Look at the paper."),
            (RowReading::Nothing, _) if row.day > today => None,
            (_, question) => question,
        };
        if let Some(question) = question {
            filled = filled.with(format!("{ASKED}{}", row.day), format!("{}: {question}", row.day.words()));
            asked += 1;
        }
    }
    let days = |n: i64| pages::words::count(n, "day", "days");
    let words = format!(
        "Read from the picture: {}; asked: {}. Nothing is saved yet. Compare every day with the paper, then save.",
        days(read),
        days(asked)
    );
    (filled, words)
}
