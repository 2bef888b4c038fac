//! What speaks against a picture as it was named: no consent on that day, a day before birth, another day by the camera, a
//! picture that is on record already, one that looks like the other foot. Doubts are asked about and never decided.

use super::shown::consent_now;
use crate::{app::App, photograph_uploads::PictureFacts, web::Fail};
use clinic::{ChildRecord, KeptPhotograph, KeptSize, NewPicture};
use pages::fields::{Filled, ON, SURE};
use photographs::{GreyPlane, looks_like_other_side, view_tells_feet_apart};
use record::{Day, Photograph, Side, Sides};

/// The most earlier pictures of a foot with which one is compared.
const COMPARED: usize = 4;

/// A picture with what a person said about it.
pub(super) struct NamedUpload {
    /// Its number in the upload.
    pub number: u16,
    /// The picture.
    pub picture: NewPicture,
    /// What was said.
    pub photograph: Photograph,
    /// The day.
    pub on: Day,
}

/// The form with what speaks against the day, the child or the foot.
///
/// # Errors
/// When the records or the pictures cannot be read.
pub(super) fn doubts(
    app: &App,
    known: &ChildRecord,
    mut form: Filled,
    (on, wanted, named): (Day, &[(u16, &PictureFacts)], &[NamedUpload]),
) -> Result<Filled, Fail> {
    if !consent_now(app, known)?.covers(on) {
        form = form.wrong(ON, format!("No consent to photographs was in force on {}.", on.words()));
    }
    if let Some(born) = known.outlook.course.about.born.filter(|born| on < *born) {
        form = form.wrong(ON, format!("{} lies before the day of birth, {}.", on.words(), born.words()));
    }
    if form.value(SURE) == "yes" {
        return Ok(form);
    }
    let other_day = |(number, facts): &(u16, &PictureFacts)| {
        let (day, _) = facts.camera().filter(|(day, _)| *day != on)?;
        Some(format!("The camera says that picture {number} was taken on {}.", day.words()))
    };
    let mut asked: Vec<String> = wanted.iter().filter_map(other_day).collect();
    let photographs = known.photographs(Day::LAST);
    asked.extend(kept_before(app, &photographs, named)?);
    for one in named {
        asked.extend(other_foot(app, &photographs, one)?);
    }
    Ok(asked.into_iter().fold(form, |form, text| form.wrong(SURE, text)))
}

/// Pictures that were kept before, for this child or not. Whose another one is, is not said.
fn kept_before(
    app: &App,
    photographs: &[KeptPhotograph],
    named: &[NamedUpload],
) -> Result<Vec<String>, Fail> {
    let kept = app.pictures().hashes()?;
    let said = |one: &NamedUpload| {
        let (number, hash) = (one.number, one.picture.hash());
        if photographs.iter().any(|known| known.photograph.picture == hash) {
            return Some(format!("Picture {number} is on the record of this child already."));
        }
        kept.contains(&hash).then(|| {
            format!("Picture {number} was kept before, and not for this child: check whose foot it shows.")
        })
    };
    Ok(named.iter().filter_map(said).collect())
}

/// Whether a picture of one foot looks like the other foot, by the earlier pictures of that view.
fn other_foot(app: &App, photographs: &[KeptPhotograph], one: &NamedUpload) -> Result<Option<String>, Fail> {
    let side = match one.photograph.side {
        Sides::Right => Side::Right,
        Sides::Left => Side::Left,
        Sides::Both => return Ok(None),
    };
    // From behind the two feet look too much alike: the question would be asked for one right picture in eight.
    if !view_tells_feet_apart(one.photograph.view) {
        return Ok(None);
    }
    let Ok(picture) = GreyPlane::of_kept(&one.picture.thumbnail) else { return Ok(None) };
    let planes = |side: Side| -> Result<Vec<GreyPlane>, Fail> {
        let of = photographs.iter().rev().filter(|known| {
            known.photograph.view == one.photograph.view && known.photograph.side == Sides::from(side)
        });
        let mut planes = Vec::new();
        for known in of.take(COMPARED) {
            // One that is missing or damaged is not compared; its own page says so.
            if let Ok(Some(bytes)) = app.pictures().read(known.photograph.picture, KeptSize::Thumbnail) {
                planes.extend(GreyPlane::of_kept(&bytes).ok());
            }
        }
        Ok(planes)
    };
    let doubt = looks_like_other_side(&picture, &planes(side)?, &planes(side.other())?);
    Ok(doubt.map(|doubt| format!("Picture {}: {}", one.number, doubt.question())))
}
