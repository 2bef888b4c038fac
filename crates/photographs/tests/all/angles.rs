//! Angles of tapped points: known triangles, both feet, and the errors.

use photographs::*;
use record::Side;

const fn at(x: f64, y: f64) -> PixelPoint {
    PixelPoint::new(x, y)
}

#[test]
fn a_turned_line_has_the_angle_by_which_it_was_turned() {
    let a = PixelLine::new(at(100.0, 100.0), at(400.0, 100.0));
    for deg in [-170.0_f64, -90.0, -12.5, 0.0, 33.0, 179.0] {
        let (sine, cosine) = deg.to_radians().sin_cos();
        let b = PixelLine::new(at(700.0, 700.0), at(700.0 + 200.0 * cosine, 700.0 + 200.0 * sine));
        let found = angle_between(a, b, TapError { sd_px: 1.0 }).unwrap();
        assert!((found.signed_deg - deg).abs() < 1e-9, "{deg}: {found:?}");
        // √(2/300² + 2/200²) radians.
        let expected = (2.0 / 300.0_f64.powi(2) + 2.0 / 200.0_f64.powi(2)).sqrt().to_degrees();
        assert!((found.sd_deg - expected).abs() < 1e-6, "{found:?}");
    }
}

const PICTURE: (u32, u32) = (2000, 1500);

#[test]
fn a_sole_turned_in_is_above_zero_on_either_foot() {
    // Right sole, toes up: the forefoot leans 20° towards the inner edge, which is right in the picture.
    let (sine, cosine) = 20.0_f64.to_radians().sin_cos();
    let right = [at(1000.0, 1200.0), at(1000.0, 900.0), at(1000.0 + 400.0 * sine, 900.0 - 400.0 * cosine)];
    let guide = AngleGuide::of(PhotographAngle::ForefootAdduction);
    let found = guide.read(Side::Right, &right, PICTURE, TapError::USUAL).unwrap();
    assert!((found.value_deg - 20.0).abs() < 1e-9, "{found:?}");
    let left = right.map(|point| point.mirrored(2000.0));
    let mirrored = guide.read(Side::Left, &left, PICTURE, TapError::USUAL).unwrap();
    assert!((mirrored.value_deg - 20.0).abs() < 1e-9, "{mirrored:?}");
}
