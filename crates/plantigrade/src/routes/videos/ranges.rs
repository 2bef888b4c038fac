//! Which part of a video a browser asks for (RFC 9110, section 14): one range of bytes. Anything else is answered as if
//! nothing had been asked for, as the standard allows.

use axum::{
    http::{HeaderMap, HeaderValue, StatusCode, header},
    response::{IntoResponse, Response},
};
use std::ops::Range;

/// The most bytes of an answer to a range. A browser asks for the rest, so that whether the video may be shown is asked
/// again while it plays.
const MOST: u64 = 2 << 20;

/// What is asked for.
#[derive(Debug, Clone, PartialEq, Eq)]
pub enum WantedBytes {
    /// All of it.
    Whole,
    /// A part, the end not included.
    Part(Range<u64>),
    /// Nothing that there is.
    Beyond,
}

impl WantedBytes {
    /// Of a request for something of a size.
    pub fn of(headers: &HeaderMap, size: u64) -> Self {
        // What a browser has of an earlier answer cannot be compared: it gets the whole.
        if headers.contains_key(header::IF_RANGE) {
            return Self::Whole;
        }
        let text = headers.get(header::RANGE).and_then(|value| value.to_str().ok());
        text.and_then(|text| Self::read(text, size)).unwrap_or(Self::Whole)
    }

    /// `None` for what is no single range of bytes.
    fn read(text: &str, size: u64) -> Option<Self> {
        let (unit, range) = text.split_once('=')?;
        if !unit.trim().eq_ignore_ascii_case("bytes") || range.contains(',') {
            return None;
        }
        let (first, last) = range.trim().split_once('-')?;
        let part = match (digits(first)?, digits(last)?) {
            (None, None) => return None,
            (None, Some(length)) => size.saturating_sub(length)..size,
            (Some(first), None) => first..size,
            (Some(first), Some(last)) if first <= last => first..size.min(last.saturating_add(1)),
            _ => return None,
        };
        if part.start >= part.end {
            return Some(Self::Beyond);
        }
        Some(Self::Part(part.start..part.end.min(part.start.saturating_add(MOST))))
    }

    /// The bytes that are read.
    pub fn range(&self, size: u64) -> Range<u64> {
        match self {
            Self::Whole => 0..size,
            Self::Part(part) => part.clone(),
            Self::Beyond => 0..0,
        }
    }

    /// The answer with these bytes of something of a size. No cache keeps it: that is the rule of every answer.
    pub fn answer(&self, bytes: Vec<u8>, size: u64, media_type: &'static str) -> Response {
        let (status, range) = match self {
            Self::Whole => (StatusCode::OK, None),
            Self::Part(part) => {
                let range = format!("bytes {}-{}/{size}", part.start, part.end.saturating_sub(1));
                (StatusCode::PARTIAL_CONTENT, Some(range))
            }
            Self::Beyond => (StatusCode::RANGE_NOT_SATISFIABLE, Some(format!("bytes */{size}"))),
        };
        let mut response = (status, bytes).into_response();
        let headers = response.headers_mut();
        headers.insert(header::ACCEPT_RANGES, HeaderValue::from_static("bytes"));
        headers.insert(header::CONTENT_TYPE, HeaderValue::from_static(media_type));
        if let Some(range) = range.and_then(|range| HeaderValue::from_str(&range).ok()) {
            headers.insert(header::CONTENT_RANGE, range);
        }
        response
    }
}

/// A number of digits only; the inner option is `None` where there are none. `None` for anything else.
fn digits(text: &str) -> Option<Option<u64>> {
    if text.is_empty() {
        return Some(None);
    }
    let plain = text.bytes().all(|byte| byte.is_ascii_digit());
    // A number that is too large for any file lies beyond every end.
    plain.then(|| Some(text.parse().unwrap_or(u64::MAX)))
}

#[cfg(test)]
mod tests {
    #![allow(clippy::unwrap_used)]
    use super::*;

    fn of(range: &str, size: u64) -> WantedBytes {
        let mut headers = HeaderMap::new();
        headers.insert(header::RANGE, HeaderValue::from_str(range).unwrap());
        WantedBytes::of(&headers, size)
    }

    /// The examples of RFC 9110, 14.1.2, for 10,000 bytes, and what is to be ignored or refused.
    #[test]
    fn a_range_is_read_as_the_standard_says() {
        let part = |range: Range<u64>| WantedBytes::Part(range);
        for (text, expected) in [
            ("bytes=0-499", part(0..500)),
            ("bytes=500-999", part(500..1000)),
            ("bytes=-500", part(9500..10_000)),
            ("bytes=9500-", part(9500..10_000)),
            ("bytes=0-0", part(0..1)),
            ("bytes=-1", part(9999..10_000)),
            ("bytes=-20000", part(0..10_000)),
            ("bytes=9999-99999999999999999999999", part(9999..10_000)),
            ("Bytes=0-", part(0..10_000)),
            ("bytes=10000-", WantedBytes::Beyond),
            ("bytes=99999999999999999999999-", WantedBytes::Beyond),
            ("bytes=-0", WantedBytes::Beyond),
            ("bytes=500-499", WantedBytes::Whole),
            ("bytes=0-0,-1", WantedBytes::Whole),
            ("bytes=-", WantedBytes::Whole),
            ("bytes=+1-2", WantedBytes::Whole),
            ("bytes=a-b", WantedBytes::Whole),
            ("seconds=0-1", WantedBytes::Whole),
            ("bytes", WantedBytes::Whole),
        ] {
            assert_eq!(of(text, 10_000), expected, "{text}");
        }
        assert_eq!(of("bytes=0-", 0), WantedBytes::Beyond);
    }

    #[test]
    fn a_long_part_is_answered_piece_by_piece() {
        assert_eq!(of("bytes=100-", 1 << 30), WantedBytes::Part(100..100 + MOST));
    }

    #[test]
    fn a_part_of_an_earlier_answer_is_not_added_to() {
        let mut headers = HeaderMap::new();
        headers.insert(header::RANGE, HeaderValue::from_static("bytes=0-1"));
        headers.insert(header::IF_RANGE, HeaderValue::from_static("\"a\""));
        assert_eq!(WantedBytes::of(&headers, 10), WantedBytes::Whole);
    }
}
