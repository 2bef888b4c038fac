//! Both feet as the clinician sees them with the child facing: right before left, each named in words.

use crate::{
    ink::Ink,
    picture::{self, AngleOnPhotograph, Width},
    words,
};
use course::{AssessmentSeen, BraceSpell, FootCourse};
use forecast::foot::FootForecast;
use guidance::Outlook;
use maud::{Markup, html};
use record::{ChildId, Day, EntryId, Side};

/// Both feet, and how to read their pictures.
pub fn feet(ink: &mut Ink<'_>, outlook: &Outlook, forecasts: &[FootForecast], angles: &[AngleOnPhotograph]) {
    for side in Side::BOTH {
        match outlook.course.foot(side) {
            Some(foot) => {
                let forecast = forecasts.iter().find(|forecast| forecast.side == side);
                foot_section(ink, outlook, foot, (forecast, angles));
            }
            None => ink.markup(&not_affected(side)).done(),
        }
    }
    if !outlook.course.feet.is_empty() {
        ink.tag("<details class=\"picture-help\"><summary>How to read the picture</summary>");
        ink.markup(&picture::picture_legend()).tag("</details>");
    }
}

fn not_affected(side: Side) -> Markup {
    html! { p.foot-well { strong { (side.title()) " foot: " } "not recorded as affected." } }
}

fn foot_section(
    ink: &mut Ink<'_>,
    outlook: &Outlook,
    foot: &FootCourse,
    drawn: (Option<&FootForecast>, &[AngleOnPhotograph]),
) {
    let side = foot.side.word();
    ink.tag("<section class=\"foot-course\" aria-labelledby=\"").tag(side).tag("-foot\">");
    ink.markup(&foot_head(foot)).markup(&facts(outlook.course.child, foot));
    // Two feet stand next to each other, each in the narrow drawing; one foot has the room of both.
    let both = outlook.course.feet.len() > 1;
    let widths: &[Width] = if both { &[Width::Narrow] } else { &[Width::Wide, Width::Narrow] };
    picture::figure(ink, outlook, foot, drawn, widths);
    ink.markup(&saved(outlook, foot)).tag("</section>");
}

/// The picture as a file, without the name of the child; with its number where somebody asks for that.
fn saved(outlook: &Outlook, foot: &FootCourse) -> Markup {
    let address = format!("/child/{}/chart/{}", outlook.course.child, foot.side);
    let query = format!("?as_of={}", outlook.course.as_of);
    crate::chart_links(&address, &query, &format!("{} foot", foot.side))
}

fn foot_head(foot: &FootCourse) -> Markup {
    html! {
        h2 id={ (foot.side.word()) "-foot" } { (foot.side.title()) " foot" span.foot-phase { (words::capital(foot.phase.words())) @if let Some(since) = foot.phase_since { " since " (words::day(since)) } } }
    }
}

/// A fact about a foot, with the entry it comes from.
type FootFact = (&'static str, String, Option<EntryId>);

/// The state of the foot in a few facts, each of which leads to its entry.
fn facts(child: ChildId, foot: &FootCourse) -> Markup {
    let mut facts: Vec<FootFact> = Vec::new();
    if let Some(scored) = foot.last_pirani() {
        let total = scored.pirani.total().map_or_else(
            || format!("incomplete, {} of 6 signs", 6 - scored.pirani.missing().count()),
            |total| format!("{total} of 6"),
        );
        facts.push(("Pirani", format!("{total} on {}", scored.on.words()), Some(scored.entry)));
    }
    facts.extend(movement(foot));
    if let Some(cast) = foot.cast_on() {
        let words = format!("cast {}, {}, since {}", cast.number, cast.purpose.words(), cast.on.words());
        facts.push(("Cast on", words, Some(cast.entry)));
    }
    if foot.episode > 1 {
        let words = format!("{} (a relapse or new casts after bracing)", foot.episode);
        facts.push(("Episode", words, None));
    }
    if let Some(nature) = foot.nature {
        let complex = if foot.complex == Some(true) { ", complex" } else { "" };
        facts.push(("Type", format!("{}{complex}", nature.words()), None));
    }
    if let Some(plan) = &foot.tenotomy_plan {
        let day = plan.planned_on.map_or_else(|| "no date set".to_owned(), |day| day.words());
        facts.push(("Tenotomy booked", day, Some(plan.entry)));
    }
    html! {
        dl.foot-facts {
            @for (name, words, entry) in &facts {
                div { dt { (name) } dd { @match entry {
                    Some(entry) => a href={ "/child/" (child) "/entry/" (entry) } { (words) },
                    None => (words),
                } } }
            }
        }
    }
}

/// The last angles, in one line where they were measured on the same day.
fn movement(foot: &FootCourse) -> Vec<FootFact> {
    let on = |(scored, deg): (&AssessmentSeen, i16)| (scored.on, words::degrees(deg), scored.entry);
    match (foot.last_dorsiflexion().map(on), foot.last_abduction().map(on)) {
        (Some((day, up, entry)), Some((_, out, same))) if entry == same => {
            vec![("Dorsiflexion", format!("{up}, abduction {out} on {}", day.words()), Some(entry))]
        }
        (up, out) => {
            let fact = |name, last: Option<(Day, String, EntryId)>| {
                last.map(|(day, deg, entry)| (name, format!("{deg} on {}", day.words()), Some(entry)))
            };
            [fact("Dorsiflexion", up), fact("Abduction", out)].into_iter().flatten().collect()
        }
    }
}

/// The present brace.
pub(super) fn brace_section(brace: &BraceSpell) -> Markup {
    html! {
        section.card aria-labelledby="brace-head" {
            h2 id="brace-head" { "Present brace" }
            dl.foot-facts {
                div { dt { "Worn" } dd { (brace.regime.words()) @if !brace.regime_stated { " (not recorded; inferred from the course)" } } }
                div { dt { "Prescribed" } dd { @match brace.hours_prescribed { Some(hours) => { (hours) " hours a day" }, None => "hours not recorded" } } }
                div { dt { "Braced since" } dd { (words::day(brace.bracing_since)) } }
                @if let Some(bar) = brace.brace.bar_mm { div { dt { "Bar" } dd { (bar) " mm" @if brace.brace.bar_per_side == Some(true) { ", each boot set to its own angle" } } } }
                @for boot in &brace.brace.boots {
                    div {
                        dt { (boot.side.title()) " boot" }
                        dd {
                            @if let Some(mm) = boot.length_mm { (mm) " mm " }
                            @if let Some(deg) = boot.abduction_deg { "turned out " (words::degrees(deg)) " " }
                            @if let Some(deg) = boot.dorsiflexion_deg { "bent up " (words::degrees(deg)) }
                        }
                    }
                }
            }
        }
    }
}
