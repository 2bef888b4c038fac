//! A clinic in a temporary folder, and a browser that keeps cookies and reads pages.
#![allow(clippy::unwrap_used, clippy::expect_used, clippy::panic)]

use axum::{
    Router,
    body::Body,
    extract::ConnectInfo,
    http::{HeaderMap, Request, StatusCode, header},
};
use clinic::Account;
use plantigrade::{
    app::{App, Mode},
    auth,
    clock::Clock,
    routes,
    trial_reading::TrialReader,
};
use record::{ChildId, Day, Entry, Roles, UserId};
use scraper::{Html, Selector};
use std::{
    collections::BTreeMap,
    net::SocketAddr,
    sync::{
        Arc,
        atomic::{AtomicU8, Ordering},
    },
};
use tempfile::TempDir;
use tower::ServiceExt;

pub const TODAY: &str = "2025-03-04"; // a Tuesday
pub const NAME: &str = "ida";
pub const PASSWORD: &str = "plaster and patience";

pub fn day(text: &str) -> Day {
    text.parse().unwrap()
}

/// The clinic. Its folder goes with it.
pub struct Clinic {
    pub app: Arc<App>,
    pub router: Router,
    pub dir: TempDir,
}

impl Clinic {
    /// Without any account.
    pub fn new() -> Self {
        Self::on(TODAY)
    }

    pub fn on(today: &str) -> Self {
        Self::with_mode(today, Mode::default())
    }

    /// One that shows itself as invented.
    pub fn invented() -> Self {
        Self::with_mode(TODAY, Mode { invented: true, ..Mode::default() })
    }

    fn with_mode(today: &str, mode: Mode) -> Self {
        let dir = tempfile::tempdir().unwrap();
        let clock = Clock::new(Some(day(today)));
        let app = Arc::new(App::open(dir.path(), clock, mode).unwrap());
        Self { router: routes::router(app.clone()), app, dir }
    }

    /// The same after the program was started again in the same folder.
    pub fn started_again(self) -> Self {
        let clock = self.app.clock;
        self.started_again_with(clock)
    }

    /// The same on another day.
    pub fn started_again_on(self, today: &str) -> Self {
        self.started_again_with(Clock::new(Some(day(today))))
    }

    fn started_again_with(self, clock: Clock) -> Self {
        let Self { app, router, dir } = self;
        drop((app, router));
        // Work begun by the last request may hold the records a moment longer than the answer took.
        let app = (0..100).find_map(|_| {
            let app = App::open(dir.path(), clock, Mode::default());
            app.inspect_err(|_| std::thread::sleep(std::time::Duration::from_millis(50))).ok()
        });
        let app = Arc::new(app.expect("the records are free again"));
        Self { router: routes::router(app.clone()), app, dir }
    }

    /// With one account, and a browser signed in to it; files are read on trial first.
    pub async fn signed_in_with(trial: TrialReader) -> (Self, Browser) {
        let dir = tempfile::tempdir().unwrap();
        let mut app = App::open(dir.path(), Clock::new(Some(day(TODAY))), Mode::default()).unwrap();
        app.trial = trial;
        let app = Arc::new(app);
        let clinic = Self { router: routes::router(app.clone()), app, dir };
        clinic.account(NAME, PASSWORD);
        let browser = clinic.browser_signed_in().await;
        (clinic, browser)
    }

    /// With one account, and a browser signed in to it.
    pub async fn signed_in() -> (Self, Browser) {
        let clinic = Self::new();
        clinic.account(NAME, PASSWORD);
        let browser = clinic.browser_signed_in().await;
        (clinic, browser)
    }

    pub fn account(&self, name: &str, password: &str) -> UserId {
        let id = UserId::new(uuid::Uuid::now_v7());
        let account = Account {
            id,
            name: name.into(),
            display_name: format!("{name} of the clinic"),
            password_hash: auth::hash_password(password).unwrap(),
            created_at: self.app.clock.now(),
            disabled: false,
            roles: Roles::FIRST,
            one_time_until: None,
            last_sign_in: None,
        };
        self.app.records.accounts().create_account(account).unwrap();
        id
    }

    pub async fn browser_signed_in(&self) -> Browser {
        let mut browser = Browser::new(self.router.clone());
        let page = browser.sign_in(NAME, PASSWORD).await;
        assert_eq!(page.status, StatusCode::SEE_OTHER, "{}", page.text);
        browser
    }

    /// A child registered through the page.
    pub async fn child(&self, browser: &mut Browser, fields: &[(&str, &str)]) -> ChildId {
        let page = browser.send("/register", "/register", fields).await;
        assert_eq!(page.status, StatusCode::SEE_OTHER, "{}", page.text);
        let place = page.location().to_owned();
        place.trim_start_matches("/child/").split('?').next().unwrap().parse().unwrap()
    }

    pub fn entries(&self, child: ChildId) -> Vec<Entry> {
        self.app.records.entries(child).unwrap()
    }
}

pub const AMINA: &[(&str, &str)] = &[
    ("family_name", "Vesterholt"),
    ("given_name", "Amina"),
    ("number", "CF-101"),
    ("born", "2025-02-18"),
    ("sides", "both"),
    ("nature", "idiopathic"),
];

/// An answer.
pub struct Page {
    pub status: StatusCode,
    pub headers: HeaderMap,
    pub text: String,
    /// What was sent, for files that are no text.
    pub bytes: Vec<u8>,
}

impl Page {
    pub fn location(&self) -> &str {
        self.headers.get(header::LOCATION).map_or("", |value| value.to_str().unwrap())
    }

    pub fn html(&self) -> Html {
        Html::parse_document(&self.text)
    }

    /// The text of everything a selector finds, joined.
    pub fn shown(&self, selector: &str) -> String {
        let html = self.html();
        let selector = Selector::parse(selector).unwrap();
        let found = html.select(&selector);
        found.map(|element| element.text().collect::<String>()).collect::<Vec<_>>().join("\n")
    }

    pub fn count(&self, selector: &str) -> usize {
        self.html().select(&Selector::parse(selector).unwrap()).count()
    }

    /// Every value of a form as a browser would send it, by the form's address.
    pub fn form(&self, action: &str) -> BTreeMap<String, String> {
        let html = self.html();
        let forms = Selector::parse("form").unwrap();
        let form = html
            .select(&forms)
            .find(|form| form.value().attr("action") == Some(action))
            .unwrap_or_else(|| panic!("there is no form for {action} on the page: {}", self.text));
        let mut values = BTreeMap::new();
        for field in form.select(&Selector::parse("input, textarea, select").unwrap()) {
            let element = field.value();
            let Some(name) = element.attr("name") else { continue };
            let value = match (element.name(), element.attr("type")) {
                ("input", Some("radio" | "checkbox")) if element.attr("checked").is_none() => continue,
                ("input", _) => element.attr("value").unwrap_or_default().to_owned(),
                ("textarea", _) => field.text().collect(),
                _ => {
                    let options = Selector::parse("option[selected]").unwrap();
                    let chosen = field.select(&options).next();
                    chosen.and_then(|option| option.value().attr("value")).unwrap_or_default().to_owned()
                }
            };
            values.insert(name.to_owned(), value);
        }
        values
    }
}

/// A browser: it stores cookies, and fills in forms as they are.
#[derive(Clone)]
pub struct Browser {
    pub router: Router,
    pub cookies: BTreeMap<String, String>,
    /// The address from which it asks, if the server is to know one.
    from: Option<SocketAddr>,
}

impl Browser {
    pub fn new(router: Router) -> Self {
        Self { router, cookies: BTreeMap::new(), from: None }
    }

    /// One at an address of its own, so that its attempts are counted by themselves.
    pub fn elsewhere(router: Router) -> Self {
        static LAST: AtomicU8 = AtomicU8::new(1);
        let last = LAST.fetch_add(1, Ordering::Relaxed);
        Self { from: Some(SocketAddr::from(([192, 0, 2, last], 40_000))), ..Self::new(router) }
    }

    /// Opens another server's pages, with the cookies that it has.
    pub fn turn_to(&mut self, router: Router) {
        self.router = router;
    }

    pub fn cookie(&self, name: &str) -> Option<&str> {
        self.cookies.get(name).map(String::as_str)
    }

    pub fn set_cookie(&mut self, name: &str, value: &str) {
        self.cookies.insert(name.into(), value.into());
    }

    pub async fn request(&mut self, mut request: Request<Body>) -> Page {
        let cookies: Vec<String> =
            self.cookies.iter().map(|(name, value)| format!("{name}={value}")).collect();
        if !cookies.is_empty() {
            request.headers_mut().insert(header::COOKIE, cookies.join("; ").parse().unwrap());
        }
        // One that the test names stays.
        request.headers_mut().entry(header::HOST).or_insert("localhost".parse().unwrap());
        if let Some(from) = self.from {
            request.extensions_mut().insert(ConnectInfo(from));
        }
        let response = self.router.clone().oneshot(request).await.unwrap();
        let (parts, body) = response.into_parts();
        for value in parts.headers.get_all(header::SET_COOKIE) {
            let text = value.to_str().unwrap();
            let (name, rest) = text.split_once('=').unwrap();
            let value = rest.split(';').next().unwrap();
            if text.contains("Max-Age=0") || value.is_empty() {
                self.cookies.remove(name);
            } else {
                self.cookies.insert(name.into(), value.into());
            }
        }
        let bytes = axum::body::to_bytes(body, usize::MAX).await.unwrap();
        Page {
            status: parts.status,
            headers: parts.headers,
            text: String::from_utf8_lossy(&bytes).into_owned(),
            bytes: bytes.to_vec(),
        }
    }

    pub async fn get(&mut self, path: &str) -> Page {
        self.request(Request::get(path).body(Body::empty()).unwrap()).await
    }

    /// Opens a page as a person does: what stands behind `q=` in the path is typed into the search of that page and
    /// sent, and what stands behind `part=` is asked for as the script does while somebody types.
    pub async fn open(&mut self, path: &str) -> Page {
        let (page, query) = path.split_once('?').unwrap_or((path, ""));
        let pairs: Vec<(&str, &str)> = query.split('&').filter_map(|pair| pair.split_once('=')).collect();
        let Some((_, typed)) = pairs.iter().find(|(name, _)| *name == "q") else {
            return self.get(path).await;
        };
        let rest: Vec<String> = pairs
            .iter()
            .filter(|(name, _)| !["q", "part"].contains(name))
            .map(|(name, value)| format!("{name}={value}"))
            .collect();
        let page = if rest.is_empty() { page.to_owned() } else { format!("{page}?{}", rest.join("&")) };
        let shown = self.get(&page).await;
        if shown.status != StatusCode::OK {
            return shown;
        }
        let csrf = shown.form("/find")["csrf"].clone();
        let part = pairs.iter().find(|(name, _)| *name == "part").map_or("", |(_, part)| part);
        let fields =
            [("csrf", csrf.as_str()), ("page", &page), ("q", &typed.replace('+', " ")), ("part", part)];
        let found = self.post("/find", &fields).await;
        if found.status == StatusCode::SEE_OTHER { self.get(found.location()).await } else { found }
    }

    /// Sends a form as it is, without requesting the page first.
    pub async fn post(&mut self, path: &str, fields: &[(&str, &str)]) -> Page {
        let request = Request::post(path)
            .header(header::CONTENT_TYPE, "application/x-www-form-urlencoded")
            .header("sec-fetch-site", "same-origin")
            .body(Body::from(encode(fields.iter().map(|(name, value)| (*name, *value)))))
            .unwrap();
        self.request(request).await
    }

    /// Opens a page, fills in its form and sends it, with everything that stood in the form already.
    pub async fn send(&mut self, page: &str, action: &str, fields: &[(&str, &str)]) -> Page {
        let shown = self.get(page).await;
        assert_eq!(shown.status, StatusCode::OK, "{page}: {}", shown.text);
        let mut values = shown.form(action);
        for (name, value) in fields {
            values.insert((*name).to_owned(), (*value).to_owned());
        }
        let pairs: Vec<(&str, &str)> =
            values.iter().map(|(name, value)| (name.as_str(), value.as_str())).collect();
        self.post(action, &pairs).await
    }

    pub async fn sign_in(&mut self, name: &str, password: &str) -> Page {
        self.send("/sign-in", "/sign-in", &[("sign_in_name", name), ("password", password)]).await
    }
}

pub fn encode<'a>(fields: impl Iterator<Item = (&'a str, &'a str)>) -> String {
    let plain = |byte: u8| byte.is_ascii_alphanumeric() || b"-_.".contains(&byte);
    let escape = |text: &str| -> String {
        text.bytes()
            .map(|byte| if plain(byte) { char::from(byte).to_string() } else { format!("%{byte:02X}") })
            .collect()
    };
    fields.map(|(name, value)| format!("{}={}", escape(name), escape(value))).collect::<Vec<_>>().join("&")
}
