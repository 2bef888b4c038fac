//! New children sampled from published marginals.
//!
//! | what | value | source |
//! |---|---|---|
//! | correcting casts per foot | mean 5.6, SD 1.5 within a clinic | pooled from 674 feet in 5 arms (Ethiopian cohort, Bob-Manuel 2022, Islam 2020 two arms, Williams 2022): mean 5.63, within-arm SD 1.51; computed from figures read |
//! | between clinics | SD 0.64 of the mean | the same: total SD 1.64, so √(1.64² − 1.51²) |
//! | shape | gamma, rounded to whole casts | skewed as the ranges 2–10 and 2–16 around 5–6 are (Gao; Brazell 2019); the family is assumed |
//! | complex foot | 6.6 % of children (50/762) | Ponseti 2006, 10.1097/01.blo.0000224062.39990.48; referral-biased |
//! | casts of a complex foot | mean 6.4, as spread as others | the mean of 5.12 (Indian J Orthop 2023, 10.1007/s43465-023-00910-w) and 7.68 (Yadav 2023, 10.15406/mojor.2023.15.00615) |
//! | tenotomy per foot | each world draws a centre: mean .70, SD .19 | eleven base rates between 22 and 86 % and a review's range 41–97 % ([`TENOTOMY_CENTRES`]) |
//! | both feet of a child | 50 % of children | reviews; 18–50 % between series |
//! | similarity of the two feet | correlation .7, of casts and of tenotomy | assumed |
//! | casts and tenotomy | independent given the centre | assumed: both follow severity, no joint figure was read |
//! | complex foot and tenotomy | .92 (23/25) | Yadav 2023 |
//! | age at referral | the setting's bands, even within each | assumed: published means at the start run from 24 days (10 cohorts of infants) to 15.3 weeks (Mengesha) |
//!
//! Counting rules differ between the cohorts (with or without the cast after a tenotomy). Here casts are
//! those before it, and the tenotomy cast is added.

use super::{ChildPath, PathPool, Setting};
use rand::{RngExt, SeedableRng, rngs::StdRng};
use rand_distr::{Distribution, Gamma, StandardNormal};

/// Share of feet with a tenotomy in the cohorts read: Lagos, Ugwuowo, Khan, Niger J Med, Scher, Williams,
/// the dorsiflexion cohort, Spiegel, Islam (two arms), Menon.
pub const TENOTOMY_CENTRES: [f64; 11] =
    [0.224, 0.516, 0.609, 0.660, 0.720, 0.735, 0.744, 0.790, 0.864, 0.844, 0.864];

/// The correlation of the two feet of a child. Assumed.
const BETWEEN_FEET: f64 = 0.7;
/// The number of worlds, and of paths in each.
const WORLDS: usize = 64;
const PATHS: usize = 512;
/// Casts of complex feet, mean.
const COMPLEX_CASTS: f64 = 6.4;
/// Tenotomy of complex feet: 23 of 25.
const COMPLEX_TENOTOMY: f64 = 0.92;
/// The largest number of casts without other treatment.
const MOST_CASTS: f64 = 30.0;

/// The values of one world.
#[derive(Debug, Clone, Copy)]
struct World {
    casts_mean: f64,
    tenotomy: f64,
}

/// A pool of new children as published, under a setting.
#[must_use]
pub fn pool(setting: &Setting, seed: u64) -> PathPool {
    let mut rng = StdRng::seed_from_u64(seed);
    let mut paths = Vec::with_capacity(WORLDS * PATHS);
    for number in 0..WORLDS {
        let world = World::draw(setting, number, &mut rng);
        paths.extend((0..PATHS).map(|_| world.child(setting, &mut rng)));
    }
    PathPool { paths, per_world: PATHS }
}

impl World {
    fn draw(setting: &Setting, number: usize, rng: &mut StdRng) -> Self {
        let course = &setting.course;
        let z: f64 = StandardNormal.sample(rng);
        let mean = course.casts_sd_between.mul_add(z, course.casts_mean);
        // Complex feet have their own mean; that of the others is set so that the overall mean is the published one.
        let others = (mean - course.complex * COMPLEX_CASTS) / (1.0 - course.complex).max(0.05);
        let centre = TENOTOMY_CENTRES[number % TENOTOMY_CENTRES.len()];
        Self { casts_mean: others.clamp(1.0, 20.0), tenotomy: course.tenotomy.unwrap_or(centre) }
    }

    fn child(self, setting: &Setting, rng: &mut StdRng) -> ChildPath {
        let course = &setting.course;
        let complex = rng.random_bool(course.complex);
        let bilateral = rng.random_bool(course.bilateral);
        let (mean, tenotomy) =
            if complex { (COMPLEX_CASTS, COMPLEX_TENOTOMY) } else { (self.casts_mean, self.tenotomy) };
        let casts = casts(mean, course.casts_sd, rng);
        let cut = cut(tenotomy, rng);
        let age_days = age(setting, rng);
        if bilateral {
            return ChildPath { casts, tenotomy: cut, age_days, complex };
        }
        ChildPath { casts: [casts[0], 0], tenotomy: [cut[0], false], age_days, complex }
    }
}

/// Casts of two feet: the sum of a shared gamma number and one for each foot, with the same scale. The sums are gamma
/// numbers whose correlation is the shared part of the shape.
fn casts(mean: f64, sd: f64, rng: &mut StdRng) -> [u8; 2] {
    // Rounding to whole casts adds a twelfth to the variance.
    let variance = (sd * sd - 1.0 / 12.0).max(0.01);
    let (shape, scale) = (mean * mean / variance, variance / mean);
    let mut part = |share: f64| {
        let gamma = Gamma::new((shape * share).max(1e-3), scale);
        gamma.map_or(mean * share, |gamma| gamma.sample(rng))
    };
    let shared = part(BETWEEN_FEET);
    let mut foot = || (shared + part(1.0 - BETWEEN_FEET)).round().clamp(1.0, MOST_CASTS) as u8;
    [foot(), foot()]
}

/// Tenotomy of two feet: with the chance of the correlation one answer for both, otherwise one for each.
fn cut(chance: f64, rng: &mut StdRng) -> [bool; 2] {
    let first = rng.random_bool(chance);
    let second = if rng.random_bool(BETWEEN_FEET) { first } else { rng.random_bool(chance) };
    [first, second]
}

fn age(setting: &Setting, rng: &mut StdRng) -> u16 {
    let bands = &setting.referrals.ages;
    let all: f64 = bands.iter().map(|band| band.share).sum();
    let mut left = rng.random::<f64>() * all;
    let mut chosen = bands.last();
    for band in bands {
        if left < band.share {
            chosen = Some(band);
            break;
        }
        left -= band.share;
    }
    let days = chosen.map_or(0, |band| rng.random_range(band.from_days..=band.to_days.max(band.from_days)));
    u16::try_from(days).unwrap_or(u16::MAX)
}
