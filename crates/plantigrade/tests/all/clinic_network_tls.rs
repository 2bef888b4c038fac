//! The certificate of the clinic's network, as a device sees it that trusts the clinic's authority and nothing
//! else.
#![allow(clippy::unwrap_used, clippy::expect_used, clippy::panic)]

use crate::{
    bad_input::{Server, one_sentence},
    clinic::{TODAY, day},
    commands::{code, err, run},
};
use plantigrade::{
    app::{App, Mode},
    clock::Clock,
    network::{Authority, ClinicNetwork, NetworkPlace, RENEW_BEFORE_DAYS, VALID_DAYS},
    routes,
};
use record::Day;
use rustls::{
    ClientConfig, ClientConnection, RootCertStore, ServerConfig, ServerConnection,
    client::WebPkiServerVerifier,
    crypto::ring,
    pki_types::{CertificateDer, ServerName, UnixTime},
};
use std::{
    fs,
    io::{Read, Write},
    net::{IpAddr, SocketAddr, TcpListener, TcpStream},
    path::Path,
    sync::Arc,
    time::Duration,
};
use tempfile::TempDir;

const STABLE_NAME: &str = "desk.local";
const ADDRESS: &str = "192.168.7.20";

/// A device: it trusts some authorities, and its clock shows a day.
struct Device {
    config: Arc<ClientConfig>,
}

/// A clock that stands at noon of a day.
#[derive(Debug)]
struct Noon(u64);

impl rustls::time_provider::TimeProvider for Noon {
    fn current_time(&self) -> Option<UnixTime> {
        Some(UnixTime::since_unix_epoch(Duration::from_secs(self.0)))
    }
}

impl Device {
    fn on(today: Day, trusted: &[&CertificateDer<'static>]) -> Self {
        let mut roots = RootCertStore::empty();
        trusted.iter().for_each(|one| roots.add((*one).clone()).unwrap());
        let provider = Arc::new(ring::default_provider());
        let verifier =
            WebPkiServerVerifier::builder_with_provider(Arc::new(roots), provider.clone()).build().unwrap();
        let clock = Arc::new(Noon(u64::try_from(i64::from(today.number()) * 86_400 + 43_200).unwrap()));
        let config = ClientConfig::builder_with_details(provider, clock)
            .with_safe_default_protocol_versions()
            .unwrap()
            .with_webpki_verifier(verifier)
            .with_no_client_auth();
        Self { config: Arc::new(config) }
    }

    /// Shakes hands with a server within this process; the reason if the device does not trust it.
    fn trusts(&self, server: Arc<ServerConfig>, name: &str) -> Result<(), String> {
        let name = ServerName::try_from(name.to_owned()).unwrap();
        let mut client = ClientConnection::new(self.config.clone(), name).unwrap();
        let mut server = ServerConnection::new(server).unwrap();
        while client.is_handshaking() || server.is_handshaking() {
            let mut bytes = Vec::new();
            while client.wants_write() {
                client.write_tls(&mut bytes).unwrap();
            }
            let mut rest = bytes.as_slice();
            while !rest.is_empty() {
                server.read_tls(&mut rest).unwrap();
                server.process_new_packets().map_err(|error| error.to_string())?;
            }
            let mut bytes = Vec::new();
            while server.wants_write() {
                server.write_tls(&mut bytes).unwrap();
            }
            let mut rest = bytes.as_slice();
            while !rest.is_empty() {
                client.read_tls(&mut rest).unwrap();
                client.process_new_packets().map_err(|error| error.to_string())?;
            }
        }
        Ok(())
    }

    /// Sends a request to a running server; the reason if the device does not trust it.
    fn get(&self, at: SocketAddr, name: &str, path: &str) -> Result<String, String> {
        let host = ServerName::try_from(name.to_owned()).unwrap();
        let tls = ClientConnection::new(self.config.clone(), host).unwrap();
        let mut stream = rustls::StreamOwned::new(tls, TcpStream::connect(at).unwrap());
        write!(stream, "GET {path} HTTP/1.1\r\nHost: {name}\r\nConnection: close\r\n\r\n")
            .map_err(|error| error.to_string())?;
        let mut answer = Vec::new();
        // Some servers end without the closing word of TLS; what came before it counts.
        let _ = stream.read_to_end(&mut answer);
        Ok(String::from_utf8_lossy(&answer).into_owned())
    }
}

/// The configuration of a server that shows this certificate.
fn server(leaf: plantigrade::network::LeafCertificate) -> Arc<ServerConfig> {
    let config = ServerConfig::builder_with_provider(Arc::new(ring::default_provider()))
        .with_safe_default_protocol_versions()
        .unwrap()
        .with_no_client_auth()
        .with_single_cert(vec![leaf.certificate], leaf.key);
    Arc::new(config.unwrap())
}

fn authority(dir: &TempDir, today: Day) -> Authority {
    Authority::open(dir.path(), STABLE_NAME, today).unwrap()
}

fn ip(text: &str) -> IpAddr {
    text.parse().unwrap()
}

#[test]
fn a_device_trusts_the_name_and_the_addresses_of_the_computer() {
    let (dir, today) = (tempfile::tempdir().unwrap(), day(TODAY));
    let authority = authority(&dir, today);
    let addresses = [ip(ADDRESS), ip("10.1.2.3"), ip("fd00::20")];
    let shown = server(authority.issue(&addresses, today).unwrap());
    let device = Device::on(today, &[authority.certificate()]);
    for name in [STABLE_NAME, ADDRESS, "10.1.2.3", "fd00::20"] {
        assert_eq!(device.trusts(shown.clone(), name), Ok(()), "{name}");
    }
    for other in ["other.local", "192.168.7.21", "fd00::21"] {
        let error = device.trusts(shown.clone(), other).unwrap_err();
        assert!(error.contains("not valid for name"), "{other}: {error}");
    }
}

/// Whoever stole the key of the authority could still deceive no device about any other place.
#[test]
fn the_authority_can_vouch_for_nothing_outside_the_clinics_network() {
    let (dir, today) = (tempfile::tempdir().unwrap(), day(TODAY));
    let authority = authority(&dir, today);
    let device = Device::on(today, &[authority.certificate()]);
    let trusts = |name: &str, addresses: &[IpAddr], visited: &str| {
        device.trusts(server(authority.issue_for(name, addresses, today).unwrap()), visited)
    };
    assert_eq!(trusts(STABLE_NAME, &[], STABLE_NAME), Ok(()), "otherwise the refusals below say nothing");
    for name in ["bank.example", "local", "notdesk.local"] {
        let error = trusts(name, &[], name).unwrap_err();
        assert!(error.contains("NameConstraintViolation"), "{name}: {error}");
    }
    for outside in ["203.0.113.5", "172.32.0.1", "2001:db8::1", "127.0.0.1"] {
        let error = trusts(STABLE_NAME, &[ip(outside)], outside).unwrap_err();
        assert!(error.contains("NameConstraintViolation"), "{outside}: {error}");
    }
}

/// The authority signs certificates of servers and no further authority.
#[test]
fn what_the_authority_issues_cannot_issue_in_turn() {
    let (dir, today) = (tempfile::tempdir().unwrap(), day(TODAY));
    let authority = authority(&dir, today);
    let leaf = authority.issue(&[], today).unwrap();
    let rustls::pki_types::PrivateKeyDer::Pkcs8(key) = &leaf.key else { panic!("another form of key") };
    let key = rcgen::KeyPair::try_from(key.secret_pkcs8_der()).unwrap();
    let mut params = rcgen::CertificateParams::default();
    params.distinguished_name.push(rcgen::DnType::CommonName, "Plantigrade");
    let issuer = rcgen::Issuer::new(params, &key);
    let own = rcgen::KeyPair::generate().unwrap();
    let forged = rcgen::CertificateParams::new(vec![STABLE_NAME.to_owned()]).unwrap();
    let forged = forged.signed_by(&own, &issuer).unwrap();
    let config = ServerConfig::builder_with_provider(Arc::new(ring::default_provider()))
        .with_safe_default_protocol_versions()
        .unwrap()
        .with_no_client_auth()
        .with_single_cert(
            vec![forged.der().clone(), leaf.certificate.clone()],
            rustls::pki_types::PrivatePkcs8KeyDer::from(own.serialize_der()).into(),
        );
    let device = Device::on(today, &[authority.certificate()]);
    let error = device.trusts(Arc::new(config.unwrap()), STABLE_NAME).unwrap_err();
    assert!(error.contains("CaUsedAsEndEntity") || error.contains("invalid peer certificate"), "{error}");
}

#[test]
fn the_authority_of_another_clinic_is_not_trusted() {
    let (dir, other, today) = (tempfile::tempdir().unwrap(), tempfile::tempdir().unwrap(), day(TODAY));
    let (own, foreign) = (authority(&dir, today), authority(&other, today));
    assert_ne!(own.fingerprint(), foreign.fingerprint());
    let device = Device::on(today, &[own.certificate()]);
    let error = device.trusts(server(foreign.issue(&[], today).unwrap()), STABLE_NAME).unwrap_err();
    // It has the same name, so the signature is what tells.
    assert!(error.contains("BadSignature") || error.contains("UnknownIssuer"), "{error}");
}

#[test]
fn a_certificate_is_valid_for_ninety_days_and_a_day_before_for_late_clocks() {
    let (dir, today) = (tempfile::tempdir().unwrap(), day(TODAY));
    let authority = authority(&dir, today);
    let shown = server(authority.issue(&[], today).unwrap());
    let on = |day: Day| Device::on(day, &[authority.certificate()]).trusts(shown.clone(), STABLE_NAME);
    for valid in [today - 1, today, today + VALID_DAYS] {
        assert_eq!(on(valid), Ok(()), "{valid}");
    }
    assert!(on(today - 2).unwrap_err().contains("not valid yet"));
    assert!(on(today + VALID_DAYS + 1).unwrap_err().contains("expired"));
}

#[test]
fn the_authority_stays_the_same_until_its_time_is_over() {
    let (dir, today) = (tempfile::tempdir().unwrap(), day(TODAY));
    let first = authority(&dir, today);
    let fingerprint = first.fingerprint();
    assert_eq!((fingerprint.len(), fingerprint.matches(':').count()), (95, 31));
    let again = Authority::open(dir.path(), "renamed.local", first.last_day()).unwrap();
    assert_eq!((again.fingerprint(), again.name()), (fingerprint.clone(), STABLE_NAME), "it keeps its name");
    // What it issues late in its life is trusted by those who trusted it at first.
    let device = Device::on(first.last_day(), &[first.certificate()]);
    assert_eq!(device.trusts(server(again.issue(&[], first.last_day()).unwrap()), STABLE_NAME), Ok(()));
    let next = Authority::open(dir.path(), "renamed.local", first.last_day() + 1).unwrap();
    assert_ne!(next.fingerprint(), fingerprint, "after its time there is a new one");
    assert_eq!(next.name(), "renamed.local");
}

#[cfg(unix)]
#[test]
fn only_its_owner_can_read_the_key_and_a_key_that_others_could_read_is_not_used() {
    use std::os::unix::fs::PermissionsExt;
    let (dir, today) = (tempfile::tempdir().unwrap(), day(TODAY));
    authority(&dir, today);
    let path = dir.path().join("clinic-network/authority.toml");
    assert_eq!(fs::metadata(&path).unwrap().permissions().mode() & 0o777, 0o600);
    for mode in [0o640, 0o604] {
        fs::set_permissions(&path, fs::Permissions::from_mode(mode)).unwrap();
        let refused = Authority::open(dir.path(), STABLE_NAME, today).err().unwrap();
        assert!(
            refused.sentence.contains("other users of this computer can read it"),
            "{}",
            refused.sentence
        );
    }
    fs::set_permissions(&path, fs::Permissions::from_mode(0o600)).unwrap();
    fs::write(&path, "name = \"desk.local\"\n").unwrap();
    let damaged = Authority::open(dir.path(), STABLE_NAME, today).err().unwrap();
    assert!(damaged.sentence.contains("is damaged"), "{}", damaged.sentence);
    assert_eq!(fs::read_to_string(&path).unwrap(), "name = \"desk.local\"\n", "a damaged file is kept");
}

/// A running server of a clinic's network whose certificate was issued on a day.
struct Running {
    app: Arc<App>,
    at: SocketAddr,
    _dir: TempDir,
}

fn start(issued: Day) -> Running {
    let dir = tempfile::tempdir().unwrap();
    let mut app = App::open(dir.path(), Clock::new(Some(day(TODAY))), Mode::default()).unwrap();
    let listener = TcpListener::bind("127.0.0.1:0").unwrap();
    listener.set_nonblocking(true).unwrap();
    let at = listener.local_addr().unwrap();
    let place = NetworkPlace { name: STABLE_NAME.into(), listens: at };
    let network = ClinicNetwork::open(dir.path(), place, &[ip(ADDRESS)], issued).unwrap();
    let config = network.config().clone();
    app.network = Some(network);
    let app = Arc::new(app);
    let service = routes::network_router(app.clone()).into_make_service_with_connect_info::<SocketAddr>();
    tokio::spawn(axum_server::from_tcp_rustls(listener, config).unwrap().serve(service));
    Running { app, at, _dir: dir }
}

#[tokio::test(flavor = "multi_thread", worker_threads = 2)]
async fn a_certificate_that_ends_is_replaced_while_the_server_runs() {
    let issued = day(TODAY);
    let running = start(issued);
    let network = running.app.network.as_ref().unwrap();
    let get = |today: Day, name: &str| {
        let device = Device::on(today, &[network.authority().certificate()]);
        tokio::task::block_in_place(|| device.get(running.at, name, "/enrol"))
    };
    assert!(get(issued, STABLE_NAME).unwrap().starts_with("HTTP/1.1 200"));
    let late = issued + VALID_DAYS + 1;
    assert!(get(late, STABLE_NAME).unwrap_err().contains("expired"));
    let same = [ip(ADDRESS)];
    let renewal = issued + VALID_DAYS - RENEW_BEFORE_DAYS;
    assert!(!network.refresh(&same, issued).unwrap());
    assert!(!network.refresh(&same, renewal).unwrap(), "not before it has to be");
    assert!(network.refresh(&same, renewal + 1).unwrap());
    assert!(!network.refresh(&same, renewal + 1).unwrap(), "once");
    let page = get(late, STABLE_NAME).unwrap();
    assert!(page.starts_with("HTTP/1.1 200") && page.contains("Enrol this device"), "{page}");
    // Also if the program slept beyond the end.
    let much_later = late + 365;
    assert!(get(much_later, STABLE_NAME).unwrap_err().contains("expired"));
    assert!(network.refresh(&same, much_later).unwrap());
    assert!(get(much_later, STABLE_NAME).unwrap().starts_with("HTTP/1.1 200"));
}

#[tokio::test(flavor = "multi_thread", worker_threads = 2)]
async fn another_address_of_the_computer_needs_no_new_trust() {
    let today = day(TODAY);
    let running = start(today);
    let network = running.app.network.as_ref().unwrap();
    let device = Device::on(today, &[network.authority().certificate()]);
    let get = |name: &str| tokio::task::block_in_place(|| device.get(running.at, name, "/trust"));
    assert!(get(ADDRESS).is_ok() && get("192.168.9.99").is_err());
    assert!(network.refresh(&[ip("192.168.9.99")], today).unwrap());
    assert!(get("192.168.9.99").unwrap().starts_with("HTTP/1.1 200"));
    assert!(get(ADDRESS).is_err(), "the earlier address may belong to another device by now");
    assert!(get(STABLE_NAME).is_ok(), "the name stays");
    let port = running.at.port();
    assert_eq!(
        network.urls(),
        [format!("https://desk.local:{port}"), format!("https://192.168.9.99:{port}")]
    );
}

/// The certificate and the name in the file of a data folder.
fn stored(data: &Path) -> (CertificateDer<'static>, String) {
    let authority = Authority::open(data, "unused.local", Clock::machine_day()).unwrap();
    (authority.certificate().clone(), authority.name().to_owned())
}

fn network_address(told: &str) -> SocketAddr {
    let line = told.lines().find(|line| line.trim_start().starts_with("https://")).unwrap();
    let port = line.trim().rsplit(':').next().unwrap();
    format!("127.0.0.1:{port}").parse().unwrap()
}

#[test]
fn the_program_serves_its_second_door_encrypted_only() {
    let dir = tempfile::tempdir().unwrap();
    let data = dir.path().join("data");
    let first = Server::start_and_hear(
        &["serve", "--data", data.to_str().unwrap(), "--clinic-network=127.0.0.1:0"],
        "Leave this window open",
    );
    let (certificate, name) = stored(&data);
    let at = network_address(&first.told);
    let device = Device::on(Clock::machine_day(), &[&certificate]);
    let refused = device.get(at, &name, "/day").unwrap();
    assert!(refused.starts_with("HTTP/1.1 403") && refused.contains("not enrolled"), "{refused}");
    assert!(device.get(at, &name, "/trust").unwrap().starts_with("HTTP/1.1 200"));
    let here = first.get("/day");
    assert!(here.starts_with("HTTP/1.1 303"), "this computer needs no enrolment: {here}");
    let mut plain = TcpStream::connect(at).unwrap();
    write!(plain, "GET /trust HTTP/1.1\r\nHost: localhost\r\nConnection: close\r\n\r\n").unwrap();
    let mut answer = Vec::new();
    let _ = plain.read_to_end(&mut answer);
    assert!(!answer.starts_with(b"HTTP"), "answered without encryption");
    drop(first);
    let again = Server::start_and_hear(
        &["serve", "--data", data.to_str().unwrap(), "--clinic-network=127.0.0.1:0"],
        "Leave this window open",
    );
    let page = device.get(network_address(&again.told), &name, "/trust").unwrap();
    assert!(page.starts_with("HTTP/1.1 200"), "trusted after a new start: {page}");
}

#[test]
fn a_network_that_cannot_be_served_is_said_in_one_sentence() {
    let dir = tempfile::tempdir().unwrap();
    let data = dir.path().join("data");
    let taken = TcpListener::bind("127.0.0.1:0").unwrap();
    let taken = format!("--clinic-network={}", taken.local_addr().unwrap());
    for (network, why, exit) in [
        (taken.as_str(), "another program uses it", 1),
        ("--clinic-network=10.255.255.254:0", "this computer has no such address", 1),
        ("--clinic-network=203.0.113.5:8461", "address of the Internet", 2),
    ] {
        let output = run(&data, &["serve", "--no-open", "--listen", "127.0.0.1:0", network]);
        assert_eq!(code(&output), exit, "{}", err(&output));
        assert!(err(&output).contains(why), "{}", err(&output));
        one_sentence(&output);
    }
}

#[test]
fn another_name_in_the_settings_than_the_trusted_one_is_asked_about() {
    let dir = tempfile::tempdir().unwrap();
    let data = dir.path().join("data");
    fs::create_dir_all(&data).unwrap();
    Authority::open(&data, STABLE_NAME, Clock::machine_day()).unwrap();
    fs::write(data.join("clinic.toml"), "network_name = \"records.clinic.example\"\n").unwrap();
    // One that others could read is closed, and the log says so.
    clinic::make_private(&data.join("clinic.toml")).unwrap();
    let output =
        run(&data, &["serve", "--no-open", "--listen", "127.0.0.1:0", "--clinic-network=127.0.0.1:0"]);
    assert_eq!(code(&output), 6, "{}", err(&output));
    assert!(err(&output).contains("the clinic's tablets trust it as desk.local"), "{}", err(&output));
    one_sentence(&output);
}
