//! Why a file is not taken as a photograph, worded for the person who chose it.

/// Why a file cannot be kept as a photograph.
#[derive(Debug, Clone, PartialEq, Eq, thiserror::Error)]
#[non_exhaustive]
pub enum PictureFault {
    /// No bytes.
    #[error("The file is empty. Choose the picture again.")]
    Empty,
    /// More bytes than the limit.
    #[error("This file is larger than {most_mb} MB. Save the picture in a smaller size and choose it again.")]
    LargeFile {
        /// The limit, in millions of bytes.
        most_mb: u64,
    },
    /// HEIC or AVIF. No reader of HEIC under a licence that this program may use was found.
    #[error(
        "This picture is saved as HEIC, which cannot be read here. Set the camera of the telephone to “most compatible” (JPEG) and take it again, or save a copy as JPEG and choose that."
    )]
    Heic,
    /// Another kind of picture or file.
    #[error("This is neither a JPEG nor a PNG picture. Save it as one of these and choose it again.")]
    OtherFormat,
    /// More pixels than the limit.
    #[error(
        "This picture has more than {most_megapixels} million pixels, or a side of more than {most_side} pixels. Save it in a smaller size and choose it again."
    )]
    ManyPixels {
        /// The limit of pixels, in millions.
        most_megapixels: u64,
        /// The limit of a side, in pixels.
        most_side: u32,
    },
    /// Fewer pixels than show a foot.
    #[error(
        "This picture is only {width} × {height} pixels. Choose the picture itself, not a preview of it."
    )]
    FewPixels {
        /// Width.
        width: u32,
        /// Height.
        height: u32,
    },
    /// The file ends before the picture does.
    #[error("This picture is not complete: the file ends too early. Send or copy it again.")]
    Truncated,
    /// It cannot be unpacked.
    #[error("This picture is damaged and cannot be read. Take or send it again.")]
    Damaged,
}
