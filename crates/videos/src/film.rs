//! What is kept of a video, whichever file it comes from and goes into.

use crate::{codec::Codec, fault::VideoFault, limits::VideoLimits};

/// How the pictures are turned and shifted when they are shown: the matrix of a track (ISO/IEC 14496-12, 8.3.2).
pub type FilmTurn = [i32; 9];

/// Pictures as they were taken.
pub const UPRIGHT: FilmTurn = [0x1_0000, 0, 0, 0, 0x1_0000, 0, 0, 0, 0x4000_0000];

/// One picture of a film.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub struct FilmPicture {
    /// Its length, in bytes.
    pub length: usize,
    /// When it is decoded, in ticks.
    pub at: u64,
    /// By how many ticks later than that it is shown.
    pub shift: i64,
    /// Whether it can be decoded by itself.
    pub is_key: bool,
}

/// A film: its pictures and what a decoder needs.
#[derive(Debug, Clone)]
pub struct Film {
    pub codec: Codec,
    /// What the decoder needs before the first picture, without anything else.
    pub config: Vec<u8>,
    /// Width of the pictures as they are coded, in pixels.
    pub width: u32,
    /// Height likewise.
    pub height: u32,
    /// Width and height as they are shown, in 65536ths of a pixel, before they are turned.
    pub shown: (u32, u32),
    pub matrix: FilmTurn,
    /// Ticks in a second.
    pub timescale: u32,
    pub frames: Vec<FilmPicture>,
    /// How long the last picture is shown, in ticks.
    pub last_ticks: u64,
    /// The pictures one after the other.
    pub data: Vec<u8>,
    /// What may be copied of the description of colours and of the shape of pixels, ready to be written.
    pub extras: Vec<u8>,
}

impl Film {
    /// From the first picture to the end of the last, in ticks.
    pub fn ticks(&self) -> u64 {
        let first = self.frames.first().map_or(0, |frame| frame.at);
        let last = self.frames.last().map_or(0, |frame| frame.at);
        last.saturating_sub(first).saturating_add(self.last_ticks)
    }

    /// Its length in thousandths of a second, rounded up.
    pub fn duration_ms(&self) -> u64 {
        self.ticks().saturating_mul(1000).div_ceil(u64::from(self.timescale.max(1)))
    }

    /// Holds it against the limits.
    pub fn within(&self, limits: &VideoLimits) -> Result<(), VideoFault> {
        let (width, height) = (self.width, self.height);
        if self.frames.is_empty() {
            return Err(VideoFault::NoFilm);
        }
        if width.min(height) < limits.least_side {
            return Err(VideoFault::SmallSide { width, height });
        }
        if width.max(height) > limits.most_side {
            return Err(VideoFault::LargeSide { width, height, most_side: limits.most_side });
        }
        if self.duration_ms() > u64::from(limits.most_seconds) * 1000 {
            return Err(VideoFault::Long { most_seconds: limits.most_seconds });
        }
        if self.duration_ms() == 0 { Err(VideoFault::Damaged) } else { Ok(()) }
    }

    /// Whether it is turned by a quarter when it is shown.
    pub const fn is_turned(&self) -> bool {
        self.matrix[0] == 0 && self.matrix[4] == 0
    }
}
