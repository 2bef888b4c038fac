//! Find a child.

use crate::{
    app::App,
    web::{Fail, PageResult, Shared, Visitor, page as shown, work},
};
use axum::extract::{Query, State};
use clinic::Summary;
use guidance::{NextStep, Outlook, to_book};
use pages::{FindRow, FindView, Here};
use record::{Day, Right};
use serde::Deserialize;

/// The most children shown.
const SHOWN: usize = 25;

/// The most matches counted.
const COUNTED: usize = 100;

/// Letters of a search text that are looked at.
const SEARCHED_LETTERS: usize = 200;

/// The search text; `part` requests the list alone: `1` in full, `brief` for the search box of every page.
#[derive(Debug, Deserialize)]
pub struct FindQuery {
    #[serde(default)]
    q: String,
    #[serde(default)]
    part: String,
}

/// What is searched for, as far as it is looked at.
pub(super) fn search_text(typed: &str) -> String {
    typed.chars().take(SEARCHED_LETTERS).collect()
}

/// The page, or the list alone, which is updated while the user types.
pub async fn page(State(app): State<Shared>, visitor: Visitor, Query(asked): Query<FindQuery>) -> PageResult {
    let query = search_text(&asked.q);
    let clinical = visitor.may(Right::SeeClinical);
    let view = work(&app, move |app| view(app, query, clinical)).await?;
    match asked.part.as_str() {
        "1" => return shown(pages::find_list(&app.frame(&visitor, Here::Find), &view)),
        "brief" => return shown(pages::find_brief(&view, app.clock.today())),
        _ => {}
    }
    shown(pages::find(&app.frame(&visitor, Here::Find), &view))
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
        return Ok(FindView { query, rows, total });
    }
    let hits = app.search(&query, COUNTED)?;
    let total = hits.len();
    let rows = hits
        .into_iter()
        .take(SHOWN)
        .map(|hit| row(app, &hit.summary, Some(hit.why), clinical))
        .collect::<Result<_, _>>()?;
    Ok(FindView { query, rows, total })
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
