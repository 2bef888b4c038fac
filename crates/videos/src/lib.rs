//! Videos of gait as bytes: a file that somebody sends is recognised by its content, and written anew from its pictures.
//!
//! [`prepare`] reads MP4 and QuickTime files (ISO/IEC 14496-12) and WebM files (RFC 8794 and RFC 9559) with readers of
//! this crate, within [`VideoLimits`], and writes a new file of the same kind that has the pictures of the film, their
//! times and what a decoder needs to show them. Nothing else of the file is copied: no sound, no place, no time, no
//! device, no title, no attachment, and within the pictures no unit that carries text or data for the user. What the
//! readers do not understand is refused, because nobody could say what is in it.
//!
//! Everything here is arithmetic on bytes: no file, no clock, no network, no decoder. It never looks at a picture, so
//! that a face in a film stays in it. `docs/videos.md` has what is removed and how that was checked.
//!
//! Start reading at [`prepare`].

#![warn(missing_docs)]
#![cfg_attr(not(test), warn(clippy::indexing_slicing, clippy::string_slice))]

mod besides;
mod bytes;
mod codec;
mod fault;
mod film;
mod iso;
mod limits;
mod matroska;
mod prepare;
mod units;

pub use fault::VideoFault;
pub use limits::VideoLimits;
pub use prepare::{PreparedVideo, VideoFormat, prepare};
