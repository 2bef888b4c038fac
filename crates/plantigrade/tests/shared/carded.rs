//! A drawn picture of a sole beside a card, seen by a pinhole camera that is not quite straight, so that every point and
//! the length are known.

use image::{Rgb, RgbImage};

pub const SIZE: (u32, u32) = (1200, 1600);
/// From the back of the heel to the tip of the longest toe.
pub const LENGTH_MM: f64 = 110.0;
const TILT_DEG: f64 = 12.0;
const DISTANCE_MM: f64 = 450.0;
/// 170 mm fit into the width.
const FOCAL_PX: f64 = 1200.0 * DISTANCE_MM / 170.0;
/// The middle of the card, and half of its long side, its short side and its radius, in mm (ISO/IEC 7810).
const CARD_AT: (f64, f64) = (45.0, 3.0);
const HALF: (f64, f64) = (53.98 / 2.0, 85.60 / 2.0);
const RADIUS: f64 = 3.18;
const HEEL: (f64, f64) = (-35.0, 55.0);
const TOE: (f64, f64) = (-35.0, -55.0);

/// Where a point of the plane of foot and card, in mm from the middle, is in the picture.
pub fn seen((x, y): (f64, f64)) -> (f64, f64) {
    let (sine, cosine) = TILT_DEG.to_radians().sin_cos();
    let depth = DISTANCE_MM + y * sine;
    let (across, down) = (FOCAL_PX * x / depth, FOCAL_PX * y * cosine / depth);
    (f64::from(SIZE.0) / 2.0 + across, f64::from(SIZE.1) / 2.0 + down)
}

/// Which point of the plane a pixel shows.
fn shown(x: f64, y: f64) -> (f64, f64) {
    let (sine, cosine) = TILT_DEG.to_radians().sin_cos();
    let (across, down) = ((x - f64::from(SIZE.0) / 2.0) / FOCAL_PX, (y - f64::from(SIZE.1) / 2.0) / FOCAL_PX);
    // down = y cos / (d + y sin), so y = d down / (cos − down sin).
    let plane_y = DISTANCE_MM * down / (cosine - down * sine);
    (across * (DISTANCE_MM + plane_y * sine), plane_y)
}

/// The six points in the order of the page: the corners where the edges would meet, heel, toe.
pub fn points() -> [(f64, f64); 6] {
    let corner = |x: f64, y: f64| (CARD_AT.0 + x * HALF.0, CARD_AT.1 + y * HALF.1);
    [corner(-1.0, -1.0), corner(1.0, -1.0), corner(1.0, 1.0), corner(-1.0, 1.0), HEEL, TOE].map(seen)
}

fn on_card(x: f64, y: f64) -> bool {
    let (x, y) = ((x - CARD_AT.0).abs(), (y - CARD_AT.1).abs());
    let (over_x, over_y) = (x - HALF.0 + RADIUS, y - HALF.1 + RADIUS);
    x <= HALF.0 && y <= HALF.1 && (over_x <= 0.0 || over_y <= 0.0 || over_x.hypot(over_y) <= RADIUS)
}

fn on_foot(x: f64, y: f64) -> bool {
    let round = |at: f64, wide: f64, long: f64| ((x + 35.0) / wide).powi(2) + ((y - at) / long).powi(2) < 1.0;
    round(35.0, 17.0, 20.0) || round(0.0, 16.0, 35.0) || round(-25.0, 22.0, 22.0) || round(-45.0, 8.0, 10.0)
}

fn colour(x: f64, y: f64) -> [f64; 3] {
    let (x, y) = shown(x, y);
    if on_foot(x, y) {
        [206.0, 158.0, 132.0]
    } else if on_card(x, y) {
        [232.0, 234.0, 238.0]
    } else {
        [70.0, 95.0, 120.0]
    }
}

/// The picture. Without a card only the foot.
pub fn picture(with_card: bool) -> RgbImage {
    RgbImage::from_fn(SIZE.0, SIZE.1, |x, y| {
        let mut sum = [0.0; 3];
        for part in 0..9 {
            let (dx, dy) = (f64::from(part % 3) / 3.0 + 1.0 / 6.0, f64::from(part / 3) / 3.0 + 1.0 / 6.0);
            let at = (f64::from(x) + dx, f64::from(y) + dy);
            let (plane_x, plane_y) = shown(at.0, at.1);
            let hidden = !with_card && on_card(plane_x, plane_y);
            let seen = if hidden { [70.0, 95.0, 120.0] } else { colour(at.0, at.1) };
            sum.iter_mut().zip(seen).for_each(|(sum, part)| *sum += part / 9.0);
        }
        // A little grain, the same every time.
        let grain = f64::from((x * 7919 + y * 104_729) % 7) - 3.0;
        Rgb(sum.map(|part| (part + grain).clamp(0.0, 255.0) as u8))
    })
}
