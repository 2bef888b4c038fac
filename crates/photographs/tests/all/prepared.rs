//! What is kept of a file, and what is refused.

use crate::files::{
    TAKEN, XMP, chunk, cornered, exif, jpeg_with_exif, patterned, with_chunk, with_segments, written,
};
use image::{ImageFormat, RgbImage, Rgba, RgbaImage};
use jiff::civil::date;
use photographs::*;
use std::{io::Cursor, time::Instant};

fn kept(bytes: &[u8]) -> PreparedPhotograph {
    prepare(bytes, &PictureLimits::USUAL).unwrap()
}

fn refused(bytes: &[u8]) -> PictureFault {
    prepare(bytes, &PictureLimits::USUAL).unwrap_err()
}

fn picture_of(jpeg: &[u8]) -> RgbImage {
    image::load_from_memory_with_format(jpeg, ImageFormat::Jpeg).unwrap().into_rgb8()
}

/// The markers of a JPEG up to its scan.
pub fn markers(jpeg: &[u8]) -> Vec<u8> {
    let (mut at, mut found) = (2, vec![0xd8]);
    loop {
        assert_eq!(jpeg[at], 0xff);
        let marker = jpeg[at + 1];
        found.push(marker);
        if marker == 0xda {
            return found;
        }
        at += 2 + usize::from(u16::from_be_bytes([jpeg[at + 2], jpeg[at + 3]]));
    }
}

/// Only what a decoder needs: the start, the 18 bytes of JFIF, tables, frame and scan.
pub fn holds_pixels_only(jpeg: &[u8]) -> bool {
    let plain = markers(jpeg).iter().all(|marker| matches!(marker, 0xd8 | 0xe0 | 0xdb | 0xc0 | 0xc4 | 0xda));
    let jfif = jpeg[2..6] == [0xff, 0xe0, 0, 16] && jpeg[6..11] == *b"JFIF\0";
    let words: [&[u8]; 5] = [b"Exif", b"GPS", b"xap/1.0", b"2025:03:14", b"ICC_PROFILE"];
    plain
        && jfif
        && jpeg.ends_with(&[0xff, 0xd9])
        && !words.iter().any(|word| jpeg.windows(word.len()).any(|w| w == *word))
}

#[test]
fn a_photograph_is_reduced_and_nothing_but_pixels_is_kept() {
    let bytes = with_segments(
        &written(&patterned(3000, 2000), ImageFormat::Jpeg),
        &[&[b"Exif\0\0", exif(1, TAKEN, true).as_slice()].concat(), XMP],
    );
    let photograph = kept(&bytes);
    // 2,000 × (2,000 · 2,000 / 3,000 = 1,333.3) and 320 × 213.3.
    assert_eq!((photograph.width, photograph.height), (2000, 1333));
    assert_eq!(picture_of(&photograph.jpeg).dimensions(), (2000, 1333));
    assert_eq!(picture_of(&photograph.thumbnail).dimensions(), (320, 213));
    assert_eq!(photograph.taken_at, Some(date(2025, 3, 14).at(15, 9, 26, 0)));
    assert!(photograph.position_removed);
    assert!(!holds_pixels_only(&bytes));
    assert!(holds_pixels_only(&photograph.jpeg) && holds_pixels_only(&photograph.thumbnail));
    assert_eq!(photograph.came_as, PictureKind::Jpeg);
}

/// For a letter: at most 1,200 pixels on the longer side, 2,400 × 1,800 become 2,000 × 1,500 and then 1,200 × 900.
#[test]
fn a_kept_picture_is_reduced_for_a_letter() {
    let large = kept(&written(&patterned(2400, 1800), ImageFormat::Jpeg));
    let printed = for_print(&large.jpeg).unwrap();
    assert_eq!(picture_of(&printed).dimensions(), (1200, 900));
    assert!(holds_pixels_only(&printed) && printed.len() < large.jpeg.len(), "{} bytes", printed.len());
    let small = kept(&written(&patterned(640, 480), ImageFormat::Jpeg));
    assert_eq!(picture_of(&for_print(&small.jpeg).unwrap()).dimensions(), (640, 480), "none is enlarged");
    assert!(for_print(b"no picture").is_err());
}

#[test]
fn a_position_is_found_in_either_place_and_its_absence_is_not_claimed() {
    let jpeg = written(&patterned(640, 480), ImageFormat::Jpeg);
    assert!(kept(&with_segments(&jpeg, &[XMP])).position_removed);
    assert!(kept(&jpeg_with_exif(&patterned(640, 480), &exif(1, TAKEN, true))).position_removed);
    assert!(!kept(&jpeg_with_exif(&patterned(640, 480), &exif(1, TAKEN, false))).position_removed);
    assert!(!kept(&jpeg).position_removed && kept(&jpeg).taken_at.is_none());
}

/// A time that no calendar has is no time.
#[test]
fn a_clock_that_was_never_set_says_nothing() {
    for text in [
        b"0000:00:00 00:00:00\0",
        b"2025:02:30 10:00:00\0",
        b"2025:03:14 25:00:00\0",
        b"    :  :     :  :  \0",
    ] {
        let photograph = kept(&jpeg_with_exif(&patterned(640, 480), &exif(1, text, false)));
        assert_eq!(photograph.taken_at, None, "{}", String::from_utf8_lossy(text));
    }
}

/// The eight ways to hold a camera (CIPA DC-008: which side of the scene the first row and the first column show, from
/// memory). The file is written by that table, and comes back upright.
#[test]
fn every_way_to_hold_the_camera_comes_back_upright() {
    let upright = cornered(600, 400);
    let sides = [
        ("top", "left"),
        ("top", "right"),
        ("bottom", "right"),
        ("bottom", "left"),
        ("left", "top"),
        ("right", "top"),
        ("right", "bottom"),
        ("left", "bottom"),
    ];
    for (value, (row, column)) in (1_u16..).zip(sides) {
        let turned = matches!(row, "left" | "right");
        let (width, height) = if turned { (400, 600) } else { (600, 400) };
        // How far the pixel is from the side that the first row or column shows.
        let along = |side: &str, at: u32, x: &mut u32, y: &mut u32| match side {
            "top" => *y = at,
            "bottom" => *y = 399 - at,
            "left" => *x = at,
            _ => *x = 599 - at,
        };
        let stored = RgbImage::from_fn(width, height, |c, r| {
            let (mut x, mut y) = (0, 0);
            along(row, r, &mut x, &mut y);
            along(column, c, &mut x, &mut y);
            *upright.get_pixel(x, y)
        });
        let photograph = kept(&jpeg_with_exif(&stored, &exif(value, TAKEN, false)));
        assert_eq!((photograph.width, photograph.height), (600, 400), "{value}");
        let back = picture_of(&photograph.jpeg);
        for (x, y) in [(50, 50), (550, 50), (50, 350), (550, 350)] {
            let (is, should) = (back.get_pixel(x, y).0, upright.get_pixel(x, y).0);
            let apart = is.iter().zip(should).map(|(a, b)| a.abs_diff(b)).max().unwrap();
            assert!(apart < 25, "{value} at {x}, {y}: {is:?} for {should:?}");
        }
        let thumbnail = picture_of(&photograph.thumbnail);
        assert!(thumbnail.get_pixel(20, 20).0[0] > 150, "{value}: {:?}", thumbnail.get_pixel(20, 20));
    }
}

#[test]
fn a_png_is_read_with_its_data_and_lies_on_white() {
    let clear =
        RgbaImage::from_fn(
            400,
            300,
            |x, _| if x < 200 { Rgba([0, 0, 0, 0]) } else { Rgba([200, 10, 10, 255]) },
        );
    let mut bytes = Vec::new();
    clear.write_to(&mut Cursor::new(&mut bytes), ImageFormat::Png).unwrap();
    let photograph = kept(&with_chunk(&bytes, b"eXIf", &exif(6, TAKEN, true)));
    assert_eq!(photograph.came_as, PictureKind::Png);
    // Turned by a quarter: what was left is on top now.
    assert_eq!((photograph.width, photograph.height), (300, 400));
    let picture = picture_of(&photograph.jpeg);
    assert!(picture.get_pixel(150, 50).0.iter().all(|part| *part > 240), "{:?}", picture.get_pixel(150, 50));
    assert!(picture.get_pixel(150, 350).0[1] < 40, "{:?}", picture.get_pixel(150, 350));
    assert!(
        photograph.position_removed && photograph.taken_at.is_some() && holds_pixels_only(&photograph.jpeg)
    );
    let text = [b"XML:com.adobe.xmp\0\0\0\0\0".as_slice(), XMP].concat();
    assert!(kept(&with_chunk(&bytes, b"iTXt", &text)).position_removed);
}

/// Only the content counts: the room is not even given a name.
#[test]
fn what_is_no_jpeg_or_png_is_refused_with_a_sentence() {
    assert_eq!(refused(b""), PictureFault::Empty);
    for brand in [b"heic", b"mif1", b"avif"] {
        assert_eq!(refused(&[b"\0\0\0\x18ftyp", brand.as_slice(), b"\0\0\0\0"].concat()), PictureFault::Heic);
    }
    for other in [
        b"GIF89a..........".as_slice(),
        b"RIFF\0\0\0\0WEBPVP8 ",
        b"II\x2a\0........",
        b"%PDF-1.7 .......",
        b"\0\0\0\x18ftypmp42....",
    ] {
        assert_eq!(refused(other), PictureFault::OtherFormat);
    }
    assert!(refused(&[b"\0\0\0\x18ftypheic".as_slice(), b"...."].concat()).to_string().contains("HEIC"));
    assert_eq!(refused(&vec![0; (24 << 20) + 1]), PictureFault::LargeFile { most_mb: 24 });
    assert_eq!(
        refused(&written(&patterned(640, 150), ImageFormat::Png)),
        PictureFault::FewPixels { width: 640, height: 150 }
    );
}

/// A small file that would unpack to 100 million pixels or more is refused from its header, within a moment.
#[test]
fn a_picture_that_would_unpack_to_gigabytes_is_refused_before_it_is() {
    let started = Instant::now();
    let many = PictureFault::ManyPixels { most_megapixels: 64, most_side: 12_000 };
    for (width, height) in [(10_000_u32, 10_000_u32), (60_000, 60_000), (12_001, 300), (u32::MAX, u32::MAX)] {
        let size = [width.to_be_bytes(), height.to_be_bytes()].concat();
        let header = chunk(b"IHDR", &[size.as_slice(), &[8, 2, 0, 0, 0]].concat());
        let png = [b"\x89PNG\r\n\x1a\n".as_slice(), &header, &chunk(b"IDAT", &[0; 64]), &chunk(b"IEND", b"")]
            .concat();
        assert_eq!(refused(&png), many, "{width} × {height}");
    }
    let mut jpeg = written(&patterned(640, 480), ImageFormat::Jpeg);
    let frame = jpeg.windows(2).position(|two| two == [0xff, 0xc0]).unwrap();
    jpeg[frame + 5..frame + 9].copy_from_slice(&[0xff, 0xff, 0xff, 0xff]);
    assert_eq!(refused(&jpeg), many);
    assert!(started.elapsed().as_secs_f64() < 2.0, "{:?}", started.elapsed());
}

/// A second frame with another size would be unpacked though only the first was held against the limits.
#[test]
fn a_second_frame_is_refused() {
    let jpeg = written(&patterned(640, 480), ImageFormat::Jpeg);
    let frame = jpeg.windows(2).position(|two| two == [0xff, 0xc0]).unwrap();
    let twice = [&jpeg[..frame + 19], &jpeg[frame..]].concat();
    assert_eq!(refused(&twice), PictureFault::Damaged);
}

#[test]
fn a_file_that_ends_early_is_refused_wherever_it_ends() {
    for format in [ImageFormat::Jpeg, ImageFormat::Png] {
        let mut whole = written(&patterned(320, 240), format);
        if format == ImageFormat::Jpeg {
            whole = with_segments(&whole, &[&[b"Exif\0\0", exif(1, TAKEN, true).as_slice()].concat()]);
        }
        kept(&whole);
        let short = (16..whole.len() - 1).step_by(97).chain([whole.len() - 1]);
        for length in short {
            assert_eq!(
                refused(&whole[..length]),
                PictureFault::Truncated,
                "{format:?} {length} of {}",
                whole.len()
            );
        }
    }
}

#[test]
fn a_changed_byte_of_a_png_is_damage() {
    let mut png = written(&patterned(320, 240), ImageFormat::Png);
    let middle = png.len() / 2;
    png[middle] ^= 0x10;
    assert_eq!(refused(&png), PictureFault::Damaged);
}

/// What was kept once can be prepared and read again.
#[test]
fn what_was_kept_can_be_read_again() {
    let photograph = kept(&written(&patterned(1200, 900), ImageFormat::Png));
    let grey = GreyPlane::of_kept(&photograph.jpeg).unwrap();
    assert_eq!((grey.width(), grey.height()), (1200, 900));
    assert_eq!(GreyPlane::of_kept(&photograph.thumbnail).unwrap().width(), 320);
    assert_eq!(kept(&photograph.jpeg).width, 1200);
    assert_eq!(GreyPlane::of_kept(b"nothing"), Err(PictureFault::OtherFormat));
}
