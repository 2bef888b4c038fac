//! A sign scored on a photograph of the clinic. The pages name foot and view, and nothing that says whose foot it is.

use super::{
    LEARN_PATH, PHOTOGRAPHS_PATH, kappa_words, photograph_path, practice_fields as names, same_words, signed,
};
use crate::{
    Frame, HelpTopic,
    fields::Filled,
    frame,
    parts::{self, Tile},
    words,
};
use maud::{Markup, html};
use practice::PhotographProgress;
use record::{ChildId, EntryId, HalfPoint, PhotographView, Side, Sign};

/// A sign on a photograph.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub struct PhotographToScore {
    /// The child, which the page does not name.
    pub child: ChildId,
    /// The entry of the photograph.
    pub photograph: EntryId,
    /// The sign.
    pub sign: Sign,
}

/// Where practice on photographs begins.
#[derive(Debug, Clone)]
pub struct PhotographPracticeView {
    /// What is asked next; `None` if there is nothing left.
    pub next: Option<PhotographToScore>,
    /// How many there are for the person, the next one among them.
    pub left: usize,
    /// How the person agrees with the references.
    pub progress: PhotographProgress,
}

/// What there is to do with a photograph.
#[derive(Debug, Clone)]
pub enum PhotographTask {
    /// To score the sign: the form. Sent twice it is saved once, because a sign is scored once for each child.
    Score(Filled),
    /// It is scored: the level given, and the one that two people had given.
    Scored(HalfPoint, HalfPoint),
}

/// A sign on a photograph, to be scored or scored.
#[derive(Debug, Clone)]
pub struct PhotographExerciseView {
    /// Which.
    pub of: PhotographToScore,
    /// The foot on it.
    pub side: Side,
    /// From where it was taken.
    pub view: PhotographView,
    /// Width and height of the picture, in pixels.
    pub size_px: (u16, u16),
    /// What there is to do.
    pub task: PhotographTask,
}

/// The page with what is next and the own agreement.
#[must_use]
pub fn photograph_practice(frame: &Frame, view: &PhotographPracticeView) -> Markup {
    let body = html! {
        nav.back aria-label="Back" { a href=(LEARN_PATH) { "Learn to score" } }
        h1 { "Photographs of this clinic" }
        p.lead { "One sign on a photograph of a foot that two people scored at the visit of the same day and gave the same level, neither of them you. Feet that only one person scored are not used. Your answers are seen by you alone." }
        section.card aria-labelledby="next" {
            h2 id="next" { "Now" }
            @match view.next {
                Some(next) => {
                    p { (words::count(view.left as i64, "sign", "signs")) " to score, each once: one photograph of a child for each sign." }
                    p.actions { a.button.primary href=(photograph_path(&next)) { "Score a photograph: " (next.sign.name().to_lowercase()) } }
                },
                None => p { "No photograph can be scored now. It takes a photograph that the family lets be shown in teaching, of the sole, from behind, or with the foot brought up, and two people who gave the same level to the sign on the day of the picture." },
            }
        }
        section aria-labelledby="agreement" {
            h2 id="agreement" { "Your agreement with the examination" }
            (table(&view.progress))
            p.hint { "Counted apart from drawn feet. A photograph is flat and still: in a published series the scores from photographs agreed fully with the examination in 38 of 79 feet (Smythe and others 2020, read in abstract), so that a difference does not show that the picture was read wrongly. Weighted kappa has linear weights; each child counts once for each sign." }
        }
        p.caution { "Your local training and protocol take precedence." }
    };
    frame::page(frame, HelpTopic::LearnToScore, "Photographs of this clinic", &body)
}

/// The own agreement, sign by sign.
pub(super) fn table(progress: &PhotographProgress) -> Markup {
    let lean = |mean: Option<f64>| mean.map_or_else(|| "cannot be told".to_owned(), signed);
    html! {
        div.scroll tabindex="0" role="group" aria-label="Table: photographs" {
            table.numbers {
                thead { tr { @for head in ["Sign", "Photographs", "The same (95 % interval)", "Weighted kappa (95 % interval)", "Yours minus theirs, mean"] { th scope="col" { (head) } } } }
                tbody { @for (sign, agreement) in &progress.0 { tr {
                    th scope="row" { (sign.name()) }
                    td { (agreement.n) } td { (same_words(agreement)) } td { (kappa_words(&agreement.kappa)) } td { (lean(agreement.mean_difference)) }
                } } }
            }
        }
    }
}

/// The page with the photograph, and the three levels or the answer.
#[must_use]
pub fn photograph_exercise(frame: &Frame, view: &PhotographExerciseView) -> Markup {
    let PhotographExerciseView { of, side, view: taken, size_px: (width, height), task } = view;
    let title = format!("{}: photograph, {side} foot", of.sign.name());
    let picture = format!("/child/{}/photographs/{}/whole", of.child, of.photograph);
    let alternative = format!("Photograph of a {side} foot, {}", taken.words());
    let body = html! {
        nav.back aria-label="Back" { a href=(PHOTOGRAPHS_PATH) { "Photographs of this clinic" } }
        h1 { (title) }
        @if let PhotographTask::Score(filled) = task { (parts::error_summary(filled)) }
        div.practice-case {
            figure {
                img.practice-photograph src=(picture) alt=(alternative) width=(width) height=(height);
                figcaption { (side) " foot, " (taken.words()) ". Whose foot it is does not matter here, and is not shown." }
            }
            div {
                @match task {
                    PhotographTask::Score(filled) => (form(frame, of, filled)),
                    PhotographTask::Scored(given, reference) => (answered(*given, *reference)),
                }
            }
        }
        p.hint { "The reference is what two people gave with the foot in their hands at the visit of that day. It is no proof that they were right." }
    };
    frame::page(frame, HelpTopic::LearnToScore, &title, &body)
}

fn form(frame: &Frame, of: &PhotographToScore, filled: &Filled) -> Markup {
    let tiles: Vec<Tile<'_>> = HalfPoint::ALL
        .into_iter()
        .map(|level| Tile::new(level.text(), level.text()).meaning(of.sign.meaning(level)))
        .collect();
    let legend = html! { "Which level? " span.sr { (of.sign.name()) } };
    html! {
        form.practice-form method="post" action=(photograph_path(of)) {
            (parts::csrf(&frame.csrf))
            (parts::tiles(filled, names::LEVEL, "practice-tiles", &legend, &tiles))
            p.actions { button.primary type="submit" { "Answer" } " " a.button href=(PHOTOGRAPHS_PATH) { "Leave without answering" } }
        }
    }
}

fn answered(given: HalfPoint, reference: HalfPoint) -> Markup {
    html! {
        @if given == reference {
            p.message.done role="status" { strong { "✓ The same. " } "You gave " (given.text()) ", and so did the two people who examined this foot." }
        } @else {
            @let way = if given > reference { "higher" } else { "lower" };
            p.message.note role="status" { strong { "≠ Different. " } "You gave " (given.text()) ", and the two people who examined this foot both gave " (reference.text()) ": yours is " (way) "." }
            p { "Look again at what the picture shows of it, and what only the hand could tell." }
        }
        p.actions { a.button.primary href=(PHOTOGRAPHS_PATH) { "Go on" } }
    }
}
