//! The fit of a brace from what was measured.

use super::reached::{self, AngleReached};
use super::sizes::Sizes;
use super::{Bar, Matched, Stock};
use crate::words::degrees;
use crate::{Protocol, Reason, Span};
use course::{Course, FootCourse};
use record::{Day, Nature, ShoulderWidth, Side};

pub(super) const COMMON: &str = "common practice, no source";

/// The kind of foot, for the setting of the bar.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub enum FootKind {
    /// A clubfoot.
    Affected,
    /// A complex clubfoot.
    Complex,
    /// A stiff clubfoot that is not idiopathic.
    NotIdiopathic,
    /// Not a clubfoot, as far as recorded.
    Unaffected,
}

impl FootKind {
    /// In words.
    #[must_use]
    pub const fn words(self) -> &'static str {
        match self {
            Self::Affected => "clubfoot",
            Self::Complex => "complex clubfoot",
            Self::NotIdiopathic => "clubfoot, not idiopathic",
            Self::Unaffected => "not affected",
        }
    }
}

/// A setting in degrees: the wanted range, and the range that may be set.
#[derive(Debug, Clone, PartialEq, Eq)]
pub struct AngleSetting {
    /// The range wanted by the protocol.
    pub wanted: Span,
    /// The range that may be set, never more than the foot reached; `None` if that is not known.
    pub set: Option<Span>,
}

/// A boot.
#[derive(Debug, Clone, PartialEq)]
pub struct BootFit {
    /// Length of the foot, mm.
    pub foot_mm: u16,
    /// The day on which the foot was measured.
    pub on: Day,
    /// Shortest and longest inside length wanted, mm.
    pub inside_mm: (u16, u16),
    /// The same in standard shoe sizes.
    pub sizes: Sizes,
    /// The boot of the clinic's list, if one is long enough.
    pub matched: Option<Matched>,
}

/// One foot on the bar.
#[derive(Debug, Clone, PartialEq)]
pub struct FootFit {
    /// Which foot.
    pub side: Side,
    /// What kind.
    pub kind: FootKind,
    /// Outward rotation (abduction).
    pub outward: AngleSetting,
    /// Upward bend (dorsiflexion).
    pub bend: AngleSetting,
    /// The boot, if the foot was measured.
    pub boot: Option<BootFit>,
    /// Why.
    pub because: Vec<Reason>,
    /// Published rules that disagree.
    pub otherwise: Vec<Reason>,
    /// What must be checked before the bar is set.
    pub warnings: Vec<String>,
    /// Measurements that are missing.
    pub missing: Vec<String>,
}

/// The bar.
#[derive(Debug, Clone, PartialEq)]
pub struct BarFit {
    /// The width that it follows.
    pub width: ShoulderWidth,
    /// Length heel to heel in mm, and the day on which the shoulders were measured.
    pub length: Option<(u16, Day)>,
    /// The bars of the clinic's list that can be set to this length.
    pub matched: Vec<Bar>,
    /// Why.
    pub because: Vec<Reason>,
    /// Measurements that are missing.
    pub missing: Vec<String>,
}

/// Hours of wear by phase.
#[derive(Debug, Clone, PartialEq, Eq)]
pub struct Hours {
    /// In words, such as "23 hours a day for 12 weeks".
    pub words: String,
    /// The source.
    pub source: &'static str,
}

/// The complete fit of a brace.
#[derive(Debug, Clone, PartialEq)]
pub struct BraceFit {
    /// The right foot, then the left.
    pub feet: [FootFit; 2],
    /// The bar.
    pub bar: BarFit,
    /// Hours of wear by phase.
    pub hours: Vec<Hours>,
    /// Cautions for both feet together.
    pub cautions: Vec<String>,
}

impl BraceFit {
    /// The fit of a child's brace.
    #[must_use]
    pub fn of(course: &Course, protocol: &Protocol, stock: &Stock) -> Self {
        let feet = Side::BOTH.map(|side| foot(course, protocol, stock, side));
        let cautions = cautions(&feet, course);
        Self { bar: bar(course, protocol, stock), hours: hours(protocol), feet, cautions }
    }

    /// One foot.
    #[must_use]
    pub const fn foot(&self, side: Side) -> &FootFit {
        match side {
            Side::Right => &self.feet[0],
            Side::Left => &self.feet[1],
        }
    }

    /// Every measurement that is missing.
    pub fn missing(&self) -> impl Iterator<Item = &str> {
        self.feet.iter().flat_map(|foot| &foot.missing).chain(&self.bar.missing).map(String::as_str)
    }
}

pub(super) fn kind(foot: Option<&FootCourse>) -> FootKind {
    match foot {
        None => FootKind::Unaffected,
        Some(foot) if foot.complex == Some(true) => FootKind::Complex,
        Some(foot) if matches!(foot.nature, Some(Nature::Syndromic | Nature::Neurogenic)) => {
            FootKind::NotIdiopathic
        }
        Some(_) => FootKind::Affected,
    }
}

fn foot(course: &Course, protocol: &Protocol, stock: &Stock, side: Side) -> FootFit {
    let known = course.foot(side);
    let kind = kind(known);
    let (wanted, key) = outward_wanted(kind, protocol);
    let mut fit = FootFit {
        side,
        kind,
        outward: AngleSetting { wanted, set: None },
        bend: AngleSetting { wanted: protocol.brace_dorsiflexion_deg, set: None },
        boot: None,
        because: Vec::new(),
        otherwise: Vec::new(),
        warnings: Vec::new(),
        missing: Vec::new(),
    };
    let rule = format!("{} boot ({}): {wanted}° outward.", side.title(), kind.words());
    let entry = known.and_then(|foot| foot.phases.first()).and_then(|spell| spell.entry);
    fit.because.push(Reason::new(
        format!("{} foot: {}.", side.title(), kind.words()),
        entry,
        rule,
        protocol.source(key),
    ));
    if kind == FootKind::Complex {
        let published = protocol.setting(key).map_or("", |setting| setting.published);
        let fact = "Published settings for a complex foot disagree.";
        fit.otherwise.push(Reason::new(fact, None, published, protocol.source(key)));
    }
    match known {
        Some(foot) => {
            limit_outward(&mut fit, foot, course.as_of);
            limit_bend(&mut fit, foot, course.as_of);
        }
        None => (fit.outward.set, fit.bend.set) = (Some(wanted), Some(fit.bend.wanted)),
    }
    boot(&mut fit, course, protocol, stock);
    fit
}

pub(super) fn outward_wanted(kind: FootKind, protocol: &Protocol) -> (Span, &'static str) {
    match kind {
        FootKind::Affected => (protocol.brace_affected_abduction_deg, "bracing.affected_abduction_deg"),
        FootKind::Complex => (protocol.complex_brace_abduction_deg, "complex_foot.brace_abduction_deg"),
        FootKind::NotIdiopathic => (protocol.non_idiopathic_abduction_deg, "non_idiopathic.abduction_deg"),
        FootKind::Unaffected => (protocol.brace_unaffected_abduction_deg, "bracing.unaffected_abduction_deg"),
    }
}

/// How far the boot may be turned out: never further than the foot reached.
fn limit_outward(fit: &mut FootFit, foot: &FootCourse, as_of: Day) {
    let (side, wanted) = (fit.side.title(), fit.outward.wanted);
    let Some(AngleReached { deg, on, entry, how }) = reached::abduction(foot, as_of) else {
        fit.missing.push(format!("{side} foot: the abduction reached in the last cast is not recorded. Measure it before setting the bar."));
        return;
    };
    fit.outward.set = Some(at_most(wanted, deg));
    let fact = format!("{side} foot reached {} {} {}.", degrees(deg), how.words(), on.words());
    let rule = "The bar is never set further out than the foot reaches.";
    fit.because.push(Reason::new(fact, entry, rule, COMMON));
    if deg < wanted.low {
        fit.warnings.push(format!(
            "{side} foot: it reached {}, but {wanted}° is wanted. Set no more than {}, and check that the foot is corrected before bracing.",
            degrees(deg), degrees(deg)
        ));
    }
}

/// How far the bar may be bent up: never further than the foot reached.
fn limit_bend(fit: &mut FootFit, foot: &FootCourse, as_of: Day) {
    let (side, wanted) = (fit.side.title(), fit.bend.wanted);
    let Some(AngleReached { deg, on, entry, .. }) = reached::dorsiflexion(foot, as_of) else {
        fit.missing
            .push(format!("{side} foot: dorsiflexion is not recorded. Measure it before bending the bar."));
        return;
    };
    fit.bend.set = Some(at_most(wanted, deg));
    let fact = format!("{side} foot: dorsiflexion {} on {}.", degrees(deg), on.words());
    let rule = "The bar is never bent further up than the foot reaches.";
    fit.because.push(Reason::new(fact, entry, rule, COMMON));
    if deg < wanted.low {
        fit.warnings.push(format!(
            "{side} foot: dorsiflexion is {}, but the bar is bent up {wanted}°. A heel that does not come down slips out of the boot: check whether the foot needs more correction before bracing.",
            degrees(deg)
        ));
    }
}

/// A span limited to the angle reached; nothing below zero is set outward or up.
fn at_most(wanted: Span, reached: i16) -> Span {
    let high = wanted.high.min(reached).max(0);
    Span { low: wanted.low.min(high), high }
}

fn boot(fit: &mut FootFit, course: &Course, protocol: &Protocol, stock: &Stock) {
    let side = fit.side;
    let Some(length) = course.foot_lengths.iter().rev().find(|length| length.side == side) else {
        fit.missing.push(format!(
            "{} foot: its length is not recorded. Measure from the heel to the longest toe.",
            side.title()
        ));
        return;
    };
    let room = protocol.toe_room_mm;
    let inside = |room: i16| length.mm.saturating_add_signed(room);
    let inside_mm = (inside(room.low), inside(room.high));
    let fact = format!("{} foot {} mm on {}.", side.title(), length.mm, length.on.words());
    let rule = format!("The inside of the boot is {room} mm longer: {} to {} mm.", inside_mm.0, inside_mm.1);
    fit.because.push(Reason::new(fact, length.entry, rule, protocol.source("bracing.toe_room_mm")));
    let matched = stock.boot_for(inside_mm);
    let warning = match &matched {
        None if !stock.boots.is_empty() => {
            Some(format!("no boot on the clinic's list is {} mm long inside", inside_mm.0))
        }
        Some(matched) if matched.long_by_mm > 0 => Some(format!(
            "the shortest boot on the clinic's list that is long enough is {} mm longer than wanted",
            matched.long_by_mm
        )),
        _ => None,
    };
    fit.warnings.extend(warning.map(|words| format!("{} foot: {words}.", side.title())));
    fit.boot = Some(BootFit {
        foot_mm: length.mm,
        on: length.on,
        inside_mm,
        sizes: Sizes::of(length.mm, inside_mm),
        matched,
    });
}

fn bar(course: &Course, protocol: &Protocol, stock: &Stock) -> BarFit {
    let width = protocol.bar_width;
    let mut fit =
        BarFit { width, length: None, matched: Vec::new(), because: Vec::new(), missing: Vec::new() };
    let Some(seen) = course.shoulders.iter().rev().find(|seen| seen.width == Some(width)) else {
        let other = course.shoulders.last().map(|seen| match seen.width {
            None => {
                format!(" On {}, {} mm was recorded without the kind of width.", seen.on.words(), seen.mm)
            }
            Some(other) => {
                format!(
                    " The {} mm recorded on {} are {}, a different width.",
                    seen.mm,
                    seen.on.words(),
                    other.words()
                )
            }
        });
        fit.missing.push(format!("Shoulder width: measure {}.{}", width.words(), other.unwrap_or_default()));
        return fit;
    };
    let fact = format!("Shoulders {} mm on {}, {}.", seen.mm, seen.on.words(), width.words());
    let rule = "The bar, heel to heel, should be as long as the shoulders are wide.";
    let source = "Gupta & Agarwal 2021, 10.5005/jp-journals-10040-1172; which width: the protocol";
    fit.because.push(Reason::new(fact, seen.entry, rule, source));
    fit.matched = stock.bars_for(seen.mm).into_iter().cloned().collect();
    fit.length = Some((seen.mm, seen.on));
    fit
}

fn hours(protocol: &Protocol) -> Vec<Hours> {
    let Protocol { full_time_hours, full_time_weeks, night_hours, bracing_ends_years, .. } = protocol;
    vec![
        Hours {
            words: format!("First {full_time_hours} hours a day for {full_time_weeks} weeks."),
            source: protocol.source("bracing.full_time_hours"),
        },
        Hours {
            words: format!(
                "Then nights and naps, {night_hours} hours a day, until the age of {bracing_ends_years}."
            ),
            source: protocol.source("bracing.night_hours"),
        },
    ]
}

fn cautions(feet: &[FootFit; 2], course: &Course) -> Vec<String> {
    let mut cautions = Vec::new();
    if let [Some(right), Some(left)] = [&feet[0].boot, &feet[1].boot]
        && right.inside_mm != left.inside_mm
    {
        let longer = if right.inside_mm > left.inside_mm { "right" } else { "left" };
        cautions.push(format!("If both boots are the same size, the longer foot decides, here the {longer} (usual for shoes, at second hand)."));
    }
    if course.feet.is_empty() {
        cautions.push(
            "No foot is on record as a clubfoot: record the diagnosis before setting the bar.".to_owned(),
        );
    }
    if course.feet.iter().any(|foot| foot.cast_on().is_some()) {
        cautions.push("A cast is on, as far as recorded: measure again when it is off.".to_owned());
    }
    cautions.push("The heel must sit at the back of the boot and stay there, and the skin must be checked after the first hours (leaflets of several hospitals).".to_owned());
    cautions
}
