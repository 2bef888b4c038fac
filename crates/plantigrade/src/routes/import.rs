//! Bring in a file: choose it, look, confirm.

use crate::{
    app::App,
    auth::Token,
    commands::{disposition, read_as},
    importing::{PlannedImport, UploadedSheet, new_import},
    web::{FILE_BYTES, Fail, PageResult, Posted, Shared, Visitor, again, page, work},
};
use axum::{
    body::{Bytes, HttpBody},
    extract::{Multipart, Query, Request, State},
    http::{StatusCode, header},
    middleware::Next,
    response::{IntoResponse, Response},
};
use exchange::{Report, Stamp};
use pages::{
    ColumnGuess, Here, ImportCounts, ImportDone, ImportPreview, ImportView, PossiblePair, RequestError,
    RowNote, fields::CSRF,
};
use record::UserId;
use serde::Deserialize;
use std::{future::poll_fn, pin::Pin};

/// Rows shown in the preview.
const ROWS_SHOWN: usize = 300;
/// The largest body that is read to its end though it is refused.
const LET_GO_BY_BYTES: u64 = 4 << 30;
/// Pairs of children who may be the same child, shown at a time.
pub(super) const PAIRS_SHOWN: usize = 50;
/// Examples shown of a column.
const EXAMPLES: usize = 3;

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

fn broken(error: &axum::extract::multipart::MultipartError) -> Fail {
    match error.status() {
        StatusCode::PAYLOAD_TOO_LARGE => crate::web::too_large(FILE_BYTES),
        _ => Fail(RequestError::Refused("The file broke off on the way.".to_owned())),
    }
}

/// A file that says itself that it is too large is let go by without keeping any of it, and answered in
/// one sentence; were it not read to its end, most browsers would show no page at all.
pub async fn not_too_large(request: Request, next: Next) -> Response {
    let length = request.headers().get(header::CONTENT_LENGTH);
    let length = length.and_then(|value| value.to_str().ok()).and_then(|text| text.parse::<u64>().ok());
    let Some(length) = length.filter(|&bytes| bytes > FILE_BYTES as u64) else {
        return next.run(request).await;
    };
    let mut body = request.into_body();
    if length <= LET_GO_BY_BYTES {
        while let Some(Ok(_)) = poll_fn(|cx| Pin::new(&mut body).poll_frame(cx)).await {}
    }
    crate::web::too_large(FILE_BYTES).into_response()
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
        let map = map.as_ref().map(|(name, text)| (name.as_str(), text.as_str()));
        // Files are large: one at a time is read or written.
        let _one_at_a_time = app.importing.lock();
        let read = UploadedSheet::read(&bytes, &name, map);
        drop(bytes);
        Ok(match read {
            Ok(sheet) => Ok(look(app, owner, name, sheet)?),
            Err(failure) => Err(failure.sentence),
        })
    });
    match looked.await? {
        Ok(view) => page(pages::import_preview(&frame, &view)),
        Err(sentence) => again(pages::import(&frame, &ImportView { error: Some(sentence) })),
    }
}

fn stamp(app: &App, by: UserId) -> Stamp {
    Stamp { at: app.clock.now(), by, site: app.site }
}

fn look(app: &App, owner: UserId, file_name: String, sheet: UploadedSheet) -> Result<ImportPreview, Fail> {
    let report = sheet.plan(Some(app.archive()), &stamp(app, owner), app.clock, &mut |_| {})?.report;
    let token = Token::new().text().to_owned();
    let view = preview(&token, &file_name, &sheet, &report);
    app.plans.keep(token, owner, PlannedImport { file_name, sheet: sheet.into(), report, written: None });
    Ok(view)
}

fn preview(token: &str, file_name: &str, sheet: &UploadedSheet, report: &Report) -> ImportPreview {
    ImportPreview {
        token: token.to_owned(),
        file_name: file_name.to_owned(),
        read_as: read_as(report),
        columns: report.columns.iter().map(|column| guessed(sheet, column)).collect(),
        refusal: None,
        counts: counts(report),
        reasons: report.reasons.iter().map(|(reason, count)| (reason.replace('-', " "), *count)).collect(),
        rows: report.not_plain.iter().take(ROWS_SHOWN).map(note).collect(),
        rows_in_all: report.not_plain.len(),
        possible: report.matches.iter().take(PAIRS_SHOWN).map(pair).collect(),
        possible_in_all: report.possible_matches,
    }
}

fn guessed(sheet: &UploadedSheet, column: &exchange::Column) -> ColumnGuess {
    let cells = sheet.table.rows().take(200).map(|row| sheet.table.cell(row, column.index));
    let examples =
        cells.filter(|cell| !cell.is_blank()).map(|cell| cell.trimmed().chars().take(40).collect());
    ColumnGuess {
        header: if column.header.is_empty() { column.letter.clone() } else { column.header.clone() },
        means: column.meaning.map(|_| column.words()),
        why: column.reason.clone(),
        examples: examples.take(EXAMPLES).collect(),
    }
}

fn note(row: &exchange::RowReport) -> RowNote {
    RowNote {
        row: row.row,
        disposition: disposition(row.disposition).to_owned(),
        column: row.remark.column.clone().unwrap_or_default(),
        value: row.remark.value.clone().unwrap_or_default(),
        reason: row.remark.text.clone(),
    }
}

pub(super) fn pair(pair: &exchange::PossibleMatch) -> PossiblePair {
    let named = |person: &exchange::Person| match &person.number {
        Some(number) => format!("{} ({number})", person.name),
        None => person.name.clone(),
    };
    PossiblePair { one: named(&pair.child), other: named(&pair.other), why: pair.text.clone() }
}

fn counts(report: &Report) -> ImportCounts {
    ImportCounts {
        rows: report.rows,
        children: report.children,
        new_children: report.new_children,
        affected_feet: report.affected_feet,
        assessments: report.assessments,
        imported: report.dispositions.imported,
        question: report.dispositions.question,
        duplicate: report.dispositions.duplicate,
        refused: report.dispositions.refused,
    }
}

/// Writes what was looked at. It is planned once more, because others may have written meanwhile; a
/// second confirmation writes nothing.
pub async fn confirm(State(app): State<Shared>, visitor: Visitor, Posted(filled): Posted) -> PageResult {
    let (owner, frame) = (visitor.user()?, app.frame(&visitor, Here::Import));
    let token = filled.value("token").to_owned();
    let done = work(&app, move |app| {
        let _one_at_a_time = app.importing.lock();
        let plan = app.plans.get(&token, owner).ok_or_else(gone)?;
        match plan.written {
            Some(entries) => Ok(done(&token, &plan.file_name, &plan.report, entries)),
            None => write(app, owner, &token, &plan),
        }
    });
    page(pages::import_done(&frame, &done.await?))
}

pub(super) fn gone() -> Fail {
    Fail(RequestError::Refused(
        "This file was looked at too long ago, or the program was started again since. Choose it once more."
            .to_owned(),
    ))
}

fn write(app: &App, owner: UserId, token: &str, plan: &PlannedImport) -> Result<ImportDone, Fail> {
    let stamp = stamp(app, owner);
    let fresh = plan.sheet.plan(Some(app.archive()), &stamp, app.clock, &mut |_| {})?;
    let about = new_import(&fresh.report, &stamp, app.clock);
    let entries = app.records.import_file(fresh.entries, about, &mut |_| {})?.entries;
    let view = done(token, &plan.file_name, &fresh.report, entries);
    app.plans.written(token, owner, fresh.report, entries);
    Ok(view)
}

fn done(token: &str, file_name: &str, report: &Report, entries: usize) -> ImportDone {
    let refused_href = (report.dispositions.refused > 0).then(|| format!("/import/refused?token={token}"));
    ImportDone { file_name: file_name.to_owned(), counts: counts(report), entries, refused_href }
}

/// Which plan.
#[derive(Debug, Deserialize)]
pub struct ImportQuery {
    #[serde(default)]
    token: String,
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
