//! Whether a form came from one of our own pages.

use axum::http::{HeaderMap, header};

/// Whether a changing request comes from one of our own pages.
///
/// A browser states it in `Sec-Fetch-Site`, or names the page's origin in `Origin`. No current browser sends
/// neither; then the token of the form still has to be right.
#[must_use]
pub fn same_origin(headers: &HeaderMap) -> bool {
    let text = |name| headers.get(name).and_then(|value| value.to_str().ok());
    if let Some(site) = text("sec-fetch-site") {
        return matches!(site, "same-origin" | "none");
    }
    let Some(origin) = headers.get(header::ORIGIN) else { return true };
    let host = text("host").unwrap_or_default();
    let origin = origin.to_str().unwrap_or_default();
    origin.split_once("://").is_some_and(|(_, place)| !host.is_empty() && place.eq_ignore_ascii_case(host))
}

#[cfg(test)]
mod tests {
    #![allow(clippy::unwrap_used)]
    use super::*;

    fn headers(pairs: &[(&'static str, &str)]) -> HeaderMap {
        pairs.iter().map(|(name, value)| (name.parse().unwrap(), value.parse().unwrap())).collect()
    }

    #[test]
    fn only_our_own_pages_may_change_things() {
        assert!(same_origin(&headers(&[("sec-fetch-site", "same-origin")])));
        assert!(!same_origin(&headers(&[("sec-fetch-site", "cross-site")])));
        assert!(!same_origin(&headers(&[("sec-fetch-site", "same-site")])));
        assert!(same_origin(&headers(&[("host", "127.0.0.1:8460"), ("origin", "http://127.0.0.1:8460")])));
        assert!(!same_origin(&headers(&[
            ("host", "127.0.0.1:8460"),
            ("origin", "http://elsewhere.example")
        ])));
        assert!(!same_origin(&headers(&[("host", "127.0.0.1:8460"), ("origin", "null")])));
        assert!(same_origin(&headers(&[("host", "127.0.0.1:8460")])));
    }
}
