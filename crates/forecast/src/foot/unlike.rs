//! The ways in which a foot is unlike the published ones, and by how much its forecast is wider.
//!
//! Every factor is assumed, because no publication states how much more the course of such a foot varies. The
//! factors multiply the spread of log pace between feet, at most to [`WIDEST`]; if any applies, the intercept of
//! tenotomy comes from a wider distribution.

use super::{Unlike, UnlikeWhy};
use crate::SeenChild;
use crate::SeenFoot;

/// Age at the first cast beyond which a child is older than nearly all of the published ones, days:
/// the cohorts began at a mean of 4 to 15 weeks, few children were over a year.
const OLDER_DAYS: i32 = 365;
/// Born before so many weeks is premature.
const TERM_WEEKS: u8 = 37;
const WIDEST: f64 = 2.0;

/// Spread of severity of a foot whose first score here is not that of an untreated foot; 1 is published.
pub(crate) const TREATED_SEVERITY_SD: f64 = 1.5;

/// The ways in which a foot is unlike the published ones.
pub(crate) fn unlike(child: &SeenChild, foot: &SeenFoot, as_of: i32) -> Vec<Unlike> {
    let first = foot.visits.first().map_or(as_of, |visit| visit.day);
    let older = child.born_day.is_some_and(|born| first - born > OLDER_DAYS);
    let premature = child.gestation_weeks.is_some_and(|weeks| weeks < TERM_WEEKS);
    let found = [
        (foot.complex, UnlikeWhy::Complex),
        (foot.other_cause, UnlikeWhy::OtherCause),
        (older, UnlikeWhy::Older),
        (foot.treated_before, UnlikeWhy::TreatedBefore),
        (premature, UnlikeWhy::Premature),
        (child.born_day.is_none(), UnlikeWhy::AgeUnknown),
    ];
    let applies = found.into_iter().filter(|(applies, _)| *applies);
    applies.map(|(_, why)| Unlike { why, text: words(why).to_owned() }).collect()
}

/// Factor on the spread of pace.
pub(crate) fn widening(unlike: &[Unlike]) -> f64 {
    let product: f64 = unlike.iter().map(|unlike| factor(unlike.why)).product();
    product.min(WIDEST)
}

const fn factor(why: UnlikeWhy) -> f64 {
    match why {
        UnlikeWhy::Complex | UnlikeWhy::Older | UnlikeWhy::TreatedBefore => 1.3,
        UnlikeWhy::OtherCause => 1.5,
        UnlikeWhy::Premature | UnlikeWhy::AgeUnknown => 1.15,
    }
}

const fn words(why: UnlikeWhy) -> &'static str {
    match why {
        UnlikeWhy::Complex => {
            "A complex foot: few are published (50 of 762 in the first series), so slower progress is assumed and the forecast is wider."
        }
        UnlikeWhy::OtherCause => {
            "Syndromic or neurogenic: the published courses are of idiopathic feet, so slower progress is assumed and the forecast is wider."
        }
        UnlikeWhy::Older => {
            "Over a year old at the first cast: nearly all published children were infants, so the forecast is wider."
        }
        UnlikeWhy::TreatedBefore => {
            "Treated elsewhere before: its first score is not that of an untreated foot, so the forecast is wider."
        }
        UnlikeWhy::Premature => {
            "Born before 37 weeks: hardly any series reports these children separately, so the forecast is a little wider."
        }
        UnlikeWhy::AgeUnknown => {
            "The day of birth is not recorded: age could not be used, so the forecast is a little wider."
        }
    }
}
