//! Calls about casts and tenotomy.

use super::dated;
use crate::in_language::PageLanguage;
use course::Phase;
use guidance::call_text::TreatmentCallText as Call;
use record::{Day, Side};

impl PageLanguage {
    /// What a call about casts or tenotomy says after the name of the foot.
    pub(super) fn treatment_call(self, call: Call) -> String {
        let sentence = match call {
            Call::CastOnTooLong { number, since, due_off } => {
                dated("call-cast-on-too-long", [("since", since), ("due", due_off)])
                    .with("n", i64::from(number))
            }
            Call::NoCastSince { off, why } => {
                let why = self.removal_reason(why);
                dated("call-no-cast-since", [("day", off)]).with("why", why.as_str())
            }
            Call::CastsUnscored { casts, scored: Some(day) } => {
                dated("call-casts-unscored", [("day", day)]).with("n", casts as i64)
            }
            Call::CastsUnscored { casts, scored: None } => {
                return self.counted("call-casts-never-scored", casts as i64);
            }
            Call::NotHeld(off) => dated("call-not-held", [("day", off)]),
            Call::Untreated { other, since } => dated("call-untreated", [("day", since)]).with("foot", other),
            Call::NoCastAfterTenotomy(on) => dated("call-no-cast-after-tenotomy", [("day", on)]),
            Call::OtherInBrace { phase, since, other, other_phase } => {
                return self.other_in_brace((phase, since), (other, other_phase));
            }
            Call::StillInCorrection { casts, on } => {
                dated("call-still-in-correction", [("day", on)]).with("n", i64::from(casts))
            }
            Call::RelapseStillInCorrection { casts, on } => {
                dated("call-relapse-still-in-correction", [("day", on)]).with("n", i64::from(casts))
            }
            Call::ReadyForTenotomy(on) => dated("call-ready-for-tenotomy", [("day", on)]),
            Call::TenotomyNotDone(on) => dated("call-tenotomy-not-done", [("day", on)]),
            Call::TenotomyWithoutDay(on) => dated("call-tenotomy-without-day", [("day", on)]),
            Call::TenotomyWaits { ready, since, planned, casts } => {
                let id = if ready { "call-tenotomy-waits-ready" } else { "call-tenotomy-waits-booked" };
                dated(id, [("since", since), ("day", planned)]).with("n", casts as i64)
            }
        };
        self.text(&sentence)
    }

    fn other_in_brace(self, (phase, since): (Phase, Day), (other, its_phase): (Side, Phase)) -> String {
        let (phase, its_phase) = (self.phase(phase), self.phase(its_phase));
        let sentence = dated("call-other-in-brace", [("day", since)]).with("foot", other);
        self.text(&sentence.with("phase", phase.as_str()).with("other", its_phase.as_str()))
    }
}
