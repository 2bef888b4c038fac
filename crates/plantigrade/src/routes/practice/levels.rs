//! Every sign at every level, and the confirmation of a level with a source.

use super::super::settings::history_view;
use crate::{
    app::App,
    level_sources::{LevelOutcome, LevelSources, change_level, level_key},
    setting_history::ReadHistory,
    web::{Fail, PageResult, PostedTo, Shared, Visitor, again, page as shown, to, work},
};
use axum::extract::{Path, State};
use maud::Markup;
use pages::{
    Frame, Here, PracticeLevelView, PracticeLevelsView,
    fields::{Filled, SEEN, settings as settings_names},
    practice::{level_path, practice_fields as names},
};
use record::{HalfPoint, Sign};

/// Every sign at every level.
pub async fn list(State(app): State<Shared>, visitor: Visitor) -> PageResult {
    let frame = app.frame(&visitor, Here::Practice);
    let sources = work(&app, LevelSources::read).await?;
    let view = PracticeLevelsView { confirmed: sources.confirmed(), unreadable: sources.history.unreadable };
    shown(pages::practice_levels(&frame, &view))
}

fn level_of((sign, level): &(String, String)) -> Result<(Sign, HalfPoint), Fail> {
    let level = HalfPoint::from_text(level).ok_or_else(Fail::not_found)?;
    Ok((Sign::from_key(sign).ok_or_else(Fail::not_found)?, level))
}

/// One level with the form by which it is confirmed.
pub async fn one(
    State(app): State<Shared>,
    visitor: Visitor,
    Path(path): Path<(String, String)>,
) -> PageResult {
    let of = level_of(&path)?;
    let frame = app.frame(&visitor, Here::Practice);
    shown(work(&app, move |app| drawn(app, &frame, of, Filled::default(), None)).await?)
}

/// Confirms a level, or takes that back.
pub async fn change(
    State(app): State<Shared>,
    visitor: Visitor,
    PostedTo { path, by, filled }: PostedTo<(String, String)>,
) -> PageResult {
    let of = level_of(&path)?;
    let frame = app.frame(&visitor, Here::Practice);
    let done = work(&app, move |app| {
        let withdraws = filled.value(settings_names::DO) == "withdraw";
        if !withdraws && filled.value(names::COMPARED) != "yes" {
            let why = "Confirm only what was compared with the source.";
            return drawn(app, &frame, of, filled.wrong(names::COMPARED, why), None).map(Some);
        }
        let source = (!withdraws).then(|| filled.value(names::SOURCE).to_owned());
        match change_level(app, by, of, source.as_deref(), filled.value(SEEN))? {
            LevelOutcome::Saved => Ok(None),
            LevelOutcome::Refused(why) => {
                drawn(app, &frame, of, filled.wrong(names::SOURCE, why), None).map(Some)
            }
            LevelOutcome::Newer(why) => drawn(app, &frame, of, filled, Some(why)).map(Some),
        }
    });
    done.await?.map_or_else(|| to(&level_path(of.0, of.1)), again)
}

fn drawn(
    app: &App,
    frame: &Frame,
    (sign, level): (Sign, HalfPoint),
    filled: Filled,
    newer: Option<String>,
) -> Result<Markup, Fail> {
    let sources = LevelSources::read(app)?;
    let key = level_key(sign, level);
    let changes = sources.history.changes.iter().filter(|change| change.key == key).cloned().collect();
    let of_level = ReadHistory { changes, unreadable: 0 };
    let what = format!("{}, level {}", sign.name(), level.text());
    let view = PracticeLevelView {
        sign,
        level,
        confirmed: sources.confirmed(),
        filled,
        seen: sources.version(sign, level),
        newer,
        history: history_view(&of_level, |_| (what.clone(), None)).rows,
        unreadable: sources.history.unreadable,
    };
    Ok(pages::practice_level(frame, &view))
}
