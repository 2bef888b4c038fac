//! Paging and empty lists.

use maud::{Markup, html};

/// The page of a list that is shown.
#[derive(Debug, Clone)]
pub struct Pager {
    /// Number of the page, from 1.
    pub page: usize,
    /// Number of pages, at least 1.
    pub pages: usize,
    /// Number of rows in the whole list.
    pub total: usize,
    /// URL without the page number, ending in `?` or `&`.
    pub base: String,
}

/// Links to the previous and the next page, and the position in the list.
#[must_use]
pub fn pager(pager: &Pager) -> Markup {
    let link = |page: usize| format!("{}page={page}", pager.base);
    html! {
        @if pager.pages > 1 {
            nav.pager aria-label="Pages of the list" {
                @if pager.page > 1 { a rel="prev" href=(link(pager.page - 1)) { "Previous page" } }
                span { "Page " (pager.page) " of " (pager.pages) ", " (pager.total) " in all" }
                @if pager.page < pager.pages { a rel="next" href=(link(pager.page + 1)) { "Next page" } }
            }
        }
    }
}

/// A notice that there is nothing to show, with what to do instead.
#[must_use]
pub fn empty(what: &str, instead: &Markup) -> Markup {
    html! { div.empty { p.empty-what { (what) } (instead) } }
}
