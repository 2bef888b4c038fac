//! What is recorded of each foot, in the lines of a table. A value that is not recorded has no line, except where a
//! reader would take its absence for an answer.

use super::{ColleagueBlock, date, degrees, own, said};
use crate::{colleague_block::FootFindings, document::Block};
use course::{AssessmentSeen, Course, Episode, FootCourse};
use messages::Sentence;
use record::Side;

/// A line: what, and its value.
type FootLine = (Sentence, Sentence);

/// Both feet, right before left, each under its name; a foot that is not recorded as affected is named too.
pub(super) fn each_foot(course: &Course, lines: impl Fn(&FootCourse) -> Vec<FootLine>) -> Block {
    let of_side = |side: Side| FootFindings { side, lines: course.foot(side).map(&lines) };
    own(ColleagueBlock::Feet(Side::BOTH.into_iter().map(of_side).collect()))
}

/// What the foot is like: diagnosis, and what was done before this clinic.
pub(super) fn nature(foot: &FootCourse) -> Vec<FootLine> {
    let mut words = foot.nature.map_or("not recorded", |nature| nature.words()).to_owned();
    if foot.complex == Some(true) {
        words.push_str(", atypical or complex");
    }
    let mut lines = vec![(Sentence::new("clinic-row-nature"), said(&words))];
    if let Some(earlier) = &foot.earlier_treatment {
        lines.push((Sentence::new("clinic-row-earlier"), said(earlier)));
    }
    lines
}

/// The first score, and the last one if it is another.
pub(super) fn scores(foot: &FootCourse) -> Vec<FootLine> {
    let scored: Vec<&AssessmentSeen> = foot.scores.iter().filter(|one| !one.pirani.is_empty()).collect();
    let mut lines = Vec::new();
    match scored.first() {
        Some(first) => lines.push((Sentence::new("clinic-row-first-score"), score(first))),
        None => lines.push((Sentence::new("clinic-row-first-score"), Sentence::new("clinic-no-score"))),
    }
    if let Some(last) = scored.last().filter(|_| scored.len() > 1) {
        lines.push((Sentence::new("clinic-row-last-score"), score(last)));
    }
    lines
}

/// A score with its day; one with signs missing has no total.
fn score(scored: &AssessmentSeen) -> Sentence {
    let pirani = &scored.pirani;
    match (pirani.total(), pirani.midfoot(), pirani.hindfoot()) {
        (Some(total), Some(midfoot), Some(hindfoot)) => Sentence::new("clinic-score")
            .with("total", total.to_string().as_str())
            .with("midfoot", midfoot.to_string().as_str())
            .with("hindfoot", hindfoot.to_string().as_str())
            .with("day", date(scored.on)),
        _ => {
            let there = 6 - pirani.missing().count();
            let there = i64::try_from(there).unwrap_or(0);
            Sentence::new("clinic-score-incomplete").with("signs", there).with("day", date(scored.on))
        }
    }
}

/// The last angles, each with its own day.
pub(super) fn movement(foot: &FootCourse) -> Vec<FootLine> {
    let measured = [
        ("clinic-row-dorsiflexion", foot.last_dorsiflexion()),
        ("clinic-row-abduction", foot.last_abduction()),
    ];
    let line = |(id, last): (&'static str, Option<(&AssessmentSeen, i16)>)| {
        let (scored, deg) = last?;
        let value =
            Sentence::new("clinic-angle").with("angle", degrees(deg).as_str()).with("day", date(scored.on));
        Some((Sentence::new(id), value))
    };
    measured.into_iter().filter_map(line).collect()
}

/// What was done: casts of each episode, tenotomies, relapses, other surgery.
pub(super) fn done(foot: &FootCourse) -> Vec<FootLine> {
    let mut lines: Vec<FootLine> = foot.episodes.iter().map(casts).collect();
    if lines.is_empty() {
        lines.push((Sentence::new("clinic-row-casts"), Sentence::new("clinic-no-casts")));
    }
    for tenotomy in &foot.tenotomies {
        let value = match tenotomy.dorsiflexion_after_deg {
            Some(deg) => Sentence::new("clinic-tenotomy-after").with("angle", degrees(deg).as_str()),
            None => Sentence::new("clinic-tenotomy"),
        };
        lines.push((Sentence::new("clinic-row-tenotomy"), value.with("day", date(tenotomy.on))));
    }
    for relapse in &foot.relapses {
        let value = match relapse.grade {
            Some(grade) => Sentence::new("clinic-relapse-grade").with("grade", grade.words()),
            None => Sentence::new("clinic-relapse"),
        };
        lines.push((Sentence::new("clinic-row-relapse"), value.with("day", date(relapse.on))));
    }
    for surgery in &foot.surgery {
        let value = Sentence::new("clinic-surgery")
            .with("what", surgery.procedure.words())
            .with("day", date(surgery.on));
        lines.push((Sentence::new("clinic-row-surgery"), value));
    }
    lines
}

fn casts(episode: &Episode) -> FootLine {
    let label = if episode.number > 1 { "clinic-row-casts-again" } else { "clinic-row-casts" };
    let value = match episode.until {
        Some(until) => Sentence::new("clinic-casts-until").with("until", date(until)),
        None => Sentence::new("clinic-casts-since"),
    };
    let value = value
        .with("casts", i64::from(episode.correcting_casts))
        .with("all", i64::from(episode.casts))
        .with("from", date(episode.from));
    (Sentence::new(label), value)
}

/// The phase of the foot now.
pub(super) fn now(foot: &FootCourse) -> Vec<FootLine> {
    let phase = foot.phase.words();
    let value = match foot.phase_since {
        Some(since) => Sentence::new("clinic-phase-since").with("phase", phase).with("day", date(since)),
        None => said(phase),
    };
    let mut lines = vec![(Sentence::new("clinic-row-now"), value)];
    if let Some(cast) = foot.cast_on() {
        let value = Sentence::new("clinic-cast-on")
            .with("number", i64::from(cast.number))
            .with("purpose", cast.purpose.words())
            .with("day", date(cast.on));
        lines.push((Sentence::new("clinic-row-cast-on"), value));
    }
    if let Some(plan) = &foot.tenotomy_plan {
        let value = match plan.planned_on {
            Some(day) => Sentence::new("clinic-booked-for").with("day", date(day)),
            None => Sentence::new("clinic-booked-open"),
        };
        lines.push((Sentence::new("clinic-row-booked"), value));
    }
    lines
}
