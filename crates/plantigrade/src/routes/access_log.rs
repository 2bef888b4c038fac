//! The access log: the page, its files, and the check of it.

use crate::{
    access_table::{self, MOST_ROWS, RowNames, outcome_words, what_words},
    app::App,
    clock::local_words,
    web::{Fail, PageResult, Posted, Shared, Visitor, page as shown, work},
};
use axum::{
    extract::{Query, State},
    http::header,
    response::IntoResponse,
};
use clinic::{ACCESS_CHECK_WORDS, AccessFilter, AccessOutcome, AccessReport, AccessRow};
use pages::{
    AccessLogView, AccessRowShown, Frame, Here, RequestError,
    fields::Filled,
    parts::{Pager, Who},
};
use record::ChildId;

/// Rows on one page.
const PER_PAGE: usize = 50;

/// The filter as sent in an address.
type Asked = Vec<(String, String)>;

/// The page.
pub async fn page(State(app): State<Shared>, visitor: Visitor, Query(asked): Query<Asked>) -> PageResult {
    let frame = app.frame(&visitor, Here::AccessLog);
    shown(work(&app, move |app| drawn(app, &frame, asked, None)).await?)
}

/// The page with the result of a check.
pub async fn check(State(app): State<Shared>, visitor: Visitor, Posted(_): Posted) -> PageResult {
    let frame = app.frame(&visitor, Here::AccessLog);
    let checked = work(&app, move |app| {
        let report = app.access_log.check()?;
        drawn(app, &frame, Vec::new(), Some(report))
    });
    shown(checked.await?)
}

fn drawn(app: &App, frame: &Frame, asked: Asked, report: Option<AccessReport>) -> Result<maud::Markup, Fail> {
    let number = asked.iter().find(|(name, _)| name == "page").and_then(|(_, text)| text.parse().ok());
    let filled: Filled = asked.into_iter().filter(|(name, _)| name != "page").collect();
    let (filter, filled) = match access_table::filter(app, &filled)? {
        Ok(filter) => (filter, filled),
        // What is wrong finds nothing, so that nobody takes all rows for those asked for.
        Err(wrong) => (AccessFilter { children: Some(Vec::new()), ..AccessFilter::default() }, wrong),
    };
    let total = app.access_log.rows(&filter, 0, 0)?.1;
    let pages = total.div_ceil(PER_PAGE).max(1);
    let page: usize = number.unwrap_or(1).clamp(1, pages);
    let rows = app.access_log.rows(&filter, (page - 1) * PER_PAGE, PER_PAGE)?.0;
    let query = query_of(&filled);
    let people = app.records.accounts().all()?.into_iter().map(|one| (one.id.to_string(), one.display_name));
    let view = AccessLogView {
        rows: rows.into_iter().map(|row| row_shown(app, row)).collect(),
        people: people.collect(),
        devices: app.access_log.devices()?,
        pager: Pager { page, pages, total, base: format!("/access-log?{query}&") },
        query,
        filled,
        head: app.access_log.head()?.map(|head| (head.rows, head.fingerprint())),
        checked: report.map(|report| (sentences(&report), report.is_sound())),
        check_words: ACCESS_CHECK_WORDS,
    };
    Ok(pages::access_log(frame, &view))
}

fn sentences(report: &AccessReport) -> Vec<String> {
    let faults = report.faults.iter().map(|fault| fault.text.clone());
    std::iter::once(report.words()).chain(faults).collect()
}

fn query_of(filled: &Filled) -> String {
    let given = filled.values.iter().filter(|(_, value)| !value.trim().is_empty());
    let pairs: Vec<String> =
        given.map(|(name, value)| format!("{}={}", escaped(name), escaped(value))).collect();
    pairs.join("&")
}

fn escaped(text: &str) -> String {
    let plain = |byte: u8| byte.is_ascii_alphanumeric() || b"-_.".contains(&byte);
    text.bytes()
        .map(|byte| if plain(byte) { char::from(byte).to_string() } else { format!("%{byte:02X}") })
        .collect()
}

fn row_shown(app: &App, row: AccessRow) -> AccessRowShown {
    let AccessRow { number, event } = row;
    let marked = !matches!(event.outcome, AccessOutcome::Opened | AccessOutcome::Changed);
    AccessRowShown {
        number,
        when: local_words(event.at),
        person: event.person.map_or_else(|| "not signed in".to_owned(), |person| app.name_of(person)),
        device: event.device,
        child: event.child.map(|child| identity(app, child)),
        what: what_words(event.act, &event.what),
        outcome: outcome_words(event.outcome, &event.note),
        marked,
    }
}

/// The child of a row; of an erased record nothing is left but that it was one.
pub(super) fn identity(app: &App, child: ChildId) -> Who {
    match app.known(child, app.clock.today()) {
        Ok(known) => app.who(&known.outlook.course),
        Err(_) => Who { name: "A record without entries".to_owned(), ..Who::restricted(child, Vec::new()) },
    }
}

fn wanted(app: &App, asked: Asked) -> Result<Vec<AccessRow>, Fail> {
    let filled: Filled = asked.into_iter().collect();
    let filter = access_table::filter(app, &filled)?.map_err(|wrong| {
        let text = wrong.errors.first().map_or_else(String::new, |error| error.text.clone());
        Fail(RequestError::Refused(text))
    })?;
    let (rows, total) = app.access_log.rows(&filter, 0, MOST_ROWS)?;
    if total > rows.len() {
        let text = format!("{total} rows are more than the {MOST_ROWS} of one file: choose fewer days.");
        return Err(Fail(RequestError::Refused(text)));
    }
    Ok(rows)
}

/// The rows as CSV.
pub async fn csv(State(app): State<Shared>, Query(asked): Query<Asked>) -> PageResult {
    let text = work(&app, move |app| {
        let mut names = RowNames::default();
        let rows: Vec<_> = wanted(app, asked)?.into_iter().map(|row| names.row(&app.records, row)).collect();
        Ok(access_table::csv(&rows))
    });
    Ok(file(text.await?, "text/csv; charset=utf-8", "access-log.csv"))
}

/// The rows as JSON.
pub async fn json(State(app): State<Shared>, Query(asked): Query<Asked>) -> PageResult {
    let text = work(&app, move |app| {
        let mut names = RowNames::default();
        let rows: Vec<_> = wanted(app, asked)?.into_iter().map(|row| names.row(&app.records, row)).collect();
        serde_json::to_string_pretty(&rows).map_err(|error| Fail::fault(&format!("the access log: {error}")))
    });
    Ok(file(text.await?, "application/json", "access-log.json"))
}

fn file(text: String, kind: &'static str, name: &str) -> axum::response::Response {
    let headers = [
        (header::CONTENT_TYPE, kind.to_owned()),
        (header::CONTENT_DISPOSITION, format!("attachment; filename=\"{name}\"")),
    ];
    (headers, text).into_response()
}
