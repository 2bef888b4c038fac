//! WebM files: Matroska (RFC 9559) in EBML (RFC 8794), read and written.

mod elements;
mod read;
mod write;

pub use read::read;
pub use write::write;
