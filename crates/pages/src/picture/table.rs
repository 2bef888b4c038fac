//! The course as a table: one row per day on which something was found or done.

use crate::ink::{self, Ink};
use course::{AssessmentSeen, Course, FootCourse};
use guidance::Outlook;
use maud::Markup;
use record::{Day, Side};
use std::{borrow::Cow, collections::BTreeMap};

/// The course of one foot as a table; empty for a foot that is not affected.
#[must_use]
pub fn course_table(outlook: &Outlook, side: Side) -> Markup {
    outlook
        .course
        .foot(side)
        .map_or_else(Markup::default, |foot| ink::markup(|ink| draw(ink, &outlook.course, foot)))
}

pub(super) fn draw(ink: &mut Ink<'_>, course: &Course, foot: &FootCourse) {
    ink.tag("<div class=\"table-scroll\" tabindex=\"0\" role=\"region\" aria-label=\"Course of the ");
    ink.tag(foot.side.word()).tag(" foot\"><table class=\"course-table\"><caption>").tag(foot.side.title());
    ink.tag(" foot, as of ").day_words(course.as_of).tag("</caption><thead><tr>");
    for head in ["Day", "Age", "Pirani", "Midfoot", "Hindfoot", "Abduction", "Dorsiflexion", "Events"] {
        ink.tag("<th scope=\"col\">").tag(head).tag("</th>");
    }
    ink.tag("</tr></thead><tbody>");
    for (day, row) in rows(course, foot) {
        row_of(ink, course, day, &row);
    }
    ink.tag("</tbody></table></div>");
}

#[derive(Default)]
struct Row<'a> {
    scored: Option<&'a AssessmentSeen>,
    events: Vec<Cow<'static, str>>,
}

fn rows<'a>(course: &Course, foot: &'a FootCourse) -> BTreeMap<Day, Row<'a>> {
    let mut rows: BTreeMap<Day, Row<'a>> = BTreeMap::new();
    for scored in &foot.scores {
        rows.entry(scored.on).or_default().scored = Some(scored);
    }
    let mut event = |day: Day, text: Cow<'static, str>| rows.entry(day).or_default().events.push(text);
    for tenotomy in &foot.tenotomies {
        event(tenotomy.on, "heel-cord tenotomy".into());
    }
    for cast in &foot.casts {
        event(cast.on, format!("cast {} ({})", cast.number, cast.purpose.words()).into());
    }
    for spell in &course.braces {
        let hours = spell.hours_prescribed.map_or_else(String::new, |hours| format!(", {hours} h a day"));
        event(spell.from, format!("brace, {}{hours}", spell.regime.words()).into());
        for (day, change, _) in &spell.changes {
            event(*day, format!("brace: {}", change.words()).into());
        }
    }
    for relapse in &foot.relapses {
        event(relapse.on, "relapse".into());
    }
    for surgery in &foot.surgery {
        event(surgery.on, surgery.procedure.words().into());
    }
    for problem in course.problems.iter().filter(|problem| problem.side.is_none_or(|side| side == foot.side))
    {
        event(problem.on, problem.what.words().into());
    }
    rows
}

fn row_of(ink: &mut Ink<'_>, course: &Course, day: Day, row: &Row<'_>) {
    let pirani = row.scored.map(|scored| &scored.pirani).filter(|pirani| !pirani.is_empty());
    let parts = pirani.map_or([None, None], |pirani| [pirani.midfoot(), pirani.hindfoot()]);
    let moved = row.scored.map_or([None, None], |scored| [scored.abduction_deg, scored.dorsiflexion_deg]);
    ink.tag("<tr><th scope=\"row\">").day_words(day).tag("</th><td>");
    if let Some(age) = course.age_on(day) {
        ink.text(&age.words());
    }
    ink.tag("</td><td>");
    match pirani.map(|pirani| pirani.total()) {
        Some(Some(total)) => ink.halves(total),
        Some(None) => ink.tag("incomplete"),
        None => ink,
    };
    ink.tag("</td>");
    for part in parts {
        ink.tag("<td>");
        part.into_iter().for_each(|part| ink.halves(part).done());
        ink.tag("</td>");
    }
    for deg in moved {
        ink.tag("<td>");
        deg.into_iter().for_each(|deg| ink.degrees(deg).done());
        ink.tag("</td>");
    }
    ink.tag("<td>");
    for (n, event) in row.events.iter().enumerate() {
        ink.tag(if n == 0 { "" } else { "; " }).text(event);
    }
    ink.tag("</td></tr>");
}
