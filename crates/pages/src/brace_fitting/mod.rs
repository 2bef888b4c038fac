//! Brace fitting for one child: measurements, suggested settings with their reasons, saving, and the sheet
//! to print.

mod chart;
mod fit;
mod sheet;

pub use chart::growth_chart;
pub use sheet::sheet;

use crate::{
    DayChoice, Frame, HelpTopic,
    fields::{self, Filled},
    frame,
    parts::{self, Stepper, Who},
    words,
};
use course::Course;
use growth::Curves;
use guidance::brace::{BraceFit, Outgrowing, Stock};
use maud::{Markup, html};
use record::{Day, ShoulderWidth, Side, bounds};

/// Names of the form fields, other than the day and the token.
pub mod names {
    use record::{ShoulderWidth, Side};

    /// A width of the shoulders, mm: `shoulder_mm.bideltoid`. Each kind of width has a field of its own, because the
    /// two differ by about 3 cm.
    #[must_use]
    pub fn shoulder_mm(width: ShoulderWidth) -> String {
        format!("shoulder_mm.{}", width.key())
    }

    /// `right.foot_length_mm`, `.abduction_deg`, `.dorsiflexion_deg`.
    #[must_use]
    pub fn of_foot(side: Side, what: &str) -> String {
        format!("{side}.{what}")
    }
}

/// The last length of a foot that was measured on a photograph. It is shown beside what was measured on the foot and
/// never enters a fit.
#[derive(Debug, Clone, PartialEq, Eq)]
pub struct LengthOnPhotograph {
    /// The foot.
    pub side: Side,
    /// The day of the photograph.
    pub on: Day,
    /// "92 mm ± 2 mm".
    pub words: String,
}

/// The page of brace fitting.
#[derive(Debug, Clone)]
pub struct BraceFittingView<'a> {
    /// The child.
    pub who: Who,
    /// The course up to the day.
    pub course: &'a Course,
    /// The suggested settings, from what is recorded.
    pub fit: &'a BraceFit,
    /// When the present boots and bar will be outgrown, where that can be forecast.
    pub outgrowing: Option<&'a Outgrowing>,
    /// Growth curves, where the date of birth is known and a foot was measured.
    pub curves: Option<Curves>,
    /// The last length of each foot on a photograph, if there is one that may be shown.
    pub on_photographs: Vec<LengthOnPhotograph>,
    /// The clinic's own stock list of boots and bars; empty if it has none.
    pub stock: &'a Stock,
    /// Days proposed for the next appointment, the best first.
    pub days: Vec<DayChoice>,
    /// The values in the form of measurements.
    pub measures: Filled,
    /// The values in the form of settings.
    pub settings: Filled,
    /// Tokens that make a double submit harmless, one for each form.
    pub once: [String; 2],
}

/// The page.
#[must_use]
pub fn brace_fitting(frame: &Frame, view: &BraceFittingView<'_>) -> Markup {
    let name = view.who.shown_name();
    let body = html! {
        (parts::band(&view.who, "brace fitting", frame.today))
        (parts::error_summary(&view.measures))
        (parts::error_summary(&fit::with_own_day(&view.settings)))
        nav.child-actions aria-label={ "Brace of " (name) } {
            a.button href={ (view.who.href()) "/brace/sheet" } { "Settings to print" }
            a.button href={ (view.who.href()) "/trouble" } { "Problems with the brace" }
            a.button href="/stock" { "Stock" }
        }
        (parts::caution())
        (measure(frame, view, &name))
        (fit::fit(view, frame.today))
        (fit::save(frame, view, &name))
        (worn(view))
        (chart::growth(view.curves.as_ref(), &crate::chart_links(&format!("{}/chart/growth", view.who.href()), "", "growth of the feet")))
    };
    frame::page(frame, HelpTopic::BraceFitting, "Brace fitting", &body)
}

fn measure(frame: &Frame, view: &BraceFittingView<'_>, name: &str) -> Markup {
    let filled = &view.measures;
    html! {
        section.bench-measure aria-labelledby="measure-head" {
            h2 id="measure-head" { "Measurements" }
            p.hint { "Blank fields are not recorded. Right foot on your left, as the child faces you." }
            form method="post" action={ (view.who.href()) "/brace/measure" } {
                (parts::csrf(&frame.csrf))
                (parts::hidden(fields::ONCE, &view.once[0]))
                (parts::draft(filled))
                (day(filled, frame))
                div.feet { @for side in Side::BOTH { (foot(view, side)) } }
                (shoulders(view))
                button.primary type="submit" { "Save measurements of " (name) }
            }
        }
    }
}

fn day(filled: &Filled, frame: &Frame) -> Markup {
    let id = parts::field_id(fields::ON);
    let value = filled.given(fields::ON).map_or_else(|| frame.today.to_string(), str::to_owned);
    html! {
        div.field {
            label for=(id) { "Day" }
            input id=(id) name=(fields::ON) type="date" value=(value) required max=(frame.today)
                aria-invalid=[filled.has_error(fields::ON).then_some("true")]
                aria-describedby=[filled.has_error(fields::ON).then(|| format!("{id}-error"))];
            (parts::field_error(filled, fields::ON))
        }
    }
}

fn foot(view: &BraceFittingView<'_>, side: Side) -> Markup {
    let affected = view.course.foot(side);
    let length = view.course.foot_lengths.iter().rev().find(|length| length.side == side);
    let rows = [
        (
            "foot_length_mm",
            "Foot, heel to longest toe",
            "mm",
            1,
            bounds::FOOT_LENGTH,
            length.map(|length| i32::from(length.mm)),
        ),
        (
            "abduction_deg",
            "Abduction reached",
            "°",
            5,
            bounds::ABDUCTION,
            affected.and_then(|foot| foot.last_abduction()).map(|(_, deg)| deg.into()),
        ),
        (
            "dorsiflexion_deg",
            "Dorsiflexion, knee straight",
            "°",
            5,
            bounds::DORSIFLEXION,
            affected.and_then(|foot| foot.last_dorsiflexion()).map(|(_, deg)| deg.into()),
        ),
    ];
    let shown = if affected.is_some() { 3 } else { 1 };
    html! {
        div role="group" aria-labelledby={ "bench-" (side) } {
            h3 id={ "bench-" (side) } { (side.title()) " foot" span.rel { " " (view.fit.foot(side).kind.words()) } }
            @for (key, label, unit, step, bound, last) in rows.into_iter().take(shown) {
                @let name = names::of_foot(side, key);
                (parts::stepper(&view.measures, Stepper { name: &name, label, unit, step, bounds: ends(&bound), last }))
            }
            @if let Some(length) = view.on_photographs.iter().find(|length| length.side == side) {
                p.hint { "On the photograph of " (length.on.words()) ": " (length.words) ". It does not count for the boot: it is the length in the plane of a card, as the foot was held, without weight and without a stop at the heel." }
            }
        }
    }
}

/// The ends of a bound. They are whole numbers well within 32 bits.
#[allow(clippy::cast_possible_truncation)]
fn ends(bound: &bounds::Bound) -> (i32, i32) {
    (bound.possible.0 as i32, bound.possible.1 as i32)
}

/// The width that the bar follows, and the other one folded: each says in its label what is measured.
fn shoulders(view: &BraceFittingView<'_>) -> Markup {
    let wanted = view.fit.bar.width;
    let others: Vec<ShoulderWidth> =
        ShoulderWidth::ALL.iter().copied().filter(|width| *width != wanted).collect();
    let given = |width: &ShoulderWidth| {
        let name = names::shoulder_mm(*width);
        view.measures.given(&name).is_some() || view.measures.has_error(&name)
    };
    html! {
        (shoulder(view, wanted))
        details.more open[others.iter().any(given)] {
            summary { "Another width of the shoulders was measured" }
            @for width in &others { (shoulder(view, *width)) }
            p.hint { "The length of the bar does not follow from this width." }
        }
    }
}

fn shoulder(view: &BraceFittingView<'_>, width: ShoulderWidth) -> Markup {
    let last = view.course.shoulders.iter().rev().find(|seen| seen.width == Some(width));
    let label = format!("Shoulder width, {}", width.words());
    let of = Stepper {
        name: &names::shoulder_mm(width),
        label: &label,
        unit: "mm",
        step: 5,
        bounds: ends(&bounds::SHOULDER_WIDTH),
        last: last.map(|seen| i32::from(seen.mm)),
    };
    parts::stepper(&view.measures, of)
}

/// The present brace, and when it will be outgrown.
fn worn(view: &BraceFittingView<'_>) -> Markup {
    let Some(spell) = view.course.brace_now() else { return html! {} };
    html! {
        section.card aria-labelledby="worn-head" {
            h2 id="worn-head" { "Worn now" }
            p { (words::capital(spell.regime.words())) " since " (words::day(spell.from)) ". "
                @if let Some(mm) = spell.brace.bar_mm { "Bar " (mm) " mm. " }
                @for boot in &spell.brace.boots { @if let Some(mm) = boot.length_mm { (boot.side.title()) " boot " (mm) " mm inside. " } }
            }
            @match view.outgrowing {
                Some(found) => ul.plain-list {
                    @for boot in &found.boots { li { strong { (boot.side.title()) " boot" } ": " (boot.words()) } }
                    @if let Some(words) = found.bar_words() { li { strong { "Bar" } ": " (words) } }
                },
                None => p { "When it will be outgrown cannot be forecast: the length of a foot, the inside length of its boot and the date of birth are needed." },
            }
        }
    }
}
