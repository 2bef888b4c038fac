//! Needs attention.

use crate::{
    app::App,
    summary::{Detail, sides_of},
    web::{Answer, Fail, Shared, Visitor, drawn},
};
use archive::{WorkFilter, WorkKind, WorkRow};
use axum::extract::{Query, State};
use course::Standing;
use guidance::{Attention, Reason, Urgency, attention::RULES};
use pages::{
    AttentionFilter, AttentionRow, AttentionView, Here, RuleChoice, UrgencyCount,
    parts::{Pager, Who},
};
use serde::Deserialize;

/// Calls on one page.
const PER_PAGE: usize = 40;

/// What is asked for.
#[derive(Debug, Deserialize)]
pub struct Asked {
    rule: Option<String>,
    urgency: Option<String>,
    phase: Option<String>,
    page: Option<String>,
}

/// One page of the list.
pub async fn page(State(app): State<Shared>, visitor: Visitor, Query(asked): Query<Asked>) -> Answer {
    let filter =
        AttentionFilter::from_query(asked.rule.as_deref(), asked.urgency.as_deref(), asked.phase.as_deref());
    // A page that is no number is the first page.
    let number = asked.page.and_then(|text| text.parse().ok()).unwrap_or(1);
    let frame = app.frame(&visitor, Here::Attention);
    let page = format!("/attention {filter:?} {number}");
    drawn(&app, &visitor, page, move |app| Ok(pages::attention(&frame, &view(app, filter, number)?))).await
}

fn view(app: &App, filter: AttentionFilter, number: usize) -> Result<AttentionView, Fail> {
    let today = app.clock.today();
    let wanted = WorkFilter {
        kind: Some(WorkKind::Attention),
        rule: filter.rule.clone(),
        min_urgency: None,
        phase: filter.phase.map(|phase| phase.key().to_owned()),
    };
    let counted = app.archive.counts(today, &wanted)?;
    // How many stand before those of an urgency, and how many there are of it.
    let sum = |wanted: &dyn Fn(u8) -> bool| -> usize {
        counted.iter().filter(|(urgency, _, _)| wanted(*urgency)).map(|(_, _, count)| count).sum()
    };
    let before = |urgency: Urgency| sum(&|each| each < urgency.rank());
    let count = |urgency: Urgency| sum(&|each| each == urgency.rank());
    let counts = Urgency::ALL.into_iter().map(|urgency| UrgencyCount { urgency, count: count(urgency) });
    let counts: Vec<_> =
        counts.filter(|each| filter.urgency.is_none_or(|asked| asked == each.urgency)).collect();
    let total: usize = counts.iter().map(|each| each.count).sum();
    let pages = total.div_ceil(PER_PAGE).max(1);
    let number = number.clamp(1, pages);
    let skipped = (number - 1) * PER_PAGE;
    let offset = filter.urgency.map_or(0, before) + skipped;
    let rows = app.archive.worklist(today, &wanted, offset, PER_PAGE.min(total.saturating_sub(skipped)))?.0;
    Ok(AttentionView {
        rules: rules(app)?,
        rows: rows.into_iter().filter_map(row).collect(),
        counts,
        pager: Pager { page: number, pages, total, base: filter.base() },
        filter,
    })
}

fn rules(app: &App) -> Result<Vec<RuleChoice>, Fail> {
    let counted = app.archive.rules(app.clock.today(), WorkKind::Attention)?;
    let of = |key: &str| counted.iter().find(|(rule, _)| rule == key).map_or(0, |(_, count)| *count);
    let choice = |rule: &guidance::attention::Rule| RuleChoice {
        key: rule.key.to_owned(),
        title: rule.words.to_owned(),
        count: of(rule.key),
    };
    Ok(RULES.iter().map(choice).collect())
}

/// A row of the list as the call it was made from. A rule this program does not know is left out; there
/// is none, because summaries of another program are computed again at the start.
fn row(row: WorkRow) -> Option<AttentionRow> {
    let rule = RULES.iter().find(|rule| rule.key == row.item.rule)?.key;
    let urgency = Urgency::ALL.into_iter().find(|urgency| urgency.rank() == row.item.urgency)?;
    let detail = Detail::read(&row.item.detail);
    let who = Who {
        id: row.child,
        name: format!("{} {}", row.given_name, row.family_name).trim().to_owned(),
        born: row.born,
        gestation_weeks: detail.gestation_weeks,
        sex: detail.sex,
        numbers: row.numbers,
        sides: sides_of(&row.sides),
        standing: Standing::Active,
    };
    let because = detail.because.into_iter().map(Reason::from).collect();
    let (side, from, text) = (row.item.side, row.item.from, row.item.text);
    Some(AttentionRow { who, attention: Attention { rule, urgency, side, from, text, because } })
}
