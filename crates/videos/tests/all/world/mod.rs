//! Writers of small videos, and readers of what was kept, made from the standards and not from the code under test.

pub mod mp4;
pub mod webm;

/// Whether bytes hold others.
pub fn holds(bytes: &[u8], part: &[u8]) -> bool {
    bytes.windows(part.len()).any(|window| window == part)
}
