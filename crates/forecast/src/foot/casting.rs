//! The forecast of one foot on its way to the brace: visits, dates and casts.

use super::Stage;
use super::now::{ChildNow, FootNow};
use super::outcomes::{Next, OUTCOMES, Outcomes, by_visit, scale, tilted};
use super::tables::{APART, Tables, holding};
use crate::filter::{Cells, cells, hindfoot};
use crate::learning::{AtVisit, Opinions, TenotomyTable, VISITS, midfoot, weigh};
use crate::natural_history::HOLDING_DAYS;
use crate::whole_days::{Days, add, convolve, remaining, visits_and_waits, visits_to_days};

/// The forecast of one foot before the brace.
pub(crate) struct Casting {
    /// Chances of the hindfoot signs written at the decision; they sum to 1.
    pub(crate) written: Option<Cells>,
    /// The chances of the experts on tenotomy, and their common chance, if the decision is open.
    pub(crate) opinions: Option<Opinions>,
    pub(crate) tenotomy: Option<f64>,
    /// Days from now, each summing to 1.
    pub(crate) ready: Option<Days>,
    pub(crate) tenotomy_days: Option<Days>,
    pub(crate) brace: Days,
    /// Casts to come, all and for correction.
    pub(crate) casts: Days,
    pub(crate) correcting: Days,
    /// The next step is later than any known one.
    pub(crate) overdue: bool,
}

/// The tenotomy table that fits a foot.
pub(crate) fn table<'t>(tables: &'t Tables, foot: &FootNow<'_>) -> &'t TenotomyTable {
    if foot.unlike.is_empty() { &tables.tenotomy } else { &tables.tenotomy_unlike }
}

/// Chance of a tenotomy by the signs alone, from the hindfoot signs written at the decision.
pub(crate) fn by_signs(tables: &Tables, foot: &FootNow<'_>, written: &Cells) -> f64 {
    weigh(written, &table(tables, foot).mean)
}

/// The opinions of the experts on a foot with these outcomes, and the outcomes with their common chance.
pub(crate) fn with_opinions(
    tables: &Tables,
    now: &ChildNow<'_>,
    foot: &FootNow<'_>,
    outcomes: &[f64; OUTCOMES],
) -> (Opinions, [f64; OUTCOMES]) {
    let cut: f64 = outcomes.iter().skip(1).step_by(2).sum();
    let opinions = tables.experts.opinions(cut, now.child.born_day, foot.seen, now.as_of);
    (opinions, tilted(outcomes, tables.experts.chance(&opinions)))
}

pub(crate) fn outcomes(tables: &Tables, foot: &FootNow<'_>) -> Option<Outcomes> {
    let table = table(tables, foot);
    foot.stage.in_casts().then(|| Outcomes::of(tables, &foot.chains, foot.next, &foot.weights, table))
}

/// The forecast of a foot by the clinic's own counts, and their share; `None` if they are not used.
pub(crate) fn own_counts(tables: &Tables, foot: &FootNow<'_>) -> Option<(AtVisit, f64)> {
    let share = tables.guard.plain_share();
    let counted = foot.stage == Stage::InCasts && foot.next == Next::AfterCast;
    if !counted || share < 1e-4 {
        return None;
    }
    let score = foot.seen.visits.iter().rfind(|visit| visit.cast).and_then(|visit| midfoot(&visit.signs));
    Some((tables.guard.plain(score), share))
}

/// Outcomes with the visits by the clinic's own counts, and the share of tenotomies at each by the sign model if
/// that gives the visit any chance.
pub(crate) fn counted(signs: &[f64; OUTCOMES], plain: &AtVisit) -> [f64; OUTCOMES] {
    let cut: f64 = signs.iter().skip(1).step_by(2).sum();
    let at = by_visit(signs);
    std::array::from_fn(|number| {
        let cast_visit = number / 2;
        let share = if at[cast_visit] > 1e-6 { signs[2 * cast_visit + 1] / at[cast_visit] } else { cut };
        plain[cast_visit] * if number % 2 == 1 { share } else { 1.0 - share }
    })
}

/// The sign model's outcomes with the share of the clinic's own counts mixed in.
pub(crate) fn pooled(signs: &[f64; OUTCOMES], own: Option<(AtVisit, f64)>) -> [f64; OUTCOMES] {
    let Some((plain, share)) = own else { return *signs };
    let plain = counted(signs, &plain);
    std::array::from_fn(|number| (1.0 - share) * signs[number] + share * plain[number])
}

/// The factor by which each visit is more or less likely than by the sign model.
pub(crate) fn factors(pooled: &[f64; OUTCOMES], signs: &[f64; OUTCOMES]) -> AtVisit {
    let (pooled, signs) = (by_visit(pooled), by_visit(signs));
    std::array::from_fn(|at| if signs[at] > 1e-9 { pooled[at] / signs[at] } else { 1.0 })
}

/// The chances of the answers written at the decision, whichever visit that is.
pub(crate) fn written(outcomes: &Outcomes, factor: &AtVisit) -> Cells {
    let mut all = [[0.0; 3]; 7];
    for (cells, factor) in outcomes.written.iter().zip(factor) {
        for (into, cell) in all.iter_mut().flatten().zip(cells.iter().flatten()) {
            *into += factor * cell;
        }
    }
    let sum: f64 = all.iter().flatten().sum();
    all.iter_mut().flatten().for_each(|cell| *cell /= sum.max(1e-300));
    all
}

/// The dates of readiness and of the tenotomy.
pub(crate) fn dates(tables: &Tables, now: &ChildNow<'_>, mixed: &[f64; OUTCOMES]) -> (Days, Option<Days>) {
    let ready = visits_to_days(&by_visit(mixed), &now.first, &tables.interval_brief);
    let cut: f64 = mixed.iter().skip(1).step_by(2).sum();
    let waits: Vec<Days> = mixed
        .iter()
        .skip(1)
        .step_by(2)
        .map(|chance| tables.wait.iter().map(|wait| wait * chance).collect())
        .collect();
    let tenotomy = (cut > 1e-6).then(|| visits_and_waits(&waits, &now.first, &tables.interval_brief));
    (ready, tenotomy)
}

pub(crate) fn in_casts(
    tables: &Tables,
    now: &ChildNow<'_>,
    foot: &FootNow<'_>,
    outcomes: &Outcomes,
) -> Casting {
    let signs = outcomes.mixed(&foot.weights);
    let mut mixed = pooled(&signs, own_counts(tables, foot));
    scale(&mut mixed);
    let factor = factors(&mixed, &signs);
    let (opinions, mixed) = with_opinions(tables, now, foot, &mixed);
    let (ready, tenotomy_days) = dates(tables, now, &mixed);
    let mut braces = vec![Days::new(); VISITS];
    let (mut casts, mut correcting) = (Days::new(), vec![0.0; VISITS]);
    for (number, chance) in mixed.iter().enumerate() {
        let (cast_visit, cut) = (number / 2, number % 2);
        add(&mut braces[cast_visit], &tables.after.days[cut], *chance);
        add_shifted(&mut casts, &tables.after.casts[cut], cast_visit, *chance);
        correcting[cast_visit] += chance;
    }
    Casting {
        written: Some(written(outcomes, &factor)),
        opinions: Some(opinions),
        tenotomy: Some(mixed.iter().skip(1).step_by(2).sum()),
        brace: visits_and_waits(&braces, &now.first, &tables.interval_brief),
        ready: Some(ready),
        tenotomy_days,
        casts,
        correcting,
        overdue: now.overdue,
    }
}

/// Adds weighted counts, shifted by `by`.
pub(crate) fn add_shifted(into: &mut Days, counts: &[f64], by: usize, weight: f64) {
    if into.len() < counts.len() + by {
        into.resize(counts.len() + by, 0.0);
    }
    for (sum, chance) in into[by..].iter_mut().zip(counts) {
        *sum += weight * chance;
    }
}

/// The forecast of a foot after the decision or after the tenotomy.
pub(crate) fn decided(tables: &Tables, now: &ChildNow<'_>, foot: &FootNow<'_>) -> Option<Casting> {
    let seen = foot.seen;
    match foot.stage {
        Stage::TenotomyCast => {
            let gone = now.as_of - seen.tenotomy_day?;
            let (brace, overdue) = remaining(&tables.to_brace, gone, i32::from(gone == 0));
            Some(Casting { overdue, ..Casting::only(brace, vec![1.0]) })
        }
        Stage::Ready => Some(ready(tables, now, foot, now.as_of - seen.ready_day?)),
        _ => None,
    }
}

impl Casting {
    fn only(brace: Days, casts: Days) -> Self {
        Self {
            written: None,
            opinions: None,
            tenotomy: None,
            ready: None,
            tenotomy_days: None,
            brace,
            casts,
            correcting: vec![1.0],
            overdue: false,
        }
    }
}

fn ready(tables: &Tables, now: &ChildNow<'_>, foot: &FootNow<'_>, gone: i32) -> Casting {
    let seen = foot.seen;
    let booked = seen.tenotomy_planned_day.filter(|day| *day >= now.as_of);
    let written = decision_cells(tables, foot);
    let signs = by_signs(tables, foot, &written);
    let opinions = tables.experts.opinions(signs, now.child.born_day, seen, now.as_of);
    let chance = match seen.tenotomy_decided {
        Some(cut) => f64::from(u8::from(cut)),
        None if booked.is_some() => 1.0,
        None => tables.experts.chance(&opinions),
    };
    let from = i32::from(gone == 0);
    let (wait, late) = match booked {
        Some(day) => {
            let mut days = vec![0.0; (day - now.as_of).clamp(0, 400) as usize + 1];
            days.last_mut().into_iter().for_each(|last| *last = 1.0);
            (days, false)
        }
        None => remaining(&tables.wait, gone, from),
    };
    let (plain, plain_late) = remaining(&tables.ready_to_brace, gone, from);
    let mut brace = Days::new();
    add(&mut brace, &convolve(&wait, &tables.to_brace), chance);
    add(&mut brace, &plain, 1.0 - chance);
    let mut casts = Days::new();
    for (days, weight, more) in [(&wait, chance, 1), (&plain, 1.0 - chance, 0)] {
        for (day, of_day) in days.iter().enumerate() {
            let gone = gone.max(0) as usize;
            let held = holding(day + gone).saturating_sub(1 + gone / HOLDING_DAYS as usize);
            add_shifted(&mut casts, &[1.0], held + more, weight * of_day);
        }
    }
    let open = seen.tenotomy_decided.is_none() && booked.is_none();
    Casting {
        written: open.then_some(written),
        opinions: open.then_some(opinions),
        tenotomy: open.then_some(chance),
        tenotomy_days: (chance > 0.0).then_some(wait),
        overdue: (late && chance > 0.0) || (plain_late && chance < 1.0),
        ..Casting::only(brace, casts)
    }
}

/// The hindfoot signs written at the decision; missing ones have their chances.
fn decision_cells(tables: &Tables, foot: &FootNow<'_>) -> Cells {
    let last = foot.seen.visits.iter().rfind(|visit| Some(visit.day) <= foot.seen.ready_day);
    let known = last.map_or([None; 3], |visit| [visit.signs[3], visit.signs[4], visit.signs[5]]);
    let mut written = [[0.0; 3]; 7];
    for (class, weight) in foot.weights.iter().enumerate().filter(|(_, weight)| **weight > 1e-6) {
        let given = cells(&hindfoot(&foot.chains, class), &tables.kernel.given, known);
        for (into, chance) in written.iter_mut().flatten().zip(given.iter().flatten()) {
            *into += weight * chance;
        }
    }
    written
}

/// The difference between the decisions on two feet, in visits, up to the largest that is distinguished.
pub(crate) const fn apart(first: usize, last: usize) -> usize {
    let gap = last - first;
    if gap < APART { gap } else { APART - 1 }
}
