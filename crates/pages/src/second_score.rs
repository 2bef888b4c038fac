//! A second, blind score of a foot: the form, which shows nothing of the first score, and the comparison of
//! both once both are saved.

use crate::{
    Frame, HelpTopic,
    fields::{self, Field, Filled, What, visit as names},
    frame,
    parts::{self, Who},
    visit::foot as signs,
    words,
};
use maud::{Markup, html};
use record::{AngleItem, Day, Dimeglio, DimeglioSign, EntryId, Pirani, Side, Sign, SubScore};

/// The form of a second score. It has no score, course or forecast, so that none can be shown.
#[derive(Debug, Clone)]
pub struct SecondScoreView {
    /// The child.
    pub who: Who,
    /// The foot.
    pub side: Side,
    /// The day of the visit.
    pub on: Day,
    /// The id of the first score, and nothing else of it.
    pub first: EntryId,
    /// The values in the form.
    pub filled: Filled,
    /// Token that makes a double submit harmless.
    pub once: String,
}

/// One of two scores.
#[derive(Debug, Clone)]
pub struct ScoreShown {
    /// The entry.
    pub entry: EntryId,
    /// Name of the rater.
    pub by: String,
    /// The six signs.
    pub pirani: Pirani,
    /// The Dimeglio items.
    pub dimeglio: Dimeglio,
}

/// Two scores of a foot side by side.
#[derive(Debug, Clone)]
pub struct BothScoresView {
    /// The child.
    pub who: Who,
    /// The foot.
    pub side: Side,
    /// The day.
    pub on: Day,
    /// First and second score; or the reason why they are not a pair, and then neither is shown.
    pub scores: Result<[ScoreShown; 2], String>,
    /// Whether either was corrected after both were saved.
    pub amended: bool,
}

/// The page with the blind form.
#[must_use]
pub fn second_score(frame: &Frame, view: &SecondScoreView) -> Markup {
    let SecondScoreView { who, side, on, first, filled, once } = view;
    let name = who.shown_name();
    let action = format!("{}/second-score/{first}", who.href());
    let body = html! {
        (parts::band(who, "second score", frame.today))
        (parts::error_summary(filled))
        p.message.note { strong { "Score what you see and feel. " }
            "Another clinician has scored this foot at the same visit. That score, earlier scores and the course of the foot are not shown here. Both scores are shown side by side once yours is saved. Your score does not change the child’s course." }
        form.visit.blind method="post" action=(action) data-sums="" {
            (parts::csrf(&frame.csrf))
            (parts::hidden(fields::ONCE, once))
            (parts::draft(&view.filled))
            (parts::hidden(fields::SIDE, side.word()))
            section.foot aria-labelledby={ (side) "-foot" } {
                div.foot-head {
                    h2 id={ (side) "-foot" } { (side.title()) " foot" }
                    (signs::score(*side, &Sign::ALL, &signs::entered(filled, *side), 6, "total"))
                    p.foot-whose { (name) ", " (who.age(*on)) ", " (who.number()) " · visit of " (words::day(*on)) }
                }
                (signs::signs(filled, *side, SubScore::Midfoot, None))
                (signs::signs(filled, *side, SubScore::Hindfoot, None))
                (signs::how_to_assess(*side))
                (signs::dimeglio(filled, *side))
                (parts::field(filled, &Field::new(names::NOTE, "Note", What::Long).hint("Only what does not fit above.")))
            }
            p.actions {
                button.primary type="submit" { "Save second score: " (side) " foot of " (name) }
                " " a.button href=(who.href()) { "Leave without saving" }
            }
        }
    };
    frame::page(frame, HelpTopic::SecondScore, &format!("Second score, {side} foot"), &body)
}

/// The page that compares both scores.
#[must_use]
pub fn both_scores(frame: &Frame, view: &BothScoresView) -> Markup {
    let name = view.who.shown_name();
    let body = html! {
        (parts::band(&view.who, "two scores", frame.today))
        section.card.both aria-labelledby="both" {
            h2 id="both" { (view.side.title()) " foot, " (words::day(view.on)) }
            @match &view.scores {
                Err(why) => p.message.warning { strong { "The scores cannot be compared. " } (why) },
                Ok(scores) => (side_by_side(view, scores)),
            }
        }
        p.actions {
            a.button href=(view.who.href()) { "Back to " (name) }
            " " a.button href="/results/agreement" { "Agreement of raters" }
            " " a.button href=(crate::practice::TOGETHER_PATH) { "Scoring together" }
        }
    };
    frame::page(frame, HelpTopic::SecondScore, &format!("Two scores, {} foot", view.side), &body)
}

/// A row of the table: item, first score, second score and their difference.
struct Line {
    what: String,
    shown: [String; 2],
    /// Second minus first; `None` where one of them was not scored.
    difference: Option<f64>,
    is_sum: bool,
}

impl Line {
    fn of(what: impl Into<String>, values: [Option<f64>; 2], is_sum: bool) -> Self {
        let none = if is_sum { "incomplete" } else { "not scored" };
        let shown = values.map(|value| value.map_or_else(|| none.to_owned(), |value| value.to_string()));
        let difference = values[0].zip(values[1]).map(|(first, second)| second - first);
        Self { what: what.into(), shown, difference, is_sum }
    }

    fn difference_words(&self) -> String {
        match self.difference {
            None => "not comparable".to_owned(),
            Some(0.0) => "same".to_owned(),
            Some(by) => format!("{}{}", if by > 0.0 { "+" } else { "−" }, by.abs()),
        }
    }
}

fn lines(scores: &[ScoreShown; 2]) -> Vec<Line> {
    let of = |pick: &dyn Fn(&ScoreShown) -> Option<f64>| [pick(&scores[0]), pick(&scores[1])];
    let mut lines = Vec::new();
    if scores.iter().any(|score| !score.pirani.is_empty()) {
        for sign in Sign::ALL {
            let value = of(&|score| score.pirani.sign(sign).map(|point| point.halves().value()));
            lines.push(Line::of(sign.name(), value, false));
        }
        let halves = |sum: Option<record::Halves>| sum.map(record::Halves::value);
        lines.push(Line::of("Midfoot", of(&|score| halves(score.pirani.midfoot())), true));
        lines.push(Line::of("Hindfoot", of(&|score| halves(score.pirani.hindfoot())), true));
        lines.push(Line::of("Pirani total, of 6", of(&|score| halves(score.pirani.total())), true));
    }
    if scores.iter().any(|score| !score.dimeglio.is_empty()) {
        for item in AngleItem::ALL {
            let value = of(&|score| score.dimeglio.angle(item).map(|angle| f64::from(angle.points())));
            lines.push(Line::of(format!("Dimeglio: {}, points", item.name().to_lowercase()), value, false));
        }
        for sign in DimeglioSign::ALL {
            let value = of(&|score| score.dimeglio.sign(sign).map(|there| f64::from(u8::from(there))));
            lines.push(Line::of(format!("Dimeglio: {}", sign.name().to_lowercase()), value, false));
        }
        lines.push(Line::of(
            "Dimeglio total, of 20",
            of(&|score| score.dimeglio.total().map(f64::from)),
            true,
        ));
    }
    lines
}

fn side_by_side(view: &BothScoresView, scores: &[ScoreShown; 2]) -> Markup {
    let lines = lines(scores);
    let differ =
        lines.iter().filter(|line| !line.is_sum && line.difference.is_some_and(|by| by != 0.0)).count();
    let both = lines.iter().filter(|line| !line.is_sum && line.difference.is_some()).count();
    let entry = |score: &ScoreShown| format!("{}/entry/{}", view.who.href(), score.entry);
    html! {
        p { "First: " a href=(entry(&scores[0])) { (scores[0].by) } ". Second, blind to the first: " a href=(entry(&scores[1])) { (scores[1].by) } "." }
        p.lead { "The two differ in " (differ) " of " (words::count(both as i64, "sign", "signs")) " that both scored." }
        div.scroll tabindex="0" role="group" aria-label="Table: both scores, sign by sign" {
            table.numbers.both-scores {
                thead { tr {
                    th scope="col" { "Sign" }
                    th scope="col" { "First" } th scope="col" { "Second" } th scope="col" { "Difference" }
                } }
                tbody { @for line in &lines {
                    tr.sum[line.is_sum] {
                        th scope="row" { (line.what) }
                        td { (line.shown[0]) } td { (line.shown[1]) }
                        td { @if line.difference.is_some_and(|by| by != 0.0) { strong { "≠ " (line.difference_words()) } } @else { (line.difference_words()) } }
                    }
                } }
            }
        }
        @if view.amended { p { "Shown as they were when both had been saved. One of them was corrected afterwards, when both could be seen; the correction is in the record and does not count here." } }
        p.rel { "Neither is taken as correct. The first score remains the child’s score. In a published series two raters differed by 0.65 points of the Pirani total on average (411 feet, Cosma 2015)." }
    }
}
