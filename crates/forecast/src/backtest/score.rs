//! One forecast compared with the outcome.

use super::baselines::{Running, rule_casts};
use crate::SeenFoot;
use crate::foot::{DateForecast, DayWindow, FootForecast, Stage, windows};
use crate::learning::rule_of_thumb;

/// The event of a window.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub(super) enum Event {
    Ready,
    Tenotomy,
    Brace,
}

/// The experience of the clinic when a forecast was made.
#[derive(Debug, Clone, Copy)]
pub(super) struct Experience {
    /// Feet that had finished before.
    pub(super) finished: usize,
    /// Place of the foot itself in the order of finishing, from 1.
    pub(super) place: usize,
}

/// A window compared with the day of the event.
#[derive(Debug, Clone, Copy)]
pub(super) struct Hit {
    pub(super) event: Event,
    pub(super) experience: Experience,
    /// Of 50 % and of 90 %: whether it contained the day, its length in days, and the stated chance.
    pub(super) held: [bool; 2],
    pub(super) days: [i32; 2],
    pub(super) stated: [f64; 2],
}

/// Forecasts of a value, the model's first, then those of the baselines, compared with the outcome.
#[derive(Debug, Clone, Copy)]
pub(super) struct Against<T> {
    pub(super) experience: Experience,
    pub(super) forecast: [f64; 3],
    pub(super) happened: T,
}

/// The scores of one forecast of one foot.
#[derive(Debug, Clone, Default)]
pub(super) struct Scores {
    pub(super) hits: Vec<Hit>,
    pub(super) casts: Vec<Against<f64>>,
    pub(super) tenotomy: Vec<Against<bool>>,
}

impl Scores {
    pub(super) fn take(&mut self, other: Self) {
        self.hits.extend(other.hits);
        self.casts.extend(other.casts);
        self.tenotomy.extend(other.tenotomy);
    }

    /// Scores a forecast made from `then` by what is known `now`.
    pub(super) fn of(
        forecast: &FootForecast,
        then: &SeenFoot,
        now: &SeenFoot,
        running: &Running,
        experience: Experience,
    ) -> Self {
        let mut scores = Self::default();
        let day = forecast.as_of;
        let open = |known: Option<i32>| known.filter(|known| *known > day);
        let mut hit = |event, forecast: Option<&DateForecast>, happened| {
            scores.hits.extend(hit(event, experience, forecast, happened));
        };
        hit(Event::Ready, forecast.ready.as_ref(), open(now.ready_day));
        if then.tenotomy_planned_day.is_none() {
            hit(Event::Tenotomy, forecast.tenotomy_day.as_ref(), open(now.tenotomy_day));
        }
        hit(Event::Brace, forecast.brace.as_ref(), open(now.brace_day));
        if matches!(forecast.stage, Stage::BeforeFirstCast | Stage::InCasts)
            && now.ready_day.is_some_and(|ready| ready > day)
        {
            scores.in_casts(forecast, then, now, running, experience);
        }
        scores
    }

    fn in_casts(
        &mut self,
        forecast: &FootForecast,
        then: &SeenFoot,
        now: &SeenFoot,
        running: &Running,
        experience: Experience,
    ) {
        if let Some(counts) = &forecast.casts_to_come {
            let median = windows::median(&counts.chances) as f64;
            let happened = f64::from(now.casts.saturating_sub(then.casts));
            let forecast = [median, rule_casts(then), running.casts(then)];
            self.casts.push(Against { experience, forecast, happened });
        }
        if let Some(chance) = forecast.tenotomy {
            let forecast = [chance.value, rule_of_thumb(then, forecast.as_of), running.tenotomy()];
            self.tenotomy.push(Against { experience, forecast, happened: now.tenotomy_day.is_some() });
        }
    }
}

fn hit(
    event: Event,
    experience: Experience,
    forecast: Option<&DateForecast>,
    happened: Option<i32>,
) -> Option<Hit> {
    let (forecast, day) = (forecast?, happened?);
    let both = [forecast.window50, forecast.window90];
    let held = |window: DayWindow| (window.from_day..=window.to_day).contains(&day);
    Some(Hit {
        event,
        experience,
        held: both.map(held),
        days: both.map(|window| window.to_day - window.from_day + 1),
        stated: both.map(|window| window.chance),
    })
}
