//! An uploaded video: a file that is taken becomes one within the limits that is read again as the same bytes, and has no
//! box or element that playing does not need; a file that is refused is refused with a sentence.
#![no_main]

use libfuzzer_sys::fuzz_target;
use videos::{VideoFormat, VideoLimits, prepare};

const LIMITS: VideoLimits = VideoLimits { least_side: 1, ..VideoLimits::USUAL };

fuzz_target!(|bytes: &[u8]| {
    match prepare(bytes, &LIMITS) {
        Ok(kept) => {
            assert!((1..=LIMITS.most_seconds * 1000).contains(&kept.duration_ms));
            let again = prepare(&kept.bytes, &LIMITS).expect("what was kept is read again");
            assert!(again.bytes == kept.bytes);
            assert!(again.taken_at.is_none() && !again.sound_removed);
            match kept.format {
                VideoFormat::Mp4 => assert_eq!(boxes(&kept.bytes), ["ftyp", "moov", "mdat"]),
                VideoFormat::WebM => assert!(kept.bytes.starts_with(&[0x1a, 0x45, 0xdf, 0xa3])),
            }
        }
        Err(fault) => assert!(fault.to_string().ends_with('.')),
    }
});

/// The names of the outer boxes.
fn boxes(file: &[u8]) -> Vec<&str> {
    let (mut rest, mut names) = (file, Vec::new());
    while let Some((head, _)) = rest.split_at_checked(8) {
        let size = u32::from_be_bytes([head[0], head[1], head[2], head[3]]) as usize;
        names.push(std::str::from_utf8(&head[4..]).expect("a name"));
        rest = rest.get(size..).expect("a whole box");
    }
    assert!(rest.is_empty());
    names
}
