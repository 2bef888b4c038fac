//! Scoring together: what the people of the clinic do to give the same foot the same score.

use super::{
    LEARN_PATH,
    chart::{KappaPoint, kappa_chart, key},
    record_of_practice::item_kappa,
    signed, two,
};
use crate::{Frame, HelpTopic, frame, parts::Who, words};
use audit::{
    Estimate,
    calibration::{
        ClinicCalibration, FEWEST_IN_MONTH, FEWEST_IN_QUARTER, FeetNeeded, MOST_IN_MONTH, RaterQuarters,
        SUPPOSED_KAPPA, ScoringPlan, SeverityThird, WhyNotProposed,
    },
    raters::{FEWEST_CHILDREN, ItemAgreement, RatedItem, USEFUL},
};
use maud::{Markup, html};
use record::{Day, Sign};

/// A foot proposed for two scores, with names.
#[derive(Debug, Clone)]
pub struct ScoringProposalRow {
    /// The child.
    pub who: Who,
    /// The names of those who make the first and the second score.
    pub names: [String; 2],
}

/// Everything about scoring alike.
#[derive(Debug, Clone)]
pub struct ScoringTogetherView {
    /// The result of the analysis.
    pub found: ClinicCalibration,
    /// Names of the raters, by their number.
    pub names: Vec<String>,
    /// The plan of the month.
    pub plan: ScoringPlan,
    /// Child and people of each proposal of the plan, in its order.
    pub rows: Vec<ScoringProposalRow>,
}

/// Distances from kappa to the limits of its interval for which a number of feet is given.
const DISTANCES: [f64; 3] = [0.2, 0.15, 0.1];

/// The page.
#[must_use]
pub fn scoring_together(frame: &Frame, view: &ScoringTogetherView) -> Markup {
    let all = &view.found.agreement;
    let body = html! {
        nav.back aria-label="Back" { a href=(LEARN_PATH) { "Learn to score" } }
        h1 { "Scoring together" }
        p.tally { "As of " (words::day(view.found.as_of)) " · " (words::count(all.n as i64, "foot", "feet")) " of " (words::count(all.children as i64, "child", "children")) " scored by two people blind" }
        p.lead { "Two people who score the same foot without seeing each other’s score show how alike the clinic scores. They do not show who is right." }
        (proposals(frame, view))
        (needed(view))
        (over_time(view))
        (talks(view))
        (people(view))
        p { a href="/results/agreement" { "Agreement of raters: all figures, with limits of agreement" } }
        p.caution { "Agreement shows that two people score alike, not that they score correctly." }
    };
    frame::page(frame, HelpTopic::ScoringTogether, "Scoring together", &body)
}

fn proposals(frame: &Frame, view: &ScoringTogetherView) -> Markup {
    let plan = &view.plan;
    html! {
        section aria-labelledby="month" {
            h2 id="month" { "Feet to score twice, " (words::day(plan.month.from)) " to " (words::day(plan.month.to)) }
            @if plan.too_few_people { p.message.note { "Two people who score are needed; there are fewer." } }
            @else if plan.wanted == 0 { p { "As many feet as are proposed in a month have been scored by two people in this one already." } }
            @else if plan.proposals.is_empty() { p { "No child who is expected in this time can be proposed." } }
            @else {
                p { "Children who are expected anyway; each is asked once. The family may decline, and nothing changes for the child. The first score is that of the visit; the second is opened from the day or the child’s page and shows nothing of the first." }
                div.scroll tabindex="0" role="region" aria-label="Table: feet to score twice" {
                    table.stack role="table" {
                        thead role="rowgroup" { tr role="row" { @for head in ["Child", "Foot", "Day", "Last score", "First score", "Second, blind"] { th role="columnheader" scope="col" { (head) } } } }
                        tbody role="rowgroup" { @for (proposal, row) in plan.proposals.iter().zip(&view.rows) {
                            // Names and plan come from two places: a row about another child is not shown, and none about a
                            // child whose record the reader may not open.
                            @if row.who.id == proposal.child && !row.who.restricted { tr role="row" {
                                th role="rowheader" scope="row" { a href=(row.who.href()) { (row.who.shown_name()) } " " span.rel { (row.who.number()) ", " (row.who.age(frame.today)) } }
                                td role="cell" data-label="Foot" { strong { (proposal.side.title()) } }
                                td role="cell" data-label="Day" { (words::day(proposal.on)) @if proposal.asked_again { " " span.rel { "second time this month: too few others" } } }
                                td role="cell" data-label="Last score" { (proposal.third.map_or("no total yet", SeverityThird::words)) }
                                td role="cell" data-label="First score" { (row.names[0]) }
                                td role="cell" data-label="Second, blind" { (row.names[1]) }
                            } }
                        } }
                    }
                }
            }
            @if plan.short_of() > 0 && !plan.too_few_people { p { (plan.short_of()) " fewer than the " (plan.wanted) " wanted: no other child fits." } }
            (left_out(plan))
            p.hint { "Proposed in a month are as many feet as are still needed for the sign that needs most, to within " (two(USEFUL)) " of its kappa, less those scored by two people in the month already; " (FEWEST_IN_MONTH) " to " (MOST_IN_MONTH) " (our own choice)." }
        }
    }
}

fn left_out(plan: &ScoringPlan) -> Markup {
    let all = [
        WhyNotProposed::NotFollowed,
        WhyNotProposed::NotExpected,
        WhyNotProposed::NoFoot,
        WhyNotProposed::AskedThisMonth,
        WhyNotProposed::NotNeeded,
    ];
    let counted = all.map(|why| (why, plan.left_out.iter().filter(|(_, one)| *one == why).count()));
    html! {
        @if !plan.left_out.is_empty() {
            p.hint { "Not proposed: "
                @for (place, (why, n)) in counted.into_iter().filter(|(_, n)| *n > 0).enumerate() { @if place > 0 { "; " } (n) " " (why.words()) }
                "." }
        }
    }
}

fn item(view: &ScoringTogetherView, sign: Sign) -> Option<&ItemAgreement> {
    view.found.agreement.items.iter().find(|item| item.item == RatedItem::Sign(sign))
}

fn needed(view: &ScoringTogetherView) -> Markup {
    html! {
        section aria-labelledby="needed" {
            h2 id="needed" { "How many more feet" }
            p { "Feet still to be scored by two people until kappa is known to within a distance on either side, if future feet are like those so far." }
            div.scroll tabindex="0" role="group" aria-label="Table: feet still to be scored" {
                table.numbers {
                    thead { tr { th scope="col" { "Sign" } th scope="col" { "Feet" } th scope="col" { "Weighted kappa (95 % interval)" } @for within in DISTANCES { th scope="col" { "to within " (two(within)) } } } }
                    tbody { @for sign in Sign::ALL { tr {
                        th scope="row" { (sign.name()) }
                        td { (item(view, sign).map_or(0, |item| item.n)) }
                        td { (item(view, sign).map_or_else(|| "–".to_owned(), item_kappa)) }
                        @for within in DISTANCES { td { (more(item(view, sign), within)) } }
                    } } }
                }
            }
            p.hint {
                "“In all” where there are too few children for an interval: supposed is a kappa of " (two(SUPPOSED_KAPPA)) " and an equal share of each level (the fewest possible), each foot of another child. Variance of kappa: Fleiss, Cohen and Everitt 1969; n = (1.96 σ / distance)². Published kappas of single signs run from 0.28 to 0.72 (see agreement of raters)."
            }
        }
    }
}

fn more(item: Option<&ItemAgreement>, within: f64) -> String {
    match FeetNeeded::of(item, within) {
        FeetNeeded::More(0) => "none".to_owned(),
        FeetNeeded::More(feet) => format!("about {feet}"),
        FeetNeeded::InAll(feet) => format!("{feet} in all"),
        FeetNeeded::Unknown => "cannot be told".to_owned(),
    }
}

/// "Q2 2024".
fn quarter(day: Day) -> String {
    let (year, month, _) = day.parts();
    format!("Q{} {year}", (month - 1) / 3 + 1)
}

fn over_time(view: &ScoringTogetherView) -> Markup {
    let total = |item: &&ItemAgreement| item.item == RatedItem::Total;
    let points: Vec<KappaPoint> = view
        .found
        .by_quarter
        .iter()
        .map(|(day, agreement)| {
            let told = agreement.items.iter().find(total).filter(|item| item.children >= FEWEST_CHILDREN);
            let kappa =
                told.and_then(|item| item.kappa).map(|kappa| (kappa.value, kappa.lower.zip(kappa.upper)));
            KappaPoint { word: quarter(*day), kappa }
        })
        .collect();
    let told: Vec<String> = points
        .iter()
        .filter_map(|point| point.kappa.map(|(value, _)| format!("{}: {}", point.word, two(value))))
        .collect();
    let description = format!(
        "Weighted kappa of the Pirani total by quarter. {}. The table below lists every quarter.",
        told.join("; ")
    );
    html! {
        section aria-labelledby="over-time" {
            h2 id="over-time" { "Over time" }
            @if told.is_empty() { p { "Cannot be told: no quarter has at least " (FEWEST_CHILDREN) " children scored by two people." } }
            @else { figure.plot-figure { (kappa_chart(&points, 0, &description)) (key(None)) } }
            @if !points.is_empty() { (quarters_table(view)) }
        }
    }
}

fn quarters_table(view: &ScoringTogetherView) -> Markup {
    html! {
        div.scroll tabindex="0" role="group" aria-label="Table: agreement by quarter" {
            table.numbers {
                thead { tr { @for head in ["Quarter", "Feet", "Children", "Kappa of the total (95 % interval)"] { th scope="col" { (head) } } } }
                tbody { @for (day, agreement) in &view.found.by_quarter { tr {
                    th scope="row" { (quarter(*day)) } td { (agreement.n) } td { (agreement.children) }
                    td { (agreement.items.iter().find(|item| item.item == RatedItem::Total).map_or_else(|| "–".to_owned(), item_kappa)) }
                } } }
            }
        }
        p.hint { "Quadratic weights for the total; intervals by resampling children." }
    }
}

fn name(view: &ScoringTogetherView, rater: u16) -> &str {
    view.names.get(usize::from(rater)).map_or("unknown person", String::as_str)
}

fn talks(view: &ScoringTogetherView) -> Markup {
    html! {
        section aria-labelledby="talks" {
            h2 id="talks" { "To look at together" }
            @if view.found.talks.is_empty() { p { "Nothing to propose: no two people have scored enough feet together, or they gave the same levels." } }
            ul.plain-list { @for talk in &view.found.talks { li { (talk.sentence([name(view, talk.raters[0]), name(view, talk.raters[1])])) } } }
            p.hint { "One sign for every two people, in the order of the signs. The order says nothing about how anybody scores." }
        }
    }
}

fn people(view: &ScoringTogetherView) -> Markup {
    // By name: any other order would be read as a ranking.
    let mut raters: Vec<&RaterQuarters> = view.found.raters.iter().collect();
    raters.sort_by_key(|one| name(view, one.rater).to_lowercase());
    html! {
        section aria-labelledby="people" {
            h2 id="people" { "Each person beside the others" }
            p { "Mean of the person’s score minus the colleague’s, in points, over the feet that both scored: above 0 the person gives higher scores than the others. In order of name. With fewer than " (FEWEST_IN_QUARTER) " children it cannot be told." }
            @for one in raters { (person(view, one)) }
            p.hint { "Variance clustered by child, Student’s t. Quarters are not tested one by one; the change over the last twelve months with its p value is on the page of agreement." }
        }
    }
}

fn mean_words(mean: Option<&Estimate>) -> String {
    match mean {
        None => "cannot be told".to_owned(),
        Some(Estimate { value, lower: Some(low), upper: Some(high) }) => {
            format!("{} ({} to {})", signed(*value), signed(*low), signed(*high))
        }
        Some(estimate) => signed(estimate.value),
    }
}

fn person(view: &ScoringTogetherView, one: &RaterQuarters) -> Markup {
    let who = name(view, one.rater);
    html! {
        details.more {
            summary { span { strong { (who) } " · total " (mean_words(one.bias.as_ref())) " · " (words::count(one.n as i64, "foot", "feet")) } }
            div.scroll tabindex="0" role="group" aria-label={ "Table: " (who) " sign by sign" } {
                table.numbers {
                    thead { tr { @for head in ["Sign", "Feet", "Children", "Mean difference (95 % interval)"] { th scope="col" { (head) } } } }
                    tbody { @for lean in &one.signs { tr { th scope="row" { (lean.sign.name()) } td { (lean.n) } td { (lean.children) } td { (mean_words(lean.mean.as_ref())) } } } }
                }
            }
            div.scroll tabindex="0" role="group" aria-label={ "Table: " (who) " quarter by quarter" } {
                table.numbers {
                    thead { tr { @for head in ["Quarter", "Feet", "Children", "Mean difference of the total (95 % interval)"] { th scope="col" { (head) } } } }
                    tbody { @for quarter_of in &one.quarters { tr { th scope="row" { (quarter(quarter_of.from)) } td { (quarter_of.n) } td { (quarter_of.children) } td { (mean_words(quarter_of.mean.as_ref())) } } } }
                }
            }
        }
    }
}
