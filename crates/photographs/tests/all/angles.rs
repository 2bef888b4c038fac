//! Angles of tapped points: known triangles, both feet, their errors, and what is refused.

use photographs::*;
use proptest::prelude::*;
use record::Side;

const fn at(x: f64, y: f64) -> PixelPoint {
    PixelPoint::new(x, y)
}

const PICTURE: (u32, u32) = (2000, 1500);

/// A point at a distance in a direction, in degrees clockwise from rightward.
fn from(point: PixelPoint, deg: f64, distance: f64) -> PixelPoint {
    let (sine, cosine) = deg.to_radians().sin_cos();
    at(point.x + distance * cosine, point.y + distance * sine)
}

#[test]
fn a_turned_line_has_the_angle_by_which_it_was_turned() {
    let a = PixelLine::new(at(100.0, 100.0), at(400.0, 100.0));
    for deg in [-170.0_f64, -90.0, -12.5, 0.0, 33.0, 179.0] {
        let b = PixelLine::new(at(700.0, 700.0), from(at(700.0, 700.0), deg, 200.0));
        let found = angle_between(a, b, TapError { sd_px: 1.0 }).unwrap();
        assert!((found.signed_deg - deg).abs() < 1e-9, "{deg}: {found:?}");
        // √(2/300² + 2/200²) radians.
        let expected = (2.0 / 300.0_f64.powi(2) + 2.0 / 200.0_f64.powi(2)).sqrt().to_degrees();
        assert!((found.sd_deg - expected).abs() < 1e-6, "{found:?}");
    }
}

#[test]
fn the_point_of_three_taps_counts_in_both_lines() {
    // A right angle with arms of 100: each arm moves by 1/100 for its end, the vertex moves the first line by 1/100
    // along one axis and the second by 1/100 along the other: 1/100 · √(1 + 1 + 2).
    let found = angle_at(at(0.0, 0.0), at(100.0, 0.0), at(0.0, 100.0), TapError { sd_px: 1.0 }).unwrap();
    assert!((found.signed_deg - 90.0).abs() < 1e-9, "{found:?}");
    assert!((found.sd_deg - 0.02_f64.to_degrees()).abs() < 1e-6, "{found:?}");
    // In a straight line the vertex moves both lines against each other: 1/100 · √(1 + 1 + 2²).
    let straight = angle_at(at(0.0, 0.0), at(-100.0, 0.0), at(100.0, 0.0), TapError { sd_px: 1.0 }).unwrap();
    assert!((straight.sd_deg - (0.01 * 6.0_f64.sqrt()).to_degrees()).abs() < 1e-6, "{straight:?}");
}

#[test]
fn a_line_without_length_or_number_has_no_angle() {
    let line = PixelLine::new(at(0.0, 0.0), at(1.0, 0.0));
    let point = PixelLine::new(at(5.0, 5.0), at(5.0, 5.0));
    assert_eq!(angle_between(line, point, TapError::USUAL), None);
    let nowhere = PixelLine::new(at(0.0, 0.0), at(f64::NAN, 0.0));
    assert_eq!(angle_between(nowhere, line, TapError::USUAL), None);
}

/// The points of a right foot, upright in the picture, that have this angle.
fn right_foot(angle: PhotographAngle, deg: f64) -> Vec<PixelPoint> {
    match angle {
        // Toes up: the inner edge of a right sole is to the right, and up is −90°.
        PhotographAngle::ForefootAdduction => {
            let (back, front) = (at(1000.0, 1300.0), at(1000.0, 1000.0));
            vec![back, front, from(front, -90.0 + deg, 500.0)]
        }
        // Thigh up the picture; outward of a right foot is to the left.
        PhotographAngle::ThighFoot => {
            let heel = at(900.0, 800.0);
            vec![at(1000.0, 1400.0), at(1000.0, 700.0), heel, from(heel, -90.0 - deg, 400.0)]
        }
        // Leg down the picture, 90°; inward of a right heel seen from behind is to the left.
        PhotographAngle::HeelVarus => {
            let top = at(1000.0, 900.0);
            vec![at(1000.0, 200.0), at(1000.0, 700.0), top, from(top, 90.0 + deg, 350.0)]
        }
        // Toes to the right, leg up and leaning towards the toes.
        PhotographAngle::Dorsiflexion => {
            let ankle = at(800.0, 1000.0);
            vec![from(ankle, -90.0 + deg, 700.0), ankle, at(700.0, 1200.0), at(1100.0, 1200.0)]
        }
    }
}

#[test]
fn signs_are_those_of_the_clinic() {
    let cases = [
        (PhotographAngle::ForefootAdduction, 25.0),
        (PhotographAngle::ThighFoot, 60.0),
        (PhotographAngle::ThighFoot, -20.0),
        (PhotographAngle::HeelVarus, 15.0),
        (PhotographAngle::Dorsiflexion, 20.0),
        (PhotographAngle::Dorsiflexion, -35.0),
    ];
    for (angle, deg) in cases {
        let points = right_foot(angle, deg);
        let found = AngleGuide::of(angle).read(Side::Right, &points, PICTURE, TapError::USUAL).unwrap();
        assert!((found.value_deg - deg).abs() < 1e-9, "{angle:?} {deg}: {found:?}");
    }
}

proptest! {
    /// The mirror image of a right foot is a left foot of the same angle, and no way of holding the camera upright or
    /// not changes it.
    #[test]
    fn a_mirrored_and_turned_picture_of_the_other_foot_has_the_same_angle(
        which in 0..4_usize, share in 0.0..1.0_f64, turn in 0.0..360.0_f64,
    ) {
        let angle = PhotographAngle::ALL[which];
        let guide = AngleGuide::of(angle);
        let deg = -30.0 + share * 80.0;
        let turned = |point: PixelPoint| {
            let (sine, cosine) = turn.to_radians().sin_cos();
            let (x, y) = (point.x - 1000.0, point.y - 800.0);
            at(1500.0 + x * cosine - y * sine, 1500.0 + x * sine + y * cosine)
        };
        let right: Vec<_> = right_foot(angle, deg).into_iter().map(turned).collect();
        let left: Vec<_> = right.iter().map(|point| point.mirrored(3000.0)).collect();
        let read = |side, points: &[PixelPoint]| guide.read(side, points, (3000, 3000), TapError::USUAL).unwrap();
        let (one, other) = (read(Side::Right, &right), read(Side::Left, &left));
        prop_assert!((one.value_deg - deg).abs() < 1e-6, "{one:?}");
        prop_assert!((other.value_deg - deg).abs() < 1e-6, "{other:?}");
        prop_assert!((one.error_deg - other.error_deg).abs() < 1e-6);
    }
}

#[test]
fn the_wrong_side_turns_the_sign_and_never_passes_for_the_right_one() {
    let points = right_foot(PhotographAngle::ForefootAdduction, 30.0);
    let guide = AngleGuide::of(PhotographAngle::ForefootAdduction);
    let left = guide.read(Side::Left, &points, PICTURE, TapError::USUAL).unwrap();
    assert!((left.value_deg + 30.0).abs() < 1e-9, "{left:?}");
}

#[test]
fn what_cannot_be_measured_is_refused_with_a_reason() {
    let guide = AngleGuide::of(PhotographAngle::HeelVarus);
    let points = right_foot(PhotographAngle::HeelVarus, 10.0);
    let read = |points: &[PixelPoint]| guide.read(Side::Right, points, PICTURE, TapError::USUAL);
    assert_eq!(read(&points[..3]), Err(AngleFault::Taps { wanted: 4, found: 3 }));
    let mut outside = points.clone();
    outside[2] = at(2000.5, 10.0);
    assert_eq!(read(&outside), Err(AngleFault::Outside { index: 2 }));
    outside[2] = at(f64::NAN, 10.0);
    assert_eq!(read(&outside), Err(AngleFault::Outside { index: 2 }));
    let mut same = points.clone();
    same[1] = same[0];
    assert_eq!(read(&same), Err(AngleFault::SamePoint));
    // Heel points 30 px apart at a tap error of 3 px: 1.96 · √2 · 3 / 30 radians, 15.9°, and the leg adds little.
    let mut close = points.clone();
    close[3] = from(close[2], 100.0, 30.0);
    let Err(AngleFault::TooClose { error_deg }) = read(&close) else { panic!("{:?}", read(&close)) };
    assert!((error_deg - 15.9).abs() < 0.1, "{error_deg}");
    // Heel tapped from below: half a turn too much.
    let mut swapped = points;
    swapped.swap(2, 3);
    assert!(matches!(read(&swapped), Err(AngleFault::Implausible { .. })), "{:?}", read(&swapped));
}

/// Where taps of one line are exchanged, most answers cannot be, and are refused.
#[test]
fn exchanged_taps_are_refused_for_every_angle() {
    for guide in AngleGuide::ALL {
        let mut points = right_foot(guide.angle, 20.0);
        let last = points.len() - 1;
        points.swap(last - 1, last);
        let found = guide.read(Side::Right, &points, PICTURE, TapError::USUAL);
        assert!(matches!(found, Err(AngleFault::Implausible { .. })), "{:?}: {found:?}", guide.angle);
    }
}

#[test]
fn every_guide_says_what_to_tap_on_a_view_of_one_foot() {
    for angle in PhotographAngle::ALL {
        let guide = AngleGuide::of(*angle);
        assert_eq!(guide.angle, *angle);
        assert_eq!(guide.view.feet(), ViewFeet::One);
        assert!(AngleGuide::on_view(guide.view).contains(&guide));
        assert!(guide.taps.iter().all(|tap| tap.sentence.starts_with("Tap ") && tap.sentence.ends_with('.')));
        assert!(guide.published.len() > 20 && guide.sign.len() > 20);
    }
}
