//! A picture as shades of grey.

use crate::{PictureFault, container, prepare};

/// The luminance of a picture, row by row from the top.
#[derive(Debug, Clone, PartialEq, Eq)]
pub struct GreyPlane {
    width: usize,
    height: usize,
    shades: Vec<u8>,
}

impl GreyPlane {
    /// From its rows; `None` if their number does not fit, or there are none.
    #[must_use]
    pub fn new(width: usize, height: usize, shades: Vec<u8>) -> Option<Self> {
        let fits = width > 0 && width.checked_mul(height) == Some(shades.len()) && !shades.is_empty();
        fits.then_some(Self { width, height, shades })
    }

    /// Of a picture that was kept: the bytes of [`crate::PreparedPhotograph::jpeg`] or of its thumbnail.
    ///
    /// # Errors
    /// When the bytes are no picture, as in [`crate::prepare()`].
    pub fn of_kept(bytes: &[u8]) -> Result<Self, PictureFault> {
        let parts = container::parts(bytes)?;
        prepare::PictureLimits::KEPT.permit(&parts)?;
        let picture = prepare::unpacked(bytes, parts.kind)?;
        Ok(Self::of_rgb(picture.width() as usize, picture.height() as usize, picture.as_raw()))
    }

    /// The luminance of pixels of red, green and blue (weights of ITU-R BT.601, from memory).
    pub(crate) fn of_rgb(width: usize, height: usize, pixels: &[u8]) -> Self {
        let shade = |pixel: &[u8]| match *pixel {
            [red, green, blue] => {
                let sum = 299 * u32::from(red) + 587 * u32::from(green) + 114 * u32::from(blue);
                u8::try_from((sum + 500) / 1000).unwrap_or(u8::MAX)
            }
            _ => 0,
        };
        Self { width, height, shades: pixels.chunks_exact(3).map(shade).collect() }
    }

    /// Width in pixels.
    #[must_use]
    pub const fn width(&self) -> usize {
        self.width
    }

    /// Height in pixels.
    #[must_use]
    pub const fn height(&self) -> usize {
        self.height
    }

    /// The shade of a pixel, 0 for black; what is outside has the shade of the nearest pixel.
    #[must_use]
    pub fn shade(&self, x: usize, y: usize) -> u8 {
        let at = y.min(self.height - 1) * self.width + x.min(self.width - 1);
        self.shades.get(at).copied().unwrap_or(0)
    }

    /// The rows.
    pub(crate) fn rows(&self) -> impl ExactSizeIterator<Item = &[u8]> {
        self.shades.chunks_exact(self.width)
    }

    /// The shade between pixels, whose centres are at whole numbers and a half.
    pub(crate) fn between(&self, x: f64, y: f64) -> f64 {
        let (x, y) = ((x - 0.5).max(0.0), (y - 0.5).max(0.0));
        let (left, top) = (x as usize, y as usize);
        let (right, below) = (x - left as f64, y - top as f64);
        let shade = |x, y| f64::from(self.shade(x, y));
        let upper = shade(left, top) * (1.0 - right) + shade(left + 1, top) * right;
        let lower = shade(left, top + 1) * (1.0 - right) + shade(left + 1, top + 1) * right;
        upper * (1.0 - below) + lower * below
    }

    /// The mirror image, left and right exchanged.
    #[must_use]
    pub fn mirrored(&self) -> Self {
        let shades = self.rows().flat_map(|row| row.iter().rev().copied()).collect();
        Self { width: self.width, height: self.height, shades }
    }

    /// The middle half of each side, in which the foot is expected.
    pub(crate) fn middle(&self) -> Self {
        let (left, top) = (self.width / 4, self.height / 4);
        let (width, height) = ((self.width / 2).max(1), (self.height / 2).max(1));
        let rows = self.rows().skip(top).take(height);
        let shades = rows.flat_map(|row| row.iter().skip(left).take(width).copied()).collect();
        Self { width, height, shades }
    }

    /// At most `side` pixels on the longer side, each the mean of the pixels that it replaces.
    #[must_use]
    pub fn within(&self, side: usize) -> Self {
        let longer = self.width.max(self.height);
        if longer <= side.max(1) {
            return self.clone();
        }
        let fit = |length: usize| (length * side / longer).max(1);
        let (width, height) = (fit(self.width), fit(self.height));
        let edges = |at: usize, new: usize, old: usize| {
            (at * old / new, ((at + 1) * old / new).max(at * old / new + 1))
        };
        let mut shades = Vec::with_capacity(width * height);
        for y in 0..height {
            let (top, bottom) = edges(y, height, self.height);
            for x in 0..width {
                let (left, right) = edges(x, width, self.width);
                shades.push(self.mean((left, right), (top, bottom)));
            }
        }
        Self { width, height, shades }
    }

    fn mean(&self, (left, right): (usize, usize), (top, bottom): (usize, usize)) -> u8 {
        let count = ((right - left) * (bottom - top)).max(1) as u64;
        let rows =
            (top..bottom).filter_map(|y| self.shades.get(y * self.width + left..y * self.width + right));
        let sum: u64 = rows.flatten().map(|shade| u64::from(*shade)).sum();
        u8::try_from((sum + count / 2) / count).unwrap_or(u8::MAX)
    }
}
