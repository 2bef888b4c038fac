//! The result of a forecast: plain data, every number with its uncertainty.
//!
//! Days are whole days from the same origin as in [`crate::SeenChild`]; if that was made from a
//! course it is [`record::Day::number`], and [`DayWindow::days`] gives the calendar days.

use record::{Day, DayRange, Side};
use serde::Serialize;

/// The forecast for one foot, as of one day.
#[derive(Debug, Clone, PartialEq, Serialize)]
pub struct FootForecast {
    /// Which foot.
    pub side: Side,
    /// The as-of day; nothing later was used.
    pub as_of: i32,
    /// The stage of treatment of the foot.
    pub stage: Stage,
    /// Casts to come for this foot until the brace, including holding casts and the cast after a tenotomy.
    pub casts_to_come: Option<CountForecast>,
    /// Of these, only the casts for correction.
    pub correcting_casts_to_come: Option<CountForecast>,
    /// Chance of a tenotomy before the brace; `None` once it is decided or done.
    pub tenotomy: Option<Chance>,
    /// Day on which casting for correction ends.
    pub ready: Option<DateForecast>,
    /// Day of the tenotomy, if there is one.
    pub tenotomy_day: Option<DateForecast>,
    /// Day on which the brace is fitted, when both feet are ready.
    pub brace: Option<DateForecast>,
    /// First day of bracing that is not full time.
    pub full_time_end: Option<DateForecast>,
    /// Chance of a relapse within 365 days from the as-of day, for a foot in the brace.
    pub relapse_within_year: Option<Chance>,
    /// The scores that will be written at the visits to come, among feet still in casts by then.
    pub path: Vec<PathPoint>,
    /// What the forecast rests on.
    pub basis: Basis,
    /// The ways in which the foot is unlike the published ones; the forecast is wider for each.
    pub unlike: Vec<Unlike>,
    /// The facts of the record that were used, and those that are missing.
    pub inputs: Vec<Input>,
    /// What the reader must know before relying on it, in sentences.
    pub cautions: Vec<String>,
}

/// Places that a child still needs before its brace, for both feet together.
#[derive(Debug, Clone, PartialEq, Serialize)]
pub struct PlacesToCome {
    /// Chances of 0, 1, 2 … more visits at which a correcting cast goes on; they sum to 1.
    pub cast_visits: Vec<f64>,
    /// Chance that a place on a theatre list is still needed.
    pub tenotomy: f64,
}

/// The stage of treatment of a foot, as a forecast distinguishes it.
#[derive(Debug, Clone, Copy, PartialEq, Eq, Hash, Serialize)]
#[serde(rename_all = "kebab-case")]
pub enum Stage {
    /// No visit yet.
    BeforeFirstCast,
    /// Casts for correction under way.
    InCasts,
    /// Casting for correction has ended; the foot waits for tenotomy or brace.
    Ready,
    /// The tenotomy is done; the foot waits for the brace.
    TenotomyCast,
    /// In the brace, full time.
    FullTimeBracing,
    /// In the brace, nights and naps.
    NightTimeBracing,
    /// Relapsed, or in a later episode of treatment, for which hardly anything is published.
    AfterRelapse,
    /// No longer followed here.
    NotFollowed,
}

impl Stage {
    /// The human words.
    #[must_use]
    pub const fn words(self) -> &'static str {
        match self {
            Self::BeforeFirstCast => "before the first cast",
            Self::InCasts => "in casts for correction",
            Self::Ready => "ready, waiting for tenotomy or brace",
            Self::TenotomyCast => "in the cast after tenotomy",
            Self::FullTimeBracing => "in the brace, full time",
            Self::NightTimeBracing => "in the brace, nights and naps",
            Self::AfterRelapse => "after a relapse",
            Self::NotFollowed => "no longer followed here",
        }
    }
}

/// A chance with its 90 % interval, which states how well the chance itself is known.
#[derive(Debug, Clone, Copy, PartialEq, Serialize)]
pub struct Chance {
    /// The chance, 0–1.
    pub value: f64,
    /// Lower end.
    pub low: f64,
    /// Upper end.
    pub high: f64,
}

/// The forecast of a number.
#[derive(Debug, Clone, PartialEq, Serialize)]
pub struct CountForecast {
    /// Chance of each count, from 0; they sum to 1.
    pub chances: Vec<f64>,
    /// Mean.
    pub mean: f64,
    /// Window of about 50 %.
    pub window50: CountWindow,
    /// Window of about 90 %.
    pub window90: CountWindow,
    /// How many similar windows of this clinic held; `None` if that was not measured.
    pub here: Option<HeldHere>,
}

/// A range of counts, both ends included.
#[derive(Debug, Clone, Copy, PartialEq, Serialize)]
pub struct CountWindow {
    /// First.
    pub from: usize,
    /// Last.
    pub to: usize,
    /// Chance that the count falls in it.
    pub chance: f64,
}

/// The forecast of a day.
#[derive(Debug, Clone, PartialEq, Serialize)]
pub struct DateForecast {
    /// The day of the first of [`Self::chances`].
    pub first_day: i32,
    /// Chance of each day; they sum to 1.
    pub chances: Vec<f64>,
    /// Mean day.
    pub mean_day: f64,
    /// First day by which it is at least as likely as not.
    pub median_day: i32,
    /// Window of about 50 %. The rule: [`super::windows`].
    pub window50: DayWindow,
    /// Window of about 90 %.
    pub window90: DayWindow,
    /// How many similar windows of this clinic held; `None` if that was not measured.
    pub here: Option<HeldHere>,
}

/// How many earlier windows of this clinic contained the outcome: windows for the same target, at the same stage,
/// of feet that have finished since, each made from what was known on its day.
#[derive(Debug, Clone, Copy, PartialEq, Eq, Serialize)]
pub struct HeldHere {
    /// Windows of each size.
    pub windows: usize,
    /// Of those of about 50 %, how many held.
    pub held50: usize,
    /// Of those of about 90 %, how many held.
    pub held90: usize,
}

/// A range of days, both ends included.
#[derive(Debug, Clone, Copy, PartialEq, Serialize)]
pub struct DayWindow {
    /// First day.
    pub from_day: i32,
    /// Last day.
    pub to_day: i32,
    /// Chance that the day falls in it. Because visits are a week apart it is seldom exactly 50 or 90 %.
    pub chance: f64,
}

impl DayWindow {
    /// As calendar days, for a forecast made from a course.
    #[must_use]
    pub fn days(&self) -> DayRange {
        DayRange::new(Day::from_number(self.from_day), Day::from_number(self.to_day))
    }
}

/// One visit to come, for the dashed fan of the course picture.
#[derive(Debug, Clone, Copy, PartialEq, Serialize)]
pub struct PathPoint {
    /// 1 for the next visit.
    pub cast_visit: usize,
    /// Its median day.
    pub day: i32,
    /// Chance that the foot is still in casts for correction at this visit.
    pub reached: f64,
    /// Midfoot score as it will be written.
    pub midfoot: Band,
    /// Hindfoot score as it will be written.
    pub hindfoot: Band,
    /// Total as it will be written.
    pub total: Band,
}

/// A score to come, in points.
#[derive(Debug, Clone, Copy, PartialEq, Serialize)]
pub struct Band {
    /// Mean.
    pub mean: f64,
    /// Start of the range of about 50 %.
    pub from50: f64,
    /// End of the range of about 50 %.
    pub to50: f64,
    /// Start of the range of about 90 %.
    pub from90: f64,
    /// End of the range of about 90 %.
    pub to90: f64,
}

/// What a forecast rests on.
#[derive(Debug, Clone, PartialEq, Serialize)]
pub struct Basis {
    /// Feet of this clinic that finished their first casting before the day, from which it learned.
    pub finished_feet: usize,
    /// Of these, feet with a known decision on tenotomy.
    pub tenotomy_decisions: usize,
    /// Children of this clinic followed in the brace.
    pub braced_children: usize,
    /// Share of the forecast of visits to come that rests on the clinic's own counts and not on the signs of this
    /// foot, 0–1.
    pub own_counts_share: f64,
    /// In a sentence.
    pub words: String,
    /// The basis and source of each value of the prior.
    pub sources: Vec<String>,
}

/// A way in which a foot is unlike those of the published cohorts.
#[derive(Debug, Clone, PartialEq, Serialize)]
pub struct Unlike {
    /// Which way.
    pub why: UnlikeWhy,
    /// A sentence, with its effect on the forecast.
    pub text: String,
}

/// The ways in which a foot can be unlike the published ones.
#[derive(Debug, Clone, Copy, PartialEq, Eq, Hash, Serialize)]
#[serde(rename_all = "kebab-case")]
pub enum UnlikeWhy {
    /// Complex (atypical).
    Complex,
    /// Syndromic or neurogenic.
    OtherCause,
    /// Older at the first cast than the published cohorts.
    Older,
    /// Treated elsewhere before.
    TreatedBefore,
    /// Born before 37 weeks.
    Premature,
    /// Day of birth unknown, so age could not be used.
    AgeUnknown,
}

/// A fact used in a forecast, or one that is missing.
#[derive(Debug, Clone, PartialEq, Serialize)]
pub struct Input {
    /// What it is.
    pub what: &'static str,
    /// What was found, in words; `None` if it is missing.
    pub found: Option<String>,
    /// Its day, if it has one; the entries of that day contain it.
    pub day: Option<i32>,
}
