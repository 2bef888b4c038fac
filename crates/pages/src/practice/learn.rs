//! Where learning to score begins: what is due, and how far each sign has come.

use super::{
    LEVELS_PATH, PHOTOGRAPHS_PATH, PROGRESS_PATH, RECORD_PATH, TOGETHER_PATH, drawing::source_note,
    kappa_words, same_words, sign_path,
};
use crate::{Frame, HelpTopic, frame, words};
use maud::{Markup, html};
use practice::{ConfirmedLevels, PracticeProgress, PracticeSchedule, SET, SignSchedule};
use record::Sign;

/// The start page of a person.
#[derive(Debug, Clone)]
pub struct LearnView {
    /// What is due.
    pub schedule: PracticeSchedule,
    /// How the person agrees with the drawn answers.
    pub progress: PracticeProgress,
    /// Whether the person may see the page of scoring alike in the clinic.
    pub may_see_clinic: bool,
    /// The levels that the clinic has confirmed.
    pub confirmed: ConfirmedLevels,
}

/// The page.
#[must_use]
pub fn learn(frame: &Frame, view: &LearnView) -> Markup {
    let body = html! {
        h1 { "Learn to score" }
        p.lead { "Drawn feet with a known answer. You score one sign of one foot, and then see what is right and what to look at. Your answers are seen by you alone." }
        (next(view))
        (signs(view))
        ul.practice-links {
            li { a href=(LEVELS_PATH) { "Every sign at every level" } span.hint { "Drawings and the numbers behind them." } }
            li { a href=(PROGRESS_PATH) { "Your progress" } span.hint { "Agreement with the drawn answer, in blocks of fifteen feet." } }
            li { a href=(RECORD_PATH) { "Record of practice" } span.hint { "A page to print." } }
            @if view.may_see_clinic { li { a href=(PHOTOGRAPHS_PATH) { "Photographs of this clinic" } span.hint { "Feet that two people scored alike, counted apart." } } }
            @if view.may_see_clinic { li { a href=(TOGETHER_PATH) { "Scoring together" } span.hint { "Second scores of real feet: how many more, of whom, and what to talk about." } } }
        }
        (limits(view))
    };
    frame::page(frame, HelpTopic::LearnToScore, "Learn to score", &body)
}

fn next(view: &LearnView) -> Markup {
    let schedule = &view.schedule;
    html! {
        section.card aria-labelledby="next" {
            h2 id="next" { "Now" }
            @match (schedule.next(), schedule.next_day()) {
                (Some(sign), _) => {
                    p { strong { (sign.sign.name()) } ", " (left(sign)) "." }
                    p.actions { a.button.primary href=(sign_path(sign.sign)) { "Score a foot: " (sign.sign.name().to_lowercase()) } }
                },
                (None, Some(day)) => p { "Nothing is due today. Next on " (words::day(day)) ". You can practise any sign below; answers before their day count for your agreement and do not postpone the day." },
                (None, None) => p { "Nothing is due." },
            }
        }
    }
}

/// "foot 2 of a set of 3".
fn left(sign: &SignSchedule) -> String {
    format!("foot {} of a set of {SET}", sign.in_set + 1)
}

fn signs(view: &LearnView) -> Markup {
    let agreement = |sign: Sign| view.progress.signs.iter().find(|one| one.sign == sign).map(|one| &one.all);
    html! {
        section aria-labelledby="signs" {
            h2 id="signs" { "Sign by sign" }
            div.scroll tabindex="0" role="region" aria-label="Table: your practice, sign by sign" {
                table.stack role="table" {
                    thead role="rowgroup" { tr role="row" { @for head in ["Sign", "Next", "Right (95 % interval)", "Weighted kappa (95 % interval)", "Practise"] { th role="columnheader" scope="col" { (head) } } } }
                    tbody role="rowgroup" { @for one in &view.schedule.signs {
                        tr role="row" {
                            th role="rowheader" scope="row" { (one.sign.name()) @if practice::is_felt(one.sign) { " " span.rel { "felt, not seen" } } }
                            td role="cell" data-label="Next" { (when(view, one)) }
                            td role="cell" data-label="Right (95 % interval)" { (agreement(one.sign).map_or_else(|| "–".to_owned(), same_words)) }
                            td role="cell" data-label="Weighted kappa (95 % interval)" { (agreement(one.sign).map_or_else(|| "–".to_owned(), |all| kappa_words(&all.kappa))) }
                            td role="cell" data-label="Practise" { a.button href=(sign_path(one.sign)) { "Score a foot" span.sr { ": " (one.sign.name()) } } }
                        }
                    } }
                }
            }
            p.hint { "A sign is asked again after 1, 3, 7, 14 and 30 days while three feet in a row are right; after a wrong one, the next day (boxes after Leitner 1972; the days and the sets of three are our own choice)." }
        }
    }
}

fn when(view: &LearnView, sign: &SignSchedule) -> String {
    match sign.due {
        _ if sign.in_set > 0 => left(sign),
        None => "new".to_owned(),
        Some(due) if due <= view.schedule.as_of => {
            format!("due since {}, box {} of 5", due.words(), sign.box_number)
        }
        Some(due) => format!("on {}, box {} of 5", due.words(), sign.box_number),
    }
}

fn limits(view: &LearnView) -> Markup {
    html! {
        section aria-labelledby="limits" {
            h2 id="limits" { "What this can and cannot teach" }
            ul.plain-list {
                li { "It can teach which level has which name, so that two people call the same foot by the same number." }
                li { "It cannot teach the hands: how to hold the foot, how much force is gentle, and what bone feels like. Two of the six signs, the lateral head of the talus and the empty heel, are felt." }
                li { "Agreement with drawings is not agreement at the cast table. That shows only where two people score the same foot." }
                li { "There is no pass mark: no published number of feet and no published kappa makes a rater." }
            }
            (source_note(&view.confirmed, &Sign::ALL))
            p.caution { "Your local training and protocol take precedence." }
        }
    }
}
