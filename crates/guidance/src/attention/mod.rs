//! Attention: one rule per file. Each rule finds the day from which it applies if nothing more is recorded.
//!
//! [`find_all`] runs every rule of [`RULES`]. A rule never knows today's date: it may find a day in the
//! future, and a worklist shows the calls whose day has come. For a child who was discharged or transferred or
//! who died no rule applies; for a child declared lost to follow-up only the rules that say so apply. Open
//! points of the record are questions of the course, not attention.
//!
//! A call ends in one of three ways. It is answered: the rule itself finds the answer. Treatment ends:
//! [`ending`] gives calls about brace and boots their last day. Or the family is lost: `lost` moves the
//! calls of the child to the lost list. A call that the clinic put off ([`put_off`]) is hidden until the named
//! day. [`worst`] finds which call leads the child's row in the list on each day.

use crate::{
    CallText, FootStatus, Protocol, Reason, Urgency,
    brace::{Outgrowing, SettingDoubt},
};
use course::{Course, Standing};
use record::{Day, Side};
use wear::adherence::Adherence;

mod answered;
pub mod ending;
mod ground;
mod lost;
mod lost_routine;
pub mod put_off;
mod rule;
pub mod worst;

pub use ground::Ground;
pub use rule::{AttentionRule, Finder};

macro_rules! rules {
    ($($file:ident),* $(,)?) => {
        $(pub(crate) mod $file;)*
        /// Every rule, in the order in which a person would check them.
        pub const RULES: &[AttentionRule] = &[$($file::RULE),*];
    };
}

rules! {
    red_flag, no_cast_after_tenotomy, record_in_doubt, findings_disagree, short_after_tenotomy,
    cast_slipped, cast_on_too_long, foot_not_held, missed_appointment, no_next_appointment,
    attended_unrecorded, first_visit_overdue, contact_lost, foot_untreated, casts_unscored,
    ready_not_booked, tenotomy_day_passed, tenotomy_waits, slow_progress, possible_complex_foot,
    early_brace_review_overdue, night_time_due, review_overdue, brace_problem, advice_not_helped,
    boots_too_small, boots_outgrown, order_boots, bar_too_narrow, brace_settings, dorsiflexion_lost,
    relapse_signs, score_worse, walking_score_low, one_foot_behind, full_time_ended_early,
    bracing_stopped_early, end_of_bracing, birth_date_missing,
    wear_low, wear_falling, nights_missed, logged_below_reported, no_wear_record,
}

/// Where a call is shown, apart from the child's own page.
#[derive(Debug, Clone, Copy, PartialEq, Eq, Hash, PartialOrd, Ord)]
pub enum CallPlace {
    /// In the list of children who need attention.
    List,
    /// Nowhere else: it is meant for the child's next visit.
    Visit,
    /// With the stock: boots and bars to be ordered.
    Stock,
    /// In the list, among the calls that were put off until a day.
    PutOff,
    /// On the lost list.
    Lost,
}

impl CallPlace {
    /// A key for files.
    #[must_use]
    pub const fn key(self) -> &'static str {
        match self {
            Self::List => "list",
            Self::Visit => "visit",
            Self::Stock => "stock",
            Self::PutOff => "put-off",
            Self::Lost => "lost",
        }
    }

    /// Where it is shown, in words; `None` for the list.
    #[must_use]
    pub const fn words(self) -> Option<&'static str> {
        match self {
            Self::List => None,
            Self::Visit => Some("for the next visit"),
            Self::Stock => Some("for the stock"),
            Self::PutOff => Some("put off"),
            Self::Lost => Some("on the lost list"),
        }
    }
}

/// A call for attention.
#[derive(Debug, Clone, PartialEq, Eq)]
pub struct Attention {
    /// The rule's key, `cast-on-too-long`.
    pub rule: &'static str,
    /// How soon.
    pub urgency: Urgency,
    /// Which foot, if it is about one.
    pub side: Option<Side>,
    /// The first day on which it applies, if nothing more is recorded.
    pub from: Day,
    /// The first day on which it no longer applies even if nothing more is recorded; `None` if it waits for an
    /// answer.
    pub until: Option<Day>,
    /// Where it is shown.
    pub place: CallPlace,
    /// What it says.
    pub text: CallText,
    /// Why.
    pub because: Vec<Reason>,
}

impl Attention {
    /// Whether it applies on a day.
    #[must_use]
    pub fn applies(&self, day: Day) -> bool {
        self.from <= day && self.until.is_none_or(|until| day < until)
    }

    /// Whether it is in the list of children who need attention on a day.
    #[must_use]
    pub fn is_listed(&self, day: Day) -> bool {
        self.place == CallPlace::List && self.applies(day)
    }

    /// Whether it applies on a day or later.
    #[must_use]
    pub fn lasts_to(&self, day: Day) -> bool {
        self.until.is_none_or(|until| until > day)
    }

    /// The same call, ended before a day unless it ends sooner; `None` if no day is left.
    fn before(self, day: Day) -> Option<Self> {
        let until = Some(self.until.map_or(day, |until| until.min(day)));
        (self.from < day).then_some(Self { until, ..self })
    }

    /// The same call from a day on, unless it begins later; `None` if no day is left.
    fn after(self, day: Day) -> Option<Self> {
        let from = self.from.max(day);
        self.lasts_to(from).then_some(Self { from, ..self })
    }
}

/// The rules whose call a talk with the family may settle: a new day, or why the child does not come. Common
/// practice, no source.
pub fn by_telephone() -> impl Iterator<Item = &'static AttentionRule> {
    let keys = [
        missed_appointment::RULE.key,
        no_next_appointment::RULE.key,
        first_visit_overdue::RULE.key,
        cast_on_too_long::RULE.key,
        early_brace_review_overdue::RULE.key,
        review_overdue::RULE.key,
        tenotomy_day_passed::RULE.key,
    ];
    RULES.iter().filter(move |rule| keys.contains(&rule.key))
}

/// Hours of wear compared with those prescribed, of a child now in the brace with any hours recorded.
fn adherence(course: &Course, protocol: &Protocol) -> Option<Adherence> {
    course.brace_now().filter(|_| !course.wear.is_empty())?;
    Some(Adherence::of(course, protocol.prescribed()))
}

/// Every call for attention, those that will apply later included; soonest first, then by urgency.
///
/// `feet` are the statuses of `course.feet`, in any order; a foot without one counts as not known.
/// `settings` are the doubts about the settings of the brace worn now.
#[must_use]
pub fn find_all(
    course: &Course,
    feet: &[FootStatus],
    settings: &[SettingDoubt],
    protocol: &Protocol,
) -> Vec<Attention> {
    let mut found = Vec::new();
    // Calculated once for all rules, and only if a rule will need it.
    let active = matches!(course.standing, Standing::Active);
    let outgrowing = active.then(|| Outgrowing::of(course, protocol)).flatten();
    let adherence = active.then(|| adherence(course, protocol)).flatten();
    let (outgrowing, adherence) = (outgrowing.as_ref(), adherence.as_ref());
    let ground = Ground { course, feet, settings, protocol, outgrowing, adherence };
    for rule in RULES {
        if rule.applies_to(course.standing) {
            rule.add_calls(&ground, &mut found);
        }
    }
    let found = ending::at_end_of_treatment(&ground, found);
    let found = put_off::until_their_day(&ground, found);
    let mut found = lost::to_the_lost_list(&ground, found);
    found.sort_by_key(|call: &Attention| (call.from, call.urgency));
    found
}
