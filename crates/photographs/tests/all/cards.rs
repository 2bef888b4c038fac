//! Lengths beside a card, in a world where the length is known.

use crate::world::{Camera, add, camera::Stand, normal, quantile, turned};
use photographs::*;
use rand::{RngExt, SeedableRng, rngs::StdRng};

const PICTURE: (u32, u32) = (2000, 1500);
const UP: [f64; 3] = [0.0, 0.0, 1.0];

struct Setting {
    tilt_deg: f64,
    tap_px: f64,
    /// How much nearer to the camera the foot is than the card.
    off_plane_mm: f64,
    k1: f64,
}

struct Found {
    truth_mm: f64,
    corners: [PixelPoint; 4],
    ends: [PixelPoint; 2],
}

/// A card beside a foot on the floor, its long side along the foot, both filling most of the picture.
fn photographed(setting: &Setting, rng: &mut StdRng) -> Found {
    let truth_mm = rng.random_range(65.0..180.0);
    let card_at = [rng.random_range(25.0..45.0), rng.random_range(-15.0..15.0), 0.0];
    let card_turn = 90.0 + rng.random_range(-15.0..15.0);
    let corner =
        |x: f64, y: f64| add(card_at, turned([x * CARD_MM.0 / 2.0, y * CARD_MM.1 / 2.0, 0.0], UP, card_turn));
    let corners = [corner(-1.0, -1.0), corner(1.0, -1.0), corner(1.0, 1.0), corner(-1.0, 1.0)];
    let foot_turn = rng.random_range(-15.0..15.0);
    let end = |share: f64| {
        let [x, y, _] = turned([0.0, share * truth_mm, 0.0], UP, foot_turn);
        [x - 30.0, y, setting.off_plane_mm]
    };
    let distance_mm = rng.random_range(350.0..800.0);
    let stand = Stand {
        target: [0.0, 0.0, 0.0],
        straight: UP,
        up: [0.0, 1.0, 0.0],
        distance_mm,
        tilt_deg: setting.tilt_deg,
        azimuth_deg: rng.random_range(0.0..360.0),
        roll_deg: rng.random_range(0.0..360.0),
    };
    // 200 mm fit into the shorter side, as much as is needed for a foot of 180 mm.
    let camera = Camera::standing(&stand, 1500.0 * distance_mm / 200.0, PICTURE, setting.k1);
    let mut tapped = |point: [f64; 3]| {
        let seen = camera.sees(point);
        PixelPoint::new(seen.x + setting.tap_px * normal(rng), seen.y + setting.tap_px * normal(rng))
    };
    Found { truth_mm, corners: corners.map(&mut tapped), ends: [end(-0.5), end(0.5)].map(&mut tapped) }
}

fn measured(found: &Found, tap_px: f64) -> Result<(PlaneLength, CardScale), CardFault> {
    let tap = TapError { sd_px: tap_px.max(0.5) };
    let scale = CardScale::of(&found.corners, PICTURE, tap)?;
    Ok((scale.length(found.ends[0], found.ends[1], tap)?, scale))
}

#[test]
fn a_length_in_the_plane_is_exact_without_errors() {
    let mut rng = StdRng::seed_from_u64(21);
    for _ in 0..500 {
        let tilt_deg = rng.random_range(0.0..30.0);
        let found = photographed(&Setting { tilt_deg, tap_px: 0.0, off_plane_mm: 0.0, k1: 0.0 }, &mut rng);
        let (length, scale) = measured(&found, 0.0).unwrap();
        assert!((length.mm - found.truth_mm).abs() < 1e-6, "{length:?} {}", found.truth_mm);
        // The line of sight to the card is not quite that to the middle of the picture.
        assert!((scale.tilt_deg - tilt_deg).abs() < 12.0, "{} {tilt_deg}", scale.tilt_deg);
        assert!(scale.residual_px < 2.0, "{scale:?}");
    }
}

/// Whichever corner comes first, and whichever way round.
#[test]
fn the_order_of_the_corners_does_not_matter() {
    let mut rng = StdRng::seed_from_u64(22);
    let found = photographed(&Setting { tilt_deg: 15.0, tap_px: 0.0, off_plane_mm: 0.0, k1: 0.0 }, &mut rng);
    let [a, b, c, d] = found.corners;
    for corners in [[a, b, c, d], [b, c, d, a], [c, d, a, b], [d, a, b, c], [d, c, b, a], [c, b, a, d]] {
        let (length, _) = measured(&Found { corners, ..found }, 0.0).unwrap();
        assert!((length.mm - found.truth_mm).abs() < 1e-6, "{length:?}");
    }
    for crossed in [[a, c, b, d], [a, b, d, c]] {
        assert_eq!(CardScale::of(&crossed, PICTURE, TapError::USUAL), Err(CardFault::NotConvex));
    }
}

/// The table of `docs/photographs.md`.
#[test]
fn a_foot_is_within_two_millimetres_beside_a_card_in_its_plane() {
    println!(
        "| tilt, ° | tap error, px | card below the foot, mm | lens | 95 % within, mm | all within, mm | interval holds the truth, % | refused, % |"
    );
    let settings = [
        (0.0, 1.5, 0.0, 0.0),
        (10.0, 1.5, 0.0, 0.0),
        (20.0, 1.5, 0.0, 0.0),
        (30.0, 1.5, 0.0, 0.0),
        (40.0, 1.5, 0.0, 0.0),
        (10.0, 3.0, 0.0, 0.0),
        (20.0, 3.0, 0.0, 0.0),
        (30.0, 3.0, 0.0, 0.0),
        (10.0, 1.5, 0.0, 0.02),
        (10.0, 1.5, 0.0, -0.02),
        (10.0, 1.5, 5.0, 0.0),
        (10.0, 1.5, 10.0, 0.0),
    ];
    for (tilt_deg, tap_px, off_plane_mm, k1) in settings {
        let setting = Setting { tilt_deg, tap_px, off_plane_mm, k1 };
        let mut rng = StdRng::seed_from_u64(23);
        let (mut errors, mut held, mut refused) = (Vec::new(), 0.0, 0);
        for _ in 0..1000 {
            let found = photographed(&setting, &mut rng);
            let Ok((length, _)) = measured(&found, tap_px) else {
                refused += 1;
                continue;
            };
            let error = (length.mm - found.truth_mm).abs();
            held += f64::from(u8::from(error <= length.error_mm));
            errors.push(error);
        }
        let count = errors.len() as f64;
        let usual = quantile(&mut errors, 0.95);
        let most = errors[errors.len() - 1];
        let lens = if k1 == 0.0 { "straight".to_owned() } else { format!("k1 = {k1}") };
        println!(
            "| {tilt_deg} | {tap_px} | {off_plane_mm} | {lens} | {usual:.1} | {most:.1} | {:.0} | {:.0} |",
            100.0 * held / count,
            f64::from(refused) / 10.0
        );
        if off_plane_mm == 0.0 && k1 == 0.0 {
            assert!((held / count - 0.95).abs() < 0.03, "{tilt_deg} {tap_px}: {}", held / count);
            assert!(tap_px > 2.0 || tilt_deg > 20.0 || usual < 2.0, "{tilt_deg}: {usual}");
        }
    }
}

/// The second table of `docs/photographs.md`: corners that were found, which are off by some half pixel and rounded to
/// whole ones, and ends that were tapped.
#[test]
fn found_corners_leave_the_error_of_heel_and_toe() {
    println!(
        "| tilt, ° | error of heel and toe, px | 95 % within, mm | all within, mm | interval holds the truth, % |"
    );
    for (tilt_deg, ends) in [
        (0.0, TapError::USUAL),
        (15.0, TapError::USUAL),
        (30.0, TapError::USUAL),
        (15.0, TapError::MAGNIFIED),
        (30.0, TapError::MAGNIFIED),
    ] {
        let mut rng = StdRng::seed_from_u64(25);
        let (mut errors, mut held, mut refused) = (Vec::new(), 0.0, 0);
        for _ in 0..1000 {
            let setting = Setting { tilt_deg, tap_px: 0.5, off_plane_mm: 0.0, k1: 0.0 };
            let found = photographed(&setting, &mut rng);
            let corners = found.corners.map(|corner| PixelPoint::new(corner.x.round(), corner.y.round()));
            // Besides the half pixel that they have, so that both together are the error of a tap.
            let more = (ends.sd_px.powi(2) - 0.25).sqrt();
            let [heel, toe] = found
                .ends
                .map(|end| PixelPoint::new(end.x + more * normal(&mut rng), end.y + more * normal(&mut rng)));
            let Ok(scale) = CardScale::of(&corners, PICTURE, TapError::FOUND) else {
                refused += 1;
                continue;
            };
            let length = scale.length(heel, toe, ends).unwrap();
            let error = (length.mm - found.truth_mm).abs();
            held += f64::from(u8::from(error <= length.error_mm));
            errors.push(error);
        }
        let (usual, most) = (quantile(&mut errors, 0.95), errors[errors.len() - 1]);
        let held = 100.0 * held / errors.len() as f64;
        println!("| {tilt_deg} | {} | {usual:.1} | {most:.1} | {held:.0} | {refused} |", ends.sd_px);
        // Corners count as worse than they are, so the interval holds the truth at least as often as it says.
        assert!(usual < 2.0 && held >= 94.0 && refused < 20, "{tilt_deg} {}: {usual} {held}", ends.sd_px);
    }
}

#[test]
fn four_points_that_are_no_card_are_refused() {
    let mut rng = StdRng::seed_from_u64(24);
    let (mut card, mut refused) = (0, 0);
    for _ in 0..1000 {
        let found =
            photographed(&Setting { tilt_deg: 20.0, tap_px: 1.5, off_plane_mm: 0.0, k1: 0.0 }, &mut rng);
        card += i32::from(CardScale::of(&found.corners, PICTURE, TapError { sd_px: 1.5 }).is_err());
        // One corner is tapped a quarter of the card away from where it is.
        let mut wrong = found.corners;
        let side = wrong[0].distance(wrong[1]).min(wrong[1].distance(wrong[2]));
        let turn: f64 = rng.random_range(0.0..std::f64::consts::TAU);
        wrong[2] =
            PixelPoint::new(wrong[2].x + 0.25 * side * turn.cos(), wrong[2].y + 0.25 * side * turn.sin());
        refused += i32::from(CardScale::of(&wrong, PICTURE, TapError { sd_px: 1.5 }).is_err());
    }
    println!(
        "cards refused: {card} of 1000; with one corner a quarter of the short side away: {refused} of 1000"
    );
    assert!(card < 20, "{card}");
}

/// A square, a business card of 85 × 40 mm and a long strip are no card. A sheet with the sides of A4 could be a card at
/// a slant of 27°, whose short sides are foreshortened to cos 27° of 85.6 mm, and is not told apart.
#[test]
fn other_rectangles_are_refused() {
    for (width, height, card) in
        [(300.0, 300.0, false), (425.0, 200.0, false), (700.0, 200.0, false), (424.0, 300.0, true)]
    {
        let corner = |x: f64, y: f64| PixelPoint::new(900.0 + x * width / 2.0, 700.0 + y * height / 2.0);
        let corners = [corner(-1.0, -1.0), corner(1.0, -1.0), corner(1.0, 1.0), corner(-1.0, 1.0)];
        let found = CardScale::of(&corners, PICTURE, TapError { sd_px: 1.5 });
        println!("{width} × {height}: {found:?}");
        assert_eq!(found.is_ok(), card, "{width} × {height}: {found:?}");
    }
}

#[test]
fn what_gives_no_exact_length_is_refused_with_a_reason() {
    let corner = |x: f64, y: f64, size: f64| {
        PixelPoint::new(900.0 + x * size * CARD_MM.0 / 2.0, 700.0 + y * size * CARD_MM.1 / 2.0)
    };
    let card = |size: f64| {
        [corner(-1.0, -1.0, size), corner(1.0, -1.0, size), corner(1.0, 1.0, size), corner(-1.0, 1.0, size)]
    };
    let tap = TapError { sd_px: 3.0 };
    assert!(matches!(CardScale::of(&card(1.0), PICTURE, tap), Err(CardFault::TooSmall { .. })));
    let mut outside = card(5.0);
    outside[0].x = -1.0;
    assert_eq!(CardScale::of(&outside, PICTURE, tap), Err(CardFault::Outside));
    outside[0].x = f64::NAN;
    assert_eq!(CardScale::of(&outside, PICTURE, tap), Err(CardFault::Outside));
    let scale = CardScale::of(&card(2.0), PICTURE, tap).unwrap();
    let far = scale.length(PixelPoint::new(100.0, 100.0), PixelPoint::new(100.0, 1400.0), tap);
    assert!(matches!(far, Err(CardFault::Uncertain { .. })), "{far:?}");
    // 480 px at 6 px a millimetre are 80 mm; two ends of 3 px each give at least 1.96 · √2 · 3 / 6 mm, and the corners add.
    let scale = CardScale::of(&card(6.0), PICTURE, tap).unwrap();
    let length = scale.length(PixelPoint::new(660.0, 1000.0), PixelPoint::new(1140.0, 1000.0), tap).unwrap();
    assert!((length.mm - 80.0).abs() < 1e-9 && length.error_mm > 1.39, "{length:?}");
    // Corners that are known better leave the error of the ends, 1.96 · √2 · 3 / 6 = 1.386 mm, and little else.
    let scale = CardScale::of(&card(6.0), PICTURE, TapError { sd_px: 0.1 }).unwrap();
    let better = scale.length(PixelPoint::new(660.0, 1000.0), PixelPoint::new(1140.0, 1000.0), tap).unwrap();
    assert!((better.error_mm - 1.386).abs() < 0.01, "{better:?}");
}
