//! The clinic's network as it is served now: the authority, the certificate in use and where it leads.

use super::{Authority, LeafCertificate, NetworkError, RENEW_BEFORE_DAYS, own_addresses};
use crate::exit::Failure;
use axum_server::tls_rustls::RustlsConfig;
use record::Day;
use rustls::{ServerConfig, crypto::ring};
use std::{
    net::{IpAddr, SocketAddr},
    path::Path,
    sync::{Arc, Mutex},
};

/// Under which name, and where, this computer is to be reached.
#[derive(Debug, Clone)]
pub struct NetworkPlace {
    /// The stable name.
    pub name: String,
    /// The address and port listened at; an unspecified address stands for every address of this computer.
    pub listens: SocketAddr,
}

impl NetworkPlace {
    /// The addresses for which a certificate has to be valid now.
    #[must_use]
    pub fn addresses(&self) -> Vec<IpAddr> {
        let own = own_addresses();
        if self.listens.ip().is_unspecified() {
            return own.into_iter().filter(|address| address.is_ipv4() == self.listens.is_ipv4()).collect();
        }
        own.into_iter().filter(|address| *address == self.listens.ip()).collect()
    }
}

/// The certificate in use, without its key.
#[derive(Debug, Clone, PartialEq, Eq)]
struct InUse {
    addresses: Vec<IpAddr>,
    last_day: Day,
}

/// The clinic's network: what its devices trust, and the certificate shown to them.
pub struct ClinicNetwork {
    authority: Authority,
    place: NetworkPlace,
    config: RustlsConfig,
    in_use: Mutex<InUse>,
}

impl ClinicNetwork {
    /// Opens the authority of a data folder, or makes one, and issues a certificate for the addresses of now.
    ///
    /// # Errors
    /// When the authority cannot be used.
    pub fn open(dir: &Path, place: NetworkPlace, addresses: &[IpAddr], today: Day) -> Result<Self, Failure> {
        let authority = Authority::open(dir, &place.name, today)?;
        let failed = |error: NetworkError| Failure::failed(crate::exit::sentence(&error.to_string()));
        let leaf = authority.issue(addresses, today).map_err(failed)?;
        let in_use = Mutex::new(InUse { addresses: leaf.addresses.clone(), last_day: leaf.last_day });
        let config = RustlsConfig::from_config(Arc::new(server_config(leaf).map_err(failed)?));
        Ok(Self { authority, place, config, in_use })
    }

    /// Issues another certificate if that in use ends soon, or is not valid for the addresses of now. It counts
    /// from the next connection on; the server does not stop. Returns whether there is a new one.
    ///
    /// # Errors
    /// When no certificate can be made; that in use then stays.
    pub fn refresh(&self, addresses: &[IpAddr], today: Day) -> Result<bool, NetworkError> {
        let Ok(mut in_use) = self.in_use.lock() else { return Ok(false) };
        let ends_soon = in_use.last_day - RENEW_BEFORE_DAYS < today;
        if !ends_soon && in_use.addresses == addresses {
            return Ok(false);
        }
        let leaf = self.authority.issue(addresses, today)?;
        *in_use = InUse { addresses: leaf.addresses.clone(), last_day: leaf.last_day };
        self.config.reload_from_config(Arc::new(server_config(leaf)?));
        Ok(true)
    }

    /// What the TLS server uses.
    #[must_use]
    pub const fn config(&self) -> &RustlsConfig {
        &self.config
    }

    /// The authority that the devices trust.
    #[must_use]
    pub const fn authority(&self) -> &Authority {
        &self.authority
    }

    /// Where it listens.
    #[must_use]
    pub const fn place(&self) -> &NetworkPlace {
        &self.place
    }

    /// The addresses under which the pages are found: by the stable name, then by each address in use.
    #[must_use]
    pub fn urls(&self) -> Vec<String> {
        let port = self.place.listens.port();
        let addresses = self.in_use.lock().map(|in_use| in_use.addresses.clone()).unwrap_or_default();
        let by_address = addresses.into_iter().map(|ip| format!("https://{}", SocketAddr::new(ip, port)));
        std::iter::once(format!("https://{}:{port}", self.authority.name())).chain(by_address).collect()
    }
}

fn server_config(leaf: LeafCertificate) -> Result<ServerConfig, NetworkError> {
    let mut config = ServerConfig::builder_with_provider(Arc::new(ring::default_provider()))
        .with_safe_default_protocol_versions()?
        .with_no_client_auth()
        .with_single_cert(vec![leaf.certificate], leaf.key)?;
    config.alpn_protocols = vec![b"h2".to_vec(), b"http/1.1".to_vec()];
    Ok(config)
}
