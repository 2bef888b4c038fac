//! Whether a form came from one of our own pages.

use axum::http::{HeaderMap, header};

/// Whether a changing request comes from one of our own pages.
///
/// A browser states it in `Sec-Fetch-Site`, or names the page's origin in `Origin`. No current browser sends
/// neither; then the token of the form still has to be right. `host` is the name and port that were asked for.
#[must_use]
pub fn same_origin(host: &str, headers: &HeaderMap) -> bool {
    let text = |name| headers.get(name).and_then(|value| value.to_str().ok());
    if let Some(site) = text("sec-fetch-site") {
        return matches!(site, "same-origin" | "none");
    }
    let Some(origin) = headers.get(header::ORIGIN) else { return true };
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

    fn own(headers: &HeaderMap) -> bool {
        same_origin("127.0.0.1:8460", headers)
    }

    #[test]
    fn only_our_own_pages_may_change_things() {
        assert!(own(&headers(&[("sec-fetch-site", "same-origin")])));
        assert!(!own(&headers(&[("sec-fetch-site", "cross-site")])));
        assert!(!own(&headers(&[("sec-fetch-site", "same-site")])));
        assert!(own(&headers(&[("origin", "http://127.0.0.1:8460")])));
        assert!(!own(&headers(&[("origin", "http://elsewhere.example")])));
        assert!(!own(&headers(&[("origin", "http://127.0.0.1:8461")])), "another port is another origin");
        assert!(!own(&headers(&[("origin", "null")])));
        assert!(own(&headers(&[])));
        assert!(!same_origin("", &headers(&[("origin", "http://")])));
    }
}
