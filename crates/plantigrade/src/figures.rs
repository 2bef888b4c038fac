//! Figures about the running program for a monitoring system: requests, writes, checks and faults. Nothing is said
//! about children, accounts or what was recorded, and no figure counts them.

use crate::{app::App, backing_up::BackupEvents, checks, metrics::MetricsText};

/// All figures.
#[must_use]
pub fn text(app: &App) -> String {
    let mut out = MetricsText::default();
    out.family("plantigrade_build", "info", "The version of the program.");
    out.sample("plantigrade_build_info", concat!("version=\"", env!("CARGO_PKG_VERSION"), "\""), 1);
    app.metrics.write(&mut out);
    write_records(app, &mut out);
    write_checks(app, &mut out);
    write_backups(app, &mut out);
    out.finish()
}

fn write_records(app: &App, out: &mut MetricsText) {
    let writes = app.records.writes();
    out.counter("plantigrade_writes", "Writes to the records, of any kind, since the start.", writes.writes);
    out.counter(
        "plantigrade_commits",
        "Transactions in which they were written; some share one.",
        writes.commits,
    );
    out.gauge("plantigrade_writes_waiting", "Writes that wait for the disk now.", Some(writes.waiting));
    let refused = app.saving_refused().is_some();
    out.flag("plantigrade_saving_refused", "1 while nothing can be saved; the pages say why.", refused);
    let damaged = app.held.is_some() || app.records.damage().is_some();
    out.flag(
        "plantigrade_records_damaged",
        "1 while the records are damaged or not those saved last.",
        damaged,
    );
    let unwritten = app.records.witness_warning().is_some();
    out.flag(
        "plantigrade_witness_unwritten",
        "1 while the witness of the records cannot be written.",
        unwritten,
    );
    let unwritten = app.access_log.trouble().is_some();
    out.flag("plantigrade_access_log_unwritten", "1 while the access log cannot be written.", unwritten);
}

fn write_checks(app: &App, out: &mut MetricsText) {
    let now = app.clock.now().seconds();
    let checked = checks::last(&app.dir).ok().flatten().map(|last| now.saturating_sub(last.at.seconds()));
    out.gauge(
        "plantigrade_full_check_age_seconds",
        "Seconds since the last full check of the records.",
        checked,
    );
    let failed = app.failed_check().is_some();
    out.flag(
        "plantigrade_full_check_failed",
        "1 if the last full check since the start found something.",
        failed,
    );
}

fn write_backups(app: &App, out: &mut MetricsText) {
    let now = app.clock.now().seconds();
    let events = BackupEvents::read(&app.dir).unwrap_or_default();
    out.gauge(
        "plantigrade_backup_age_seconds",
        "Seconds since the last good backup; no sample if there was none.",
        events.last_good().map(|at| now.saturating_sub(at.seconds())),
    );
    out.flag(
        "plantigrade_backup_drill_failed",
        "1 if the last drill in a folder of the settings failed.",
        events.failed_drill(&app.settings().backups.folders).is_some(),
    );
}
