//! Bytes that no camera wrote: nothing panics, and whatever is kept holds pixels only.

use crate::{
    files::{TAKEN, XMP, exif, patterned, with_chunk, with_segments, written},
    prepared::holds_pixels_only,
};
use image::ImageFormat;
use photographs::*;
use proptest::prelude::*;
use std::sync::LazyLock;

/// Small pictures are allowed here, so that many can be tried.
const SMALL: PictureLimits = PictureLimits { least_side: 1, most_pixels: 4_000_000, ..PictureLimits::USUAL };

static JPEG: LazyLock<Vec<u8>> = LazyLock::new(|| {
    let segments: [&[u8]; 2] = [&[b"Exif\0\0", exif(6, TAKEN, true).as_slice()].concat(), XMP];
    with_segments(&written(&patterned(96, 64), ImageFormat::Jpeg), &segments)
});
static PNG: LazyLock<Vec<u8>> = LazyLock::new(|| {
    with_chunk(&written(&patterned(96, 64), ImageFormat::Png), b"eXIf", &exif(6, TAKEN, true))
});

fn never_keeps_more_than_pixels(bytes: &[u8]) -> Result<(), TestCaseError> {
    match prepare(bytes, &SMALL) {
        Ok(kept) => {
            prop_assert!(holds_pixels_only(&kept.jpeg) && holds_pixels_only(&kept.thumbnail));
            prop_assert!(kept.width.max(kept.height) <= 2000);
        }
        Err(fault) => prop_assert!(fault.to_string().ends_with('.')),
    }
    Ok(())
}

proptest! {
    #![proptest_config(ProptestConfig { cases: 1500, ..ProptestConfig::default() })]

    #[test]
    fn any_bytes_are_taken_or_refused(bytes in proptest::collection::vec(any::<u8>(), 0..600), head in 0..4_usize) {
        let heads: [&[u8]; 4] = [b"", &[0xff, 0xd8, 0xff], b"\x89PNG\r\n\x1a\n", &[0xff, 0xd8, 0xff, 0xe1, 0, 80, b'E', b'x', b'i', b'f', 0, 0, b'I', b'I', 42, 0]];
        never_keeps_more_than_pixels(&[heads[head], &bytes].concat())?;
    }

    #[test]
    fn changed_files_are_taken_or_refused(
        png in any::<bool>(),
        changes in proptest::collection::vec((any::<prop::sample::Index>(), any::<u8>()), 1..12),
        early in proptest::option::weighted(0.2, any::<prop::sample::Index>()),
    ) {
        let mut bytes = if png { PNG.clone() } else { JPEG.clone() };
        for (at, value) in changes {
            let at = at.index(bytes.len());
            bytes[at] = value;
        }
        if let Some(early) = early {
            bytes.truncate(early.index(bytes.len()));
        }
        never_keeps_more_than_pixels(&bytes)?;
    }

    /// Only the data of the camera are changed, which come first.
    #[test]
    fn changed_camera_data_never_stop_a_picture(
        changes in proptest::collection::vec((0..230_usize, any::<u8>()), 1..20),
    ) {
        let mut bytes = JPEG.clone();
        for (at, value) in changes {
            // Behind the marker, the length and the name of the segment.
            bytes[12 + at % 190] = value;
        }
        prop_assert!(prepare(&bytes, &SMALL).is_ok());
        never_keeps_more_than_pixels(&bytes)?;
    }
}
