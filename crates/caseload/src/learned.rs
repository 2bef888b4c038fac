//! New children from the natural history, with what was learned from the clinic's own finished feet.
//!
//! Each world draws one clinic from the posterior ([`ClinicPosterior::draw`]), so that the worlds of a little
//! known clinic vary as much as the published ones and those of a well-known clinic hardly. A number of casts
//! or a share of tenotomies in the file of the setting takes precedence over what was learned.

use super::{AgeBand, ChildPath, CourseOfNew, PathPool, Setting, published};
use forecast::learning::ClinicPosterior;
use forecast::natural_history::{
    Calendar, ChildTruth, ClinicHabits, Cohort, FootTruth, ModelError, Parameters, simulate,
};
use rayon::prelude::*;
use record::Side;

/// The number of worlds, and of paths in each.
const WORLDS: usize = 64;
const PATHS: usize = 480;
/// The number of ages distinguished within a band.
const AGES: usize = 6;
/// Weekly casts as published, on a calendar longer than any path.
const CALENDAR: Calendar = Calendar { first_referral: 0, last_referral: 365, as_of: 365 };
/// The largest logit of a tenotomy: always, or with the opposite sign never.
const CERTAIN: f64 = 40.0;

/// A pool of new children under a setting, from what was learned. If the file of the setting gives its own number of
/// casts, they are drawn from the published distribution with that mean and spread.
#[must_use]
pub fn pool(setting: &Setting, clinic: &ClinicPosterior, seed: u64) -> PathPool {
    if own_casts(&setting.course) {
        return published::pool(setting, seed);
    }
    let world = |number: u64| World::draw(setting, clinic, seed.wrapping_mul(10_007).wrapping_add(number));
    let worlds: Result<Vec<Vec<ChildPath>>, ModelError> =
        (0..WORLDS as u64).into_par_iter().map(|number| world(number)?.children(setting)).collect();
    // Learned habits are within their bounds; if they were not, the published ones are used.
    worlds.ok().and_then(|worlds| PathPool::new(&worlds)).unwrap_or_else(|| published::pool(setting, seed))
}

/// Whether the clinic's file states how many casts new children need.
#[must_use]
pub fn own_casts(course: &CourseOfNew) -> bool {
    let built_in = CourseOfNew::default();
    let of = |course: &CourseOfNew| [course.casts_mean, course.casts_sd, course.casts_sd_between];
    of(course) != of(&built_in)
}

/// One clinic drawn from the posterior.
struct World {
    parameters: Parameters,
    habits: ClinicHabits,
    seed: u64,
}

impl World {
    fn draw(setting: &Setting, clinic: &ClinicPosterior, seed: u64) -> Result<Self, ModelError> {
        let (parameters, mut habits) = clinic.draw(seed);
        match setting.course.tenotomy {
            None => {}
            Some(share) if share <= 0.0 => habits.tenotomy_intercept = -CERTAIN,
            Some(share) if share >= 1.0 => habits.tenotomy_intercept = CERTAIN,
            Some(share) => {
                let trial = cohort(setting, 300, seed, 35);
                habits.tenotomy_intercept = habits.intercept_for(&parameters, share, &trial)?;
            }
        }
        Ok(Self { parameters, habits, seed })
    }

    /// The children of every band of age, evenly spread within each.
    fn children(&self, setting: &Setting) -> Result<Vec<ChildPath>, ModelError> {
        let bands = &setting.referrals.ages;
        let all: f64 = bands.iter().map(|band| band.share).sum();
        let mut paths = Vec::with_capacity(PATHS);
        for (number, band) in bands.iter().enumerate() {
            let each = (PATHS as f64 * band.share / all.max(1e-9) / AGES as f64).round() as usize;
            for part in 0..AGES {
                let seed =
                    self.seed ^ ((number * AGES + part + 1) as u64).wrapping_mul(0x9E37_79B9_7F4A_7C15);
                paths.extend(self.of_age(setting, each, seed, age(band, part))?);
            }
        }
        Ok(paths)
    }

    fn of_age(
        &self,
        setting: &Setting,
        children: usize,
        seed: u64,
        age_days: i32,
    ) -> Result<Vec<ChildPath>, ModelError> {
        if children == 0 {
            return Ok(Vec::new());
        }
        let simulated = simulate(&self.parameters, &self.habits, &cohort(setting, children, seed, age_days))?;
        Ok(simulated.iter().map(|child| path(&child.truth, age_days)).collect())
    }
}

/// The middle of one part of a band.
fn age(band: &AgeBand, part: usize) -> i32 {
    let (from, to) = (f64::from(band.from_days), f64::from(band.to_days.max(band.from_days)));
    (from + (to - from) * (part as f64 + 0.5) / AGES as f64).round() as i32
}

fn cohort(setting: &Setting, children: usize, seed: u64, age_days: i32) -> Cohort {
    let age_days = age_days.clamp(3, 7_000);
    Cohort {
        bilateral: setting.course.bilateral,
        complex: setting.course.complex,
        first_cast_age_days: f64::from(age_days),
        first_cast_age_log_sd: 0.0,
        oldest_days: age_days,
        ..Cohort::usual(children, seed, CALENDAR)
    }
}

fn path(child: &ChildTruth, age_days: i32) -> ChildPath {
    let of = |side: Side| child.feet.iter().find(|foot| foot.side == side);
    let casts = |foot: &FootTruth| u8::try_from(foot.correcting_casts()).unwrap_or(u8::MAX);
    ChildPath {
        casts: [Side::Right, Side::Left].map(|side| of(side).map_or(0, casts)),
        tenotomy: [Side::Right, Side::Left]
            .map(|side| of(side).is_some_and(|foot| foot.tenotomy_day.is_some())),
        age_days: u16::try_from(age_days).unwrap_or(0),
        complex: child.feet.iter().any(|foot| foot.complex),
    }
}
