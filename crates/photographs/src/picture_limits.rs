//! How large a file may be, and how large what is kept of it.

use crate::{PictureFault, container::FileParts};

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

    /// For pictures in a letter: 1,200 pixels on 85 mm of paper are 350 to the inch (judgement).
    pub const PRINTED: Self = Self { kept_side: 1_200, jpeg_quality: 80, ..Self::KEPT };

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
