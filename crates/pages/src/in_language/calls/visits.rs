//! Calls about visits, and about a family that does not come.

use super::dated;
use crate::in_language::PageLanguage;
use guidance::call_text::{AwaitedVisit, LossSpan, LossText, LossWait, UnbookedSince, VisitCallText as Call};
use messages::Sentence;
use record::{Day, Purpose};

impl PageLanguage {
    /// What a call about visits says.
    pub(super) fn visit_call(self, call: Call) -> String {
        let sentence = match call {
            Call::Attended(on) => dated("call-attended", [("day", on)]),
            Call::Missed { on, purpose, next: Some(next) } => {
                self.for_purpose(dated("call-missed-next", [("day", on), ("next", next)]), purpose)
            }
            Call::Missed { on, purpose, next: None } => {
                self.for_purpose(dated("call-missed", [("day", on)]), purpose)
            }
            Call::Passed { on, purpose } => self.for_purpose(dated("call-passed", [("day", on)]), purpose),
            Call::NoneBooked { since, cancelled } => {
                let sentence = match cancelled {
                    Some(day) => dated("call-none-booked-cancelled", [("day", day)]),
                    None => Sentence::new("call-none-booked"),
                };
                sentence.with("since", self.unbooked_since(since).as_str())
            }
            Call::EarlyReviewOverdue { week, due } => {
                let weeks = self.counted("count-weeks", week.into());
                dated("call-early-review-overdue", [("day", due)]).with("weeks", weeks.as_str())
            }
            Call::ReviewOverdue { seen, due } => dated("call-review-overdue", [("seen", seen), ("day", due)]),
            Call::NeverSeen { late, referred, born } => {
                let id = if late { "call-never-seen-late" } else { "call-never-seen" };
                dated(id, [("day", referred)]).with("born", self.born_on(born).as_str())
            }
            Call::DeclaredLost(on) => dated("call-declared-lost", [("day", on)]),
            Call::CountsAsLost(loss) => self.loss(loss),
        };
        self.text(&sentence)
    }

    fn for_purpose(self, sentence: Sentence, purpose: Option<Purpose>) -> Sentence {
        let purpose = purpose.map_or_else(|| self.named("step-appointment"), |purpose| self.purpose(purpose));
        sentence.with("purpose", purpose.as_str())
    }

    fn unbooked_since(self, since: UnbookedSince) -> String {
        self.text(&match since {
            UnbookedSince::LastSeen(day) => dated("since-last-seen", [("day", day)]),
            UnbookedSince::Referred(day) => dated("since-referred", [("day", day)]),
            UnbookedSince::ReferredAgain(day) => dated("since-referred-again", [("day", day)]),
        })
    }

    fn born_on(self, born: Option<Day>) -> String {
        match born {
            Some(born) => self.text(&dated("born-on", [("day", born)])),
            None => self.named("born-on-unknown"),
        }
    }

    fn loss(self, loss: LossText) -> Sentence {
        let days = [("seen", loss.seen), ("ended", loss.ended)];
        let sentence = match loss.waits_for {
            None => dated("call-lost", days),
            Some(LossWait::Appointment(day)) => {
                dated("call-lost-appointment", days).with("day", messages::Arg::Date(day))
            }
            Some(LossWait::Planned(visit, last)) => dated("call-lost-planned", days)
                .with("day", messages::Arg::Date(last))
                .with("visit", self.awaited_visit(visit).as_str()),
        };
        sentence.with("span", self.loss_span(loss.span).as_str())
    }

    fn loss_span(self, span: LossSpan) -> String {
        match span {
            LossSpan::Casting(days) => self.counted("lost-span-casting", days.into()),
            LossSpan::Tenotomy(days) => self.counted("lost-span-tenotomy", days.into()),
            LossSpan::Bracing(months) => self.counted("lost-span-bracing", months.into()),
        }
    }

    fn awaited_visit(self, visit: AwaitedVisit) -> String {
        self.named(match visit {
            AwaitedVisit::Booked => "lost-visit-booked",
            AwaitedVisit::EndOfTenotomyCast => "lost-visit-cast-end",
            AwaitedVisit::NextCast => "lost-visit-cast",
            AwaitedVisit::Review => "lost-visit-review",
        })
    }
}
