//! A file that somebody sends becomes a film without anything else.

use crate::{besides::Besides, fault::VideoFault, film::Film, iso, limits::VideoLimits, matroska};

/// The kind of file in which a video is kept.
#[derive(Debug, Clone, Copy, PartialEq, Eq, Hash)]
pub enum VideoFormat {
    /// MP4.
    Mp4,
    /// WebM.
    WebM,
}

impl VideoFormat {
    /// Both.
    pub const ALL: [Self; 2] = [Self::Mp4, Self::WebM];

    /// Its media type.
    #[must_use]
    pub const fn media_type(self) -> &'static str {
        match self {
            Self::Mp4 => "video/mp4",
            Self::WebM => "video/webm",
        }
    }

    /// The format of a file, by how its content begins; `None` if it is neither.
    #[must_use]
    pub fn of(bytes: &[u8]) -> Option<Self> {
        match bytes {
            [0x1a, 0x45, 0xdf, 0xa3, ..] => Some(Self::WebM),
            // The first box of a file of this kind. QuickTime files may begin without a type.
            [_, _, _, _, b'f', b't', b'y', b'p', ..]
            | [_, _, _, _, b'm', b'o', b'o', b'v', ..]
            | [_, _, _, _, b'm', b'd', b'a', b't', ..]
            | [_, _, _, _, b'w', b'i', b'd', b'e', ..] => Some(Self::Mp4),
            _ => None,
        }
    }
}

/// A video made safe to keep.
#[derive(Debug, Clone, PartialEq, Eq)]
pub struct PreparedVideo {
    /// The file.
    pub bytes: Vec<u8>,
    /// Its kind.
    pub format: VideoFormat,
    /// Its length, in milliseconds.
    pub duration_ms: u32,
    /// Width of the pictures as they are shown, in pixels.
    pub width: u32,
    /// Height likewise.
    pub height: u32,
    /// When it was taken by what the file says, in seconds since 1970, UTC.
    pub taken_at: Option<i64>,
    /// Whether a position was found; it is not in `bytes`. One that was not found is not either.
    pub position_removed: bool,
    /// Whether there was sound; it is not in `bytes`.
    pub sound_removed: bool,
}

/// Reads a file and writes its film anew, without sound and without anything else.
///
/// # Errors
/// Why the file cannot be kept, in a sentence for the person who chose it.
pub fn prepare(bytes: &[u8], limits: &VideoLimits) -> Result<PreparedVideo, VideoFault> {
    if bytes.is_empty() {
        return Err(VideoFault::Empty);
    }
    if bytes.len() > limits.most_bytes {
        let most_mb = u64::try_from(limits.most_bytes >> 20).unwrap_or(u64::MAX);
        return Err(VideoFault::LargeFile { most_mb });
    }
    let format = VideoFormat::of(bytes).ok_or(VideoFault::OtherFormat)?;
    let (film, besides) = match format {
        VideoFormat::Mp4 => iso::read(bytes, limits)?,
        VideoFormat::WebM => matroska::read(bytes, limits)?,
    };
    film.within(limits)?;
    Ok(prepared(&film, besides, format))
}

fn prepared(film: &Film, besides: Besides, format: VideoFormat) -> PreparedVideo {
    let bytes = match format {
        VideoFormat::Mp4 => iso::write(film),
        VideoFormat::WebM => matroska::write(film),
    };
    let (width, height) = match film.is_turned() {
        true => (film.height, film.width),
        false => (film.width, film.height),
    };
    PreparedVideo {
        bytes,
        format,
        duration_ms: u32::try_from(film.duration_ms()).unwrap_or(u32::MAX),
        width,
        height,
        taken_at: besides.taken_at,
        position_removed: besides.position,
        sound_removed: besides.sound,
    }
}
