//! Foot length and shoulder width by age, for boots and bars.
//!
//! Foot length below two years: `a ln(months + b) + c`, fitted to infants not standing (Snyder 1977,
//! summary table, n-weighted fit, computed); from two years `a + b y + c y²`, fitted to 1,028 children
//! standing (the same survey, computed). At two years the second is 9.6 mm above the first, partly by
//! method and partly by sampling, so the two are not joined directly: the difference is added evenly from
//! the first to the second birthday, when children begin to stand (assumed). Standard deviations: the
//! bands of the same survey, 5 to 9 mm, and 9.8 mm about the fit from two years.
//!
//! A clubfoot is shorter than its fellow (9–15 mm later in childhood; no usable figure under two years),
//! which is ignored: the sizes of both boots of a bar follow the longer foot.
//!
//! Shoulder width (between the acromia): low grade. Height (WHO 2006 median, both sexes) times a ratio
//! of 0.231 to 0.226 from two years (Snyder 1977 as computed in an anonymous note); below two years the
//! ratio is from memory. The spread, 5 % of the width, is assumed.

/// The number of tabulated days: slightly over nine years.
const DAYS: usize = 3400;
const DAYS_PER_MONTH: f64 = 365.25 / 12.0;

/// Age in months (middle of the band) and SD in mm of foot length (Snyder 1977, read).
const FOOT_SD: [(f64, f64); 8] =
    [(1.5, 5.0), (4.5, 6.0), (7.5, 7.0), (10.5, 6.0), (14.0, 8.0), (18.0, 10.0), (22.0, 9.0), (24.0, 9.8)];

/// Age in years and width between the acromia in mm, mean of the two sexes' estimates.
const SHOULDER: [(f64, f64); 13] = [
    (0.0, 119.0),
    (0.25, 145.5),
    (0.5, 160.0),
    (0.75, 170.5),
    (1.0, 180.0),
    (1.5, 192.0),
    (2.0, 200.5),
    (2.5, 210.5),
    (3.0, 220.0),
    (3.5, 228.0),
    (4.0, 235.0),
    (4.5, 241.5),
    (5.0, 248.0),
];
/// Spread of shoulder width as a share of it. Assumed.
const SHOULDER_SPREAD: f64 = 0.05;

/// Mean foot length at an age, mm.
#[must_use]
pub fn foot_length_mm(age_days: f64) -> f64 {
    let months = age_days.max(0.0) / DAYS_PER_MONTH;
    let years = months / 12.0;
    if years >= 2.0 {
        return 112.207 + 13.471 * years - 0.3605 * years * years;
    }
    let standing = 9.6 * (months / 12.0 - 1.0).clamp(0.0, 1.0);
    34.443 * (months + 6.223).ln() + 10.672 + standing
}

/// Standard deviation of foot length at an age, mm.
#[must_use]
pub fn foot_length_sd_mm(age_days: f64) -> f64 {
    along(&FOOT_SD, age_days.max(0.0) / DAYS_PER_MONTH)
}

/// Mean width between the acromia, mm.
#[must_use]
pub fn shoulder_width_mm(age_days: f64) -> f64 {
    along(&SHOULDER, age_days.max(0.0) / 365.25)
}

/// Linear interpolation between points; constant beyond the ends.
fn along(points: &[(f64, f64)], x: f64) -> f64 {
    let after = points.iter().position(|&(at, _)| at > x);
    match after {
        Some(0) => points[0].1,
        None => points.last().map_or(0.0, |&(_, y)| y),
        Some(next) => {
            let ((x0, y0), (x1, y1)) = (points[next - 1], points[next]);
            y0 + (y1 - y0) * (x - x0) / (x1 - x0)
        }
    }
}

/// The curves, tabulated by day of age.
#[derive(Debug, Clone)]
pub struct BootGrowth {
    /// Mean and SD of foot length, mean of shoulder width, mm.
    rows: Vec<[f32; 3]>,
}

impl BootGrowth {
    /// The published curves.
    #[must_use]
    pub fn published() -> Self {
        let row = |day: usize| {
            let age = day as f64;
            [foot_length_mm(age) as f32, foot_length_sd_mm(age) as f32, shoulder_width_mm(age) as f32]
        };
        Self { rows: (0..DAYS).map(row).collect() }
    }

    fn row(&self, age_days: i32) -> [f32; 3] {
        let day = usize::try_from(age_days).unwrap_or(0).min(DAYS - 1);
        self.rows.get(day).copied().unwrap_or([0.0; 3])
    }

    /// Foot length of a child this many standard deviations from the mean, mm.
    #[must_use]
    pub fn foot(&self, age_days: i32, z: f32) -> f32 {
        let [mean, sd, _] = self.row(age_days);
        z.mul_add(sd, mean)
    }

    /// The distance of a length from the mean in standard deviations, limited to four.
    #[must_use]
    pub fn z(&self, age_days: i32, length_mm: f64) -> f32 {
        let [mean, sd, _] = self.row(age_days);
        ((length_mm as f32 - mean) / sd).clamp(-4.0, 4.0)
    }

    /// Shoulder width of a child with the same deviation from the mean as its foot, mm.
    #[must_use]
    pub fn shoulder(&self, age_days: i32, z: f32) -> f32 {
        let [_, _, mean] = self.row(age_days);
        mean * z.mul_add(SHOULDER_SPREAD as f32, 1.0)
    }
}
