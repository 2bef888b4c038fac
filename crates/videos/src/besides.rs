//! What a file says besides its film.

/// What is known of a file besides its film, to be asked about or told.
#[derive(Debug, Clone, Copy, PartialEq, Eq, Default)]
pub(crate) struct Besides {
    /// When it was taken, in seconds since 1970, UTC.
    pub taken_at: Option<i64>,
    /// Whether it said where.
    pub position: bool,
    /// Whether it had sound.
    pub sound: bool,
}
