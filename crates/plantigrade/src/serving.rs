//! Leads the running program from locked records to open ones, and through a change of their key, while its address
//! stays served.

use crate::{
    app::{App, Mode},
    backup_schedule, checks,
    clock::Clock,
    door::{DoorOrder, DoorOrders, RestoreOutcome, RestoreRequest, ServedDoor},
    exit::Failure,
    folder_key, reading_ahead,
    restoring::{self, RestoreWish},
    rewriting::{NewKey, rewrite},
    routes::{self, LockedRecords},
    serve_network::NetworkListener,
    trial_reading::TrialReader,
    web::Shared,
};
use axum_server::Handle;
use pages::encryption::WorkOnRecords;
use std::{
    io::{Error, Result as IoResult},
    net::SocketAddr,
    path::{Path, PathBuf},
    sync::{Arc, Mutex, PoisonError, Weak},
    time::Duration,
};
use tokio::{
    sync::mpsc::{self, UnboundedReceiver},
    task::JoinHandle,
};

/// How long running requests may take before the records are closed.
const CLOSED_WITHIN: Duration = Duration::from_secs(30);
const LOOKED_AT_EVERY: Duration = Duration::from_millis(50);
/// How long requests on the clinic's network may take then.
const NETWORK_ENDS: Duration = Duration::from_secs(5);

/// How the records are opened to be served.
#[derive(Clone)]
pub struct ClinicOpening {
    /// Their folder.
    pub dir: PathBuf,
    /// The clock.
    pub clock: Clock,
    /// How the server was started.
    pub mode: Mode,
    /// Where the clinic's network is served.
    pub network: Option<SocketAddr>,
}

/// The open records, and the socket of the clinic's network.
pub struct OpenClinic {
    /// The records and everything around them.
    pub app: App,
    /// The socket.
    pub network: Option<NetworkListener>,
}

impl ClinicOpening {
    /// Opens them.
    ///
    /// # Errors
    /// When the protocol, the settings, the records or the address of the network cannot be used.
    pub fn open(&self) -> Result<OpenClinic, Failure> {
        let mut app = App::open_to_serve(&self.dir, self.clock, self.mode)?;
        let network = self.network.map(|wanted| NetworkListener::open(wanted, &mut app)).transpose()?;
        Ok(OpenClinic { app, network })
    }
}

/// What is served first.
pub enum ServedFirst {
    /// Open records.
    Open(Box<OpenClinic>),
    /// Locked ones.
    Locked(Arc<LockedRecords>),
}

/// The clinic's network as it is served at present.
#[derive(Clone, Default)]
pub struct ServedNetwork(Arc<Mutex<Option<Handle<SocketAddr>>>>);

impl ServedNetwork {
    fn handle(&self) -> Option<Handle<SocketAddr>> {
        self.0.lock().unwrap_or_else(PoisonError::into_inner).clone()
    }

    /// Ends it; requests that run may take so long.
    pub fn end(&self, within: Duration) {
        if let Some(handle) = self.handle() {
            handle.graceful_shutdown(Some(within));
        }
    }

    /// Waits until its requests have ended, at most so long.
    pub async fn ended(&self, within: Duration) {
        let begun = tokio::time::Instant::now();
        while self.handle().is_some_and(|handle| handle.connection_count() > 0) && begun.elapsed() < within {
            tokio::time::sleep(LOOKED_AT_EVERY).await;
        }
    }

    fn begin(&self, listener: NetworkListener, app: Shared) -> JoinHandle<IoResult<()>> {
        let handle = Handle::new();
        *self.0.lock().unwrap_or_else(PoisonError::into_inner) = Some(handle.clone());
        tokio::spawn(listener.serve(app, handle))
    }
}

/// The records that are served at present, without holding them open.
#[derive(Clone, Default)]
pub struct ServedApp(Arc<Mutex<Weak<App>>>);

impl ServedApp {
    fn set(&self, app: &Shared) {
        *self.0.lock().unwrap_or_else(PoisonError::into_inner) = Arc::downgrade(app);
    }

    /// The records, where they are open.
    #[must_use]
    pub fn now(&self) -> Option<Shared> {
        self.0.lock().unwrap_or_else(PoisonError::into_inner).upgrade()
    }
}

/// What is done with closed records.
enum ClosedWork {
    /// All files are written anew with another key.
    Key(Box<NewKey>),
    /// A backup takes their place.
    Restore(Box<RestoreRequest>),
}

impl ClosedWork {
    const fn shown(&self) -> WorkOnRecords {
        match self {
            Self::Key(_) => WorkOnRecords::Encryption,
            Self::Restore(_) => WorkOnRecords::Restore,
        }
    }

    /// Does it in a folder. Returns what everybody is to be told afterwards.
    fn run(&self, dir: &Path) -> Result<Option<String>, Failure> {
        match self {
            Self::Key(new) => rewrite(dir, new).map(|_| None),
            Self::Restore(order) => {
                let wish = RestoreWish {
                    file: order.file.clone(),
                    to: dir.to_owned(),
                    until: None,
                    move_aside: true,
                    reason: order.reason.clone(),
                    at: order.at,
                };
                let report = restoring::restore(&wish, &order.secret);
                report.map(|report| Some(report.notice())).map_err(|refused| Failure::failed(refused.0))
            }
        }
    }

    fn succeeded(&self, app: &App, notice: Option<String>) {
        if let Some(notice) = notice {
            app.set_restore_outcome(RestoreOutcome::Restored(notice));
        }
    }

    fn failed(&self, app: &App, why: &str) {
        match self {
            Self::Key(_) => app.set_key_trouble(why),
            Self::Restore(_) => app.set_restore_outcome(RestoreOutcome::Failed(why.to_owned())),
        }
    }
}

/// Exchanges what answers.
pub struct Conductor {
    /// How the records are opened; `None` for the invented clinic, which is open from the beginning.
    pub opening: Option<ClinicOpening>,
    /// What answers on this computer.
    pub door: ServedDoor,
    /// The clinic's network.
    pub network: ServedNetwork,
    served: ServedApp,
    clinic_name: String,
    orders: UnboundedReceiver<DoorOrder>,
    sender: DoorOrders,
}

impl Conductor {
    /// A conductor whose door does not lead anywhere yet.
    #[must_use]
    pub fn new(opening: Option<ClinicOpening>, served: ServedApp) -> Self {
        let (sender, orders) = mpsc::unbounded_channel();
        let (door, network) = (ServedDoor::new(axum::Router::new()), ServedNetwork::default());
        Self { opening, door, network, served, clinic_name: String::new(), orders, sender }
    }

    /// Conducts until the server of the clinic's network ends by itself, or the program.
    ///
    /// # Errors
    /// When that server fails, or the program does not know where it is.
    pub async fn conduct(mut self, first: ServedFirst, here: SocketAddr) -> IoResult<()> {
        let mut clinic = match first {
            ServedFirst::Open(clinic) => *clinic,
            ServedFirst::Locked(locked) => match self.unlocked(&locked).await {
                Some(clinic) => clinic,
                None => return Ok(()),
            },
        };
        loop {
            let OpenClinic { mut app, network } = clinic;
            app.mode.here = Some(here);
            app.trial = TrialReader::of_this_program()?;
            app.orders = self.opening.as_ref().map(|_| self.sender.clone());
            self.clinic_name.clone_from(&app.settings().name);
            let app = Arc::new(app);
            self.served.set(&app);
            checks::start(&app);
            backup_schedule::start(&app);
            reading_ahead::start(&app);
            self.door.exchange(routes::router(Arc::clone(&app)));
            let mut serving = network.map(|network| self.network.begin(network, Arc::clone(&app)));
            let work = tokio::select! {
                ended = ended(&mut serving) => return ended,
                work = self.work_to_do() => work,
            };
            let Some(work) = work else { return Ok(()) };
            match self.done_with(app, serving, work).await {
                Some(open) => clinic = open,
                // What answers now stays until the program is ended.
                None => return std::future::pending().await,
            }
        }
    }

    /// Waits until something is to be done with the closed records; from then on nothing else answers.
    async fn work_to_do(&mut self) -> Option<ClosedWork> {
        loop {
            let (work, begun) = match self.orders.recv().await? {
                // They are open already.
                DoorOrder::Open(_, answer) => {
                    let _ = answer.send(Ok(()));
                    continue;
                }
                DoorOrder::Rewrite(new, begun) => (ClosedWork::Key(new), begun),
                DoorOrder::Restore(order, begun) => (ClosedWork::Restore(order), begun),
            };
            self.door.exchange(routes::working_router(&self.clinic_name, work.shown(), None));
            // The person may have closed the page.
            let _ = begun.send(());
            return Some(work);
        }
    }

    /// Serves the page of locked records until they are open.
    async fn unlocked(&mut self, locked: &Arc<LockedRecords>) -> Option<OpenClinic> {
        self.door.exchange(routes::locked_router(Arc::clone(locked), self.sender.clone()));
        let opening = self.opening.clone()?;
        while let Some(order) = self.orders.recv().await {
            let DoorOrder::Open(key, answer) = order else { continue };
            locked.let_go();
            let (opening, dir) = (opening.clone(), opening.dir.clone());
            folder_key::remember(&dir, key);
            match blocking(move || opening.open()).await {
                Ok(clinic) => {
                    // Answered once the door leads to the pages: the browser comes back at once.
                    self.answer_later(answer);
                    return Some(clinic);
                }
                Err(failure) => {
                    locked.hold_again();
                    let _ = answer.send(Err(failure.sentence));
                }
            }
        }
        None
    }

    fn answer_later(&self, answer: tokio::sync::oneshot::Sender<Result<(), String>>) {
        tokio::spawn(async move {
            tokio::time::sleep(LOOKED_AT_EVERY).await;
            let _ = answer.send(Ok(()));
        });
    }

    /// Closes the records, does what is to be done with them and opens them again. `None` where they could not be opened
    /// again: the page then says so until the program is ended.
    async fn done_with(
        &mut self,
        app: Shared,
        serving: Option<JoinHandle<IoResult<()>>>,
        work: ClosedWork,
    ) -> Option<OpenClinic> {
        let opening = self.opening.clone()?;
        self.network.end(NETWORK_ENDS);
        if let Some(serving) = serving
            && let Err(error) = serving.await
        {
            tracing::error!("the clinic's network: {error}");
        }
        if let Err(app) = closed(app).await {
            work.failed(&app, "A request did not end, so the records could not be closed. End the program, start it again, and try once more.");
            self.door.exchange(routes::router(app));
            return None;
        }
        let (dir, work) = (opening.dir.clone(), Arc::new(work));
        let working = Arc::clone(&work);
        let done = blocking(move || working.run(&dir)).await.map_err(|failure| failure.sentence);
        match blocking(move || opening.open()).await {
            Ok(clinic) => {
                match &done {
                    Ok(notice) => work.succeeded(&clinic.app, notice.clone()),
                    Err(trouble) => work.failed(&clinic.app, trouble),
                }
                Some(clinic)
            }
            Err(failure) => {
                let sentence = [done.err().unwrap_or_default(), failure.sentence].join(" ");
                tracing::error!("{sentence}");
                let page = routes::working_router(&self.clinic_name, work.shown(), Some(sentence.trim()));
                self.door.exchange(page);
                None
            }
        }
    }
}

/// Waits for the server of the clinic's network; for ever where there is none.
async fn ended(serving: &mut Option<JoinHandle<IoResult<()>>>) -> IoResult<()> {
    match serving {
        Some(serving) => serving.await.unwrap_or_else(|error| Err(Error::other(error))),
        None => std::future::pending().await,
    }
}

/// Waits until nobody has the records open any more, and closes them.
async fn closed(app: Shared) -> Result<(), Shared> {
    let begun = tokio::time::Instant::now();
    let mut app = app;
    while begun.elapsed() < CLOSED_WITHIN {
        app = match Arc::try_unwrap(app) {
            Ok(app) => {
                // Closing writes what waits.
                if let Err(error) = tokio::task::spawn_blocking(move || drop(app)).await {
                    tracing::error!("the records were closed in disorder: {error}");
                }
                return Ok(());
            }
            Err(app) => app,
        };
        tokio::time::sleep(LOOKED_AT_EVERY).await;
    }
    Err(app)
}

async fn blocking<T: Send + 'static>(
    work: impl FnOnce() -> Result<T, Failure> + Send + 'static,
) -> Result<T, Failure> {
    tokio::task::spawn_blocking(work)
        .await
        .unwrap_or_else(|error| Err(Failure::failed(format!("The program made a mistake: {error}."))))
}
