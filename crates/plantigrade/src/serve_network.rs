//! The second door of the server: encrypted, for the devices of the clinic's own network.

use crate::{
    app::App,
    clock::Clock,
    connections::{self, ConnectionLimits},
    exit::Failure,
    network::{ClinicNetwork, FALLBACK_NAME, NetworkPlace, is_private, own_name},
    routes,
    web::Shared,
};
use axum_server::{Handle, accept::Accept, tls_rustls::RustlsAcceptor};
use std::{
    future::{Ready, ready},
    io::{Error, ErrorKind, Result},
    net::{SocketAddr, TcpListener},
    sync::Arc,
    time::Duration,
};
use tokio::net::TcpStream;

/// How often the certificate and the addresses of this computer are looked at.
const LOOKED_AT_EVERY: Duration = Duration::from_secs(60);

/// The socket on which the clinic's devices are served.
pub struct NetworkListener(TcpListener);

impl NetworkListener {
    /// Opens the socket, and the clinic's network in `app`.
    ///
    /// # Errors
    /// When the address or the certificate authority cannot be used.
    pub fn open(wanted: SocketAddr, app: &mut App) -> std::result::Result<Self, Failure> {
        let sentence = |error: Error| {
            let remedy = "Name another address with its port: --clinic-network=ADDRESS:PORT.";
            Failure::not_bound(wanted, &error, remedy)
        };
        let listener = TcpListener::bind(wanted).map_err(sentence)?;
        listener.set_nonblocking(true).map_err(sentence)?;
        let listens = listener.local_addr().map_err(sentence)?;
        let asked = app.settings().network_name.clone();
        let name = asked.clone().or_else(own_name).unwrap_or_else(|| FALLBACK_NAME.to_owned());
        let place = NetworkPlace { name, listens };
        let network = ClinicNetwork::open(&app.dir, place.clone(), &place.addresses(), Clock::machine_day())?;
        if let Some(asked) = asked.filter(|asked| asked != network.authority().name()) {
            return Err(other_name(&asked, network.authority().name()));
        }
        app.network = Some(network);
        Ok(Self(listener))
    }

    /// Answers until it is stopped, and keeps the certificate current meanwhile.
    ///
    /// # Errors
    /// When the server stops by itself.
    pub async fn serve(self, app: Shared, handle: Handle<SocketAddr>) -> Result<()> {
        let Some(network) = &app.network else { return Err(Error::other("there is no certificate")) };
        let acceptor = RustlsAcceptor::new(network.config().clone()).acceptor(PrivatePeers);
        let router = routes::network_router(Arc::clone(&app));
        let limits = ConnectionLimits::default();
        let server = connections::serve(self.0, acceptor, router, limits, handle);
        tokio::select! {
            result = server => result,
            () = keep_current(Arc::clone(&app)) => Ok(()),
        }
    }
}

fn other_name(asked: &str, trusted: &str) -> Failure {
    Failure::settings(format!(
        "clinic.toml names this computer {asked}, but the clinic's tablets trust it as {trusted}: set network_name to {trusted}, or delete the folder clinic-network within the data folder, and every tablet has to trust it anew."
    ))
}

/// Issues a new certificate when that in use ends soon or the addresses of this computer have changed.
async fn keep_current(app: Shared) {
    let mut turns = tokio::time::interval(LOOKED_AT_EVERY);
    loop {
        turns.tick().await;
        let app = Arc::clone(&app);
        let looked = tokio::task::spawn_blocking(move || {
            let Some(network) = &app.network else { return };
            match network.refresh(&network.place().addresses(), Clock::machine_day()) {
                Ok(true) => tracing::info!("a new certificate is in use on the clinic's network"),
                Ok(false) => {}
                Err(error) => tracing::error!("the certificate of the clinic's network: {error}"),
            }
        });
        if let Err(error) = looked.await {
            tracing::error!("the certificate of the clinic's network could not be looked at: {error}");
        }
    }
}

/// Takes connections only from private addresses and from this computer, before a word is exchanged.
#[derive(Clone, Copy)]
struct PrivatePeers;

impl<S> Accept<TcpStream, S> for PrivatePeers {
    type Stream = TcpStream;
    type Service = S;
    type Future = Ready<Result<(TcpStream, S)>>;

    fn accept(&self, stream: TcpStream, service: S) -> Self::Future {
        let own = |peer: SocketAddr| {
            let ip = peer.ip().to_canonical();
            ip.is_loopback() || is_private(ip)
        };
        ready(match stream.peer_addr() {
            Ok(peer) if own(peer) => Ok((stream, service)),
            Ok(_) => Err(Error::from(ErrorKind::PermissionDenied)),
            Err(error) => Err(error),
        })
    }
}
