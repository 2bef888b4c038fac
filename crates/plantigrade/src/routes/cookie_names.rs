//! The names of cookies on encrypted connections. Within the program a cookie has one name; a browser that is
//! connected with encryption knows it under the prefix `__Host-`, by which it accepts the cookie only from this very
//! host and over encryption (draft of RFC 6265bis, section on cookie name prefixes; from memory). One without the
//! prefix, which another program on the same host could have set, is not read there.

use super::gate::COOKIE_NAMES;
use axum::{
    extract::Request,
    http::{HeaderValue, header},
    middleware::Next,
    response::Response,
};

const PREFIX: &str = "__Host-";

/// Translates the names of cookies on their way in and out.
pub async fn with_prefix(mut request: Request, next: Next) -> Response {
    let headers = request.headers_mut();
    let sent: Vec<&str> =
        headers.get_all(header::COOKIE).iter().filter_map(|value| value.to_str().ok()).collect();
    let known: Vec<String> =
        sent.iter().flat_map(|line| line.split(';')).filter_map(|pair| known_inside(pair.trim())).collect();
    headers.remove(header::COOKIE);
    if let Ok(value) = HeaderValue::from_str(&known.join("; "))
        && !known.is_empty()
    {
        headers.insert(header::COOKIE, value);
    }
    let mut response = next.run(request).await;
    let headers = response.headers_mut();
    let set: Vec<HeaderValue> = headers.get_all(header::SET_COOKIE).iter().cloned().collect();
    headers.remove(header::SET_COOKIE);
    for cookie in set {
        headers.append(header::SET_COOKIE, known_outside(cookie));
    }
    response
}

/// A cookie as the program knows it; `None` for one of ours that lacks the prefix.
fn known_inside(pair: &str) -> Option<String> {
    let name = pair.split('=').next().unwrap_or_default();
    if COOKIE_NAMES.contains(&name) {
        return None;
    }
    let inside = name.strip_prefix(PREFIX).filter(|name| COOKIE_NAMES.contains(name));
    Some(if inside.is_some() { pair.get(PREFIX.len()..)?.to_owned() } else { pair.to_owned() })
}

/// A cookie as the browser is to know it: with the prefix, and for encrypted connections only.
fn known_outside(cookie: HeaderValue) -> HeaderValue {
    let Ok(text) = cookie.to_str() else { return cookie };
    let ours = COOKIE_NAMES.contains(&text.split('=').next().unwrap_or_default());
    let prefix = if ours { PREFIX } else { "" };
    let secure = text.split(';').any(|part| part.trim().eq_ignore_ascii_case("secure"));
    let end = if secure { "" } else { "; Secure" };
    HeaderValue::from_str(&format!("{prefix}{text}{end}")).unwrap_or(cookie)
}

#[cfg(test)]
mod tests {
    #![allow(clippy::unwrap_used)]
    use super::*;

    #[test]
    fn only_cookies_with_the_prefix_are_ours() {
        assert_eq!(known_inside("session=planted"), None);
        assert_eq!(known_inside("__Host-session=own").as_deref(), Some("session=own"));
        assert_eq!(known_inside("__Host-invented-form=a").as_deref(), Some("invented-form=a"));
        assert_eq!(known_inside("__Host-device=d").as_deref(), Some("__Host-device=d"), "always so named");
        assert_eq!(known_inside("other=1").as_deref(), Some("other=1"));
    }

    #[test]
    fn what_is_set_gets_the_prefix_and_is_secure_once() {
        let outside =
            |text: &str| known_outside(HeaderValue::from_str(text).unwrap()).to_str().unwrap().to_owned();
        assert_eq!(outside("session=a; Path=/"), "__Host-session=a; Path=/; Secure");
        assert_eq!(outside("form=a; Secure; Path=/"), "__Host-form=a; Secure; Path=/");
        assert_eq!(outside("__Host-device=a; Secure"), "__Host-device=a; Secure");
    }
}
