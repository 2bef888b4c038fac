//! What calls for attention say.
//!
//! Every kind of call is matched without a rest, so that the compiler asks for the message of a new one. In English only,
//! and marked so, are the question of a call about the record ([`CallText::InDoubt`]), whose sentence comes from `course`,
//! and a call whose words alone were saved ([`CallText::English`]).

mod brace;
mod findings;
mod numbers;
mod treatment;
mod visits;
mod wear;

use super::PageLanguage;
use guidance::{CallText, Scope, call_text::ProblemStanding};
use maud::{Markup, html};
use messages::{Arg, Sentence};
use record::{ContactWay, Day, ProblemKind, Side};

/// A sentence with days.
fn dated<const N: usize>(id: &'static str, days: [(&'static str, Day); N]) -> Sentence {
    days.into_iter().fold(Sentence::new(id), |sentence, (name, day)| sentence.with(name, Arg::Date(day)))
}

impl PageLanguage {
    /// What a call for attention says.
    #[must_use]
    pub fn call(self, call: &CallText) -> Markup {
        match call {
            CallText::Treatment(side, call) => self.said_of(*side, &self.treatment_call(*call)),
            CallText::Finding(side, call) => self.said_of(*side, &self.finding_call(call)),
            CallText::Visit(call) => html! { (self.visit_call(*call)) },
            CallText::Brace(call) => html! { (self.brace_call(*call)) },
            CallText::Wear(call) => html! { (self.wear_call(*call)) },
            CallText::Problem { side, what, on, standing } => {
                html! { (self.problem_call(*side, *what, *on, *standing)) }
            }
            CallText::BirthDateMissing => html! { (self.named("call-birth-date-missing")) },
            CallText::OnLostList { call, tried, next, from } => html! {
                (self.call(call)) " " (self.counted("call-tried", *tried as i64)) " " (self.next_attempt(*next, *from))
            },
            CallText::InDoubt(Some(side), question) => {
                html! { (self.scope(Scope::Foot(*side))) ": " (self.in_english(question)) }
            }
            CallText::InDoubt(None, words) | CallText::English(words) => self.in_english(words),
        }
    }

    fn said_of(self, side: Side, words: &str) -> Markup {
        html! { (self.scope(Scope::Foot(side))) ": " (words) }
    }

    /// Words that are in English whatever the language, marked as English.
    fn in_english(self, words: &str) -> Markup {
        html! { @if let Some(english) = self.untranslated() { span lang=(english) { (words) } } @else { (words) } }
    }

    fn problem_call(
        self,
        side: Option<Side>,
        what: ProblemKind,
        on: Day,
        standing: ProblemStanding,
    ) -> String {
        let whose = side.map_or_else(|| self.named("call-the-child"), |side| self.scope(Scope::Foot(side)));
        let sentence = match standing {
            ProblemStanding::Noted => dated("call-problem", [("day", on)]),
            ProblemStanding::AdviceNotHelped => dated("call-problem-advice", [("day", on)]),
            ProblemStanding::Seen(seen) => dated("call-problem-seen", [("day", on), ("seen", seen)]),
        };
        let problem = self.problem(what);
        self.text(&sentence.with("whose", whose.as_str()).with("problem", problem.as_str()))
    }

    fn next_attempt(self, next: Option<ContactWay>, from: Day) -> String {
        let Some(way) = next else { return self.text(&dated("call-every-way-tried", [("day", from)])) };
        let way = self.contact_way(way);
        self.text(&dated("call-next-way", [("day", from)]).with("way", way.as_str()))
    }
}
