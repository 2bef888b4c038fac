//! The clinic's own children as input of the simulated caseload.
//!
//! The state of a child is that of its record. Its future casts and tenotomy are those of its own forecast, made
//! from its signs and from what was learned from the clinic's finished feet. A missing day of birth stays
//! missing.

use crate::ClinicRecords;
use archive::ArchiveError;
use caseload::{CurrentChild, CurrentPhase, PathPool, ReadyClinic, Setting, SettingError, learned};
use course::{Course, FootCourse, Phase, Standing};
use forecast::{
    SeenChild,
    foot::{Forecaster, PlacesToCome},
    learning::ClinicPosterior,
};
use guidance::{FollowedUntil, Outlook, Protocol};
use record::Day;
use serde::Serialize;

/// The rules by which children are counted.
pub struct CountedBy<'a> {
    /// The setting of the simulated clinic.
    pub setting: &'a Setting,
    /// The clinic's protocol, which defines when a child counts as lost.
    pub protocol: &'a Protocol,
    /// The forecaster of its feet.
    pub forecaster: &'a Forecaster,
}

/// The clinic's children as input of the simulation.
#[derive(Debug, Clone, Default)]
pub struct OwnCaseload {
    /// The children in treatment.
    pub children: Vec<CurrentChild>,
    /// The numbers of children counted and left out.
    pub counts: CaseloadCounts,
    /// By how much a foot must be longer than the size of its boot for the protocol to call it outgrown, mm; `None`
    /// before any child is added.
    pub outgrown_by_mm: Option<i16>,
}

/// The numbers of children counted and left out.
#[derive(Debug, Clone, Copy, Default, PartialEq, Eq, Serialize)]
pub struct CaseloadCounts {
    /// Children in the simulation.
    pub taken: usize,
    /// Left out: followed after bracing or other surgery, which needs none of these places.
    pub after_treatment: usize,
    /// Left out: not seen for so long that they count as dropped out, without an appointment.
    pub not_seen: usize,
    /// Left out: treatment ended, transferred, lost, died, or not a clubfoot.
    pub ended: usize,
    /// Children first referred or registered within the year before the as-of day.
    pub referred_last_year: usize,
}

impl OwnCaseload {
    /// Adds one child.
    pub fn add(&mut self, outlook: &Outlook, by: &CountedBy<'_>) {
        let course = &outlook.course;
        // A boot of a size is longer inside than a foot of that length, by the least room.
        self.outgrown_by_mm = Some(by.protocol.toe_room_mm.low - by.protocol.least_room_mm());
        let within = |day: Day| (0..365).contains(&(course.as_of - day));
        self.counts.referred_last_year += usize::from(course.referred_on.is_some_and(within));
        if course.standing != Standing::Active {
            self.counts.ended += 1;
            return;
        }
        let view = View::of(outlook, by);
        let Some(foot) = view.leading_foot() else { return self.counts.count_without_foot(course) };
        if view.dropped_out() {
            self.counts.not_seen += 1;
            return;
        }
        self.counts.taken += 1;
        self.children.push(view.child(foot));
    }
}

impl CaseloadCounts {
    /// Counts a child without a foot in any phase of the simulation.
    fn count_without_foot(&mut self, course: &Course) {
        let after = |foot: &FootCourse| matches!(foot.phase, Phase::AfterBracing | Phase::AfterSurgery);
        if course.feet.iter().any(after) {
            self.after_treatment += 1;
        } else {
            self.ended += 1;
        }
    }
}

struct View<'a> {
    outlook: &'a Outlook,
    course: &'a Course,
    by: &'a CountedBy<'a>,
    /// The forecast of what the first casting still needs.
    places: Option<PlacesToCome>,
}

/// The order of the phases. The phase of a child is that of its least advanced foot.
const fn place(phase: Phase) -> Option<usize> {
    match phase {
        Phase::Referred => Some(0),
        Phase::InCorrection => Some(1),
        Phase::WaitingForTenotomy => Some(2),
        Phase::TenotomyCast => Some(3),
        Phase::FullTimeBracing | Phase::NightTimeBracing => Some(4),
        _ => None,
    }
}

impl<'a> View<'a> {
    fn of(outlook: &'a Outlook, by: &'a CountedBy<'a>) -> Self {
        let course = &outlook.course;
        let casting = course.feet.iter().any(|foot| foot.episode <= 1 && place(foot.phase) == Some(1));
        let places = casting.then(|| SeenChild::of(course).child);
        let places = places.and_then(|seen| by.forecaster.places(&seen, course.as_of.number()));
        Self { outlook, course, by, places }
    }

    fn leading_foot(&self) -> Option<&FootCourse> {
        let placed = self.course.feet.iter().filter_map(|foot| Some((place(foot.phase)?, foot)));
        placed.min_by_key(|(place, _)| *place).map(|(_, foot)| foot)
    }

    fn booked(&self) -> Option<Day> {
        self.course.next_appointment(self.course.as_of).map(|appointment| appointment.for_day)
    }

    /// Whether the child is lost to follow-up, as in the list of children to call, and has no appointment: a
    /// family with an appointment will need a place.
    fn dropped_out(&self) -> bool {
        let followed = FollowedUntil::of(self.course, self.by.protocol);
        followed.is_some_and(|until| self.course.as_of > until.last()) && self.booked().is_none()
    }

    fn child(&self, foot: &FootCourse) -> CurrentChild {
        let measured = self.course.feet.iter().flat_map(|foot| &foot.scores);
        let lengths = measured.filter_map(|scored| Some((scored.on, scored.foot_length_mm?)));
        CurrentChild {
            born: self.course.about.born.filter(|&born| born <= self.course.as_of),
            phase: self.phase(foot),
            complex: self.course.feet.iter().any(|foot| foot.complex == Some(true)),
            episode: foot.episode.max(1),
            foot_length_mm: lengths.max().map(|(on, mm)| (f64::from(mm), on)),
        }
    }

    fn phase(&self, foot: &FootCourse) -> CurrentPhase {
        let (as_of, booked) = (self.course.as_of, self.booked());
        let since = foot.phase_since.or(self.course.referred_on).unwrap_or(as_of);
        let cast_on = self.cast_on().unwrap_or(since);
        match foot.phase {
            Phase::InCorrection if self.cast_on().is_some() => CurrentPhase::InCasts {
                cast_on,
                booked,
                remaining: self.remaining(foot),
                tenotomy: self.tenotomy(foot),
            },
            Phase::InCorrection => CurrentPhase::WaitingForFirstCast {
                since: self.course.last_seen().unwrap_or(since),
                booked,
                remaining: self.remaining(foot),
                tenotomy: self.tenotomy(foot),
            },
            Phase::WaitingForTenotomy => {
                let planned = foot.tenotomy_plan.and_then(|plan| plan.planned_on).filter(|&day| day >= as_of);
                CurrentPhase::WaitingForTenotomy { since, cast_on, booked: planned.or(booked) }
            }
            Phase::TenotomyCast => CurrentPhase::WaitingForBrace { cast_on, after_tenotomy: true, booked },
            Phase::FullTimeBracing | Phase::NightTimeBracing => CurrentPhase::InBrace {
                since: self.course.brace_now().map_or(since, |spell| spell.bracing_since),
                booked,
                last_seen: self.course.last_seen(),
            },
            _ => CurrentPhase::WaitingForFirstCast {
                since: self.course.referred_on.unwrap_or(since),
                booked,
                remaining: Vec::new(),
                tenotomy: 0.0,
            },
        }
    }

    /// The day on which the oldest present cast was applied.
    fn cast_on(&self) -> Option<Day> {
        self.course.feet.iter().filter_map(|foot| foot.cast_on()).map(|cast| cast.on).min()
    }

    /// Whether every foot in correction is ready for tenotomy or corrected.
    fn no_more_casts(&self) -> bool {
        let in_correction = self.course.feet.iter().filter(|foot| foot.phase == Phase::InCorrection);
        let done = |foot: &FootCourse| {
            let status = self.outlook.feet.iter().find(|status| status.side == foot.side);
            status.is_some_and(|status| {
                status.ready_for_tenotomy == Some(true) || status.corrected == Some(true)
            })
        };
        in_correction.into_iter().all(done)
    }

    fn remaining(&self, foot: &FootCourse) -> Vec<f64> {
        if self.no_more_casts() {
            return vec![1.0];
        }
        if foot.episode <= 1 {
            // A foot in its first casting always has a forecast; an empty list means none.
            return self.places.as_ref().map(|places| places.cast_visits.clone()).unwrap_or_default();
        }
        let so_far = self.casts_so_far();
        let [fewest, most] = self.by.setting.bracing.relapse_casts;
        let most_left = most.saturating_sub(so_far.into());
        if most_left == 0 {
            return vec![0.0, 1.0];
        }
        let fewest_left = fewest.saturating_sub(so_far.into());
        (0..=most_left).map(|more| if more < fewest_left { 0.0 } else { 1.0 }).collect()
    }

    fn casts_so_far(&self) -> u16 {
        let of = |foot: &FootCourse| {
            foot.episodes
                .iter()
                .find(|episode| episode.number == foot.episode)
                .map(|one| one.correcting_casts)
        };
        self.course.feet.iter().filter_map(of).max().unwrap_or(0)
    }

    fn tenotomy(&self, foot: &FootCourse) -> f64 {
        let says = |wanted: fn(&guidance::FootStatus) -> Option<bool>| {
            self.outlook.feet.iter().any(|status| wanted(status) == Some(true))
        };
        if foot.tenotomies_now().next().is_some() {
            0.0
        } else if says(|status| status.ready_for_tenotomy) {
            1.0
        } else if says(|status| status.corrected) {
            0.0
        } else if foot.episode > 1 {
            self.by.setting.bracing.relapse_tenotomy
        } else {
            self.places.as_ref().map_or(0.0, |places| places.tenotomy)
        }
    }
}

/// The paths of new children under a setting, learned from the clinic's finished feet. The same setting and
/// clinic always give the same paths.
fn pool(setting: &Setting, clinic: &ClinicPosterior) -> PathPool {
    learned::pool(setting, clinic, 1)
}

/// The setting, completed where the file leaves it open: the number of new children from the clinic's own last
/// year, and when boots are outgrown from its protocol.
#[must_use]
pub fn filled_setting(setting: &Setting, own: &OwnCaseload) -> Setting {
    let mut setting = setting.clone();
    let counts = own.counts;
    if setting.referrals.expected_per_year().is_none() && counts.referred_last_year > 0 {
        setting.referrals.per_year = Some(counts.referred_last_year as f64);
    }
    setting.boots.outgrown_by_mm = setting.boots.outgrown_by_mm.or(own.outgrown_by_mm.map(f64::from));
    setting
}

/// The clinic, ready for the simulation.
///
/// # Errors
/// When the setting cannot be used.
pub fn ready_clinic(
    setting: &Setting,
    own: &OwnCaseload,
    clinic: &ClinicPosterior,
    start: Day,
) -> Result<ReadyClinic, SettingError> {
    ReadyClinic::new(&filled_setting(setting, own), pool(setting, clinic), &own.children, start)
}

impl ClinicRecords {
    /// The clinic's own children as known on a day, for a setting and a forecaster.
    ///
    /// # Errors
    /// When the records cannot be read.
    pub fn own_caseload(
        &self,
        setting: &Setting,
        forecaster: &Forecaster,
        as_of: Day,
    ) -> Result<OwnCaseload, ArchiveError> {
        let by = CountedBy { setting, protocol: &self.protocol(), forecaster };
        let mut own = OwnCaseload::default();
        self.archive().for_each_child(&mut |child, entries| {
            own.add(&self.outlook(child, &entries, as_of), &by);
        })?;
        Ok(own)
    }
}
