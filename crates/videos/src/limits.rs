//! The limits of a video.

/// What a video may be at most. The numbers are judgement: a few steps away from the camera and back take some
/// twenty seconds, and telephones write about a megabyte a second.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub struct VideoLimits {
    /// The largest file, in bytes.
    pub most_bytes: usize,
    /// The longest film, in seconds.
    pub most_seconds: u32,
    /// The most pictures of a film.
    pub most_frames: usize,
    /// The largest width or height, in pixels.
    pub most_side: u32,
    /// The smallest width or height, in pixels.
    pub least_side: u32,
}

impl VideoLimits {
    /// Those of the program: 60 MB, 60 seconds at up to 240 pictures a second, 4096 pixels on a side.
    pub const USUAL: Self = Self {
        most_bytes: 60 << 20,
        most_seconds: 60,
        most_frames: 14_400,
        most_side: 4096,
        least_side: 100,
    };
}
