//! From the bytes of a file to its pixels.

use crate::{PictureFault, container::PictureKind};
use image::{
    DynamicImage, ImageDecoder, ImageError, Limits, RgbImage,
    codecs::{jpeg::JpegDecoder, png::PngDecoder},
};
use std::io::Cursor;

/// The pixels of a file whose size was permitted; what is transparent lies on white.
pub(crate) fn unpacked(bytes: &[u8], kind: PictureKind) -> Result<RgbImage, PictureFault> {
    let damaged = |_: ImageError| PictureFault::Damaged;
    let reader = Cursor::new(bytes);
    let picture = match kind {
        PictureKind::Jpeg => pixels(JpegDecoder::new(reader).map_err(damaged)?),
        PictureKind::Png => pixels(PngDecoder::with_limits(reader, memory()).map_err(damaged)?),
    };
    let picture = picture.map_err(damaged)?;
    if picture.color().has_alpha() { Ok(on_white(&picture)) } else { Ok(picture.into_rgb8()) }
}

/// 64 million pixels of 16 bits in four channels take 512 million bytes.
fn memory() -> Limits {
    let mut limits = Limits::default();
    limits.max_alloc = Some(640 << 20);
    limits
}

fn pixels(mut decoder: impl ImageDecoder) -> Result<DynamicImage, ImageError> {
    decoder.set_limits(memory())?;
    DynamicImage::from_decoder(decoder)
}

fn on_white(picture: &DynamicImage) -> RgbImage {
    let pixels = picture.to_rgba8();
    RgbImage::from_fn(pixels.width(), pixels.height(), |x, y| {
        let [red, green, blue, alpha] = pixels.get_pixel(x, y).0;
        let alpha = u32::from(alpha);
        let mix =
            |part: u8| u8::try_from((u32::from(part) * alpha + 255 * (255 - alpha)) / 255).unwrap_or(255);
        image::Rgb([mix(red), mix(green), mix(blue)])
    })
}
