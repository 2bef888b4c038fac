//! Overdispersion: whether the points of a chart spread more than chance alone allows.

use statistics::control::{Chart, LaneyChart};

/// Fewest points from which the spread is judged. Our own choice, no source: the same as in the rule for runs.
const FEWEST: usize = 12;
/// Standard deviation of σ_z if only chance is at work, times √(moving ranges): a mean moving range is
/// 0.605 times as efficient as the sample's standard deviation, and √(1/(2 · 0.605)) = 0.909 (from memory).
const ERROR_OF_SPREAD: f64 = 0.909;
/// By how many of its standard deviations σ_z must exceed 1. Our own choice, no source: wider limits make a
/// chart slower to signal, so chance alone should seldom cause them.
const ERRORS_ABOVE: f64 = 2.0;

/// The σ_z above which limits are widened, by the number of points; `None` for too few points.
fn from_spread(points: usize) -> Option<f64> {
    (points >= FEWEST).then(|| 1.0 + ERRORS_ABOVE * ERROR_OF_SPREAD / ((points - 1) as f64).sqrt())
}

/// The plain chart or, if its points spread more than chance allows, the chart with widened limits and the
/// factor. Limits are never narrower than those of the plain chart.
pub(crate) fn allowed_for(plain: Chart, wide: Option<LaneyChart>) -> (Chart, Option<f64>) {
    match (wide, from_spread(plain.points.len())) {
        (Some(wide), Some(from)) if wide.sigma_z > from => (wide.chart, Some(wide.sigma_z)),
        _ => (plain, None),
    }
}

#[cfg(test)]
#[allow(clippy::unwrap_used)]
mod tests {
    use super::{allowed_for, from_spread};
    use statistics::control::{p_chart, p_prime_chart};

    /// Shares of 100 that go `by` above and below 50 in turn: z = ±by/5, σ_z = (2 by/5)/(2/√π) = by √π/5.
    fn alternating(by: f64, points: usize) -> (bool, Option<f64>, usize) {
        let events: Vec<f64> =
            (0..points).map(|at| if at % 2 == 0 { 50.0 - by } else { 50.0 + by }).collect();
        let cases = vec![100.0; points];
        let plain = p_chart(&events, &cases).unwrap();
        let (drawn, widened) = allowed_for(plain.clone(), p_prime_chart(&events, &cases).ok());
        (drawn == plain, widened, drawn.outside())
    }

    /// By 20: σ_z = 4 √π = 7.09; plain limits 35 and 65 % leave every point outside, widened ones none.
    #[test]
    fn a_spread_beyond_chance_widens_the_limits_and_says_how_many_times() {
        let (plain, widened, outside) = alternating(20.0, 12);
        let times = widened.unwrap();
        assert!(!plain && (times - 4.0 * std::f64::consts::PI.sqrt()).abs() < 1e-12);
        assert_eq!(outside, 0);
    }

    /// Eleven points are too few to judge: all stay outside their plain limits.
    #[test]
    fn too_few_points_keep_the_plain_limits() {
        assert!(from_spread(11).is_none());
        let (plain, widened, outside) = alternating(20.0, 10);
        assert_eq!((plain, widened, outside), (true, None, 10));
    }

    /// By 1: σ_z = √π/5 = 0.35, below 1: limits never become narrower than the plain ones. By 4: 1.42, above
    /// 1 but below 1 + 2 · 0.909/√11 = 1.548; by 5: 1.77, above it.
    #[test]
    fn limits_are_never_narrower_and_wider_only_beyond_the_rule() {
        assert!((from_spread(12).unwrap() - 1.548).abs() < 1e-3);
        assert_eq!(alternating(1.0, 12).1, None);
        assert_eq!(alternating(4.0, 12).1, None);
        assert!(alternating(5.0, 12).1.is_some());
    }
}
