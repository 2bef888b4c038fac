//! The diary of the hours that a machine can read: what its code says, where everything on it is, and how a picture of
//! it is read. The drawing and the reader take every place from `geometry`, so that neither can drift from the other.

mod code;
pub(crate) mod geometry;
mod picture;
mod plane;
mod read;

pub use code::{DiaryCode, DiaryCodeFault};
pub use picture::GreyPicture;
pub use read::{DiaryReading, DiaryRow, DiaryUnread, RowReading, read_diary};
