//! The course picture: one foot along the child's age.
//!
//! Lanes share a stretched axis (see [`Axis`]): phases as labelled bands, the Pirani score with its two
//! sub-scores, casts and tenotomy as marks, movement as lines, wear as bars with the prescribed hours. Whatever
//! differs in colour also differs in dash, shape or text. Every mark has a text alternative and links to its
//! entry, and a table gives the same data.
//!
//! `picture.css` sets colours without custom properties, because some renderers drop a rule that contains one.

mod axis;
mod fan;
mod lanes;
pub(crate) mod marks;
mod plot;
mod table;

pub use axis::Axis;
pub use table::course_table;

use crate::ink::{self, Ink};
use course::FootCourse;
use forecast::foot::FootForecast;
use guidance::Outlook;
use maud::{Markup, html};
use record::{Day, EntryId, PhotographAngle, Side};

/// The CSS rules of the picture, part of the style sheet.
pub const PICTURE_CSS: &str = include_str!("picture.css");

/// An angle measured on a photograph. It is evidence of its own kind: the course has no such thing.
#[derive(Debug, Clone, PartialEq)]
pub struct AngleOnPhotograph {
    /// The entry.
    pub entry: EntryId,
    /// The day of the photograph.
    pub on: Day,
    /// Which foot.
    pub side: Side,
    /// Which angle.
    pub angle: PhotographAngle,
    /// In degrees.
    pub degrees: f64,
    /// Its error, in degrees.
    pub error_deg: f64,
}

/// The width for which a picture is drawn.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub enum Width {
    /// Tablet, desktop and paper.
    Wide,
    /// Phone.
    Narrow,
}

/// The dimensions of a picture, in its own units.
#[derive(Debug, Clone, Copy)]
pub(crate) struct PictureSize {
    pub width: f64,
    pub left: f64,
    pub right: f64,
    /// Smallest distance between two ticks.
    pub apart: f64,
    /// Width of one letter, to decide whether a text fits.
    pub letter: f64,
    pub narrow: bool,
}

impl Width {
    pub(crate) const fn size(self) -> PictureSize {
        match self {
            Self::Wide => PictureSize {
                width: 960.0,
                left: 128.0,
                right: 838.0,
                apart: 46.0,
                letter: 7.2,
                narrow: false,
            },
            Self::Narrow => {
                PictureSize { width: 380.0, left: 40.0, right: 366.0, apart: 40.0, letter: 6.6, narrow: true }
            }
        }
    }

    const fn class(self) -> &'static str {
        match self {
            Self::Wide => "picture wide",
            Self::Narrow => "picture narrow",
        }
    }
}

/// The course of one foot as a picture in two widths and a table; the style sheet shows what fits.
///
/// Empty for a foot that is not affected.
#[must_use]
pub fn course_picture(outlook: &Outlook, side: Side, forecast: Option<&FootForecast>) -> Markup {
    let drawn =
        |foot| ink::markup(|ink| figure(ink, outlook, foot, (forecast, &[]), &[Width::Wide, Width::Narrow]));
    outlook.course.foot(side).map_or_else(Markup::default, drawn)
}

/// Draws these widths and the table.
pub(crate) fn figure(
    ink: &mut Ink<'_>,
    outlook: &Outlook,
    foot: &FootCourse,
    (forecast, angles): (Option<&FootForecast>, &[AngleOnPhotograph]),
    widths: &[Width],
) {
    let axis = Axis::of(&outlook.course, last_day(outlook, forecast), 0.0, 1.0);
    ink.tag("<figure class=\"course-picture\">");
    let picture = Picture { outlook, foot, forecast, angles, axis: &axis };
    widths.iter().for_each(|width| draw(ink, &picture, *width));
    ink.tag("<figcaption><details class=\"as-table\"><summary>Data as a table, ");
    ink.tag(foot.side.word()).tag(" foot</summary>");
    table::draw(ink, &outlook.course, foot);
    ink.tag("</details></figcaption></figure>");
}

/// The legend, shown once on a page with pictures.
#[must_use]
pub fn picture_legend() -> Markup {
    html! {
        p class="picture-legend" {
            "Age runs to the right, on a stretched scale on which weekly casts and years of bracing are both visible. "
            "Solid line: Pirani total; dashed: hindfoot; dotted: midfoot. "
            "Filled triangle: cast; hollow triangle: holding cast; square: cast after tenotomy. "
            "Hollow diamond under “Movement”: an angle on a photograph. "
            "Shaded with a dashed line, right of today: forecast; about half of similar feet are within the darker part, nine in ten within the whole. "
            "Every mark is a link to its entry."
        }
    }
}

/// The last day drawn: it leaves room after the day shown, for the window of the next step and the forecast.
fn last_day(outlook: &Outlook, forecast: Option<&FootForecast>) -> Day {
    let as_of = outlook.course.as_of;
    let windows = outlook.steps.iter().filter_map(|step| step.window).map(|window| window.to);
    let planned = windows.filter(|&to| to - as_of < 400).max().unwrap_or(as_of);
    let age_days = outlook.course.about.born.map_or(0, |born| as_of - born).max(0);
    let likely = forecast.map_or(as_of, |forecast| fan::last_day(forecast, as_of));
    planned.max(as_of + 14).max(as_of + age_days / 8).max(likely)
}

/// One foot in one width.
#[must_use]
pub fn drawn(outlook: &Outlook, side: Side, forecast: Option<&FootForecast>, width: Width) -> Markup {
    let Some(foot) = outlook.course.foot(side) else { return html! {} };
    let axis = Axis::of(&outlook.course, last_day(outlook, forecast), 0.0, 1.0);
    ink::markup(|ink| draw(ink, &Picture { outlook, foot, forecast, angles: &[], axis: &axis }, width))
}

/// The contents of a picture of any width.
struct Picture<'a> {
    outlook: &'a Outlook,
    foot: &'a FootCourse,
    forecast: Option<&'a FootForecast>,
    angles: &'a [AngleOnPhotograph],
    axis: &'a Axis,
}

fn draw(ink: &mut Ink<'_>, picture: &Picture<'_>, width: Width) {
    let &Picture { outlook, foot, forecast, angles, axis } = picture;
    let size = width.size();
    let axis = axis.between(size.left, size.right);
    let lanes = lanes::Lanes { outlook, foot, forecast, angles, axis: &axis, size };
    ink.tag("<svg class=\"").tag(width.class()).tag("\" viewBox=\"0 0 ").num(size.width);
    ink.tag(" ").num(lanes.height()).tag("\" role=\"group\" aria-label=\"Course of the ");
    ink.tag(foot.side.word()).tag(" foot as of ").day_words(outlook.course.as_of);
    ink.tag("\" xmlns=\"http://www.w3.org/2000/svg\">");
    lanes.draw(ink);
    ink.tag("</svg>");
}
