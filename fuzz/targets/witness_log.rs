//! The witness: a log of genuine lines with the changes of the input. Whatever is changed, no line is read that was
//! not written, and a change is named; lines that are left out
//! are found by the seal in the records, not here.
#![no_main]

use libfuzzer_sys::fuzz_target;

fuzz_target!(|bytes: &[u8]| {
    let original = archive::fuzzing::witness_log(5);
    let mut log = original.clone();
    let mut edits = bytes.chunks_exact(4);
    for edit in &mut edits {
        let at = usize::from(u16::from_le_bytes([edit[0], edit[1]])) % (log.len() + 1);
        match edit[2] % 4 {
            0 => log.insert(at, edit[3]),
            1 if at < log.len() => log[at] = edit[3],
            2 if at < log.len() => drop(log.remove(at)),
            3 => log.truncate(at.max(1)),
            _ => {}
        }
    }
    let read = archive::fuzzing::read_witness_log(&log);
    let known = archive::fuzzing::read_witness_log(&original).lines;
    assert_eq!(known.len(), 5);
    let places: Vec<usize> = read
        .lines
        .iter()
        .map(|line| known.iter().position(|own| own == line).expect("a line that was not written"))
        .collect();
    if !read.wrong {
        // What is not named: lines that are missing, and the end of a last line that was not finished.
        let begin = |of: &[u8]| of.iter().rposition(|byte| *byte == b'\n').map_or(0, |at| at + 1);
        let mut whole = begin(&log);
        // A zero in the last line is a sector that was never written.
        let last = begin(&log[..whole.saturating_sub(1)]);
        if log[last..whole].contains(&0) {
            whole = last;
        }
        assert_eq!(read.lines.concat().as_bytes(), &log[..whole], "a change that is not named");
        assert!(places.windows(2).all(|pair| pair[0] < pair[1]), "lines out of order that are not named");
    }
    let _ = archive::fuzzing::read_witness_log(bytes);
});
