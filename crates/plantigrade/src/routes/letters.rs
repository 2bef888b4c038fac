//! Letters to colleagues about a child, and the file of its record for a clinic that continues the treatment.

use super::document_pdf::{self, PaperQuery};
use crate::{
    app::App,
    web::{Fail, PageResult, Shared, Visitor, page as shown, work},
};
use axum::{
    extract::{Path, Query, State},
    http::header,
    response::IntoResponse,
};
use clinic::ChildRecord;
use letters::{
    ClinicContact, ColleagueDocument, ColleagueDocumentKind, ColleagueFacts, CourseChart, LetterPhotograph,
    NoLetter, colleague_document,
    html::{PageFrame, colleague_page},
    pdf::colleague_pdf,
};
use maud::{Markup, html};
use pages::{DocumentChoice, Here, LettersView, RequestError};
use record::{ChildId, Day, Right, Side};

/// What there is.
pub async fn list(State(app): State<Shared>, visitor: Visitor, Path(child): Path<ChildId>) -> PageResult {
    let (frame, writer) = (app.frame(&visitor, Here::Child), writer(&visitor));
    let markup = work(&app, move |app| {
        let today = app.clock.today();
        let known = app.known(child, today)?;
        let contact = app.contact();
        let facts = facts(&known, &contact, &[], (&writer, today));
        let choice = |kind: ColleagueDocumentKind| DocumentChoice {
            key: kind.key(),
            name: kind.words(),
            refused: colleague_document(&facts, kind).err().map(|why| why.to_string()),
            has_pdf: true,
            // A letter to a colleague is noted as handed over only with photographs; the page of photographs lists those.
            handed: None,
        };
        let view = LettersView {
            who: app.who(&known.outlook.course),
            letters: ColleagueDocumentKind::ALL.map(choice).to_vec(),
            has_letterhead: contact.head().is_some(),
            open_questions: known.outlook.course.questions.len(),
        };
        Ok(pages::colleague_letters(&frame, &view))
    })
    .await?;
    shown(markup)
}

/// One letter as a page to read and print.
pub async fn one(
    State(app): State<Shared>,
    visitor: Visitor,
    Path((child, key)): Path<(ChildId, String)>,
) -> PageResult {
    let kind = ColleagueDocumentKind::from_key(&key).ok_or_else(Fail::not_found)?;
    let (writer, may_send) = (writer(&visitor), visitor.may(Right::RecordClinical));
    let markup = work(&app, move |app| {
        let today = app.clock.today();
        let known = app.known(child, today)?;
        let with_file = kind == ColleagueDocumentKind::TransferSummary && may_send;
        let above = html! {
            p {
                a href={ "/child/" (child) "/letters" } { "Back to the letters" }
                " · Read it, then print this page with the browser, or open it "
                a href={ "/child/" (child) "/letters/" (kind.key()) "/pdf" } { "as PDF" }
                "."
                @if with_file { " Send the file of the record with it: " (record_links(child)) ". Photographs are not in that file." }
                @if may_send { " · " a href={ "/child/" (child) "/letters/" (kind.key()) "/photographs" } { "Add photographs" } }
            }
        };
        drawn_with(app, &known, kind, (&writer, today), Vec::new(), &above)
    })
    .await?;
    shown(markup)
}

/// One letter as PDF.
pub async fn pdf(
    State(app): State<Shared>,
    visitor: Visitor,
    Path((child, key)): Path<(ChildId, String)>,
    Query(on): Query<PaperQuery>,
) -> PageResult {
    let kind = ColleagueDocumentKind::from_key(&key).ok_or_else(Fail::not_found)?;
    let (writer, paper) = (writer(&visitor), on.paper(app.settings().paper)?);
    let bytes = work(&app, move |app| {
        let today = app.clock.today();
        let known = app.known(child, today)?;
        let document = document_of(app, &known, kind, (&writer, today))?;
        let head = app.contact().head();
        colleague_pdf(&document, head.as_ref(), Vec::new(), paper, today).map_err(document_pdf::refused)
    });
    Ok(document_pdf::answer(kind.key(), bytes.await?))
}

/// A letter as a page, made on a day, with photographs behind it.
///
/// # Errors
/// When it is not made for this child, or a message is missing.
pub(super) fn drawn_with(
    app: &App,
    known: &ChildRecord,
    kind: ColleagueDocumentKind,
    (writer, on): (&str, Day),
    photographs: Vec<LetterPhotograph>,
    above: &Markup,
) -> Result<Markup, Fail> {
    let document = document_of(app, known, kind, (writer, on))?.with_photographs(photographs);
    let frame = PageFrame { style: "/assets/letters.css", above: Some(above) };
    let head = app.contact().head();
    colleague_page(&document, head.as_ref(), frame).map_err(|error| Fail::fault(&error.to_string()))
}

/// A letter, made on a day by a person, from the record as known on that day.
///
/// # Errors
/// When it is not made for this child.
pub(super) fn document_of(
    app: &App,
    known: &ChildRecord,
    kind: ColleagueDocumentKind,
    (writer, on): (&str, Day),
) -> Result<ColleagueDocument, Fail> {
    let (contact, charts) = (app.contact(), charts(known));
    let facts = facts(known, &contact, &charts, (writer, on));
    colleague_document(&facts, kind).map_err(refused)
}

fn record_links(child: ChildId) -> Markup {
    html! {
        a href={ "/child/" (child) "/record-file/record.xlsx" } { "workbook" } " or "
        a href={ "/child/" (child) "/record-file/record.csv" } { "CSV" }
    }
}

fn refused(why: NoLetter) -> Fail {
    Fail(RequestError::NotMade(why.to_string()))
}

/// Who signs.
pub(super) fn writer(visitor: &Visitor) -> String {
    visitor.who.as_ref().map(|who| who.name.clone()).unwrap_or_default()
}

fn facts<'a>(
    known: &'a ChildRecord,
    clinic: &'a ClinicContact,
    charts: &'a [CourseChart],
    (writer, today): (&'a str, Day),
) -> ColleagueFacts<'a> {
    ColleagueFacts { today, outlook: &known.outlook, entries: &known.entries, clinic, charts, writer }
}

/// The course of each affected foot, drawn.
fn charts(known: &ChildRecord) -> Vec<CourseChart> {
    let drawn = |side: Side| {
        let svg = pages::course_drawing(&known.outlook, side)?;
        Some(CourseChart { side, svg })
    };
    Side::BOTH.into_iter().filter_map(drawn).collect()
}

/// The file of one record, which another clinic can import. Its name names nobody.
pub async fn record_file(
    State(app): State<Shared>,
    Path((child, file)): Path<(ChildId, String)>,
) -> PageResult {
    let kind = match file.as_str() {
        "record.csv" => "text/csv; charset=utf-8",
        "record.xlsx" => "application/vnd.openxmlformats-officedocument.spreadsheetml.sheet",
        _ => return Err(Fail::not_found()),
    };
    let as_csv = file.ends_with(".csv");
    let bytes = work(&app, move |app| {
        let known = app.known(child, app.clock.today())?;
        let children = [(child, known.entries.as_slice())];
        if as_csv {
            return Ok(exchange::export_csv(&children).into_bytes());
        }
        exchange::export_xlsx(&children).map_err(|error| Fail::fault(&error.to_string()))
    })
    .await?;
    let headers = [
        (header::CONTENT_TYPE, kind.to_owned()),
        (header::CONTENT_DISPOSITION, format!("attachment; filename=\"plantigrade-{file}\"")),
        (header::CACHE_CONTROL, "no-store".to_owned()),
    ];
    Ok((headers, bytes).into_response())
}
