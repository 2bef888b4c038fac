//! MP4 and QuickTime files: ISO base media (ISO/IEC 14496-12), read and written.

mod boxes;
mod fragments;
mod movie;
mod read;
mod samples;
mod write;

pub use read::read;
pub use write::write;
