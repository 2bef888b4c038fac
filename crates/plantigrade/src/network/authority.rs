//! The clinic's own certificate authority: made once, trusted once on each tablet, and able to vouch for
//! nothing but this clinic's name and private addresses.

use super::{NetworkError, addresses::PRIVATE_NETWORKS};
use crate::{exit::Failure, kept_file::private_folder};
use rcgen::{
    BasicConstraints, CertificateParams, CidrSubnet, DistinguishedName, DnType, ExtendedKeyUsagePurpose,
    GeneralSubtree, IsCa, Issuer, KeyPair, KeyUsagePurpose, NameConstraints, SanType,
};
use record::Day;
use rustls::pki_types::{CertificateDer, PrivateKeyDer, PrivatePkcs8KeyDer, pem::PemObject};
use serde::{Deserialize, Serialize};
use sha2::{Digest, Sha256};
use std::{
    fs,
    io::{ErrorKind, Write},
    net::IpAddr,
    path::{Path, PathBuf},
};

/// The folder of the authority within the data folder.
pub const FOLDER: &str = "clinic-network";
/// The file of the authority within it.
const FILE: &str = "authority.toml";
/// How long tablets may trust the authority: ten years.
const AUTHORITY_DAYS: i32 = 3652;
/// How long a certificate is valid. Some systems accept none of more than 397 days.
pub const VALID_DAYS: i32 = 90;
/// How many days before its end a certificate is replaced.
pub const RENEW_BEFORE_DAYS: i32 = 30;
/// The longest common name (RFC 5280, upper bounds).
const COMMON_NAME_CHARS: usize = 64;

const WARNING: &str = "\
# The certificate authority of this clinic's network. Whoever has this file can pretend to be this program
# towards the clinic's tablets: do not copy it, do not send it. Without it every tablet has to trust anew.
";

/// What the file holds.
#[derive(Serialize, Deserialize)]
struct Stored {
    name: String,
    first_day: Day,
    last_day: Day,
    certificate: String,
    key: String,
}

/// The clinic's own certificate authority.
pub struct Authority {
    name: String,
    first_day: Day,
    last_day: Day,
    certificate: CertificateDer<'static>,
    /// The same as text.
    pem: String,
    key: KeyPair,
}

/// A certificate for this computer, with its key.
pub struct LeafCertificate {
    /// The certificate.
    pub certificate: CertificateDer<'static>,
    /// Its key; it is only in memory.
    pub key: PrivateKeyDer<'static>,
    /// The addresses for which it is valid, besides the name.
    pub addresses: Vec<IpAddr>,
    /// The last day on which it is valid.
    pub last_day: Day,
}

impl Authority {
    /// The authority of a data folder. If there is none, or its time is over, one is made for `name`; an
    /// authority that is there keeps its own name, because the tablets trust it for that name only.
    ///
    /// # Errors
    /// When the file cannot be read or written, is damaged, or can be read by others.
    pub fn open(dir: &Path, name: &str, today: Day) -> Result<Self, Failure> {
        let path = dir.join(FOLDER).join(FILE);
        match fs::read_to_string(&path) {
            Ok(text) => {
                for_owner_only(&path)?;
                let found = Self::parse(&text).ok_or_else(|| damaged(&path))?;
                if today <= found.last_day { Ok(found) } else { Self::create(&path, name, today) }
            }
            Err(error) if error.kind() == ErrorKind::NotFound => Self::create(&path, name, today),
            Err(error) => Err(Failure::failed(format!("{} cannot be read: {error}.", path.display()))),
        }
    }

    fn create(path: &Path, name: &str, today: Day) -> Result<Self, Failure> {
        let not_written = |error: std::io::Error| {
            Failure::failed(format!("{} cannot be written: {error}.", path.display()))
        };
        let authority = Self::make(name, today).map_err(|error| Failure::failed(sentence(&error)))?;
        let text = authority.text().map_err(|error| not_written(std::io::Error::other(error)))?;
        write_for_owner(path, &text).map_err(not_written)?;
        Ok(authority)
    }

    fn make(name: &str, today: Day) -> Result<Self, NetworkError> {
        let key = KeyPair::generate()?;
        let (first_day, last_day) = (today, today + AUTHORITY_DAYS);
        let made = authority_params(name, first_day, last_day).self_signed(&key)?;
        let (certificate, pem) = (made.der().clone(), made.pem());
        Ok(Self { name: name.to_owned(), first_day, last_day, certificate, pem, key })
    }

    fn parse(text: &str) -> Option<Self> {
        let stored: Stored = toml::from_str(text).ok()?;
        Some(Self {
            certificate: CertificateDer::from_pem_slice(stored.certificate.as_bytes()).ok()?,
            pem: stored.certificate,
            key: KeyPair::from_pem(&stored.key).ok()?,
            name: stored.name,
            first_day: stored.first_day,
            last_day: stored.last_day,
        })
    }

    fn text(&self) -> Result<String, toml::ser::Error> {
        let stored = Stored {
            name: self.name.clone(),
            first_day: self.first_day,
            last_day: self.last_day,
            certificate: self.pem.clone(),
            key: self.key.serialize_pem(),
        };
        Ok(format!("{WARNING}{}", toml::to_string(&stored)?))
    }

    /// The name for which it vouches.
    #[must_use]
    pub fn name(&self) -> &str {
        &self.name
    }

    /// The last day on which tablets accept it.
    #[must_use]
    pub const fn last_day(&self) -> Day {
        self.last_day
    }

    /// Its certificate, which tablets have to trust. It is not secret.
    #[must_use]
    pub const fn certificate(&self) -> &CertificateDer<'static> {
        &self.certificate
    }

    /// The SHA-256 fingerprint of its certificate, as tablets show it: `3F:0A:…`, 32 pairs.
    #[must_use]
    pub fn fingerprint(&self) -> String {
        let pairs: Vec<String> =
            Sha256::digest(&self.certificate).iter().map(|byte| format!("{byte:02X}")).collect();
        pairs.join(":")
    }

    /// A new certificate for this computer, valid from the day before `today` in case a tablet's clock is late.
    ///
    /// # Errors
    /// When the system provides no random numbers.
    pub fn issue(&self, addresses: &[IpAddr], today: Day) -> Result<LeafCertificate, NetworkError> {
        self.issue_for(&self.name, addresses, today)
    }

    /// As [`Authority::issue`], for any name. No device accepts it for another name than the authority's own.
    ///
    /// # Errors
    /// When the name cannot be part of a certificate.
    pub fn issue_for(
        &self,
        name: &str,
        addresses: &[IpAddr],
        today: Day,
    ) -> Result<LeafCertificate, NetworkError> {
        let last_day = (today + VALID_DAYS).min(self.last_day);
        let key = KeyPair::generate()?;
        let issuer = Issuer::new(authority_params(&self.name, self.first_day, self.last_day), &self.key);
        let certificate = leaf_params(name, addresses, today - 1, last_day)?.signed_by(&key, &issuer)?;
        Ok(LeafCertificate {
            certificate: certificate.der().clone(),
            key: PrivateKeyDer::Pkcs8(PrivatePkcs8KeyDer::from(key.serialize_der())),
            addresses: addresses.to_vec(),
            last_day,
        })
    }
}

/// What the authority's certificate says: it may sign for this name and private addresses only.
fn authority_params(name: &str, first_day: Day, last_day: Day) -> CertificateParams {
    let mut params = CertificateParams::default();
    params.distinguished_name = DistinguishedName::new();
    let common: String = format!("Clinic network {name}").chars().take(COMMON_NAME_CHARS).collect();
    params.distinguished_name.push(DnType::CommonName, common);
    params.distinguished_name.push(DnType::OrganizationalUnitName, format!("made {first_day}"));
    params.is_ca = IsCa::Ca(BasicConstraints::Constrained(0));
    params.key_usages = vec![KeyUsagePurpose::KeyCertSign, KeyUsagePurpose::CrlSign];
    let networks = PRIVATE_NETWORKS
        .iter()
        .map(|(network, prefix)| GeneralSubtree::IpAddress(CidrSubnet::from_addr_prefix(*network, *prefix)));
    let permitted_subtrees =
        std::iter::once(GeneralSubtree::DnsName(name.to_owned())).chain(networks).collect();
    params.name_constraints = Some(NameConstraints { permitted_subtrees, excluded_subtrees: Vec::new() });
    set_validity(&mut params, first_day - 1, last_day);
    params
}

fn leaf_params(
    name: &str,
    addresses: &[IpAddr],
    first_day: Day,
    last_day: Day,
) -> Result<CertificateParams, NetworkError> {
    let mut params = CertificateParams::new(vec![name.to_owned()])?;
    params.subject_alt_names.extend(addresses.iter().map(|address| SanType::IpAddress(*address)));
    params.distinguished_name = DistinguishedName::new();
    params.distinguished_name.push(DnType::CommonName, "Plantigrade");
    params.is_ca = IsCa::ExplicitNoCa;
    params.key_usages = vec![KeyUsagePurpose::DigitalSignature];
    params.extended_key_usages = vec![ExtendedKeyUsagePurpose::ServerAuth];
    params.use_authority_key_identifier_extension = true;
    set_validity(&mut params, first_day, last_day);
    Ok(params)
}

/// Valid from the beginning of the first day to the end of the last one, in UTC.
fn set_validity(params: &mut CertificateParams, first_day: Day, last_day: Day) {
    let at = |day: Day| {
        let (year, month, day) = day.parts();
        rcgen::date_time_ymd(year, month as u8, day as u8)
    };
    params.not_before = at(first_day);
    params.not_after = at(last_day + 1);
}

/// Refuses a key that other users of the computer can read.
#[cfg(unix)]
fn for_owner_only(path: &Path) -> Result<(), Failure> {
    use std::os::unix::fs::PermissionsExt;
    let found = fs::metadata(path);
    if found.is_ok_and(|found| found.permissions().mode() & 0o077 == 0) {
        return Ok(());
    }
    let shown = path.display();
    Err(Failure::failed(format!(
        "{shown} holds the key that the clinic's tablets trust, and other users of this computer can read it. If nobody else uses this computer, allow only its owner to read the file (chmod 600); otherwise delete it, and every tablet has to trust a new one."
    )))
}

/// On other systems the user's own folder is closed to other users.
#[cfg(not(unix))]
fn for_owner_only(_: &Path) -> Result<(), Failure> {
    Ok(())
}

/// Writes the whole file or nothing, for its owner only.
fn write_for_owner(path: &Path, text: &str) -> std::io::Result<()> {
    let folder: PathBuf = path.parent().map(Path::to_owned).unwrap_or_default();
    private_folder(&folder)?;
    // Only its owner can read a file made so.
    let mut file = tempfile::NamedTempFile::new_in(&folder)?;
    file.write_all(text.as_bytes())?;
    file.as_file().sync_all()?;
    file.persist(path).map_err(|error| error.error)?;
    Ok(())
}

fn damaged(path: &Path) -> Failure {
    Failure::failed(format!(
        "{} is damaged. Restore it from a copy, or delete it: then a new certificate authority is made, and every tablet has to trust it anew.",
        path.display()
    ))
}

fn sentence(error: &NetworkError) -> String {
    crate::exit::sentence(&error.to_string())
}
