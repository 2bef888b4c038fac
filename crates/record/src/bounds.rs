//! The bounds of each measured value, with its name in words and the reason for the bounds.
//!
//! A value outside `possible` is refused and the reason is shown; a value outside `usual` is accepted
//! with a question. The bounds are a judgement (common practice, no source) unless the reason names a
//! source.

/// A named range with its unit and the reason for it.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Bound {
    /// Its name in words, "foot length".
    pub name: &'static str,
    /// "mm", "°", "weeks" …
    pub unit: &'static str,
    /// The smallest and largest possible value; outside, the value is refused.
    pub possible: (f64, f64),
    /// The smallest and largest usual value; outside, the value is accepted with a question.
    pub usual: (f64, f64),
    /// The reason for the bounds.
    pub why: &'static str,
}

/// Whether a finding refuses the entry or only raises a question.
#[derive(Debug, Clone, Copy, PartialEq, Eq, Hash, PartialOrd, Ord)]
pub enum Severity {
    /// The entry is accepted, with a question.
    Ask,
    /// The entry is refused.
    Refuse,
}

/// A problem with one value of an entry.
#[derive(Debug, Clone, PartialEq, Eq)]
pub struct Finding {
    /// Whether it refuses the entry.
    pub severity: Severity,
    /// The key of the field, `foot_length_mm`.
    pub field: &'static str,
    /// One sentence for the reader.
    pub text: String,
}

impl Finding {
    /// A reason to refuse the entry.
    pub(crate) fn refuse(field: &'static str, text: impl Into<String>) -> Self {
        Self { severity: Severity::Refuse, field, text: text.into() }
    }

    /// A question about the entry.
    pub(crate) fn ask(field: &'static str, text: impl Into<String>) -> Self {
        Self { severity: Severity::Ask, field, text: text.into() }
    }
}

impl Bound {
    /// Checks a value of a field; `None` if it is usual.
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
        let value = if value.is_finite() { number_words(value) + unit } else { "without a number".into() };
        let (low, high) = (number_words(low), number_words(high));
        let text = format!("{name} {value} {word}: {low} to {high}{unit} is expected. {why}");
        Some(Finding { severity, field, text })
    }
}

/// A number as text in a sentence: no trailing zeros, and a true minus sign, "−27" or "7.25".
#[must_use]
pub fn number_words(value: f64) -> String {
    let size = value.abs();
    // A larger number would have up to hundreds of digits.
    let text = if size < 1e15 { size.to_string() } else { format!("{size:e}") };
    if value < 0.0 { format!("−{text}") } else { text }
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
    DORSIFLEXION: "dorsiflexion", "°", (-90.0, 60.0), (-80.0, 60.0),
        "A rigid equinus foot rests far below neutral; in 40 newborns at term dorsiflexion was not limited (Phys Ther 1983;63:1616).";
    /// Angle items of the Dimeglio score, degrees of deformity.
    DIMEGLIO_ANGLE: "angle", "°", (-60.0, 110.0), (-45.0, 90.0),
        "The score's bands run from 90° of deformity to beyond 20° past neutral.";
    /// Length of the foot.
    FOOT_LENGTH: "foot length", " mm", (50.0, 260.0), (60.0, 220.0),
        "Newborn feet are about 78 mm, SD 4 (Kuponiyi & Ogunlesi 2023); six-year-olds' about 182 mm, SD 9 (computed from Snyder 1977).";
    /// Bar length between the heels.
    BAR_LENGTH: "bar length", " mm", (100.0, 450.0), (150.0, 350.0),
        "The bar is about shoulder width: some 12 cm at birth (from memory), some 25 cm at five years (estimated).";
    /// Width of the shoulders.
    SHOULDER_WIDTH: "shoulder width", " mm", (80.0, 400.0), (100.0, 330.0),
        "Some 12 cm at birth (from memory), some 25 cm bone to bone and 27 cm over the arms at five years (estimated); centimetres are not millimetres.";
    /// Outward angle set on the bar.
    BAR_ANGLE: "outward angle", "°", (0.0, 90.0), (20.0, 75.0),
        "60–70° for an affected foot (Gupta & Agarwal 2021) and 30–45° for the other (fact sheets of three hospitals) are the published settings.";
    /// Dorsiflexion bend of the bar.
    BAR_BEND: "dorsiflexion bend", "°", (-5.0, 30.0), (0.0, 20.0),
        "10–15° (Gupta & Agarwal 2021) or 5–10° (a handbook, from memory) are the published settings.";
    /// Hours of wear per day.
    WEAR_HOURS: "hours of wear a day", " h", (0.0, 24.0), (0.0, 24.0),
        "A day has 24 hours.";
    /// Gestation at birth.
    GESTATION: "gestation", " weeks", (22.0, 44.0), (24.0, 42.0),
        "Children born before 22 weeks do not survive; 42 weeks is post-term.";
    /// Birth weight.
    BIRTH_WEIGHT: "birth weight", " g", (300.0, 7000.0), (500.0, 5500.0),
        "Grams, not kilograms.";
    /// Body weight.
    WEIGHT: "weight", " g", (500.0, 60000.0), (500.0, 60000.0),
        "Grams, not kilograms: 5.2 kg is 5200 g.";
    /// Number of a cast in its episode.
    CAST_NUMBER: "cast number", "", (1.0, 40.0), (1.0, 15.0),
        "Five to eight weeks of weekly casts are usual (NHS, at second hand); more than fifteen in one episode would be extraordinary.";
    /// A Pirani total as recorded on a sheet.
    PIRANI_TOTAL: "Pirani total", "", (0.0, 6.0), (0.0, 6.0),
        "Six signs of at most one point each; an older form that runs to 10 (Flynn 1998) is not the same score.";
    /// A Dimeglio total as recorded on a sheet.
    DIMEGLIO_TOTAL: "Dimeglio total", "", (0.0, 20.0), (0.0, 20.0),
        "Four angles of at most 4 points and four signs of one.";
    /// One item of the walking-age score.
    WALKING_ITEM: "walking-age item", " points", (0.0, 3.0), (0.0, 3.0),
        "Each item is 0, 1, 2 or 3.";
    /// Points of a Dimeglio angle, where only the points were recorded.
    ANGLE_POINTS: "points of an angle", "", (0.0, 4.0), (0.0, 4.0),
        "Each angle is worth 0 to 4 points.";
    /// An angle measured on a photograph.
    PHOTOGRAPH_ANGLE: "angle on a photograph", "°", (-180.0, 180.0), (-90.0, 90.0),
        "Beyond a right angle the points were probably tapped in another order.";
    /// The error of an angle on a photograph: half of its 95 % interval.
    PHOTOGRAPH_ANGLE_ERROR: "error of the angle", "°", (0.0, 45.0), (0.0, 15.0),
        "Points that lie too near to each other give no angle.";
    /// A length measured on a photograph beside a card.
    PHOTOGRAPH_LENGTH: "length on a photograph", " mm", (30.0, 300.0), (55.0, 220.0),
        "Newborn feet are about 78 mm, SD 4 (Kuponiyi & Ogunlesi 2023); a length far from that has the wrong points or the wrong card.";
    /// The error of a length on a photograph: half of its 95 % interval.
    PHOTOGRAPH_LENGTH_ERROR: "error of the length", " mm", (0.0, 10.0), (0.0, 5.0),
        "Beyond 5 mm, less than a size of a shoe, a length is not given.";
    /// How exactly a point of a photograph was set: the standard deviation of its place.
    PHOTOGRAPH_POINT_ERROR: "error of a point", " px", (0.0, 20.0), (0.0, 5.0),
        "A finger on the whole picture is about 3 px off.";
}

/// Longest note, in characters.
pub const NOTE_CHARS: usize = 20_000;
/// Longest name, label or reason, in characters.
pub const LINE_CHARS: usize = 500;

/// Most items of a list within one entry: hospital numbers, carers.
pub const LIST_LENGTH: usize = 50;

/// Checks the length of a text; `limit` in characters.
#[must_use]
pub fn judge_text(field: &'static str, text: &str, limit: usize) -> Option<Finding> {
    // A character has at least one byte, so characters are counted only in a long text.
    if text.len() <= limit {
        return None;
    }
    let chars = text.chars().count();
    let advice =
        if limit == NOTE_CHARS { "Shorten it, or split it into several notes." } else { "Shorten it." };
    (chars > limit).then(|| Finding {
        severity: Severity::Refuse,
        field,
        text: format!("This text has {chars} characters; at most {limit} are allowed. {advice}"),
    })
}

/// Checks the length of a list within one entry.
pub(crate) fn judge_list(field: &'static str, length: usize) -> Option<Finding> {
    (length > LIST_LENGTH).then(|| Finding {
        severity: Severity::Refuse,
        field,
        text: format!("There are {length} of these; at most {LIST_LENGTH} are allowed."),
    })
}
