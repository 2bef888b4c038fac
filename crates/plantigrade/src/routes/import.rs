//! Bring in a file: choose it, look, confirm.

mod menus;
pub mod preview;

use crate::{
    app::App,
    auth::Token,
    clock::local_words,
    import_choices::{ANSWER, ImportChoices, LEAVE, ShownFile},
    importing::{PlannedImport, UploadError, UploadedSheet, new_import},
    saved_maps::{self, SavedMap},
    trial_reading::TrialKind,
    web::{FILE_BYTES, Fail, PageResult, Posted, Shared, Visitor, again, page, to, work},
};
use axum::{
    body::{Bytes, HttpBody},
    extract::{Multipart, Query, Request, State},
    http::{StatusCode, header},
    middleware::Next,
    response::{IntoResponse, Response},
};
use exchange::{FileQuestion, MapFile, Report, Stamp};
use pages::{
    Here, ImportDone, ImportPreview, ImportView, RequestError,
    fields::{CSRF, Filled},
};
use record::UserId;
use serde::Deserialize;
use std::{collections::BTreeSet, future::poll_fn, pin::Pin, sync::Arc};

/// The largest body that is read to its end though it is refused.
const LET_GO_BY_BYTES: u64 = 4 << 30;

/// The form.
pub async fn form(State(app): State<Shared>, visitor: Visitor) -> PageResult {
    page(pages::import(&app.frame(&visitor, Here::Import), &ImportView::default()))
}

/// A file as it came.
struct Upload {
    csrf: String,
    file: Option<(String, Bytes)>,
    map: Option<(String, Bytes)>,
}

impl Upload {
    async fn read(mut form: Multipart) -> Result<Self, Fail> {
        let mut upload = Self { csrf: String::new(), file: None, map: None };
        while let Some(field) = form.next_field().await.map_err(|error| broken(&error))? {
            let name = field.name().unwrap_or_default().to_owned();
            let file = field.file_name().unwrap_or_default().to_owned();
            let bytes = field.bytes().await.map_err(|error| broken(&error))?;
            let chosen = (!bytes.is_empty() || !file.is_empty()).then_some((file, bytes));
            match name.as_str() {
                "file" => upload.file = chosen,
                "map" => upload.map = chosen.filter(|(_, bytes)| !bytes.is_empty()),
                CSRF => {
                    upload.csrf = chosen
                        .map(|(_, bytes)| String::from_utf8_lossy(&bytes).into_owned())
                        .unwrap_or_default()
                }
                _ => {}
            }
        }
        Ok(upload)
    }
}

/// The files of an upload, for the fuzz targets.
pub async fn uploaded(form: Multipart) -> Option<Vec<Vec<u8>>> {
    let upload = Upload::read(form).await.ok()?;
    Some(upload.file.into_iter().chain(upload.map).map(|(_, bytes)| bytes.to_vec()).collect())
}

fn broken(error: &axum::extract::multipart::MultipartError) -> Fail {
    match error.status() {
        StatusCode::PAYLOAD_TOO_LARGE => crate::web::too_large(FILE_BYTES),
        _ => Fail(RequestError::Refused("The file broke off on the way.".to_owned())),
    }
}

/// A file that says itself that it is too large is let go by without keeping any of it, and answered in
/// one sentence; were it not read to its end, most browsers would show no page at all.
pub async fn not_too_large(request: Request, next: Next) -> Response {
    at_most(FILE_BYTES, request, next).await
}

/// Refuses what says that it is larger than a limit in bytes, and lets the browser finish sending first.
pub async fn at_most(limit: usize, request: Request, next: Next) -> Response {
    let length = request.headers().get(header::CONTENT_LENGTH);
    let length = length.and_then(|value| value.to_str().ok()).and_then(|text| text.parse::<u64>().ok());
    let Some(length) = length.filter(|&bytes| bytes > limit as u64) else {
        return next.run(request).await;
    };
    let mut body = request.into_body();
    if length <= LET_GO_BY_BYTES {
        while let Some(Ok(_)) = poll_fn(|cx| Pin::new(&mut body).poll_frame(cx)).await {}
    }
    crate::web::too_large(limit).into_response()
}

/// Reads the file and shows what would come of it. Nothing is written.
pub async fn upload(State(app): State<Shared>, visitor: Visitor, form: Multipart) -> PageResult {
    let upload = Upload::read(form).await?;
    if !visitor.sent(&upload.csrf) {
        return Err(Fail(RequestError::Stale));
    }
    let (owner, frame) = (visitor.user()?, app.frame(&visitor, Here::Import));
    let Some((name, bytes)) = upload.file.filter(|(name, _)| !name.is_empty()) else {
        let view = ImportView { error: Some("No file was chosen.".to_owned()) };
        return again(pages::import(&frame, &view));
    };
    let map = upload.map.map(|(name, bytes)| (name, String::from_utf8_lossy(&bytes).into_owned()));
    let looked = work(&app, move |app| {
        // Files are large: one at a time is read or written.
        let _one_at_a_time = app.importing.lock();
        let token = Token::new().text().to_owned();
        let trial = TrialKind::Sheet { name: name.clone(), map: map.as_ref().map(|(_, text)| text.clone()) };
        if let Err(error) = app.trial.read(trial, &[&bytes]) {
            return Ok(Err(error.to_string()));
        }
        match look(app, owner, name, bytes, map)? {
            Ok(plan) => {
                let view = preview::view(&token, &plan, 0);
                app.plans.keep(token, owner, plan);
                Ok(Ok(view))
            }
            Err(sentence) => Ok(Err(sentence)),
        }
    });
    match looked.await? {
        Ok(view) => page(pages::import_preview(&frame, &view)),
        Err(sentence) => again(pages::import(&frame, &ImportView { error: Some(sentence) })),
    }
}

fn stamp(app: &App, by: UserId) -> Stamp {
    Stamp { at: app.clock.now(), today: app.clock.today(), by, site: app.site }
}

fn planned(app: &App, owner: UserId, sheet: &UploadedSheet) -> Result<exchange::Plan, Fail> {
    Ok(sheet.plan(Some(&app.records), &stamp(app, owner), app.clock, &mut |_| {})?)
}

/// A plan of a file that just came. Without a map of its own it is read with the clinic's choices for its
/// headings, if there are any and they fit. The inner error is a sentence about the file or the map.
fn look(
    app: &App,
    owner: UserId,
    file_name: String,
    bytes: Bytes,
    map: Option<(String, String)>,
) -> Result<Result<PlannedImport, String>, Fail> {
    let plain = UploadedSheet::read_for_page(&bytes, &file_name, MapFile::new());
    let headings: Arc<[String]> =
        plain.as_ref().map_or(Vec::new(), |sheet| sheet.table.headers.clone()).into();
    let mut unused = None;
    let (base, saved, map_name) = match map {
        Some((name, text)) => match MapFile::from_toml(&text) {
            Ok(base) => (base, None, name),
            Err(error) => return Ok(Err(UploadError::Map(error).of_map_named(&name).sentence)),
        },
        None => {
            let own = clinics_own(app, &headings);
            unused = own.unused;
            (own.map, own.saved, String::new())
        }
    };
    let has_map = base != MapFile::new();
    let first = match &plain {
        Ok(sheet) if has_map => Some(planned(app, owner, sheet)?.report),
        _ => None,
    };
    let sheet = if has_map {
        // Two tables of a large file at once would take twice the memory.
        drop(plain);
        UploadedSheet::read_for_page(&bytes, &file_name, base.clone())
    } else {
        plain
    };
    let sheet = match sheet {
        Ok(sheet) => sheet,
        // What was chosen for an earlier file does not fit this one: the person chooses again.
        Err(_) if saved.is_some() => {
            let afresh = look(app, owner, file_name, bytes, Some((String::new(), String::new())))?;
            let unused = Some(NOT_FITTING.to_owned());
            return Ok(afresh.map(|plan| PlannedImport { unused, ..plan }));
        }
        Err(error) => return Ok(Err(error.of_map_named(&map_name).sentence)),
    };
    let report = planned(app, owner, &sheet)?.report;
    let asked =
        all_asked(first.as_ref().map_or(&[][..], |first| first.questions.as_slice()), &report.questions);
    let open: BTreeSet<&str> = report.questions.iter().map(|question| question.id.as_str()).collect();
    let settled = asked.iter().map(|question| &question.id).filter(|id| !open.contains(id.as_str()));
    Ok(Ok(PlannedImport {
        file_name,
        bytes,
        headings,
        base: base.into(),
        saved,
        unused,
        choices: ImportChoices::default(),
        base_answers: settled.cloned().collect::<BTreeSet<_>>().into(),
        asked,
        sheet: sheet.into(),
        report: report.into(),
        revision: 1,
        written: None,
    }))
}

fn sentence(error: &UploadError) -> String {
    match error {
        UploadError::Sheet(_) | UploadError::TooMuchForPage { .. } => error.to_string(),
        UploadError::Map(error) => crate::exit::sentence(&error.text),
    }
}

/// The clinic's choices for sheets with the same headings.
#[derive(Default)]
struct OwnChoices {
    map: MapFile,
    /// When they were saved, where they are used.
    saved: Option<String>,
    /// Why they are not used, where there are some.
    unused: Option<String>,
}

const NOT_FITTING: &str = "The choices that this clinic saved for sheets with these headings do not fit this file, so none of them is used. Check every column and question.";
const UNREADABLE_CHOICES: &str = "The choices that this clinic saved for sheets with these headings cannot be read, so none of them is used. Check every column and question.";

fn clinics_own(app: &App, headings: &[String]) -> OwnChoices {
    let unused = |error: &dyn std::fmt::Display| {
        tracing::warn!("saved choices for a sheet cannot be used: {error}");
        OwnChoices { unused: Some(UNREADABLE_CHOICES.to_owned()), ..OwnChoices::default() }
    };
    match saved_maps::find(&app.dir, headings) {
        Ok(None) => OwnChoices::default(),
        Ok(Some(SavedMap { text, when })) => match MapFile::from_toml(&text) {
            Ok(map) => OwnChoices { map, saved: Some(when), unused: None },
            Err(error) => unused(&error),
        },
        Err(error) => unused(&error),
    }
}

/// The questions asked before, as they are now where they are still asked, and then the new ones.
fn all_asked(before: &[FileQuestion], now: &[FileQuestion]) -> Arc<[FileQuestion]> {
    let newest = |question: &FileQuestion| {
        now.iter().find(|other| other.id == question.id).unwrap_or(question).clone()
    };
    let is_new = |question: &&FileQuestion| before.iter().all(|other| other.id != question.id);
    before.iter().map(newest).chain(now.iter().filter(is_new).cloned()).collect()
}

/// What came of a form with choices.
enum Settled {
    /// The plan as it is now, and whether the form changed it.
    Now(Arc<PlannedImport>, bool),
    /// Nothing was taken of the form, for this reason.
    NotTaken(Arc<PlannedImport>, String),
}

const CHANGED_MEANWHILE: &str = "The choices were changed meanwhile, perhaps in another window. They are shown as they are now; nothing of your last change was taken.";

const IMPORTED_ALREADY: &str = "This file is imported already. To import it with other choices, choose the file again: rows that are in the records are not added twice.";

/// Plans again with what a form chooses.
fn settled(app: &App, owner: UserId, token: &str, filled: &Filled) -> Result<Settled, Fail> {
    let plan = app.plans.get(token, owner).ok_or_else(gone)?;
    if plan.written.is_some() {
        return Ok(Settled::NotTaken(plan, IMPORTED_ALREADY.to_owned()));
    }
    if filled.value("revision") != plan.revision.to_string() {
        return Ok(Settled::NotTaken(plan, CHANGED_MEANWHILE.to_owned()));
    }
    let source = &plan.sheet.table.source;
    let shown = ShownFile {
        map: &plan.sheet.map,
        file: &plan.sheet.file,
        sheet: source.sheet.as_deref().unwrap_or_default(),
        header_row: source.header_row,
        asked: &plan.asked,
    };
    let chosen = plan.choices.with(filled, &shown);
    let read = chosen.and_then(|choices| {
        if choices == plan.choices {
            return Ok(None);
        }
        let map = choices.over(&plan.base).map_err(|error| crate::exit::sentence(&error.text))?;
        let sheet = UploadedSheet::read_for_page(&plan.bytes, &plan.file_name, map);
        sheet.map(|sheet| Some((choices, sheet))).map_err(|error| sentence(&error))
    });
    let (choices, sheet) = match read {
        Ok(Some(read)) => read,
        Ok(None) => return Ok(Settled::Now(plan, false)),
        Err(sentence) => return Ok(Settled::NotTaken(plan, sentence)),
    };
    let report = planned(app, owner, &sheet)?.report;
    let asked = all_asked(&plan.asked, &report.questions);
    let revision = plan.revision + 1;
    let (sheet, report) = (Arc::new(sheet), Arc::new(report));
    let new = PlannedImport { choices, sheet, report, asked, revision, ..plan.again() };
    let taken = app.plans.replace(token, owner, &plan, new);
    let now = app.plans.get(token, owner).ok_or_else(gone)?;
    Ok(if taken { Settled::Now(now, true) } else { Settled::NotTaken(now, CHANGED_MEANWHILE.to_owned()) })
}

/// Takes what was chosen and shows the preview with it: as a part for the script, otherwise as a page.
pub async fn settle(State(app): State<Shared>, visitor: Visitor, Posted(filled): Posted) -> PageResult {
    let (owner, frame) = (visitor.user()?, app.frame(&visitor, Here::Import));
    let (token, is_part) = (filled.value("token").to_owned(), filled.given("part").is_some());
    let from = from_of(&filled);
    let in_place = filled.value("at").strip_prefix(ANSWER).map(str::to_owned);
    let (view, taken) = work(&app, move |app| {
        let (plan, trouble) = match settled(app, owner, &token, &filled)? {
            Settled::Now(plan, _) => (plan, None),
            Settled::NotTaken(plan, why) => (plan, Some(why)),
        };
        let taken = trouble.is_none();
        Ok((ImportPreview { trouble, in_place, ..preview::view(&token, &plan, from) }, taken))
    })
    .await?;
    match (is_part, taken) {
        (true, _) => page(pages::import_work(&frame, &view)),
        (false, true) => to(&format!("/import/look?token={}&from={from}", view.token)),
        (false, false) => again(pages::import_preview(&frame, &view)),
    }
}

/// The first column to show: where a button asks for others, the one it names.
fn from_of(filled: &Filled) -> usize {
    let asked = filled.given("from").or_else(|| filled.given("shown_from"));
    asked.and_then(|text| text.parse().ok()).unwrap_or(0)
}

/// The preview of a file that was looked at before, with what was chosen since.
pub async fn look_again(
    State(app): State<Shared>,
    visitor: Visitor,
    Query(asked): Query<ImportQuery>,
) -> PageResult {
    let (owner, frame) = (visitor.user()?, app.frame(&visitor, Here::Import));
    let view = work(&app, move |app| {
        let plan = app.plans.get(&asked.token, owner).ok_or_else(gone)?;
        Ok(preview::view(&asked.token, &plan, asked.from))
    });
    page(pages::import_preview(&frame, &view.await?))
}

/// Forgets the clinic's choices for these headings and begins again with the guess.
pub async fn forget(State(app): State<Shared>, visitor: Visitor, Posted(filled): Posted) -> PageResult {
    let owner = visitor.user()?;
    let token = filled.value("token").to_owned();
    let place = format!("/import/look?token={token}");
    work(&app, move |app| {
        let plan = app.plans.get(&token, owner).ok_or_else(gone)?;
        saved_maps::forget(&app.dir, &plan.headings)
            .map_err(|error| Fail::fault(&format!("saved choices cannot be forgotten: {error}")))?;
        let afresh = look(app, owner, plan.file_name.clone(), plan.bytes.clone(), None)?;
        let afresh = afresh.map_err(|sentence| Fail(RequestError::Refused(sentence)))?;
        let new = PlannedImport { revision: plan.revision + 1, ..afresh };
        // Where another window was quicker, its choices are shown instead.
        let _ = app.plans.replace(&token, owner, &plan, new);
        Ok(())
    })
    .await?;
    to(&place)
}

/// What is chosen, as a map file.
pub async fn map_file(
    State(app): State<Shared>,
    visitor: Visitor,
    Query(asked): Query<ImportQuery>,
) -> PageResult {
    let owner = visitor.user()?;
    let text = work(&app, move |app| {
        let plan = app.plans.get(&asked.token, owner).ok_or_else(gone)?;
        Ok(plan.sheet.file.to_toml())
    });
    let headers = [
        (header::CONTENT_TYPE, "application/toml; charset=utf-8"),
        (header::CONTENT_DISPOSITION, "attachment; filename=\"sheet-map.toml\""),
    ];
    Ok((headers, text.await?).into_response())
}

/// What came of a confirmation.
enum Confirmed {
    Done(Box<ImportDone>),
    /// Nothing was written; the preview says why.
    Not(Box<ImportPreview>),
}

/// Writes what was looked at. It is planned once more, because others may have written meanwhile; a
/// second confirmation writes nothing. What was chosen and not yet shown is shown first.
pub async fn confirm(State(app): State<Shared>, visitor: Visitor, Posted(filled): Posted) -> PageResult {
    let (owner, frame) = (visitor.user()?, app.frame(&visitor, Here::Import));
    let confirmed = work(&app, move |app| {
        let _one_at_a_time = app.importing.lock();
        let token = filled.value("token");
        let plan = app.plans.get(token, owner).ok_or_else(gone)?;
        match plan.written {
            Some(entries) => {
                Ok(Confirmed::Done(Box::new(done(token, &plan.file_name, &plan.report, entries))))
            }
            None => confirm_open(app, owner, token, &filled),
        }
    });
    match confirmed.await? {
        Confirmed::Done(view) => page(pages::import_done(&frame, &view)),
        Confirmed::Not(view) => again(pages::import_preview(&frame, &view)),
    }
}

fn confirm_open(app: &App, owner: UserId, token: &str, filled: &Filled) -> Result<Confirmed, Fail> {
    let not = |plan: &PlannedImport, trouble: Option<String>, missed: bool| {
        let view = preview::view(token, plan, from_of(filled));
        Ok(Confirmed::Not(Box::new(ImportPreview { trouble, missed, ..view })))
    };
    let plan = match settled(app, owner, token, filled)? {
        Settled::Now(plan, false) => plan,
        Settled::Now(plan, true) => {
            let text = "Nothing is imported yet: you chose something after the last preview. This is the result with it; look at it, then import.";
            return not(&plan, Some(text.to_owned()), false);
        }
        Settled::NotTaken(plan, why) => return not(&plan, Some(why), false),
    };
    let fresh = planned(app, owner, &plan.sheet)?;
    if holds_back(&fresh.report.questions, filled) {
        let asked = all_asked(&plan.asked, &fresh.report.questions);
        let fresh = PlannedImport { report: fresh.report.into(), asked, ..plan.again() };
        return not(&fresh, None, true);
    }
    let about = new_import(&fresh.report, &stamp(app, owner), app.clock);
    let entries = app.records.import_file(fresh.entries, about, &mut |_| {})?.entries;
    let view = done(token, &plan.file_name, &fresh.report, entries);
    app.plans.written(token, owner, fresh.report, entries);
    let choices = save_choices(app, owner, &plan);
    Ok(Confirmed::Done(Box::new(ImportDone { choices, ..view })))
}

/// Whether a question without whose answer facts would be lost is open, and nobody ticked that they are left
/// out.
fn holds_back(questions: &[FileQuestion], filled: &Filled) -> bool {
    let is_ticked = |question: &FileQuestion| !filled.value(&format!("{LEAVE}{}", question.id)).is_empty();
    questions.iter().any(|question| question.blocks && !is_ticked(question))
}

/// Saves what was chosen for the next file with these headings, and says so.
fn save_choices(app: &App, owner: UserId, plan: &PlannedImport) -> Option<String> {
    let map = &plan.sheet.file;
    if *map == MapFile::new() || plan.headings.is_empty() {
        return None;
    }
    let when = format!("{} by {}", local_words(app.clock.now()), app.name_of(owner));
    Some(match saved_maps::save(&app.dir, &plan.headings, &map.to_toml(), &when) {
        Ok(()) => "Your choices are saved for the next sheet with these headings.".to_owned(),
        Err(error) => {
            tracing::error!("choices for a sheet cannot be saved: {error}");
            "The rows are imported, but your choices could not be saved for the next sheet.".to_owned()
        }
    })
}

pub(super) fn gone() -> Fail {
    Fail(RequestError::Refused(format!(
        "This file was looked at more than {} minutes ago, too many others were chosen since, or the program was started again. It is forgotten: choose it once more.",
        crate::plans::KEPT_MINUTES
    )))
}

fn done(token: &str, file_name: &str, report: &Report, entries: usize) -> ImportDone {
    let refused_href = (report.dispositions.refused > 0).then(|| format!("/import/refused?token={token}"));
    ImportDone {
        file_name: file_name.to_owned(),
        counts: preview::counts(report),
        entries,
        refused_href,
        choices: None,
        token: token.to_owned(),
        possible: preview::open_pairs(&report.matches)
            .take(preview::PAIRS_SHOWN)
            .map(|two| preview::pair(two, true))
            .collect(),
        possible_in_all: report.possible_matches,
    }
}

/// Which plan, and the first column to show.
#[derive(Debug, Deserialize)]
pub struct ImportQuery {
    #[serde(default)]
    token: String,
    #[serde(default)]
    from: usize,
}

/// The refused rows, as a file to be mended.
pub async fn refused(
    State(app): State<Shared>,
    visitor: Visitor,
    Query(asked): Query<ImportQuery>,
) -> PageResult {
    let owner = visitor.user()?;
    let text = work(&app, move |app| {
        let plan = app.plans.get(&asked.token, owner).ok_or_else(gone)?;
        plan.sheet.refused(&plan.report).ok_or_else(Fail::not_found)
    });
    let headers = [
        (header::CONTENT_TYPE, "text/csv; charset=utf-8"),
        (header::CONTENT_DISPOSITION, "attachment; filename=\"refused-rows.csv\""),
    ];
    Ok((headers, text.await?).into_response())
}

#[cfg(test)]
mod tests {
    use super::*;

    fn question(id: &str, blocks: bool) -> FileQuestion {
        FileQuestion {
            id: id.to_owned(),
            column: None,
            value: None,
            text: "What does it mean?".to_owned(),
            count: 1,
            rows: vec![2],
            choices: Vec::new(),
            blocks,
        }
    }

    #[test]
    fn an_import_waits_for_every_blocking_question_or_its_own_tick() {
        let asked =
            [question("unused: scores", true), question("done: zug", false), question("footers", true)];
        let none = Filled::default();
        assert!(holds_back(&asked, &none));
        let one = none.with("leave:unused: scores", "yes");
        assert!(holds_back(&asked, &one));
        let another = one.clone().with("leave:done: zug", "yes").with("leave:", "yes");
        assert!(holds_back(&asked, &another));
        assert!(!holds_back(&asked, &one.with("leave:footers", "yes")));
        assert!(!holds_back(&asked[1..2], &Filled::default()), "it does not block");
    }
}
