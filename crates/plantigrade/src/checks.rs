//! The full check of the records once a day, while the server runs, and what it found.

use crate::{
    app::App,
    clock::Clock,
    setting_history::{CHECKS_FILE, SettingChange, SettingHistory},
    web::Shared,
};
use clinic::{FaultKind, VerifyReport};
use record::Timestamp;
use std::{
    io,
    path::Path,
    sync::{Arc, PoisonError},
    thread,
    time::Duration,
};

/// Seconds between two full checks.
const EVERY_SECONDS: i64 = 24 * 3600;
/// How often it is asked whether one is due. The first time is after this too, so that a start is not slowed down.
const ASKED_EVERY: Duration = Duration::from_secs(300);

/// Checks once a day, on a thread of its own that ends with the program.
///
/// The thread does not keep the records open: it ends once they are closed.
pub fn start(app: &Shared) {
    let app = Arc::downgrade(app);
    let checking = move || loop {
        thread::sleep(ASKED_EVERY);
        let Some(app) = app.upgrade() else { return };
        app.plans.forget_old(Clock::machine_seconds());
        if app.held.is_none() && is_due(&app) {
            let _ = check_now(&app);
            crate::photograph_uploads::tidy_pictures(&app);
        }
    };
    if let Err(error) = thread::Builder::new().name("daily check".into()).spawn(checking) {
        tracing::warn!("the records are not checked once a day: {error}");
    }
}

fn is_due(app: &App) -> bool {
    let last = last(&app.dir).ok().flatten().map_or(i64::MIN, |last| last.at.seconds());
    // Also where the clock has gone back.
    !(0..EVERY_SECONDS).contains(&app.clock.now().seconds().saturating_sub(last))
}

/// The last check, as the list has it.
///
/// # Errors
/// When the list cannot be read.
pub fn last(dir: &Path) -> io::Result<Option<SettingChange>> {
    Ok(SettingHistory::of(dir, CHECKS_FILE).read()?.changes.pop())
}

/// Checks everything now, the photographs too, and notes the result. Nothing more is saved after a fault of the file or
/// the log.
///
/// # Errors
/// A sentence, when the check could not be made.
pub fn check_now(app: &App) -> Result<VerifyReport, String> {
    let report = app.records.verify().map_err(|error| {
        tracing::warn!("the records could not be checked: {error}");
        error.to_string()
    })?;
    let grave = report.faults.iter().find(|fault| fault.kind != FaultKind::Summary);
    if let Some(fault) = grave {
        app.records.note_damage(&fault.text);
    }
    let photographs = photographs_fault(app);
    let found = report.faults.first().map(|fault| fault.text.clone()).or_else(|| photographs.clone());
    if let Err(error) = note(app, &report, photographs.as_deref()) {
        tracing::warn!("{CHECKS_FILE} cannot be written: {error}");
    }
    *app.failed_check.lock().unwrap_or_else(PoisonError::into_inner) = found;
    Ok(report)
}

/// What is wrong with the photographs. It stops no save: the entries are whole.
fn photographs_fault(app: &App) -> Option<String> {
    match app.records.check_pictures(&app.pictures(), app.clock.today()) {
        Ok(report) => report.words().map(|words| format!("{words} “plantigrade verify” says whose.")),
        Err(error) => {
            tracing::warn!("the photographs could not be checked: {error}");
            None
        }
    }
}

fn note(app: &App, report: &VerifyReport, photographs: Option<&str>) -> io::Result<()> {
    let first = report.faults.first().map_or("", |fault| fault.text.as_str());
    let mut result = match (report.faults_count, photographs) {
        (0, None) => "nothing was changed or lost, as far as the check can tell".to_owned(),
        (0, Some(_)) => "every entry is as it was saved".to_owned(),
        (count, _) => format!("{count} faults, the first: {first}"),
    };
    if let Some(photographs) = photographs {
        result = format!("{}; photographs: {photographs}", result.trim_end_matches('.'));
    }
    let line = SettingChange {
        at: app.clock.now(),
        by: None,
        name: None,
        key: "check".to_owned(),
        from: String::new(),
        to: result,
        value: report.mark.as_ref().map(|mark| format!("{} {}", mark.entries, mark.digits)),
        why: Some(format!("{} entries of {} children", report.entries, report.children)),
    };
    SettingHistory::of(&app.dir, CHECKS_FILE).append(&[line]).map(|_| ())
}

/// When the last full check was, in words; `None` before the first.
#[must_use]
pub fn last_words(app: &App, when: impl Fn(Timestamp) -> String) -> Option<String> {
    let last = last(&app.dir).ok().flatten()?;
    Some(format!("{}: {} ({}).", when(last.at), last.to, last.why.unwrap_or_default()))
}

impl App {
    /// What the last full check found since the start.
    pub(crate) fn failed_check(&self) -> Option<String> {
        let found = self.failed_check.lock().unwrap_or_else(PoisonError::into_inner).clone();
        // Said already, with what follows from it.
        found
            .filter(|_| self.records.damage().is_none())
            .map(|text| format!("The daily check of the records found: {text}"))
    }
}
