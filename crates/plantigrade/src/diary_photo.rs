//! A photograph that somebody uploads, as shades of grey: JPEG or PNG, within limits.

use letters::GreyPicture;
use png::{BitDepth, ColorType, Decoder, Limits, Transformations};
use std::io::Cursor;
use zune_core::{bytestream::ZCursor, colorspace::ColorSpace, options::DecoderOptions};
use zune_jpeg::JpegDecoder;

/// The largest photograph, in bytes.
pub const PHOTO_BYTES: usize = 24 << 20;
/// The most pixels on a side.
const MOST_SIDE: usize = 12_000;
/// The most pixels. Telephones make pictures of up to 50 million, of which a quarter would do.
const MOST_PIXELS: usize = 64_000_000;
/// The most memory for unpacking, in bytes.
const MOST_MEMORY: usize = 512 << 20;
/// Pixels on the longer side with which a diary is read; more show no more.
const READ_SIDE: usize = 2_600;

/// Why a photograph cannot be used.
#[derive(Debug, Clone, PartialEq, Eq, thiserror::Error)]
pub enum PhotoFault {
    /// No file.
    #[error("No picture was chosen.")]
    Nothing,
    /// Another kind of file.
    #[error(
        "This is no picture in JPEG or PNG. Save it as one of these, and choose that. Some telephones save HEIC by default; their settings can change that."
    )]
    OtherFormat,
    /// Too many pixels.
    #[error("The picture has too many pixels: at most {} million are read.", MOST_PIXELS / 1_000_000)]
    TooLarge,
    /// It cannot be unpacked.
    #[error("The picture is damaged and cannot be read. Take or send it again.")]
    Damaged,
}

/// Unpacks a photograph.
///
/// # Errors
/// When it is no picture in JPEG or PNG, too large, or damaged.
pub fn unpacked(bytes: &[u8]) -> Result<GreyPicture, PhotoFault> {
    let picture = match bytes {
        [] => return Err(PhotoFault::Nothing),
        [0xff, 0xd8, 0xff, ..] => jpeg(bytes)?,
        [0x89, b'P', b'N', b'G', ..] => png(bytes)?,
        _ => return Err(PhotoFault::OtherFormat),
    };
    Ok(picture.within(READ_SIDE))
}

fn within_limits(width: usize, height: usize) -> Result<(), PhotoFault> {
    let fits = width.checked_mul(height).is_some_and(|pixels| pixels <= MOST_PIXELS);
    if fits && width <= MOST_SIDE && height <= MOST_SIDE { Ok(()) } else { Err(PhotoFault::TooLarge) }
}

fn jpeg(bytes: &[u8]) -> Result<GreyPicture, PhotoFault> {
    let options = DecoderOptions::default()
        .set_max_width(MOST_SIDE)
        .set_max_height(MOST_SIDE)
        .jpeg_set_out_colorspace(ColorSpace::Luma);
    let mut decoder = JpegDecoder::new_with_options(ZCursor::new(bytes), options);
    decoder.decode_headers().map_err(|_| PhotoFault::Damaged)?;
    let (width, height) = decoder.dimensions().ok_or(PhotoFault::Damaged)?;
    within_limits(width, height)?;
    let shades = decoder.decode().map_err(|_| PhotoFault::Damaged)?;
    GreyPicture::new(width, height, shades).ok_or(PhotoFault::Damaged)
}

fn png(bytes: &[u8]) -> Result<GreyPicture, PhotoFault> {
    let mut decoder = Decoder::new_with_limits(Cursor::new(bytes), Limits { bytes: MOST_MEMORY });
    decoder.set_transformations(Transformations::normalize_to_color8());
    let mut reader = decoder.read_info().map_err(|_| PhotoFault::Damaged)?;
    let (width, height) = (reader.info().width as usize, reader.info().height as usize);
    within_limits(width, height)?;
    let size = reader.output_buffer_size().filter(|size| *size <= MOST_MEMORY).ok_or(PhotoFault::TooLarge)?;
    let mut buffer = vec![0; size];
    let frame = reader.next_frame(&mut buffer).map_err(|_| PhotoFault::Damaged)?;
    if frame.bit_depth != BitDepth::Eight {
        return Err(PhotoFault::Damaged);
    }
    let samples = frame.color_type.samples();
    let pixels = buffer.get(..width * height * samples).ok_or(PhotoFault::Damaged)?.chunks_exact(samples);
    let shades = pixels.map(|pixel| shade(pixel, frame.color_type)).collect();
    GreyPicture::new(width, height, shades).ok_or(PhotoFault::Damaged)
}

/// The luminance of a pixel (weights of ITU-R BT.601, from memory); what is transparent lies on white paper.
fn shade(pixel: &[u8], kind: ColorType) -> u8 {
    let part = |n: usize| u32::from(pixel.get(n).copied().unwrap_or(0));
    let (grey, alpha) = match kind {
        ColorType::Rgb => (luminance(part(0), part(1), part(2)), 255),
        ColorType::Rgba => (luminance(part(0), part(1), part(2)), part(3)),
        ColorType::GrayscaleAlpha => (part(0), part(1)),
        ColorType::Grayscale | ColorType::Indexed => (part(0), 255),
    };
    u8::try_from((grey * alpha + 255 * (255 - alpha)) / 255).unwrap_or(u8::MAX)
}

const fn luminance(red: u32, green: u32, blue: u32) -> u32 {
    (299 * red + 587 * green + 114 * blue) / 1000
}

#[cfg(test)]
mod tests {
    #![allow(clippy::unwrap_used)]
    use super::*;

    fn png_of(width: u32, height: u32, kind: ColorType, bytes: &[u8]) -> Vec<u8> {
        let mut out = Vec::new();
        let mut encoder = png::Encoder::new(&mut out, width, height);
        encoder.set_color(kind);
        encoder.set_depth(BitDepth::Eight);
        encoder.write_header().unwrap().write_image_data(bytes).unwrap();
        out
    }

    #[test]
    fn colours_become_shades_and_what_is_transparent_is_paper() {
        let rgba = [255, 255, 255, 255, 0, 0, 0, 255, 0, 0, 0, 0, 255, 0, 0, 255];
        let picture = unpacked(&png_of(2, 2, ColorType::Rgba, &rgba)).unwrap();
        let shades = [(0, 0), (1, 0), (0, 1), (1, 1)].map(|(x, y)| picture.shade(x, y));
        assert_eq!(shades, [255, 0, 255, 76]);
    }

    #[test]
    fn what_is_no_picture_is_refused() {
        assert_eq!(unpacked(b""), Err(PhotoFault::Nothing));
        assert_eq!(unpacked(b"GIF89a"), Err(PhotoFault::OtherFormat));
        assert_eq!(unpacked(&[0xff, 0xd8, 0xff, 0, 1]), Err(PhotoFault::Damaged));
        let whole = png_of(40, 40, ColorType::Grayscale, &[7; 1600]);
        assert_eq!(unpacked(&whole[..whole.len() / 2]), Err(PhotoFault::Damaged));
        // The head of a picture of 12,001 by one pixels.
        assert_eq!(
            unpacked(&png_of(12_001, 1, ColorType::Grayscale, &[0; 12_001])),
            Err(PhotoFault::TooLarge)
        );
    }
}
