//! The tables that say where each picture lies and when it is shown (ISO/IEC 14496-12, 8.6 and 8.7).

use super::{boxes::IsoBox, boxes::find, boxes::need};
use crate::{bytes::ByteReader, fault::VideoFault, film::FilmPicture, limits::VideoLimits};

/// Where a picture lies in the file, and what is known of it.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub struct Sample {
    /// Where it begins in the file.
    pub start: u64,
    pub frame: FilmPicture,
    /// How long it is shown, in ticks.
    pub ticks: u64,
}

/// A table: version, number of rows, rows. The number is held against what there is before anything is read.
fn table<'a>(found: &IsoBox<'a>, row: usize) -> Result<(u8, Vec<&'a [u8]>), VideoFault> {
    let mut reader = ByteReader::new(found.body);
    let version = reader.u32()? >> 24;
    let count = usize::try_from(reader.u32()?).map_err(|_| VideoFault::Damaged)?;
    let length = count.checked_mul(row).ok_or(VideoFault::Damaged)?;
    let rows = reader.take(length)?.chunks_exact(row).collect();
    Ok((u8::try_from(version).unwrap_or(u8::MAX), rows))
}

fn word(row: &[u8], place: usize) -> u32 {
    let bytes = row.get(4 * place..4 * place + 4).unwrap_or_default();
    u32::try_from(crate::bytes::number(bytes)).unwrap_or(0)
}

/// Every picture that the tables of a track list, in the order in which they are decoded.
pub fn listed(tables: &IsoBox<'_>, limits: &VideoLimits) -> Result<Vec<Sample>, VideoFault> {
    let lengths = lengths(&need(tables, b"stsz")?, limits)?;
    if lengths.is_empty() {
        return Ok(Vec::new());
    }
    let starts = starts(tables, &lengths)?;
    let ticks = ticks(&need(tables, b"stts")?, lengths.len())?;
    let shifts = find(tables, b"ctts")?.map_or(Ok(Vec::new()), |found| shifts(&found, lengths.len()))?;
    let keys = find(tables, b"stss")?.map(|found| table(&found, 4)).transpose()?;
    let mut is_key = vec![keys.is_none(); lengths.len()];
    for row in keys.iter().flat_map(|(_, rows)| rows) {
        let place = usize::try_from(word(row, 0)).unwrap_or(0).checked_sub(1);
        *place.and_then(|place| is_key.get_mut(place)).ok_or(VideoFault::Damaged)? = true;
    }
    let (mut at, mut samples) = (0_u64, Vec::with_capacity(lengths.len()));
    for (((length, start), ticks), (place, is_key)) in
        lengths.into_iter().zip(starts).zip(ticks).zip(is_key.into_iter().enumerate())
    {
        let shift = shifts.get(place).copied().unwrap_or(0);
        samples.push(Sample { start, frame: FilmPicture { length, at, shift, is_key }, ticks });
        at = at.saturating_add(ticks);
    }
    Ok(samples)
}

fn lengths(found: &IsoBox<'_>, limits: &VideoLimits) -> Result<Vec<usize>, VideoFault> {
    let mut reader = ByteReader::new(found.body);
    reader.u32()?;
    let (all, count) = (reader.u32()?, usize::try_from(reader.u32()?).unwrap_or(usize::MAX));
    let size = |size: u32| usize::try_from(size).unwrap_or(usize::MAX);
    if count > limits.most_frames {
        return Err(VideoFault::ManyFrames { most_frames: limits.most_frames });
    }
    if all > 0 {
        return Ok(vec![size(all); count]);
    }
    let rows = reader.take(count.saturating_mul(4))?.chunks_exact(4);
    Ok(rows.map(|row| size(word(row, 0))).collect())
}

/// Where each picture begins: chunks have a place in the file, and pictures follow each other in a chunk.
fn starts(tables: &IsoBox<'_>, lengths: &[usize]) -> Result<Vec<u64>, VideoFault> {
    let places: Vec<u64> = match find(tables, b"stco")? {
        Some(found) => table(&found, 4)?.1.into_iter().map(|row| u64::from(word(row, 0))).collect(),
        None => table(&need(tables, b"co64")?, 8)?.1.into_iter().map(crate::bytes::number).collect(),
    };
    let (_, groups) = table(&need(tables, b"stsc")?, 12)?;
    let mut starts = Vec::with_capacity(lengths.len());
    for (place, row) in groups.iter().enumerate() {
        let next = groups.get(place + 1).map_or(u64::MAX, |next| u64::from(word(next, 0)));
        let (first, each, description) = (u64::from(word(row, 0)), word(row, 1), word(row, 2));
        if description != 1 || first == 0 || next <= first || each == 0 {
            return Err(VideoFault::Damaged);
        }
        let last = next.min(u64::try_from(places.len()).unwrap_or(u64::MAX).saturating_add(1));
        for chunk in first..last {
            let chunk = usize::try_from(chunk - 1).map_err(|_| VideoFault::Damaged)?;
            let mut start = *places.get(chunk).ok_or(VideoFault::Damaged)?;
            for _ in 0..each {
                let Some(length) = lengths.get(starts.len()) else { break };
                starts.push(start);
                start = start.saturating_add(u64::try_from(*length).unwrap_or(u64::MAX));
            }
            if starts.len() == lengths.len() {
                return Ok(starts);
            }
        }
    }
    Err(VideoFault::Damaged)
}

/// How long each picture is shown.
fn ticks(found: &IsoBox<'_>, wanted: usize) -> Result<Vec<u64>, VideoFault> {
    runs(table(found, 8)?.1.into_iter().map(|row| (word(row, 0), u64::from(word(row, 1)))), wanted)
}

/// By how much later than it is decoded each picture is shown; below zero by version 1 only.
fn shifts(found: &IsoBox<'_>, wanted: usize) -> Result<Vec<i64>, VideoFault> {
    let (version, rows) = table(found, 8)?;
    let shift = |raw: u32| if version == 0 { i64::from(raw) } else { i64::from(raw.cast_signed()) };
    runs(rows.into_iter().map(|row| (word(row, 0), shift(word(row, 1)))), wanted)
}

/// A table of "so many with this value", for each picture.
fn runs<T: Copy>(rows: impl Iterator<Item = (u32, T)>, wanted: usize) -> Result<Vec<T>, VideoFault> {
    let mut all = Vec::with_capacity(wanted);
    for (count, value) in rows {
        let count = usize::try_from(count).unwrap_or(usize::MAX);
        if count > wanted - all.len() {
            return Err(VideoFault::Damaged);
        }
        all.resize(all.len() + count, value);
    }
    if all.len() == wanted { Ok(all) } else { Err(VideoFault::Damaged) }
}
