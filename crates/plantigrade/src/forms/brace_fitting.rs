//! The two forms of the page on fitting the brace.

use super::{Reader, Visit, visit};
use pages::{
    brace_fitting::names,
    fields::{self, FieldError, Filled},
};
use record::{Assessment, BodyMeasured, Day, ShoulderWidth, Side};

/// Reads the measurements: length and movement of each foot, and the shoulders.
///
/// # Errors
/// One sentence for each field that cannot be read or is out of bounds; also if nothing was measured.
pub fn brace_measures(filled: &Filled, today: Day) -> Result<Visit, Vec<FieldError>> {
    let mut reader = Reader::of(filled);
    let on = reader.clinical_day(fields::ON, today);
    let mut drafts = Vec::new();
    for side in Side::BOTH {
        let name = |what: &str| names::of_foot(side, what);
        let seen = Assessment {
            foot_length_mm: reader.whole(&name("foot_length_mm")),
            abduction_deg: reader.whole(&name("abduction_deg")),
            dorsiflexion_deg: reader.whole(&name("dorsiflexion_deg")),
            ..Assessment::of(side)
        };
        if !seen.is_empty() {
            drafts.push(visit::Drafted::foot(side, "", seen));
        }
    }
    let shoulder_mm = reader.whole(names::SHOULDER_MM);
    let shoulder_width = reader.choice(names::SHOULDER_WIDTH, ShoulderWidth::from_key);
    if shoulder_mm.is_some() {
        let body = BodyMeasured { shoulder_mm, shoulder_width, note: None };
        drafts.push(visit::Drafted::child("shoulders", body));
        if shoulder_width.is_none() && !reader.errors.iter().any(|error| error.field == names::SHOULDER_WIDTH)
        {
            reader.wrong(
                names::SHOULDER_WIDTH,
                "Choose which width was measured: the two differ by about 3 cm.",
            );
        }
    }
    if drafts.is_empty() && reader.errors.is_empty() {
        reader.wrong(fields::ON, "Nothing is filled in yet.");
    }
    visit::finish(reader, on, drafts)
}

/// Reads the settings of the brace.
///
/// # Errors
/// One sentence for each field that cannot be read or is out of bounds; also if what was done is not chosen.
pub fn brace_settings(filled: &Filled, today: Day) -> Result<Visit, Vec<FieldError>> {
    let mut reader = Reader::of(filled);
    let on = reader.clinical_day(fields::ON, today);
    let drafts: Vec<_> = visit::brace(&mut reader).into_iter().collect();
    if drafts.is_empty() && reader.errors.is_empty() {
        reader.wrong(fields::visit::BRACE, "Choose what was done.");
    }
    visit::finish(reader, on, drafts)
}
