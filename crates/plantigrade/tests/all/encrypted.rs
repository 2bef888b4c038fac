//! Encryption by a certificate of our own, made here and now.
#![allow(clippy::unwrap_used, clippy::expect_used, clippy::panic)]

use crate::{
    bad_input::{Server, one_sentence},
    commands::{code, err, run},
};
use rustls::pki_types::{CertificateDer, ServerName};
use std::{
    fs,
    io::{Read, Write},
    net::TcpStream,
    path::Path,
    sync::Arc,
};

/// A certificate made here and now, as files, and its DER form.
fn certificate(dir: &Path) -> (String, String, CertificateDer<'static>) {
    let made = rcgen::generate_simple_self_signed(["localhost".to_owned(), "127.0.0.1".to_owned()]).unwrap();
    let (cert, key) = (dir.join("cert.pem"), dir.join("key.pem"));
    fs::write(&cert, made.cert.pem()).unwrap();
    fs::write(&key, made.signing_key.serialize_pem()).unwrap();
    let path = |path: &Path| path.to_str().unwrap().to_owned();
    (path(&cert), path(&key), made.cert.der().clone())
}

fn over_tls(address: &str, cert: CertificateDer<'static>, path: &str) -> String {
    let mut roots = rustls::RootCertStore::empty();
    roots.add(cert).unwrap();
    let provider = Arc::new(rustls::crypto::ring::default_provider());
    let config = rustls::ClientConfig::builder_with_provider(provider)
        .with_safe_default_protocol_versions()
        .unwrap()
        .with_root_certificates(roots)
        .with_no_client_auth();
    let name = ServerName::try_from("localhost").unwrap();
    let tls = rustls::ClientConnection::new(Arc::new(config), name).unwrap();
    let mut stream = rustls::StreamOwned::new(tls, TcpStream::connect(address).unwrap());
    write!(stream, "GET {path} HTTP/1.1\r\nHost: localhost\r\nConnection: close\r\n\r\n").unwrap();
    let mut answer = Vec::new();
    // Some servers end without the closing word of TLS; what came before it counts.
    let _ = stream.read_to_end(&mut answer);
    String::from_utf8_lossy(&answer).into_owned()
}

#[test]
fn with_a_certificate_of_our_own_the_pages_come_encrypted_and_only_so() {
    let dir = tempfile::tempdir().unwrap();
    let (cert, key, der) = certificate(dir.path());
    let data = dir.path().join("data");
    let server =
        Server::start(&["serve", "--data", data.to_str().unwrap(), "--tls-cert", &cert, "--tls-key", &key]);
    assert!(server.told.contains("https://127.0.0.1:"), "{}", server.told);
    let health = over_tls(&server.address, der.clone(), "/health");
    assert!(health.starts_with("HTTP/1.1 200") && health.contains("ok"), "{health}");
    let page = over_tls(&server.address, der, "/sign-in").to_ascii_lowercase();
    assert!(page.contains("strict-transport-security") && page.contains("secure"), "{page}");
    let mut plain = TcpStream::connect(&server.address).unwrap();
    write!(plain, "GET /health HTTP/1.1\r\nHost: localhost\r\nConnection: close\r\n\r\n").unwrap();
    let mut answer = Vec::new();
    let _ = plain.read_to_end(&mut answer);
    assert!(!answer.starts_with(b"HTTP/1.1 200"), "answered without encryption");
}

#[test]
fn a_certificate_that_cannot_be_used_is_said_in_one_sentence() {
    let dir = tempfile::tempdir().unwrap();
    let (cert, key, _) = certificate(dir.path());
    let empty = dir.path().join("empty.pem").to_str().unwrap().to_owned();
    fs::write(&empty, "").unwrap();
    let gone = dir.path().join("gone.pem").to_str().unwrap().to_owned();
    for (cert, key) in [(&cert, &gone), (&gone, &key), (&cert, &empty), (&empty, &key)] {
        let data = dir.path().join("data");
        let args = ["serve", "--no-open", "--listen", "127.0.0.1:0", "--tls-cert", cert, "--tls-key", key];
        let output = run(&data, &args);
        assert_eq!(code(&output), 1, "{}", err(&output));
        one_sentence(&output);
    }
}
