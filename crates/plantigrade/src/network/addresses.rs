//! The name and the addresses by which other devices of the clinic reach this computer.

use std::net::{IpAddr, Ipv4Addr, Ipv6Addr};

/// The networks of private addresses (RFC 1918, RFC 3927, RFC 4193): first address and length of the prefix.
/// Nobody outside the clinic's network has an address of these, so nobody outside is answered.
pub(super) const PRIVATE_NETWORKS: [(IpAddr, u8); 5] = [
    (IpAddr::V4(Ipv4Addr::new(10, 0, 0, 0)), 8),
    (IpAddr::V4(Ipv4Addr::new(172, 16, 0, 0)), 12),
    (IpAddr::V4(Ipv4Addr::new(192, 168, 0, 0)), 16),
    (IpAddr::V4(Ipv4Addr::new(169, 254, 0, 0)), 16),
    (IpAddr::V6(Ipv6Addr::new(0xfc00, 0, 0, 0, 0, 0, 0, 0)), 7),
];

/// Used where the computer's own name cannot be part of an address. No device answers for it by itself.
pub const FALLBACK_NAME: &str = "plantigrade.local";

/// The longest part of a name between two dots, in characters (RFC 1035).
const LABEL_CHARS: usize = 63;

/// Whether an address belongs to a private network.
#[must_use]
pub fn is_private(address: IpAddr) -> bool {
    let within = |network: IpAddr, prefix: u8| match (address.to_canonical(), network) {
        (IpAddr::V4(address), IpAddr::V4(network)) => {
            (address.to_bits() ^ network.to_bits()).leading_zeros() >= u32::from(prefix)
        }
        (IpAddr::V6(address), IpAddr::V6(network)) => {
            (address.to_bits() ^ network.to_bits()).leading_zeros() >= u32::from(prefix)
        }
        _ => false,
    };
    PRIVATE_NETWORKS.iter().any(|(network, prefix)| within(*network, *prefix))
}

/// The private addresses of this computer that are in use now, those of IPv4 first. Tunnels to other networks
/// are left out. Empty if the system does not tell.
#[must_use]
pub fn own_addresses() -> Vec<IpAddr> {
    let found = if_addrs::get_if_addrs().unwrap_or_else(|error| {
        tracing::warn!("the addresses of this computer cannot be read: {error}");
        Vec::new()
    });
    let used = found.into_iter().filter(|one| one.is_oper_up() && !one.is_p2p());
    let mut addresses: Vec<IpAddr> = used.map(|one| one.ip()).filter(|ip| is_private(*ip)).collect();
    addresses.sort_unstable();
    addresses.dedup();
    addresses
}

/// The name under which this computer announces itself on the local network if it does (multicast DNS,
/// RFC 6762): its own name and `.local`. `None` if its own name cannot be part of an address.
#[must_use]
pub fn own_name() -> Option<String> {
    local_name(&gethostname::gethostname().to_string_lossy())
}

fn local_name(host: &str) -> Option<String> {
    let label = host.trim().split('.').next()?.to_ascii_lowercase();
    (label != "localhost" && is_label(&label)).then(|| format!("{label}.local"))
}

/// Whether a text is a name with at least two parts that devices can look up.
#[must_use]
pub fn is_network_name(name: &str) -> bool {
    let number = |label: &str| label.bytes().all(|byte| byte.is_ascii_digit());
    // A name that ends in a number would be read as an address.
    let ends_in_words = name.rsplit('.').next().is_some_and(|last| !number(last));
    name.len() <= 200 && name.contains('.') && ends_in_words && name.split('.').all(is_label)
}

fn is_label(label: &str) -> bool {
    let plain = label.bytes().all(|byte| byte.is_ascii_lowercase() || byte.is_ascii_digit() || byte == b'-');
    plain && (1..=LABEL_CHARS).contains(&label.len()) && !label.starts_with('-') && !label.ends_with('-')
}

#[cfg(test)]
mod tests {
    #![allow(clippy::unwrap_used)]
    use super::*;

    #[test]
    fn private_networks_end_where_they_end() {
        let private = |text: &str| is_private(text.parse().unwrap());
        for inside in [
            "10.0.0.0",
            "10.255.255.255",
            "172.16.0.0",
            "172.31.255.255",
            "192.168.0.0",
            "192.168.255.255",
            "169.254.3.4",
            "fc00::1",
            "fdff:1::1",
            "::ffff:192.168.1.5",
        ] {
            assert!(private(inside), "{inside}");
        }
        for outside in [
            "9.255.255.255",
            "11.0.0.0",
            "172.15.255.255",
            "172.32.0.0",
            "192.167.255.255",
            "192.169.0.0",
            "127.0.0.1",
            "203.0.113.5",
            "fe80::1",
            "fbff::1",
            "2001:db8::1",
            "::1",
            "::ffff:203.0.113.5",
        ] {
            assert!(!private(outside), "{outside}");
        }
    }

    #[test]
    fn the_name_is_that_of_the_computer_where_it_can_be_part_of_an_address() {
        assert_eq!(local_name("Desk-2").as_deref(), Some("desk-2.local"));
        assert_eq!(local_name("desk.clinic.example").as_deref(), Some("desk.local"));
        for unusable in ["", "localhost", "Anna's desk", "-desk", "bürö", &"a".repeat(64)] {
            assert_eq!(local_name(unusable), None, "{unusable:?}");
        }
    }

    #[test]
    fn a_name_has_two_parts_and_is_no_address() {
        assert!(is_network_name("desk.local") && is_network_name("records.clinic.example"));
        for not in
            ["desk", "Desk.local", "desk..local", ".local", "192.168.1.5", "desk.local/", "desk local.x"]
        {
            assert!(!is_network_name(not), "{not:?}");
        }
    }
}
