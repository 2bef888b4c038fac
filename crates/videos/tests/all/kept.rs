//! What is kept of a film, and that nothing else is.

use crate::world::{
    holds,
    mp4::{self, Movie, body, fragmented, pictures, slice},
    webm::{self, Recording, blocks},
};
use videos::{PreparedVideo, VideoFormat, VideoLimits, prepare};

fn kept(bytes: &[u8]) -> PreparedVideo {
    prepare(bytes, &VideoLimits::USUAL).unwrap()
}

#[test]
fn no_kept_byte_of_an_mp4_holds_the_position_the_device_the_time_or_the_sound() {
    for fast in [false, true] {
        let file = Movie { fast, ..Movie::default() }.bytes();
        let kept = kept(&file);
        for (what, trace) in mp4::TRACES {
            assert!(holds(&file, trace), "{what} is not in the file that was sent");
            assert!(!holds(&kept.bytes, trace), "{what} was kept");
        }
        assert!(kept.position_removed && kept.sound_removed);
        assert_eq!(kept.taken_at, Some(mp4::TAKEN_UNIX), "it is handed over to be asked about");
    }
}

#[test]
fn no_kept_byte_of_a_webm_holds_the_position_the_device_the_time_or_the_sound() {
    for known in [false, true] {
        let file = Recording { known, ..Recording::default() }.bytes();
        let kept = kept(&file);
        for (what, trace) in webm::TRACES {
            assert!(holds(&file, trace), "{what} is not in the file that was sent");
            assert!(!holds(&kept.bytes, trace), "{what} was kept");
        }
        assert!(kept.position_removed && kept.sound_removed);
        assert_eq!(kept.taken_at, Some(webm::TAKEN_UNIX));
    }
}

/// The pictures are the same, without the units for the user, in their order and with their times.
#[test]
fn the_pictures_of_an_mp4_are_kept_with_their_times() {
    let kept = kept(&Movie::default().bytes());
    let expected: Vec<Vec<u8>> = (0..12).map(slice).collect();
    assert_eq!(pictures(&kept.bytes), expected);
    // Twelve pictures of 50 of 600 ticks a second: one second.
    assert_eq!((kept.format, kept.duration_ms, kept.width, kept.height), (VideoFormat::Mp4, 1000, 640, 480));
    assert_eq!(body(&kept.bytes, "stts"), mp4::words(&[0, 1, 12, 50]));
    assert_eq!(body(&kept.bytes, "stss"), mp4::words(&[0, 3, 1, 5, 9]));
    assert_eq!(body(&kept.bytes, "avcC"), mp4::config());
    assert_eq!(body(&kept.bytes, "colr"), b"nclx\0\x01\0\x01\0\x01\0");
}

/// Of the boxes only those that are listed here are there, and each time is zero.
#[test]
fn a_kept_mp4_has_no_box_that_playing_does_not_need() {
    let kept = kept(&Movie::default().bytes());
    let names: Vec<String> = mp4::boxes(&kept.bytes, "").into_iter().map(|(path, _)| path).collect();
    let stbl = "/moov/trak/mdia/minf/stbl";
    let mut expected: Vec<String> = ["/ftyp", "/moov/mvhd", "/moov/trak/tkhd", "/moov/trak/mdia/mdhd"]
        .into_iter()
        .chain(["/moov/trak/mdia/hdlr", "/moov/trak/mdia/minf/vmhd", "/moov/trak/mdia/minf/dinf/dref"])
        .chain(["/moov/trak/mdia/minf/dinf"])
        .map(str::to_owned)
        .collect();
    for name in ["avc1/avcC", "avc1/colr", "avc1/pasp", "avc1"] {
        expected.push(format!("{stbl}/stsd/{name}"));
    }
    for name in ["stsd", "stts", "stss", "stsc", "stsz", "stco"] {
        expected.push(format!("{stbl}/{name}"));
    }
    for path in [stbl, "/moov/trak/mdia/minf", "/moov/trak/mdia", "/moov/trak", "/moov", "/mdat"] {
        expected.push(path.to_owned());
    }
    assert_eq!(names, expected);
    for name in ["mvhd", "tkhd", "mdhd"] {
        assert_eq!(body(&kept.bytes, name)[4..12], [0; 8], "{name}");
    }
    // No language: "und".
    assert_eq!(body(&kept.bytes, "mdhd")[20..22], [0x55, 0xc4]);
}

#[test]
fn a_telephone_held_upright_gives_an_upright_film() {
    let kept = kept(&Movie { turned: true, ..Movie::default() }.bytes());
    assert_eq!((kept.width, kept.height), (480, 640));
    let head = body(&kept.bytes, "tkhd");
    assert_eq!(head[40..76], mp4::words(&[0, 0x1_0000, 0, 0xffff_0000, 0, 0, 480 << 16, 0, 0x4000_0000])[..]);
}

/// Four pictures at 0, 50, 100 and 150 of 600 ticks, the second of each two shown 25 ticks later.
#[test]
fn a_film_in_fragments_becomes_a_plain_one() {
    let file = fragmented();
    let kept = kept(&file);
    assert_eq!(pictures(&kept.bytes), (0..4).map(slice).collect::<Vec<_>>());
    assert_eq!(body(&kept.bytes, "stts"), mp4::words(&[0, 1, 4, 50]));
    assert_eq!(body(&kept.bytes, "ctts"), mp4::words(&[0, 4, 1, 0, 1, 25, 1, 0, 1, 25]));
    assert_eq!(body(&kept.bytes, "stss"), mp4::words(&[0, 2, 1, 3]));
    // 200 of 600 ticks, rounded up.
    assert_eq!(kept.duration_ms, 334);
    assert!(holds(&file, b"SPOKEN-NAME-") && !holds(&kept.bytes, b"SPOKEN-NAME-"));
    assert!(holds(&file, b"Example Phone") && !holds(&kept.bytes, b"Example Phone"));
}

/// What was made once is made into the same again.
#[test]
fn a_kept_film_stays_as_it_is() {
    let files = [
        Movie::default().bytes(),
        Movie { turned: true, ..Movie::default() }.bytes(),
        fragmented(),
        Recording::default().bytes(),
        Recording { grouped: true, known: true, ..Recording::default() }.bytes(),
    ];
    for file in files {
        let first = kept(&file);
        let second = kept(&first.bytes);
        assert_eq!(second.bytes, first.bytes);
        assert_eq!((second.duration_ms, second.width), (first.duration_ms, first.width));
        assert_eq!((second.taken_at, second.position_removed, second.sound_removed), (None, false, false));
    }
}

#[test]
fn the_pictures_of_a_webm_are_kept_with_their_times_whether_lengths_are_known_or_not() {
    for (known, grouped) in [(false, false), (true, false), (false, true), (true, true)] {
        let kept = kept(&Recording { known, grouped, ..Recording::default() }.bytes());
        let expected: Vec<_> = (0..10_u8)
            .map(|n| (i64::from(n) * 40, if n % 5 == 0 { 0x80 } else { 0 }, webm::picture(n)))
            .collect();
        assert_eq!(blocks(&kept.bytes), expected);
        // Nine gaps of 40 ms and the last picture: 40 ms as the others, or the 80 ms that its group says.
        let last = if grouped { 80 } else { 40 };
        assert_eq!((kept.format, kept.duration_ms), (VideoFormat::WebM, 9 * 40 + last));
        let found = webm::elements(&kept.bytes);
        let duration = found.iter().find(|(id, _)| *id == 0x4489).unwrap();
        assert_eq!(f64::from_be_bytes(duration.1.clone().try_into().unwrap()), f64::from(9 * 40 + last));
        assert_eq!((kept.width, kept.height), (640, 480));
    }
}

/// Elements by identifier: everything that is there, and nothing else.
#[test]
fn a_kept_webm_has_no_element_that_playing_does_not_need() {
    let kept = kept(&Recording::default().bytes());
    let mut ids: Vec<u32> = webm::elements(&kept.bytes).into_iter().map(|(id, _)| id).collect();
    ids.sort_unstable();
    ids.dedup();
    let mut expected = vec![
        0x1a45_dfa3,
        0x1853_8067,
        0x1549_a966,
        0x2a_d7b1,
        0x4d80,
        0x5741,
        0x4489,
        0x1654_ae6b,
        0xae,
        0xd7,
        0x73c5,
        0x83,
        0x9c,
        0x86,
        0xe0,
        0xb0,
        0xba,
        0x1c53_bb6b,
        0xbb,
        0xb3,
        0xb7,
        0x1f43_b675,
        0xe7,
        0xa3,
    ];
    expected.sort_unstable();
    assert_eq!(ids, expected);
}

/// Each place in the list leads to a cluster of that time.
#[test]
fn the_places_to_jump_to_are_right() {
    let kept = kept(&Recording::default().bytes());
    let segment = kept.bytes.windows(4).position(|four| four == 0x1853_8067_u32.to_be_bytes()).unwrap() + 12;
    let cues: Vec<Vec<u8>> =
        webm::elements(&kept.bytes).into_iter().filter(|(id, _)| *id == 0xbb).map(|(_, body)| body).collect();
    assert_eq!(cues.len(), 2);
    for (number, cue) in cues.iter().enumerate() {
        let parts = webm::elements(cue);
        let value = |body: &[u8]| u64::from_be_bytes(body.try_into().unwrap());
        assert_eq!(value(&parts[0].1), number as u64 * 200);
        let place = webm::elements(&parts.iter().find(|(id, _)| *id == 0xb7).unwrap().1);
        let at = segment + value(&place.iter().find(|(id, _)| *id == 0xf1).unwrap().1) as usize;
        assert_eq!(kept.bytes[at..at + 4], 0x1f43_b675_u32.to_be_bytes());
        // Its time is its first element: identifier, eight bytes of length, eight of time.
        assert_eq!(value(&kept.bytes[at + 12 + 9..at + 12 + 17]), number as u64 * 200);
    }
}
