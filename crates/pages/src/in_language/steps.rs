//! Next steps.

use super::PageLanguage;
use guidance::{CastNumber, EarlyReviewAsks, NextStep, Scope, StepText, StillToMeasure};
use maud::{Markup, html};
use messages::Sentence;
use record::{Day, Purpose, Side};

impl PageLanguage {
    /// What a step says.
    #[must_use]
    pub fn step(self, step: &StepText) -> Markup {
        match step {
            StepText::Call(call) => self.call(call),
            StepText::CallToday(call) => html! { (self.named("step-today")) " " (self.call(call)) },
            StepText::BroughtForward(later, call) => {
                let later = self.plain_step(later);
                html! { (self.text(&Sentence::new("step-brought-forward").with("step", later.as_str()))) " " (self.call(call)) }
            }
            step => html! { (self.plain_step(step)) },
        }
    }

    /// A step on one line, for lists: foot, words, window.
    #[must_use]
    pub fn step_line(self, step: &NextStep, scope: &str, today: Day) -> Markup {
        html! {
            span.step-line {
                span.scope { (scope) ":" } " " strong { (self.step(&step.text)) }
                @if let Some(window) = step.window { " " (self.window(window, today)) }
            }
        }
    }

    /// What a step says, without the words of a call.
    fn plain_step(self, step: &StepText) -> String {
        if let Some(id) = fixed(step) {
            return self.named(id);
        }
        match step {
            StepText::WaitForTerm(day) => self.dated("step-wait-for-term", *day),
            StepText::EndOfBracing(day) => self.dated("step-end-of-bracing", *day),
            StepText::TenotomyBooked { second, on } => {
                self.dated(if *second { "step-tenotomy-second-booked" } else { "step-tenotomy-booked" }, *on)
            }
            StepText::Cast(cast, None) => self.cast(*cast),
            StepText::Cast(cast, Some(first)) => {
                let first = self.named(still_to_measure(*first));
                self.text(&self.of_cast("step-cast-first", *cast).with("first", first.as_str()))
            }
            StepText::CastUntilTenotomy(cast) => self.text(&self.of_cast("step-cast-until-tenotomy", *cast)),
            StepText::CastAndReviewPlan(cast) => self.text(&self.of_cast("step-cast-and-review", *cast)),
            StepText::SeeTheSameDay(problem) => {
                let problem = self.problem(*problem);
                self.text(&Sentence::new("step-see-the-same-day").with("problem", problem.as_str()))
            }
            StepText::HoldFor { other, after_tenotomy } => {
                let id = if *after_tenotomy { "step-hold-after-tenotomy" } else { "step-hold" };
                self.text(&Sentence::new(id).with("foot", *other))
            }
            StepText::WatchWhile(other) => self.text(&Sentence::new("step-watch-while").with("foot", *other)),
            StepText::EarlyReview(week, asks) => {
                let weeks = self.counted("count-weeks", (*week).into());
                self.text(&Sentence::new(early_review(*asks)).with("weeks", weeks.as_str()))
            }
            StepText::ToBook(purpose) => self.purpose(*purpose),
            StepText::OfFoot(side, step) => self.of_foot(*side, step),
            StepText::BothFeet(step) => format!("{}: {}", self.named("scope-both"), self.within(step)),
            StepText::EachFoot([(one, first), (other, second)]) => {
                format!("{}. {}", self.of_foot(*one, first), self.of_foot(*other, second))
            }
            other => other.words().into_owned(),
        }
    }

    fn of_foot(self, side: Side, step: &StepText) -> String {
        format!("{}: {}", self.scope(Scope::Foot(side)), self.within(step))
    }

    /// A step within a sentence.
    fn within(self, step: &StepText) -> String {
        let words = self.plain_step(step);
        let mut chars = words.chars();
        chars.next().map_or_else(String::new, |first| first.to_lowercase().chain(chars).collect())
    }

    fn dated(self, id: &'static str, day: Day) -> String {
        self.text(&Sentence::new(id).with("day", messages::Arg::Date(day)))
    }

    fn cast(self, cast: CastNumber) -> String {
        let number = i64::from(cast.number);
        match cast.later_episode {
            None => self.counted("step-cast", number),
            Some(episode) => {
                let named = Sentence::new("step-cast-of-episode").with("n", number);
                self.text(&named.with("episode", i64::from(episode)))
            }
        }
    }

    fn of_cast(self, id: &'static str, cast: CastNumber) -> Sentence {
        Sentence::new(id).with("cast", self.cast(cast).as_str())
    }
}

/// The message of a step without values.
const fn fixed(step: &StepText) -> Option<&'static str> {
    Some(match step {
        StepText::FirstVisit => "step-first-visit",
        StepText::FirstVisitAndCast => "step-first-visit-and-cast",
        StepText::Positional => "step-positional",
        StepText::SeeAgain => "step-see-again",
        StepText::MissedInCast => "step-missed-in-cast",
        StepText::CastAfterTenotomy => "step-cast-after-tenotomy",
        StepText::BookTenotomy { second: false } => "step-tenotomy-book",
        StepText::BookTenotomy { second: true } => "step-tenotomy-second-book",
        StepText::TenotomyWithoutDay { second: false } => "step-tenotomy-day",
        StepText::TenotomyWithoutDay { second: true } => "step-tenotomy-second-day",
        StepText::BraceWithoutTenotomy => "step-brace-without-tenotomy",
        StepText::CastOffAndBrace => "step-cast-off-and-brace",
        StepText::CastOffTooSoon => "step-cast-off-too-soon",
        StepText::BraceOutOfCast => "step-brace-out-of-cast",
        StepText::AssessAfterTenotomy => "step-assess-after-tenotomy",
        StepText::BraceReview => "step-brace-review",
        StepText::BraceReviewWornTooLittle => "step-brace-review-little",
        StepText::BraceReviewAndDecide => "step-brace-review-decide",
        StepText::NightsAndNaps => "step-nights-and-naps",
        StepText::ResumeBracing => "step-resume-bracing",
        StepText::ReviewAfterBracing => "step-review-after-bracing",
        StepText::ReviewAfterSurgery => "step-review-after-surgery",
        StepText::Relapse => "step-relapse",
        StepText::CheckRecord => "step-check-record",
        StepText::LookAgain => "step-look-again",
        StepText::Nothing => "step-nothing",
        StepText::Discharged => "step-nothing-discharged",
        StepText::Transferred => "step-nothing-transferred",
        StepText::DeclaredLost => "step-nothing-lost",
        StepText::NoFoot => "step-nothing-no-foot",
        StepText::ToBook(Purpose::Other) => "step-appointment",
        // With values; listed, so that the compiler asks about a new one.
        StepText::WaitForTerm(_)
        | StepText::Cast(..)
        | StepText::CastUntilTenotomy(_)
        | StepText::CastAndReviewPlan(_)
        | StepText::SeeTheSameDay(_)
        | StepText::TenotomyBooked { .. }
        | StepText::HoldFor { .. }
        | StepText::WatchWhile(_)
        | StepText::EarlyReview(..)
        | StepText::EndOfBracing(_)
        | StepText::ToBook(_)
        | StepText::OfFoot(..)
        | StepText::BothFeet(_)
        | StepText::EachFoot(_)
        | StepText::CallToday(_)
        | StepText::Call(_)
        | StepText::BroughtForward(..) => return None,
    })
}

const fn still_to_measure(first: StillToMeasure) -> &'static str {
    match first {
        StillToMeasure::RestOfScore => "measure-rest-of-score",
        StillToMeasure::Score => "measure-score",
        StillToMeasure::Movement => "measure-movement",
        StillToMeasure::Dorsiflexion => "measure-dorsiflexion",
        StillToMeasure::Abduction => "measure-abduction",
    }
}

const fn early_review(asks: EarlyReviewAsks) -> &'static str {
    match asks {
        EarlyReviewAsks::Nothing => "step-early-review",
        EarlyReviewAsks::NightsAndNaps => "step-early-review-nights",
        EarlyReviewAsks::WornTooLittle => "step-early-review-little",
    }
}
