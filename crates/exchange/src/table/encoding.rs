//! From bytes to text: UTF-8 with or without its mark, UTF-16, or an old single-byte encoding.

use std::borrow::Cow;

/// The text, and the name of the encoding it was read as.
pub(super) fn decode(bytes: &[u8]) -> (Cow<'_, str>, &'static str) {
    if let Some((encoding, mark)) = encoding_rs::Encoding::for_bom(bytes) {
        let (text, _) = encoding.decode_without_bom_handling(bytes.get(mark..).unwrap_or_default());
        let name =
            if encoding == encoding_rs::UTF_8 { "UTF-8 with byte-order mark" } else { encoding.name() };
        return (text, name);
    }
    if let Some(encoding) = unmarked_utf16(bytes) {
        return (encoding.decode_without_bom_handling(bytes).0, encoding.name());
    }
    if let Ok(text) = std::str::from_utf8(bytes) {
        return (Cow::Borrowed(text), "UTF-8");
    }
    let encoding = guess_old(bytes);
    (encoding.decode_without_bom_handling(bytes).0, encoding.name())
}

/// The first bytes, up to a limit.
fn start_of(bytes: &[u8], most: usize) -> &[u8] {
    bytes.get(..most).unwrap_or(bytes)
}

/// Whether text is written in two bytes for each letter.
pub(super) fn is_wide(bytes: &[u8]) -> bool {
    let marked = encoding_rs::Encoding::for_bom(bytes).map(|(encoding, _)| encoding);
    marked.map_or_else(|| unmarked_utf16(bytes).is_some(), |encoding| encoding != encoding_rs::UTF_8)
}

/// Every second byte is zero where Western text is written as UTF-16.
fn unmarked_utf16(bytes: &[u8]) -> Option<&'static encoding_rs::Encoding> {
    let sample = start_of(bytes, 4096);
    let zeros = |from: usize| sample.iter().skip(from).step_by(2).filter(|&&b| b == 0).count();
    let most = sample.len() / 2 * 8 / 10;
    if sample.len() < 8 || most == 0 {
        return None;
    }
    match (zeros(0), zeros(1)) {
        (even, odd) if odd >= most && even * 10 < most => Some(encoding_rs::UTF_16LE),
        (even, odd) if even >= most && odd * 10 < most => Some(encoding_rs::UTF_16BE),
        _ => None,
    }
}

fn guess_old(bytes: &[u8]) -> &'static encoding_rs::Encoding {
    let mut detector = chardetng::EncodingDetector::new(chardetng::Iso2022JpDetection::Deny);
    detector.feed(start_of(bytes, 1 << 20), true);
    let found = detector.guess(None, chardetng::Utf8Detection::Deny);
    // With few accents the detector knows too little; the usual encoding of such files is this one.
    let accents = bytes.iter().filter(|&&b| b >= 0x80).count();
    if accents < 4 { encoding_rs::WINDOWS_1252 } else { found }
}

/// What a file is that is neither text nor a workbook.
pub(super) fn foreign(bytes: &[u8]) -> Option<&'static str> {
    let known: [(&[u8], &str); 9] = [
        (b"%PDF", "a PDF document"),
        (b"\x89PNG", "a picture"),
        (b"\xff\xd8\xff", "a picture"),
        (b"GIF8", "a picture"),
        (b"\x1f\x8b", "a compressed archive"),
        (b"7z\xbc\xaf", "a compressed archive"),
        (b"SQLite format 3\0", "a database"),
        (b"{\\rtf", "a text document"),
        (b"\x7fELF", "a program"),
    ];
    if let Some((_, looks)) = known.iter().find(|(start, _)| bytes.starts_with(start)) {
        return Some(looks);
    }
    let start = String::from_utf8_lossy(start_of(bytes, 400)).trim_start().to_lowercase();
    if start.starts_with("<!doctype html") || start.starts_with("<html") {
        return Some("a web page");
    }
    if start.starts_with("<?xml") {
        return Some("an XML document");
    }
    let marked = encoding_rs::Encoding::for_bom(bytes).is_some() || unmarked_utf16(bytes).is_some();
    let sample = start_of(bytes, 65_536);
    let odd = sample.iter().filter(|&&b| b < 9 || (14..32).contains(&b)).count();
    (!marked && odd * 50 > sample.len()).then_some("binary data")
}
