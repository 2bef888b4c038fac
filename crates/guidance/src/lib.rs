//! Guidance: what each foot needs next, by when and why, and what needs somebody's attention.
//!
//! [`Outlook::of`] takes a [`course::Course`] and a [`Protocol`] and gives the next step of every foot
//! and of the child, and every attention rule that applies or will apply if nothing more is recorded,
//! with the day from which it applies.
//!
//! It never renders, never writes an entry, and never reads a clock: apart from which entries the
//! course has seen, nothing here depends on the day asked for, so that a worklist stays right
//! overnight. Nothing is suggested without its reasons; the treating clinician and the local protocol
//! always stand above it ([`CAUTION`]).
//!
//! [`brace`] fits the brace, [`relapse`] grades what was seen, [`trouble`] is the list of problems with
//! what is advised. Start reading at [`Outlook`], then [`attention`] (one rule per file) and [`step`].

pub mod attention;
pub mod brace;
mod loss;
mod outlook;
pub mod protocol;
mod reason;
pub mod relapse;
pub mod step;
pub mod trouble;

pub use attention::{Attention, Urgency};
pub use loss::FollowedUntil;
pub use outlook::{FootStatus, Outlook, WALKING_AGE_MONTHS};
pub use protocol::{EarlyReview, Protocol, ProtocolError, ReadinessRule, Setting, Span};
pub use reason::{CAUTION, Reason};
pub use step::{Action, NextStep, Scope};
