//! Checks a recorded brace against the limits within which the fit proposes one.
//!
//! [`settings_check`] checks the brace that the child wears, [`settings_doubts`] one that is about to be saved.
//! Each doubt becomes an open question ([`SettingDoubt::question`]) and a call of the rule `brace-settings`.
//! Missing values raise no doubt: without an angle, a cast's abduction or a width of the shoulders nothing is
//! compared.
//!
//! - **Further than the foot reached.** An angle counts as beyond what the foot reached only if the difference
//!   is more than `findings.measuring_error_deg`. The outward angle is checked only if the abduction of the last
//!   cast is recorded. A later measurement that reaches the setting removes the doubt.
//! - **60–70° is for a clubfoot.** On a foot not on record as a clubfoot it raises a doubt if the bar can be set
//!   for each side: as recorded, or as two different angles show. If neither is known it is only a question. On
//!   a complex foot it always raises a doubt.
//! - **Exchanged.** The boots of a clubfoot and of the other foot are each nearer to the setting that the
//!   protocol wants for the other.
//! - **One boot.** One bar holds both feet.
//! - **Confirmed.** A note that follows the entry that set the brace answers every doubt about it.
//! - **Bar.** Too narrow by more than `bracing.bar_narrow_mm`, too wide by more than twice that (assumed).

use super::fit::{COMMON, FootKind, kind, outward_wanted};
use super::reached::{self, AngleReached};
use crate::call_text::SettingText;
use crate::{Protocol, Reason};
use course::{BraceSpell, Course, FootCourse, Question, QuestionKind};
use record::{Boot, Brace, BraceChange, Day, EntryId, Side};

/// The kind of doubt about a brace.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub enum SettingDoubtKind {
    /// Turned out further than the foot reached.
    OutwardBeyondReached,
    /// Bent up further than the foot reached.
    BendBeyondReached,
    /// A foot that is not on record as a clubfoot is turned out like a clubfoot.
    WideOnUnaffected,
    /// The same, if it is not recorded whether the bar can be set for each side.
    WideOnUnaffectedBarUnknown,
    /// A complex foot is turned out like any other clubfoot.
    WideOnComplex,
    /// The settings of the clubfoot and of the other foot look exchanged.
    Exchanged,
    /// A boot is recorded for one foot only.
    OneBoot,
    /// The bar is narrower than the shoulders.
    BarNarrow,
    /// The bar is wider than the shoulders.
    BarWide,
}

/// A doubt about the settings of a brace.
#[derive(Debug, Clone, PartialEq, Eq)]
pub struct SettingDoubt {
    /// The kind of doubt.
    pub what: SettingDoubtKind,
    /// Which foot, if it is about one.
    pub side: Option<Side>,
    /// The first day of the doubt.
    pub on: Day,
    /// The setting, and the value it is compared with.
    pub text: SettingText,
    /// The reason for the doubt.
    pub because: Reason,
    /// The entries concerned.
    pub entries: Vec<EntryId>,
}

impl SettingDoubt {
    /// As an open question of the course.
    #[must_use]
    pub fn question(&self) -> Question {
        Question {
            kind: QuestionKind::BraceSettings,
            side: self.side,
            on: self.on,
            text: format!("{} Check the brace; correct the entry or the setting.", self.text.words()),
            entries: self.entries.clone(),
        }
    }
}

/// Shoulders measured earlier than this before the bar was set are not compared with a wide bar, because the
/// child has grown since (judgement, no source).
const WIDE_FROM_DAYS_BEFORE: i32 = 92;
/// Shoulders measured up to this long after the bar was set still count against a narrow one; later it is
/// growth, which the rule on narrow bars handles (judgement, no source).
const NARROW_UP_TO_DAYS_AFTER: i32 = 28;
/// The limit for too wide is this many times the limit for too narrow: assumed, no source.
const WIDE_TIMES_NARROW: i32 = 2;

/// The doubts about the brace that the child wears, in the order of the feet; empty without a brace.
#[must_use]
pub fn settings_check(course: &Course, protocol: &Protocol) -> Vec<SettingDoubt> {
    let Some(spell) = course.brace_now() else { return Vec::new() };
    let (on, entry) = set_by(course, spell);
    if course.confirmed.contains(&entry) {
        return Vec::new();
    }
    check(course, protocol, SetBrace { brace: &spell.brace, on, entry: Some(entry) })
}

/// The doubts about a brace that is about to be saved for the day of the course.
///
/// `course` may already include the other entries of the same visit, such as measurements. If the change names
/// only a part of the brace, pass the resulting brace: [`BraceSpell::brace_after`].
#[must_use]
pub fn settings_doubts(course: &Course, protocol: &Protocol, brace: &Brace) -> Vec<Reason> {
    let set = SetBrace { brace, on: course.as_of, entry: None };
    check(course, protocol, set).into_iter().map(|doubt| doubt.because).collect()
}

/// A brace, and when it was set.
#[derive(Debug, Clone, Copy)]
struct SetBrace<'a> {
    brace: &'a Brace,
    on: Day,
    entry: Option<EntryId>,
}

/// The day and the entry that last set the brace of a spell. Spells that begin with a change of regime keep
/// the brace; a change of hours or a repair sets nothing.
fn set_by(course: &Course, spell: &BraceSpell) -> (Day, EntryId) {
    let run =
        course.braces.iter().rev().take_while(|earlier| {
            earlier.bracing_since == spell.bracing_since && earlier.brace == spell.brace
        });
    let first = run.last().unwrap_or(spell);
    let sets = |change: BraceChange| {
        matches!(change, BraceChange::Size | BraceChange::Settings | BraceChange::Resumed)
    };
    let changed = first.changes.iter().rev().find(|(_, change, _)| sets(*change));
    changed.map_or((first.from, first.entry), |&(on, _, entry)| (on, entry))
}

fn check(course: &Course, protocol: &Protocol, set: SetBrace<'_>) -> Vec<SettingDoubt> {
    let mut doubts = Vec::new();
    let exchanged = exchanged(course, protocol, set);
    for boot in &set.brace.boots {
        match course.foot(boot.side) {
            Some(foot) => {
                doubts.extend(outward_beyond(foot, boot, protocol, set));
                doubts.extend(bend_beyond(foot, boot, protocol, set));
                doubts.extend(wide_on_complex(foot, boot, protocol, set));
            }
            // The boots of an exchanged pair raise one doubt only.
            None if exchanged.is_none() => doubts.extend(wide_on_unaffected(course, boot, protocol, set)),
            None => {}
        }
    }
    doubts.extend(exchanged);
    doubts.extend(one_boot(set));
    doubts.extend(bar_narrow(course, protocol, set));
    doubts.extend(bar_wide(course, protocol, set));
    doubts
}

impl SetBrace<'_> {
    /// Makes a doubt; its text is also the fact of its reason.
    fn doubt(
        self,
        what: SettingDoubtKind,
        side: Option<Side>,
        text: SettingText,
        rule: impl Into<std::borrow::Cow<'static, str>>,
        source: &'static str,
    ) -> SettingDoubt {
        let because = Reason::new(text.words(), self.entry, rule, source);
        SettingDoubt { what, side, on: self.on, text, because, entries: self.entry.into_iter().collect() }
    }
}

impl SettingDoubt {
    /// Adds a measurement as an entry concerned; the doubt begins on its day if that is later.
    fn against(mut self, on: Day, entry: EntryId) -> Self {
        self.on = self.on.max(on);
        self.entries.insert(0, entry);
        self
    }
}

const NEVER_FURTHER: &str = "The bar is never set further out or up than the foot reaches.";

/// Whether a setting exceeds the angle reached by more than the measuring error.
fn beyond(deg: i16, reached: i16, protocol: &Protocol) -> bool {
    i32::from(deg) - i32::from(reached) > i32::from(protocol.measuring_error_deg)
}

fn further_rule(protocol: &Protocol) -> String {
    format!("{NEVER_FURTHER} Up to {}° of difference may be measuring error.", protocol.measuring_error_deg)
}

fn outward_beyond(
    foot: &FootCourse,
    boot: &Boot,
    protocol: &Protocol,
    set: SetBrace<'_>,
) -> Option<SettingDoubt> {
    let deg = boot.abduction_deg?;
    let last_cast = foot.casts.iter().rev().find(|cast| cast.on <= set.on)?;
    last_cast.abduction_deg?;
    let reached = reached::abduction(foot, set.on)?;
    let since = foot.scores.iter().filter(|seen| seen.on > set.on).filter_map(|seen| seen.abduction_deg);
    if !beyond(deg, since.fold(reached.deg, i16::max), protocol) {
        return None;
    }
    let text = SettingText::OutwardBeyondReached { side: boot.side, deg, reached: reached.said() };
    Some(beyond_reached(SettingDoubtKind::OutwardBeyondReached, boot.side, text, reached, protocol, set))
}

fn bend_beyond(
    foot: &FootCourse,
    boot: &Boot,
    protocol: &Protocol,
    set: SetBrace<'_>,
) -> Option<SettingDoubt> {
    let deg = boot.dorsiflexion_deg?;
    let reached = reached::dorsiflexion(foot, set.on)?;
    let since = foot.scores.iter().filter(|seen| seen.on > set.on).filter_map(|seen| seen.dorsiflexion_deg);
    if !beyond(deg, since.fold(reached.deg, i16::max), protocol) {
        return None;
    }
    let text = SettingText::BendBeyondReached { side: boot.side, deg, reached: reached.said() };
    Some(beyond_reached(SettingDoubtKind::BendBeyondReached, boot.side, text, reached, protocol, set))
}

fn beyond_reached(
    what: SettingDoubtKind,
    side: Side,
    text: SettingText,
    reached: AngleReached,
    protocol: &Protocol,
    set: SetBrace<'_>,
) -> SettingDoubt {
    let source = protocol.source("findings.measuring_error_deg");
    set.doubt(what, Some(side), text, further_rule(protocol), source).against(reached.on, reached.entry)
}

/// Whether an angle is that of a clubfoot: 60–70° in the built-in protocol.
fn as_a_clubfoot(deg: i16, highest_wanted: i16, protocol: &Protocol) -> bool {
    deg >= protocol.brace_affected_abduction_deg.low && deg > highest_wanted
}

fn wide_on_complex(
    foot: &FootCourse,
    boot: &Boot,
    protocol: &Protocol,
    set: SetBrace<'_>,
) -> Option<SettingDoubt> {
    let deg = boot.abduction_deg.filter(|_| kind(Some(foot)) == FootKind::Complex)?;
    let (wanted, key) = outward_wanted(FootKind::Complex, protocol);
    as_a_clubfoot(deg, wanted.high, protocol).then(|| {
        let side = boot.side;
        let text = SettingText::WideOnComplex { side, deg };
        let rule = format!("A complex foot is turned out {wanted}° at first, further only as it allows.");
        set.doubt(SettingDoubtKind::WideOnComplex, Some(side), text, rule, protocol.source(key))
    })
}

/// Whether each boot can be set to its own angle: as recorded, or as two different angles show.
fn set_per_side(brace: &Brace) -> Option<bool> {
    let mut angles = brace.boots.iter().filter_map(|boot| boot.abduction_deg);
    let differ = matches!((angles.next(), angles.next()), (Some(one), Some(other)) if one != other);
    if differ { Some(true) } else { brace.bar_per_side }
}

fn wide_on_unaffected(
    course: &Course,
    boot: &Boot,
    protocol: &Protocol,
    set: SetBrace<'_>,
) -> Option<SettingDoubt> {
    // If no foot is on record as a clubfoot, no foot is known to be unaffected.
    let deg = boot.abduction_deg.filter(|_| !course.feet.is_empty())?;
    let (wanted, key) = outward_wanted(FootKind::Unaffected, protocol);
    let per_side = set_per_side(set.brace);
    if per_side == Some(false) || !as_a_clubfoot(deg, wanted.high, protocol) {
        return None;
    }
    let side = boot.side;
    let (what, text) = match per_side {
        Some(_) => (SettingDoubtKind::WideOnUnaffected, SettingText::WideOnUnaffected { side, deg }),
        None => (
            SettingDoubtKind::WideOnUnaffectedBarUnknown,
            SettingText::WideOnUnaffectedBarUnknown { side, deg },
        ),
    };
    let rule =
        format!("A foot that is not a clubfoot is turned out {wanted}° if the bar can be set for each side.");
    Some(set.doubt(what, Some(side), text, rule, protocol.source(key)))
}

/// How far an angle is outside a range.
fn outside(deg: i16, span: crate::Span) -> i32 {
    let (deg, low, high) = (i32::from(deg), i32::from(span.low), i32::from(span.high));
    (low - deg).max(deg - high).max(0)
}

/// The clubfoot and the other foot, each set nearer to the setting wanted for the other.
fn exchanged(course: &Course, protocol: &Protocol, set: SetBrace<'_>) -> Option<SettingDoubt> {
    let [foot] = course.feet.as_slice() else { return None };
    let angle = |side| set.brace.boots.iter().find(|boot| boot.side == side)?.abduction_deg;
    let (own, other) = (angle(foot.side)?, angle(foot.side.other())?);
    let (clubfoot, _) = outward_wanted(kind(Some(foot)), protocol);
    let (unaffected, key) = outward_wanted(FootKind::Unaffected, protocol);
    let nearer = |deg, own, other| outside(deg, other) < outside(deg, own);
    if !(nearer(own, clubfoot, unaffected) && nearer(other, unaffected, clubfoot) && other > own) {
        return None;
    }
    let text = SettingText::Exchanged { clubfoot: foot.side, own_deg: own, other_deg: other };
    let rule = format!("The clubfoot is turned out {clubfoot}°, the other foot {unaffected}°.");
    Some(set.doubt(SettingDoubtKind::Exchanged, None, text, rule, protocol.source(key)))
}

fn one_boot(set: SetBrace<'_>) -> Option<SettingDoubt> {
    let [boot] = set.brace.boots.as_slice() else { return None };
    let (text, other) = (SettingText::OneBoot(boot.side), boot.side.other());
    let rule = "One bar holds both feet: each foot has a boot, even if only one is a clubfoot.";
    Some(set.doubt(SettingDoubtKind::OneBoot, Some(other), text, rule, COMMON))
}

/// The last shoulder width of the kind used for the bar, measured within the given days.
fn shoulders(
    course: &Course,
    protocol: &Protocol,
    within: impl Fn(Day) -> bool,
) -> Option<(i32, Day, EntryId)> {
    let seen = course.shoulders.iter().rev();
    let mut seen = seen.filter(|seen| seen.width == Some(protocol.bar_width));
    let seen = seen.find(|seen| within(seen.on))?;
    Some((seen.mm.into(), seen.on, seen.entry))
}

fn bar_narrow(course: &Course, protocol: &Protocol, set: SetBrace<'_>) -> Option<SettingDoubt> {
    let bar = i32::from(set.brace.bar_mm?);
    let (mm, on, entry) = shoulders(course, protocol, |on| on - set.on <= NARROW_UP_TO_DAYS_AFTER)?;
    (mm - bar > i32::from(protocol.bar_narrow_mm)).then(|| {
        let rule = format!(
            "The bar, heel to heel, should be as long as the shoulders are wide; more than {} mm less is too narrow.",
            protocol.bar_narrow_mm
        );
        let text = bar_length(bar, mm, on, protocol);
        let source = protocol.source("bracing.bar_narrow_mm");
        set.doubt(SettingDoubtKind::BarNarrow, None, text, rule, source).against(on, entry)
    })
}

fn bar_wide(course: &Course, protocol: &Protocol, set: SetBrace<'_>) -> Option<SettingDoubt> {
    let bar = i32::from(set.brace.bar_mm?);
    let (mm, on, entry) = shoulders(course, protocol, |on| set.on - on <= WIDE_FROM_DAYS_BEFORE)?;
    let most = WIDE_TIMES_NARROW * i32::from(protocol.bar_narrow_mm);
    (bar - mm > most).then(|| {
        let rule = format!(
            "The bar, heel to heel, should be as long as the shoulders are wide; more than {most} mm more is too wide (assumed: twice the limit for too narrow)."
        );
        let text = bar_length(bar, mm, on, protocol);
        set.doubt(SettingDoubtKind::BarWide, None, text, rule, COMMON).against(on, entry)
    })
}

const fn bar_length(bar_mm: i32, shoulders_mm: i32, on: Day, protocol: &Protocol) -> SettingText {
    SettingText::BarLength { bar_mm, shoulders_mm, on, width: protocol.bar_width }
}
