//! The list of children who need attention, and the list of the lost.

use crate::{
    app::App,
    web::{Fail, PageResult, Shared, Visitor, drawn},
};
use axum::extract::{Query, State};
use clinic::{ItemDetail, WorkFilter, WorkKind, WorkRow, saved_call, sides_of};
use course::Standing;
use guidance::{Attention, CallText, Urgency, attention::RULES};
use pages::{
    AttentionFilter, AttentionRow, AttentionView, Here, LostRow, LostView, RuleChoice, UrgencyCount,
    parts::{Pager, Who},
};
use serde::Deserialize;

/// In place of a call about a record that is closed to the reader.
const CLOSED_CALL: &str = "Something is due. Ask somebody who may open this record.";

/// Rows on one page.
const PER_PAGE: usize = 40;

/// The filter and the page.
#[derive(Debug, Deserialize)]
pub struct AttentionQuery {
    rule: Option<String>,
    urgency: Option<String>,
    phase: Option<String>,
    page: Option<String>,
}

/// One page of the list.
pub async fn page(
    State(app): State<Shared>,
    visitor: Visitor,
    Query(asked): Query<AttentionQuery>,
) -> PageResult {
    let filter =
        AttentionFilter::from_query(asked.rule.as_deref(), asked.urgency.as_deref(), asked.phase.as_deref());
    // A page that is not a number is the first page.
    let number = asked.page.and_then(|text| text.parse().ok()).unwrap_or(1);
    let frame = app.frame(&visitor, Here::Attention);
    let page = format!("/attention {filter:?} {number}");
    drawn(&app, &visitor, page, move |app| Ok(pages::attention(&frame, &view(app, filter, number)?))).await
}

fn view(app: &App, filter: AttentionFilter, number: usize) -> Result<AttentionView, Fail> {
    let today = app.clock.today();
    // For one rule every call is listed; otherwise there is one row for each child.
    let kind = if filter.rule.is_some() { WorkKind::Attention } else { WorkKind::Row };
    let wanted = WorkFilter {
        kind: Some(kind),
        rule: filter.rule.clone(),
        min_urgency: None,
        phase: filter.phase.map(|phase| phase.key().to_owned()),
    };
    let counted = app.records.worklist_counts(today, &wanted)?;
    // How many rows come before those of an urgency, and how many there are of it.
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
    let mut rows =
        app.records.worklist(today, &wanted, offset, PER_PAGE.min(total.saturating_sub(skipped)))?.0;
    // In the list of one rule a row would tell what a closed record says; in the list of all it stays.
    rows.retain(|row| !(filter.rule.is_some() && app.is_closed(row.child)));
    let put_off = if number == 1 { of_kind(app, WorkKind::PutOff, 0)?.0 } else { Vec::new() };
    Ok(AttentionView {
        rules: rules(app)?,
        rows: rows.into_iter().filter_map(|found| row(app, found)).collect(),
        put_off: put_off.into_iter().filter_map(|found| row(app, found)).collect(),
        lost: count_of(app, WorkKind::Lost)?,
        counts,
        pager: Pager { page: number, pages, total, base: filter.base() },
        filter,
    })
}

/// A page of the rows of one kind that apply today, and the number of all.
pub(super) fn of_kind(app: &App, kind: WorkKind, offset: usize) -> Result<(Vec<WorkRow>, usize), Fail> {
    let wanted = WorkFilter { kind: Some(kind), ..WorkFilter::default() };
    Ok(app.records.worklist(app.clock.today(), &wanted, offset, PER_PAGE)?)
}

fn count_of(app: &App, kind: WorkKind) -> Result<usize, Fail> {
    let wanted = WorkFilter { kind: Some(kind), ..WorkFilter::default() };
    Ok(app.records.worklist(app.clock.today(), &wanted, 0, 0)?.1)
}

/// The list of the lost.
pub async fn lost(
    State(app): State<Shared>,
    visitor: Visitor,
    Query(asked): Query<AttentionQuery>,
) -> PageResult {
    let number = asked.page.and_then(|text| text.parse().ok()).unwrap_or(1);
    let frame = app.frame(&visitor, Here::Attention);
    let page = format!("/attention/lost {number}");
    drawn(&app, &visitor, page, move |app| Ok(pages::lost(&frame, &lost_view(app, number)?))).await
}

fn lost_view(app: &App, number: usize) -> Result<LostView, Fail> {
    let total = count_of(app, WorkKind::Lost)?;
    let pages = total.div_ceil(PER_PAGE).max(1);
    let page = number.clamp(1, pages);
    let rows = of_kind(app, WorkKind::Lost, (page - 1) * PER_PAGE)?.0;
    let lost_row = |found: WorkRow| {
        let AttentionRow { who, attention, more, .. } = row(app, found)?;
        Some(LostRow { who, lost: attention, open: more })
    };
    let base = "/attention/lost?".to_owned();
    Ok(LostView {
        rows: rows.into_iter().filter_map(lost_row).collect(),
        pager: Pager { page, pages, total, base },
    })
}

fn rules(app: &App) -> Result<Vec<RuleChoice>, Fail> {
    let counted = app.records.calls_by_rule(app.clock.today())?;
    let of = |key: &str| counted.iter().find(|(rule, _)| rule == key).map_or(0, |(_, count)| *count);
    let choice = |rule: &guidance::attention::AttentionRule| RuleChoice {
        key: rule.key.to_owned(),
        title: rule.words.to_owned(),
        count: of(rule.key),
    };
    Ok(RULES.iter().map(choice).collect())
}

/// A row of a list with the calls from which it was made.
pub(super) fn row(app: &App, row: WorkRow) -> Option<AttentionRow> {
    let mut more: Vec<(Attention, ItemDetail)> = row.further.into_iter().filter_map(saved_call).collect();
    more.sort_by_key(|(call, _)| (call.urgency, call.from));
    // The row of a child has no text of its own: it begins with its most urgent call.
    let lead = if row.item.kind == WorkKind::Row {
        let leads = |call: &Attention| call.rule == row.item.rule && call.side == row.item.side;
        let at = more.iter().position(|(call, _)| leads(call))?;
        more.remove(at)
    } else {
        saved_call(row.item)?
    };
    let (attention, detail) = lead;
    let who = Who {
        id: row.child,
        name: format!("{} {}", row.given_name, row.family_name).trim().to_owned(),
        born: row.born,
        born_about: None,
        gestation_weeks: detail.gestation_weeks,
        sex: detail.sex,
        numbers: row.numbers,
        sides: sides_of(&row.sides),
        standing: Standing::Active,
        birth_order: detail.birth_order,
        twins: Vec::new(),
        restricted: false,
    };
    let who = app.with_twins(who, &detail.twins);
    if who.restricted {
        let attention = Attention {
            side: None,
            text: CallText::English(CLOSED_CALL.to_owned()),
            because: Vec::new(),
            ..attention
        };
        return Some(AttentionRow { who, attention, more: Vec::new(), next_visit: row.next_visit });
    }
    let more = more.into_iter().map(|(call, _)| call).collect();
    Some(AttentionRow { who, attention, more, next_visit: row.next_visit })
}
