//! The server: by default for this machine only, and beside it for the devices of the clinic's network if that is
//! asked for. It runs until it is stopped.

use crate::{
    app::{App, Mode},
    auth::{Token, hash_password},
    cli::{DemoArgs, ListenArgs, ServeArgs},
    clock::Clock,
    connections::{self, ConnectionLimits},
    demo::{
        self,
        photographs::{DrawnPhotograph, PlantedPhotographs},
        videos::PlantedVideos,
    },
    door::ServedDoor,
    exit::{Exit, Failure},
    kept_file::write_whole,
    routes::{DEMO_ACCOUNT, DEMO_LINK, LockedRecords, START_LINK},
    service_notice,
    serving::{ClinicOpening, Conductor, OpenClinic, ServedApp, ServedFirst, ServedNetwork},
    settings::{self, Settings},
    stock_file::STOCK_FILE,
    stopping::{self, stop_signal},
    unlock::{self, AtStart},
};
use axum_server::{
    Handle,
    accept::DefaultAcceptor,
    tls_rustls::{RustlsAcceptor, RustlsConfig},
};
use clinic::{Account, CAN_ENCRYPT, Link, NewPicture, NewVideo};
use photographs::PreparedPhotograph;
use record::{Entry, PictureHash, Timestamp, UserId};
use std::{
    io::{ErrorKind, Write},
    net::{IpAddr, SocketAddr, TcpListener},
    path::{Path, PathBuf},
    sync::{Arc, mpsc},
    time::Duration,
};
use tokio::sync::oneshot;

/// How long the link for the first account is valid.
const START_LINK_SECONDS: i64 = 24 * 3600;
/// How long the program waits for the browser before it ends.
const OPENED_WITHIN: Duration = Duration::from_secs(3);
/// How long running requests may take when the server stops.
const FINISH_SECONDS: u64 = 10;
/// The file with the address of the running server, used when the program is started a second time.
const ADDRESS_FILE: &str = "address.txt";

/// `serve`.
///
/// # Errors
/// When the address, the protocol, the settings or the records cannot be used.
pub fn serve(args: &ServeArgs) -> Result<(), Failure> {
    let (wanted, network) = (args.listen.address()?, args.network.address()?);
    let dir = args.data.dir()?;
    let clock = Clock::new(args.data.today);
    let opening = ClinicOpening { dir: dir.clone(), clock, mode: mode(&args.listen, false), network };
    let first = match served_first(&opening, args.data.key_file.as_deref(), wanted.ip()) {
        Err(failure) if failure.exit == Exit::InUse => {
            return Err(already_running(&dir, &args.listen, failure));
        }
        other => other?,
    };
    let listener = Listener::open(wanted, &args.listen)?;
    let path = match &first {
        ServedFirst::Open(clinic) => first_path(&clinic.app)?,
        ServedFirst::Locked(_) => "/".to_owned(),
    };
    let address_file = AddressFile::write(dir.join(ADDRESS_FILE), &listener.url("/"));
    say(&format!("Records: {}", dir.display()));
    if let ServedFirst::Open(clinic) = &first {
        clinic.app.standing_notices().iter().for_each(|notice| say(&notice.text));
    }
    let result = listener.answer(first, Some(opening), &path, !args.listen.no_open);
    drop(address_file);
    result
}

/// The records, open if they can be, otherwise locked.
fn served_first(
    opening: &ClinicOpening,
    key_file: Option<&Path>,
    listens: IpAddr,
) -> Result<ServedFirst, Failure> {
    let troubles = match unlock::at_start(&opening.dir, key_file)? {
        AtStart::Plain | AtStart::Unlocked => return Ok(ServedFirst::Open(Box::new(opening.open()?))),
        AtStart::Locked(troubles) => troubles,
    };
    troubles.iter().for_each(|trouble| say(trouble));
    let locked = LockedRecords::hold(&opening.dir, troubles, opening.mode.secure, Some(listens))?;
    Ok(ServedFirst::Locked(Arc::new(locked)))
}

/// `demo`: an invented clinic in a temporary folder.
///
/// # Errors
/// When the address or the folder cannot be used.
pub fn serve_demo(args: &DemoArgs) -> Result<(), Failure> {
    let wanted = args.listen.address()?;
    let clock = Clock::invented(args.today);
    let folder = tempfile::Builder::new().prefix("plantigrade-demo-").tempdir().map_err(|error| {
        Failure::failed(format!("A folder for the invented clinic could not be made: {error}."))
    })?;
    let mut app =
        demo_app(folder.path(), args.children as usize, args.seed, clock, mode(&args.listen, true))?;
    let path = demo_path(&app)?;
    let listener = Listener::open(wanted, &args.listen)?;
    app.mode.here = Some(listener.address);
    if !CAN_ENCRYPT {
        say("This build of the program cannot encrypt: records on this computer are not encrypted.");
    }
    say(&format!("An invented clinic with {} children; nothing is saved.", args.children));
    say(&format!("Sign in as {} with the password {}.", DEMO_ACCOUNT.0, DEMO_ACCOUNT.1));
    let others: Vec<String> =
        demo::people().skip(1).map(|(name, _, roles, _)| format!("{name} ({})", roles.words())).collect();
    say(&format!("Others, with the same password: {}.", others.join(", ")));
    let first = ServedFirst::Open(Box::new(OpenClinic { app, network: None }));
    let result = listener.answer(first, None, &path, !args.listen.no_open);
    drop(folder);
    result
}

/// The invented clinic, opened in a folder.
///
/// # Errors
/// When the folder cannot be used.
pub fn demo_app(dir: &Path, children: usize, seed: u64, clock: Clock, mode: Mode) -> Result<App, Failure> {
    let app = App::open(dir, clock, mode)?;
    let named = Settings { name: demo::CLINIC.to_owned(), ..Settings::default() };
    let text = named.written_over("").map_err(Failure::failed)?;
    write_whole(&dir.join(settings::FILE_NAME), &text)
        .map_err(|error| Failure::failed(format!("The invented settings could not be written: {error}.")))?;
    app.change_settings(named).map_err(|_| Failure::failed("The invented clinic could not be named."))?;
    for (number, part) in demo::clinic_in_parts(children, seed, clock.today()).enumerate() {
        let photographs = (number == 0).then(|| demo_photographs(&part, clock)).flatten();
        let scored = (number == 0).then(|| demo_scored_foot(&part, clock)).flatten();
        let videos = (number == 0).then(|| demo_videos(&part, clock)).flatten();
        app.records.import(part, &mut |_| {})?;
        if let Some(planted) = photographs {
            plant_photographs(&app, planted)?;
        }
        if let Some((entries, picture)) = scored {
            app.pictures().keep(app.clock.now(), &[new_picture(picture.prepared)])?;
            app.records.append(entries)?;
        }
        if let Some(planted) = videos {
            plant_videos(&app, planted)?;
        }
    }
    write_whole(&dir.join(STOCK_FILE), &demo::stock().to_toml()).map_err(|error| {
        Failure::failed(format!("The invented stock list could not be written: {error}."))
    })?;
    let password_hash = hash_password(DEMO_ACCOUNT.1).map_err(|error| Failure::failed(error.to_string()))?;
    for (name, display_name, roles, id) in demo::people() {
        app.records.accounts().create_account(Account {
            id: UserId::new(id),
            name: name.to_owned(),
            display_name: display_name.to_owned(),
            password_hash: password_hash.clone(),
            created_at: clock.now(),
            disabled: false,
            roles,
            one_time_until: None,
            last_sign_in: None,
        })?;
    }
    Ok(app)
}

fn demo_photographs(part: &[Entry], clock: Clock) -> Option<PlantedPhotographs> {
    demo::photographs::planted(part, clock.today(), hash_of)
}

fn demo_scored_foot(part: &[Entry], clock: Clock) -> Option<(Vec<Entry>, DrawnPhotograph)> {
    demo::photographs::of_scored_foot(part, clock.today(), hash_of)
}

fn hash_of(bytes: &[u8]) -> PictureHash {
    NewPicture { picture: bytes.to_vec(), thumbnail: Vec::new() }.hash()
}

fn new_picture(made: PreparedPhotograph) -> NewPicture {
    NewPicture { picture: made.jpeg, thumbnail: made.thumbnail }
}

fn demo_videos(part: &[Entry], clock: Clock) -> Option<PlantedVideos> {
    let hash = |bytes: &[u8]| NewVideo { bytes: bytes.to_vec(), format: String::new() }.hash();
    demo::videos::planted(part, clock.today(), hash)
}

fn plant_videos(app: &App, planted: PlantedVideos) -> Result<(), Failure> {
    let PlantedVideos { child, entries, video } = planted;
    app.hold_video((demo::videos::WAITING_VIDEO, child, demo::person(0)), video)?;
    app.records.append(entries)?;
    Ok(())
}

fn plant_photographs(app: &App, planted: PlantedPhotographs) -> Result<(), Failure> {
    let PlantedPhotographs { child, entries, kept, waiting } = planted;
    let kept: Vec<NewPicture> = kept.into_iter().map(|one| new_picture(one.prepared)).collect();
    app.pictures().keep(app.clock.now(), &kept)?;
    let upload = (demo::photographs::WAITING_UPLOAD, child, demo::person(0));
    app.hold_pictures(upload, &[crate::photograph_uploads::taken(1, waiting)])?;
    app.records.append(entries)?;
    Ok(())
}

fn mode(listen: &ListenArgs, invented: bool) -> Mode {
    let behind_proxy = listen.behind_proxy;
    Mode { secure: behind_proxy || listen.tls_cert.is_some(), behind_proxy, invented, here: None }
}

/// The first page: creating the first account if there is none, otherwise the sign-in.
///
/// # Errors
/// When the records cannot be read or written.
pub fn first_path(app: &App) -> Result<String, Failure> {
    if app.records.accounts().all()?.is_empty() {
        link(app, START_LINK, "/start/", START_LINK_SECONDS)
    } else {
        Ok("/".to_owned())
    }
}

/// A one-time link that signs in to the invented clinic.
///
/// # Errors
/// When the records cannot be written.
pub fn demo_path(app: &App) -> Result<String, Failure> {
    link(app, DEMO_LINK, "/demo/", START_LINK_SECONDS)
}

fn link(app: &App, purpose: &str, path: &str, seconds: i64) -> Result<String, Failure> {
    let (token, now) = (Token::new(), app.clock.now());
    let expires = Timestamp::from_seconds(now.seconds() + seconds);
    app.records.accounts().add_link(Link {
        token_hash: token.hash(),
        purpose: purpose.to_owned(),
        user: None,
        created_at: now,
        expires,
    })?;
    Ok(format!("{path}{}", token.text()))
}

/// The program was started a second time, as by a second double click: shows the address of the running one
/// and opens it.
fn already_running(dir: &Path, listen: &ListenArgs, failure: Failure) -> Failure {
    let Ok(url) = std::fs::read_to_string(dir.join(ADDRESS_FILE)) else { return failure };
    let url = url.trim();
    if !url.starts_with("http") {
        return failure;
    }
    if let Some(opened) = Some(url).filter(|_| !listen.no_open).and_then(open_browser) {
        let _ = opened.recv_timeout(OPENED_WITHIN);
    }
    Failure { sentence: format!("{} It is at {url}", failure.sentence), ..failure }
}

/// The file with the address of the running server; removed when the server stops.
struct AddressFile(PathBuf);

impl AddressFile {
    fn write(path: PathBuf, url: &str) -> Self {
        // Only a convenience for a second start, so a failure is no reason to stop.
        let _ = clinic::create_private(&path).and_then(|mut file| file.write_all(url.as_bytes()));
        Self(path)
    }
}

impl Drop for AddressFile {
    fn drop(&mut self) {
        let _ = std::fs::remove_file(&self.0);
    }
}

/// The socket on which the server listens.
struct Listener {
    listener: TcpListener,
    address: SocketAddr,
    tls: Option<RustlsConfig>,
    behind_proxy: bool,
}

impl Listener {
    fn open(wanted: SocketAddr, listen: &ListenArgs) -> Result<Self, Failure> {
        let bound = TcpListener::bind(wanted);
        let listener = match bound {
            // The port was not chosen by the user, so any other will do.
            Err(error) if error.kind() == ErrorKind::AddrInUse && listen.listen.is_none() => {
                TcpListener::bind((wanted.ip(), 0))
            }
            other => other,
        };
        let sentence = |error: std::io::Error| {
            let remedy =
                format!("Choose another port, for instance --listen {}:0 for any free one.", wanted.ip());
            Failure::not_bound(wanted, &error, &remedy)
        };
        let listener = listener.map_err(sentence)?;
        listener.set_nonblocking(true).map_err(sentence)?;
        let address = listener.local_addr().map_err(sentence)?;
        let tls = match (&listen.tls_cert, &listen.tls_key) {
            (Some(cert), Some(key)) => Some(certificate(cert, key)?),
            _ => None,
        };
        Ok(Self { listener, address, tls, behind_proxy: listen.behind_proxy })
    }

    fn url(&self, path: &str) -> String {
        let scheme = if self.tls.is_some() { "https" } else { "http" };
        format!("{scheme}://{}{path}", self.address)
    }

    fn answer(
        self,
        first: ServedFirst,
        opening: Option<ClinicOpening>,
        path: &str,
        open: bool,
    ) -> Result<(), Failure> {
        let url = self.url(path);
        say(match &first {
            ServedFirst::Locked(_) => "The records are encrypted and locked. Unlock them in the browser:",
            ServedFirst::Open(_) if path.starts_with("/start/") => "First start. Create your account at:",
            ServedFirst::Open(_) => "Open in the browser:",
        });
        say(&format!("  {url}"));
        let app = match &first {
            ServedFirst::Open(clinic) => Some(&clinic.app),
            ServedFirst::Locked(_) => None,
        };
        if let Some(network) = app.and_then(|app| app.network.as_ref()) {
            say("Tablets and phones of the clinic, once they are enrolled on the page “Devices”:");
            network.urls().iter().for_each(|url| say(&format!("  {url}")));
        }
        say("Leave this window open while you work. Ctrl-C ends the program.");
        if open {
            open_browser(&url);
        }
        let broken = |error: std::io::Error| Failure::failed(format!("The server stopped: {error}."));
        let runtime = tokio::runtime::Builder::new_multi_thread().enable_all().build().map_err(broken)?;
        let served = ServedApp::default();
        let result = runtime.block_on(self.run(first, opening, served.clone())).map_err(broken);
        // With the last request the records are closed.
        runtime.shutdown_timeout(Duration::from_secs(FINISH_SECONDS));
        stopping::closed(&served);
        tracing::info!("stopped");
        result
    }

    async fn run(
        self,
        first: ServedFirst,
        opening: Option<ClinicOpening>,
        served: ServedApp,
    ) -> std::io::Result<()> {
        let (here, address) = (Handle::new(), self.address);
        let conductor = Conductor::new(opening, served.clone());
        let (door, network) = (conductor.door.clone(), conductor.network.clone());
        tokio::spawn(stop_on_signal(stop_signal(), here.clone(), network.clone()));
        tokio::spawn(service_notice::keep_alive(served));
        // Whoever connects from here on is answered.
        service_notice::tell("READY=1");
        tracing::info!(version = env!("CARGO_PKG_VERSION"), "ready");
        // In this order: what answers is there before the first request is.
        let result = tokio::select! {
            biased;
            result = conductor.conduct(first, address) => result,
            result = self.serve(&door, here) => result,
        };
        let within = Duration::from_secs(FINISH_SECONDS);
        network.end(within);
        network.ended(within).await;
        result
    }

    async fn serve(self, door: &ServedDoor, handle: Handle<SocketAddr>) -> std::io::Result<()> {
        let usual = ConnectionLimits::default();
        // All visitors behind the proxy have its address.
        let per_address = if self.behind_proxy { usual.in_all } else { usual.per_address };
        let (limits, router) = (ConnectionLimits { per_address, ..usual }, door.router());
        match self.tls {
            Some(tls) => {
                let acceptor = RustlsAcceptor::new(tls);
                connections::serve(self.listener, acceptor, router, limits, handle).await
            }
            None => connections::serve(self.listener, DefaultAcceptor::new(), router, limits, handle).await,
        }
    }
}

fn certificate(cert: &Path, key: &Path) -> Result<RustlsConfig, Failure> {
    // Fails only if one is installed already, which is fine.
    let _ = rustls::crypto::ring::default_provider().install_default();
    let read = |path: &Path| {
        std::fs::read(path)
            .map_err(|error| Failure::failed(format!("{} cannot be read: {error}.", path.display())))
    };
    let (chain, secret) = (read(cert)?, read(key)?);
    let wrong = |error: std::io::Error| {
        Failure::failed(format!("The certificate or its key cannot be used: {error}."))
    };
    let runtime = tokio::runtime::Builder::new_current_thread().build().map_err(wrong)?;
    runtime.block_on(RustlsConfig::from_pem(chain, secret)).map_err(wrong)
}

async fn stop_on_signal(stopped: oneshot::Receiver<()>, here: Handle<SocketAddr>, network: ServedNetwork) {
    // Where no signal can be waited for none ever comes.
    if stopped.await.is_ok() {
        let within = Duration::from_secs(FINISH_SECONDS);
        network.end(within);
        here.graceful_shutdown(Some(within));
    }
}

/// Prints a line for the user. If nobody reads it, that is no reason to stop.
fn say(text: &str) {
    let mut out = std::io::stdout().lock();
    let _ = writeln!(out, "{text}").and_then(|()| out.flush());
}

/// Opens the page in the browser if there is a desktop; the address is printed in any case. The server does not
/// wait for the browser: on some desktops the call returns only when it is closed.
fn open_browser(url: &str) -> Option<mpsc::Receiver<()>> {
    let set = |name: &str| std::env::var_os(name).is_some_and(|value| !value.is_empty());
    if !has_desktop(std::env::consts::OS, set) {
        return None;
    }
    let url = url.to_owned();
    let (sender, opened) = mpsc::channel();
    std::thread::spawn(move || {
        if let Err(error) = opener::open_browser(&url) {
            tracing::info!("the browser could not be opened: {error}");
        }
        // The receiver may be gone.
        let _ = sender.send(());
    });
    Some(opened)
}

/// Whether the user has a desktop. A user who is connected by a remote shell has none, even if the machine has a
/// screen.
fn has_desktop(os: &str, set: impl Fn(&str) -> bool) -> bool {
    if set("SSH_CONNECTION") || set("SSH_TTY") {
        return false;
    }
    matches!(os, "windows" | "macos") || set("DISPLAY") || set("WAYLAND_DISPLAY")
}

#[cfg(test)]
mod tests {
    use super::has_desktop;

    #[test]
    fn the_browser_is_opened_only_where_there_is_a_desktop() {
        let on = |os: &str, names: &[&str]| has_desktop(os, |name| names.contains(&name));
        assert!(on("windows", &[]) && on("macos", &[]));
        assert!(
            on("linux", &["DISPLAY"]) && on("linux", &["WAYLAND_DISPLAY"]) && on("freebsd", &["DISPLAY"])
        );
        assert!(!on("linux", &[]), "a server without a screen");
        assert!(
            !on("linux", &["DISPLAY", "SSH_CONNECTION"]) && !on("macos", &["SSH_TTY"]),
            "over the network"
        );
    }
}
