//! Invented and changed bytes: never a panic, and what is kept is within the limits and stays as it is.

use crate::world::{
    holds,
    mp4::{self, Movie, fragmented},
    webm::{self, Recording},
};
use proptest::{collection::vec, prelude::*, sample::Index};
use videos::{VideoLimits, prepare};

fn checked(bytes: &[u8]) {
    match prepare(bytes, &VideoLimits::USUAL) {
        Ok(kept) => {
            assert!(kept.duration_ms <= 60_000);
            let again = prepare(&kept.bytes, &VideoLimits::USUAL).unwrap();
            assert_eq!(again.bytes, kept.bytes);
            assert_eq!((again.taken_at, again.sound_removed), (None, false));
        }
        Err(fault) => assert!(fault.to_string().ends_with('.')),
    }
}

fn files() -> [Vec<u8>; 4] {
    [
        Movie { pictures: 5, ..Movie::default() }.bytes(),
        fragmented(),
        Recording::default().bytes(),
        Recording { known: true, grouped: true, ..Recording::default() }.bytes(),
    ]
}

proptest! {
    #![proptest_config(ProptestConfig::with_cases(1500))]

    #[test]
    fn changed_files_are_kept_or_refused(
        which in 0..4_usize,
        changes in vec((any::<Index>(), any::<u8>()), 1..6),
    ) {
        let mut file = files()[which].clone();
        for (place, byte) in changes {
            let at = place.index(file.len());
            file[at] = byte;
        }
        checked(&file);
    }

    #[test]
    fn words_of_a_file_are_exchanged_for_extreme_ones(
        which in 0..4_usize,
        place in any::<Index>(),
        word in prop::sample::select(vec![0_u32, 1, 0x7fff_ffff, 0x8000_0000, u32::MAX]),
    ) {
        let mut file = files()[which].clone();
        let at = place.index(file.len() - 3);
        file[at..at + 4].copy_from_slice(&word.to_be_bytes());
        checked(&file);
    }

    #[test]
    fn invented_bytes_behind_a_right_beginning_are_refused_or_kept(
        is_mp4 in any::<bool>(),
        bytes in vec(any::<u8>(), 0..300),
    ) {
        let begin = if is_mp4 { mp4::one(b"ftyp", b"isom\0\0\0\0") } else { webm::some(0x1a45_dfa3, b"") };
        checked(&[begin, bytes].concat());
    }

    /// One byte of the description is another: whatever is still kept never has the sound's or the place's bytes, unless
    /// the tables were made to point at them.
    #[test]
    fn a_changed_name_of_a_box_lets_nothing_through(place in any::<Index>()) {
        let mut file = Movie { fast: true, ..Movie::default() }.bytes();
        let names: Vec<usize> = (4..file.len() - 4)
            .filter(|at| [b"udta", b"uuid", b"meta", b"name", b"colr"].iter().any(|name| file[*at..].starts_with(*name)))
            .collect();
        file[names[place.index(names.len())]] ^= 0x20;
        if let Ok(kept) = prepare(&file, &VideoLimits::USUAL) {
            for (what, trace) in mp4::TRACES {
                prop_assert!(!holds(&kept.bytes, trace), "{}", what);
            }
        }
    }
}

/// The first corpus of the fuzz target: run with `--ignored` and a folder in `PLANTIGRADE_SEEDS`.
#[test]
#[ignore = "writes files"]
fn seeds_of_the_fuzz_target() {
    let folder = std::path::PathBuf::from(std::env::var("PLANTIGRADE_SEEDS").unwrap());
    let small = Movie { pictures: 3, ..Movie::default() };
    let recording = Recording { pictures: 6, ..Recording::default() };
    for (name, bytes) in [
        ("plain.mp4", small.bytes()),
        ("fast.mp4", Movie { fast: true, turned: true, sound: false, ..small.clone() }.bytes()),
        ("fragments.mp4", fragmented()),
        ("kept.mp4", prepare(&small.bytes(), &VideoLimits::USUAL).unwrap().bytes),
        ("recorded.webm", recording.bytes()),
        ("grouped.webm", Recording { known: true, grouped: true, ..recording.clone() }.bytes()),
        ("kept.webm", prepare(&recording.bytes(), &VideoLimits::USUAL).unwrap().bytes),
    ] {
        std::fs::write(folder.join(name), bytes).unwrap();
    }
}
