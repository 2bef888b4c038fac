//! Doors for the fuzz targets (`fuzz/targets`): what reads bytes that may be damaged and is otherwise private.

use crate::{
    file_pages::{FilePages, RawValue},
    witness,
};

/// What was read of the pages of a damaged file.
pub struct PageRows {
    /// How many rows.
    pub rows: usize,
    /// The bytes of the longest value.
    pub longest: usize,
    /// The bytes of all values.
    pub all: usize,
}

/// The rows on the pages of a file and its write-ahead log.
#[must_use]
pub fn rows_of_pages(file: &[u8], log: &[u8]) -> PageRows {
    let mut read = PageRows { rows: 0, longest: 0, all: 0 };
    FilePages::of(file.to_vec(), log).each_row(&mut |row| {
        read.rows += 1;
        for value in &row.values {
            let bytes = match value {
                RawValue::Text(text) => text.len(),
                RawValue::Bytes(bytes) => bytes.len(),
                RawValue::Null | RawValue::Number(_) | RawValue::Real(_) => 0,
            };
            read.longest = read.longest.max(bytes);
            read.all += bytes;
        }
    });
    read
}

/// What was read of a log of the witness.
pub struct WitnessLines {
    /// The genuine lines, each as it is written.
    pub lines: Vec<String>,
    /// Whether a line was found that is not genuine, or out of order.
    pub wrong: bool,
}

/// A genuine log of some lines under the key of [`read_witness_log`].
#[must_use]
pub fn witness_log(lines: i64) -> Vec<u8> {
    witness::invented_log(lines, &KEY)
}

/// Reads a log.
#[must_use]
pub fn read_witness_log(bytes: &[u8]) -> WitnessLines {
    let (lines, wrong) = witness::read_invented_log(bytes, &KEY);
    WitnessLines { lines, wrong }
}

const KEY: [u8; 32] = [7; 32];
