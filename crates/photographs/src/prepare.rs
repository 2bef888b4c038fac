//! From an uploaded file to a picture that may be kept.

use crate::{
    GreyPlane, PictureFault, PictureFinding, PictureKind, camera_data::CameraData, container,
    container::FileParts, quality,
};
use fast_image_resize::{
    FilterType, PixelType, ResizeAlg, ResizeOptions, Resizer,
    images::{Image, ImageRef},
};
use image::{
    DynamicImage, ImageDecoder, ImageError, Limits, RgbImage,
    codecs::{
        jpeg::{JpegDecoder, JpegEncoder},
        png::PngDecoder,
    },
};
use jiff::civil::DateTime;
use std::io::Cursor;

/// What may be read, and how much of it is kept.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub struct PictureLimits {
    /// The largest file, in bytes.
    pub most_bytes: usize,
    /// The most pixels that are unpacked; each takes three to eight bytes of memory while it is.
    pub most_pixels: u64,
    /// The longest side that is unpacked, in pixels.
    pub most_side: u32,
    /// The shortest side that can show a foot, in pixels.
    pub least_side: u32,
    /// The longer side of the picture that is kept, in pixels, at most.
    pub kept_side: u32,
    /// The longer side of its thumbnail, in pixels, at most.
    pub thumbnail_side: u32,
    /// The quality of the JPEG that is kept, 1 to 100.
    pub jpeg_quality: u8,
}

impl PictureLimits {
    /// The usual limits: files of 24 MB and 64 million pixels, as the pictures of telephones are (judgement).
    pub const USUAL: Self = Self {
        most_bytes: 24 << 20,
        most_pixels: 64_000_000,
        most_side: 12_000,
        least_side: 200,
        kept_side: 2_000,
        thumbnail_side: 320,
        jpeg_quality: 88,
    };

    /// For pictures that were kept before.
    pub(crate) const KEPT: Self = Self { least_side: 1, most_pixels: 16_000_000, ..Self::USUAL };

    pub(crate) fn permit(&self, parts: &FileParts<'_>) -> Result<(), PictureFault> {
        let FileParts { width, height, .. } = *parts;
        if u64::from(width) * u64::from(height) > self.most_pixels || width.max(height) > self.most_side {
            let most_megapixels = self.most_pixels / 1_000_000;
            return Err(PictureFault::ManyPixels { most_megapixels, most_side: self.most_side });
        }
        if width.min(height) < self.least_side {
            return Err(PictureFault::FewPixels { width, height });
        }
        Ok(())
    }
}

impl Default for PictureLimits {
    fn default() -> Self {
        Self::USUAL
    }
}

/// A picture that may be kept, and what is known about it.
#[derive(Debug, Clone, PartialEq, Eq)]
pub struct PreparedPhotograph {
    /// The picture as JPEG, upright, made anew from its pixels: nothing else of the file is in it.
    pub jpeg: Vec<u8>,
    /// A small one as JPEG, made in the same way.
    pub thumbnail: Vec<u8>,
    /// Width of the kept picture, in pixels.
    pub width: u32,
    /// Height of the kept picture, in pixels.
    pub height: u32,
    /// What kind of file it came from.
    pub came_as: PictureKind,
    /// When the picture was taken by the clock of the camera, which may be wrong: to be asked about, never taken over.
    pub taken_at: Option<DateTime>,
    /// Whether a geographic position was found in the file. It is not in the kept picture, whether it was found or not.
    pub position_removed: bool,
    /// What is wrong with the picture; empty if nothing was found.
    pub findings: Vec<PictureFinding>,
}

/// Makes a picture that may be kept from the bytes of a file. The kind of file is seen from its content. Its size is
/// held against the limits before anything is unpacked; it is turned upright as the camera says, reduced, and written
/// anew, so that no data of the camera, no position and no second picture is kept. Colours are taken as sRGB; the
/// colour profile of a file is dropped.
///
/// # Errors
/// What is wrong with the file, as a sentence for the person who chose it.
pub fn prepare(bytes: &[u8], limits: &PictureLimits) -> Result<PreparedPhotograph, PictureFault> {
    if bytes.len() > limits.most_bytes {
        return Err(PictureFault::LargeFile { most_mb: (limits.most_bytes >> 20) as u64 });
    }
    let parts = container::parts(bytes)?;
    limits.permit(&parts)?;
    let camera = CameraData::of(&parts);
    let mut upright = DynamicImage::ImageRgb8(reduced(&unpacked(bytes, parts.kind)?, limits.kept_side)?);
    upright.apply_orientation(camera.turn);
    let picture = upright.into_rgb8();
    let (width, height) = picture.dimensions();
    let grey = GreyPlane::of_rgb(width as usize, height as usize, picture.as_raw());
    Ok(PreparedPhotograph {
        jpeg: written(&picture, limits.jpeg_quality)?,
        thumbnail: written(&reduced(&picture, limits.thumbnail_side)?, limits.jpeg_quality)?,
        width,
        height,
        came_as: parts.kind,
        taken_at: camera.taken_at,
        position_removed: camera.position,
        findings: quality(&grey),
    })
}

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

/// At most `side` pixels on the longer side.
fn reduced(picture: &RgbImage, side: u32) -> Result<RgbImage, PictureFault> {
    let (width, height) = picture.dimensions();
    let longer = width.max(height);
    if longer <= side {
        return Ok(picture.clone());
    }
    let fit = |length: u32| {
        let fitted = (u64::from(length) * u64::from(side) + u64::from(longer) / 2) / u64::from(longer);
        u32::try_from(fitted).unwrap_or(side).max(1)
    };
    let (new_width, new_height) = (fit(width), fit(height));
    let from =
        ImageRef::new(width, height, picture.as_raw(), PixelType::U8x3).map_err(|_| PictureFault::Damaged)?;
    let mut to = Image::new(new_width, new_height, PixelType::U8x3);
    let options = ResizeOptions::new().resize_alg(ResizeAlg::Convolution(FilterType::CatmullRom));
    Resizer::new().resize(&from, &mut to, &options).map_err(|_| PictureFault::Damaged)?;
    RgbImage::from_raw(new_width, new_height, to.into_vec()).ok_or(PictureFault::Damaged)
}

fn written(picture: &RgbImage, quality: u8) -> Result<Vec<u8>, PictureFault> {
    let mut bytes = Vec::new();
    let mut encoder = JpegEncoder::new_with_quality(&mut bytes, quality.clamp(1, 100));
    encoder.encode_image(picture).map_err(|_| PictureFault::Damaged)?;
    Ok(bytes)
}
