//! What the measurements of a foot say under the protocol.

use record::Side;

/// The status of a foot under the protocol.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub struct FootStatus {
    /// Which foot.
    pub side: Side,
    /// Ready for tenotomy by the clinic's rule; `None` if a value it needs was not measured.
    pub ready_for_tenotomy: Option<bool>,
    /// Corrected: may be braced without a tenotomy; `None` if not measured.
    pub corrected: Option<bool>,
}
