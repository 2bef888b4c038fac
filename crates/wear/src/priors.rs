//! What is assumed of a boot before its series is read.

/// The prior of the wear model. No series from infants' boots is public, so these values are
/// judgement, from the skin of infants' feet, from adults' braces, and from how fast a shoe cools.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Priors {
    /// Level while worn: mean and SD, °C.
    pub worn_c: (f64, f64),
    /// Level while off, without a room sensor: mean and SD, °C.
    pub off_c: (f64, f64),
    /// Level while off, relative to the room sensor: SD, °C.
    pub off_from_sensor_c: f64,
    /// How much a level moves from one spell of four days to the next: worn, off, off relative to a room
    /// sensor, °C.
    pub walk_c: (f64, f64, f64),
    /// Time constants of warming and of cooling, minutes.
    pub minutes: (f64, f64),
    /// Spread about the level: worn, off, °C.
    pub spread_c: (f64, f64),
    /// Two changes within a step are left out if they weigh at most this share of staying in the state
    /// that explains the step by itself; 0 leaves nothing out. This only saves time.
    pub left_out: f64,
}

impl Default for Priors {
    fn default() -> Self {
        Self {
            worn_c: (32.5, 2.0),
            off_c: (22.0, 7.0),
            off_from_sensor_c: 1.0,
            walk_c: (0.4, 1.5, 0.4),
            minutes: (9.0, 20.0),
            spread_c: (0.6, 0.8),
            left_out: 3e-3,
        }
    }
}
