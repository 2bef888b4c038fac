//! The clinic's own network: a certificate authority for one clinic, the certificate it issues for the present
//! name and addresses of this computer, and what is known of both.
//!
//! Nothing here decides who may read a page: that is `routes::admission`.
//!
//! Start reading at [`ClinicNetwork`].

mod addresses;
mod authority;
mod clinic_network;

pub use addresses::{FALLBACK_NAME, is_network_name, is_private, own_addresses, own_name};
pub use authority::{Authority, FOLDER as AUTHORITY_FOLDER, LeafCertificate, RENEW_BEFORE_DAYS, VALID_DAYS};
pub use clinic_network::{ClinicNetwork, NetworkPlace};

/// Why a certificate could not be made.
#[derive(Debug, thiserror::Error)]
pub enum NetworkError {
    /// The authority could not sign it.
    #[error("a certificate could not be made: {0}")]
    Certificate(#[from] rcgen::Error),
    /// The TLS library does not accept it.
    #[error("the certificate cannot be used: {0}")]
    Tls(#[from] rustls::Error),
}
