//! Problems that families report by telephone: those of the treatment that the child is in come first.

use course::Course;
use record::ProblemKind;

const IN_CAST: &[ProblemKind] = &[
    ProblemKind::CastSlipped,
    ProblemKind::ToesNotSeen,
    ProblemKind::ToesColour,
    ProblemKind::Swelling,
    ProblemKind::SkinBroken,
    ProblemKind::Bleeding,
    ProblemKind::Fever,
    ProblemKind::Crying,
];

const IN_BRACE: &[ProblemKind] = &[
    ProblemKind::SkinRed,
    ProblemKind::Blister,
    ProblemKind::SkinBroken,
    ProblemKind::Swelling,
    ProblemKind::HeelSlipsOut,
    ProblemKind::BraceBroken,
    ProblemKind::Outgrown,
    ProblemKind::NotTolerated,
];

/// Every problem in the order in which it is offered on the telephone, and how many of them belong to the treatment
/// that the child is in: with a cast on, those of a cast; in a brace, those of a brace; otherwise all.
#[must_use]
pub fn reported_problems(course: &Course) -> (Vec<ProblemKind>, usize) {
    let in_cast = course.feet.iter().any(|foot| foot.cast_on().is_some());
    let first = match (in_cast, course.brace_now()) {
        (true, _) => IN_CAST,
        (false, Some(_)) => IN_BRACE,
        (false, None) => ProblemKind::ALL,
    };
    let rest = ProblemKind::ALL.iter().filter(|kind| !first.contains(kind));
    (first.iter().chain(rest).copied().collect(), first.len())
}
