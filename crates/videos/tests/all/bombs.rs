//! Small files that say that they are large, deep or endless: refused at once.

use crate::world::{
    mp4::{Movie, boxes, many, one, words},
    webm::{Recording, element, some},
};
use std::time::{Duration, Instant};
use videos::{VideoFault, VideoLimits, prepare};

/// More than any of these needs, also on a slow computer.
const SOON: Duration = Duration::from_secs(5);

fn soon(bytes: &[u8]) -> VideoFault {
    let begun = Instant::now();
    let fault = prepare(bytes, &VideoLimits::USUAL).unwrap_err();
    assert!(begun.elapsed() < SOON, "{fault} took {:?}", begun.elapsed());
    fault
}

/// A file with the rows of one of its tables of pictures exchanged.
fn with_table(name: &str, rows: &[u32]) -> Vec<u8> {
    let file = Movie { sound: false, fast: true, ..Movie::default() }.bytes();
    // The first track is that of the film.
    let found = boxes(&file, "").into_iter().find(|(path, _)| path.ends_with(&format!("/{name}"))).unwrap();
    let old = one(name.as_bytes(), &found.1);
    let mut new = words(rows);
    new.resize(found.1.len(), 0);
    let new = one(name.as_bytes(), &new);
    let at = file.windows(old.len()).position(|window| window == old).unwrap();
    let mut out = file;
    out[at..at + new.len()].copy_from_slice(&new);
    out
}

#[test]
fn tables_that_say_that_they_are_huge_are_refused() {
    let many = VideoFault::ManyFrames { most_frames: 14_400 };
    assert_eq!(soon(&with_table("stsz", &[0, 0, u32::MAX])), many);
    // All of one size, so that no row is needed.
    assert_eq!(soon(&with_table("stsz", &[0, 1, u32::MAX])), many);
    assert_eq!(soon(&with_table("stsz", &[0, u32::MAX, 12])), VideoFault::Damaged);
    for name in ["stts", "stsc", "stco", "stss"] {
        assert_eq!(soon(&with_table(name, &[0, u32::MAX])), VideoFault::Damaged, "{name}");
    }
    assert_eq!(soon(&with_table("stts", &[0, 1, u32::MAX, 50])), VideoFault::Damaged);
    assert_eq!(soon(&with_table("stts", &[0, 1, 12, u32::MAX])), VideoFault::Long { most_seconds: 60 });
    // One chunk of four thousand million pictures.
    assert_eq!(soon(&with_table("stsc", &[0, 1, 1, u32::MAX, 1])), VideoFault::Damaged);
    assert_eq!(soon(&with_table("stsc", &[0, 1, 1, 0, 1])), VideoFault::Damaged);
    // Pictures that lie where no pictures are.
    assert_eq!(soon(&with_table("stco", &[0, 12])), VideoFault::Damaged);
}

/// Every picture is the same large piece of the file: copied, it would be more than the file by far.
#[test]
fn one_piece_is_not_copied_a_thousand_times() {
    assert_eq!(soon(&with_table("stsz", &[0, 2000, 12])), VideoFault::Damaged);
}

#[test]
fn boxes_in_boxes_and_empty_boxes_cost_nothing() {
    // Each is as long as all that are within it.
    let deep: Vec<u8> =
        (1..=100_000_u32).rev().flat_map(|left| [(8 * left).to_be_bytes(), *b"moov"].concat()).collect();
    assert_eq!(soon(&[one(b"ftyp", b"isom\0\0\0\0"), deep].concat()), VideoFault::NoFilm);
    let empty = one(b"free", b"").repeat(1_000_000);
    assert_eq!(soon(&[one(b"ftyp", b"isom\0\0\0\0"), empty].concat()), VideoFault::NoFilm);
    // A box shorter than its own head would be read for ever.
    let endless = [one(b"ftyp", b"isom\0\0\0\0"), b"\0\0\0\x04free\0\0\0\0".to_vec()].concat();
    assert_eq!(soon(&endless), VideoFault::Damaged);
    let huge =
        [one(b"ftyp", b"isom\0\0\0\0"), b"\0\0\0\x01mdat\x7f\xff\xff\xff\xff\xff\xff\xff".to_vec()].concat();
    assert_eq!(soon(&huge), VideoFault::Truncated);
}

#[test]
fn fragments_that_say_that_they_are_huge_are_refused() {
    let file = crate::world::mp4::fragmented();
    let at = file.windows(8).position(|window| window == b"trun\0\0\x0e\x01").unwrap() + 8;
    let mut out = file;
    out[at..at + 4].copy_from_slice(&u32::MAX.to_be_bytes());
    assert_eq!(soon(&out), VideoFault::ManyFrames { most_frames: 14_400 });
}

#[test]
fn elements_that_say_that_they_are_huge_deep_or_endless_are_refused() {
    let head = some(0x1a45_dfa3, &some(0x4282, b"webm"));
    let huge =
        [head.clone(), some(0x1853_8067, b"")[..4].to_vec(), b"\x01\x7f\xff\xff\xff\xff\xff\xff".to_vec()]
            .concat();
    assert_eq!(soon(&huge), VideoFault::Truncated);
    // Tracks within tracks, none of a known length.
    let mut deep = [head.clone(), element(0x1853_8067, None)].concat();
    deep.extend(element(0x1654_ae6b, None).repeat(100_000));
    assert_eq!(soon(&deep), VideoFault::OtherStructure);
    // A million empty clusters.
    let mut empty = [head.clone(), element(0x1853_8067, None)].concat();
    empty.extend(element(0x1f43_b675, None).repeat(1_000_000));
    assert_eq!(soon(&empty), VideoFault::NoFilm);
    // Pictures without bytes, without end.
    let mut file = Recording::default().bytes();
    file.extend(some(0xa3, &[0x81, 0, 0, 0]).repeat(20_000));
    assert!(matches!(soon(&file), VideoFault::Damaged | VideoFault::ManyFrames { .. }));
    // A track before which the clusters come.
    let late =
        [head, element(0x1853_8067, None), some(0x1f43_b675, &some(0xa3, &[0x81, 0, 0, 0x80, 1]))].concat();
    assert_eq!(soon(&late), VideoFault::OtherStructure);
}

#[test]
fn a_movie_without_what_it_needs_is_refused() {
    let movie = many(b"moov", &[one(b"mvhd", &words(&[0; 25])), many(b"trak", &[])]);
    assert_eq!(soon(&[one(b"ftyp", b"isom\0\0\0\0"), movie].concat()), VideoFault::Damaged);
}

/// A length that no clock could show.
#[test]
fn a_length_of_the_whole_that_makes_no_sense_is_not_used() {
    for whole in [1e300, f64::MAX, -1e300, f64::NAN, f64::INFINITY, 0.0] {
        let duration = some(0x4489, &whole.to_be_bytes());
        let file = Recording { in_info: duration, ..Recording::default() }.bytes();
        // Nine gaps of 40 ms and the usual length of the last picture.
        assert_eq!(prepare(&file, &VideoLimits::USUAL).unwrap().duration_ms, 400, "{whole}");
    }
    let file = Recording { in_info: some(0x4489, &500.0_f64.to_be_bytes()), ..Recording::default() }.bytes();
    assert_eq!(prepare(&file, &VideoLimits::USUAL).unwrap().duration_ms, 500);
}
