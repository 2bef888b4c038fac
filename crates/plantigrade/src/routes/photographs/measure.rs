//! Measuring an angle on a photograph by tapped points.

use super::{
    changes::change_judged,
    shown::{angle_words, consent_now, kept_of, shown},
    tapping::{SetPoints, after_tap},
};
use crate::{
    app::App,
    routes::submission::{Draft, Submission},
    web::{Fail, PageResult, PostedTo, Shared, Visitor, again, page as show, to, work},
};
use axum::extract::{Path, State};
use clinic::{ChildPhotographs, ChildRecord, KeptPhotograph};
use maud::Markup;
use pages::{
    EnlargedPart, Frame, Here, MeasureChoice, MeasureView,
    fields::{ACT, Filled},
    words,
};
use photographs::{AngleGuide, AngleReading};
use record::{ChildId, EntryId, PhotographAngleMeasured, PictureTaps, Side, Sides};
use std::sync::Arc;

/// A photograph on which one angle is measured.
struct Measured {
    known: Arc<ChildRecord>,
    /// All photographs of the child and what was measured on them.
    all: Arc<ChildPhotographs>,
    kept: KeptPhotograph,
    /// The foot and the angle; `None` where none is measured on the view.
    guide: Option<(Side, AngleGuide)>,
}

impl Measured {
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
        let guide = side.zip(AngleGuide::on_view(kept.photograph.view).into_iter().next());
        Ok(Self { known, all, kept, guide })
    }

    fn drawn(&self, app: &App, frame: &Frame, filled: Filled, answer: Vec<String>) -> Markup {
        self.drawn_with(app, frame, filled, answer, None)
    }

    fn drawn_with(
        &self,
        app: &App,
        frame: &Frame,
        filled: Filled,
        answer: Vec<String>,
        part: Option<EnlargedPart>,
    ) -> Markup {
        let choice = |(_, guide): (Side, AngleGuide)| MeasureChoice {
            words: guide.angle.words(),
            sign: guide.sign,
            published: guide.published,
            taps: guide.taps.iter().map(|tap| (tap.name, tap.sentence)).collect(),
        };
        let view = MeasureView {
            who: app.who(&self.known.outlook.course),
            photograph: shown(app, &self.all, self.kept.clone()),
            size: (self.kept.photograph.width_px, self.kept.photograph.height_px),
            guide: self.guide.map(choice),
            filled,
            part,
            answer,
            once: app.once().to_string(),
        };
        pages::measure_photograph(frame, &view)
    }

    /// After a tap without the script.
    fn after_tap(&self, filled: &Filled) -> Option<(Filled, Option<EnlargedPart>)> {
        let (_, guide) = self.guide?;
        let photograph = &self.kept.photograph;
        after_tap(filled, guide.taps.len(), (photograph.width_px, photograph.height_px))
    }

    /// The points of a form with the angle that they give, or the form with what is wrong.
    fn read(&self, filled: &Filled) -> Result<(PictureTaps, AngleReading), Filled> {
        let wrong = |text: String| filled.clone().wrong("", text);
        let Some((side, guide)) = self.guide else {
            return Err(wrong("No angle is measured on this view.".to_owned()));
        };
        let set = SetPoints::read(filled, guide.taps.len())?;
        let size = (self.kept.photograph.width_px.into(), self.kept.photograph.height_px.into());
        let error = set.largest_error(0, guide.taps.len());
        let reading =
            guide.read(side, &set.pixels(), size, error).map_err(|fault| wrong(fault.to_string()))?;
        let taps = set.taps().map_err(|error| wrong(error.to_string()))?;
        Ok((taps, reading))
    }

    /// The angle, how it changed since the last photograph of this foot, and whether that is more than the error of
    /// the clinic's own readings.
    fn answer(&self, app: &App, reading: &AngleReading) -> Result<Vec<String>, Fail> {
        let today = app.clock.today();
        let said = format!(
            "{}, {} foot: {}. The error is that of the points alone (95 %); how the foot was held adds to it.",
            words::capital(reading.angle.words()),
            reading.side,
            angle_words(reading.value_deg, reading.error_deg)
        );
        let before = self.all.angles.iter().rfind(|kept| {
            kept.said.angle == reading.angle
                && kept.said.side == reading.side
                && kept.said.photograph != self.kept.entry
                && kept.on <= self.kept.on
        });
        let Some(before) = before else {
            return Ok(vec![said, "No earlier photograph of this foot has this angle.".to_owned()]);
        };
        let change = format!(
            "On the photograph of {}: {}. Change: {}°.",
            before.on.words(),
            angle_words(before.said.degrees, before.said.error_deg),
            record::bounds::number_words((reading.value_deg - before.said.degrees).round())
        );
        let repeated = app.records.repeated_readings(reading.angle, today)?;
        let readings = (before.said.degrees, reading.value_deg);
        let judged = change_judged(&repeated, readings, ("for this angle", "°", "how the foot was held"));
        Ok(vec![said, change, judged])
    }
}

/// The page.
pub async fn form(
    State(app): State<Shared>,
    visitor: Visitor,
    Path((child, entry)): Path<(ChildId, EntryId)>,
) -> PageResult {
    let frame = app.frame(&visitor, Here::Child);
    let drawn = work(&app, move |app| {
        Ok(Measured::of(app, child, entry)?.drawn(app, &frame, Filled::default(), Vec::new()))
    });
    show(drawn.await?)
}

/// Shows or saves the angle of the points.
pub async fn save(
    State(app): State<Shared>,
    visitor: Visitor,
    PostedTo { path: (child, entry), by, filled }: PostedTo<(ChildId, EntryId)>,
) -> PageResult {
    let frame = app.frame(&visitor, Here::Child);
    let done = work(&app, move |app| {
        let measured = Measured::of(app, child, entry)?;
        if let Some((filled, part)) = measured.after_tap(&filled) {
            return Ok(Err((true, measured.drawn_with(app, &frame, filled, Vec::new(), part))));
        }
        let (taps, reading) = match measured.read(&filled) {
            Ok(read) => read,
            Err(form) => return Ok(Err((false, measured.drawn(app, &frame, form, Vec::new())))),
        };
        if filled.value(ACT) != "save" {
            let answer = measured.answer(app, &reading)?;
            return Ok(Err((true, measured.drawn(app, &frame, filled, answer))));
        }
        let body = PhotographAngleMeasured::of(
            entry,
            reading.side,
            reading.angle,
            reading.value_deg,
            reading.error_deg,
            taps,
        );
        let draft = Draft { follows: Some(entry), ..Draft::new(body, measured.kept.on) };
        let saved = Submission::of_form(app, child, by, &filled).save(app, vec![draft])?;
        Ok(match saved.or_form(&filled) {
            Ok(()) => {
                let of = &measured.kept.photograph;
                Ok(format!(
                    "/child/{child}/photographs/view/{}/{}?second={entry}",
                    of.side.key(),
                    of.view.key()
                ))
            }
            Err(form) => Err((false, measured.drawn(app, &frame, form, Vec::new()))),
        })
    });
    match done.await? {
        Ok(path) => to(&path),
        Err((true, page)) => show(page),
        Err((false, page)) => again(page),
    }
}
