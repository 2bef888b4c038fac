//! The feet look swapped between two visits.
//!
//! **Both feet scored.** Two consecutive visits, at most [`LONGEST_GAP_DAYS`] apart, at which both feet have
//! all six signs, are compared: the distance of the signs of a foot from its own and from the other foot's
//! signs at the earlier visit, each as the sum over the six signs. The feet look swapped if *each* foot is
//! nearer to the other by at least [`NEARER_HALVES`], and the two together by at least [`TOGETHER_HALVES`].
//! As feet improve under treatment both move the same way, so this requires that one foot has become as bad
//! as the other was. Raters differ by half a point to a point on the total (evidence on correction, section
//! 1), which does not reach the limit of three points. If the next visit looks swapped back there is no
//! second question: the visit between is the odd one.
//!
//! **One foot only.** Only one foot of the child is known (diagnosed, scored, cast or cut), and a visit then
//! has entries on the other foot alone, which no diagnosis ever called a clubfoot. Asked at the first such
//! visit.
//!
//! The limits are judgement; no source.

use super::question;
use crate::events::{Event, seen_in_person};
use crate::feet::{FootKnown, is_scored};
use crate::{AssessmentSeen, Course, Question, QuestionKind};
use record::{Body, EntryId, Nature, Pirani, Side, Sign};

/// Visits further apart are not compared.
pub(crate) const LONGEST_GAP_DAYS: i32 = 60;
/// Each foot must be nearer to the other's earlier signs by this many half points: one point.
pub(crate) const NEARER_HALVES: i32 = 2;
/// Both feet together by this many: three points.
pub(crate) const TOGETHER_HALVES: i32 = 6;

pub(super) fn ask(open: &mut Vec<Question>, course: &Course, events: &[Event<'_>], known: &[FootKnown; 2]) {
    if let [right, left] = course.feet.as_slice() {
        scores(open, &right.scores, &left.scores);
    }
    if known[0].first.is_some() && known[1].first.is_some() {
        open.extend(other_foot(events, known));
    }
}

/// Right and left at one visit.
type TwoFeet<'a> = [&'a AssessmentSeen; 2];

fn scores(open: &mut Vec<Question>, right: &[AssessmentSeen], left: &[AssessmentSeen]) {
    let mut before: Option<TwoFeet<'_>> = None;
    let mut asked = false;
    for right in right.iter().filter(|scored| scored.pirani.total().is_some()) {
        let from = left.partition_point(|left| left.on < right.on);
        let same_day = left[from..].iter().take_while(|left| left.on == right.on);
        let Some(left) = same_day.filter(|left| left.pirani.total().is_some()).last() else { continue };
        let now = [right, left];
        let looks = before.is_some_and(|before| look_swapped(before, now));
        if let Some(before) = before.filter(|_| looks && !asked) {
            open.push(swapped(before, now));
        }
        asked = looks && !asked;
        before = Some(now);
    }
}

/// The distance between two sets of six signs, in half points.
fn distance(one: &Pirani, other: &Pirani) -> i32 {
    let halves = |pirani: &Pirani, sign| pirani.sign(sign).map_or(0, |point| i32::from(point.halves().0));
    Sign::ALL.into_iter().map(|sign| (halves(one, sign) - halves(other, sign)).abs()).sum()
}

fn look_swapped(before: TwoFeet<'_>, now: TwoFeet<'_>) -> bool {
    let gap = now[0].on - before[0].on;
    let nearer = [0, 1].map(|i| {
        distance(&now[i].pirani, &before[i].pirani) - distance(&now[i].pirani, &before[1 - i].pirani)
    });
    (1..=LONGEST_GAP_DAYS).contains(&gap)
        && nearer.iter().all(|&halves| halves >= NEARER_HALVES)
        && nearer.iter().sum::<i32>() >= TOGETHER_HALVES
}

fn swapped(before: TwoFeet<'_>, now: TwoFeet<'_>) -> Question {
    let text = format!(
        "Right and left look swapped between {} and {}: each foot's signs are nearer to the earlier signs of the other foot.",
        before[0].on.words(),
        now[0].on.words()
    );
    let entries = before.iter().chain(&now).map(|scored| scored.entry).collect();
    question(QuestionKind::SidesSwapped, None, now[0].on, text, entries)
}

/// Entries on the foot that was not recorded before.
fn other_foot(events: &[Event<'_>], known: &[FootKnown; 2]) -> Option<Question> {
    let mut last: [Option<EntryId>; 2] = [None; 2];
    for day in events.chunk_by(|one, next| one.on == next.on) {
        let mut today: [Vec<EntryId>; 2] = [Vec::new(), Vec::new()];
        for event in day {
            if let Body::Diagnosis(body) = event.body
                && body.nature != Some(Nature::NotClubfoot)
            {
                last[place(body.side)] = Some(event.id());
            }
            if let Some(side) = scored_or_treated(event) {
                today[place(side)].push(event.id());
            }
        }
        for side in Side::BOTH {
            let (here, there) = (place(side), place(side.other()));
            let alone = !today[here].is_empty() && today[there].is_empty();
            if let Some(before) =
                last[there].filter(|_| alone && last[here].is_none() && !known[here].diagnosed)
            {
                let entries = std::iter::once(before).chain(today[here].iter().copied()).collect();
                return Some(wrong_foot(side, day[0].on, entries));
            }
        }
        for (last, today) in last.iter_mut().zip(&today) {
            *last = today.last().copied().or(*last);
        }
    }
    None
}

const fn place(side: Side) -> usize {
    side as usize
}

/// The foot that an entry scores or treats; a measurement alone does not count.
fn scored_or_treated(event: &Event<'_>) -> Option<Side> {
    match event.body {
        Body::Assessment(body) if !is_scored(body) => None,
        body => seen_in_person(body),
    }
}

fn wrong_foot(side: Side, on: record::Day, entries: Vec<EntryId>) -> Question {
    let text = format!(
        "Before {} every entry was about the {} foot; the entries of that day are about the {side} foot only.",
        on.words(),
        side.other()
    );
    question(QuestionKind::SidesSwapped, side, on, text, entries)
}
