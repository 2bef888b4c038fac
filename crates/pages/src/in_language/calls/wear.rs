//! Calls about hours in the brace.

use super::dated;
use crate::in_language::PageLanguage;
use course::WearKind;
use guidance::call_text::WearCallText as Call;
use messages::Sentence;

impl PageLanguage {
    /// What a call about hours in the brace says.
    pub(super) fn wear_call(self, call: Call) -> String {
        let sentence = match call {
            Call::NotWorn { days, from, to, how } => {
                let sentence = dated("call-not-worn", [("from", from), ("to", to)]);
                sentence.with("n", i64::from(days)).with("how", self.whose_account(how).as_str())
            }
            Call::Fell { how, before, after, week } => dated("call-wear-fell", [("day", week)])
                .with("how", self.whose_account(how).as_str())
                .with("before", self.tenths(before).as_str())
                .with("after", self.tenths(after).as_str()),
            Call::Low { how, hours, prescribed, percent, from, to } => {
                dated("call-wear-low", [("from", from), ("to", to)])
                    .with("how", self.whose_account(how).as_str())
                    .with("hours", self.tenths(hours).as_str())
                    .with("prescribed", self.tenths(prescribed).as_str())
                    .with("percent", percent.whole().as_str())
            }
            Call::BelowReported { days, reported, logged, times } => {
                let sentence = match times {
                    Some(times) => {
                        Sentence::new("call-below-reported").with("times", self.tenths(times).as_str())
                    }
                    None => Sentence::new("call-nothing-logged"),
                };
                sentence
                    .with("n", days as i64)
                    .with("reported", self.tenths(reported).as_str())
                    .with("logged", self.tenths(logged).as_str())
            }
            Call::NotRecorded { known: true, day } => dated("call-wear-known-until", [("day", day)]),
            Call::NotRecorded { known: false, day } => dated("call-wear-never-recorded", [("day", day)]),
        };
        self.text(&sentence)
    }

    fn whose_account(self, how: WearKind) -> String {
        self.named(match how {
            WearKind::Reported => "how-reported",
            WearKind::Logged => "how-logged",
        })
    }
}
