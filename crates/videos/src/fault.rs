//! Why a file is not taken as a video, worded for the person who chose it.

/// Why a file cannot be kept as a video.
#[derive(Debug, Clone, PartialEq, Eq, thiserror::Error)]
#[non_exhaustive]
pub enum VideoFault {
    /// No bytes.
    #[error("The file is empty. Choose the video again.")]
    Empty,
    /// More bytes than the limit.
    #[error(
        "This file is larger than {most_mb} MB. Cut the video shorter on the telephone, or film with fewer pixels, and choose it again."
    )]
    LargeFile {
        /// The limit, in millions of bytes.
        most_mb: u64,
    },
    /// Neither of the formats that are read.
    #[error(
        "This is no video that can be taken: MP4, QuickTime (MOV) or WebM is expected. Choose the video itself, or save a copy as MP4 and choose that."
    )]
    OtherFormat,
    /// A file of such a format without a film.
    #[error("There is no film in this file. Choose the video itself.")]
    NoFilm,
    /// Sound without a film.
    #[error("This file has sound only and no film. Choose the video itself.")]
    SoundOnly,
    /// Longer than the limit.
    #[error(
        "This video is longer than {most_seconds} seconds. Cut it on the telephone to the steps that matter and choose it again."
    )]
    Long {
        /// The limit, in seconds.
        most_seconds: u32,
    },
    /// More pictures than the limit.
    #[error(
        "This video has more than {most_frames} single pictures. Cut it shorter, or film without slow motion, and choose it again."
    )]
    ManyFrames {
        /// The limit.
        most_frames: usize,
    },
    /// A side that is too long.
    #[error(
        "This video has {width} × {height} pixels, and at most {most_side} on a side are taken. Film with fewer pixels and choose it again."
    )]
    LargeSide {
        /// Width.
        width: u32,
        /// Height.
        height: u32,
        /// The limit.
        most_side: u32,
    },
    /// Fewer pixels than show a gait.
    #[error("This video has only {width} × {height} pixels. Choose the video itself, not a preview of it.")]
    SmallSide {
        /// Width.
        width: u32,
        /// Height.
        height: u32,
    },
    /// The file ends before the video does.
    #[error("This video is not complete: the file ends too early. Send or copy it again.")]
    Truncated,
    /// It contradicts itself.
    #[error("This video is damaged and cannot be read. Take or send it again.")]
    Damaged,
    /// Pictures that are encrypted.
    #[error(
        "This video is protected against copying and cannot be read. Film with the camera of the telephone and choose that video."
    )]
    Protected,
    /// Pictures that browsers do not show.
    #[error(
        "This video is saved in a way that browsers do not play. Set the camera of the telephone to “most compatible” (H.264) and film again, or save a copy as MP4 and choose that."
    )]
    OtherCodec,
    /// A file that is put together in a way that is not read.
    #[error(
        "This video is put together in a way that is not understood here, so that sound and place could not be removed for certain. Save a copy as MP4 on the telephone and choose that."
    )]
    OtherStructure,
}
