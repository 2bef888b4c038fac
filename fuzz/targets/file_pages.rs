//! The pages of a damaged records file and of its write-ahead log, as salvage reads them without SQLite. Two bytes in
//! front say where the log begins, the third whether its sums are put right, so that its pages are taken.
#![no_main]

use libfuzzer_sys::fuzz_target;

fuzz_target!(|bytes: &[u8]| {
    let Some((head, rest)) = bytes.split_first_chunk::<3>() else { return };
    let at = usize::from(u16::from_le_bytes([head[0], head[1]])).min(rest.len());
    let (file, log) = rest.split_at(rest.len() - at);
    let mut log = log.to_vec();
    if head[2] & 1 == 1 {
        put_sums_right(&mut log);
    }
    let read = archive::fuzzing::rows_of_pages(file, &log);
    // Damage may let rows lie over each other, but no value is longer than all there is.
    assert!(read.longest <= 64 * (file.len() + log.len()), "{} bytes in {}", read.longest, rest.len());
});

/// The sums of a log (sqlite.org/fileformat2.html, section 4.2), little-endian.
fn put_sums_right(log: &mut [u8]) {
    if log.len() < 32 {
        return;
    }
    log[..4].copy_from_slice(&0x377f_0682_u32.to_be_bytes());
    let size = u32::from_be_bytes([log[8], log[9], log[10], log[11]]) as usize;
    let (head, frames) = log.split_at_mut(32);
    let mut sums = sum((0, 0), &head[..24]);
    put(&mut head[24..32], sums);
    let salts: Vec<u8> = head[16..24].to_vec();
    for frame in frames.chunks_exact_mut(24_usize.saturating_add(size)) {
        frame[8..16].copy_from_slice(&salts);
        sums = sum(sums, &frame[..8]);
        sums = sum(sums, &frame[24..]);
        put(&mut frame[16..24], sums);
    }
}

fn sum((mut one, mut two): (u32, u32), bytes: &[u8]) -> (u32, u32) {
    let word = |bytes: &[u8]| u32::from_le_bytes([bytes[0], bytes[1], bytes[2], bytes[3]]);
    for pair in bytes.chunks_exact(8) {
        one = one.wrapping_add(word(&pair[..4])).wrapping_add(two);
        two = two.wrapping_add(word(&pair[4..])).wrapping_add(one);
    }
    (one, two)
}

fn put(place: &mut [u8], (one, two): (u32, u32)) {
    place[..4].copy_from_slice(&one.to_be_bytes());
    place[4..].copy_from_slice(&two.to_be_bytes());
}
