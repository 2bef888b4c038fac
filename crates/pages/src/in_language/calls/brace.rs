//! Calls about the brace.

use super::dated;
use crate::{in_language::PageLanguage, words::degrees};
use guidance::call_text::{
    AngleKnownBy, BraceCallText as Call, OutgrownWindow, ReachedAngle, SettingText as Setting,
};
use messages::Sentence;
use record::Side;

impl PageLanguage {
    /// What a call about the brace says.
    pub(super) fn brace_call(self, call: Call) -> String {
        let sentence = match call {
            Call::BarTooNarrow { bar_mm, window } => Sentence::new("call-bar-too-narrow")
                .with("mm", i64::from(bar_mm))
                .with("window", self.outgrown(window).as_str()),
            Call::BootOutgrown { side, inner_mm, window } => self
                .of_boot("call-boot-outgrown", side)
                .with("mm", i64::from(inner_mm))
                .with("window", self.outgrown(window).as_str()),
            Call::BootTooSmall { side, inner_mm, foot_mm, on } => self
                .of_boot("call-boot-too-small", side)
                .with("mm", i64::from(inner_mm))
                .with("length", i64::from(foot_mm))
                .with("day", messages::Arg::Date(on)),
            Call::OrderBoots { by, side, inner_mm, window } => self
                .of_boot("call-order-boots", side)
                .with("day", messages::Arg::Date(by))
                .with("mm", i64::from(inner_mm))
                .with("window", self.outgrown(window).as_str()),
            Call::Setting(setting) => self.setting(setting),
            Call::Stopped { on, planned: Some(end) } => dated("call-stopped", [("day", on), ("end", end)]),
            Call::Stopped { on, planned: None } => dated("call-stopped-unknown", [("day", on)]),
            Call::FullTimeEndedEarly { on, lasted, planned } => dated("call-full-time-ended", [("day", on)])
                .with("lasted", i64::from(lasted))
                .with("n", i64::from(planned)),
            Call::NightTimeDue { since, weeks, until } => {
                dated("call-night-time-due", [("since", since), ("day", until)]).with("n", i64::from(weeks))
            }
            Call::EndDue { on, years } => dated("call-end-due", [("day", on)]).with("n", i64::from(years)),
        };
        self.text(&sentence)
    }

    fn of_boot(self, id: &'static str, side: Side) -> Sentence {
        Sentence::new(id).with("boot", self.boot(side).as_str())
    }

    fn setting(self, setting: Setting) -> Sentence {
        let turned_out = |id, side: Side, deg: i16| {
            self.of_boot(id, side).with("deg", degrees(deg).as_str()).with("foot", side)
        };
        let beyond = |id, side: Side, deg: i16, reached: ReachedAngle| {
            self.of_boot(id, side)
                .with("deg", degrees(deg).as_str())
                .with("reached", self.reached(reached).as_str())
        };
        match setting {
            Setting::OutwardBeyondReached { side, deg, reached } => {
                beyond("call-outward-beyond", side, deg, reached)
            }
            Setting::BendBeyondReached { side, deg, reached } => {
                beyond("call-bend-beyond", side, deg, reached)
            }
            Setting::WideOnComplex { side, deg } => turned_out("call-wide-complex", side, deg),
            Setting::WideOnUnaffected { side, deg } => turned_out("call-wide-unaffected", side, deg),
            Setting::WideOnUnaffectedBarUnknown { side, deg } => {
                turned_out("call-wide-bar-unknown", side, deg)
            }
            Setting::Exchanged { clubfoot, own_deg, other_deg } => Sentence::new("call-exchanged")
                .with("clubfoot", self.feet(Some(clubfoot.into())).as_str())
                .with("own", degrees(own_deg).as_str())
                .with("other", self.feet(Some(clubfoot.other().into())).as_str())
                .with("deg", degrees(other_deg).as_str()),
            Setting::OneBoot(Side::Right) => Sentence::new("call-one-boot-right"),
            Setting::OneBoot(Side::Left) => Sentence::new("call-one-boot-left"),
            Setting::BarLength { bar_mm, shoulders_mm, on, width } => dated("call-bar-length", [("day", on)])
                .with("bar", i64::from(bar_mm))
                .with("mm", i64::from(shoulders_mm))
                .with("width", self.shoulder_width(width).as_str()),
        }
    }

    fn reached(self, reached: ReachedAngle) -> String {
        let id = match reached.how {
            AngleKnownBy::Cast => "reached-cast",
            AngleKnownBy::Measured => "reached-measured",
            AngleKnownBy::Tenotomy => "reached-tenotomy",
        };
        self.text(&dated(id, [("day", reached.on)]).with("deg", degrees(reached.deg).as_str()))
    }

    fn outgrown(self, window: OutgrownWindow) -> String {
        self.text(&match window {
            OutgrownWindow::Already(on) => dated("outgrown-already", [("day", on)]),
            OutgrownWindow::Between { likely: Some(likely), from, to } => {
                dated("outgrown-between-likely", [("likely", likely), ("from", from), ("to", to)])
            }
            OutgrownWindow::Between { likely: None, from, to } => {
                dated("outgrown-between", [("from", from), ("to", to)])
            }
            OutgrownWindow::NotBefore { likely: Some(likely), from } => {
                dated("outgrown-not-before-likely", [("likely", likely), ("from", from)])
            }
            OutgrownWindow::NotBefore { likely: None, from } => {
                dated("outgrown-not-before", [("from", from)])
            }
        })
    }
}
