//! The counts of one run.

/// The longest wait that is distinguished, days; longer ones count with it.
pub const LONGEST_WAIT: usize = 400;
/// Boot sizes counted, in steps of the setting from the smallest up.
pub const SIZES: usize = 48;
/// Bar lengths counted.
pub const BARS: usize = 32;
/// Smallest boot size, mm of foot length.
pub const SMALLEST_BOOT_MM: u32 = 50;
/// Smallest bar, mm.
pub const SMALLEST_BAR_MM: u32 = 100;

/// One week of one service.
#[derive(Debug, Clone, Copy, Default, PartialEq, Eq)]
pub struct Week {
    /// Places that became due in it.
    pub due: u32,
    /// Available places, after absence.
    pub offered: u32,
    /// Places used, including those of children who did not come.
    pub used: u32,
    /// Places lost to children who did not come.
    pub lost: u32,
    /// Children due by the last day of the service in the week who were left without a place; in a week without the
    /// service, those due by its end.
    pub left: u32,
}

impl Week {
    /// Places needed so that no child was left without one: those used and those left over.
    #[must_use]
    pub const fn needed(&self) -> u32 {
        self.used + self.left
    }
}

/// The kinds of waits.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub enum WaitKind {
    /// From referral to the first cast.
    FirstCast,
    /// From the day planned for the tenotomy to the tenotomy.
    Tenotomy,
    /// From the day planned for the brace to its fitting.
    Fitting,
    /// From the day a review is due to the review.
    Review,
    /// From the day a relapse is noted to its first cast.
    Relapse,
}

impl WaitKind {
    /// All.
    pub const ALL: [Self; 5] = [Self::FirstCast, Self::Tenotomy, Self::Fitting, Self::Review, Self::Relapse];

    /// In words.
    #[must_use]
    pub const fn words(self) -> &'static str {
        match self {
            Self::FirstCast => "referral to first cast",
            Self::Tenotomy => "ready to tenotomy",
            Self::Fitting => "ready to brace",
            Self::Review => "review due to review",
            Self::Relapse => "relapse noted to first cast",
        }
    }

    /// A key for files.
    #[must_use]
    pub const fn key(self) -> &'static str {
        match self {
            Self::FirstCast => "referral_to_first_cast",
            Self::Tenotomy => "ready_to_tenotomy",
            Self::Fitting => "ready_to_brace",
            Self::Review => "review_due_to_review",
            Self::Relapse => "relapse_to_first_cast",
        }
    }
}

/// Waits of one kind.
#[derive(Debug, Clone, PartialEq, Eq)]
pub struct Waits {
    /// Waits that ended, by days.
    pub by_days: Vec<u32>,
    /// Number that ended.
    pub ended: u32,
    /// The sum of their days.
    pub ended_days: u64,
    /// Number still waiting at the end of the run.
    pub open: u32,
    /// Their days so far.
    pub open_days: u64,
    /// Number who left while waiting: lost to follow-up.
    pub left: u32,
    /// Their days.
    pub left_days: u64,
    /// Days waited before the run began, included in the above.
    pub before_days: u64,
    /// Children waiting at the end of each day, summed over the days of the run.
    pub child_days: u64,
}

/// The counts of casts.
#[derive(Debug, Clone, Copy, Default, PartialEq, Eq)]
pub struct Casts {
    /// Put on for correction.
    pub correcting: u32,
    /// Holding casts because no place was found.
    pub holding: u32,
    /// Put on after a tenotomy.
    pub after_tenotomy: u32,
    /// That slipped.
    pub slipped: u32,
    /// Removed, without slipped ones.
    pub ended: u32,
    /// Removed after their window because no place was found.
    pub late_no_place: u32,
    /// Removed after their window because the child did not come.
    pub late_not_come: u32,
    /// Still on, past their window, when the run ended.
    pub late_open: u32,
}

/// The phases of the children at the end, and the counts of events.
#[derive(Debug, Clone, Copy, Default, PartialEq, Eq)]
pub struct Children {
    /// In treatment at the start.
    pub current: u32,
    /// Referred during the run.
    pub arrived: u32,
    /// Waiting for a first cast, of the first or a later episode.
    pub waiting_first: u32,
    /// In a correcting cast.
    pub in_casts: u32,
    /// In a cast, waiting for a tenotomy.
    pub waiting_theatre: u32,
    /// In the tenotomy cast, or corrected, waiting for the brace.
    pub waiting_brace: u32,
    /// In the brace.
    pub in_brace: u32,
    /// Followed to the end.
    pub finished: u32,
    /// Lost to follow-up.
    pub lost: u32,
    /// Tenotomies done.
    pub tenotomies: u32,
    /// Relapses noted.
    pub relapses: u32,
}

impl Children {
    /// Children in any phase; always the sum of those at the start and those referred.
    #[must_use]
    pub const fn somewhere(&self) -> u32 {
        self.waiting_first
            + self.in_casts
            + self.waiting_theatre
            + self.waiting_brace
            + self.in_brace
            + self.finished
            + self.lost
    }
}

/// Everything one run counts.
#[derive(Debug, Clone, PartialEq, Eq)]
pub struct Tally {
    /// By week, the three services.
    pub weeks: Vec<[Week; 3]>,
    /// By [`WaitKind`].
    pub waits: [Waits; 5],
    /// Casts.
    pub casts: Casts,
    /// Children.
    pub children: Children,
    /// Boots bought, by quarter of 13 weeks and size step.
    pub boots: Vec<[u16; SIZES]>,
    /// Bars bought, by quarter and length step.
    pub bars: Vec<[u16; BARS]>,
}

impl Waits {
    fn new() -> Self {
        Self {
            by_days: vec![0; LONGEST_WAIT + 1],
            ended: 0,
            ended_days: 0,
            open: 0,
            open_days: 0,
            left: 0,
            left_days: 0,
            before_days: 0,
            child_days: 0,
        }
    }

    pub(super) fn end(&mut self, days: i32) {
        let days = days.max(0).unsigned_abs();
        if let Some(count) = self.by_days.get_mut((days as usize).min(LONGEST_WAIT)) {
            *count += 1;
        }
        self.ended += 1;
        self.ended_days += u64::from(days);
    }

    /// Mean of the waits that ended, days; `None` if none did.
    #[must_use]
    pub fn mean_days(&self) -> Option<f64> {
        (self.ended > 0).then(|| self.ended_days as f64 / f64::from(self.ended))
    }

    /// Mean over all children, those still waiting and those who left with their days so far. It does not become
    /// better because fewer are ever seen.
    #[must_use]
    pub fn mean_days_of_all(&self) -> Option<f64> {
        let number = self.ended + self.open + self.left;
        (number > 0).then(|| (self.ended_days + self.open_days + self.left_days) as f64 / f64::from(number))
    }

    /// The quantile of the waits that ended.
    #[must_use]
    pub fn quantile_days(&self, share: f64) -> Option<usize> {
        let wanted = (share * f64::from(self.ended)).ceil().max(1.0) as u64;
        let mut so_far = 0u64;
        self.by_days.iter().position(|&count| {
            so_far += u64::from(count);
            so_far >= wanted
        })
    }
}

impl Tally {
    pub(super) fn new(weeks: usize) -> Self {
        let quarters = weeks.div_ceil(13);
        Self {
            weeks: vec![[Week::default(); 3]; weeks],
            waits: [(); 5].map(|()| Waits::new()),
            casts: Casts::default(),
            children: Children::default(),
            boots: vec![[0; SIZES]; quarters],
            bars: vec![[0; BARS]; quarters],
        }
    }

    /// Share of casts past their window because no place was found, of all that ended or are still past their window;
    /// `None` if there was none.
    #[must_use]
    pub fn share_past_window(&self) -> Option<f64> {
        let casts = &self.casts;
        let all = casts.ended + casts.late_open;
        (all > 0).then(|| f64::from(casts.late_no_place + casts.late_open) / f64::from(all))
    }
}
