//! The first start after the first account: name and days of the clinic, and what to begin with.

use crate::{
    forms,
    setting_changes::{self, ChangeOutcome},
    settings::{FILE_NAME, Settings},
    web::{PageResult, Posted, Shared, Visitor, again, page as shown, to, work},
};
use axum::extract::{Query, State};
use pages::{Here, fields::Filled};
use serde::Deserialize;

/// Whether the person comes from the step before.
#[derive(Debug, Deserialize)]
pub struct StepsQuery {
    new: Option<String>,
}

/// The three ways to begin.
pub async fn page(
    State(app): State<Shared>,
    visitor: Visitor,
    Query(asked): Query<StepsQuery>,
) -> PageResult {
    shown(pages::first_steps(&app.frame(&visitor, Here::Elsewhere), asked.new.is_some()))
}

/// The form of name and days. It is empty until the clinic has saved settings: a name or a day that nobody chose is
/// not proposed.
pub async fn clinic(State(app): State<Shared>, visitor: Visitor) -> PageResult {
    let saved = app.dir.join(FILE_NAME).exists();
    let filled = if saved { forms::settings_filled(&app.settings()) } else { Filled::default() };
    shown(pages::first_clinic(&app.frame(&visitor, Here::Elsewhere), &filled))
}

/// Saves name and days.
pub async fn save(State(app): State<Shared>, visitor: Visitor, Posted(filled): Posted) -> PageResult {
    let (by, frame) = (visitor.user()?, app.frame(&visitor, Here::Elsewhere));
    let mut read = Settings::clone(&app.settings());
    if let Err(errors) = forms::read_settings(&filled, &mut read) {
        return again(pages::first_clinic(&frame, &Filled { errors, ..filled }));
    }
    let outcome = work(&app, move |app| {
        setting_changes::change(app, by, None, |settings| {
            (settings.name, settings.weekdays) = (read.name, read.weekdays);
            Ok(())
        })
    });
    match outcome.await? {
        ChangeOutcome::Saved | ChangeOutcome::Same => to("/first-steps?new=yes"),
        ChangeOutcome::Refused(text) | ChangeOutcome::Newer(text) => {
            again(pages::first_clinic(&frame, &filled.wrong("", text)))
        }
    }
}
