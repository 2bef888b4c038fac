//! Under which names this program answers. A page of another site can point its own name at this computer (DNS
//! rebinding) and would then share the origin of our pages; a request that names it is refused before anything is
//! looked at.

use crate::{
    app::App,
    network::is_private,
    settings::{Settings, host_of},
};
use std::net::IpAddr;

/// What a browser named, without its port.
#[derive(Debug, Clone, PartialEq, Eq)]
pub enum AskedHost {
    /// A name, in small letters and without a dot at its end.
    Name(String),
    /// An address in numbers. No other site can own one.
    Address(IpAddr),
}

impl AskedHost {
    /// From the text of the header `Host`, or of the authority of the address (RFC 9110, section 7.2; RFC 3986,
    /// section 3.2; from memory). `None` if it is neither a name nor an address.
    #[must_use]
    pub fn read(text: &str) -> Option<Self> {
        let (host, port) = match text.strip_prefix('[') {
            Some(rest) => {
                let (host, port) = rest.split_once(']')?;
                (host, if port.is_empty() { None } else { Some(port.strip_prefix(':')?) })
            }
            None => text.split_once(':').map_or((text, None), |(host, port)| (host, Some(port))),
        };
        if port.is_some_and(|port| port.parse::<u16>().is_err()) {
            return None;
        }
        if let Ok(address) = host.parse::<IpAddr>() {
            return Some(Self::Address(address.to_canonical()));
        }
        let name = host.strip_suffix('.').unwrap_or(host).to_ascii_lowercase();
        let plain = |byte: u8| byte.is_ascii_alphanumeric() || b"-_.".contains(&byte);
        (!name.is_empty() && name.bytes().all(plain) && !text.starts_with('[')).then_some(Self::Name(name))
    }
}

/// Where a door listens, and the names that belong to it.
#[derive(Debug, Clone, Default)]
pub struct DoorNames {
    /// The address at which it listens, if that is known.
    pub listens: Option<IpAddr>,
    /// The name in the certificate of the clinic's network, at that door.
    pub network_name: Option<String>,
}

/// Whether a door answers a request for this name or address.
#[must_use]
pub fn answers(door: &DoorNames, settings: &Settings, asked: &AskedHost) -> bool {
    match asked {
        AskedHost::Name(name) => {
            let public = settings.public_address.as_deref().and_then(host_of);
            name == "localhost"
                || door.network_name.as_ref() == Some(name)
                || public == Some(name.as_str())
                || settings.host_names.contains(name)
        }
        AskedHost::Address(address) => {
            // Listening at every address, it may be reached by any of them, also through a router.
            let everywhere = door.listens.is_some_and(|ip| ip.is_unspecified());
            let by_network = door.network_name.is_some() && is_private(*address);
            address.is_loopback()
                || everywhere
                || by_network
                || door.listens.map(|ip| ip.to_canonical()) == Some(*address)
                || settings.host_names.iter().any(|name| name.parse() == Ok(*address))
        }
    }
}

impl App {
    /// The names of one of the two doors.
    #[must_use]
    pub fn door_names(&self, by_network: bool) -> DoorNames {
        if by_network {
            let network_name = self.network.as_ref().map(|network| network.authority().name().to_owned());
            return DoorNames { listens: None, network_name };
        }
        DoorNames { listens: self.mode.here.map(|here| here.ip()), network_name: None }
    }

    /// Whether a request that names this host is answered.
    #[must_use]
    pub fn answers_host(&self, asked: &AskedHost, by_network: bool) -> bool {
        answers(&self.door_names(by_network), &self.settings(), asked)
    }
}

#[cfg(test)]
mod tests {
    #![allow(clippy::unwrap_used)]
    use super::*;

    fn read(text: &str) -> AskedHost {
        AskedHost::read(text).unwrap()
    }

    #[test]
    fn names_and_addresses_are_read_without_their_port() {
        let name = |text: &str| AskedHost::Name(text.to_owned());
        assert_eq!(read("Desk.Local:8461"), name("desk.local"));
        assert_eq!(read("desk.local."), name("desk.local"), "the full form of the same name");
        assert_eq!(read("127.0.0.1:8460"), AskedHost::Address("127.0.0.1".parse().unwrap()));
        assert_eq!(read("[::1]:8460"), AskedHost::Address("::1".parse().unwrap()));
        assert_eq!(read("[::ffff:127.0.0.1]"), AskedHost::Address("127.0.0.1".parse().unwrap()));
        for not in ["", ":80", "a b", "[::1", "[::1]80", "desk:port", "desk:99999", "a@b", "[desk]", "dé"] {
            assert_eq!(AskedHost::read(not), None, "{not:?}");
        }
    }

    #[test]
    fn a_door_answers_to_its_own_names_only() {
        let settings = Settings {
            host_names: vec!["records.clinic.example".to_owned(), "203.0.113.7".to_owned()],
            public_address: Some("https://clubfoot.clinic.example:8443".to_owned()),
            ..Settings::default()
        };
        let at = |address: &str| DoorNames { listens: Some(address.parse().unwrap()), network_name: None };
        let network = DoorNames { listens: None, network_name: Some("desk.local".to_owned()) };
        for (door, asked, expected) in [
            (at("127.0.0.1"), "127.0.0.1:8460", true),
            (at("127.0.0.1"), "localhost:9000", true),
            (at("127.0.0.1"), "records.clinic.example", true),
            (at("127.0.0.1"), "clubfoot.clinic.example", true),
            (at("127.0.0.1"), "203.0.113.7", true),
            (at("127.0.0.1"), "evil.example", false),
            (at("127.0.0.1"), "localhost.evil.example", false),
            (at("127.0.0.1"), "192.168.1.5", false),
            (at("127.0.0.1"), "desk.local", false),
            (at("192.168.1.5"), "192.168.1.5:8460", true),
            (at("192.168.1.5"), "192.168.1.6", false),
            (at("0.0.0.0"), "192.168.1.6", true),
            (at("0.0.0.0"), "evil.example", false),
            (network.clone(), "desk.local:8461", true),
            (network.clone(), "192.168.7.20:8461", true),
            (network.clone(), "203.0.113.9", false),
            (network, "evil.example", false),
        ] {
            assert_eq!(answers(&door, &settings, &read(asked)), expected, "{door:?} {asked}");
        }
    }
}
