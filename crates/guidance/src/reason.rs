//! Reasons: the fact, the entry it came from, the rule and the rule's source.

use record::EntryId;
use std::borrow::Cow;

/// Shown wherever a step is suggested.
pub const CAUTION: &str = "This supports, but does not replace, the judgement of a qualified clinician. The local protocol and the treating clinician always take precedence.";

/// One reason for a step or a call for attention.
#[derive(Debug, Clone, PartialEq, Eq)]
pub struct Reason {
    /// The fact, with its day; never an interval up to "today", so that it stays true.
    pub fact: Cow<'static, str>,
    /// The entry it came from, if any.
    pub entry: Option<EntryId>,
    /// The rule, in one sentence.
    pub rule: Cow<'static, str>,
    /// The source of the rule: a paper, or "common practice, no source", or "… (from memory)".
    pub source: Cow<'static, str>,
}

impl Reason {
    /// A reason from its four parts.
    pub fn new(
        fact: impl Into<Cow<'static, str>>,
        entry: impl Into<Option<EntryId>>,
        rule: impl Into<Cow<'static, str>>,
        source: impl Into<Cow<'static, str>>,
    ) -> Self {
        Self { fact: fact.into(), entry: entry.into(), rule: rule.into(), source: source.into() }
    }
}

impl From<Reason> for Vec<Reason> {
    fn from(reason: Reason) -> Self {
        vec![reason]
    }
}
