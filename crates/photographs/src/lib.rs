//! Photographs of feet: what can be computed from bytes, pixels and tapped points.
//!
//! [`prepare`] turns an uploaded file into a picture that may be kept, with a thumbnail and without anything else that
//! was in the file. [`quality`] says what is wrong with a picture, [`looks_like_other_side`] asks whether it shows the
//! other foot, [`missing_views`] which views are left. [`AngleGuide`] has the named angles: which points are tapped, and
//! the angle with its error. [`CardScale`] gives lengths beside a card of known size,
//! [`find_card`] proposes where the card is. [`ReadingError`] says how far two readings lie apart by error alone.
//!
//! Everything here is arithmetic: no file, no clock, no network. It never recognises a foot, never takes a point
//! that nobody tapped or confirmed, never gives an angle or a length without its error, and never decides whose foot a picture
//! shows: it asks. `docs/photographs.md` has the method and what was measured.
//!
//! Start reading at [`prepare`] for pictures and at [`AngleGuide`] for measurements.

#![warn(missing_docs)]
#![cfg_attr(not(test), warn(clippy::indexing_slicing, clippy::string_slice))]

mod angle;
mod angle_guide;
mod camera_data;
mod card;
mod card_camera;
mod card_shapes;
mod container;
mod edge_blur;
mod edge_lines;
mod edge_strokes;
mod enlarged;
mod find_card;
mod grey_plane;
mod homography;
mod linear;
mod mirror;
mod picture_fault;
mod picture_limits;
mod plane_point;
mod prepare;
mod propagation;
mod quality;
mod reading_error;
mod side_fit;
mod unpack;
mod views;

pub use angle::{AngleBetween, TapError, angle_at, angle_between};
pub use angle_guide::{AngleFault, AngleGuide, AngleReading, AngleTap, MOST_ERROR_DEG};
pub use card::{CARD_MM, CardFault, CardScale, PlaneLength};
pub use container::PictureKind;
pub use edge_blur::edge_blur_px;
pub use enlarged::enlarged_part;
pub use find_card::{CARD_RADIUS_MM, CardSearchFault, FoundCard, find_card};
pub use grey_plane::GreyPlane;
pub use mirror::{MirrorDoubt, looks_like_other_side, mirror_margin, view_tells_feet_apart};
pub use picture_fault::PictureFault;
pub use picture_limits::PictureLimits;
pub use plane_point::{PixelLine, PixelPoint};
pub use prepare::{PreparedPhotograph, for_print, prepare};
pub use quality::{PictureFinding, quality};
pub use reading_error::{ChangeVerdict, ReadingError};
pub use record::{PhotographAngle, PhotographView, ViewFeet, ViewStage};
pub use views::{ViewSet, missing_views};
