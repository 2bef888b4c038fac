//! Backups and drills by themselves, while the server runs.

use crate::{
    app::App,
    backing_up::{BackedUpClinic, BackupAct, BackupEvents, BackupKeys, drill, make, present_folders},
    web::Shared,
};
use record::Timestamp;
use std::{path::Path, sync::Arc, thread, time::Duration};

/// How often it is asked whether something is due. The first time is after this too, so that a start is not slowed down.
const ASKED_EVERY: Duration = Duration::from_secs(60);
/// After a failure it is tried again after so many seconds.
const AGAIN_AFTER: i64 = 3600;
/// Seconds between two drills.
const DRILL_EVERY: i64 = 7 * 24 * 3600;

/// Makes backups and drills when they are due, on a thread of its own that ends with the program.
pub fn start(app: &Shared) {
    // It must not hold the records open when the program ends, or while the key is changed.
    let app = Arc::downgrade(app);
    let working = move || loop {
        thread::sleep(ASKED_EVERY);
        let Some(app) = app.upgrade() else { return };
        if app.held.is_none() && !app.mode.invented {
            do_what_is_due(&app);
        }
    };
    if let Err(error) = thread::Builder::new().name("backups".into()).spawn(working) {
        tracing::warn!("no backups are made by themselves: {error}");
    }
}

/// Makes what is due now. Folders that are away are asked again the next time, without a line for each.
pub(crate) fn do_what_is_due(app: &App) {
    let settings = app.settings();
    if settings.backups.folders.is_empty() || !matches!(BackupKeys::of(&app.dir), Ok(Some(_))) {
        return;
    }
    let clinic = BackedUpClinic { dir: &app.dir, records: &app.records, clock: app.clock, by: String::new() };
    for folder in present_folders(&app.dir, &settings) {
        let events = BackupEvents::read(&app.dir).unwrap_or_default();
        let now = app.clock.now();
        let hour = app.clock.hour();
        if backup_is_due(&events, &folder, now, i64::from(settings.backups.every_hours))
            && settings.backups.not_before_hour.is_none_or(|first| hour >= first)
        {
            if let Err(why) = make(&clinic, &folder) {
                tracing::warn!("no backup was made in {}: {why}", folder.display());
            }
            app.forget_backup_state();
        } else if drill_is_due(&events, &folder, now) {
            match drill(&clinic, &folder) {
                Ok(outcome) if outcome.passed() => {}
                Ok(outcome) => tracing::error!("the drill in {}: {}", folder.display(), outcome.words()),
                Err(why) => tracing::warn!("no drill was made in {}: {why}", folder.display()),
            }
            app.forget_backup_state();
        }
    }
}

fn since(events: &BackupEvents, folder: &Path, acts: &[BackupAct], now: Timestamp) -> Option<i64> {
    let last = events.last_in(folder, acts)?.at.seconds();
    // Where the clock has gone back, it was long ago.
    Some(now.seconds() - last).map(|since| if since < 0 { i64::MAX } else { since })
}

fn backup_is_due(events: &BackupEvents, folder: &Path, now: Timestamp, hours: i64) -> bool {
    let made = since(events, folder, &[BackupAct::Made], now);
    let failed = since(events, folder, &[BackupAct::Failed], now);
    // A backup an hour late each day would wander through the day.
    made.is_none_or(|made| made >= hours * 3600 - 600) && failed.is_none_or(|failed| failed >= AGAIN_AFTER)
}

fn drill_is_due(events: &BackupEvents, folder: &Path, now: Timestamp) -> bool {
    let made = since(events, folder, &[BackupAct::Made], now);
    let passed = since(events, folder, &[BackupAct::DrillPassed], now);
    let tried = since(events, folder, &[BackupAct::DrillPassed, BackupAct::DrillFailed], now);
    // After a failure it is tried again once a day.
    made.is_some()
        && passed.is_none_or(|passed| passed >= DRILL_EVERY)
        && tried.is_none_or(|tried| tried >= 24 * 3600)
}

#[cfg(test)]
mod tests {
    #![allow(clippy::unwrap_used)]
    use super::*;
    use crate::{app::Mode, backing_up::BackupEvent, clock::Clock};

    const HOUR: i64 = 3600;

    fn events(of: &[(BackupAct, i64)]) -> BackupEvents {
        let event = |(act, at): &(BackupAct, i64)| BackupEvent {
            at: Timestamp::from_seconds(*at),
            act: *act,
            folder: "/stick".into(),
            file: String::new(),
            entries: 0,
            children: 0,
            pieces: 0,
            piece_bytes: 0,
            mark: String::new(),
            witness: None,
            by: String::new(),
            result: String::new(),
        };
        BackupEvents(of.iter().map(event).collect())
    }

    fn due(of: &[(BackupAct, i64)], now: i64) -> (bool, bool) {
        let (events, folder, now) = (events(of), Path::new("/stick"), Timestamp::from_seconds(now));
        (backup_is_due(&events, folder, now, 24), drill_is_due(&events, folder, now))
    }

    #[test]
    fn what_is_due_is_made_and_tried_by_itself() {
        let (dir, stick) = (tempfile::tempdir().unwrap(), tempfile::tempdir().unwrap());
        let away = stick.path().join("away");
        let settings = format!("[backups]\nfolders = [{:?}, {away:?}]\n", stick.path());
        std::fs::write(dir.path().join(crate::settings::FILE_NAME), settings).unwrap();
        let app = App::open(dir.path(), Clock::default(), Mode::default()).unwrap();
        let acts =
            || BackupEvents::read(dir.path()).unwrap().0.iter().map(|event| event.act).collect::<Vec<_>>();
        do_what_is_due(&app);
        assert_eq!(acts(), [], "without a passphrase nothing is made");
        crate::backing_up::set_up(dir.path(), "four quiet herons wading").unwrap();
        for (turn, done) in [(1, 1), (2, 2), (3, 2)] {
            do_what_is_due(&app);
            assert_eq!(acts().len(), done, "turn {turn}: {:?}", BackupEvents::read(dir.path()).unwrap().0);
        }
        assert_eq!(acts(), [BackupAct::Made, BackupAct::DrillPassed], "the folder that is away is left out");
        assert!(app.backup_trouble().is_none());
    }

    #[test]
    fn what_is_due_follows_from_what_was_done_in_that_folder() {
        use BackupAct::{DrillFailed, DrillPassed, Failed, Made};
        assert_eq!(due(&[], 0), (true, false), "at once, and no drill without a backup");
        assert_eq!(due(&[(Made, 0)], 23 * HOUR), (false, true), "the first drill at once");
        assert_eq!(due(&[(Made, 0), (DrillPassed, 1)], 24 * HOUR), (true, false));
        assert_eq!(due(&[(Failed, 0)], 60), (false, false), "not at every minute");
        assert_eq!(due(&[(Failed, 0)], HOUR), (true, false));
        assert!(due(&[(Made, 0), (DrillPassed, 0)], 7 * 24 * HOUR).1);
        assert!(!due(&[(Made, 0), (DrillFailed, 0)], 23 * HOUR).1);
        assert!(due(&[(Made, 0), (DrillFailed, 0)], 24 * HOUR).1);
        assert!(due(&[(Made, 100 * HOUR)], 0).0, "where the clock has gone back");
    }
}
