//! The options that say where the server listens.

use crate::{exit::Failure, network::is_private};
use clap::Args;
use std::{
    net::{IpAddr, SocketAddr},
    path::PathBuf,
};

/// Every address of this computer; only private ones are answered.
const CLINIC_NETWORK: &str = "0.0.0.0:8461";

/// Where to listen.
#[derive(Debug, Clone, Default, Args)]
pub struct ListenArgs {
    /// Address and port; port 0 chooses a free port [default: 127.0.0.1:8460]
    #[arg(long, value_name = "ADDR", value_parser = address)]
    pub listen: Option<SocketAddr>,
    /// Certificate chain (PEM), required to accept connections from other machines
    #[arg(long, value_name = "FILE", requires = "tls_key")]
    pub tls_cert: Option<PathBuf>,
    /// Private key (PEM) of the certificate
    #[arg(long, value_name = "FILE", requires = "tls_cert")]
    pub tls_key: Option<PathBuf>,
    /// A reverse proxy encrypts connections and sets X-Forwarded-For and X-Forwarded-Proto; requests
    /// that it does not mark as https are refused
    #[arg(long, conflicts_with = "tls_cert")]
    pub behind_proxy: bool,
    /// Do not open the browser
    #[arg(long)]
    pub no_open: bool,
}

/// Whether the clinic's network is served too.
#[derive(Debug, Clone, Default, Args)]
pub struct NetworkArgs {
    /// Serve tablets and phones on the clinic's own network too, encrypted and only those that are enrolled;
    /// an address and port may follow [default: every private address, port 8461]
    #[arg(long, value_name = "ADDR", num_args = 0..=1, require_equals = true, default_missing_value = CLINIC_NETWORK, value_parser = address, conflicts_with_all = ["tls_cert", "tls_key", "behind_proxy"])]
    pub clinic_network: Option<SocketAddr>,
}

/// An address with its port; `localhost` is this machine.
fn address(text: &str) -> Result<SocketAddr, String> {
    let plain = text.strip_prefix("localhost:").map(|port| format!("127.0.0.1:{port}"));
    plain
        .as_deref()
        .unwrap_or(text)
        .parse()
        .map_err(|_| "expected an address with a port, such as 127.0.0.1:8460".to_owned())
}

impl ListenArgs {
    /// The address given; by default one that only this machine can reach.
    ///
    /// # Errors
    /// If other machines could reach it without encryption.
    pub fn address(&self) -> Result<SocketAddr, Failure> {
        let address = self.listen.unwrap_or_else(|| SocketAddr::from(([127, 0, 0, 1], 8460)));
        let safe = address.ip().is_loopback() || self.tls_cert.is_some() || self.behind_proxy;
        if safe {
            return Ok(address);
        }
        Err(Failure::usage(format!(
            "{address} can be reached from other machines, and children's names would be sent unencrypted. \
             Give --tls-cert and --tls-key, or --behind-proxy if a reverse proxy encrypts."
        )))
    }
}

impl NetworkArgs {
    /// The address at which devices of the clinic's network are served, if they are.
    ///
    /// # Errors
    /// If it is an address of the Internet.
    pub fn address(&self) -> Result<Option<SocketAddr>, Failure> {
        let own = |ip: IpAddr| ip.is_unspecified() || ip.is_loopback() || is_private(ip);
        match self.clinic_network {
            Some(address) if !own(address.ip()) => Err(Failure::usage(format!(
                "{} is an address of the Internet and not of a clinic's own network: --clinic-network takes a private one, such as 192.168.1.20:8461.",
                address.ip()
            ))),
            asked => Ok(asked),
        }
    }
}
