//! Paging and empty lists.

use maud::{Markup, html};

/// Which page of a list is shown.
#[derive(Debug, Clone)]
pub struct Pager {
    /// From 1.
    pub page: usize,
    /// At least 1.
    pub pages: usize,
    /// Rows in all.
    pub total: usize,
    /// Address without the page, ending in `?` or `&`.
    pub base: String,
}

/// Links to the page before and after, and where we are.
#[must_use]
pub fn pager(pager: &Pager) -> Markup {
    let link = |page: usize| format!("{}page={page}", pager.base);
    html! {
        @if pager.pages > 1 {
            nav.pager aria-label="Pages of the list" {
                @if pager.page > 1 { a rel="prev" href=(link(pager.page - 1)) { "Page before" } }
                span { "Page " (pager.page) " of " (pager.pages) ", " (pager.total) " in all" }
                @if pager.page < pager.pages { a rel="next" href=(link(pager.page + 1)) { "Next page" } }
            }
        }
    }
}

/// Nothing to show: why, and what to do instead.
#[must_use]
pub fn empty(what: &str, instead: &Markup) -> Markup {
    html! { div.empty { p.empty-what { (what) } (instead) } }
}
