//! The setting of a clinic: its places, its rules and its expectations, in one TOML file.

use super::{Closure, Service, SettingError};
use record::{Day, Weekday};
use serde::{Deserialize, Serialize};

/// The longest file that is read, in bytes.
const LONGEST: usize = 100_000;

/// The input of the simulation about a clinic. Values missing in a file are those of [`Setting::default`].
#[derive(Debug, Clone, PartialEq, Serialize, Deserialize)]
#[serde(deny_unknown_fields, default)]
pub struct Setting {
    /// Weeks to simulate.
    pub horizon_weeks: u32,
    /// The number of new children.
    pub referrals: Referrals,
    /// The clinic in which casts are put on and changed.
    pub cast_clinic: Clinic,
    /// The lists on which tenotomies are done.
    pub theatre: Clinic,
    /// The clinic in which braces are fitted and reviewed.
    pub brace_clinic: Clinic,
    /// Attendance and priority.
    pub visits: Visits,
    /// Days between casts.
    pub casting: Casting,
    /// Reviews in the brace, relapse and drop-out.
    pub bracing: Bracing,
    /// The properties of new children.
    pub course: CourseOfNew,
    /// When boots and bars are outgrown.
    pub boots: Boots,
    /// Days without any clinic.
    pub closures: Vec<Closure>,
}

/// The number of new children: `per_year`, or births times incidence.
#[derive(Debug, Clone, PartialEq, Serialize, Deserialize)]
#[serde(deny_unknown_fields, default)]
pub struct Referrals {
    /// New children a year, if the clinic knows it.
    #[serde(skip_serializing_if = "Option::is_none")]
    pub per_year: Option<f64>,
    /// Births a year in the catchment.
    #[serde(skip_serializing_if = "Option::is_none")]
    pub births_per_year: Option<f64>,
    /// Children born with clubfoot, per 1,000 births.
    pub incidence_per_1000: f64,
    /// Its 95 % interval; each run draws its own incidence from it.
    pub incidence_range_per_1000: [f64; 2],
    /// Ages at referral: shares of children, each with a range of ages in days.
    pub ages: Vec<AgeBand>,
}

/// A share of new children with its range of ages.
#[derive(Debug, Clone, Copy, PartialEq, Serialize, Deserialize)]
#[serde(deny_unknown_fields)]
pub struct AgeBand {
    /// Share of children; the shares need not sum to 1.
    pub share: f64,
    /// Youngest, days.
    pub from_days: u32,
    /// Oldest, days.
    pub to_days: u32,
}

/// Places by weekday, and the absence of staff.
#[derive(Debug, Clone, PartialEq, Default, Serialize, Deserialize)]
#[serde(deny_unknown_fields, default)]
pub struct Clinic {
    /// Places on a Monday.
    pub monday: u32,
    /// Places on a Tuesday.
    pub tuesday: u32,
    /// Places on a Wednesday.
    pub wednesday: u32,
    /// Places on a Thursday.
    pub thursday: u32,
    /// Places on a Friday.
    pub friday: u32,
    /// Places on a Saturday.
    pub saturday: u32,
    /// Places on a Sunday.
    pub sunday: u32,
    /// Chance that staff are missing on a day on which it is held.
    pub absence: f64,
    /// The loss of places then.
    pub absence_takes: Taken,
}

/// The loss of places when staff are missing.
#[derive(Debug, Clone, Copy, PartialEq, Eq, Default, Serialize, Deserialize)]
#[serde(rename_all = "lowercase")]
pub enum Taken {
    /// The whole day.
    #[default]
    All,
    /// Half of its places, rounded up.
    Half,
}

/// Attendance and priority.
#[derive(Debug, Clone, PartialEq, Serialize, Deserialize)]
#[serde(deny_unknown_fields, default)]
pub struct Visits {
    /// Chance that a child does not come to a place; the place is lost.
    pub no_show: f64,
    /// Days until a child who did not come is due again; then the next free place.
    pub rebook_after_days: u32,
    /// The order of children when places are short.
    pub order: Order,
}

/// The order of children when places are short.
#[derive(Debug, Clone, Copy, PartialEq, Eq, Default, Serialize, Deserialize)]
#[serde(rename_all = "kebab-case")]
pub enum Order {
    /// Children in a cast before first casts, and brace fittings before reviews; then by the day due.
    #[default]
    ChangesFirst,
    /// Only by the day due.
    FirstCome,
}

/// Days between casts.
#[derive(Debug, Clone, PartialEq, Serialize, Deserialize)]
#[serde(deny_unknown_fields, default)]
pub struct Casting {
    /// Days from one cast to the next.
    pub interval_days: u32,
    /// The first and the last day on which a change is in time; after that the cast is past its window.
    pub window_days: [u32; 2],
    /// Chance that a correcting cast slips and has to be put on again.
    pub slip: f64,
    /// The same for a complex foot.
    pub slip_complex: f64,
    /// Days in the cast after a tenotomy.
    pub tenotomy_cast_days: u32,
    /// The first and the last day on which its removal is in time.
    pub tenotomy_cast_window_days: [u32; 2],
}

/// Reviews in the brace, relapse and drop-out.
#[derive(Debug, Clone, PartialEq, Serialize, Deserialize)]
#[serde(deny_unknown_fields, default)]
pub struct Bracing {
    /// Days after the fitting on which the first reviews are due.
    pub review_days: Vec<u32>,
    /// Days from one later review to the next.
    pub later_review_days: u32,
    /// Age to which a child is followed, years.
    pub until_years: f64,
    /// Ages, in years, from which the hazards of relapse below apply.
    pub relapse_from_years: Vec<f64>,
    /// Hazard of relapse per year, by age.
    pub relapse_per_year: Vec<f64>,
    /// The factor on the hazard after a first relapse.
    pub second_relapse_factor: f64,
    /// The smallest and the largest number of casts for a relapse.
    pub relapse_casts: [u32; 2],
    /// Chance of another tenotomy then.
    pub relapse_tenotomy: f64,
    /// Share of children lost during casting.
    pub lost_in_casting: f64,
    /// Share of braced children lost by the end of follow-up, at a constant rate.
    pub lost_in_bracing: f64,
}

/// The properties of new children.
#[derive(Debug, Clone, PartialEq, Serialize, Deserialize)]
#[serde(deny_unknown_fields, default)]
pub struct CourseOfNew {
    /// Share of children with both feet affected.
    pub bilateral: f64,
    /// Share of children with a complex foot.
    pub complex: f64,
    /// Correcting casts per foot, mean.
    pub casts_mean: f64,
    /// The same, standard deviation within a clinic.
    pub casts_sd: f64,
    /// Standard deviation between clinics of their mean.
    pub casts_sd_between: f64,
    /// Share of feet with a tenotomy, if the clinic knows it; otherwise each run draws a centre.
    #[serde(skip_serializing_if = "Option::is_none")]
    pub tenotomy: Option<f64>,
}

/// When boots and bars are outgrown.
#[derive(Debug, Clone, PartialEq, Serialize, Deserialize)]
#[serde(deny_unknown_fields, default)]
pub struct Boots {
    /// The step between boot sizes, mm of foot length.
    pub size_step_mm: u32,
    /// By how much a foot is longer than the size of its boot when that is changed, mm. If not set, the value of the
    /// clinic's protocol for an outgrown boot, otherwise [`Boots::OPEN_BOOTS_MM`].
    #[serde(skip_serializing_if = "Option::is_none")]
    pub outgrown_by_mm: Option<f64>,
    /// The step between bar lengths, mm.
    pub bar_step_mm: u32,
}

impl Default for Setting {
    /// An example, not advice: two cast mornings of 8 places, one list of 4, one brace clinic of 16.
    fn default() -> Self {
        Self {
            horizon_weeks: 52,
            referrals: Referrals::default(),
            cast_clinic: Clinic { tuesday: 8, friday: 8, absence: 0.03, ..Clinic::default() },
            theatre: Clinic { thursday: 4, absence: 0.05, ..Clinic::default() },
            brace_clinic: Clinic { wednesday: 16, absence: 0.03, ..Clinic::default() },
            visits: Visits::default(),
            casting: Casting::default(),
            bracing: Bracing::default(),
            course: CourseOfNew::default(),
            boots: Boots::default(),
            closures: Vec::new(),
        }
    }
}

impl Default for Referrals {
    fn default() -> Self {
        let band = |share, from_days, to_days| AgeBand { share, from_days, to_days };
        Self {
            per_year: None,
            births_per_year: None,
            incidence_per_1000: 1.18,
            incidence_range_per_1000: [1.00, 1.36],
            ages: vec![band(0.65, 7, 42), band(0.25, 43, 182), band(0.10, 183, 730)],
        }
    }
}

impl Default for Visits {
    fn default() -> Self {
        Self { no_show: 0.08, rebook_after_days: 7, order: Order::ChangesFirst }
    }
}

impl Default for Casting {
    fn default() -> Self {
        Self {
            interval_days: 7,
            window_days: [5, 10],
            slip: 0.01,
            slip_complex: 0.031,
            tenotomy_cast_days: 21,
            tenotomy_cast_window_days: [14, 28],
        }
    }
}

impl Default for Bracing {
    fn default() -> Self {
        Self {
            review_days: vec![7, 42, 84],
            later_review_days: 91,
            until_years: 5.0,
            relapse_from_years: vec![0.25, 2.0, 4.0],
            relapse_per_year: vec![0.204, 0.121, 0.068],
            second_relapse_factor: 0.88,
            relapse_casts: [2, 3],
            relapse_tenotomy: 0.5,
            lost_in_casting: 0.019,
            lost_in_bracing: 0.145,
        }
    }
}

impl Default for CourseOfNew {
    fn default() -> Self {
        Self {
            bilateral: 0.5,
            complex: 0.066,
            casts_mean: 5.6,
            casts_sd: 1.5,
            casts_sd_between: 0.64,
            tenotomy: None,
        }
    }
}

impl Default for Boots {
    fn default() -> Self {
        Self { size_step_mm: 5, outgrown_by_mm: None, bar_step_mm: 20 }
    }
}

impl Boots {
    /// A new boot is 10 mm longer inside than its size, and open boots are changed when no room is left.
    pub const OPEN_BOOTS_MM: f64 = 10.0;

    /// By how much a foot is longer than the size of its boot when that is changed, mm.
    #[must_use]
    pub fn outgrown_by(&self) -> f64 {
        self.outgrown_by_mm.unwrap_or(Self::OPEN_BOOTS_MM)
    }
}

impl Clinic {
    /// Places by weekday, Monday first.
    #[must_use]
    pub const fn by_weekday(&self) -> [u32; 7] {
        let Self { monday, tuesday, wednesday, thursday, friday, saturday, sunday, .. } = *self;
        [monday, tuesday, wednesday, thursday, friday, saturday, sunday]
    }

    /// The places of one weekday.
    #[must_use]
    pub const fn places(&self, on: Weekday) -> u32 {
        match on {
            Weekday::Monday => self.monday,
            Weekday::Tuesday => self.tuesday,
            Weekday::Wednesday => self.wednesday,
            Weekday::Thursday => self.thursday,
            Weekday::Friday => self.friday,
            Weekday::Saturday => self.saturday,
            Weekday::Sunday => self.sunday,
        }
    }

    /// The places of one weekday, mutable.
    pub fn places_mut(&mut self, on: Weekday) -> &mut u32 {
        match on {
            Weekday::Monday => &mut self.monday,
            Weekday::Tuesday => &mut self.tuesday,
            Weekday::Wednesday => &mut self.wednesday,
            Weekday::Thursday => &mut self.thursday,
            Weekday::Friday => &mut self.friday,
            Weekday::Saturday => &mut self.saturday,
            Weekday::Sunday => &mut self.sunday,
        }
    }

    /// Places in a week in which nobody is missing and nothing is closed.
    #[must_use]
    pub fn weekly(&self) -> u32 {
        self.by_weekday().iter().sum()
    }
}

impl Setting {
    /// The clinic or list that has the places of a service.
    #[must_use]
    pub const fn clinic_for(&self, service: Service) -> &Clinic {
        match service {
            Service::Cast => &self.cast_clinic,
            Service::Theatre => &self.theatre,
            Service::Brace => &self.brace_clinic,
        }
    }

    /// The closure in which a day lies.
    #[must_use]
    pub fn closure_on(&self, day: Day) -> Option<&Closure> {
        self.closures.iter().find(|closure| closure.contains(day))
    }

    /// The places of a service on a day; none while the clinic is closed. Absence of staff is not taken off.
    #[must_use]
    pub fn places_on(&self, service: Service, day: Day) -> u32 {
        match self.closure_on(day) {
            Some(_) => 0,
            None => self.clinic_for(service).places(day.weekday()),
        }
    }
}

impl Referrals {
    /// New children a year, where the file says it in one of the two ways.
    #[must_use]
    pub fn expected_per_year(&self) -> Option<f64> {
        self.per_year.or_else(|| Some(self.births_per_year? * self.incidence_per_1000 / 1000.0))
    }
}

impl Setting {
    /// Reads a file.
    ///
    /// # Errors
    /// With the line where it is not TOML or holds a word this program does not know, and with a sentence
    /// where a value cannot be.
    pub fn from_toml(text: &str) -> Result<Self, SettingError> {
        if text.len() > LONGEST {
            return Err(SettingError::TooLong(LONGEST));
        }
        let setting: Self = toml::from_str(text).map_err(|error| {
            let before = error.span().and_then(|span| text.get(..span.start)).unwrap_or_default();
            let reason = error.message().lines().next().unwrap_or_default().trim_end_matches('.').to_owned();
            SettingError::Toml { line: before.matches('\n').count() + 1, reason }
        })?;
        setting.check()?;
        Ok(setting)
    }

    /// The setting as a file.
    ///
    /// # Errors
    /// When it cannot be written as TOML.
    pub fn to_toml(&self) -> Result<String, SettingError> {
        toml::to_string(self).map_err(|error| SettingError::Toml { line: 1, reason: error.to_string() })
    }
}
