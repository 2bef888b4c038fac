//! The access log: the page, its files, and the check of it.

use crate::{
    access_table::{self, MOST_ROWS, RowNames, outcome_words, what_words},
    app::App,
    clock::local_words,
    web::{Fail, PageResult, Posted, Shared, Visitor, page as shown, to, work},
};
use axum::{
    extract::{Query, State},
    http::header,
    response::IntoResponse,
};
use clinic::{ACCESS_CHECK_WORDS, AccessFilter, AccessOutcome, AccessReport, AccessRow};
use pages::{
    AccessLogView, AccessRowShown, Frame, Here, RequestError,
    access_log::{CHECK, CHILD},
    fields::{CSRF, Filled},
    parts::{Pager, Who},
};
use record::{ChildId, UserId};

/// Rows on one page.
const PER_PAGE: usize = 50;

/// The filter as sent in an address.
type Asked = Vec<(String, String)>;

/// The page.
pub async fn page(State(app): State<Shared>, visitor: Visitor, Query(asked): Query<Asked>) -> PageResult {
    let (frame, user) = (app.frame(&visitor, Here::AccessLog), visitor.user()?);
    shown(work(&app, move |app| drawn(app, user, &frame, asked, None)).await?)
}

/// The page with the result of a check; or, for the form of the filter, the page with the rows that it asks for. The
/// child may be named there, and no address may hold a name, so that a token stands for it.
pub async fn check(State(app): State<Shared>, visitor: Visitor, Posted(filled): Posted) -> PageResult {
    let (frame, user) = (app.frame(&visitor, Here::AccessLog), visitor.user()?);
    if filled.given(CHECK).is_none() {
        return to(&format!("/access-log?{}", query_of(&addressed(&app, user, filled))));
    }
    let checked = work(&app, move |app| {
        let report = app.access_log.check()?;
        drawn(app, user, &frame, Vec::new(), Some(report))
    });
    shown(checked.await?)
}

/// The fields of the filter as an address holds them.
fn addressed(app: &App, user: UserId, filled: Filled) -> Filled {
    let child = filled.value(CHILD).trim().to_owned();
    let rest = filled.values.into_iter().filter(|(name, _)| name != CSRF && name != CHILD);
    let rest: Filled = rest.collect();
    match child.as_str() {
        "" => rest,
        id if id.parse::<ChildId>().is_ok() => rest.with(CHILD, child),
        text => rest.with(CHILD, app.searches.remember(user, "", text)),
    }
}

/// The filter that an address asks for, with the child as it was typed.
fn as_typed(app: &App, user: UserId, asked: &Asked) -> Filled {
    let filled: Filled = asked.iter().filter(|(name, _)| name != "page").cloned().collect();
    let Some(child) = filled.given(CHILD).filter(|child| child.parse::<ChildId>().is_err()) else {
        return filled;
    };
    match app.searches.asked(user, Some(child)).text {
        Some(text) => filled.with(CHILD, text),
        None => filled.with(CHILD, "").wrong(CHILD, UNREMEMBERED),
    }
}

const UNREMEMBERED: &str = "What was typed is not remembered any more. Type the child again.";

/// The filter, or the form with what is wrong in it.
fn filter(app: &App, typed: Filled) -> Result<Result<(AccessFilter, Filled), Filled>, Fail> {
    if !typed.errors.is_empty() {
        return Ok(Err(typed));
    }
    Ok(access_table::filter(app, &typed)?.map(|filter| (filter, typed)))
}

fn drawn(
    app: &App,
    user: UserId,
    frame: &Frame,
    asked: Asked,
    report: Option<AccessReport>,
) -> Result<maud::Markup, Fail> {
    let number = asked.iter().find(|(name, _)| name == "page").and_then(|(_, text)| text.parse().ok());
    let query = query_of(&asked.iter().filter(|(name, _)| name != "page").cloned().collect());
    let (filter, filled) = match filter(app, as_typed(app, user, &asked))? {
        Ok(found) => found,
        // What is wrong finds nothing, so that nobody takes all rows for those asked for.
        Err(wrong) => (AccessFilter { children: Some(Vec::new()), ..AccessFilter::default() }, wrong),
    };
    let total = app.access_log.rows(&filter, 0, 0)?.1;
    let pages = total.div_ceil(PER_PAGE).max(1);
    let page: usize = number.unwrap_or(1).clamp(1, pages);
    let rows = app.access_log.rows(&filter, (page - 1) * PER_PAGE, PER_PAGE)?.0;
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

fn wanted(app: &App, user: UserId, asked: &Asked) -> Result<Vec<AccessRow>, Fail> {
    let (filter, _) = filter(app, as_typed(app, user, asked))?.map_err(|wrong| {
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
pub async fn csv(State(app): State<Shared>, visitor: Visitor, Query(asked): Query<Asked>) -> PageResult {
    let user = visitor.user()?;
    let text = work(&app, move |app| {
        let mut names = RowNames::default();
        let rows: Vec<_> =
            wanted(app, user, &asked)?.into_iter().map(|row| names.row(&app.records, row)).collect();
        Ok(access_table::csv(&rows))
    });
    Ok(file(text.await?, "text/csv; charset=utf-8", "access-log.csv"))
}

/// The rows as JSON.
pub async fn json(State(app): State<Shared>, visitor: Visitor, Query(asked): Query<Asked>) -> PageResult {
    let user = visitor.user()?;
    let text = work(&app, move |app| {
        let mut names = RowNames::default();
        let rows: Vec<_> =
            wanted(app, user, &asked)?.into_iter().map(|row| names.row(&app.records, row)).collect();
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
