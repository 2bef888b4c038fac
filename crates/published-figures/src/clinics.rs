//! The clinics of the papers, as settings of the simulator.
//!
//! Centres differ in what the model calls habit: whom they cut, how many casts they need and how they
//! count them. Where a paper prints its mean of casts or its overall share of tenotomies, that clinic's
//! pace shift or intercept is set so that the simulated clinic has just that mean or share; then neither
//! is a check, and what remains (spread, bands, correlations, days) is.

use super::rows::{FootRow, Row, row};
use forecast::natural_history::{
    Calendar, ClinicHabits, Cohort, HabitSpread, ModelError, Parameters, SecondRater, SimulatedChild,
    TenotomyBy, simulate,
};
use rayon::prelude::*;
use serde::Deserialize;

/// Whose children.
#[derive(Debug, Clone, Copy, Default, PartialEq, Eq, PartialOrd, Ord, Deserialize)]
#[serde(rename_all = "snake_case")]
pub(super) enum Clinic {
    /// A clinic of which nothing is known.
    #[default]
    Any,
    /// J Craniofac Surg (Ethiopia).
    Ethiopia,
    /// Mengesha.
    Mengesha,
    /// Bob-Manuel 2022.
    BobManuel,
    /// Islam 2020, weekly.
    IslamWeekly,
    /// Islam 2020, twice weekly.
    IslamTwice,
    /// Williams 2022.
    Williams,
    /// BMC Musculoskelet Disord 2022.
    Guilin,
    /// Lampasi 2018.
    Lampasi,
    /// Scher.
    Scher,
    /// Calabar.
    Calabar,
    /// Menon.
    Menon,
    /// 10.1097/BPO.0000000000002338.
    Dorsiflexion,
    /// Khan 2017.
    Khan,
    /// Spiegel 2009, one to six years old.
    Spiegel,
    /// Complex feet only.
    Complex,
    /// Wear and relapse, with a logger in every boot.
    Logged,
}

/// Days over which the books of a simulated clinic run: the six years of the drop-out series.
pub(super) const BOOKS: Calendar = Calendar { first_referral: 0, last_referral: 2191, as_of: 2191 };

/// What is known of a paper's clinic.
#[derive(Debug, Clone)]
struct Known {
    habits: ClinicHabits,
    cohort: Cohort,
    /// Mean of casts to meet by the pace shift.
    casts: Option<f64>,
    /// Share of tenotomies to meet by the intercept.
    cut: Option<f64>,
    /// How much severer its feet begin, points a sign, and the factor on the spread of severity.
    severity: (f64, f64),
}

impl Clinic {
    pub(super) const ALL: [Self; 17] = [
        Self::Any,
        Self::Ethiopia,
        Self::Mengesha,
        Self::BobManuel,
        Self::IslamWeekly,
        Self::IslamTwice,
        Self::Williams,
        Self::Guilin,
        Self::Lampasi,
        Self::Scher,
        Self::Calabar,
        Self::Menon,
        Self::Dorsiflexion,
        Self::Khan,
        Self::Spiegel,
        Self::Complex,
        Self::Logged,
    ];

    fn known(self, children: usize, seed: u64) -> Known {
        let cohort = Cohort::usual(children, seed.wrapping_add(self as u64 * 7_919), BOOKS);
        let any =
            Known { habits: ClinicHabits::published(), cohort, casts: None, cut: None, severity: (0.0, 1.0) };
        match self {
            Self::Any => any,
            Self::Ethiopia => Known { casts: Some(5.54), ..any },
            Self::Mengesha => any.aged(75.0, 0.85).meets(Some(5.94), None),
            Self::BobManuel => any.paired(0.38).meets(Some(4.0), None),
            Self::IslamWeekly => any.islam(&[(7, 1.0)]).meets(Some(6.3), Some(70.0 / 81.0)),
            Self::IslamTwice => any.islam(&[(3, 0.4), (4, 0.6)]).meets(Some(6.1), Some(65.0 / 77.0)),
            Self::Williams => any.paired(0.31).meets(Some(6.9), Some(25.0 / 34.0)),
            Self::Guilin => any.paired(0.18).meets(Some(5.71), Some(0.764)),
            Self::Lampasi => any.aged(25.0, 0.5).paired(0.69),
            Self::Scher => any.paired(0.43).meets(None, Some(36.0 / 50.0)),
            Self::Calabar => {
                any.paired(0.52).begins(-0.02, 2.45).cuts_by_signs(1.2).meets(None, Some(97.0 / 147.0))
            }
            Self::Menon => {
                any.paired(0.48).begins(0.45, 1.8).cuts_by_first_score(4.0).meets(None, Some(51.0 / 59.0))
            }
            Self::Dorsiflexion => any.aged(150.0, 0.7).meets(None, Some(0.744)),
            Self::Khan => any.meets(None, Some(0.609)),
            Self::Spiegel => any.aged(1_000.0, 0.4).meets(None, Some(0.79)),
            Self::Complex => Known { cohort: Cohort { complex: 1.0, ..any.cohort.clone() }, ..any },
            Self::Logged => Known { cohort: Cohort { wear_logged: 1.0, ..any.cohort.clone() }, ..any },
        }
    }

    /// The children of this clinic, tabulated.
    pub(super) fn rows(
        self,
        parameters: &Parameters,
        children: usize,
        seed: u64,
    ) -> Result<Vec<Row>, ModelError> {
        let mut known = self.known(children, seed);
        let parameters = &known.feet(parameters);
        known.meet(parameters)?;
        let simulated = simulate(parameters, &known.habits, &known.cohort)?;
        let mut rater = SecondRater::of(parameters, &known.habits, &known.cohort);
        Ok(simulated.iter().map(|child| row(&mut rater, child, BOOKS.as_of)).collect())
    }
}

impl Known {
    /// The natural history of the feet that come to this clinic: as everywhere, but for how they begin.
    fn feet(&self, parameters: &Parameters) -> Parameters {
        let (shift, spread) = self.severity;
        Parameters {
            initial_mean: parameters.initial_mean.map(|mean| mean + shift),
            initial_by_severity: parameters.initial_by_severity * spread,
            ..parameters.clone()
        }
    }

    fn begins(mut self, shift: f64, spread: f64) -> Self {
        self.severity = (shift, spread);
        self
    }

    /// The centre's own rule: the first score decides.
    fn cuts_by_first_score(mut self, slope: f64) -> Self {
        self.habits.tenotomy_by = TenotomyBy::FirstScore;
        self.cuts_by_signs(slope)
    }

    fn cuts_by_signs(mut self, slope: f64) -> Self {
        self.habits.tenotomy_slope = slope;
        self
    }

    fn aged(mut self, median_days: f64, log_sd: f64) -> Self {
        self.cohort.first_cast_age_days = median_days;
        self.cohort.first_cast_age_log_sd = log_sd;
        self.cohort.oldest_days = 6 * 365;
        self
    }

    fn paired(mut self, bilateral: f64) -> Self {
        self.cohort.bilateral = bilateral;
        self
    }

    fn meets(mut self, casts: Option<f64>, cut: Option<f64>) -> Self {
        self.casts = casts;
        self.cut = cut;
        self
    }

    /// A trial's own calendar: this interval, tenotomy at once, 21 days in its cast; a foot without
    /// tenotomy is held for 14 days (assumed). 50 children, 81 and 77 feet.
    fn islam(mut self, interval: &[(usize, f64)]) -> Self {
        let day = |days: &[(usize, f64)]| {
            let mut chances = vec![0.0; 29];
            days.iter().for_each(|(day, chance)| chances[*day] = *chance);
            chances
        };
        self.habits.interval_days = day(interval);
        self.habits.tenotomy_wait_days = day(&[(0, 1.0)]);
        self.habits.tenotomy_to_brace_days = day(&[(21, 1.0)]);
        self.habits.ready_to_brace_days = day(&[(14, 1.0)]);
        self.cohort.complex = 0.0;
        self.paired(0.58)
    }

    /// Sets pace shift and intercept so that a trial run meets what the paper printed.
    fn meet(&mut self, parameters: &Parameters) -> Result<(), ModelError> {
        let mut run = Cohort { children: (self.cohort.children / 2).clamp(1, 1_500), ..self.cohort.clone() };
        run.seed ^= 0xF17;
        self.meet_cut(parameters, &run)?;
        if let Some(casts) = self.casts {
            self.habits.pace_shift = self.pace_for(parameters, casts, &run)?;
            self.meet_cut(parameters, &run)?;
        }
        Ok(())
    }

    fn meet_cut(&mut self, parameters: &Parameters, run: &Cohort) -> Result<(), ModelError> {
        if let Some(cut) = self.cut {
            self.habits.tenotomy_intercept = self.habits.intercept_for(parameters, cut, run)?;
        }
        Ok(())
    }

    /// The pace shift with which feet of this clinic need so many casts in the mean, by halving.
    fn pace_for(&self, parameters: &Parameters, casts: f64, run: &Cohort) -> Result<f64, ModelError> {
        let mut habits = self.habits.clone();
        let (mut low, mut high) = (-1.5, 1.5);
        for _ in 0..8 {
            habits.pace_shift = 0.5 * (low + high);
            let slow = mean_casts(&simulate(parameters, &habits, run)?) > casts;
            if slow { low = habits.pace_shift } else { high = habits.pace_shift }
        }
        Ok(0.5 * (low + high))
    }
}

fn mean_casts(children: &[SimulatedChild]) -> f64 {
    let feet = || children.iter().flat_map(|child| &child.truth.feet);
    feet().map(|foot| foot.casts.len() as f64).sum::<f64>() / feet().count() as f64
}

/// Clinics drawn from the spread of habits, and children in each.
const CLINICS: usize = 400;
const CHILDREN: usize = 120;

/// The feet of clinics drawn from the spread of habits, clinic by clinic.
pub(super) fn drawn(
    parameters: &Parameters,
    spread: &HabitSpread,
    seed: u64,
) -> Result<Vec<Vec<FootRow>>, ModelError> {
    let calendar = Calendar { first_referral: 0, last_referral: 365, as_of: 365 };
    let feet = |number: usize| {
        let own = seed.wrapping_add(0x0C11).wrapping_mul(31).wrapping_add(number as u64);
        let (habits, cohort) = (ClinicHabits::draw(spread, own), Cohort::usual(CHILDREN, own, calendar));
        let children = simulate(parameters, &habits, &cohort)?;
        let mut rater = SecondRater::of(parameters, &habits, &cohort);
        Ok(children.iter().flat_map(|child| row(&mut rater, child, calendar.as_of).feet).collect())
    };
    (0..CLINICS).into_par_iter().map(feet).collect()
}
