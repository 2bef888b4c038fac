//! The compound file: streams in chains of sectors. Every chain is followed for no more steps than the file
//! has sectors, because a damaged one may run in a circle.

use super::record::{Bytes, cut_off};
use crate::table::workbook::budget::WorkbookFault;

/// Sector numbers from here on are signs, not sectors.
const FIRST_SIGN: u32 = 0xFFFF_FFFA;
/// Streams shorter than this are in small sectors.
const SMALL_STREAM_BYTES: usize = 4096;
const SMALL_SECTOR_BYTES: usize = 64;
const HEADER_BYTES: usize = 512;
/// Sector numbers that the header itself has room for.
const LISTED_IN_HEADER: usize = 109;
const ENTRY_BYTES: usize = 128;

pub(super) struct CompoundFile<'a> {
    bytes: &'a [u8],
    sector_bytes: usize,
    /// The sector that follows each.
    next: Vec<u32>,
    /// The same for small sectors.
    next_small: Vec<u32>,
    /// Where small sectors are.
    small: Vec<u8>,
    entries: Vec<StreamEntry>,
}

struct StreamEntry {
    name: String,
    first: u32,
    bytes: usize,
}

/// What the header says.
struct Header {
    sector_bytes: usize,
    first_directory: u32,
    first_small: u32,
    first_list: u32,
    lists: Vec<u32>,
}

impl<'a> CompoundFile<'a> {
    pub(super) fn open(bytes: &'a [u8]) -> Result<Self, WorkbookFault> {
        let header = Header::read(bytes)?;
        let (next_small, small, entries) = Default::default();
        let sector_bytes = header.sector_bytes;
        let mut file = Self { bytes, sector_bytes, next: Vec::new(), next_small, small, entries };
        file.next = file.sector_chains(&header)?;
        let directory = file.chain(header.first_directory, usize::MAX)?;
        file.entries = directory
            .chunks_exact(ENTRY_BYTES)
            .map(|entry| StreamEntry::read(entry, sector_bytes))
            .collect::<Result<_, _>>()?;
        if let Some(root) = file.entries.first() {
            let (first, length) = (root.first, root.bytes);
            if first < FIRST_SIGN && length > 0 {
                file.small = file.chain(first, length)?;
                file.next_small = numbers(&file.chain(header.first_small, usize::MAX)?);
            }
        }
        Ok(file)
    }

    /// The list of the sectors that follow each, from the sectors in which it is.
    fn sector_chains(&self, header: &Header) -> Result<Vec<u32>, WorkbookFault> {
        let mut lists = header.lists.clone();
        let (mut at, mut steps) = (header.first_list, 0);
        while at < FIRST_SIGN {
            steps += 1;
            if steps > self.sectors() {
                return Err(circle());
            }
            let mut more = numbers(self.sector(at)?);
            at = more.pop().ok_or_else(cut_off)?;
            lists.extend(more);
        }
        lists.retain(|&sector| sector < FIRST_SIGN);
        if lists.len() > self.sectors() {
            return Err(circle());
        }
        let mut next = Vec::new();
        for sector in lists {
            next.extend(numbers(self.sector(sector)?));
        }
        Ok(next)
    }

    /// How many sectors the file has, the last one perhaps cut short.
    const fn sectors(&self) -> usize {
        self.bytes.len() / self.sector_bytes
    }

    fn sector(&self, number: u32) -> Result<&'a [u8], WorkbookFault> {
        let start = (number as usize).saturating_add(1).saturating_mul(self.sector_bytes);
        let rest = self.bytes.get(start..).filter(|rest| !rest.is_empty()).ok_or_else(cut_off)?;
        Ok(rest.get(..self.sector_bytes).unwrap_or(rest))
    }

    /// The bytes of a chain of sectors, up to a length.
    fn chain(&self, first: u32, length: usize) -> Result<Vec<u8>, WorkbookFault> {
        follow(first, length, self.sectors(), &self.next, |number| self.sector(number))
    }

    fn small_chain(&self, first: u32, length: usize) -> Result<Vec<u8>, WorkbookFault> {
        let sector = |number: u32| {
            let start = (number as usize).saturating_mul(SMALL_SECTOR_BYTES);
            let rest = self.small.get(start..).filter(|rest| !rest.is_empty()).ok_or_else(cut_off)?;
            Ok(rest.get(..SMALL_SECTOR_BYTES).unwrap_or(rest))
        };
        let most = self.small.len() / SMALL_SECTOR_BYTES + 1;
        follow(first, length, most, &self.next_small, sector)
    }

    fn entry(&self, name: &str) -> Option<&StreamEntry> {
        self.entries.iter().find(|entry| entry.name.eq_ignore_ascii_case(name))
    }

    pub(super) fn has(&self, name: &str) -> bool {
        self.entry(name).is_some()
    }

    /// The bytes of a stream; `None` where there is none of this name.
    pub(super) fn stream(&self, name: &str) -> Result<Option<Vec<u8>>, WorkbookFault> {
        let Some(entry) = self.entry(name) else { return Ok(None) };
        let read = if entry.bytes < SMALL_STREAM_BYTES {
            self.small_chain(entry.first, entry.bytes)
        } else {
            self.chain(entry.first, entry.bytes)
        };
        read.map(Some)
    }
}

fn circle() -> WorkbookFault {
    WorkbookFault::broken("its list of sectors runs in a circle")
}

/// Follows a chain for at most `most` steps.
fn follow<'s>(
    first: u32,
    length: usize,
    most: usize,
    next: &[u32],
    sector: impl Fn(u32) -> Result<&'s [u8], WorkbookFault>,
) -> Result<Vec<u8>, WorkbookFault> {
    let (mut at, mut out) = (first, Vec::new());
    for _ in 0..=most {
        if at >= FIRST_SIGN || out.len() >= length {
            out.truncate(length);
            return Ok(out);
        }
        out.extend_from_slice(sector(at)?);
        at = next.get(at as usize).copied().ok_or_else(cut_off)?;
    }
    Err(circle())
}

fn numbers(bytes: &[u8]) -> Vec<u32> {
    bytes.as_chunks::<4>().0.iter().map(|four| u32::from_le_bytes(*four)).collect()
}

impl Header {
    fn read(bytes: &[u8]) -> Result<Self, WorkbookFault> {
        let mut data = Bytes::of(bytes.get(..HEADER_BYTES).ok_or_else(cut_off)?);
        data.skip(30)?;
        let sector_bytes = match data.u16()? {
            9 => 512,
            12 => 4096,
            _ => return Err(WorkbookFault::broken("the size of its sectors is unknown")),
        };
        if data.u16()? != 6 {
            return Err(WorkbookFault::broken("the size of its small sectors is unknown"));
        }
        data.skip(14)?;
        let first_directory = data.u32()?;
        data.skip(8)?;
        let first_small = data.u32()?;
        data.skip(4)?;
        let first_list = data.u32()?;
        data.skip(4)?;
        let lists = (0..LISTED_IN_HEADER).map(|_| data.u32()).collect::<Result<_, _>>()?;
        Ok(Self { sector_bytes, first_directory, first_small, first_list, lists })
    }
}

impl StreamEntry {
    fn read(entry: &[u8], sector_bytes: usize) -> Result<Self, WorkbookFault> {
        let mut data = Bytes::of(entry);
        let letters = data.take(64)?.as_chunks::<2>().0.iter().map(|two| u16::from_le_bytes(*two));
        let letters: Vec<u16> = letters.take_while(|&letter| letter != 0).collect();
        data.skip(52)?;
        let first = data.u32()?;
        let (low, high) = (data.u32()?, data.u32()?);
        // Files with small sectors may hold anything in the upper half.
        let high = if sector_bytes == 512 { 0 } else { u64::from(high) };
        let bytes = usize::try_from(u64::from(low) | high << 32).unwrap_or(usize::MAX);
        Ok(Self { name: String::from_utf16_lossy(&letters), first, bytes })
    }
}
