//! The charts of Laney 2002 (Quality Engineering 14:531–537), worked by hand.

use statistics::control::{Chart, p_chart, p_prime_chart, u_chart, u_prime_chart};
use std::f64::consts::PI;

fn near(a: f64, b: f64) -> bool {
    (a - b).abs() < 1e-12
}

/// p̄ = 250/500 = 1/2, sd = √(1/4/100) = 1/20, z = −2, 2, 0, −1, 1, moving ranges 4, 2, 1, 2 with mean 9/4,
/// σ_z = 9/4 ÷ 2/√π = 9√π/8, limits 1/2 ± 3/20 σ_z.
#[test]
fn shares_by_hand() {
    let wide = p_prime_chart(&[40.0, 60.0, 50.0, 45.0, 55.0], &[100.0; 5]).unwrap();
    let sigma_z = 9.0 * PI.sqrt() / 8.0;
    assert!(near(wide.sigma_z, sigma_z));
    assert!(wide.chart.points.iter().all(|point| near(point.upper, 0.5 + 0.15 * sigma_z)
        && near(point.lower, 0.5 - 0.15 * sigma_z)
        && !point.outside));
}

/// Exposures 1, 4, 1, 4, 1, events 2, 24, 4, 12, 2: ū = 44/11 = 4, sd = 2, 1, 2, 1, 2; u = 2, 6, 4, 3, 2,
/// z = −1, 2, 0, −1, −1, moving ranges 3, 2, 1, 0 with mean 3/2, σ_z = 3/2 ÷ 2/√π = 3√π/4; the upper
/// limits are 4 + 6 σ_z and 4 + 3 σ_z, the lower ones 0, being cut, and 4 − 3 σ_z = 0.012.
#[test]
fn rates_by_hand() {
    let wide = u_prime_chart(&[2.0, 24.0, 4.0, 12.0, 2.0], &[1.0, 4.0, 1.0, 4.0, 1.0]).unwrap();
    let sigma_z = 3.0 * PI.sqrt() / 4.0;
    assert!(near(wide.chart.centre, 4.0) && near(wide.sigma_z, sigma_z));
    let (first, second) = (wide.chart.points[0], wide.chart.points[1]);
    assert!(near(first.upper, 4.0 + 6.0 * sigma_z) && near(first.lower, 0.0));
    assert!(near(second.upper, 4.0 + 3.0 * sigma_z) && near(second.lower, 4.0 - 3.0 * sigma_z));
}

/// p̄ = 1/2, n = 100, events 50 ± 5/√π in turn: z = ±1/√π, every moving range 2/√π = d₂, so σ_z = 1. The
/// same for rates of 25 over 1, whose sd is 5: events 25 ± 5/√π.
#[test]
fn a_spread_of_one_is_the_plain_chart() {
    let step = 5.0 / PI.sqrt();
    let around = |centre: f64| [centre - step, centre + step, centre - step, centre + step];
    let same = |wide: &Chart, plain: &Chart| {
        let pairs = wide.points.iter().zip(&plain.points);
        pairs.filter(|(a, b)| near(a.upper, b.upper) && near(a.lower, b.lower)).count()
    };
    let (shares, cases) = (around(50.0), [100.0; 4]);
    let wide = p_prime_chart(&shares, &cases).unwrap();
    assert!(near(wide.sigma_z, 1.0));
    assert_eq!(same(&wide.chart, &p_chart(&shares, &cases).unwrap()), 4);
    let (rates, exposure) = (around(25.0), [1.0; 4]);
    let wide = u_prime_chart(&rates, &exposure).unwrap();
    assert!(near(wide.sigma_z, 1.0));
    assert_eq!(same(&wide.chart, &u_chart(&rates, &exposure).unwrap()), 4);
}

#[test]
fn no_spread_can_be_measured_from_one_point_or_from_no_event() {
    assert!(p_prime_chart(&[5.0], &[10.0]).is_err());
    assert!(p_prime_chart(&[0.0, 0.0], &[10.0, 10.0]).is_err());
    assert!(p_prime_chart(&[10.0, 10.0], &[10.0, 10.0]).is_err());
    assert!(u_prime_chart(&[0.0, 0.0], &[10.0, 10.0]).is_err());
}
