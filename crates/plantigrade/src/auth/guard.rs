//! Whether a form came from one of our own pages.

use axum::http::{HeaderMap, Uri, header};

/// Whether a changing request comes from one of our own pages.
///
/// A browser states it in `Sec-Fetch-Site`, or names the page's origin in `Origin`. No current browser sends
/// neither; then the token of the form still has to be right. Over HTTP/2 the host is part of the request's
/// address and no header.
#[must_use]
pub fn same_origin(uri: &Uri, headers: &HeaderMap) -> bool {
    let text = |name| headers.get(name).and_then(|value| value.to_str().ok());
    if let Some(site) = text("sec-fetch-site") {
        return matches!(site, "same-origin" | "none");
    }
    let Some(origin) = headers.get(header::ORIGIN) else { return true };
    let host = text("host").or_else(|| uri.authority().map(|host| host.as_str())).unwrap_or_default();
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
        same_origin(&Uri::from_static("/register"), headers)
    }

    #[test]
    fn only_our_own_pages_may_change_things() {
        assert!(own(&headers(&[("sec-fetch-site", "same-origin")])));
        assert!(!own(&headers(&[("sec-fetch-site", "cross-site")])));
        assert!(!own(&headers(&[("sec-fetch-site", "same-site")])));
        assert!(own(&headers(&[("host", "127.0.0.1:8460"), ("origin", "http://127.0.0.1:8460")])));
        assert!(!own(&headers(&[("host", "127.0.0.1:8460"), ("origin", "http://elsewhere.example")])));
        assert!(!own(&headers(&[("host", "127.0.0.1:8460"), ("origin", "null")])));
        assert!(own(&headers(&[("host", "127.0.0.1:8460")])));
    }

    #[test]
    fn over_http2_the_host_is_in_the_address() {
        let from = |origin: &str| {
            same_origin(&Uri::from_static("https://desk.local:8461/enrol"), &headers(&[("origin", origin)]))
        };
        assert!(from("https://desk.local:8461") && !from("https://elsewhere.example") && !from("null"));
    }
}
