//! The bounds within which a value is believed, each with its human word and the sentence behind it.
//!
//! Outside `possible` a value is refused with that sentence; outside `usual` it is accepted with a
//! question. The bounds are judgement (common practice, no source) unless the sentence names one.

/// A named range with its unit and the reason for it.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Bound {
    /// The human word, "foot length".
    pub name: &'static str,
    /// "mm", "°", "weeks" …
    pub unit: &'static str,
    /// Outside this the value is refused.
    pub possible: (f64, f64),
    /// Outside this the value is accepted with a question.
    pub usual: (f64, f64),
    /// Why the bounds stand where they stand.
    pub why: &'static str,
}

/// Whether a finding stops the entry or only asks.
#[derive(Debug, Clone, Copy, PartialEq, Eq, Hash, PartialOrd, Ord)]
pub enum Severity {
    /// Accepted, with a question.
    Ask,
    /// Not accepted.
    Refuse,
}

/// What is odd about one value of an entry.
#[derive(Debug, Clone, PartialEq, Eq)]
pub struct Finding {
    /// Refused or asked.
    pub severity: Severity,
    /// A key that names the field for forms, `foot_length_mm`.
    pub field: &'static str,
    /// One sentence for the reader.
    pub text: String,
}

impl Bound {
    /// Judges a value; `None` when there is nothing to say.
    #[must_use]
    pub fn judge(&self, field: &'static str, value: f64) -> Option<Finding> {
        let inside = |(low, high): (f64, f64)| (low..=high).contains(&value);
        if inside(self.usual) && inside(self.possible) {
            return None;
        }
        let Self { name, unit, why, .. } = self;
        let (severity, (low, high), word) = if inside(self.possible) {
            (Severity::Ask, self.usual, "is unusual")
        } else {
            (Severity::Refuse, self.possible, "cannot be right")
        };
        let text = format!("{name} {value}{unit} {word}: {low} to {high}{unit} is expected. {why}");
        Some(Finding { severity, field, text })
    }
}

macro_rules! bounds {
    ($($(#[$doc:meta])* $id:ident: $name:literal, $unit:literal, $possible:expr, $usual:expr, $why:literal;)*) => {
        $($(#[$doc])* pub const $id: Bound = Bound {
            name: $name, unit: $unit, possible: $possible, usual: $usual, why: $why,
        };)*
        /// Every bound, for the page that lists them.
        pub const ALL: &[&Bound] = &[$(&$id),*];
    };
}

bounds! {
    /// Abduction of the foot under the talus.
    ABDUCTION: "abduction", "°", (-60.0, 90.0), (-40.0, 80.0),
        "An untreated foot may lie 40° adducted; above 80° an ankle is not measured by abduction any more.";
    /// Dorsiflexion, knee straight.
    DORSIFLEXION: "dorsiflexion", "°", (-90.0, 60.0), (-80.0, 40.0),
        "A rigid equinus foot rests far below neutral; a newborn's normal foot can be brought up some 40°.";
    /// Angle items of the Dimeglio score, degrees of deformity.
    DIMEGLIO_ANGLE: "angle", "°", (-60.0, 110.0), (-45.0, 90.0),
        "The score's bands run from 90° of deformity to beyond 20° past neutral.";
    /// Length of the foot.
    FOOT_LENGTH: "foot length", " mm", (50.0, 260.0), (60.0, 220.0),
        "Newborn feet are about 78 mm (SD 4); six-year-olds' about 182 mm (SD 9) (Snyder 1977).";
    /// Bar length between the heels.
    BAR_LENGTH: "bar length", " mm", (100.0, 450.0), (150.0, 350.0),
        "The bar is about shoulder width: 12 cm at birth, some 25 cm at five years.";
    /// Outward angle set on the bar.
    BAR_ANGLE: "outward angle", "°", (0.0, 90.0), (20.0, 75.0),
        "60–70° for an affected foot and 30–40° for the other are the published settings.";
    /// Dorsiflexion bend of the bar.
    BAR_BEND: "dorsiflexion bend", "°", (-5.0, 30.0), (0.0, 20.0),
        "5–15° is the published setting.";
    /// Hours of wear a day.
    WEAR_HOURS: "hours of wear a day", " h", (0.0, 24.0), (0.0, 24.0),
        "A day has 24 hours.";
    /// Gestation at birth.
    GESTATION: "gestation", " weeks", (22.0, 44.0), (24.0, 42.0),
        "Children born before 22 weeks do not survive; 42 weeks is post-term.";
    /// Birth weight.
    BIRTH_WEIGHT: "birth weight", " g", (300.0, 7000.0), (500.0, 5500.0),
        "Grams, not kilograms.";
    /// Number of a cast in its episode.
    CAST_NUMBER: "cast number", "", (1.0, 40.0), (1.0, 15.0),
        "Four to seven casts are usual; more than fifteen in one episode would be extraordinary.";
    /// One item of the walking-age score.
    WALKING_ITEM: "walking-age item", " points", (0.0, 3.0), (0.0, 3.0),
        "Each item is 0, 1, 2 or 3.";
    /// Points of a Dimeglio angle where only points were written.
    ANGLE_POINTS: "points of an angle", "", (0.0, 4.0), (0.0, 4.0),
        "Each angle is worth 0 to 4 points.";
}

/// Longest note, in characters.
pub const NOTE_CHARS: usize = 20_000;
/// Longest name, label or reason, in characters.
pub const LINE_CHARS: usize = 500;

/// Judges the length of a text; `limit` in characters.
#[must_use]
pub fn judge_text(field: &'static str, text: &str, limit: usize) -> Option<Finding> {
    let chars = text.chars().count();
    (chars > limit).then(|| Finding {
        severity: Severity::Refuse,
        field,
        text: format!("This text has {chars} characters; at most {limit} are kept. Shorten it, or split it into several notes."),
    })
}
