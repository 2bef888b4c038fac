//! From an uploaded file to a picture that may be kept.

use crate::{
    PictureFault,
    camera_data::CameraData,
    container,
    container::PictureKind,
    grey_plane::GreyPlane,
    picture_limits::PictureLimits,
    quality::{PictureFinding, quality},
    unpack::unpacked,
};
use fast_image_resize::{
    FilterType, ResizeAlg, ResizeOptions, Resizer,
    images::{TypedImage, TypedImageRef},
    pixels::U8x3,
};
use image::{DynamicImage, RgbImage, codecs::jpeg::JpegEncoder};
use jiff::civil::DateTime;

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

/// A picture that was kept before, reduced for a letter: at most [`PictureLimits::PRINTED`] pixels on its longer side, and
/// some hundred kB.
///
/// # Errors
/// When the kept picture is damaged, or is none of those that are kept.
pub fn for_print(kept: &[u8]) -> Result<Vec<u8>, PictureFault> {
    let parts = container::parts(kept)?;
    PictureLimits::KEPT.permit(&parts)?;
    let picture = reduced(&unpacked(kept, parts.kind)?, PictureLimits::PRINTED.kept_side)?;
    written(&picture, PictureLimits::PRINTED.jpeg_quality)
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
    // By the type of the pixels: without, the code for fourteen other types is built, for more than a minute.
    let from = TypedImageRef::<U8x3>::from_buffer(width, height, picture.as_raw());
    let from = from.map_err(|_| PictureFault::Damaged)?;
    let mut smaller = RgbImage::new(new_width, new_height);
    let to = TypedImage::<U8x3>::from_buffer(new_width, new_height, &mut smaller);
    let options = ResizeOptions::new().resize_alg(ResizeAlg::Convolution(FilterType::CatmullRom));
    let made = Resizer::new().resize_typed(&from, &mut to.map_err(|_| PictureFault::Damaged)?, &options);
    made.map_err(|_| PictureFault::Damaged)?;
    Ok(smaller)
}

pub(crate) fn written(picture: &RgbImage, quality: u8) -> Result<Vec<u8>, PictureFault> {
    let mut bytes = Vec::new();
    let mut encoder = JpegEncoder::new_with_quality(&mut bytes, quality.clamp(1, 100));
    encoder.encode_image(picture).map_err(|_| PictureFault::Damaged)?;
    Ok(bytes)
}
