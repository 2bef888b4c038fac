//! A chart of a page as a file by itself, for a talk or a paper: with title, legend, method, numbers and day.
//!
//! The chart is the one of the page. [`ChartFile::svg`] takes drawing and legend out of its figure and writes the
//! rules of the style sheet for light paper into attributes, so that the file looks the same in every program.

mod figure;
mod plain;
mod rules;

use figure::{Figure, LegendItem};
use maud::{Markup, html};

/// Units around and between the parts.
const MARGIN: f64 = 20.0;
const TITLE_HEIGHT: f64 = 25.0;
/// The least room for text beside a small drawing.
const LEAST_WIDTH: f64 = 560.0;
const LEGEND_HEIGHT: f64 = 22.0;
const NOTE_HEIGHT: f64 = 17.0;
/// Mean width of a letter of the notes and of the legend, in units, on the safe side.
const LETTER: f64 = 6.6;
/// The same of the title.
const TITLE_LETTER: f64 = 10.6;
/// Width of the sample of a mark in the legend.
const SAMPLE: f64 = 34.0;

/// A chart with what must be known about it wherever it is shown.
#[derive(Debug, Clone)]
pub struct ChartFile {
    /// What it shows.
    pub title: String,
    /// Method, numbers, day and source, a line for each.
    pub notes: Vec<String>,
    /// The figure of the page.
    pub figure: Markup,
}

/// The formats in which a chart is saved.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub enum ChartFormat {
    /// A drawing that can be enlarged.
    Svg,
    /// A picture.
    Png,
}

impl ChartFormat {
    /// The name of a chart and its format, from "curve.svg".
    #[must_use]
    pub fn of_file(file: &str) -> Option<(&str, Self)> {
        let (key, ending) = file.rsplit_once('.')?;
        match ending {
            "svg" => Some((key, Self::Svg)),
            "png" => Some((key, Self::Png)),
            _ => None,
        }
    }
}

/// The links under a chart. `address` is where its files are, without the ending; `query` is the query of the page.
#[must_use]
pub fn chart_links(address: &str, query: &str, of: &str) -> Markup {
    html! {
        p.chart-files.no-print {
            "Save this chart: "
            a href={ (address) ".svg" (query) } download { "SVG" span.sr { ", " (of) } }
            " · "
            a href={ (address) ".png" (query) } download { "PNG" span.sr { ", " (of) } }
        }
    }
}

impl ChartFile {
    /// The file, or `None` where the figure has no drawing.
    #[must_use]
    pub fn svg(&self) -> Option<String> {
        let figure = Figure::of(&self.figure.0)?;
        let inside = figure.width.max(LEAST_WIDTH);
        let width = inside + 2.0 * MARGIN;
        let title = wrapped(&self.title, inside, TITLE_LETTER);
        let legend = legend_places(&figure.legend, inside);
        let rows = legend.last().map_or(0.0, |(_, y)| y / LEGEND_HEIGHT + 1.0);
        let notes: Vec<String> = self.notes.iter().flat_map(|note| wrapped(note, inside, LETTER)).collect();
        let drawing_top = MARGIN + title.len() as f64 * TITLE_HEIGHT + 9.0;
        let legend_top = drawing_top + figure.height + 10.0;
        let notes_top = legend_top + rows * LEGEND_HEIGHT + 14.0;
        let height = notes_top + notes.len() as f64 * NOTE_HEIGHT + MARGIN - 8.0;
        let drawn = html! {
            svg xmlns="http://www.w3.org/2000/svg" width=(width) height=(height) viewBox={ "0 0 " (width) " " (height) } font-family="Noto Sans, Segoe UI, Helvetica, Arial, sans-serif" {
                title { (self.title) }
                rect width=(width) height=(height) fill="#ffffff" {}
                @for (n, line) in title.iter().enumerate() {
                    text x=(MARGIN) y=(MARGIN + 16.0 + n as f64 * TITLE_HEIGHT) font-size="19" font-weight="600" fill="#1c1712" { (line) }
                }
                g transform={ "translate(" (MARGIN) " " (drawing_top) ")" } { (figure.drawing) }
                @for (item, (x, y)) in figure.legend.iter().zip(&legend) {
                    g transform={ "translate(" (MARGIN + x) " " (legend_top + y) ")" } {
                        (item.sample)
                        text x=(SAMPLE + 8.0) y="11" font-size="12.5" fill="#3a342e" { (item.words) }
                    }
                }
                @for (n, note) in notes.iter().enumerate() {
                    text x=(MARGIN) y=(notes_top + n as f64 * NOTE_HEIGHT) font-size="12" fill="#4a433c" { (note) }
                }
            }
        };
        Some(drawn.into_string())
    }
}

/// The place of each item of the legend: side by side, in as many rows as they need.
fn legend_places(legend: &[LegendItem], width: f64) -> Vec<(f64, f64)> {
    let (mut x, mut y) = (0.0, 0.0);
    let mut places = Vec::with_capacity(legend.len());
    for item in legend {
        let wide = SAMPLE + 8.0 + item.words.chars().count() as f64 * LETTER + 22.0;
        if x > 0.0 && x + wide > width {
            (x, y) = (0.0, y + LEGEND_HEIGHT);
        }
        places.push((x, y));
        x += wide;
    }
    places
}

/// A text in lines that fit a width.
fn wrapped(text: &str, width: f64, letter: f64) -> Vec<String> {
    let fits = |line: &str| line.chars().count() as f64 * letter <= width;
    let mut lines: Vec<String> = Vec::new();
    for word in text.split_whitespace() {
        match lines.last_mut() {
            Some(line) if fits(&format!("{line} {word}")) => {
                line.push(' ');
                line.push_str(word);
            }
            _ => lines.push(word.to_owned()),
        }
    }
    lines
}

/// The course of a foot as a file. The child is named only as `who` says: a number, or not at all.
#[must_use]
pub fn course_chart(
    outlook: &guidance::Outlook,
    side: record::Side,
    forecast: Option<&forecast::foot::FootForecast>,
    who: Option<&str>,
    clinic: &str,
) -> Option<ChartFile> {
    outlook.course.foot(side)?;
    let of_whom = who.map_or_else(String::new, |who| format!(", {who}"));
    let drawing = crate::picture::drawn(outlook, side, forecast, crate::picture::Width::Wide);
    Some(ChartFile {
        title: format!("Course of the {} foot{of_whom}", side.word()),
        notes: vec![
            "Pirani score: total (solid), hindfoot (dashed), midfoot (dotted). Filled triangle: cast; hollow triangle: holding cast; square: cast after tenotomy. Age on a stretched scale.".to_owned(),
            if forecast.is_some() {
                "Right of the line of the day: forecast; about half of similar feet are within the darker part, nine in ten within the whole.".to_owned()
            } else {
                String::new()
            },
            format!("One foot, as recorded. {clinic}, {}.", outlook.course.as_of.words()),
        ],
        figure: html! { figure { (drawing) } },
    })
}

/// The drawing of the course of a foot by itself, for a letter: its colours are attributes.
#[must_use]
pub fn course_drawing(outlook: &guidance::Outlook, side: record::Side) -> Option<String> {
    outlook.course.foot(side)?;
    let width = if outlook.course.feet.len() > 1 {
        crate::picture::Width::Narrow
    } else {
        crate::picture::Width::Wide
    };
    let drawing = crate::picture::drawn(outlook, side, None, width);
    Figure::of(&drawing.0).map(|figure| figure.drawing.0)
}

#[cfg(test)]
mod tests {
    #![allow(clippy::unwrap_used)]
    use super::*;

    fn file() -> ChartFile {
        ChartFile {
            title: "Relapse < 5 % & more".to_owned(),
            notes: vec!["Kaplan–Meier; n = 12 feet of 9 children".to_owned()],
            figure: html! {
                figure {
                    svg class="plot wide" viewBox="0 0 760 300" role="img" aria-label="x" {
                        path class="curve curve-1" d="M0 0H5" {}
                        a href="/child/1/entry/2" aria-label="y" { title { "y" } text class="tick strong" x="1" y="2" { "5 %" } }
                    }
                    svg class="plot narrow" viewBox="0 0 360 280" {}
                    figcaption { ul { li { svg class="plot key" viewBox="0 0 34 12" { path class="band" d="M1 1H33" {} } " 95 % band" } } }
                }
            },
        }
    }

    #[test]
    fn a_file_has_no_class_no_link_and_no_custom_property() {
        let svg = file().svg().unwrap();
        for never in ["class=", "var(", "href", "aria-", "role=", "<a"] {
            assert!(!svg.contains(never), "{never}: {svg}");
        }
        // `.plot .curve-1 { stroke: var(--clay); stroke-dasharray: 7 4; }` over `.plot .curve`.
        assert!(svg.contains("stroke=\"#8f531c\"") && svg.contains("stroke-dasharray=\"7 4\""), "{svg}");
        assert!(svg.contains("stroke-width=\"2.2\""), "{svg}");
        assert!(svg.contains("font-weight=\"600\""), "{svg}");
        assert!(svg.contains("fill-opacity=\".17\""), "the sample of the band: {svg}");
        assert!(svg.contains("Relapse &lt; 5 % &amp; more") && svg.contains("n = 12 feet of 9 children"));
        assert_eq!(svg.matches("<svg").count(), 3, "the file, the drawing and one sample: {svg}");
    }

    #[test]
    fn long_notes_are_wrapped_and_nothing_is_lost() {
        let text = "word ".repeat(100);
        let lines = wrapped(&text, 400.0, LETTER);
        assert!(lines.len() > 5 && lines.iter().all(|line| line.chars().count() as f64 * LETTER <= 400.0));
        assert_eq!(lines.join(" ").split_whitespace().count(), 100);
    }
}
