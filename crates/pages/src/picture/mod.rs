//! The course picture: one foot along the child's age.
//!
//! Lanes share a stretched axis (see [`Axis`]): phases as labelled bands, the Pirani score with its two
//! sub-scores, casts and tenotomy as marks, movement as lines, wear as bars against what was
//! prescribed. What is told apart by colour is told apart by dash, shape or words as well. Every mark
//! has a text alternative and leads to its entry, and a table says the same in words.
//!
//! Colours stand in plain rules in `picture.css`, without custom properties, because some renderers
//! drop a rule that holds one.

mod axis;
mod fan;
mod lanes;
mod plot;
mod table;

pub use axis::Axis;
pub use table::course_table;

use crate::ink::{self, Ink};
use course::FootCourse;
use forecast::foot::FootForecast;
use guidance::Outlook;
use maud::{Markup, html};
use record::{Day, Side};

/// The rules of the picture, part of the style sheet.
pub const PICTURE_CSS: &str = include_str!("picture.css");

/// How wide a picture is drawn.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub enum Width {
    /// Tablet, desktop and paper.
    Wide,
    /// Phone.
    Narrow,
}

/// The measures of a picture, in its own units.
#[derive(Debug, Clone, Copy)]
pub(crate) struct Frame {
    pub width: f64,
    pub left: f64,
    pub right: f64,
    /// Least distance between two ticks.
    pub apart: f64,
    /// Width taken by one letter, for deciding whether words fit.
    pub letter: f64,
    pub narrow: bool,
}

impl Width {
    pub(crate) const fn frame(self) -> Frame {
        match self {
            Self::Wide => {
                Frame { width: 960.0, left: 128.0, right: 838.0, apart: 46.0, letter: 7.2, narrow: false }
            }
            Self::Narrow => {
                Frame { width: 380.0, left: 40.0, right: 366.0, apart: 40.0, letter: 6.6, narrow: true }
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
/// Gives nothing for a foot that is not affected.
#[must_use]
pub fn course_picture(outlook: &Outlook, side: Side, forecast: Option<&FootForecast>) -> Markup {
    let drawn = |foot| ink::markup(|ink| both(ink, outlook, foot, forecast));
    outlook.course.foot(side).map_or_else(Markup::default, drawn)
}

/// Both widths and the table.
pub(crate) fn both(ink: &mut Ink<'_>, outlook: &Outlook, foot: &FootCourse, forecast: Option<&FootForecast>) {
    let axis = Axis::of(&outlook.course, last_day(outlook, forecast), 0.0, 1.0);
    ink.tag("<figure class=\"course-picture\">");
    let picture = Picture { outlook, foot, forecast, axis: &axis };
    draw(ink, &picture, Width::Wide);
    draw(ink, &picture, Width::Narrow);
    ink.tag("<figcaption><details class=\"as-table\"><summary>The same as a table, ");
    ink.tag(foot.side.word()).tag(" foot</summary>");
    table::draw(ink, &outlook.course, foot);
    ink.tag("</details></figcaption></figure>");
}

/// What the marks mean; once on a page that shows pictures.
#[must_use]
pub fn picture_legend() -> Markup {
    html! {
        p class="picture-legend" {
            "Age runs to the right, stretched so that weekly casts and years of bracing both show. "
            "Solid line: Pirani total; dashed: hindfoot; dotted: midfoot. "
            "Filled triangle: cast; hollow triangle: holding cast; square: cast after tenotomy. "
            "Shaded with a dashed line, right of today: what is likely; the darker part holds about half of feet like this, all of it nine in ten. "
            "Every mark leads to its entry."
        }
    }
}

/// The last day drawn: room after the day asked for, the window of the next step and what is forecast.
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
    ink::markup(|ink| draw(ink, &Picture { outlook, foot, forecast, axis: &axis }, width))
}

/// What is drawn, whatever the width.
struct Picture<'a> {
    outlook: &'a Outlook,
    foot: &'a FootCourse,
    forecast: Option<&'a FootForecast>,
    axis: &'a Axis,
}

fn draw(ink: &mut Ink<'_>, picture: &Picture<'_>, width: Width) {
    let &Picture { outlook, foot, forecast, axis } = picture;
    let frame = width.frame();
    let axis = axis.between(frame.left, frame.right);
    let lanes = lanes::Lanes { outlook, foot, forecast, axis: &axis, frame };
    ink.tag("<svg class=\"").tag(width.class()).tag("\" viewBox=\"0 0 ").num(frame.width);
    ink.tag(" ").num(lanes.height()).tag("\" role=\"group\" aria-label=\"Course of the ");
    ink.tag(foot.side.word()).tag(" foot as of ").day_words(outlook.course.as_of);
    ink.tag("\" xmlns=\"http://www.w3.org/2000/svg\">");
    lanes.draw(ink);
    ink.tag("</svg>");
}
