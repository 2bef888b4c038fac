//! Registering a child: who the child is, who referred the child, and which feet.

use super::{Reader, kinds, reader::wrong};
use pages::fields::{FieldError, Filled};
use record::{Body, Day, Diagnosis, Kind, Nature, Referral, Registration, Sides};

/// A child as read from the registration form.
#[derive(Debug, Clone, PartialEq)]
pub struct FilledPerson {
    /// Who the child is.
    pub registration: Registration,
    /// Registration, referral and the diagnosis of each foot, ready to be saved.
    pub bodies: Vec<Body>,
}

/// Reads the registration form.
///
/// # Errors
/// One sentence for each field that cannot be read or is out of bounds.
pub fn person(filled: &Filled, today: Day) -> Result<FilledPerson, Vec<FieldError>> {
    let mut reader = Reader::of(filled);
    let feet = feet(&mut reader);
    // If no referrer is named, the family may have come by itself: a referral on this day would mean that the
    // child did not wait.
    let from = reader.text("referred_from");
    let referral = from.map(|from| Body::from(Referral { from: Some(from), reason: None }));
    let mut errors = reader.errors;
    for body in referral.iter().chain(&feet) {
        let field = if body.kind() == Kind::Referral { "referred_from" } else { "sides" };
        errors.extend(
            kinds::refusals(body, today).map(|found| wrong(field, crate::exit::sentence(&found.text))),
        );
    }
    match kinds::body_of(Kind::Registration, filled, today) {
        Ok(Body::Registration(registration)) if errors.is_empty() => {
            let mut bodies = vec![Body::from(registration.clone())];
            bodies.extend(referral.into_iter().chain(feet));
            Ok(FilledPerson { registration, bodies })
        }
        Ok(_) => Err(errors),
        Err(more) => Err(more.into_iter().chain(errors).collect()),
    }
}

fn feet(reader: &mut Reader<'_>) -> Vec<Body> {
    let sides = reader.choice("sides", |key| match key {
        "right" => Some(Sides::Right),
        "left" => Some(Sides::Left),
        "both" => Some(Sides::Both),
        _ => None,
    });
    let (nature, complex) = (reader.choice("nature", Nature::from_key), reader.yes_no("complex"));
    if sides.is_none() && (nature.is_some() || complex.is_some()) && !reader.has("sides") {
        reader.wrong("sides", "A diagnosis is given, but not which foot it is about.");
    }
    let each = sides.map(|sides| sides.each()).unwrap_or_default();
    each.iter().map(|&side| Diagnosis { side, nature, complex, earlier_treatment: None }.into()).collect()
}
