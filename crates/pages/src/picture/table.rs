//! The course in words: one row per day on which something was seen or done.

use course::{Course, FootCourse, Scored};
use guidance::Outlook;
use maud::{Markup, html};
use record::{Day, Side};
use std::collections::BTreeMap;

/// The course of one foot as a table; nothing for a foot that is not affected.
#[must_use]
pub fn course_table(outlook: &Outlook, side: Side) -> Markup {
    let course = &outlook.course;
    let Some(foot) = course.foot(side) else { return html! {} };
    html! {
        div class="table-scroll" tabindex="0" role="region" aria-label=(format!("Course of the {side} foot")) {
            table class="course-table" {
                caption { (side.title()) " foot, as of " (course.as_of.words()) }
                thead { tr {
                    @for head in ["Day", "Age", "Pirani", "Midfoot", "Hindfoot", "Abduction", "Dorsiflexion", "Seen or done"] {
                        th scope="col" { (head) }
                    }
                } }
                tbody { @for (day, row) in rows(course, foot) { (row_of(course, day, &row)) } }
            }
        }
    }
}

#[derive(Default)]
struct Row<'a> {
    scored: Option<&'a Scored>,
    events: Vec<String>,
}

fn rows<'a>(course: &Course, foot: &'a FootCourse) -> BTreeMap<Day, Row<'a>> {
    let mut rows: BTreeMap<Day, Row<'a>> = BTreeMap::new();
    for scored in &foot.scores {
        rows.entry(scored.on).or_default().scored = Some(scored);
    }
    let mut event = |day: Day, text: String| rows.entry(day).or_default().events.push(text);
    for tenotomy in &foot.tenotomies {
        event(tenotomy.on, "heel-cord tenotomy".to_owned());
    }
    for cast in &foot.casts {
        event(cast.on, format!("cast {} ({})", cast.number, cast.purpose.words()));
    }
    for spell in &course.braces {
        let hours = spell.hours_prescribed.map_or_else(String::new, |hours| format!(", {hours} h a day"));
        event(spell.from, format!("brace, {}{hours}", spell.regime.words()));
        for (day, change, _) in &spell.changes {
            event(*day, format!("brace: {}", change.words()));
        }
    }
    for relapse in &foot.relapses {
        event(relapse.on, "relapse noted".to_owned());
    }
    for surgery in &foot.surgery {
        event(surgery.on, surgery.procedure.words().to_owned());
    }
    for problem in course.problems.iter().filter(|problem| problem.side.is_none_or(|side| side == foot.side))
    {
        event(problem.on, problem.what.words().to_owned());
    }
    rows
}

fn row_of(course: &Course, day: Day, row: &Row<'_>) -> Markup {
    let deg = |deg: Option<i16>| deg.map_or_else(String::new, |deg| format!("{deg}°").replace('-', "−"));
    let pirani = row.scored.map(|scored| scored.pirani).filter(|pirani| !pirani.is_empty());
    let total = pirani.map(|pirani| match pirani.total() {
        Some(total) => total.to_string(),
        None => "incomplete".to_owned(),
    });
    let part = |halves: Option<record::Halves>| halves.map(|halves| halves.to_string()).unwrap_or_default();
    html! {
        tr {
            th scope="row" { (day.words()) }
            td { (course.age_on(day).map(course::Age::words).unwrap_or_default()) }
            td { (total.unwrap_or_default()) }
            td { (pirani.map(|pirani| part(pirani.midfoot())).unwrap_or_default()) }
            td { (pirani.map(|pirani| part(pirani.hindfoot())).unwrap_or_default()) }
            td { (deg(row.scored.and_then(|scored| scored.abduction_deg))) }
            td { (deg(row.scored.and_then(|scored| scored.dorsiflexion_deg))) }
            td { (row.events.join("; ")) }
        }
    }
}
