//! Cautions that several steps share. Each names its source.

use super::view::View;
use crate::{Protocol, words::degrees};
use course::Course;
use record::{Day, Nature};
use std::borrow::Cow;

/// A caution.
pub(crate) type Words = Cow<'static, str>;

/// Care of a cast.
pub(crate) const CAST_CARE: Words = Cow::Borrowed(
    "Toes must stay visible, warm and pink. See the child the same day if they turn dark, white or cold, swell, or can no longer be seen (leaflets for parents).",
);
/// Removal of the cast on the day itself.
pub(crate) const OFF_IN_CLINIC: Words = Cow::Borrowed(
    "Remove the cast at the visit, not the night before (PMC2150656; not a randomised comparison). Local practice differs: some clinics ask for removal at home, as close to the visit as possible.",
);
/// While something is in doubt, the cast or brace stays on.
pub(crate) const HOLD_MEANWHILE: Words =
    Cow::Borrowed("Until this is settled, leave the cast or brace on as it is.");
/// A foot out of its cast while it is being assessed.
pub(crate) const HOLD_IN_CAST: Words = Cow::Borrowed(
    "Meanwhile hold the foot in a cast or in the brace, in the position it reaches; never leave it unheld.",
);
/// Other tasks of the first visit.
pub(crate) const FIRST_LOOK: Words = Cow::Borrowed(
    "Hip ultrasound for every child, score at every visit including the first, test whether the great toe extends (British consensus, Bone Joint J 2022).",
);
/// Unknown day of birth.
pub(crate) const NO_BIRTH_DAY: Words =
    Cow::Borrowed("The day of birth is not known: rules that depend on age do not apply.");
/// After a tenotomy.
pub(crate) const AFTER_CUT: Words = Cow::Borrowed(
    "A coin-sized blood stain at the heel is expected; if it grows, or with fever or discoloured toes, see the child the same day (leaflets for parents).",
);

/// A tenotomy that is booked against the clinic's own rule.
pub(crate) const NOT_READY: Words =
    Cow::Borrowed("Booked although not ready by the clinic's own rule: reassess before it.");
/// A tenotomy that is booked without a measurement that the clinic's own rule needs.
pub(crate) const NOT_MEASURED: Words =
    Cow::Borrowed("A measurement that the clinic's own rule needs is missing: measure before the tenotomy.");
/// The beginning of a caution about a problem that is not settled.
pub(crate) const NOT_SETTLED: &str = "Not settled: ";
/// The beginning of a caution about dorsiflexion that was measured or is missing.
pub(crate) const DORSIFLEXION: &str = "Dorsiflexion ";
const WATCH: &str = "monitor breathing after a general anaesthetic";

/// Whether a caution says what must never be folded away: a reason to see the child the same day, something that is
/// in doubt or not settled in this child, a risk of the next act. The others are about the kind of foot, the plan or
/// the practice.
fn is_grave(caution: &str) -> bool {
    let named = [CAST_CARE, AFTER_CUT, HOLD_MEANWHILE, HOLD_IN_CAST, NOT_READY, NOT_MEASURED];
    named.iter().any(|named| named == caution)
        || [NOT_SETTLED, DORSIFLEXION].iter().any(|begins| caution.starts_with(begins))
        || caution.contains(WATCH)
}

/// The most cautions shown in full where none of the others is grave.
const SHOWN: usize = 2;

/// Cautions in the order of their gravity, and those that may be folded away: the first are every grave one and at
/// least two.
#[must_use]
pub fn by_gravity<'c>(cautions: &[&'c str]) -> (Vec<&'c str>, Vec<&'c str>) {
    let (mut first, mut rest): (Vec<&str>, Vec<&str>) =
        cautions.iter().partition(|caution| is_grave(caution));
    let more = SHOWN.saturating_sub(first.len()).min(rest.len());
    first.extend(rest.drain(..more));
    (first, rest)
}

/// The earliest birth that can be recorded, in weeks of gestation (bounds of the record).
pub(crate) const LEAST_GESTATION_WEEKS: i32 = 22;

/// Cautions for the kind of foot, if it changes the aims.
pub(crate) fn kind_of_foot(view: &View<'_>) -> impl Iterator<Item = Words> {
    let protocol = view.protocol;
    let complex = view.complex().then(|| {
        Words::from(format!(
            "Complex foot: abduct no further than about {}°, knee flexed to {}°, then bring all metatarsals up together; early tenotomy (from memory).",
            protocol.complex_abduction_max_deg, protocol.complex_knee_flexion_deg
        ))
    });
    let other = view.not_idiopathic().then(|| {
        Words::from(format!(
            "Not idiopathic: {}° abduction and {}° dorsiflexion are accepted at the end of casting (Mehta 2021); relapse is more frequent (from memory).",
            protocol.non_idiopathic_abduction_deg, protocol.non_idiopathic_dorsiflexion_deg
        ))
    });
    complex.into_iter().chain(other)
}

/// The caution for an older child who began late.
pub(crate) fn late_start(view: &View<'_>) -> Option<Words> {
    let born = view.born()?;
    let began = view.foot.casts.first().map(|cast| cast.on).or(view.course.known_since())?;
    let age = course::Age::on(began, born, None);
    (age.months >= i32::from(view.protocol.late_start_from_months)).then(|| {
        Words::from(format!(
            "Began at {}: casting works at this age too, but expect less dorsiflexion: 12.5° on average after the last cast in children of 1 to 6 years (Spiegel 2009).",
            age.words()
        ))
    })
}

/// Monitoring after an anaesthetic, from the age on the first day of the window.
pub(crate) fn anaesthetic(course: &Course, protocol: &Protocol, on: Day) -> Option<Words> {
    let Some(born) = course.about.born else { return Some(NO_BIRTH_DAY) };
    let weeks_old = (on - born).div_euclid(7);
    let limit = protocol.anaesthetic_watch_weeks;
    let watch = format!("{WATCH} ({}).", protocol.source("tenotomy.anaesthetic_watch_weeks"));
    let words = match course.about.gestation_weeks {
        Some(weeks) if weeks_old + i32::from(weeks) < i32::from(limit) => {
            format!("Under {limit} weeks from conception in this window: {watch}")
        }
        Some(weeks) if u16::from(weeks) < protocol.premature_before_weeks => {
            let until = born.plus_months(protocol.anaesthetic_watch_premature_months.into());
            (on < until).then(|| format!("Born premature: {watch}"))?
        }
        // Assumes the earliest birth that can be recorded; a later one only shortens the monitoring.
        None if weeks_old + LEAST_GESTATION_WEEKS < i32::from(limit) => {
            format!("Weeks of gestation not recorded: under {limit} weeks from conception, {watch}")
        }
        _ => return None,
    };
    Some(Words::Owned(words))
}

/// The setting of the bar: never further than the foot reaches.
pub(crate) fn bar_setting(view: &View<'_>) -> Words {
    let protocol = view.protocol;
    let (wanted, key) = if view.complex() {
        (protocol.complex_brace_abduction_deg, "complex_foot.brace_abduction_deg")
    } else if view.not_idiopathic() {
        (protocol.non_idiopathic_abduction_deg, "non_idiopathic.abduction_deg")
    } else {
        (protocol.brace_affected_abduction_deg, "bracing.affected_abduction_deg")
    };
    let from = protocol.source(key);
    let reached = view.measured.abduction.or_else(|| {
        let cast = view.foot.casts.iter().rev().find(|cast| cast.abduction_deg.is_some())?;
        Some((cast.abduction_deg?, cast.on, cast.entry))
    });
    let side = view.foot.side.title();
    match reached {
        Some((deg, on, _)) => Words::from(format!(
            "{side} boot {wanted}° outward, never more than the {} the foot reached on {}; bar bent up {}° ({from}).",
            degrees(deg),
            on.words(),
            protocol.brace_dorsiflexion_deg
        )),
        None => Words::from(format!(
            "{side} boot {wanted}° outward, never more than the foot reached in its last cast, which is not recorded: measure it; bar bent up {}° ({from}).",
            protocol.brace_dorsiflexion_deg
        )),
    }
}

/// The setting for the unaffected foot.
pub(crate) fn unaffected_boot(course: &Course, view: &View<'_>) -> Option<Words> {
    (course.feet.len() == 1).then(|| {
        let span = view.protocol.brace_unaffected_abduction_deg;
        let from = view.protocol.source("bracing.unaffected_abduction_deg");
        Words::from(format!(
            "{} boot (not affected) {span}° outward ({from}).",
            view.foot.side.other().title()
        ))
    })
}

/// Whether the foot is positional: it corrects by hand.
pub(crate) fn positional(view: &View<'_>) -> bool {
    view.foot.nature == Some(Nature::Positional)
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn what_is_grave_is_never_folded_and_two_are_always_shown() {
        let (kind, plan, practice) = ("Complex foot: early tenotomy.", "Bracing ends.", OFF_IN_CLINIC);
        let unsettled = format!("{NOT_SETTLED}skin red, noted on 3 May 2024.");
        let all = [kind, &practice, &CAST_CARE, plan, &unsettled, &NOT_READY];
        let (first, rest) = by_gravity(&all);
        assert_eq!(first, [&*CAST_CARE, &unsettled, &NOT_READY]);
        assert_eq!(rest, [kind, &practice, plan]);
        assert_eq!(by_gravity(&[kind, &CAST_CARE, plan]), (vec![&*CAST_CARE, kind], vec![plan]));
        assert_eq!(by_gravity(&[kind, plan]), (vec![kind, plan], Vec::new()));
    }
}
