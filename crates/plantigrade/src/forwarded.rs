//! What a reverse proxy states about a request: from where it came, whether it was encrypted, and which name was asked
//! for. Only the proxy that the clinic named is believed; from everybody else such headers mean nothing.

use crate::{app::App, settings::Settings};
use axum::http::HeaderMap;
use std::net::IpAddr;

/// Whether the other end of a connection is the proxy of the clinic: the one in its settings, by default one on this
/// computer.
#[must_use]
pub fn is_proxy(settings: &Settings, peer: Option<IpAddr>) -> bool {
    let Some(peer) = peer.map(|peer| peer.to_canonical()) else { return false };
    settings.proxy.map_or_else(|| peer.is_loopback(), |proxy| proxy.to_canonical() == peer)
}

/// The last value of a header that every proxy on the way adds to. The visitor may have written those before it.
fn last<'a>(headers: &'a HeaderMap, name: &str) -> Option<&'a str> {
    let value = headers.get_all(name).iter().next_back()?.to_str().ok()?;
    value.rsplit(',').next().map(str::trim).filter(|text| !text.is_empty())
}

impl App {
    /// Whether a request comes from the proxy that the clinic named, so that its headers are believed.
    #[must_use]
    pub fn is_from_proxy(&self, peer: Option<IpAddr>) -> bool {
        self.mode.behind_proxy && is_proxy(&self.settings(), peer)
    }

    /// The visitor's address: that of the connection, or the one that the proxy states.
    #[must_use]
    pub fn client_address(&self, headers: &HeaderMap, peer: Option<IpAddr>) -> Option<IpAddr> {
        if !self.is_from_proxy(peer) {
            return peer;
        }
        last(headers, "x-forwarded-for").and_then(|text| text.parse().ok()).or(peer)
    }

    /// Whether the proxy received a request encrypted, in the word of the proxy; `None` where it says nothing.
    #[must_use]
    pub fn forwarded_scheme<'a>(&self, headers: &'a HeaderMap, peer: Option<IpAddr>) -> Option<&'a str> {
        last(headers, "x-forwarded-proto").filter(|_| self.is_from_proxy(peer))
    }

    /// The name that the visitor asked the proxy for, if the proxy states it.
    #[must_use]
    pub fn forwarded_host<'a>(&self, headers: &'a HeaderMap, peer: Option<IpAddr>) -> Option<&'a str> {
        last(headers, "x-forwarded-host").filter(|_| self.is_from_proxy(peer))
    }
}

#[cfg(test)]
mod tests {
    #![allow(clippy::unwrap_used)]
    use super::*;

    #[test]
    fn the_proxy_is_the_one_in_the_settings_or_one_on_this_computer() {
        let is = |proxy: Option<&str>, peer: &str| {
            let settings = Settings { proxy: proxy.map(|text| text.parse().unwrap()), ..Settings::default() };
            is_proxy(&settings, Some(peer.parse().unwrap()))
        };
        assert!(is(None, "127.0.0.1") && is(None, "::1") && is(None, "::ffff:127.0.0.1"));
        assert!(!is(None, "10.0.0.2"));
        assert!(is(Some("10.0.0.2"), "10.0.0.2") && is(Some("10.0.0.2"), "::ffff:10.0.0.2"));
        assert!(!is(Some("10.0.0.2"), "127.0.0.1") && !is(Some("10.0.0.2"), "10.0.0.3"));
        assert!(!is_proxy(&Settings::default(), None), "an unknown address is believed nothing");
    }

    #[test]
    fn of_several_values_the_last_counts() {
        let mut headers = HeaderMap::new();
        headers.append("x-forwarded-for", "1.1.1.1, 2.2.2.2".parse().unwrap());
        headers.append("x-forwarded-for", "3.3.3.3 , 4.4.4.4".parse().unwrap());
        assert_eq!(last(&headers, "x-forwarded-for"), Some("4.4.4.4"));
        assert_eq!(last(&headers, "x-forwarded-host"), None);
    }
}
