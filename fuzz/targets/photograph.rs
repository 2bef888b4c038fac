//! An uploaded photograph: a file that is taken becomes a picture within the limits that a decoder reads again, and holds
//! nothing but the start, JFIF, tables, frame and scan of a JPEG; a file that is refused is refused with a sentence. The
//! search for a card ends in every picture that was taken, and proposes only corners that are in it.
#![no_main]

use libfuzzer_sys::fuzz_target;
use photographs::{CardSearchFault, GreyPlane, PictureLimits, enlarged_part, find_card, prepare};

/// Small pictures, so that many are tried.
const LIMITS: PictureLimits = PictureLimits { least_side: 1, most_pixels: 1_000_000, ..PictureLimits::USUAL };

fuzz_target!(|bytes: &[u8]| {
    match prepare(bytes, &LIMITS) {
        Ok(kept) => {
            assert!(kept.width.max(kept.height) <= LIMITS.kept_side);
            for (jpeg, side) in [(&kept.jpeg, LIMITS.kept_side), (&kept.thumbnail, LIMITS.thumbnail_side)] {
                let picture = GreyPlane::of_kept(jpeg).expect("what was kept can be read");
                assert!(picture.width().max(picture.height()) <= side as usize);
                assert!(holds_pixels_only(jpeg));
                match find_card(&picture) {
                    Ok(card) => assert!(within(&card.corners, &picture) && card.misfit_px.is_finite()),
                    Err(fault) => {
                        assert!(matches!(fault, CardSearchFault::NotFound | CardSearchFault::Several))
                    }
                }
            }
            let part =
                enlarged_part(&kept.jpeg, (kept.width / 2, 0), 60, 64).expect("what was kept can be read");
            assert!(holds_pixels_only(&part));
        }
        Err(fault) => assert!(fault.to_string().ends_with('.')),
    }
});

fn within(corners: &[photographs::PixelPoint; 4], picture: &GreyPlane) -> bool {
    let (width, height) = (picture.width() as f64, picture.height() as f64);
    corners.iter().all(|corner| (0.0..=width).contains(&corner.x) && (0.0..=height).contains(&corner.y))
}

/// Whether every segment up to the scan is one that a decoder needs.
fn holds_pixels_only(jpeg: &[u8]) -> bool {
    let mut at = 2;
    while let Some([0xff, marker, high, low]) = jpeg.get(at..at + 4) {
        match marker {
            0xda => return true,
            0xe0 | 0xdb | 0xc0 | 0xc4 => at += 2 + usize::from(u16::from_be_bytes([*high, *low])),
            _ => return false,
        }
    }
    false
}
