//! Capacity: the clinic's simulated caseload, and what another setting would change.

use crate::{
    app::App,
    capacity_file::{self, CAPACITY_FILE, CAPACITY_FILE_BEFORE, RUNS},
    forms,
    kept_file::KeptFile,
    web::{Fail, PageResult, Posted, Shared, Visitor, again, drawn, page as shown, to, work},
};
use axum::extract::{Query, State};
use caseload::{CaseloadSummary, Comparison, Setting, Tally, setting_values, simulate};
use clinic::{
    ArchiveError, CacheKey, CacheValue, CaseloadCounts, ClinicRecords, OwnCaseload, RecentValue,
    RecomputeCost, TrainedForecaster, filled_setting, ready_clinic,
};
use pages::{
    CapacityForm, CapacityView, ChildrenCounted, Here, Message, OtherSetting, RequestError,
    fields::{FieldError, Filled},
};
use record::Day;
use serde::Deserialize;

/// Every simulation has the same children, so that only the changed values make a difference.
const SEED: u64 = 1;
/// The estimated size of an answer in the cache: the tallies of 400 runs, bytes.
const ANSWER_BYTES: usize = 4 << 20;

/// What was just saved.
#[derive(Debug, Deserialize)]
pub struct CapacityQuery {
    done: Option<String>,
}

/// The saved setting of the clinic, or the built-in example.
#[derive(Debug)]
struct SavedSetting {
    setting: Setting,
    file: Option<String>,
    warning: Option<String>,
    /// Whether an earlier setting can be restored.
    has_previous: bool,
}

impl SavedSetting {
    fn read(app: &App) -> Self {
        let path = app.dir.join(CAPACITY_FILE);
        let has_previous = app.dir.join(CAPACITY_FILE_BEFORE).exists();
        if !path.exists() {
            let setting = app.with_closures(Setting::default());
            return Self { setting, file: None, warning: None, has_previous };
        }
        let file = Some(path.display().to_string());
        match capacity_file::read(&path) {
            Ok(setting) => Self { setting: app.with_closures(setting), file, warning: None, has_previous },
            Err(failure) => {
                let warning = Some(format!("{} The built-in example is shown instead.", failure.sentence));
                Self { setting: Setting::default(), file: None, warning, has_previous }
            }
        }
    }
}

/// The page for the saved setting.
pub async fn page(
    State(app): State<Shared>,
    visitor: Visitor,
    Query(asked): Query<CapacityQuery>,
) -> PageResult {
    let mut frame = app.frame(&visitor, Here::Capacity);
    frame.message = match asked.done.as_deref() {
        Some("kept") => Some(format!("Setting saved. The previous version is in {CAPACITY_FILE_BEFORE}.")),
        Some("undone") => Some("The earlier setting is restored.".to_owned()),
        _ => None,
    }
    .map(Message::Done);
    let saved = SavedSetting::read(&app);
    let setting = saved.setting.clone();
    let recent = work(&app, move |app| recent(app, setting)).await?;
    if !recent.is_current {
        let text = format!(
            "As of {}. What was saved since is not in it yet; open the page again in a few seconds.",
            recent.value.time
        );
        frame.message = Some(match frame.message.take() {
            Some(message) => message.with(&text),
            None => Message::Note(text),
        });
    }
    let sheet = format!("/capacity {} {} {:?} {saved:?}", recent.at.seconds(), recent.is_current, asked.done);
    drawn(&app, &visitor, sheet, move |_| {
        let filled = CapacityForm::filled(&saved.setting);
        Ok(pages::capacity(&frame, &first_view(saved, filled, &recent.value)))
    })
    .await
}

/// What the clinic's own caseload comes to with a setting.
struct SimulatedCapacity {
    /// The time of day at which it was begun.
    time: String,
    counts: CaseloadCounts,
    per_year: Option<f64>,
    runs: Result<(CaseloadSummary, Vec<Tally>), String>,
}

impl SimulatedCapacity {
    fn of(
        records: &ClinicRecords,
        setting: &Setting,
        today: Day,
        time: String,
    ) -> Result<Self, ArchiveError> {
        let taught = records.forecaster(today)?;
        let own = records.own_caseload(setting, &taught.forecaster, today)?;
        Ok(Self::with(&own, &taught, setting, today, time))
    }

    fn with(
        own: &OwnCaseload,
        taught: &TrainedForecaster,
        setting: &Setting,
        today: Day,
        time: String,
    ) -> Self {
        Self {
            time,
            counts: own.counts,
            per_year: filled_setting(setting, own).referrals.expected_per_year(),
            runs: simulated(today, setting, own, taught),
        }
    }
}

/// The present answer for a setting, or one of a few minutes ago.
fn recent(app: &App, setting: Setting) -> Result<RecentValue<SimulatedCapacity>, Fail> {
    let (today, time) = (app.clock.today(), app.clock.time_of_day());
    let reading = app.records.forecast_reading(today);
    let key = CacheKey::clinic("capacity").as_of(today).with(format!("{reading} {setting:?}"));
    let value = app.records.current_or_recent(&key, app.clock.now(), move |records| {
        let value = SimulatedCapacity::of(records, &setting, today, time)?;
        Ok(CacheValue { value, bytes: ANSWER_BYTES, cost: RecomputeCost::Slow })
    })?;
    Ok(value)
}

/// The page for the saved setting alone.
fn first_view(saved: SavedSetting, filled: Filled, answer: &SimulatedCapacity) -> CapacityView {
    let SavedSetting { setting, file, mut warning, has_previous } = saved;
    if let Err(why) = &answer.runs {
        warning.get_or_insert_with(|| why.clone());
    }
    let counted_here = setting.referrals.expected_per_year().is_none();
    CapacityView {
        filled,
        file,
        has_previous,
        summary: answer.runs.as_ref().ok().map(|(summary, _)| summary.clone()),
        warning,
        counted: counted(&answer.counts),
        per_year: answer.per_year.map(|per_year| (per_year, counted_here)),
        other: None,
        values: setting_values(&setting),
    }
}

fn counted(counts: &CaseloadCounts) -> ChildrenCounted {
    ChildrenCounted {
        taken: counts.taken,
        after_treatment: counts.after_treatment,
        not_seen: counts.not_seen,
    }
}

/// The page that compares the saved setting with that of the form.
pub async fn compare(State(app): State<Shared>, visitor: Visitor, Posted(mut filled): Posted) -> PageResult {
    let frame = app.frame(&visitor, Here::Capacity);
    let saved = SavedSetting::read(&app);
    match forms::capacity(&filled, &saved.setting) {
        Ok(other) => {
            let drawn =
                work(&app, move |app| Ok(pages::capacity(&frame, &view(app, saved, filled, Some(other))?)));
            shown(drawn.await?)
        }
        Err(errors) => {
            filled.errors = errors;
            again(work(&app, move |app| Ok(pages::capacity(&frame, &view(app, saved, filled, None)?))).await?)
        }
    }
}

/// Saves the form's setting as the clinic's own.
pub async fn save(State(app): State<Shared>, visitor: Visitor, Posted(mut filled): Posted) -> PageResult {
    let frame = app.frame(&visitor, Here::Capacity);
    let saved = SavedSetting::read(&app);
    match forms::capacity(&filled, &saved.setting) {
        Ok(setting) if setting.closures != saved.setting.closures => {
            filled.errors =
                vec![FieldError { field: "closures".to_owned(), text: CLOSED_ELSEWHERE.to_owned() }];
            again(work(&app, move |app| Ok(pages::capacity(&frame, &view(app, saved, filled, None)?))).await?)
        }
        Ok(setting) => {
            work(&app, move |app| write(app, setting)).await?;
            to("/capacity?done=kept")
        }
        Err(errors) => {
            filled.errors = errors;
            again(work(&app, move |app| Ok(pages::capacity(&frame, &view(app, saved, filled, None)?))).await?)
        }
    }
}

/// Exchanges the present setting and the earlier one, so that this can be undone too.
pub async fn undo(State(app): State<Shared>, Posted(_): Posted) -> PageResult {
    work(&app, move |app| {
        let before = app.dir.join(CAPACITY_FILE_BEFORE);
        let setting =
            capacity_file::read(&before).map_err(|failure| Fail(RequestError::Refused(failure.sentence)))?;
        write(app, setting)
    })
    .await?;
    to("/capacity?done=undone")
}

/// Closed days can be compared here; they are saved in one place.
const CLOSED_ELSEWHERE: &str = "The closed days differ from those of the clinic. Here they can only be compared; change them on the page Settings.";

/// Writes the whole file or nothing, and saves the previous version. The closed days are saved with the settings;
/// those that the file still has from an earlier version stay in it until they are moved there.
fn write(app: &App, mut setting: Setting) -> Result<(), Fail> {
    setting.closures = capacity_file::of_clinic(&app.dir).map(|there| there.closures).unwrap_or_default();
    let text = setting.to_toml().map_err(|error| Fail::fault(&error.to_string()))?;
    let head = "# How this clinic works, for the page Capacity. Written by that page; docs/capacity.md explains every value.\n";
    let file = KeptFile::of(&app.dir, CAPACITY_FILE);
    file.replace(&format!("{head}{text}"))
        .map_err(|error| Fail::fault(&format!("{} cannot be written: {error}", file.path().display())))
}

fn view(
    app: &App,
    saved: SavedSetting,
    filled: Filled,
    other: Option<Setting>,
) -> Result<CapacityView, Fail> {
    let Some(other) = other else {
        let answer = recent(app, saved.setting.clone())?;
        return Ok(first_view(saved, filled, &answer.value));
    };
    let changes = forms::changes(&saved.setting, &other);
    // Runs are compared in pairs, so both have the same horizon.
    let setting = Setting { horizon_weeks: other.horizon_weeks, ..saved.setting.clone() };
    let values = setting_values(&saved.setting);
    let (today, time) = (app.clock.today(), app.clock.time_of_day());
    let taught = app.records.forecaster(today)?;
    let own = app.records.own_caseload(&setting, &taught.forecaster, today)?;
    let first = SimulatedCapacity::with(&own, &taught, &setting, today, time);
    let second = simulated(today, &other, &own, &taught);
    let mut view = CapacityView { values, ..first_view(saved, filled, &first) };
    if let (Ok((_, runs)), Ok((summary, others))) = (first.runs, second) {
        view.other = Some(OtherSetting { summary, comparison: Comparison::of(&runs, &others), changes });
    }
    Ok(view)
}

fn simulated(
    today: Day,
    setting: &Setting,
    own: &OwnCaseload,
    taught: &TrainedForecaster,
) -> Result<(CaseloadSummary, Vec<Tally>), String> {
    let sentence = |error: caseload::SettingError| crate::exit::sentence(&error.to_string());
    let clinic = match ready_clinic(setting, own, &taught.clinic, today) {
        Err(caseload::SettingError::NoReferrals) => {
            return Err("The number of new children a year is not set, and none was referred here in the last year. Enter the number below.".to_owned());
        }
        other => other.map_err(sentence)?,
    };
    let runs = simulate(&clinic, SEED, RUNS);
    let summary = CaseloadSummary::of(&clinic, &runs).ok_or_else(|| "Nothing was simulated.".to_owned())?;
    Ok((summary, runs))
}
