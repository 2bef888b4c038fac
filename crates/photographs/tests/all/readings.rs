//! The error of readings: a published example, and what a change means.

use photographs::*;

/// Peak expiratory flow of 20 schoolchildren, four readings each, in l/min (Bland and Altman 1996, BMJ 312:1654, table 1;
/// typed from memory: the sums of squares are those that the paper prints).
const PEAK_FLOW: [[f64; 4]; 20] = [
    [190.0, 220.0, 200.0, 200.0],
    [220.0, 200.0, 240.0, 230.0],
    [260.0, 260.0, 240.0, 280.0],
    [210.0, 300.0, 280.0, 265.0],
    [270.0, 265.0, 280.0, 270.0],
    [280.0, 280.0, 270.0, 275.0],
    [260.0, 280.0, 280.0, 300.0],
    [275.0, 275.0, 275.0, 305.0],
    [280.0, 290.0, 300.0, 290.0],
    [320.0, 290.0, 300.0, 290.0],
    [300.0, 300.0, 310.0, 300.0],
    [270.0, 250.0, 330.0, 370.0],
    [320.0, 330.0, 330.0, 330.0],
    [335.0, 320.0, 335.0, 375.0],
    [350.0, 320.0, 340.0, 365.0],
    [360.0, 320.0, 350.0, 345.0],
    [330.0, 340.0, 380.0, 390.0],
    [335.0, 385.0, 360.0, 370.0],
    [400.0, 420.0, 425.0, 420.0],
    [430.0, 460.0, 480.0, 470.0],
];

#[test]
fn the_peak_flow_of_bland_and_altman_has_the_error_that_they_give() {
    let error = ReadingError::of(&PEAK_FLOW).unwrap();
    assert_eq!((error.subjects, error.readings, error.df), (20, 80, 60));
    // The paper (from memory): residual mean square 460.52, within-subject standard deviation 21.5, repeatability
    // 2.77 × 21.5 = 59.5 (with 2.77 and 21.46: 59.4).
    assert!((error.sem.powi(2) - 460.52).abs() < 0.005, "{error:?}");
    assert_eq!(format!("{:.1}", error.sem), "21.5");
    assert!((error.detectable_change - 2.77 * 21.46).abs() < 0.1, "{error:?}");
    // Chi-squared of 60 degrees of freedom, 40.482 and 83.298 (tables): √(27631.25 / 83.298) and √(27631.25 / 40.482).
    assert!(
        (error.sem_limits.0 - 18.213).abs() < 0.002 && (error.sem_limits.1 - 26.126).abs() < 0.002,
        "{error:?}"
    );
}

#[test]
fn a_change_is_judged_by_the_interval_of_the_error() {
    let error = ReadingError::of(&PEAK_FLOW).unwrap();
    // The limits of the detectable change: 2.772 × 18.213 = 50.5 and 2.772 × 26.126 = 72.4.
    let verdicts = [40.0, 50.0, 51.0, 72.0, 73.0].map(|change| error.change_is_beyond(300.0, 300.0 - change));
    use ChangeVerdict::{BeyondError, CannotBeTold, WithinError};
    assert_eq!(verdicts, [WithinError, WithinError, CannotBeTold, CannotBeTold, BeyondError]);
    let sentence = error.sentence(" l/min");
    for number in ["21.5 l/min", "18.2 to 26.1", "59.5 l/min", "80 readings of 20", "60 degrees"] {
        assert!(sentence.contains(number), "{sentence}");
    }
}

#[test]
fn few_readings_leave_nearly_every_change_open() {
    // Differences of 2 and 4: squares 2 + 8 over 2 degrees of freedom. The limits are a factor of 12 apart: chi-squared
    // of 2 degrees of freedom is 0.0506 and 7.378.
    let error = ReadingError::of(&[[10.0, 12.0], [20.0, 24.0]]).unwrap();
    assert!((error.sem - 5.0_f64.sqrt()).abs() < 1e-12, "{error:?}");
    assert!(
        (error.sem_limits.1 / error.sem_limits.0 - (7.3778_f64 / 0.050_64).sqrt()).abs() < 0.01,
        "{error:?}"
    );
    assert_eq!(error.change_is_beyond(0.0, 10.0), ChangeVerdict::CannotBeTold);
    assert!(ReadingError::of(&[vec![3.0], vec![4.0]]).is_err());
    assert!(ReadingError::of(&[[3.0, f64::NAN]]).is_err());
    assert!(ReadingError::of::<Vec<f64>>(&[]).is_err());
}
