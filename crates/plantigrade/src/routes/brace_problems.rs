//! Brace problems: the list of problems, and the problems of a child with what was advised.

use super::{
    child::id,
    submission::{Draft, Submission},
};
use crate::web::{Fail, PageResult, PostedTo, Shared, Visitor, page as shown, to, work};
use axum::extract::{Path, State};
use pages::{BraceProblemsView, Here, RequestError, brace_problems::names};
use record::{ChildId, EntryId, Helped, Problem};

/// The list of problems.
pub async fn page(State(app): State<Shared>, visitor: Visitor) -> PageResult {
    let frame = app.frame(&visitor, Here::BraceProblems);
    let drawn = work(&app, move |app| {
        let tally = app.records.advice_tally(app.clock.today())?;
        Ok(pages::brace_problems(
            &frame,
            &BraceProblemsView { child: None, tally: &tally, once: app.once().to_string() },
        ))
    });
    shown(drawn.await?)
}

/// The problems of a child.
pub async fn of_child(State(app): State<Shared>, visitor: Visitor, Path(child): Path<ChildId>) -> PageResult {
    let frame = app.frame(&visitor, Here::Elsewhere);
    let drawn = work(&app, move |app| {
        let known = app.known(child, app.clock.today())?;
        let (course, tally) = (&known.outlook.course, app.records.advice_tally(app.clock.today())?);
        let child = Some((app.who(course), course.problems.as_slice()));
        Ok(pages::brace_problems(
            &frame,
            &BraceProblemsView { child, tally: &tally, once: app.once().to_string() },
        ))
    });
    shown(drawn.await?)
}

/// Saves what was advised, or whether it helped.
pub async fn save(
    State(app): State<Shared>,
    PostedTo { path: child, by, filled }: PostedTo<ChildId>,
) -> PageResult {
    let answered: EntryId = id(filled.value(names::PROBLEM))?;
    let advised = filled.given(names::ADVISED).map(str::to_owned);
    let helped = filled
        .given(names::HELPED)
        .map(|key| Helped::from_key(key).ok_or_else(Fail::not_found))
        .transpose()?;
    work(&app, move |app| {
        let today = app.clock.today();
        let known = app.known(child, today)?;
        let problem = known.outlook.course.problems.iter().find(|problem| problem.entry == answered);
        let problem = problem.ok_or_else(Fail::not_found)?;
        let body = Problem { side: problem.side, advised, helped, ..Problem::of(problem.what) };
        if body.advised.is_none() {
            return Err(Fail(RequestError::Refused("What was advised is missing.".to_owned())));
        }
        if let Some(found) = crate::forms::refused(&body.clone().into(), today, "").into_iter().next() {
            return Err(Fail(RequestError::Refused(found.text)));
        }
        let submission = Submission::of_form(app, child, by, &filled);
        submission.save(app, vec![Draft { follows: Some(answered), ..Draft::new(body, today) }])?;
        Ok(())
    })
    .await?;
    to(&format!("/child/{child}/trouble"))
}
