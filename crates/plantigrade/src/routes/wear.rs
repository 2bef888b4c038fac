//! Wear of one child: the page, the diary and the file of a logger.

use super::{
    form_drafts,
    submission::{Draft, SaveOutcome, Submission},
};
use crate::{
    app::App,
    forms::wear as form,
    trial_reading::{TrialKind, TrialReader},
    web::{Fail, PageResult, PostedTo, Shared, Visitor, again, page as show, to, work},
};
use ::wear::{
    WornDay,
    adherence::{Adherence, monday},
};
use axum::extract::{Multipart, Path, Query, State};
use clinic::{ChildRecord, LoggedWear, LoggerElsewhere, LoggerFiles, logger_label, read_logged_wear};
use exchange::logger::Zone;
use forecast::SeenChild;
use pages::{
    Frame, Here, LoggedDay, LoggerPreview, Message, RequestError, WEEKS_AT_MOST, WearView,
    fields::{CSRF, Filled},
};
use record::{ChildId, Day, DayRange};
use serde::Deserialize;
use sha2::{Digest, Sha256};
use std::{
    collections::BTreeMap,
    io::{BufRead, Cursor},
};

/// Which weeks of the diary, and what was just saved.
#[derive(Debug, Default, Deserialize)]
pub struct WearQuery {
    week: Option<String>,
    weeks: Option<u16>,
    done: Option<String>,
}

impl WearQuery {
    fn weeks(&self, today: Day) -> (Day, u16) {
        let asked = self.week.as_deref().and_then(|text| text.parse().ok());
        (monday(asked.unwrap_or(today - 7)), self.weeks.unwrap_or(1).clamp(1, WEEKS_AT_MOST))
    }
}

/// The page.
pub async fn page(
    State(app): State<Shared>,
    visitor: Visitor,
    Path(child): Path<ChildId>,
    Query(asked): Query<WearQuery>,
) -> PageResult {
    let mut frame = app.frame(&visitor, Here::Child);
    frame.message = match asked.done.as_deref() {
        Some("diary") => Some(Message::Done("The diary is saved.".to_owned())),
        Some("logger") => Some(Message::Done("The logger's days are saved.".to_owned())),
        _ => None,
    };
    let (user, may) = (visitor.user()?, visitor.may(record::Right::RecordClinical));
    let shown = work(&app, move |app| {
        let weeks = asked.weeks(app.clock.today());
        let name = format!("/child/{child}/wear?week={}&weeks={}", weeks.0, weeks.1);
        let filled = match may {
            true => form_drafts::begin(app, user, &name, &mut frame, Filled::default())?,
            false => Filled::default(),
        };
        Ok(pages::wear(&frame, &view(app, child, weeks, filled, None)?))
    });
    show(shown.await?)
}

/// Hours worn beside what was prescribed.
pub(super) fn adherence(app: &App, known: &ChildRecord) -> Adherence {
    Adherence::of(&known.outlook.course, app.protocol().prescribed())
}

/// The page with these weeks of the diary.
///
/// # Errors
/// When the records cannot be read.
pub(super) fn view(
    app: &App,
    child: ChildId,
    weeks: (Day, u16),
    filled: Filled,
    file_error: Option<String>,
) -> Result<WearView, Fail> {
    let today = app.clock.today();
    let known = app.known(child, today)?;
    let course = &known.outlook.course;
    let taught = app.records.forecaster(today)?;
    // The chance is that of a foot in the brace.
    let braced = course.brace_now().is_some();
    let risk =
        braced.then(|| taught.forecaster.relapse_by_wear(&SeenChild::of(course).child, today)).flatten();
    Ok(WearView {
        who: app.who(course),
        adherence: adherence(app, &known),
        prescribed: app.protocol().prescribed().on(&course.braces, today),
        risk: risk.map(|(risk, _)| risk),
        finished_feet: risk.map_or(0, |(_, feet)| feet),
        weeks,
        filled,
        file_error,
        once: app.once().to_string(),
    })
}

/// Saves the diary, one entry for each day.
pub async fn save(
    State(app): State<Shared>,
    visitor: Visitor,
    PostedTo { path: child, by, mut filled }: PostedTo<ChildId>,
) -> PageResult {
    let frame = app.frame(&visitor, Here::Child);
    let asked = WearQuery {
        week: filled.given("week").map(str::to_owned),
        weeks: filled.given("weeks").and_then(|text| text.parse().ok()),
        done: None,
    };
    let saved = work(&app, move |app| {
        let today = app.clock.today();
        let known = app.known(child, today)?;
        match form::diary(&filled, &adherence(app, &known).reported.days, today) {
            Ok(days) => {
                let submission = Submission::of_form(app, child, by, &filled);
                let drafts: Vec<Draft> = days.into_iter().map(|day| Draft::new(day, today)).collect();
                if !drafts.is_empty() {
                    written(submission.save(app, drafts)?)?;
                }
                Ok(None)
            }
            Err(errors) => {
                filled.errors = errors;
                Ok(Some(pages::wear(&frame, &view(app, child, asked.weeks(today), filled, None)?)))
            }
        }
    });
    match saved.await? {
        None => to(&format!("/child/{child}/wear?done=diary")),
        Some(markup) => again(markup),
    }
}

fn written(what: SaveOutcome) -> Result<(), Fail> {
    match what {
        SaveOutcome::Saved | SaveOutcome::SavedBefore => Ok(()),
        SaveOutcome::SavedOtherwise(_) => Err(Fail(RequestError::Stale)),
    }
}

/// The form with the files of a logger.
#[derive(Default)]
struct Upload {
    csrf: String,
    name: String,
    boot: Vec<u8>,
    other_boot: Vec<u8>,
    room: Vec<u8>,
    zone: String,
}

impl Upload {
    async fn read(mut form: Multipart) -> Result<Self, Fail> {
        let broken = |_| {
            Fail(RequestError::Refused("The file was not received completely, or is too large.".to_owned()))
        };
        let mut upload = Self::default();
        while let Some(field) = form.next_field().await.map_err(broken)? {
            let name = field.name().unwrap_or_default().to_owned();
            let file = field.file_name().unwrap_or_default().to_owned();
            let bytes = field.bytes().await.map_err(broken)?.to_vec();
            let text = || String::from_utf8_lossy(&bytes).trim().to_owned();
            match name.as_str() {
                CSRF => upload.csrf = text(),
                "zone" => upload.zone = text(),
                "room" => upload.room = bytes,
                "other-boot" => upload.other_boot = bytes,
                "boot" => (upload.name, upload.boot) = (file, bytes),
                _ => {}
            }
        }
        Ok(upload)
    }

    fn judged(&self, trial: &TrialReader) -> Result<LoggedWear, String> {
        if self.boot.is_empty() {
            return Err("No file was chosen.".to_owned());
        }
        let kind = TrialKind::Logger { zone: self.zone.clone() };
        trial.read(kind, &[&self.boot, &self.other_boot, &self.room]).map_err(|error| error.to_string())?;
        let zone = match self.zone.as_str() {
            "" => Zone::AsWritten,
            name => Zone::named(name).map_err(|error| crate::exit::sentence(&error.to_string()))?,
        };
        let open = |bytes: &[u8]| -> Box<dyn BufRead> { Box::new(Cursor::new(bytes.to_vec())) };
        let given = |bytes: &Vec<u8>| (!bytes.is_empty()).then(|| open(bytes));
        let files = LoggerFiles {
            boot: open(&self.boot),
            other_boot: given(&self.other_boot),
            room: given(&self.room),
        };
        read_logged_wear(files, zone, None)
    }
}

/// The files of an upload, for the fuzz targets.
pub async fn uploaded(form: Multipart) -> Option<Vec<Vec<u8>>> {
    let upload = Upload::read(form).await.ok()?;
    Some(vec![upload.boot, upload.other_boot, upload.room])
}

/// Reads a logger's file and shows its days. Saves nothing.
pub async fn logger(
    State(app): State<Shared>,
    visitor: Visitor,
    Path(child): Path<ChildId>,
    form: Multipart,
) -> PageResult {
    let frame = app.frame(&visitor, Here::Child);
    let upload = Upload::read(form).await?;
    if !visitor.sent(&upload.csrf) {
        return Err(Fail(RequestError::Stale));
    }
    let looked = work(&app, move |app| {
        let weeks = WearQuery::default().weeks(app.clock.today());
        let refused = |app: &App, frame: &Frame, sentence: String| {
            Ok((false, pages::wear(frame, &view(app, child, weeks, Filled::default(), Some(sentence))?)))
        };
        let reading = match upload.judged(&app.trial) {
            Ok(reading) => reading,
            Err(sentence) => return refused(app, &frame, sentence),
        };
        let label = label(&reading, &upload.boot);
        if let Some(sentence) = elsewhere(app, child, &label, &reading)? {
            return refused(app, &frame, sentence);
        }
        Ok((true, pages::logger_preview(&frame, &preview(app, child, upload.name, label, &reading)?)))
    });
    match looked.await? {
        (true, markup) => show(markup),
        (false, markup) => again(markup),
    }
}

/// The logger's own name if the file has one, and a short hash of the file.
fn label(reading: &LoggedWear, bytes: &[u8]) -> String {
    let mark: String = Sha256::digest(bytes).iter().take(6).map(|byte| format!("{byte:02x}")).collect();
    logger_label(reading.logger.as_deref(), &mark)
}

/// Why a file cannot be this child's: the same file, or the same logger on the same days, is saved for another
/// child.
fn elsewhere(app: &App, child: ChildId, label: &str, reading: &LoggedWear) -> Result<Option<String>, Fail> {
    let (Some(first), Some(last)) = (reading.days.first(), reading.days.last()) else { return Ok(None) };
    let days = DayRange::new(first.day, last.day);
    let found = app.records.logger_elsewhere(child, label, reading.logger.as_deref(), days)?;
    let (other, what) = match found {
        None => return Ok(None),
        Some(LoggerElsewhere::File(other)) => (other, "This file"),
        Some(LoggerElsewhere::Days(other)) => (other, "This logger, with some of the same days,"),
    };
    let who = app.who(&app.known(other, app.clock.today())?.outlook.course);
    Ok(Some(format!(
        "{what} is already saved for another child: {}, {}. Nothing was saved. Check in whose boots the logger was.",
        who.shown_name(),
        who.number()
    )))
}

/// The most missing or undecided hours of a day that is saved.
const MOST_UNCERTAIN_HOURS: f64 = 1.0;

/// Why a day is not saved; `None` if it is.
fn left_out(day: &WornDay, there: &BTreeMap<Day, f64>, today: Day) -> Option<&'static str> {
    if day.day > today {
        Some("no: in the future")
    } else if there.contains_key(&day.day) {
        Some("no: logged already")
    } else if day.hours_missing > MOST_UNCERTAIN_HOURS {
        Some("no: hours missing")
    } else if day.hours_undecided > MOST_UNCERTAIN_HOURS {
        Some("no: undecided")
    } else {
        None
    }
}

fn logged_day(day: &WornDay, left_out: Option<&'static str>) -> LoggedDay {
    LoggedDay {
        day: day.day,
        worn: day.hours_worn,
        undecided: day.hours_undecided,
        missing: day.hours_missing,
        confidence: day.confidence,
        because: day.doubt.map(|doubt| doubt.to_string()),
        left_out,
    }
}

fn preview(
    app: &App,
    child: ChildId,
    file_name: String,
    label: String,
    reading: &LoggedWear,
) -> Result<LoggerPreview, Fail> {
    let today = app.clock.today();
    let known = app.known(child, today)?;
    let there = adherence(app, &known).logged.days;
    let days: Vec<LoggedDay> =
        reading.days.iter().map(|day| logged_day(day, left_out(day, &there, today))).collect();
    let saved = days.iter().filter(|day| day.left_out.is_none());
    let carried: Vec<String> = saved.map(|day| format!("{}={:.2}", day.day, day.worn)).collect();
    Ok(LoggerPreview {
        who: app.who(&known.outlook.course),
        file_name,
        label,
        days,
        notes: reading.notes.clone(),
        carried: carried.join(";"),
        once: app.once().to_string(),
    })
}

/// Saves the days that were shown, each as logged wear.
pub async fn save_logged(
    State(app): State<Shared>,
    PostedTo { path: child, by, filled }: PostedTo<ChildId>,
) -> PageResult {
    if filled.given("right-child") != Some("yes") {
        let sentence = "First confirm that the logger was in this child's boots. Nothing was saved.";
        return Err(Fail(RequestError::Refused(sentence.to_owned())));
    }
    work(&app, move |app| {
        let days = form::logged(filled.value("days"), filled.value("label"));
        let days = days.filter(|days| !days.is_empty()).ok_or(Fail(RequestError::Stale))?;
        let today = app.clock.today();
        let submission = Submission::of_form(app, child, by, &filled);
        written(submission.save(app, days.into_iter().map(|day| Draft::new(day, today)).collect())?)
    })
    .await?;
    to(&format!("/child/{child}/wear?done=logger"))
}
