//! Whether a change between two readings on photographs is more than the error of the clinic's own readings.

use photographs::{ChangeVerdict, ReadingError};

/// Sentences about a change from an earlier to a later reading, from readings that were repeated. `words` are what was
/// read, its unit, and what adds to the error of the points.
pub(super) fn change_judged(
    repeated: &[Vec<f64>],
    (earlier, later): (f64, f64),
    (what, unit, adds): (&str, &str, &str),
) -> String {
    let Ok(error) = ReadingError::of(repeated) else {
        return format!(
            "Whether that is more than error cannot be told: in this clinic no photograph has been read twice {what}."
        );
    };
    let verdict = match error.change_is_beyond(earlier, later) {
        ChangeVerdict::BeyondError => "That is more than the error of the clinic’s own readings.",
        ChangeVerdict::WithinError => "That is not more than the error of the clinic’s own readings.",
        ChangeVerdict::CannotBeTold => {
            "Whether that is more than error cannot be told: too few photographs were read twice."
        }
    };
    format!("{verdict} {} It is the error of the points; {adds} adds to it.", error.sentence(unit))
}
