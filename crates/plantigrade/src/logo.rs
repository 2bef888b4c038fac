//! The clinic's logo: a picture that a lead chose, made anew from its pixels, so that nothing else that was in the file
//! is kept, and small enough for the head of a letter.

use crate::kept_file::KeptFile;
use data_encoding::BASE64;
use image::{DynamicImage, ImageDecoder, ImageFormat, ImageReader, Limits, imageops::FilterType};
use letters::ClinicLogo;
use std::{
    io::{self, Cursor},
    path::Path,
};

/// The file in the data folder. It has nothing about a child.
pub const LOGO_FILE: &str = "clinic-logo.toml";
/// The largest file that is read, in bytes.
pub const MOST_FILE_BYTES: usize = 5 << 20;
/// The largest side of a picture that is read, in pixels.
const MOST_SIDE: u32 = 6000;
/// The memory that reading a picture may take, in bytes.
const MOST_MEMORY: u64 = 200 << 20;
/// The room for the logo, in pixels: four times what a letter shows.
const ROOM: (u32, u32) = (960, 320);
/// The largest picture that is kept, in bytes.
const MOST_KEPT_BYTES: usize = 1 << 20;

/// Why a picture is not taken.
#[derive(Debug, Clone, PartialEq, Eq, thiserror::Error)]
pub enum LogoRefused {
    /// Neither PNG nor JPEG.
    #[error("This is neither a PNG nor a JPEG picture. Save the logo as one of these and choose it again.")]
    NoPicture,
    /// The file is too large.
    #[error("This file is larger than 5 MB. Save the logo in a smaller size and choose it again.")]
    LargeFile,
    /// Too many pixels.
    #[error(
        "This picture is larger than 6000 pixels, or needs too much memory. Save it in a smaller size and choose it again."
    )]
    ManyPixels,
    /// The picture is damaged.
    #[error("This picture is damaged and cannot be read. Save it again and choose the new file.")]
    Damaged,
}

/// A picture that can be kept.
#[derive(Debug, Clone, PartialEq, Eq)]
pub struct Logo {
    /// As PNG.
    pub png: Vec<u8>,
    /// Width and height in pixels.
    pub size: (u32, u32),
}

impl Logo {
    /// Reads a PNG or JPEG, turns it as its camera says, makes it fit and writes it anew.
    ///
    /// # Errors
    /// What is wrong with the file, as a sentence.
    pub fn read(bytes: &[u8]) -> Result<Self, LogoRefused> {
        if bytes.len() > MOST_FILE_BYTES {
            return Err(LogoRefused::LargeFile);
        }
        let reader = ImageReader::new(Cursor::new(bytes)).with_guessed_format();
        let mut reader = reader.map_err(|_| LogoRefused::NoPicture)?;
        if !matches!(reader.format(), Some(ImageFormat::Png | ImageFormat::Jpeg)) {
            return Err(LogoRefused::NoPicture);
        }
        let mut limits = Limits::default();
        limits.max_image_width = Some(MOST_SIDE);
        limits.max_image_height = Some(MOST_SIDE);
        limits.max_alloc = Some(MOST_MEMORY);
        reader.limits(limits);
        let mut decoder = reader.into_decoder().map_err(|error| refused(&error))?;
        let turned = decoder.orientation().map_err(|error| refused(&error))?;
        let mut picture = DynamicImage::from_decoder(decoder).map_err(|error| refused(&error))?;
        picture.apply_orientation(turned);
        Self::fitting(picture)
    }

    /// Makes a picture fit the room and the bytes.
    fn fitting(mut picture: DynamicImage) -> Result<Self, LogoRefused> {
        let (mut width, mut height) = ROOM;
        loop {
            if picture.width() > width || picture.height() > height {
                picture = picture.resize(width, height, FilterType::Lanczos3);
            }
            let mut png = Vec::new();
            let written = picture.to_rgba8().write_to(&mut Cursor::new(&mut png), ImageFormat::Png);
            written.map_err(|_| LogoRefused::Damaged)?;
            if png.len() <= MOST_KEPT_BYTES {
                return Ok(Self { png, size: (picture.width(), picture.height()) });
            }
            (width, height) = (width / 2, height / 2);
            if height < 20 {
                return Err(LogoRefused::ManyPixels);
            }
        }
    }

    /// "960 × 200 pixels".
    #[must_use]
    pub fn words(&self) -> String {
        format!("{} × {} pixels", self.size.0, self.size.1)
    }

    /// Keeps it in the data folder; the one before stays beside it.
    ///
    /// # Errors
    /// When the disk fails.
    pub fn keep(&self, dir: &Path, replaced: &str) -> io::Result<()> {
        let text = format!(
            "# The logo, chosen on the page Letterhead.\nwidth = {}\nheight = {}\npng = \"{}\"\n",
            self.size.0,
            self.size.1,
            BASE64.encode(&self.png)
        );
        KeptFile::of(dir, LOGO_FILE).write(&text, replaced)
    }

    /// The logo of a clinic; `None` where there is none, or the file cannot be used.
    #[must_use]
    pub fn of_clinic(dir: &Path) -> Option<Self> {
        let text = KeptFile::of(dir, LOGO_FILE).read().ok().flatten()?;
        let table: toml::Table = toml::from_str(&text).ok()?;
        let png = BASE64.decode(table.get("png")?.as_str()?.as_bytes()).ok()?;
        let side = |key: &str| u32::try_from(table.get(key)?.as_integer()?).ok();
        let size = (side("width")?, side("height")?);
        (png.len() <= MOST_KEPT_BYTES && png.starts_with(b"\x89PNG")).then_some(Self { png, size })
    }

    /// As it is printed at the head of documents.
    #[must_use]
    pub fn for_documents(&self) -> ClinicLogo {
        ClinicLogo::new(&self.png)
    }
}

/// Removes the logo; the file before stays beside it.
///
/// # Errors
/// When the disk fails.
pub fn remove(dir: &Path, replaced: &str) -> io::Result<()> {
    KeptFile::of(dir, LOGO_FILE).write("# No logo.\n", replaced)
}

fn refused(error: &image::ImageError) -> LogoRefused {
    match error {
        image::ImageError::Limits(_) => LogoRefused::ManyPixels,
        image::ImageError::Unsupported(_) => LogoRefused::NoPicture,
        _ => LogoRefused::Damaged,
    }
}

#[cfg(test)]
mod tests {
    #![allow(clippy::unwrap_used)]
    use super::*;
    use image::{Rgb, RgbImage, RgbaImage};

    fn picture(width: u32, height: u32, format: ImageFormat) -> Vec<u8> {
        let mut bytes = Vec::new();
        let image = RgbImage::from_fn(width, height, |x, y| Rgb([(x % 251) as u8, (y % 241) as u8, 40]));
        image.write_to(&mut Cursor::new(&mut bytes), format).unwrap();
        bytes
    }

    #[test]
    fn a_picture_is_made_to_fit_and_comes_back_from_the_folder() {
        let dir = tempfile::tempdir().unwrap();
        for format in [ImageFormat::Png, ImageFormat::Jpeg] {
            let logo = Logo::read(&picture(1920, 400, format)).unwrap();
            // 1920 × 400 in 960 × 320: half of it.
            assert_eq!(logo.size, (960, 200));
            logo.keep(dir.path(), "on day 1 by Ida").unwrap();
            assert_eq!(Logo::of_clinic(dir.path()), Some(logo));
        }
        remove(dir.path(), "on day 2 by Ida").unwrap();
        assert_eq!(Logo::of_clinic(dir.path()), None);
    }

    /// A comment chunk of a PNG, as programs write places and names into it.
    #[test]
    fn nothing_but_pixels_is_kept() {
        let plain = picture(30, 20, ImageFormat::Png);
        // The first chunk ends after 8 bytes of signature, 4 of length, 4 of name, 13 of data and 4 of checksum.
        let (head, rest) = plain.split_at(8 + 4 + 4 + 13 + 4);
        let data = b"tEXtComment\0taken at 52.1 N";
        let mut crc = 0xffff_ffff_u32;
        for byte in data {
            crc ^= u32::from(*byte);
            for _ in 0..8 {
                crc = if crc & 1 == 1 { (crc >> 1) ^ 0xedb8_8320 } else { crc >> 1 };
            }
        }
        let length = u32::try_from(data.len() - 4).unwrap().to_be_bytes();
        let told = [head, &length, data, &(!crc).to_be_bytes(), rest].concat();
        let logo = Logo::read(&told).unwrap();
        let holds = |bytes: &[u8]| bytes.windows(8).any(|part| part == b"taken at");
        assert!(holds(&told) && !holds(&logo.png));
    }

    #[test]
    fn what_is_no_small_picture_is_refused_with_a_sentence() {
        let read = |bytes: &[u8]| Logo::read(bytes).unwrap_err();
        assert_eq!(read(b"<svg xmlns=\"http://www.w3.org/2000/svg\"/>"), LogoRefused::NoPicture);
        assert_eq!(read(b"GIF89a...................."), LogoRefused::NoPicture);
        assert_eq!(read(b""), LogoRefused::NoPicture);
        assert_eq!(read(&vec![0; MOST_FILE_BYTES + 1]), LogoRefused::LargeFile);
        let mut wide = Vec::new();
        RgbaImage::new(MOST_SIDE + 1, 1).write_to(&mut Cursor::new(&mut wide), ImageFormat::Png).unwrap();
        assert_eq!(read(&wide), LogoRefused::ManyPixels);
        let whole = picture(200, 100, ImageFormat::Png);
        assert_eq!(read(&whole[..whole.len() / 2]), LogoRefused::Damaged);
    }
}
