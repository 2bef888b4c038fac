//! Which records fall due for erasure by the clinic's retention period.

use super::access_log::identity;
use crate::{
    app::App,
    web::{Fail, PageResult, Shared, Visitor, page as shown, work},
};
use axum::extract::State;
use clinic::RetentionDue;
use pages::{Here, RetentionRow, RetentionView};
use record::{ChildId, Day};
use std::collections::HashMap;

/// The page.
pub async fn page(State(app): State<Shared>, visitor: Visitor) -> PageResult {
    let frame = app.frame(&visitor, Here::Protection);
    shown(pages::retention(&frame, &work(&app, view).await?))
}

fn view(app: &App) -> Result<RetentionView, Fail> {
    let (rule, today) = (app.settings().retention(), app.clock.today());
    let holds = app.records.holds().in_force()?.into_iter();
    let holds: HashMap<ChildId, (Day, String)> = holds
        .filter_map(|hold| Some((hold.child, (hold.until.filter(|until| today <= *until)?, hold.reason))))
        .collect();
    let held =
        |(child, (until, why)): (&ChildId, &(Day, String))| (identity(app, *child), *until, why.clone());
    let mut view = RetentionView {
        rule: rule.words(),
        due: Vec::new(),
        unknown: Vec::new(),
        held: holds.iter().map(held).collect(),
        later: (0, None),
    };
    for (child, due) in app.records.retention(rule)? {
        if holds.contains_key(&child) {
            continue;
        }
        match due.day() {
            None => view.unknown.push((identity(app, child), "its day of birth is not recorded".to_owned())),
            Some(day) if day <= today => {
                view.due.push(RetentionRow { who: identity(app, child), due: day, rule: rule_words(due) });
            }
            Some(day) => {
                let next = view.later.1.map_or(day, |next| next.min(day));
                view.later = (view.later.0 + 1, Some(next));
            }
        }
    }
    view.due.sort_by_key(|row| row.due);
    view.held.sort_by_key(|(_, until, _)| *until);
    Ok(view)
}

fn rule_words(due: RetentionDue) -> String {
    match due {
        RetentionDue::AfterLast(_, last) => format!("after the last entry, of {}", last.words()),
        RetentionDue::AtAge(_) => "by the age of the child".to_owned(),
        RetentionDue::BirthUnknown => String::new(),
    }
}
