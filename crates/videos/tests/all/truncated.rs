//! A file that ends too early, at every place where it can.

use crate::world::{
    mp4::{Movie, fragmented},
    webm::{Recording, blocks},
};
use videos::{VideoLimits, prepare};

const SMALL: Movie = Movie {
    pictures: 4,
    ticks: 50,
    width: 640,
    height: 480,
    entry: *b"avc1",
    film: true,
    sound: true,
    fast: false,
    turned: false,
    padding: 0,
};

#[test]
fn an_mp4_is_refused_wherever_it_ends() {
    for fast in [false, true] {
        let file = Movie { fast, ..SMALL }.bytes();
        assert!(prepare(&file, &VideoLimits::USUAL).is_ok());
        for end in 0..file.len() {
            assert!(prepare(&file[..end], &VideoLimits::USUAL).is_err(), "{fast} {end} of {}", file.len());
        }
    }
}

#[test]
fn a_webm_of_known_length_is_refused_wherever_it_ends() {
    let file = Recording { known: true, ..Recording::default() }.bytes();
    assert!(prepare(&file, &VideoLimits::USUAL).is_ok());
    for end in 0..file.len() {
        assert!(prepare(&file[..end], &VideoLimits::USUAL).is_err(), "{end} of {}", file.len());
    }
}

/// Where the file does not say how long it is, one that ends between two pictures cannot be told from a shorter one. It
/// then has whole pictures only. Anywhere else it is refused.
#[test]
fn a_recording_of_unknown_length_has_whole_pictures_only_wherever_it_ends() {
    let file = Recording::default().bytes();
    let mut shorter = 0;
    for end in 0..file.len() {
        let Ok(kept) = prepare(&file[..end], &VideoLimits::USUAL) else { continue };
        shorter += 1;
        let pictures: Vec<Vec<u8>> = blocks(&kept.bytes).into_iter().map(|(.., picture)| picture).collect();
        let whole: Vec<Vec<u8>> = (0..10).map(crate::world::webm::picture).collect();
        assert!(whole.starts_with(&pictures), "{end}");
    }
    // After each of the ten pictures but the last, after each sound but the first, and after the head and the time of
    // the second cluster.
    assert_eq!(shorter, 9 + 9 + 2);
}

#[test]
fn fragments_are_whole_wherever_a_file_ends() {
    let file = fragmented();
    for end in 0..file.len() {
        let Ok(kept) = prepare(&file[..end], &VideoLimits::USUAL) else { continue };
        let pictures = crate::world::mp4::pictures(&kept.bytes).len();
        assert!(pictures == 2 || pictures == 4, "{end}: {pictures}");
    }
}
