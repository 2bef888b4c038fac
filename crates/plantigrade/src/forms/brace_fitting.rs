//! The two forms of the page on fitting the brace.

use super::{Reader, Visit, visit};
use guidance::brace::Stock;
use pages::{
    brace_fitting::names,
    fields::{self, FieldError, Filled},
};
use record::{Assessment, Body, BodyMeasured, Boot, Day, ShoulderWidth, Side};

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
    for width in ShoulderWidth::ALL {
        let shoulder_mm = reader.whole(&names::shoulder_mm(*width));
        if shoulder_mm.is_some() {
            let body = BodyMeasured { shoulder_mm, shoulder_width: Some(*width), note: None };
            drafts.push(visit::Drafted::child("shoulders", body));
        }
    }
    if drafts.is_empty() && reader.errors.is_empty() {
        reader.wrong(fields::ON, "Nothing is filled in yet.");
    }
    visit::finish(reader, on, drafts)
}

/// Reads the settings of the brace, and the next appointment.
///
/// # Errors
/// One sentence for each field that cannot be read or is out of bounds; also if what was done is not chosen.
pub fn brace_settings(filled: &Filled, today: Day) -> Result<Visit, Vec<FieldError>> {
    let mut reader = Reader::of(filled);
    let on = reader.clinical_day(fields::ON, today);
    let mut drafts: Vec<_> = visit::brace(&mut reader).into_iter().collect();
    if drafts.is_empty() && reader.errors.is_empty() {
        reader.wrong(fields::visit::BRACE, "Choose what was done.");
    }
    drafts.extend(visit::next(&mut reader).map(|made| visit::Drafted::child("next", made)));
    let dayless = fields::visit::loose_ends(filled);
    reader.errors.extend(dayless.into_iter().filter(|end| end.field == fields::visit::NEXT_OTHER_DAY));
    visit::finish(reader, on, drafts)
}

/// The most by which a measured boot differs from its size on the list, mm: worn linings and the error of measuring.
const MOST_OFF_MM: u16 = 5;

/// Adds the inside length of boots whose size is on the clinic's list, where it was not measured.
///
/// # Errors
/// One sentence for each boot whose measured length contradicts the list.
pub fn with_listed_lengths(mut visit: Visit, stock: &Stock) -> Result<Visit, Vec<FieldError>> {
    let mut errors = Vec::new();
    for draft in &mut visit.drafts {
        let brace = match &mut draft.body {
            Body::BraceFitted(fitted) => Some(&mut fitted.brace),
            Body::BraceChanged(changed) => changed.brace.as_mut(),
            _ => None,
        };
        for boot in brace.into_iter().flat_map(|brace| &mut brace.boots) {
            errors.extend(listed_length(boot, stock));
        }
    }
    if errors.is_empty() { Ok(visit) } else { Err(errors) }
}

fn listed_length(boot: &mut Boot, stock: &Stock) -> Option<FieldError> {
    let (label, side) = (boot.size.as_ref()?, boot.side);
    let listed = stock.inner_mm(label)?;
    let measured = *boot.length_mm.get_or_insert(listed);
    (measured.abs_diff(listed) > MOST_OFF_MM).then(|| FieldError {
        field: fields::visit::boot(side, "length_mm"),
        text: format!(
            "{} boot: by the stock list {label} is {listed} mm long inside, but {measured} mm is entered. Which is right?",
            side.title()
        ),
    })
}
