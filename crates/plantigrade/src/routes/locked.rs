//! What is served while the records are locked: one page, by which they are unlocked, and nothing else.

use super::{assets, host_check};
use crate::{
    auth::{self, PASSPHRASE_HINT, PROGRAM_WORDS, Token, judge_passphrase},
    door::{DoorOrder, DoorOrders},
    exit::Failure,
    headers,
    hosts::DoorNames,
    key_slots,
    settings::Settings,
};
use axum::{
    Form, Router,
    extract::{DefaultBodyLimit, Request, State},
    http::{HeaderMap, StatusCode, Uri, header},
    middleware::{from_fn, from_fn_with_state},
    response::{IntoResponse, Redirect, Response},
    routing::{get, post},
};
use clinic::RecordsLock;
use pages::{
    encryption::{
        self, KEY, LockedView, OTHER_HALF, PASSPHRASE, PASSPHRASE_AGAIN, RECOVERY, STEP, WorkOnRecords,
    },
    fields::Filled,
};
use safekeeping::{KeySlots, RecordsKey, SLOTS_FILE, SafekeepingError, UnlockSecret};
use std::{
    net::IpAddr,
    path::{Path, PathBuf},
    sync::{Arc, Mutex, MutexGuard, PoisonError},
    time::{Duration, Instant},
};
use tokio::sync::{Semaphore, oneshot};

/// Wrong tries before the first wait.
const FREE_TRIES: u32 = 2;
/// The longest wait between two tries.
const LONGEST_WAIT: Duration = Duration::from_secs(60);
/// The largest form.
const FORM_BYTES: usize = 8 << 10;

/// Records that are locked.
pub struct LockedRecords {
    dir: PathBuf,
    settings: Arc<Settings>,
    door: DoorNames,
    secure: bool,
    /// Keeps other programs from the records, as open ones do.
    lock: Mutex<Option<RecordsLock>>,
    troubles: Mutex<Vec<String>>,
    tries: Mutex<WrongTries>,
    /// A key that was unlocked by the recovery code, until a new passphrase is chosen.
    waiting: Mutex<Option<(Token, RecordsKey)>>,
    /// One try at a time: each takes 64 MiB.
    trying: Semaphore,
}

/// Slows down guessing. It forgets when the program ends; what then protects is the time that one try takes.
#[derive(Default)]
struct WrongTries {
    count: u32,
    until: Option<Instant>,
}

impl WrongTries {
    fn wait(&self) -> Option<Duration> {
        self.until?.checked_duration_since(Instant::now()).filter(|left| !left.is_zero())
    }

    fn wrong(&mut self) {
        self.count += 1;
        let doubled = self.count.saturating_sub(FREE_TRIES);
        if doubled > 0 {
            let wait = Duration::from_secs(1 << doubled.min(6)).min(LONGEST_WAIT);
            self.until = Some(Instant::now() + wait);
        }
    }
}

fn locked<T>(of: &Mutex<T>) -> MutexGuard<'_, T> {
    of.lock().unwrap_or_else(PoisonError::into_inner)
}

impl LockedRecords {
    /// The locked records of a folder, which no other program can open meanwhile. `listens` is the address at which
    /// they are served.
    ///
    /// # Errors
    /// When another program has them open, or the settings cannot be read.
    pub fn hold(
        dir: &Path,
        troubles: Vec<String>,
        secure: bool,
        listens: Option<IpAddr>,
    ) -> Result<Self, Failure> {
        Ok(Self {
            dir: dir.to_owned(),
            settings: Arc::new(Settings::read(dir)?),
            door: DoorNames { listens, network_name: None },
            secure,
            lock: Mutex::new(Some(RecordsLock::take(dir)?)),
            troubles: Mutex::new(troubles),
            tries: Mutex::default(),
            waiting: Mutex::default(),
            trying: Semaphore::new(1),
        })
    }

    /// Lets the records be opened.
    pub fn let_go(&self) {
        locked(&self.lock).take();
    }

    /// Takes them again, because they could not be opened.
    pub fn hold_again(&self) {
        *locked(&self.lock) = RecordsLock::take(&self.dir).ok();
    }

    fn slots(&self) -> Result<KeySlots, String> {
        let text = std::fs::read_to_string(self.dir.join(SLOTS_FILE));
        let text = text.map_err(|error| format!("{SLOTS_FILE} cannot be read: {error}."))?;
        KeySlots::from_text(&text).map_err(|error| error.to_string())
    }

    fn view(&self, filled: Filled) -> LockedView {
        LockedView { clinic: self.settings.name.clone(), troubles: locked(&self.troubles).clone(), filled }
    }

    fn page(&self, filled: Filled) -> Response {
        let wrong = !filled.errors.is_empty();
        let status = if wrong { StatusCode::UNPROCESSABLE_ENTITY } else { StatusCode::OK };
        (status, encryption::locked(&self.view(filled))).into_response()
    }
}

type Held = (Arc<LockedRecords>, DoorOrders);

/// The page on every path.
pub fn router(records: Arc<LockedRecords>, orders: DoorOrders) -> Router {
    let secure = records.secure;
    let names = (records.door.clone(), Arc::clone(&records.settings));
    Router::new()
        .route("/health", get(|| async { (StatusCode::SERVICE_UNAVAILABLE, "locked") }))
        .route("/assets/{file}", get(assets::file))
        .route("/unlock-records", post(unlock_records))
        .fallback(any)
        .layer(DefaultBodyLimit::max(FORM_BYTES))
        .layer(from_fn_with_state(names, host_check::check_locked))
        .layer(from_fn(move |request, next| headers::add(secure, request, next)))
        .with_state((records, orders))
}

/// The page while something is done with the closed records, or they cannot be opened after that.
pub fn working_router(clinic: &str, on: WorkOnRecords, trouble: Option<&str>) -> Router {
    let (clinic, trouble) = (clinic.to_owned(), trouble.map(str::to_owned));
    let answer = move || {
        let page = encryption::working(&clinic, on, trouble.as_deref());
        async move { (StatusCode::SERVICE_UNAVAILABLE, page) }
    };
    Router::new()
        .route("/health", get(|| async { (StatusCode::SERVICE_UNAVAILABLE, "working") }))
        .route("/assets/{file}", get(assets::file))
        .fallback(answer)
        .layer(from_fn(move |request, next| headers::add(false, request, next)))
}

async fn any(State((records, _)): State<Held>, request: Request) -> Response {
    if request.method().is_safe() {
        return records.page(Filled::default());
    }
    let text = "The records are locked, so what was sent is not saved. Unlock them, go back with the browser, and send it again.";
    let mut response = records.page(Filled::default().wrong("", text));
    *response.status_mut() = StatusCode::SERVICE_UNAVAILABLE;
    response
}

async fn unlock_records(
    State((records, orders)): State<Held>,
    uri: Uri,
    headers: HeaderMap,
    Form(pairs): Form<Vec<(String, String)>>,
) -> Response {
    let filled: Filled = pairs.into_iter().collect();
    // Over HTTP/2 the host is part of the request's address and no header.
    let named = headers.get(header::HOST).and_then(|value| value.to_str().ok());
    let host = named.or_else(|| uri.authority().map(|host| host.as_str())).unwrap_or_default();
    if !auth::same_origin(host, &headers) {
        return records
            .page(Filled::default().wrong("", "This form was not sent from this page. Try again here."));
    }
    let Ok(_turn) = records.trying.acquire().await else { return records.page(Filled::default()) };
    if filled.given(STEP).is_some() {
        return with_new_passphrase(&records, &orders, &filled).await;
    }
    // The form of the recovery sheet has its errors beside its own field.
    let beside = if filled.values.contains_key(OTHER_HALF) { RECOVERY } else { KEY };
    if let Some(wait) = locked(&records.tries).wait() {
        let text = format!("Too many wrong tries. Wait {} seconds, then try again.", wait.as_secs() + 1);
        return records.page(Filled::default().wrong(beside, text));
    }
    let typed = zeroize::Zeroizing::new(filled.value(KEY).to_owned());
    let other = filled.given(OTHER_HALF).map(str::to_owned);
    let trying = Arc::clone(&records);
    let tried = tokio::task::spawn_blocking(move || {
        let slots = trying.slots()?;
        let secret = UnlockSecret::typed(&typed, other.as_deref());
        let by_code = matches!(secret, Ok(UnlockSecret::Code(_)));
        Ok::<_, String>(secret.and_then(|secret| secret.unlock(&slots)).map(|key| (key, by_code)))
    });
    match tried.await {
        Ok(Ok(Ok((key, false)))) => open(&records, &orders, key).await,
        Ok(Ok(Ok((key, true)))) => {
            let token = Token::new();
            let page = encryption::new_passphrase(
                &records.settings.name,
                token.text(),
                PASSPHRASE_HINT,
                &Filled::default(),
            );
            *locked(&records.waiting) = Some((token, key));
            page.into_response()
        }
        Ok(Ok(Err(error))) => records.page(Filled::default().wrong(beside, wrong(&records, &error))),
        Ok(Err(text)) => records.page(Filled::default().wrong(beside, text)),
        Err(error) => {
            tracing::error!("the records could not be unlocked: {error}");
            records.page(Filled::default().wrong(beside, "The program made a mistake. Try again."))
        }
    }
}

/// Notes a wrong try. A typing error that the check letters find is none: it tells nothing about the code.
fn wrong(records: &LockedRecords, error: &SafekeepingError) -> String {
    if matches!(error, SafekeepingError::WrongPassphrase | SafekeepingError::WrongCode) {
        locked(&records.tries).wrong();
    }
    error.to_string()
}

/// Saves the passphrase that is chosen after a recovery code.
async fn with_new_passphrase(records: &Arc<LockedRecords>, orders: &DoorOrders, filled: &Filled) -> Response {
    let step = Token::read(filled.value(STEP));
    let key = {
        let waiting = locked(&records.waiting);
        let fits =
            |(token, _): &&(Token, RecordsKey)| step.as_ref().is_some_and(|step| step.hash() == token.hash());
        waiting.as_ref().filter(fits).map(|(_, key)| key.clone())
    };
    let Some(key) = key else {
        return records.page(Filled::default().wrong(KEY, "This page is too old. Type the code again."));
    };
    let (first, second) = (filled.value(PASSPHRASE), filled.value(PASSPHRASE_AGAIN));
    if let Err(error) = judge_passphrase(&[&records.settings.name, PROGRAM_WORDS], first, second) {
        let field = if error == auth::PassphraseError::Differ { PASSPHRASE_AGAIN } else { PASSPHRASE };
        let shown = Filled::default().wrong(field, error.to_string());
        let page =
            encryption::new_passphrase(&records.settings.name, filled.value(STEP), PASSPHRASE_HINT, &shown);
        return (StatusCode::UNPROCESSABLE_ENTITY, page).into_response();
    }
    let (saving, passphrase, new) = (Arc::clone(records), first.to_owned(), key.clone());
    let saved = tokio::task::spawn_blocking(move || {
        let mut slots = saving.slots()?;
        slots.set_passphrase(&new, &passphrase).map_err(|error| error.to_string())?;
        key_slots::save(&saving.dir, &slots).map_err(|failure| failure.sentence)
    });
    match saved.await {
        Ok(Ok(())) => {
            locked(&records.waiting).take();
            open(records, orders, key).await
        }
        Ok(Err(text)) => records.page(Filled::default().wrong(KEY, text)),
        Err(error) => {
            tracing::error!("the passphrase could not be saved: {error}");
            records.page(Filled::default().wrong(KEY, "The program made a mistake. Try again."))
        }
    }
}

/// Has the records opened, and leads to the first page.
async fn open(records: &LockedRecords, orders: &DoorOrders, key: RecordsKey) -> Response {
    let (answer, answered) = oneshot::channel();
    let asked = orders.send(DoorOrder::Open(key, answer)).is_ok();
    match answered.await {
        Ok(Ok(())) if asked => Redirect::to("/").into_response(),
        Ok(Err(sentence)) => {
            *locked(&records.troubles) = vec![sentence];
            let mut page = records.page(Filled::default());
            *page.status_mut() = StatusCode::INTERNAL_SERVER_ERROR;
            page
        }
        _ => records.page(Filled::default().wrong(KEY, "The program is ending.")),
    }
}
