//! Writes a film as an MP4 file: the description first, so that playing begins at once, then the pictures.

use crate::film::{Film, FilmPicture};

/// The film's one track.
const TRACK: u32 = 1;
/// "und": no language (ISO 639-2, packed in three times five bits).
const NO_LANGUAGE: u16 = 0x55c4;

/// Adds a box.
pub fn put(out: &mut Vec<u8>, name: &[u8; 4], body: &[u8]) {
    let length = u32::try_from(body.len() + 8).unwrap_or(u32::MAX);
    out.extend(length.to_be_bytes());
    out.extend(name);
    out.extend(body);
}

/// A body of words of 32 bits.
fn words(words: &[u32]) -> Vec<u8> {
    words.iter().flat_map(|word| word.to_be_bytes()).collect()
}

/// A box of boxes.
fn boxes(name: &[u8; 4], parts: &[Vec<u8>]) -> Vec<u8> {
    one(name, &parts.concat())
}

fn one(name: &[u8; 4], body: &[u8]) -> Vec<u8> {
    let mut out = Vec::new();
    put(&mut out, name, body);
    out
}

/// Writes the file.
pub fn write(film: &Film) -> Vec<u8> {
    let kind = one(b"ftyp", b"isom\0\0\x02\0isomiso2mp41");
    let before = kind.len() + movie(film, 0).len() + 8;
    let mut out = kind;
    out.extend(movie(film, u32::try_from(before).unwrap_or(u32::MAX)));
    put(&mut out, b"mdat", &film.data);
    out
}

fn small(value: u64) -> u32 {
    u32::try_from(value).unwrap_or(u32::MAX)
}

/// The description of a film whose first picture begins at a place in the file. Its times of making are zero.
fn movie(film: &Film, first: u32) -> Vec<u8> {
    let duration = small(film.ticks());
    let head = [
        words(&[0, 0, 0, film.timescale, duration, 0x1_0000, 0x100 << 16, 0, 0]),
        matrix(&crate::film::UPRIGHT),
        words(&[0, 0, 0, 0, 0, 0, TRACK + 1]),
    ];
    boxes(b"moov", &[one(b"mvhd", &head.concat()), track(film, duration, first)])
}

fn matrix(matrix: &crate::film::FilmTurn) -> Vec<u8> {
    matrix.iter().flat_map(|value| value.to_be_bytes()).collect()
}

fn track(film: &Film, duration: u32, first: u32) -> Vec<u8> {
    // Enabled, and part of what is shown.
    let head = [
        words(&[3, 0, 0, TRACK, 0, duration, 0, 0, 0, 0]),
        matrix(&film.matrix),
        words(&[film.shown.0, film.shown.1]),
    ];
    let media_head = words(&[0, 0, 0, film.timescale, duration, u32::from(NO_LANGUAGE) << 16]);
    let handler = [words(&[0, 0]), b"vide".to_vec(), words(&[0, 0, 0]), vec![0]].concat();
    let place = one(b"dref", &[words(&[0, 1]), one(b"url ", &words(&[1]))].concat());
    let information =
        boxes(b"minf", &[one(b"vmhd", &words(&[1, 0, 0])), boxes(b"dinf", &[place]), tables(film, first)]);
    let media = boxes(b"mdia", &[one(b"mdhd", &media_head), one(b"hdlr", &handler), information]);
    boxes(b"trak", &[one(b"tkhd", &head.concat()), media])
}

fn tables(film: &Film, first: u32) -> Vec<u8> {
    let count = small(film.frames.len() as u64);
    let mut parts = vec![one(b"stsd", &[words(&[0, 1]), entry(film)].concat()), times(film)];
    if film.frames.iter().any(|frame| frame.shift != 0) {
        parts.push(shifts(&film.frames));
    }
    if film.frames.iter().any(|frame| !frame.is_key) {
        let keys = film.frames.iter().zip(1..).filter(|(frame, _)| frame.is_key);
        let keys: Vec<u32> = keys.map(|(_, number)| number).collect();
        parts.push(one(b"stss", &words(&[vec![0, small(keys.len() as u64)], keys].concat())));
    }
    let lengths = film.frames.iter().map(|frame| small(frame.length as u64));
    parts.push(one(b"stsc", &words(&[0, 1, 1, count, 1])));
    parts.push(one(b"stsz", &words(&[0, 0, count].into_iter().chain(lengths).collect::<Vec<_>>())));
    parts.push(one(b"stco", &words(&[0, 1, first])));
    boxes(b"stbl", &parts)
}

/// How the pictures are coded. The name of the coder is 32 zeros.
fn entry(film: &Film) -> Vec<u8> {
    let mut body = vec![0; 6];
    body.extend([0, 1]);
    body.extend([0; 16]);
    for side in [film.width, film.height] {
        body.extend(u16::try_from(side).unwrap_or(u16::MAX).to_be_bytes());
    }
    // 72 pixels an inch, one picture a sample, no name, 24 bits.
    body.extend(words(&[72 << 16, 72 << 16, 0]));
    body.extend([0, 1]);
    body.extend([0; 32]);
    body.extend([0, 24, 0xff, 0xff]);
    put(&mut body, &film.codec.config_name(), &film.config);
    body.extend(&film.extras);
    one(&film.codec.entry_name(), &body)
}

/// How long each picture is shown: until the next is, the last as long as the file said.
fn times(film: &Film) -> Vec<u8> {
    let next = film.frames.iter().skip(1).map(|frame| frame.at);
    let last = film.frames.last().map_or(0, |frame| frame.at).saturating_add(film.last_ticks);
    let ticks = film.frames.iter().zip(next.chain([last])).map(|(frame, next)| next.saturating_sub(frame.at));
    one(b"stts", &runs(ticks.map(small)))
}

/// By how much later than it is decoded each picture is shown.
fn shifts(frames: &[FilmPicture]) -> Vec<u8> {
    one(b"ctts", &runs(frames.iter().map(|frame| u32::try_from(frame.shift).unwrap_or(0))))
}

/// A table of "so many with this value".
fn runs(values: impl Iterator<Item = u32>) -> Vec<u8> {
    let mut rows: Vec<(u32, u32)> = Vec::new();
    for value in values {
        match rows.last_mut() {
            Some((count, last)) if *last == value => *count += 1,
            _ => rows.push((1, value)),
        }
    }
    let rows_count = small(rows.len() as u64);
    let rows = rows.into_iter().flat_map(|(count, value)| [count, value]);
    words(&[0, rows_count].into_iter().chain(rows).collect::<Vec<_>>())
}
