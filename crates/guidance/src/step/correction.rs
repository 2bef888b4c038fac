//! From the first cast to the brace: casts, the tenotomy and the cast after it.

use super::{NextStep, casting, tenotomy, view::View};
use course::Phase;

/// The next step of a foot in correction, waiting for its tenotomy, or in the cast after it.
pub(crate) fn step(view: &View<'_>) -> NextStep {
    let after_tenotomy = match view.foot.phase {
        Phase::TenotomyCast => true,
        Phase::InCorrection => view.cast_after_tenotomy().is_some(),
        _ => false,
    };
    let cast_off = after_tenotomy.then(|| tenotomy::cast_off(view)).flatten();
    cast_off.unwrap_or_else(|| before_tenotomy(view))
}

fn before_tenotomy(view: &View<'_>) -> NextStep {
    match view.foot.tenotomy_plan {
        None if view.status.corrected == Some(true) => tenotomy::brace_without(view),
        Some(plan) => tenotomy::keep(view, plan),
        None if view.status.ready_for_tenotomy == Some(true) => tenotomy::book(view),
        None => casting::step(view),
    }
}
