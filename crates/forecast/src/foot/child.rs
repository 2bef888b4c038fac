//! The forecast of every foot of a child on its way to the brace.

use super::casting::{Casting, decided, in_casts, outcomes};
use super::now::ChildNow;
use super::outcomes::{Outcomes, scale};
use super::pair;
use super::tables::{Tables, held};
use crate::whole_days::{Days, later_of};

/// The forecast of every foot of a child that is on its way to the brace; `None` for the others.
pub(crate) fn forecast(tables: &Tables, now: &ChildNow<'_>) -> Vec<Option<Casting>> {
    let outcomes: Vec<Option<Outcomes>> = now.feet.iter().map(|foot| outcomes(tables, foot)).collect();
    if let ([Some(first), Some(second)], Some(joint)) = (outcomes.as_slice(), &now.joint) {
        let both = pair::joint(tables, now, [first, second], joint);
        return pair::forecast(tables, now, [first, second], &both);
    }
    let mut feet: Vec<Option<Casting>> = now
        .feet
        .iter()
        .zip(&outcomes)
        .map(|(foot, outcomes)| match outcomes {
            Some(outcomes) => Some(in_casts(tables, now, foot, outcomes)),
            None => decided(tables, now, foot),
        })
        .collect();
    if let [Some(first), Some(second)] = feet.as_mut_slice() {
        wait_for_each_other(first, second);
    }
    feet
}

/// What a child still needs before its brace: chances of 0, 1, 2 … more visits with a correcting cast on either
/// foot, and the chance that a tenotomy of either foot is still to come. `None` if no foot is on its way to the brace.
pub(crate) fn places(tables: &Tables, now: &ChildNow<'_>) -> Option<(Days, f64)> {
    let outcomes: Vec<Option<Outcomes>> = now.feet.iter().map(|foot| outcomes(tables, foot)).collect();
    if let ([Some(first), Some(second)], Some(joint)) = (outcomes.as_slice(), &now.joint) {
        return Some(pair::joint(tables, now, [first, second], joint).places());
    }
    let feet: Vec<Casting> = forecast(tables, now).into_iter().flatten().collect();
    let visits =
        feet.iter().map(|foot| foot.correcting.clone()).reduce(|one, other| later_of(&one, &other))?;
    let cut = |foot: &Casting| foot.tenotomy.unwrap_or(if foot.tenotomy_days.is_some() { 1.0 } else { 0.0 });
    Some((visits, 1.0 - feet.iter().map(|foot| 1.0 - cut(foot)).product::<f64>()))
}

/// The brace waits for both feet; the foot that could be braced first gets holding casts.
fn wait_for_each_other(first: &mut Casting, second: &mut Casting) {
    scale(&mut first.brace);
    scale(&mut second.brace);
    first.casts = held(&first.casts, &first.brace, &second.brace);
    second.casts = held(&second.casts, &second.brace, &first.brace);
    let both = later_of(&first.brace, &second.brace);
    first.brace.clone_from(&both);
    second.brace = both;
}
