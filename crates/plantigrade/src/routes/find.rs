//! Find a child.

use super::gate;
use crate::{
    app::App,
    web::{Fail, PageResult, Posted, Shared, Visitor, page as shown, to, work},
};
use axum::extract::{Query, State};
use clinic::Summary;
use guidance::{NextStep, Outlook, to_book};
use pages::{FindRow, FindView, Here, fields};
use record::{Day, Right};
use serde::Deserialize;

/// The most children shown.
const SHOWN: usize = 25;

/// The most matches counted.
const COUNTED: usize = 100;

/// Letters of a search text that are looked at.
const SEARCHED_LETTERS: usize = 200;

/// What stands for the search in the address. The text itself never does: addresses are kept in histories and logs.
#[derive(Debug, Deserialize)]
pub struct FindQuery {
    search: Option<String>,
}

/// What is searched for, as far as it is looked at.
pub(super) fn search_text(typed: &str) -> String {
    typed.chars().take(SEARCHED_LETTERS).collect()
}

/// The page.
pub async fn page(State(app): State<Shared>, visitor: Visitor, Query(asked): Query<FindQuery>) -> PageResult {
    let remembered = app.searches.asked(visitor.user()?, asked.search.as_deref());
    let clinical = visitor.may(Right::SeeClinical);
    let view = work(&app, move |app| {
        let view = view(app, remembered.text.unwrap_or_default(), clinical)?;
        Ok(FindView { search: asked.search.unwrap_or_default(), is_over: remembered.is_over, ..view })
    });
    shown(pages::find(&app.frame(&visitor, Here::Find), &view.await?))
}

/// A search: `part` requests the list alone, `1` in full, `brief` for the search box of every page. Otherwise the page
/// named by the form shows what is found.
pub async fn search(State(app): State<Shared>, visitor: Visitor, Posted(filled): Posted) -> PageResult {
    let (user, query) = (visitor.user()?, search_text(filled.value("q")));
    let (clinical, frame) = (visitor.may(Right::SeeClinical), app.frame(&visitor, Here::Find));
    let part = filled.value("part").to_owned();
    if part == "brief" {
        let view = work(&app, move |app| view(app, query, clinical)).await?;
        return shown(pages::find_brief(&view, app.clock.today()));
    }
    let page = page_of_search(filled.given(fields::PAGE).unwrap_or(fields::SEARCH_PATH))?;
    let token = app.searches.remember(user, filled.value(fields::SEARCH), &query);
    if part == "1" {
        let view = work(&app, move |app| view(app, query, clinical)).await?;
        return shown(pages::find_list(&frame, &FindView { search: token, ..view }));
    }
    if query.trim().is_empty() {
        return to(page);
    }
    let joint = if page.contains('?') { '&' } else { '?' };
    to(&format!("{page}{joint}{}={token}", fields::SEARCH))
}

/// The page that shows what a search finds: one of those that have such a form.
fn page_of_search(page: &str) -> Result<&str, Fail> {
    let path = page.split('?').next().unwrap_or_default();
    let of_child =
        path.starts_with("/child/") && ["/join", "/family", "/change"].iter().any(|end| path.ends_with(end));
    let own = gate::own_path(page) == page && (path == fields::SEARCH_PATH || of_child);
    if own { Ok(page) } else { Err(Fail::not_found()) }
}

fn view(app: &App, query: String, clinical: bool) -> Result<FindView, Fail> {
    if query.trim().is_empty() {
        let (children, total) = app.records.children(Some(true), None, 0, SHOWN)?;
        // A closed record at its place in the order of names would tell how the name begins.
        let (closed, open): (Vec<Summary>, Vec<Summary>) =
            children.into_iter().partition(|summary| app.is_closed(summary.child));
        let rows = open
            .into_iter()
            .chain(closed)
            .map(|summary| row(app, &summary, None, clinical))
            .collect::<Result<_, _>>()?;
        return Ok(FindView { query, rows, total, ..FindView::default() });
    }
    let hits = app.search(&query, COUNTED)?;
    let total = hits.len();
    let rows = hits
        .into_iter()
        .take(SHOWN)
        .map(|hit| row(app, &hit.summary, Some(hit.why), clinical))
        .collect::<Result<_, _>>()?;
    Ok(FindView { query, rows, total, ..FindView::default() })
}

/// The next steps that have days, as of a day.
pub(super) fn steps(outlook: &Outlook, on: Day) -> Vec<NextStep> {
    outlook.steps_on(on).into_iter().filter(|step| step.window.is_some()).collect()
}

/// A match; without the phases for who may not see treatment.
fn row(app: &App, summary: &Summary, why: Option<String>, clinical: bool) -> Result<FindRow, Fail> {
    let known = app.known(summary.child, app.clock.today())?;
    let course = &known.outlook.course;
    let steps = steps(&known.outlook, app.clock.today());
    let clinical = clinical && !app.is_closed(summary.child);
    Ok(FindRow {
        who: app.who(course),
        feet: course.feet.iter().filter(|_| clinical).map(|foot| (foot.side, foot.phase)).collect(),
        steps: if clinical { steps } else { to_book(&steps) },
        why,
    })
}
