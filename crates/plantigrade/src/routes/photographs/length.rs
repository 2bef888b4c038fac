//! Measuring the length of a foot on a photograph beside a card.

use super::{
    changes::change_judged,
    shown::{consent_now, kept_of, length_words, shown},
    tapping::{SetPoints, after_tap, with_point, within},
};
use crate::{
    app::App,
    routes::submission::{Draft, Submission},
    web::{Fail, PageResult, PostedTo, Shared, Visitor, again, page as show, to, work},
};
use axum::extract::{Path, State};
use clinic::{ChildPhotographs, ChildRecord, KeptPhotograph, KeptSize};
use maud::Markup;
use pages::{
    CARD_CORNERS, EnlargedPart, Frame, HOW_FOUND, Here, LENGTH_POINTS, LengthView, TapFields,
    fields::{ACT, Filled},
    tap_fields,
};
use photographs::{CardScale, GreyPlane, PlaneLength, TapError, find_card};
use record::{
    Body, ChildId, EntryId, PhotographLengthMeasured, PictureTaps, ScaleCard, Side, Sides,
    bounds::number_words,
};
use std::sync::Arc;

/// A photograph on which a length is measured.
struct LengthOn {
    known: Arc<ChildRecord>,
    /// All photographs of the child and what was measured on them.
    all: Arc<ChildPhotographs>,
    kept: KeptPhotograph,
    /// The foot; `None` where no length is measured on the view.
    side: Option<Side>,
}

/// A length with what it was computed from.
struct LengthRead {
    side: Side,
    taps: PictureTaps,
    corners: TapError,
    ends: TapError,
    length: PlaneLength,
    tilt_deg: f64,
}

/// What is shown besides the points.
#[derive(Default)]
struct Shown {
    answer: Vec<String>,
    found: Option<String>,
    part: Option<EnlargedPart>,
}

impl LengthOn {
    fn of(app: &App, child: ChildId, entry: EntryId) -> Result<Self, Fail> {
        let today = app.clock.today();
        let known = app.known(child, today)?;
        let all = kept_of(app, &known, today)?;
        let kept = all.photographs.iter().find(|one| one.entry == entry).cloned();
        let kept = kept.ok_or_else(Fail::not_found)?;
        if !consent_now(app, &known)?.is_in_force() {
            return Err(Fail::not_found());
        }
        let side = match kept.photograph.side {
            Sides::Right => Some(Side::Right),
            Sides::Left => Some(Side::Left),
            Sides::Both => None,
        };
        let side = side.filter(|_| kept.photograph.view.shows_length());
        Ok(Self { known, all, kept, side })
    }

    fn size(&self) -> (u16, u16) {
        (self.kept.photograph.width_px, self.kept.photograph.height_px)
    }

    fn drawn(&self, app: &App, frame: &Frame, filled: Filled, also: Shown) -> Markup {
        let view = LengthView {
            who: app.who(&self.known.outlook.course),
            photograph: shown(app, &self.all, self.kept.clone()),
            size: self.size(),
            measurable: self.side.is_some(),
            filled,
            part: also.part,
            found: also.found,
            answer: also.answer,
            once: app.once().to_string(),
        };
        pages::measure_length(frame, &view)
    }

    /// The form with the corners of the card that the program found, and what came of the search.
    fn found(&self, app: &App, filled: Filled) -> Result<(Filled, String), Fail> {
        let bytes = app.pictures().read(self.kept.photograph.picture, KeptSize::Whole)?;
        let picture = bytes.and_then(|bytes| GreyPlane::of_kept(&bytes).ok()).ok_or_else(Fail::not_found)?;
        Ok(match find_card(&picture) {
            Err(fault) => (filled, fault.to_string()),
            Ok(card) => {
                let (width, height) = self.size();
                let corners = tap_fields(CARD_CORNERS).iter().zip(card.corners);
                let filled = corners.fold(filled, |filled, (fields, corner)| {
                    let point = (within(corner.x, width), within(corner.y, height));
                    with_point(filled, fields, HOW_FOUND, point)
                });
                let text = "This may be the card: it is a proposal, and the program can take something else for one. Look at each corner below.";
                (filled, text.to_owned())
            }
        })
    }

    /// The points of a form with the length that they give, or the form with what is wrong.
    fn read(&self, filled: &Filled) -> Result<LengthRead, Filled> {
        let wrong = |text: String| filled.clone().wrong("", text);
        let Some(side) = self.side else {
            return Err(wrong("No length is measured on this view.".to_owned()));
        };
        let set = SetPoints::read(filled, LENGTH_POINTS.len())?;
        let corners = set.largest_error(0, CARD_CORNERS);
        let ends = set.largest_error(CARD_CORNERS, LENGTH_POINTS.len());
        let [a, b, c, d, heel, toe] = *set.pixels().as_slice() else {
            return Err(wrong("Six points are needed.".to_owned()));
        };
        let (width, height) = self.size();
        let inside = |x: f64, y: f64| x <= f64::from(width) && y <= f64::from(height);
        if !inside(heel.x, heel.y) || !inside(toe.x, toe.y) {
            return Err(wrong("A point is not within the picture.".to_owned()));
        }
        let scale = CardScale::of(&[a, b, c, d], (width.into(), height.into()), corners);
        let scale = scale.map_err(|fault| wrong(fault.to_string()))?;
        let length = scale.length(heel, toe, ends).map_err(|fault| wrong(fault.to_string()))?;
        let taps = set.taps().map_err(|error| wrong(error.to_string()))?;
        Ok(LengthRead { side, taps, corners, ends, length, tilt_deg: scale.tilt_deg })
    }

    /// The length, what it means, how it changed since the last photograph of this foot, and whether that is more than
    /// the error of the clinic's own readings.
    fn answer(&self, app: &App, read: &LengthRead) -> Result<Vec<String>, Fail> {
        let today = app.clock.today();
        let mut said = vec![
            format!(
                "Length, {} foot: {}, from the back of the heel to the tip of the longest toe, in the plane of the card. The error is that of the points alone (95 %).",
                read.side,
                length_words(read.length.mm, read.length.error_mm)
            ),
            format!(
                "For each millimetre that the foot was nearer to the camera than the card, this is about {:.1} mm too long. The card was seen {:.0}° from straight.",
                read.length.per_mm_off_plane, read.tilt_deg
            ),
        ];
        let before = self.all.lengths.iter().rfind(|kept| {
            kept.said.side == read.side && kept.said.photograph != self.kept.entry && kept.on <= self.kept.on
        });
        let Some(before) = before else {
            said.push("No earlier photograph of this foot has a length.".to_owned());
            return Ok(said);
        };
        said.push(format!(
            "On the photograph of {}: {}. Change: {} mm.",
            before.on.words(),
            length_words(before.said.length_mm, before.said.error_mm),
            number_words((read.length.mm - before.said.length_mm).round())
        ));
        let repeated = app.records.repeated_lengths(today)?;
        let lengths = (before.said.length_mm, read.length.mm);
        let words = ("for its length", " mm", "how card and foot were held");
        said.push(change_judged(&repeated, lengths, words));
        Ok(said)
    }

    fn body(&self, read: LengthRead) -> Body {
        let LengthRead { side, taps, corners, ends, length, .. } = read;
        let (photograph, card) = (self.kept.entry, ScaleCard::BankCard);
        let errors = (corners.sd_px, ends.sd_px);
        PhotographLengthMeasured::of(
            photograph,
            side,
            length.mm,
            length.error_mm,
            taps,
            errors.0,
            errors.1,
            card,
        )
        .into()
    }
}

/// Whether a corner is set: the search never takes it away.
fn has_corner(filled: &Filled) -> bool {
    let is_set = |fields: &TapFields| filled.given(fields.across).or(filled.given(fields.down)).is_some();
    tap_fields(CARD_CORNERS).iter().any(is_set)
}

/// The page.
pub async fn form(
    State(app): State<Shared>,
    visitor: Visitor,
    Path((child, entry)): Path<(ChildId, EntryId)>,
) -> PageResult {
    let frame = app.frame(&visitor, Here::Child);
    let drawn = work(&app, move |app| {
        Ok(LengthOn::of(app, child, entry)?.drawn(app, &frame, Filled::default(), Shown::default()))
    });
    show(drawn.await?)
}

/// Looks for the card, or shows or saves the length of the points.
pub async fn save(
    State(app): State<Shared>,
    visitor: Visitor,
    PostedTo { path: (child, entry), by, filled }: PostedTo<(ChildId, EntryId)>,
) -> PageResult {
    let frame = app.frame(&visitor, Here::Child);
    let done = work(&app, move |app| {
        let on = LengthOn::of(app, child, entry)?;
        if let Some((filled, part)) = after_tap(&filled, LENGTH_POINTS.len(), on.size()) {
            return Ok(Err((true, on.drawn(app, &frame, filled, Shown { part, ..Shown::default() }))));
        }
        // Enter in a field presses the first button of the form, which is the one that looks for the card.
        if filled.value(ACT) == "find" && on.side.is_some() && !has_corner(&filled) {
            let (filled, found) = on.found(app, filled)?;
            return Ok(Err((
                true,
                on.drawn(app, &frame, filled, Shown { found: Some(found), ..Shown::default() }),
            )));
        }
        let read = match on.read(&filled) {
            Ok(read) => read,
            Err(form) => return Ok(Err((false, on.drawn(app, &frame, form, Shown::default())))),
        };
        if filled.value(ACT) != "save" {
            let answer = on.answer(app, &read)?;
            return Ok(Err((true, on.drawn(app, &frame, filled, Shown { answer, ..Shown::default() }))));
        }
        let draft = Draft { follows: Some(entry), ..Draft::new(on.body(read), on.kept.on) };
        let saved = Submission::of_form(app, child, by, &filled).save(app, vec![draft])?;
        Ok(match saved.or_form(&filled) {
            Ok(()) => {
                let of = &on.kept.photograph;
                let (feet, view) = (of.side.key(), of.view.key());
                Ok(format!("/child/{child}/photographs/view/{feet}/{view}?second={entry}"))
            }
            Err(form) => Err((false, on.drawn(app, &frame, form, Shown::default()))),
        })
    });
    match done.await? {
        Ok(path) => to(&path),
        Err((true, page)) => show(page),
        Err((false, page)) => again(page),
    }
}
