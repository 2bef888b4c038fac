//! The protocol: every interval, threshold and end age, each with its source and published range.
//!
//! The built-in values are in `built_in.toml`, each with unit, permitted range, label, published values,
//! source and mark. A clinic's own file gives only what it changes ([`Protocol::with_clinic_file`]). Start
//! reading at [`Protocol`].

mod catalogue;
mod change;
mod clinic;
mod infant_cut_rule;
mod outgrown_rule;
mod planned;
mod readiness;
mod source_mark;
mod value;

pub use change::{ChangedFile, ValueRefused};
pub use infant_cut_rule::InfantCutRule;
pub use outgrown_rule::OutgrownRule;
pub use readiness::ReadinessRule;
pub use source_mark::SourceMark;
pub use value::Span;

use catalogue::{BUILT_IN, Row};
use course::UnknownAge;
use record::{Day, Halves, Nature, ShoulderWidth};
use value::{Take, Value};

/// One value of the protocol as shown on a page.
#[derive(Debug, Clone, PartialEq, Eq)]
pub struct ProtocolSetting {
    /// Its key in the file, `casting.interval_days`.
    pub key: &'static str,
    /// The label.
    pub label: &'static str,
    /// The current value, with its unit.
    pub value: String,
    /// The built-in value, with its unit.
    pub built_in: String,
    /// Whether the clinic changed it.
    pub changed: bool,
    /// The permitted range or names, with the unit.
    pub permitted: String,
    /// The published range, or the published values if they disagree.
    pub published: &'static str,
    /// The source of the built-in value.
    pub source: &'static str,
    /// How well the source is known.
    pub mark: SourceMark,
    /// Its unit; empty if it has none.
    pub unit: &'static str,
    /// The parts in which the current value is entered: one, two ends, or the numbers of a list.
    pub parts: Vec<String>,
    /// The current value as in the clinic's file.
    pub toml: String,
    /// How it is entered in a form.
    pub control: SettingControl,
}

impl ProtocolSetting {
    /// The clinic's own value as in its file; `None` if the built-in value holds.
    #[must_use]
    pub fn own(&self) -> Option<&str> {
        self.changed.then_some(self.toml.as_str())
    }
}

/// How a value is entered in a form, with the ends of the permitted range.
#[derive(Debug, Clone, PartialEq, Eq)]
pub enum SettingControl {
    /// A whole number.
    Whole {
        /// Smallest.
        low: i16,
        /// Largest.
        high: i16,
    },
    /// The two ends of a range.
    TwoEnds {
        /// Smallest.
        low: i16,
        /// Largest.
        high: i16,
    },
    /// Whole numbers, each larger than the last.
    Ascending {
        /// Smallest.
        low: i16,
        /// Largest.
        high: i16,
    },
    /// Points in steps of a half; the ends are in halves.
    Points {
        /// Smallest, in halves.
        low: i16,
        /// Largest, in halves.
        high: i16,
    },
    /// One of these rules: name and words.
    Names(Vec<(String, String)>),
}

/// A protocol file that cannot be used.
#[derive(Debug, Clone, PartialEq, Eq, thiserror::Error)]
#[error("line {line}: {reason}")]
pub struct ProtocolError {
    /// Line in the file, from 1.
    pub line: usize,
    /// The reason, as one sentence.
    pub reason: String,
}

/// An early review in the brace, in days after the fitting.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub struct EarlyReview {
    /// Its name, 6 for the review at six weeks.
    pub week: u16,
    /// First day on which it counts.
    pub from_days: i32,
    /// The planned day.
    pub due_days: i32,
    /// Last day before it is overdue.
    pub to_days: i32,
}

macro_rules! protocol {
    ($($(#[$doc:meta])* $field:ident: $type:ty = $key:literal;)*) => {
        /// The protocol in force.
        #[derive(Debug, Clone, PartialEq)]
        pub struct Protocol {
            $($(#[$doc])* pub $field: $type,)*
            /// Every value, for the page that lists them.
            pub settings: Vec<ProtocolSetting>,
        }

        /// The keys that have a field.
        pub(crate) const KEYS: &[&str] = &[$($key),*];

        impl Protocol {
            /// Makes the protocol from the values of the catalogue, in its order; the error names the problem.
            fn from_values(rows: &[Row], values: &[Value]) -> Result<Self, String> {
                Ok(Self {
                    $($field: take(rows, values, $key)?,)*
                    settings: Vec::new(),
                })
            }
        }
    };
}

fn take<T: Take>(rows: &[Row], values: &[Value], key: &str) -> Result<T, String> {
    let at = rows.iter().position(|row| row.key == key).ok_or_else(|| format!("{key} is missing"))?;
    values.get(at).and_then(T::take).ok_or_else(|| format!("{key} has a value of the wrong kind"))
}

protocol! {
    /// Range of age in days in which treatment starts.
    start_window_days: Span = "start.window_days";
    /// Gestational age in weeks until which a premature baby waits.
    term_weeks: u16 = "start.term_weeks";
    /// A baby born before this many weeks is premature.
    premature_before_weeks: u16 = "start.premature_before_weeks";
    /// Age in months from which a child who begins treatment is an older child starting late.
    late_start_from_months: u16 = "start.late_from_months";
    /// Days within which a child is seen who comes late, or whose day of birth is not known.
    late_within_days: u16 = "start.late_within_days";
    /// Days between casts.
    cast_interval_days: u16 = "casting.interval_days";
    /// Range of days after a cast in which the next is due.
    cast_interval_range_days: Span = "casting.interval_range_days";
    /// A correcting or holding cast that is on for more days than this is on too long.
    cast_max_days: u16 = "casting.max_days";
    /// Days within which the first cast is due if none is recorded.
    first_cast_within_days: u16 = "casting.first_within_days";
    /// Days within which a foot out of its cast is cast again.
    recast_within_days: u16 = "casting.recast_within_days";
    /// Days within which it is cast again if the skin has to heal first.
    recast_after_sore_days: u16 = "casting.recast_after_sore_days";
    /// Days within which a child is seen whose visit was missed with a cast on.
    missed_within_days: u16 = "casting.missed_within_days";
    /// Slow progress: number of casts over which the total has not fallen by more than noise.
    slow_over_casts: u16 = "casting.slow_over_casts";
    /// Slow progress: still in correction after this many correcting casts.
    slow_after_casts: u16 = "casting.slow_after_casts";
    /// Slow progress after a relapse: still in correction after this many casts of the episode.
    relapse_casts: u16 = "casting.relapse_casts";
    /// Slipped casts in an episode from which the signs of a complex foot are looked for.
    complex_hint_slips: u16 = "casting.complex_hint_slips";
    /// Number of casts in a row without a score from which there is a call.
    unscored_casts: u16 = "scoring.unscored_casts";
    /// Findings disagree: lowest hindfoot score that contradicts the dorsiflexion of a corrected foot.
    disagree_hindfoot_from: Halves = "findings.hindfoot_from_points";
    /// Findings disagree: abduction below this contradicts a midfoot score of half a point or less.
    disagree_abduction_below_deg: i16 = "findings.abduction_below_deg";
    /// Difference of two measurements of one angle that may be measuring error.
    measuring_error_deg: i16 = "findings.measuring_error_deg";
    /// Days within which a foot is examined again, or a doubtful entry checked.
    check_within_days: u16 = "findings.check_within_days";
    /// A change of the Pirani total up to this size is noise.
    score_noise: Halves = "scoring.noise_points";
    /// The Pirani total is worse from a rise of this size.
    score_worse: Halves = "scoring.worse_points";
    /// The published rule that defines when a foot is ready for tenotomy.
    readiness_rule: ReadinessRule = "tenotomy.readiness_rule";
    /// A tenotomy is advised when dorsiflexion stays below this.
    tenotomy_dorsiflexion_below_deg: i16 = "tenotomy.dorsiflexion_below_deg";
    /// Abduction wanted before a tenotomy; advice only, never a condition.
    abduction_wanted_deg: i16 = "tenotomy.abduction_wanted_deg";
    /// Days within which a tenotomy is due once the foot is ready.
    tenotomy_within_days: u16 = "tenotomy.within_days";
    /// Days in the cast after a tenotomy.
    tenotomy_cast_days: u16 = "tenotomy.cast_days";
    /// Days after a tenotomy between which its cast comes off.
    tenotomy_cast_range_days: Span = "tenotomy.cast_range_days";
    /// Days in the cast after a tenotomy in an older child.
    tenotomy_older_cast_days: u16 = "tenotomy.older_cast_days";
    /// Age in years from which the longer cast after a tenotomy applies.
    tenotomy_older_from_years: u16 = "tenotomy.older_from_years";
    /// Dorsiflexion expected once the cast after a tenotomy is off.
    dorsiflexion_expected_after_deg: i16 = "tenotomy.dorsiflexion_expected_after_deg";
    /// Weeks from conception below which breathing is monitored after a general anaesthetic.
    anaesthetic_watch_weeks: u16 = "tenotomy.anaesthetic_watch_weeks";
    /// Age in months until which the same applies to a child born premature.
    anaesthetic_watch_premature_months: u16 = "tenotomy.anaesthetic_watch_premature_months";
    /// Whether ceilings of local anaesthetics are cut in young infants.
    infant_cut: InfantCutRule = "anaesthetic.cut_under_6_months";
    /// Hours a day of full-time bracing.
    full_time_hours: u16 = "bracing.full_time_hours";
    /// Weeks of full-time bracing.
    full_time_weeks: u16 = "bracing.full_time_weeks";
    /// Logged share of the prescribed hours below which full time is not ended, per cent.
    nights_from_percent: u16 = "bracing.nights_from_percent";
    /// Hours a day of night-time bracing.
    night_hours: u16 = "bracing.night_hours";
    /// Days within which a foot that came out of its last cast without a brace is braced.
    fit_within_days: u16 = "bracing.fit_within_days";
    /// Days within which bracing is resumed when it stopped early.
    resume_within_days: u16 = "bracing.resume_within_days";
    /// Weeks after the fitting of the early reviews, ascending.
    early_reviews_weeks: Vec<u16> = "bracing.early_reviews_weeks";
    /// Days by which an early review may be sooner.
    early_review_days_before: u16 = "bracing.early_review_days_before";
    /// Days by which an early review may be later.
    early_review_days_after: u16 = "bracing.early_review_days_after";
    /// Months between later reviews until the third birthday.
    review_months_under_3y: u16 = "bracing.review_months_under_3y";
    /// Months between later reviews until the fourth birthday.
    review_months_under_4y: u16 = "bracing.review_months_under_4y";
    /// Months between later reviews from the fourth birthday.
    review_months_older: u16 = "bracing.review_months_older";
    /// Days by which a later review may be later than due.
    review_days_after: u16 = "bracing.review_days_after";
    /// Age in years at which bracing ends.
    bracing_ends_years: u16 = "bracing.ends_years";
    /// Days before the end of bracing from which it is announced.
    end_notice_days: u16 = "bracing.end_notice_days";
    /// Outward setting of the affected foot, degrees.
    brace_affected_abduction_deg: Span = "bracing.affected_abduction_deg";
    /// Outward setting of the unaffected foot, degrees.
    brace_unaffected_abduction_deg: Span = "bracing.unaffected_abduction_deg";
    /// Upward bend of the bar, degrees.
    brace_dorsiflexion_deg: Span = "bracing.dorsiflexion_deg";
    /// Alarm in bracing: dorsiflexion below this.
    dorsiflexion_alarm_below_deg: i16 = "bracing.dorsiflexion_alarm_below_deg";
    /// Dorsiflexion lost since bracing began: from a loss of this size.
    dorsiflexion_loss_deg: i16 = "bracing.dorsiflexion_loss_deg";
    /// Walking-age score at or below which more treatment may be needed.
    walking_refer_at_or_below: u16 = "bracing.walking_refer_at_or_below";
    /// The shoulder width that the bar follows.
    bar_width: ShoulderWidth = "bracing.bar_width";
    /// The bar is too narrow if the shoulders are wider by more than this.
    bar_narrow_mm: u16 = "bracing.bar_narrow_mm";
    /// Range of mm by which the inside of a new boot is longer than the foot.
    toe_room_mm: Span = "bracing.toe_room_mm";
    /// The published rule that defines when a boot is outgrown.
    outgrown_rule: OutgrownRule = "bracing.outgrown_rule";
    /// A closed shoe is outgrown if less room than this is left, mm; see `least_room_mm`.
    toe_room_least_mm: i16 = "bracing.toe_room_least_mm";
    /// Days before the need by which boots and bars are ordered.
    order_lead_days: u16 = "bracing.order_lead_days";
    /// Days of notice before the day by which 15 of 100 such feet have outgrown their boots.
    outgrown_notice_days: u16 = "bracing.outgrown_notice_days";
    /// Wear has fallen: smallest fall that leads to a call, hours a day.
    wear_falling_hours: u16 = "wear.falling_hours";
    /// Wear has fallen: days after the change from which there is a call.
    wear_falling_after_days: u16 = "wear.falling_after_days";
    /// Nights missed in a row: days from which there is a call.
    wear_missed_days: u16 = "wear.missed_days";
    /// Logged hours far below reported: reported as a share of logged from which there is a call, per cent.
    wear_over_report_percent: u16 = "wear.over_report_percent";
    /// Logged hours far below reported: days with both known from which there is a call.
    wear_shared_days: u16 = "wear.shared_days";
    /// Wear is low: logged hours as a share of those prescribed at or below which there is a call, per cent.
    wear_low_percent: u16 = "wear.low_percent";
    /// Wear is low: the same for reported hours, per cent.
    wear_low_reported_percent: u16 = "wear.low_reported_percent";
    /// Wear is low: number of known days over which the mean is taken.
    wear_low_over_days: u16 = "wear.low_over_days";
    /// Wear is low: fewest known days.
    wear_low_least_days: u16 = "wear.low_least_days";
    /// Days after a visit for which there is a call about hours reported at it.
    wear_told_at_visit_days: u16 = "wear.told_at_visit_days";
    /// Days without recorded hours of wear after which there is a call.
    wear_no_record_days: u16 = "wear.no_record_days";
    /// Grade IA of relapse: dorsiflexion at or below this counts as fallen to neutral.
    relapse_flexible_to_deg: i16 = "relapse.flexible_to_deg";
    /// Age in months until which a tendon transfer is usual.
    transfer_until_months: u16 = "relapse.transfer_until_months";
    /// Days within which casting begins again after a relapse.
    relapse_cast_within_days: u16 = "relapse.cast_within_days";
    /// Age in months from which a tendon transfer is considered.
    transfer_from_months: u16 = "relapse.transfer_from_months";
    /// Range of days after other surgery in which it is reviewed.
    surgery_review_days: Span = "surgery.review_days";
    /// Complex foot: largest abduction.
    complex_abduction_max_deg: i16 = "complex_foot.abduction_max_deg";
    /// Complex foot: flexion of the knee in the cast.
    complex_knee_flexion_deg: i16 = "complex_foot.knee_flexion_deg";
    /// Complex foot: range of days after a cast in which the next is due.
    complex_interval_range_days: Span = "complex_foot.interval_range_days";
    /// Complex foot: outward setting of the brace at first, degrees.
    complex_brace_abduction_deg: Span = "complex_foot.brace_abduction_deg";
    /// Stiff feet that are not idiopathic: abduction accepted at the end of casting.
    non_idiopathic_abduction_deg: Span = "non_idiopathic.abduction_deg";
    /// Stiff feet that are not idiopathic: dorsiflexion accepted at the end of casting.
    non_idiopathic_dorsiflexion_deg: Span = "non_idiopathic.dorsiflexion_deg";
    /// Stiff feet that are not idiopathic: alarm in bracing, dorsiflexion below this.
    non_idiopathic_dorsiflexion_alarm_below_deg: i16 = "non_idiopathic.dorsiflexion_alarm_below_deg";
    /// Stiff feet that are not idiopathic: dorsiflexion expected after a tenotomy.
    non_idiopathic_dorsiflexion_expected_after_deg: i16 = "non_idiopathic.dorsiflexion_expected_after_deg";
    /// Days without a visit in casting that count as lost to follow-up.
    lost_casting_days: u16 = "contact.lost_casting_days";
    /// Days without a visit around the tenotomy that count as lost to follow-up.
    lost_tenotomy_days: u16 = "contact.lost_tenotomy_days";
    /// Calendar months without a visit in bracing that count as lost to follow-up.
    lost_bracing_months: u16 = "contact.lost_bracing_months";
    /// On the lost list: days from one attempt to reach the family to the next.
    lost_try_again_days: u16 = "contact.lost_try_again_days";
}

impl Protocol {
    /// The built-in protocol.
    #[must_use]
    pub fn built_in() -> Self {
        let settings = BUILT_IN.settings(&BUILT_IN.values());
        Self { settings, ..BUILT_IN.protocol.clone() }
    }

    /// The built-in protocol with the changes of a clinic's own file.
    ///
    /// # Errors
    /// The line and the reason if the text is not TOML, a key is unknown, or a value is of the wrong kind or
    /// outside its permitted range.
    pub fn with_clinic_file(toml: &str) -> Result<Self, ProtocolError> {
        clinic::apply(toml)
    }

    /// A value as shown on a page, by its key in the file.
    #[must_use]
    pub fn setting(&self, key: &str) -> Option<&ProtocolSetting> {
        self.settings.iter().find(|setting| setting.key == key)
    }

    /// The source of a value: its published source or, if the clinic changed it, that it is the clinic's own.
    /// Does not allocate.
    #[must_use]
    pub fn source(&self, key: &str) -> &'static str {
        match self.setting(key) {
            Some(setting) if setting.changed => "the clinic's own protocol",
            Some(setting) => setting.source,
            None => "common practice, no source",
        }
    }

    /// A short text that is the same for the same values and differs if any value differs, so that a summary
    /// computed under another protocol is recognised. Not for security.
    #[must_use]
    pub fn fingerprint(&self) -> String {
        let texts = self.settings.iter().flat_map(|setting| [setting.key, "=", &setting.value, "\n"]);
        let hash = texts.flat_map(str::bytes).fold(0xcbf2_9ce4_8422_2325_u64, |hash, byte| {
            (hash ^ u64::from(byte)).wrapping_mul(0x0100_0000_01b3) // FNV-1a, 64 bits
        });
        format!("{hash:016x}")
    }

    /// Hours a day prescribed if a fitting does not give them.
    #[must_use]
    pub fn prescribed(&self) -> wear::adherence::Prescribed {
        wear::adherence::Prescribed {
            full_time_hours: self.full_time_hours.into(),
            night_hours: self.night_hours.into(),
        }
    }

    /// The early reviews in order.
    pub fn early_reviews(&self) -> impl Iterator<Item = EarlyReview> + '_ {
        self.early_reviews_weeks.iter().map(|&week| {
            let due_days = i32::from(week) * 7;
            EarlyReview {
                week,
                from_days: due_days - i32::from(self.early_review_days_before),
                due_days,
                to_days: due_days + i32::from(self.early_review_days_after),
            }
        })
    }

    /// Calendar months from a review on a day to the next; the shortest interval if the day of birth is not known,
    /// so that an unknown age never delays a review.
    #[must_use]
    pub fn review_months(&self, last: Day, born: Option<Day>) -> u16 {
        let months = self.review_intervals().months(last, born, UnknownAge::ShortestInterval);
        u16::try_from(months).unwrap_or(u16::MAX)
    }

    /// The source of the interval between later reviews that has this many months.
    #[must_use]
    pub fn review_source(&self, months: u16) -> &'static str {
        let key = match months {
            months if months == self.review_months_under_3y => "bracing.review_months_under_3y",
            months if months == self.review_months_under_4y => "bracing.review_months_under_4y",
            _ => "bracing.review_months_older",
        };
        self.source(key)
    }

    /// The day of the next later review after one on a day.
    #[must_use]
    pub fn next_review(&self, last: Day, born: Option<Day>) -> Day {
        last.plus_months(self.review_months(last, born).into())
    }

    /// Days in the cast after a tenotomy done on a day: longer in an older child; the usual ones if the day of
    /// birth is not known.
    #[must_use]
    pub fn tenotomy_cast(&self, done: Day, born: Option<Day>) -> Span {
        let older = i16::try_from(self.tenotomy_older_cast_days).unwrap_or(i16::MAX);
        if self.is_older_for_tenotomy(done, born) {
            Span { low: older, high: older }
        } else {
            self.tenotomy_cast_range_days
        }
    }

    /// The key of the value that gives these days.
    #[must_use]
    pub fn tenotomy_cast_key(&self, done: Day, born: Option<Day>) -> &'static str {
        if self.is_older_for_tenotomy(done, born) {
            "tenotomy.older_cast_days"
        } else {
            "tenotomy.cast_range_days"
        }
    }

    /// Whether a child is of an age on the day of a tenotomy at which its cast stays on longer; not if the day of
    /// birth is not known.
    #[must_use]
    pub fn is_older_for_tenotomy(&self, done: Day, born: Option<Day>) -> bool {
        born.is_some_and(|born| done >= born.plus_years(self.tenotomy_older_from_years.into()))
    }

    /// Dorsiflexion expected after a tenotomy, and the key of the value: a stiff foot that is not idiopathic has
    /// its own.
    #[must_use]
    pub const fn expected_after_tenotomy(&self, nature: Option<Nature>) -> (i16, &'static str) {
        match nature {
            Some(Nature::Syndromic | Nature::Neurogenic) => (
                self.non_idiopathic_dorsiflexion_expected_after_deg,
                "non_idiopathic.dorsiflexion_expected_after_deg",
            ),
            _ => (self.dorsiflexion_expected_after_deg, "tenotomy.dorsiflexion_expected_after_deg"),
        }
    }

    /// Dorsiflexion below which a foot in the brace raises an alarm, and the key of the value: a stiff foot that
    /// is not idiopathic has its own.
    #[must_use]
    pub const fn dorsiflexion_alarm(&self, nature: Option<Nature>) -> (i16, &'static str) {
        match nature {
            Some(Nature::Syndromic | Nature::Neurogenic) => (
                self.non_idiopathic_dorsiflexion_alarm_below_deg,
                "non_idiopathic.dorsiflexion_alarm_below_deg",
            ),
            _ => (self.dorsiflexion_alarm_below_deg, "bracing.dorsiflexion_alarm_below_deg"),
        }
    }

    /// The last day in time for the next later review after one on a day: its interval, or the end of bracing if
    /// one visit serves for both, plus the days of grace.
    #[must_use]
    pub fn review_in_time_until(&self, last: Day, born: Option<Day>, in_brace: bool) -> Day {
        self.review_due(last, born, in_brace) + i32::from(self.review_days_after)
    }

    /// The day on which the next later review is due after one on a day; the end of bracing if that is within the
    /// days of the review, because one visit then serves for both.
    #[must_use]
    pub fn review_due(&self, last: Day, born: Option<Day>, in_brace: bool) -> Day {
        self.review_intervals().due(last, born, UnknownAge::ShortestInterval, in_brace)
    }

    /// The day on which bracing ends, if the day of birth is known.
    #[must_use]
    pub fn bracing_ends(&self, born: Option<Day>) -> Option<Day> {
        self.review_intervals().bracing_ends(born)
    }
}
