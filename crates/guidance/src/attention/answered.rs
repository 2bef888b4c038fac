//! Events that answer a call without an entry that it is settled: new boots, reviews that went well, an
//! examination since.

use super::Ground;
use course::{Cause, FootCourse, ProblemSeen};
use record::{BraceChange, Day, ProblemKind, RemovalReason, Side};

/// Number of consecutive reviews without the problem after which it counts as over. Common practice, no source.
const GOOD_REVIEWS: usize = 3;

/// Whether a problem is one of the brace.
pub(super) const fn is_of_the_brace(what: ProblemKind) -> bool {
    use ProblemKind::{BraceBroken, HeelSlipsOut, NotTolerated, Outgrown};
    matches!(what, HeelSlipsOut | Outgrown | BraceBroken | NotTolerated)
}

/// Whether later treatment answered a problem of the brace.
pub(super) fn brace_problem(ground: &Ground<'_>, problem: &ProblemSeen) -> bool {
    let fixed = match problem.what {
        // A boot fitted on the day of the entry answers it.
        ProblemKind::Outgrown => new_boots_from(ground, problem.side, problem.on),
        ProblemKind::HeelSlipsOut => new_boots_from(ground, problem.side, problem.on + 1),
        ProblemKind::BraceBroken => {
            repaired_from(ground, problem.on) || new_boots_from(ground, problem.side, problem.on)
        }
        _ => false,
    };
    fixed
        || braced_anew_after(ground, problem.on)
        || off_since(ground, problem.on)
        || good_reviews(ground, problem.on)
}

/// Whether new boots were fitted on a day or since: on that foot, or on both if none is named.
pub(super) fn new_boots_from(ground: &Ground<'_>, side: Option<Side>, day: Day) -> bool {
    let fitted = |side: Side| ground.course.new_boots.iter().any(|&(on, of)| on >= day && of == side);
    side.map_or_else(|| Side::BOTH.into_iter().all(fitted), fitted)
}

fn repaired_from(ground: &Ground<'_>, day: Day) -> bool {
    let changes = ground.course.braces.iter().flat_map(|spell| &spell.changes);
    changes.into_iter().any(|&(on, change, _)| on >= day && change == BraceChange::Repaired)
}

/// Whether casts and then a new run of bracing followed after a day: the brace was fitted again to the foot.
fn braced_anew_after(ground: &Ground<'_>, day: Day) -> bool {
    let recast = |spell: &&course::BraceSpell| matches!(spell.until, Some((off, Cause::Recast)) if off > day);
    let recast = ground.course.braces.iter().rposition(|spell| recast(&spell));
    recast.is_some_and(|at| at + 1 < ground.course.braces.len())
}

/// Whether the brace is off: for casts, or at the end of bracing.
fn off_since(ground: &Ground<'_>, day: Day) -> bool {
    let Some((off, cause)) = ground.course.braces.last().and_then(|spell| spell.until) else { return false };
    let ended = ground.protocol.bracing_ends(ground.course.about.born).is_some_and(|end| off >= end);
    off >= day && (cause == Cause::Recast || ended)
}

/// Whether enough reviews in the brace followed after a day, with no problem of the brace noted since.
pub(super) fn good_reviews(ground: &Ground<'_>, day: Day) -> bool {
    let problems = ground.course.problems.iter().filter(|problem| is_of_the_brace(problem.what));
    let last = problems.map(|problem| problem.on).filter(|&on| on > day).max().unwrap_or(day);
    reviews_after(ground, last, |day| in_brace(ground, day)) >= GOOD_REVIEWS
}

/// Whether enough reviews without a brace followed after the day on which it was stopped.
pub(super) fn good_reviews_without_brace(ground: &Ground<'_>, stopped: Day) -> bool {
    reviews_after(ground, stopped, |_| true) >= GOOD_REVIEWS
}

/// Days after a day on which an affected foot was examined.
fn reviews_after(ground: &Ground<'_>, day: Day, counts: impl Fn(Day) -> bool) -> usize {
    let scores = ground.course.feet.iter().flat_map(|foot| &foot.scores);
    let mut days: Vec<Day> = scores.map(|scored| scored.on).filter(|&on| on > day && counts(on)).collect();
    days.sort_unstable();
    days.dedup();
    days.len()
}

fn in_brace(ground: &Ground<'_>, day: Day) -> bool {
    ground
        .course
        .braces
        .iter()
        .any(|spell| spell.from <= day && spell.until.is_none_or(|(until, _)| day < until))
}

/// The first later day on which a child with a warning sign was examined in a way that shows the sign: any
/// examination for fever, crying and bleeding, an examination of the bare foot for skin and toes.
pub(super) fn examined_after(ground: &Ground<'_>, problem: &ProblemSeen) -> Option<Day> {
    let concerned = |foot: &&FootCourse| problem.side.is_none_or(|side| side == foot.side);
    let bare = !matches!(problem.what, ProblemKind::Fever | ProblemKind::Crying | ProblemKind::Bleeding);
    let feet = ground.course.feet.iter().filter(concerned);
    let firsts = feet.map(|foot| examined(foot, bare).filter(|&day| day > problem.on).min());
    // For a sign of the skin, both feet must be examined.
    let firsts: Vec<Option<Day>> = firsts.collect();
    if bare {
        firsts.into_iter().collect::<Option<Vec<_>>>()?.into_iter().max()
    } else {
        firsts.into_iter().flatten().min()
    }
}

/// Days on which a foot was examined; with `bare`, only days without a cast worn throughout.
fn examined(foot: &FootCourse, bare: bool) -> impl Iterator<Item = Day> + '_ {
    let covered =
        |day: Day| foot.casts.iter().any(|cast| cast.on < day && cast.off.is_none_or(|(off, _)| off > day));
    let scored = foot.scores.iter().map(|scored| scored.on);
    let by_clinic = |why: Option<RemovalReason>| why != Some(RemovalReason::ByFamily);
    let off = foot
        .casts
        .iter()
        .filter_map(move |cast| cast.off.filter(|&(_, why)| by_clinic(why)).map(|off| off.0));
    let on = foot.casts.iter().map(|cast| cast.on);
    scored.chain(off).chain(on).filter(move |&day| !bare || !covered(day))
}
