//! What is refused, each with a sentence.

use crate::world::{
    mp4::{Movie, many, one, words},
    webm::{Recording, some},
};
use videos::{VideoFault, VideoLimits, prepare};

fn fault(bytes: &[u8]) -> VideoFault {
    prepare(bytes, &VideoLimits::USUAL).unwrap_err()
}

#[test]
fn a_file_is_known_by_its_content() {
    for bytes in [
        b"PK\x03\x04 a workbook under another name".as_slice(),
        b"\xff\xd8\xff\xe0 a picture",
        b"RIFF\0\0\0\0AVI LIST",
        b"a text",
    ] {
        assert_eq!(fault(bytes), VideoFault::OtherFormat);
    }
    assert_eq!(fault(b""), VideoFault::Empty);
    // A picture of a telephone is of the same family, and has no film.
    assert_eq!(fault(&one(b"ftyp", b"heic\0\0\0\0heicmif1")), VideoFault::NoFilm);
}

#[test]
fn sound_alone_is_no_film() {
    assert_eq!(fault(&Movie { film: false, ..Movie::default() }.bytes()), VideoFault::SoundOnly);
    assert_eq!(fault(&Recording { film: false, ..Recording::default() }.bytes()), VideoFault::SoundOnly);
    assert_eq!(fault(&Movie { film: false, sound: false, ..Movie::default() }.bytes()), VideoFault::NoFilm);
}

#[test]
fn what_browsers_do_not_show_is_refused() {
    assert_eq!(fault(&Movie { entry: *b"mp4v", ..Movie::default() }.bytes()), VideoFault::OtherCodec);
    assert_eq!(fault(&Movie { entry: *b"encv", ..Movie::default() }.bytes()), VideoFault::Protected);
    assert_eq!(
        fault(&Recording { codec: "V_THEORA", ..Recording::default() }.bytes()),
        VideoFault::OtherCodec
    );
    let in_track = some(0x6d80, b"");
    assert_eq!(fault(&Recording { in_track, ..Recording::default() }.bytes()), VideoFault::Protected);
}

/// Each kind of packing several pictures into one block.
#[test]
fn pictures_that_are_packed_together_are_refused() {
    for flags in [0x02, 0x04, 0x06] {
        let file = Recording { flags, ..Recording::default() }.bytes();
        assert_eq!(fault(&file), VideoFault::OtherStructure, "{flags:#x}");
    }
}

#[test]
fn a_film_is_at_most_a_minute() {
    // Twelve pictures of 3,000 of 600 ticks are 60 seconds; a tick more each are more.
    assert!(prepare(&Movie { ticks: 3000, ..Movie::default() }.bytes(), &VideoLimits::USUAL).is_ok());
    assert_eq!(
        fault(&Movie { ticks: 3001, ..Movie::default() }.bytes()),
        VideoFault::Long { most_seconds: 60 }
    );
    // Nine gaps of 7,000 ms are 63 seconds.
    let long = Recording { ms: 7000, ..Recording::default() }.bytes();
    assert_eq!(fault(&long), VideoFault::Long { most_seconds: 60 });
    assert_eq!(fault(&Movie { ticks: 0, ..Movie::default() }.bytes()), VideoFault::Damaged);
}

#[test]
fn a_film_has_sides_that_show_a_gait() {
    let of = |width, height| fault(&Movie { width, height, ..Movie::default() }.bytes());
    assert_eq!(of(99, 480), VideoFault::SmallSide { width: 99, height: 480 });
    assert_eq!(of(4097, 480), VideoFault::LargeSide { width: 4097, height: 480, most_side: 4096 });
}

#[test]
fn a_file_has_a_limit_and_its_sentence_says_so() {
    let mut file = Movie::default().bytes();
    file.extend(one(b"free", &vec![0; 60 << 20]));
    let refused = fault(&file);
    assert_eq!(refused, VideoFault::LargeFile { most_mb: 60 });
    assert!(refused.to_string().starts_with("This file is larger than 60 MB."));
}

/// Pictures in another file, two descriptions, a movie that is packed: nobody could say what is in them.
#[test]
fn a_structure_that_is_not_understood_is_refused() {
    let file = Movie { fast: true, ..Movie::default() }.bytes();
    let elsewhere = replaced(&file, b"alis\0\0\0\x01", b"alis\0\0\0\0");
    assert_eq!(fault(&elsewhere), VideoFault::OtherStructure);
    let packed = replaced(&file, b"udta\0\0", b"cmov\0\0");
    assert_eq!(fault(&packed), VideoFault::OtherStructure);
    let twice = [file.clone(), many(b"moov", &[one(b"mvhd", &words(&[0; 25]))])].concat();
    assert_eq!(fault(&twice), VideoFault::OtherStructure);
}

/// The file with some bytes exchanged for others wherever they are.
fn replaced(file: &[u8], from: &[u8], to: &[u8]) -> Vec<u8> {
    let places: Vec<usize> =
        (0..=file.len() - from.len()).filter(|at| file[*at..].starts_with(from)).collect();
    assert!(!places.is_empty());
    let mut out = file.to_vec();
    for at in places {
        out[at..at + to.len()].copy_from_slice(to);
    }
    out
}

#[test]
fn every_fault_is_a_sentence_that_says_what_to_do() {
    let faults = [
        VideoFault::Empty,
        VideoFault::LargeFile { most_mb: 60 },
        VideoFault::OtherFormat,
        VideoFault::NoFilm,
        VideoFault::SoundOnly,
        VideoFault::Long { most_seconds: 60 },
        VideoFault::ManyFrames { most_frames: 14_400 },
        VideoFault::LargeSide { width: 5000, height: 1, most_side: 4096 },
        VideoFault::SmallSide { width: 5, height: 1 },
        VideoFault::Truncated,
        VideoFault::Damaged,
        VideoFault::Protected,
        VideoFault::OtherCodec,
        VideoFault::OtherStructure,
    ];
    for fault in faults {
        let text = fault.to_string();
        assert!(text.ends_with('.'), "{text}");
        let acts = ["hoose", "end or copy it again", "end it again", "ilm again"];
        assert!(acts.iter().any(|act| text.contains(act)), "{text}");
    }
}
