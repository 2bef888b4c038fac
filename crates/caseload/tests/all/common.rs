//! Shared parts of the tests of the caseload.

use caseload::{ChildPath, Clinic, PathPool, ReadyClinic, Referrals, Setting};
use record::Day;

pub fn start() -> Day {
    "2026-11-25".parse().unwrap()
}

/// A clinic of two cast mornings, one list and one brace clinic, with a number of new children a year.
pub fn busy(per_year: f64) -> Setting {
    Setting {
        horizon_weeks: 104,
        referrals: Referrals { per_year: Some(per_year), ..Referrals::default() },
        cast_clinic: Clinic { tuesday: 6, friday: 6, absence: 0.05, ..Clinic::default() },
        theatre: Clinic { thursday: 2, absence: 0.05, ..Clinic::default() },
        brace_clinic: Clinic { wednesday: 12, absence: 0.05, ..Clinic::default() },
        ..Setting::default()
    }
}

pub fn clinic(setting: &Setting, pool: PathPool) -> ReadyClinic {
    ReadyClinic::new(setting, pool, &[], start()).unwrap()
}

pub fn pool_of_one(path: ChildPath) -> PathPool {
    PathPool::new(&[vec![path]]).unwrap()
}
