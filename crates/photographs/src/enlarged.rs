//! A part of a kept picture, enlarged, so that a point can be set in it.

use crate::{PictureFault, container, picture_limits::PictureLimits, prepare::written, unpack::unpacked};
use image::{Rgb, RgbImage};

/// The largest part that is made, in pixels of its side.
const MOST_SIDE: u32 = 1_200;
/// What lies outside the picture.
const OUTSIDE: Rgb<u8> = Rgb([128, 128, 128]);

/// A square part of a kept picture as JPEG of `side` pixels. Its middle and its side `span` are in pixels of the picture;
/// what lies outside the picture is grey, so that the middle stays in the middle.
///
/// # Errors
/// When the bytes are no picture, as in [`crate::prepare()`].
pub fn enlarged_part(kept: &[u8], middle: (u32, u32), span: u32, side: u32) -> Result<Vec<u8>, PictureFault> {
    let parts = container::parts(kept)?;
    PictureLimits::KEPT.permit(&parts)?;
    let picture = unpacked(kept, parts.kind)?;
    let side = side.clamp(1, MOST_SIDE);
    let scale = f64::from(span.max(1)) / f64::from(side);
    // A point of the picture is counted from the corner of its first pixel.
    let at = |middle: u32, pixel: u32| {
        f64::from(middle) + (f64::from(pixel) + 0.5 - f64::from(side) / 2.0) * scale
    };
    let enlarged = RgbImage::from_fn(side, side, |x, y| between(&picture, at(middle.0, x), at(middle.1, y)));
    written(&enlarged, PictureLimits::USUAL.jpeg_quality)
}

/// The colour between pixels, whose centres are at whole numbers and a half.
fn between(picture: &RgbImage, x: f64, y: f64) -> Rgb<u8> {
    let (width, height) = (f64::from(picture.width()), f64::from(picture.height()));
    if !(0.0..width).contains(&x) || !(0.0..height).contains(&y) {
        return OUTSIDE;
    }
    let (x, y) = ((x - 0.5).max(0.0), (y - 0.5).max(0.0));
    let (left, top) = (x.floor(), y.floor());
    let (right_share, lower_share) = (x - left, y - top);
    let pixel = |dx: u32, dy: u32| {
        let (x, y) = (left as u32 + dx, top as u32 + dy);
        picture.get_pixel(x.min(picture.width() - 1), y.min(picture.height() - 1)).0.map(f64::from)
    };
    let ([a, b, c], [d, e, f]) = (pixel(0, 0), pixel(1, 0));
    let ([g, h, i], [j, k, l]) = (pixel(0, 1), pixel(1, 1));
    let mixed = |[upper_left, upper_right, lower_left, lower_right]: [f64; 4]| {
        let upper = upper_left + (upper_right - upper_left) * right_share;
        let lower = lower_left + (lower_right - lower_left) * right_share;
        (upper + (lower - upper) * lower_share).round().clamp(0.0, 255.0) as u8
    };
    Rgb([[a, d, g, j], [b, e, h, k], [c, f, i, l]].map(mixed))
}
