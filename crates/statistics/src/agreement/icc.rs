//! Intraclass correlation: the share of the variance of a measurement that is between subjects.

use crate::{
    error::{Result, StatError, finite, level},
    special::{f_quantile, f_upper},
};

/// The six forms of Shrout and Fleiss 1979.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub enum IccKind {
    /// ICC(1,1): each subject has different raters; reliability of one rating.
    OneWaySingle,
    /// ICC(2,1): raters are a sample; reliability of one rating; differences between raters count.
    RandomSingle,
    /// ICC(3,1): these raters only; reliability of one rating; constant differences between raters do not
    /// count.
    FixedSingle,
    /// ICC(1,k): as ICC(1,1), for the mean of all ratings.
    OneWayMean,
    /// ICC(2,k): as ICC(2,1), for the mean of all ratings.
    RandomMean,
    /// ICC(3,k): as ICC(3,1), for the mean of all ratings.
    FixedMean,
}

impl IccKind {
    /// The usual name, such as `ICC(2,1)`.
    #[must_use]
    pub fn word(self) -> &'static str {
        match self {
            Self::OneWaySingle => "ICC(1,1)",
            Self::RandomSingle => "ICC(2,1)",
            Self::FixedSingle => "ICC(3,1)",
            Self::OneWayMean => "ICC(1,k)",
            Self::RandomMean => "ICC(2,k)",
            Self::FixedMean => "ICC(3,k)",
        }
    }
}

/// One form with its test and limits.
#[derive(Debug, Clone, Copy, PartialEq)]
#[non_exhaustive]
pub struct IccForm {
    /// The form.
    pub kind: IccKind,
    /// The correlation.
    pub value: f64,
    /// Lower limit.
    pub lower: f64,
    /// Upper limit.
    pub upper: f64,
    /// F statistic of the test that the correlation is 0.
    pub f: f64,
    /// Its degrees of freedom.
    pub df: (f64, f64),
    /// Its p value.
    pub p: f64,
}

/// The six intraclass correlations of a complete table of measurements.
#[derive(Debug, Clone, PartialEq)]
#[non_exhaustive]
pub struct Icc {
    /// Subjects.
    pub subjects: usize,
    /// Raters.
    pub raters: usize,
    /// Mean squares: between subjects, within subjects, between raters, rest.
    pub mean_squares: [f64; 4],
    /// In the order of [`IccKind`].
    pub forms: [IccForm; 6],
}

impl Icc {
    /// The six forms from a table of measurements: all ratings of the first subject, then of the second, and
    /// so on, always by the same raters in the same order.
    ///
    /// Shrout and Fleiss 1979, table 4 and equations for the limits; McGraw and Wong 1996, tables 4 and 7.
    ///
    /// # Errors
    /// Fewer than two subjects or raters, a number of values that is not a multiple of `raters`, a value
    /// that is not a number, or all values equal.
    ///
    /// ```
    /// use statistics::agreement::Icc;
    /// // Shrout and Fleiss 1979, table 2: six subjects, four judges.
    /// let scores = [9., 2., 5., 8., 6., 1., 3., 2., 8., 4., 6., 8., 7., 1., 2., 6., 10., 5., 6., 9., 6., 2., 4., 7.];
    /// let icc = Icc::of(&scores, 4, 0.95)?;
    /// assert_eq!(format!("{:.2}", icc.forms[1].value), "0.29");
    /// # Ok::<(), statistics::StatError>(())
    /// ```
    pub fn of(values: &[f64], raters: usize, confidence: f64) -> Result<Self> {
        level(confidence)?;
        finite("a measurement", values)?;
        if raters < 2 || values.len() < 2 * raters || !values.len().is_multiple_of(raters) {
            return Err(StatError::Undefined(
                "intraclass correlation needs at least two subjects, all rated by the same two or more raters",
            ));
        }
        let squares = Squares::of(values, raters);
        if squares.between + squares.within == 0.0 {
            return Err(StatError::Undefined("all measurements are alike, so nothing can be correlated"));
        }
        let forms = squares.forms(1.0 - confidence);
        let mean_squares = [squares.between, squares.within, squares.raters, squares.rest];
        Ok(Self { subjects: values.len() / raters, raters, mean_squares, forms })
    }
}

/// Mean squares of the two-way table.
struct Squares {
    n: f64,
    k: f64,
    between: f64,
    within: f64,
    raters: f64,
    rest: f64,
}

impl Squares {
    fn of(values: &[f64], raters: usize) -> Self {
        let (n, k) = ((values.len() / raters) as f64, raters as f64);
        let mean = values.iter().sum::<f64>() / (n * k);
        let subject_means: Vec<f64> = values.chunks(raters).map(|row| row.iter().sum::<f64>() / k).collect();
        let rater_means: Vec<f64> =
            (0..raters).map(|j| values.iter().skip(j).step_by(raters).sum::<f64>() / n).collect();
        let around = |means: &[f64]| means.iter().map(|value| (value - mean).powi(2)).sum::<f64>();
        let within: f64 = values
            .chunks(raters)
            .zip(&subject_means)
            .map(|(row, mean)| row.iter().map(|value| (value - mean).powi(2)).sum::<f64>())
            .sum();
        let by_rater = n * around(&rater_means);
        Self {
            n,
            k,
            between: k * around(&subject_means) / (n - 1.0),
            within: within / (n * (k - 1.0)),
            raters: by_rater / (k - 1.0),
            rest: ((within - by_rater) / ((n - 1.0) * (k - 1.0))).max(0.0),
        }
    }

    fn forms(&self, alpha: f64) -> [IccForm; 6] {
        let Self { n, k, between, within, raters, rest } = *self;
        let one = (between / within, (n - 1.0, n * (k - 1.0)));
        let two = (between / rest, (n - 1.0, (n - 1.0) * (k - 1.0)));
        let single = |noise: f64| (between - noise) / (between + (k - 1.0) * noise);
        let random = (between - rest) / (between + (k - 1.0) * rest + k * (raters - rest) / n);
        let random_mean = (between - rest) / (between + (raters - rest) / n);
        let (one_low, one_high) = limits(one, alpha);
        let (two_low, two_high) = limits(two, alpha);
        let of_single = |f: f64| if f.is_finite() { (f - 1.0) / (f + k - 1.0) } else { 1.0 };
        let of_mean = |f: f64| 1.0 - 1.0 / f;
        let (low, high) = self.random_limits(random, alpha);
        let step_up = |r: f64| k * r / (1.0 + (k - 1.0) * r);
        let form = |kind, value, lower, upper, (f, df): (f64, (f64, f64))| IccForm {
            kind,
            value,
            lower,
            upper,
            f,
            df,
            p: f_upper(f, df.0, df.1),
        };
        [
            form(IccKind::OneWaySingle, single(within), of_single(one_low), of_single(one_high), one),
            form(IccKind::RandomSingle, random, low, high, two),
            form(IccKind::FixedSingle, single(rest), of_single(two_low), of_single(two_high), two),
            form(IccKind::OneWayMean, 1.0 - within / between, of_mean(one_low), of_mean(one_high), one),
            form(IccKind::RandomMean, random_mean, step_up(low), step_up(high), two),
            form(IccKind::FixedMean, 1.0 - rest / between, of_mean(two_low), of_mean(two_high), two),
        ]
    }

    /// Limits of ICC(2,1) by Satterthwaite's degrees of freedom (Shrout and Fleiss 1979).
    fn random_limits(&self, rho: f64, alpha: f64) -> (f64, f64) {
        let Self { n, k, between, raters, rest, .. } = *self;
        if rest == 0.0 {
            return (rho, rho);
        }
        let f = raters / rest;
        let (a, b) = (k * rho * f, n * (1.0 + (k - 1.0) * rho) - k * rho);
        let df = (k - 1.0) * (n - 1.0) * (a + b).powi(2) / ((n - 1.0) * a * a + b * b);
        let (up, down) =
            (f_quantile(1.0 - alpha / 2.0, n - 1.0, df), f_quantile(1.0 - alpha / 2.0, df, n - 1.0));
        let noise = k * raters + (k * n - k - n) * rest;
        (
            n * (between - up * rest) / (up * noise + n * between),
            n * (down * between - rest) / (noise + n * down * between),
        )
    }
}

/// Limits of a ratio of mean squares.
fn limits((f, (df1, df2)): (f64, (f64, f64)), alpha: f64) -> (f64, f64) {
    (f / f_quantile(1.0 - alpha / 2.0, df1, df2), f * f_quantile(1.0 - alpha / 2.0, df2, df1))
}
