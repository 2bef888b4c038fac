//! Results by the day of writing: what could be printed on a day is printed again, whatever was written
//! since.

use crate::{
    families::{Habits, families},
    rows::{Log, basis, id, on},
    simulated::Chance,
};
use audit::{ClinicHistory, DetailLevel, KnownBy, Measure, MeasureResult, ResultsBasis, Selection};
use record::{
    CastApplied, Correction, Day, Entry, EntryId, RelapseNoted, Side, SiteId, Timestamp, UserId, Withdrawal,
};

/// The first instant after a day, in UTC.
fn end_of(day: Day) -> Timestamp {
    Timestamp::from_seconds(i64::from(day.number() + 1) * 86_400)
}

fn as_written(day: Day) -> ResultsBasis {
    ResultsBasis { known_by: KnownBy::DayOfWriting { before: end_of(day) }, ..basis(day) }
}

/// Every result in full, except the key that names the rule for what was known.
fn printed(basis: &ResultsBasis, logs: &[Vec<Entry>]) -> Vec<MeasureResult> {
    let mut clinic = ClinicHistory::new(basis.clone());
    logs.iter().for_each(|log| clinic.add(log[0].child, log));
    let answer = |measure: &Measure| MeasureResult {
        known_by: KnownBy::ClinicalDay,
        ..MeasureResult::of(&clinic, &Selection::default(), *measure, DetailLevel::Full)
    };
    Measure::ALL.iter().map(answer).collect()
}

/// A clinic that writes some of its visits up to half a year late, and amends and withdraws afterwards. What
/// it printed on day 1,500 from its entries at that time is printed again from all its entries at the end.
#[test]
fn last_years_results_are_printed_again_unchanged() {
    let habits = Habits { leave: 0.1, stay_away: 0.2, relapse: [0.05, 0.4] };
    let mut chance = Chance(5);
    let mut logs: Vec<Vec<Entry>> = Vec::new();
    for family in families(60, 31, on(2_500), habits) {
        let mut log = family.entries;
        for entry in &mut log {
            if chance.next() < 0.3 {
                let days = (182.0 * chance.next()) as i64;
                entry.at = Timestamp::from_seconds(entry.at.seconds() + days * 86_400);
            }
        }
        let amended = (log.len() as f64 * chance.next()) as usize;
        let target = log[amended].clone();
        let reason = "entered wrongly".to_owned();
        let body = if chance.next() < 0.5 {
            let correction =
                Correction { entry: target.id, body: Box::new(target.body), on: Some(target.on + 3), reason };
            record::Body::from(correction)
        } else {
            record::Body::from(Withdrawal { entry: target.id, reason })
        };
        // Dated on the day of the visit, like amendments that correct what was known of it.
        let at = Timestamp::from_seconds(
            i64::from(on(1_200 + (1_000.0 * chance.next()) as i32).number()) * 86_400,
        );
        let number = 5_000_000 + logs.len() as u128;
        log.push(Entry { id: EntryId::new(id(number)), body, at, ..target });
        logs.push(log);
    }
    let day = on(1_500);
    let by_then = |log: &Vec<Entry>| -> Vec<Entry> {
        log.iter().filter(|entry| entry.at < end_of(day)).cloned().collect()
    };
    let had: Vec<Vec<Entry>> = logs.iter().map(by_then).filter(|log| !log.is_empty()).collect();
    let printed_then = printed(&basis(day), &had);
    assert_eq!(printed(&as_written(day), &logs), printed_then);
    // By clinical day more is known about it now than had been written then.
    let now = printed(&basis(day), &logs);
    let differ = now.iter().zip(&printed_then).filter(|(now, then)| now.figures != then.figures).count();
    assert!(differ > 8, "{differ}");
}

fn late(log: Log, on_day: Day, at_day: Day, body: impl Into<record::Body>) -> Log {
    let mut log = log.write(on_day, body);
    let last = log.entries.last_mut().unwrap();
    last.at = Timestamp::from_seconds(i64::from(at_day.number()) * 86_400);
    (last.by, last.site) = (UserId::new(id(501)), SiteId::new(id(601)));
    log
}

/// A relapse of day 100 that was written on day 130.
#[test]
fn an_entry_written_late_is_known_from_the_day_of_writing() {
    let log = Log::default().write(on(0), CastApplied::on(Side::Right)).write(
        on(60),
        record::BraceFitted {
            brace: record::Brace::default(),
            regime: None,
            hours_prescribed: None,
            fitted_by: None,
        },
    );
    let log = late(log, on(100), on(130), RelapseNoted { side: Side::Right, grade: None, note: None });
    let relapse = |basis: ResultsBasis| {
        let mut clinic = ClinicHistory::new(basis);
        clinic.add(log.entries[0].child, &log.entries);
        clinic.children[0].feet[0].unwrap().relapse
    };
    assert_eq!(relapse(basis(on(110))), on(100).into());
    assert_eq!(relapse(as_written(on(110))), audit::OptionalDay::NEVER);
    assert_eq!(relapse(as_written(on(129))), audit::OptionalDay::NEVER);
    assert_eq!(relapse(as_written(on(130))), on(100).into());
}
