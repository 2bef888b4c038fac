//! The cohort to simulate: how many children, when, and how much of it is recorded.

/// Days on one calendar, from any fixed origin.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub struct Calendar {
    /// First day on which a child may be referred.
    pub first_referral: i32,
    /// Last day on which a child may be referred.
    pub last_referral: i32,
    /// The as-of day: nothing later is known, so that there are unfinished children.
    pub as_of: i32,
}

/// The children who come to the clinic, and how much is recorded.
#[derive(Debug, Clone, PartialEq)]
pub struct Cohort {
    /// Number of children.
    pub children: usize,
    /// The same seed, parameters and habits give the same children.
    pub seed: u64,
    /// The days.
    pub calendar: Calendar,
    /// Share of children with both feet affected.
    pub bilateral: f64,
    /// Share of children with a complex foot (both feet if both are affected).
    pub complex: f64,
    /// Share of children whose clubfoot is syndromic or neurogenic.
    pub other_cause: f64,
    /// Share of feet treated elsewhere before.
    pub treated_before: f64,
    /// Share of boys.
    pub boys: f64,
    /// Share born before 37 weeks.
    pub preterm: f64,
    /// Median age at the first cast, days.
    pub first_cast_age_days: f64,
    /// Standard deviation of the logarithm of age at the first cast.
    pub first_cast_age_log_sd: f64,
    /// Oldest age at the first cast, days.
    pub oldest_days: i32,
    /// Share of visits without any recorded sign.
    pub visits_unwritten: f64,
    /// Share of single signs missing in a recorded visit.
    pub signs_left_out: f64,
    /// Share of visits with dorsiflexion and abduction measured.
    pub movement_measured: f64,
    /// Share of slipped casts recorded as slipped.
    pub slips_written: f64,
    /// Share of reviews at which the family's hours are recorded.
    pub wear_reported: f64,
    /// Share of children with a logger in the boot.
    pub wear_logged: f64,
}

impl Cohort {
    /// The children of an ordinary clinic over these days, with everything recorded and no logger.
    ///
    /// Both feet affected in half, boys 2.2 to 1 and complex feet in 6.6 % are published (reviews;
    /// Pavone 2012 and Lochmiller 1998; Ponseti 2006, referral-biased); the age at the first cast is
    /// between Lampasi 2018 (28 days, SD 15) and Mengesha (15.3 weeks); the rest is assumed.
    #[must_use]
    pub const fn usual(children: usize, seed: u64, calendar: Calendar) -> Self {
        Self {
            children,
            seed,
            calendar,
            bilateral: 0.5,
            complex: 0.066,
            other_cause: 0.0,
            treated_before: 0.0,
            boys: 0.69,
            preterm: 0.08,
            first_cast_age_days: 35.0,
            first_cast_age_log_sd: 0.8,
            oldest_days: 1000,
            visits_unwritten: 0.0,
            signs_left_out: 0.0,
            movement_measured: 1.0,
            slips_written: 1.0,
            wear_reported: 1.0,
            wear_logged: 0.0,
        }
    }

    pub(super) const fn shares(&self) -> [(&'static str, f64); 12] {
        [
            ("bilateral", self.bilateral),
            ("complex", self.complex),
            ("other_cause", self.other_cause),
            ("treated_before", self.treated_before),
            ("boys", self.boys),
            ("preterm", self.preterm),
            ("visits_unwritten", self.visits_unwritten),
            ("signs_left_out", self.signs_left_out),
            ("movement_measured", self.movement_measured),
            ("slips_written", self.slips_written),
            ("wear_reported", self.wear_reported),
            ("wear_logged", self.wear_logged),
        ]
    }
}
