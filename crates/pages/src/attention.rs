//! The list of children who need attention.

use crate::{
    Frame, HelpTopic, frame,
    parts::{self, Pager, Who},
    words,
};
use course::Phase;
use guidance::{Attention, Urgency};
use maud::{Markup, html};
use record::Day;

/// One page of the list of children who need attention.
#[derive(Debug, Clone)]
pub struct AttentionView {
    /// The filter.
    pub filter: AttentionFilter,
    /// The rules, each with its number of calls.
    pub rules: Vec<RuleChoice>,
    /// The number of rows of each urgency that match the filter.
    pub counts: Vec<UrgencyCount>,
    /// The children of this page, the most urgent first, then the longest waiting; if the filter names one
    /// rule, the calls of that rule.
    pub rows: Vec<AttentionRow>,
    /// Calls that were put off; on the first page only.
    pub put_off: Vec<AttentionRow>,
    /// The number of children on the lost list.
    pub lost: usize,
    /// The page of the list.
    pub pager: Pager,
}

/// The filter of the list; `None` means "all".
#[derive(Debug, Clone, Default, PartialEq, Eq)]
pub struct AttentionFilter {
    /// A rule's key.
    pub rule: Option<String>,
    /// An urgency.
    pub urgency: Option<Urgency>,
    /// A phase of a foot.
    pub phase: Option<Phase>,
}

/// One rule to choose from.
#[derive(Debug, Clone, PartialEq, Eq)]
pub struct RuleChoice {
    /// Its key.
    pub key: String,
    /// Its title.
    pub title: String,
    /// Number of its calls that apply today.
    pub count: usize,
}

/// Number of calls of one urgency.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub struct UrgencyCount {
    /// The urgency.
    pub urgency: Urgency,
    /// The number of calls.
    pub count: usize,
}

/// One child with its most urgent call.
#[derive(Debug, Clone)]
pub struct AttentionRow {
    /// The child.
    pub who: Who,
    /// The most urgent call.
    pub attention: Attention,
    /// The other calls of the child in the list.
    pub more: Vec<Attention>,
    /// The next appointment.
    pub next_visit: Option<Day>,
}

/// The key of an urgency in the URL.
pub(crate) const fn urgency_key(urgency: Urgency) -> &'static str {
    match urgency {
        Urgency::Today => "today",
        Urgency::ThisWeek => "this-week",
        Urgency::Soon => "soon",
        Urgency::Watch => "watch",
    }
}

impl AttentionFilter {
    /// The filter from the query of the URL; an unknown value means "all".
    #[must_use]
    pub fn from_query(rule: Option<&str>, urgency: Option<&str>, phase: Option<&str>) -> Self {
        Self {
            rule: rule.filter(|key| !key.is_empty()).map(str::to_owned),
            urgency: Urgency::ALL.into_iter().find(|each| Some(urgency_key(*each)) == urgency),
            phase: Phase::ALL.into_iter().find(|each| Some(each.key()) == phase),
        }
    }

    /// The URL of this filter without the page number, ending in `?` or `&`, for [`Pager::base`].
    #[must_use]
    pub fn base(&self) -> String {
        let mut base = "/attention?".to_owned();
        // Rule keys consist of letters, digits and dashes; anything else is not a rule and is left out.
        let plain = |key: &&String| key.bytes().all(|byte| byte.is_ascii_alphanumeric() || byte == b'-');
        let rule = self.rule.as_ref().filter(plain).map(String::as_str);
        let pairs = [
            ("rule", rule),
            ("urgency", self.urgency.map(urgency_key)),
            ("phase", self.phase.map(Phase::key)),
        ];
        for (name, value) in pairs {
            if let Some(value) = value {
                base.push_str(&format!("{name}={value}&"));
            }
        }
        base
    }

    fn is_all(&self) -> bool {
        *self == Self::default()
    }
}

/// The page of calls for attention, grouped by urgency, each with reason and source.
#[must_use]
pub fn attention(frame: &Frame, view: &AttentionView) -> Markup {
    let body = html! {
        header.page-head {
            div {
                h1 { "Needs attention" }
                p.tally { (tally(&view.counts)) }
                p { "One row per child, with the most urgent call. " a href="/attention/lost" { "Lost list: " (words::count(view.lost as i64, "child", "children")) } " · " a href="/stock" { "Boots and bars to order" } }
            }
        }
        (filter_form(view))
        @if view.rows.is_empty() { (nothing(&view.filter)) }
        @for group in view.rows.chunk_by(|a, b| a.attention.urgency == b.attention.urgency) { (urgency_group(frame, view, group)) }
        (parts::pager(&view.pager))
        (put_off(frame, &view.put_off))
        (parts::caution())
    };
    frame::page(frame, HelpTopic::Attention, "Needs attention", &body)
}

fn tally(counts: &[UrgencyCount]) -> String {
    let parts: Vec<String> = counts
        .iter()
        .filter(|count| count.count > 0)
        .map(|count| format!("{} {}", count.count, count.urgency.words()))
        .collect();
    if parts.is_empty() { "Nothing to do".to_owned() } else { parts.join(" · ") }
}

fn urgency_group(frame: &Frame, view: &AttentionView, group: &[AttentionRow]) -> Markup {
    let urgency = group.first().map_or(Urgency::Watch, |row| row.attention.urgency);
    let count =
        view.counts.iter().find(|count| count.urgency == urgency).map_or(group.len(), |count| count.count);
    html! {
        section class={ "calls calls-" (urgency.rank()) } {
            h2 { (words::capital(urgency.words())) " " span.count { (count) } @if count > group.len() { " " span.rel { (group.len()) " on this page" } } }
            ul.call-list { @for row in group { (parts::child_row(&row.who, &row.attention, &row.more, row.next_visit, frame.today)) } }
        }
    }
}

/// The calls put off until a day, so that no child is overlooked.
fn put_off(frame: &Frame, rows: &[AttentionRow]) -> Markup {
    html! {
        @if !rows.is_empty() {
            details.put-off {
                summary { "Put off until a day (" (rows.len()) ")" }
                ul.call-list { @for row in rows { (parts::attention_row(row.who.id, &row.attention, Some(&row.who), frame.today)) } }
            }
        }
    }
}

fn filter_form(view: &AttentionView) -> Markup {
    let AttentionFilter { rule, urgency, phase } = &view.filter;
    html! {
        form.filter method="get" action="/attention" role="search" aria-label="Filter the list" {
            div { label for="rule" { "What" } select id="rule" name="rule" {
                option value="" { "Everything" }
                @for choice in &view.rules { option value=(choice.key) selected[rule.as_ref() == Some(&choice.key)] { (choice.title) " (" (choice.count) ")" } }
            } }
            div { label for="urgency" { "How soon" } select id="urgency" name="urgency" {
                option value="" { "Any" }
                @for each in Urgency::ALL { option value=(urgency_key(each)) selected[*urgency == Some(each)] { (words::capital(each.words())) } }
            } }
            div { label for="phase" { "Phase of a foot" } select id="phase" name="phase" {
                option value="" { "Any" }
                @for each in Phase::ALL { option value=(each.key()) selected[*phase == Some(each)] { (words::capital(each.words())) } }
            } }
            button type="submit" { "Show" }
            @if !view.filter.is_all() { a.button href="/attention" { "Show everything" } }
        }
    }
}

fn nothing(filter: &AttentionFilter) -> Markup {
    if filter.is_all() {
        parts::empty(
            "Nothing needs attention today.",
            &html! { p { "All children are checked each time this page is opened." } },
        )
    } else {
        parts::empty("Nothing matches.", &html! { p { a href="/attention" { "Show everything" } } })
    }
}
