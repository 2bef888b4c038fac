//! Angles of feet that are known, photographed by a camera that is held well and less well.

use crate::world::{Camera, Vector, landmarks, landmarks::TappedFoot, normal, quantile};
use photographs::*;
use rand::{RngExt, SeedableRng, rngs::StdRng};
use record::Side;

/// What the guide asks for: the camera at least so far away, and at most so far from straight.
const GUIDE_DISTANCE_MM: f64 = 500.0;
const GUIDE_TILT_DEG: f64 = 5.0;
const FEET: usize = 2000;

struct Way {
    distance_mm: (f64, f64),
    tilt_deg: (f64, f64),
    tap_px: f64,
}

/// The error of one reading, and whether the interval of its taps holds the truth.
fn error(angle: PhotographAngle, way: &Way, rng: &mut StdRng) -> Option<(f64, bool)> {
    let (low, high) = landmarks::range(angle);
    let side = if rng.random_range(0..2) == 0 { Side::Right } else { Side::Left };
    let foot = TappedFoot::right(angle, rng.random_range(low..high), rng.random_range(65.0..160.0), rng)
        .of_side(side);
    let between = |(low, high): (f64, f64), rng: &mut StdRng| {
        if low < high { rng.random_range(low..high) } else { low }
    };
    let (distance, tilt) = (between(way.distance_mm, rng), between(way.tilt_deg, rng));
    let stand = foot.stand(distance, tilt, rng);
    // By magnifying, the points fill three eighths of the picture, whatever the distance.
    let focal = 750.0 * distance / foot.extent();
    let camera = Camera::standing(&stand, focal, (2000, 2000), rng.random_range(-0.02..0.02));
    let tapped = |point: &Vector, rng: &mut StdRng| {
        let seen = camera.sees(*point);
        PixelPoint::new(seen.x + way.tap_px * normal(rng), seen.y + way.tap_px * normal(rng))
    };
    let taps: Vec<PixelPoint> = foot.points.iter().map(|point| tapped(point, rng)).collect();
    let tap = TapError { sd_px: way.tap_px.max(0.01) };
    let reading = AngleGuide::of(angle).read(side, &taps, camera.size, tap).ok()?;
    let error = (reading.value_deg - foot.truth_deg).abs();
    Some((error, error <= reading.error_deg))
}

/// Errors of many feet, how many intervals of the taps hold the truth, and how many were refused.
fn errors(angle: PhotographAngle, way: &Way, seed: u64) -> (Vec<f64>, f64, usize) {
    let mut rng = StdRng::seed_from_u64(seed);
    let all: Vec<_> = (0..FEET).map(|_| error(angle, way, &mut rng)).collect();
    let read: Vec<(f64, bool)> = all.iter().flatten().copied().collect();
    let held = read.iter().filter(|(_, held)| *held).count() as f64 / read.len() as f64;
    (read.into_iter().map(|(error, _)| error).collect(), held, all.iter().filter(|one| one.is_none()).count())
}

fn at(distance_mm: f64, tilt_deg: f64, tap_px: f64) -> Way {
    Way { distance_mm: (distance_mm, distance_mm), tilt_deg: (tilt_deg, tilt_deg), tap_px }
}

/// The table of `docs/photographs.md`: what 95 of 100 errors stay below, without and with the error of the taps.
#[test]
fn errors_grow_with_tilt_and_nearness() {
    println!(
        "| tilt, ° | distance, mm | tap error, px | {} |",
        PhotographAngle::ALL.iter().map(|a| a.words()).collect::<Vec<_>>().join(" | ")
    );
    let mut table = Vec::new();
    for tap_px in [0.0, 3.0] {
        for tilt in [0.0, 5.0, 10.0, 15.0, 20.0, 30.0] {
            for distance in [250.0, 500.0, 1000.0] {
                let row: Vec<f64> = PhotographAngle::ALL
                    .iter()
                    .map(|angle| quantile(&mut errors(*angle, &at(distance, tilt, tap_px), 11).0, 0.95))
                    .collect();
                let cells: Vec<String> = row.iter().map(|deg| format!("{deg:.1}")).collect();
                println!("| {tilt} | {distance} | {tap_px} | {} |", cells.join(" | "));
                table.push((tilt, distance, tap_px, row));
            }
        }
    }
    let cell = |tilt: f64, distance: f64, angle: usize| {
        table.iter().find(|row| (row.0, row.1, row.2) == (tilt, distance, 0.0)).unwrap().3[angle]
    };
    for angle in 0..4 {
        assert!(cell(30.0, 1000.0, angle) > 2.0 * cell(10.0, 1000.0, angle), "{angle}");
        assert!(cell(0.0, 250.0, angle) > 2.0 * cell(0.0, 1000.0, angle), "{angle}");
    }
}

/// In 95 of 100 feet, without error of the taps.
#[test]
fn an_angle_is_within_two_degrees_where_the_guide_is_followed() {
    for angle in PhotographAngle::ALL {
        let way =
            Way { distance_mm: (GUIDE_DISTANCE_MM, 1500.0), tilt_deg: (0.0, GUIDE_TILT_DEG), tap_px: 0.0 };
        let (mut found, _, refused) = errors(*angle, &way, 12);
        let (usual, most) = (quantile(&mut found, 0.95), found[found.len() - 1]);
        println!("{}: 95 % below {usual:.2}°, all below {most:.2}°, refused {refused}", angle.words());
        // A knee may lie outside the picture.
        assert!(usual <= 2.0 && refused < FEET / 200, "{}: {usual}", angle.words());
    }
}

/// On a straight view the taps are the only error, and their interval holds the truth as often as it says.
#[test]
fn the_interval_of_the_taps_holds_the_truth_in_95_of_100() {
    for angle in PhotographAngle::ALL {
        for tap_px in [1.5, 3.0] {
            // From afar, so that nothing but the taps is in error.
            let (found, held, refused) = errors(*angle, &at(20_000.0, 0.0, tap_px), 13);
            println!(
                "{} at {tap_px} px: {:.1} % of {} held, {refused} refused",
                angle.words(),
                100.0 * held,
                found.len()
            );
            // 2,000 readings: ±2.5 standard errors of a share of 0.95 are ±0.0122.
            assert!((held - 0.95).abs() < 0.0125, "{}: {held}", angle.words());
        }
    }
}
