//! One simulated child as the papers would have tabulated it.

use forecast::natural_history::{
    CastVisit, FootTruth, LAST_AGE_DAYS, QUARTER_DAYS, SecondRater, SimulatedChild,
};
use forecast::{SignsSeen, halves};
use record::Sign;

/// A child.
#[derive(Debug, Clone)]
pub(super) struct Row {
    pub(super) feet: Vec<FootRow>,
    pub(super) adherent: bool,
    pub(super) boy: bool,
    pub(super) complex: bool,
    /// Age at the first relapse of either foot.
    pub(super) relapse_age_days: Option<f64>,
    /// Age to which the child is followed, 2.0 to 9.8 years, cut at the last age simulated.
    pub(super) followed_to_days: f64,
    /// Logged hours by quarter of a year of bracing.
    pub(super) logged: [Option<f64>; 6],
    /// Reported for an hour logged, in the nights.
    pub(super) reported_for_logged: Option<f64>,
    /// Left care before the clinic's books were closed: in bracing, or in casts.
    pub(super) left_in_brace: Option<bool>,
}

/// A foot.
#[derive(Debug, Clone)]
pub(super) struct FootRow {
    pub(super) start: SignsSeen,
    /// The same foot at the same visit by another rater.
    pub(super) start_again: SignsSeen,
    /// Some visit of the course, by two raters.
    pub(super) midway: [SignsSeen; 2],
    pub(super) decision: SignsSeen,
    pub(super) at_brace: SignsSeen,
    pub(super) dorsiflexion: f64,
    pub(super) dorsiflexion_at_decision: f64,
    pub(super) casts: f64,
    pub(super) correcting: f64,
    /// Correcting casts that slipped.
    pub(super) slips: f64,
    pub(super) days: f64,
    pub(super) cut: bool,
    pub(super) age_days: f64,
    pub(super) right: bool,
}

impl FootRow {
    pub(super) fn pirani(&self) -> f64 {
        total(&self.start)
    }

    pub(super) fn hindfoot(&self) -> f64 {
        points(&self.start, &Sign::ALL[3..])
    }
}

/// Points of these signs; the simulator always judges all six.
pub(super) fn points(signs: &SignsSeen, which: &[Sign]) -> f64 {
    halves(signs, which).map_or(f64::NAN, |halves| f64::from(halves) / 2.0)
}

pub(super) fn total(signs: &SignsSeen) -> f64 {
    points(signs, &Sign::ALL)
}

/// Tabulates a child; `close` is the day on which the clinic's books were closed.
pub(super) fn row(rater: &mut SecondRater<'_>, child: &SimulatedChild, close: i32) -> Row {
    let truth = &child.truth;
    rater.turn_to(truth.number);
    let feet = truth.feet.iter().filter_map(|foot| foot_row(rater, child, foot)).collect();
    let relapse = truth.feet.iter().filter_map(|foot| foot.relapse_day).min();
    let in_brace = |logged: bool| truth.wear.iter().filter(move |span| span.logged == logged);
    let quarter = |number: usize| {
        let within = in_brace(true).filter(|span| {
            let middle = f64::from(span.from_day + span.to_day) / 2.0 - f64::from(truth.brace_day);
            (middle / QUARTER_DAYS) as usize == number
        });
        let spans: Vec<f64> = within.map(|span| span.hours_per_day).collect();
        (!spans.is_empty()).then(|| spans.iter().sum::<f64>() / spans.len() as f64)
    };
    let night = |logged: bool| in_brace(logged).find(|span| span.from_day >= truth.full_time_end_day);
    let leaves = truth.leaves_day.filter(|day| *day < close);
    Row {
        feet,
        adherent: truth.adherent,
        boy: truth.boy,
        complex: truth.feet.iter().any(|foot| foot.complex),
        relapse_age_days: relapse.map(|day| f64::from(day - truth.born_day)),
        followed_to_days: ((2.0 + 7.8 * rater.unit()) * 365.25).min(f64::from(LAST_AGE_DAYS)),
        logged: std::array::from_fn(quarter),
        reported_for_logged: match (night(false), night(true)) {
            (Some(reported), Some(found)) if found.hours_per_day > 0.0 => {
                Some(reported.hours_per_day / found.hours_per_day)
            }
            _ => None,
        },
        left_in_brace: leaves.map(|day| day > truth.brace_day),
    }
}

fn foot_row(rater: &mut SecondRater<'_>, child: &SimulatedChild, foot: &FootTruth) -> Option<FootRow> {
    let truth = &child.truth;
    let (first, last): (&CastVisit, &CastVisit) = (foot.cast_visits.first()?, foot.cast_visits.last()?);
    let some = (rater.unit() * foot.cast_visits.len() as f64) as usize;
    let midway = foot.cast_visits.get(some)?;
    Some(FootRow {
        start: first.judged,
        start_again: rater.judge(&first.levels),
        midway: [midway.judged, rater.judge(&midway.levels)],
        decision: last.judged,
        at_brace: foot.at_brace_written,
        dorsiflexion: first.dorsiflexion_deg?,
        dorsiflexion_at_decision: last.dorsiflexion_deg?,
        casts: foot.casts.len() as f64,
        correcting: foot.correcting_casts() as f64,
        slips: foot.cast_visits.iter().filter(|cast_visit| cast_visit.slipped).count() as f64,
        days: f64::from(truth.brace_day - truth.first_cast_day),
        cut: foot.tenotomy_day.is_some(),
        age_days: f64::from(truth.first_cast_day - truth.born_day),
        right: foot.side == record::Side::Right,
    })
}
