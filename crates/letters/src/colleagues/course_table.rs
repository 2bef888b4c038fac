//! The course of a foot as a table: a row for each day on which something was found or done.

use super::{ColleagueBlock, degrees, own};
use crate::document::Block;
use course::{AssessmentSeen, FootCourse};
use messages::Sentence;
use record::Day;
use std::collections::BTreeMap;

/// Rows at the begin that are always kept.
const FIRST_ROWS: usize = 4;

#[derive(Default)]
struct CourseRow<'a> {
    scored: Option<&'a AssessmentSeen>,
    done: Vec<String>,
}

/// The table, with at most so many rows; where there are more, the first and the last are kept, and the caption
/// says how many are left out.
pub(super) fn table(foot: &FootCourse, most: usize) -> Block {
    let rows = rows(foot);
    let all = rows.len();
    let from_end = most.saturating_sub(FIRST_ROWS);
    let kept = |place: usize| all <= most || place < FIRST_ROWS || place + from_end >= all;
    let cells: Vec<Vec<String>> = rows
        .iter()
        .enumerate()
        .filter(|(place, _)| kept(*place))
        .map(|(_, (day, row))| cells(*day, row))
        .collect();
    let left_out = i64::try_from(all - cells.len()).unwrap_or(0);
    let caption = if left_out > 0 { "clinic-course-shortened" } else { "clinic-course" };
    let heads = ["clinic-col-day", "clinic-col-pirani", "clinic-col-parts", "clinic-col-abduction"];
    let heads = heads.into_iter().chain(["clinic-col-dorsiflexion", "clinic-col-done"]);
    own(ColleagueBlock::Wide {
        caption: Sentence::new(caption).with("foot", foot.side).with("left", left_out),
        heads: heads.map(Sentence::new).collect(),
        rows: cells,
    })
}

fn rows(foot: &FootCourse) -> BTreeMap<Day, CourseRow<'_>> {
    let mut rows: BTreeMap<Day, CourseRow<'_>> = BTreeMap::new();
    for scored in &foot.scores {
        rows.entry(scored.on).or_default().scored = Some(scored);
    }
    let mut done = |day: Day, what: String| rows.entry(day).or_default().done.push(what);
    for relapse in &foot.relapses {
        let grade = relapse.grade.map_or_else(String::new, |grade| format!(", {}", grade.words()));
        done(relapse.on, format!("relapse{grade}"));
    }
    for tenotomy in &foot.tenotomies {
        done(tenotomy.on, "heel-cord tenotomy".to_owned());
    }
    for cast in &foot.casts {
        let again = if cast.episode > 1 { format!(" of episode {}", cast.episode) } else { String::new() };
        done(cast.on, format!("cast {}{again}, {}", cast.number, cast.purpose.words()));
    }
    for surgery in &foot.surgery {
        done(surgery.on, surgery.procedure.words().to_owned());
    }
    rows
}

fn cells(day: Day, row: &CourseRow<'_>) -> Vec<String> {
    let pirani = row.scored.map(|scored| &scored.pirani).filter(|pirani| !pirani.is_empty());
    let total = pirani.map_or_else(String::new, |pirani| {
        pirani.total().map_or_else(|| "incomplete".to_owned(), |total| total.to_string())
    });
    let parts = pirani.and_then(|pirani| Some(format!("{} + {}", pirani.midfoot()?, pirani.hindfoot()?)));
    let angle = |deg: Option<i16>| deg.map(degrees).unwrap_or_default();
    vec![
        day.words(),
        total,
        parts.unwrap_or_default(),
        angle(row.scored.and_then(|scored| scored.abduction_deg)),
        angle(row.scored.and_then(|scored| scored.dorsiflexion_deg)),
        row.done.join("; "),
    ]
}
