//! Guidance: what each foot needs next, by when and why, and which children need attention.
//!
//! [`Outlook::of`] takes a [`course::Course`] and a [`Protocol`] and gives the next step of every foot
//! and of the child, and every attention rule that applies or will apply if nothing more is recorded,
//! with the day from which it applies.
//!
//! It never renders, never writes an entry, and never reads a clock: apart from the visible entries, nothing
//! here depends on the requested day, so a worklist stays right overnight. Nothing is suggested without its
//! reasons; the treating clinician and the local protocol always take precedence ([`CAUTION`]).
//!
//! [`anaesthetic`] has the ceilings of local anaesthetics, [`before_tenotomy`] what has to be known before a
//! tenotomy, [`brace`] fits the brace, [`relapse`] grades a relapse from the findings, [`brace_problem`] is the list of
//! problems and advice, [`call_text`] is what a call for attention says, as data. Start reading at [`Outlook`], then [`attention`] (one rule per file) and [`step`].

pub mod anaesthetic;
pub mod attention;
pub mod before_tenotomy;
pub mod brace;
pub mod brace_problem;
pub mod call_text;
mod child_actions;
mod foot_status;
mod loss;
mod outlook;
mod progress;
pub mod protocol;
mod reason;
pub mod relapse;
mod reported;
mod source;
pub mod step;
mod urgency;
mod words;

pub use attention::Attention;
pub use call_text::CallText;
pub use child_actions::{ChildAction, ChildActions};
pub use foot_status::FootStatus;
pub use loss::FollowedUntil;
pub use outlook::{Outlook, WALKING_AGE_MONTHS};
pub use protocol::{
    ChangedFile, EarlyReview, InfantCutRule, OutgrownRule, Protocol, ProtocolError, ProtocolSetting,
    ReadinessRule, SettingControl, SourceMark, Span, ValueRefused,
};
pub use reason::{CAUTION, Reason};
pub use reported::reported_problems;
pub use step::{
    Action, CastNumber, EarlyReviewAsks, NextStep, Scope, StepText, StillToMeasure, to_book, without_echo,
};
pub use urgency::Urgency;
