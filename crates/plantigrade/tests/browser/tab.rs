//! A browser and its tabs: real input, and what the person sees.

use chromiumoxide::{
    Browser, BrowserConfig, Command, Method, Page,
    cdp::{
        browser_protocol::{
            dom::SetFileInputFilesParams,
            emulation::{
                MediaFeature, SetDeviceMetricsOverrideParams, SetEmulatedMediaParams,
                SetFocusEmulationEnabledParams, SetScriptExecutionDisabledParams,
                SetTouchEmulationEnabledParams,
            },
            input::{
                DispatchKeyEventParams, DispatchKeyEventType, DispatchMouseEventParams,
                DispatchMouseEventType, DispatchTouchEventParams, DispatchTouchEventReturns,
                InsertTextParams, MouseButton, TouchPoint,
            },
            log::{EventEntryAdded, LogEntryLevel},
            page::{CaptureScreenshotFormat, CaptureScreenshotParams, NavigateParams, PrintToPdfParams},
            target::CreateTargetParams,
        },
        js_protocol::runtime::{
            ConsoleApiCalledType, EvaluateParams, EventConsoleApiCalled, EventExceptionThrown, RemoteObjectId,
        },
    },
    types::MethodId,
};
use futures::StreamExt;
use serde::{Serialize, de::DeserializeOwned};
use std::{
    path::PathBuf,
    sync::{Arc, Mutex},
    time::{Duration, Instant},
};
use tempfile::TempDir;
use tokio::task::JoinHandle;

/// How long anything is waited for, on a busy machine.
const PATIENCE: Duration = Duration::from_secs(30);
const PAUSE: Duration = Duration::from_millis(25);

const ARGUMENTS: [&str; 6] = [
    "disable-gpu",
    "disable-quic",
    "no-first-run",
    "disable-background-networking",
    "disable-component-update",
    "disable-sync",
];

/// The browser to test with.
fn chromium() -> PathBuf {
    if let Some(named) = std::env::var_os("PLANTIGRADE_CHROMIUM") {
        return named.into();
    }
    let folders = std::env::var_os("PATH").unwrap_or_default();
    let names = ["chromium", "chromium-browser", "google-chrome-stable", "google-chrome"];
    let found = std::env::split_paths(&folders).flat_map(|folder| names.map(|name| folder.join(name)));
    found.into_iter().find(|path| path.is_file()).unwrap_or_else(|| {
        panic!(
            "The page tests need Chromium, and there is none. Install it, on Debian with \
             `apt-get install chromium fonts-dejavu-core`, or say where it is in PLANTIGRADE_CHROMIUM."
        )
    })
}

/// A browser with a profile of its own.
pub struct Browsing {
    browser: Browser,
    handler: JoinHandle<()>,
    _profile: TempDir,
}

impl Browsing {
    pub async fn start() -> Self {
        let profile = tempfile::tempdir().unwrap();
        let config = BrowserConfig::builder()
            .chrome_executable(chromium())
            .user_data_dir(profile.path())
            .new_headless_mode()
            .no_sandbox()
            .viewport(None)
            .launch_timeout(Duration::from_secs(90))
            .request_timeout(Duration::from_secs(120))
            .args(ARGUMENTS)
            .build()
            .unwrap();
        let (browser, mut events) = Browser::launch(config).await.expect("Chromium does not start");
        let handler = tokio::spawn(async move { while events.next().await.is_some() {} });
        Self { browser, handler, _profile: profile }
    }

    /// A tab in a window of its own, so that several are drawn at once.
    pub async fn tab(&self) -> Tab {
        let mut target = CreateTargetParams::new("about:blank");
        target.new_window = Some(true);
        let page = self.browser.new_page(target).await.unwrap();
        let troubles = Arc::new(Mutex::new(Vec::new()));
        listen(&page, &troubles).await;
        page.execute(SetFocusEmulationEnabledParams::new(true)).await.unwrap();
        Tab { page, troubles }
    }

    /// Ends the browser at once, as a battery does: no page is told.
    pub async fn kill(mut self) {
        let _ = self.browser.kill().await;
        self.handler.abort();
    }

    pub async fn close(mut self) {
        let _ = self.browser.close().await;
        let _ = self.browser.wait().await;
        self.handler.abort();
    }
}

/// Gathers what a browser complains of: errors of scripts, refused sources, failed requests.
async fn listen(page: &Page, troubles: &Arc<Mutex<Vec<Trouble>>>) {
    let mut log = page.event_listener::<EventEntryAdded>().await.unwrap();
    let mut console = page.event_listener::<EventConsoleApiCalled>().await.unwrap();
    let mut thrown = page.event_listener::<EventExceptionThrown>().await.unwrap();
    let keep = |troubles: &Arc<Mutex<Vec<Trouble>>>| {
        let troubles = Arc::clone(troubles);
        move |url: Option<String>, text: String| troubles.lock().unwrap().push(Trouble { url, text })
    };
    let (first, second, third) = (keep(troubles), keep(troubles), keep(troubles));
    tokio::spawn(async move {
        while let Some(event) = log.next().await {
            if matches!(event.entry.level, LogEntryLevel::Error | LogEntryLevel::Warning) {
                first(event.entry.url.clone(), event.entry.text.clone());
            }
        }
    });
    tokio::spawn(async move {
        while let Some(event) = console.next().await {
            if matches!(event.r#type, ConsoleApiCalledType::Error | ConsoleApiCalledType::Assert) {
                second(None, format!("{:?}", event.args.iter().map(|arg| &arg.value).collect::<Vec<_>>()));
            }
        }
    });
    tokio::spawn(async move {
        while let Some(event) = thrown.next().await {
            third(event.exception_details.url.clone(), event.exception_details.text.clone());
        }
    });
}

/// Something the browser complained of.
#[derive(Debug, Clone)]
pub struct Trouble {
    pub url: Option<String>,
    pub text: String,
}

/// A finger put down or lifted. The library's own command leaves out an empty list of fingers, without
/// which the browser does not take a lifted one.
#[derive(Debug, Serialize)]
struct Touch {
    #[serde(rename = "type")]
    kind: &'static str,
    #[serde(rename = "touchPoints")]
    points: Vec<TouchPoint>,
}

impl Method for Touch {
    fn identifier(&self) -> MethodId {
        DispatchTouchEventParams::IDENTIFIER.into()
    }
}

impl Command for Touch {
    type Response = DispatchTouchEventReturns;
}

/// How a person points.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub enum Finger {
    Mouse,
    Touch,
}

/// A key that types nothing visible.
#[derive(Clone, Copy, PartialEq, Eq)]
pub enum Key {
    Tab,
    Enter,
    Space,
    ArrowUp,
    ArrowDown,
}

/// One tab.
pub struct Tab {
    pub page: Page,
    troubles: Arc<Mutex<Vec<Trouble>>>,
}

impl Tab {
    /// What the browser complained of since last asked.
    pub fn troubles(&self) -> Vec<Trouble> {
        std::mem::take(&mut *self.troubles.lock().unwrap())
    }

    /// The value of an expression, or why there is none.
    async fn try_eval<T: DeserializeOwned>(&self, expression: &str) -> Result<T, String> {
        let mut params = EvaluateParams::new(expression);
        (params.return_by_value, params.await_promise) = (Some(true), Some(true));
        let answer = self.page.execute(params).await.map_err(|error| error.to_string())?.result;
        if let Some(details) = answer.exception_details {
            let more = details.exception.and_then(|object| object.description).unwrap_or_default();
            return Err(format!("{} {more}", details.text));
        }
        let value = answer.result.value.unwrap_or_default();
        serde_json::from_value(value.clone()).map_err(|error| format!("{error}: {value}"))
    }

    /// The value of an expression.
    pub async fn eval<T: DeserializeOwned>(&self, expression: &str) -> T {
        self.try_eval(expression).await.unwrap_or_else(|why| panic!("{expression}: {why}"))
    }

    /// Waits until an expression is true.
    pub async fn until(&self, what: &str, expression: &str) {
        let begun = Instant::now();
        loop {
            let answer = self.try_eval::<bool>(expression).await;
            if answer == Ok(true) {
                return;
            }
            if begun.elapsed() > PATIENCE {
                let text = self.text().await;
                panic!("waited in vain for {what} ({answer:?}). The page says:\n{text}");
            }
            tokio::time::sleep(PAUSE).await;
        }
    }

    /// When this document was begun; another one was begun at another time.
    async fn begun(&self) -> f64 {
        self.eval("performance.timeOrigin").await
    }

    async fn another_document(&self, than: f64) {
        let loaded = format!("performance.timeOrigin !== {than} && document.readyState === 'complete'");
        self.until("the next page", &loaded).await;
    }

    /// Goes to an address.
    pub async fn go(&self, url: &str) {
        let before = self.begun().await;
        let answer = self.page.execute(NavigateParams::new(url)).await.unwrap();
        assert_eq!(answer.result.error_text, None, "{url}");
        self.another_document(before).await;
    }

    /// The status with which this page came.
    pub async fn status(&self) -> u16 {
        self.eval("performance.getEntriesByType('navigation')[0].responseStatus").await
    }

    pub async fn path(&self) -> String {
        self.eval("location.pathname").await
    }

    /// The text a person sees on the page.
    pub async fn text(&self) -> String {
        self.try_eval("document.body.innerText").await.unwrap_or_default()
    }

    /// The text a person sees of one part.
    pub async fn text_of(&self, selector: &str) -> String {
        self.eval(&format!("document.querySelector({selector:?}).innerText")).await
    }

    /// Waits until the page says something.
    pub async fn says(&self, words: &str) {
        let words_in_js = serde_json::to_string(words).unwrap();
        self.until(&format!("“{words}”"), &format!("document.body.innerText.includes({words_in_js})")).await;
    }

    /// Waits until one part says something.
    pub async fn part_says(&self, selector: &str, words: &str) {
        let words_in_js = serde_json::to_string(words).unwrap();
        let there =
            format!("document.querySelector({selector:?})?.innerText.includes({words_in_js}) === true");
        self.until(&format!("“{words}” in {selector}"), &there).await;
    }

    /// The middle of what can be seen of a part, scrolled to; nothing may lie on top of it.
    async fn point(&self, selector: &str) -> (f64, f64) {
        let expression = format!(
            "(() => {{ const e = document.querySelector({selector:?}); if (!e) return null;
               e.scrollIntoView({{ block: 'center', behavior: 'instant' }});
               const r = e.getBoundingClientRect(); const x = r.x + r.width / 2, y = r.y + r.height / 2;
               const hit = document.elementFromPoint(x, y);
               return {{ x, y, free: hit !== null && (e.contains(hit) || hit.contains(e) || e.control === hit), over: hit ? hit.outerHTML.slice(0, 200) : 'nothing' }}; }})()"
        );
        let found: serde_json::Value = self.eval(&expression).await;
        assert!(found.is_object(), "{selector} is not on the page:\n{}", self.text().await);
        assert_eq!(found["free"], true, "{selector} cannot be reached: {} lies there", found["over"]);
        (found["x"].as_f64().unwrap(), found["y"].as_f64().unwrap())
    }

    /// Presses a part of the page as a person would.
    pub async fn press(&self, finger: Finger, selector: &str) {
        let (x, y) = self.point(selector).await;
        match finger {
            Finger::Mouse => {
                for kind in [
                    DispatchMouseEventType::MouseMoved,
                    DispatchMouseEventType::MousePressed,
                    DispatchMouseEventType::MouseReleased,
                ] {
                    let moved = kind == DispatchMouseEventType::MouseMoved;
                    let mut event = DispatchMouseEventParams::new(kind, x, y);
                    if !moved {
                        (event.button, event.click_count) = (Some(MouseButton::Left), Some(1));
                    }
                    self.page.execute(event).await.unwrap();
                }
            }
            Finger::Touch => {
                self.page
                    .execute(Touch { kind: "touchStart", points: vec![TouchPoint::new(x, y)] })
                    .await
                    .unwrap();
                self.page.execute(Touch { kind: "touchEnd", points: Vec::new() }).await.unwrap();
            }
        }
    }

    /// Presses what leads to another page, and waits for it.
    pub async fn press_on(&self, finger: Finger, selector: &str) {
        let before = self.begun().await;
        self.press(finger, selector).await;
        self.another_document(before).await;
    }

    pub async fn click(&self, selector: &str) {
        self.press(Finger::Mouse, selector).await;
    }

    pub async fn click_on(&self, selector: &str) {
        self.press_on(Finger::Mouse, selector).await;
    }

    /// The first link, button, answer or fold of the page on which these words stand, marked so that it
    /// can be pressed.
    pub async fn named(&self, words: &str) -> String {
        self.named_in("main", words).await
    }

    /// The same within a part of the page.
    pub async fn named_in(&self, part: &str, words: &str) -> String {
        let words_in_js = serde_json::to_string(words).unwrap();
        let expression = format!(
            "(() => {{ document.querySelectorAll('[data-meant]').forEach((e) => e.removeAttribute('data-meant'));
               const all = [...document.querySelectorAll('{part} :is(a, button, summary, label)')];
               const seen = all.filter((e) => e.checkVisibility() && (e.innerText ?? '').replace(/\\s+/g, ' ').includes({words_in_js}));
               if (seen.length) seen[0].setAttribute('data-meant', ''); return seen.length; }})()"
        );
        let found: usize = self.eval(&expression).await;
        assert!(found > 0, "nothing to press says “{words}”:\n{}", self.text().await);
        "[data-meant]".to_owned()
    }

    /// Types into a field, in place of what stands there.
    pub async fn type_into(&self, selector: &str, text: &str) {
        self.click(selector).await;
        self.until(selector, &format!("document.activeElement === document.querySelector({selector:?})"))
            .await;
        self.eval::<()>(&format!("document.querySelector({selector:?}).select()")).await;
        self.page.execute(InsertTextParams::new(text)).await.unwrap();
        assert_eq!(self.value(selector).await, text, "{selector}");
    }

    /// What stands in a field.
    pub async fn value(&self, selector: &str) -> String {
        self.eval(&format!("document.querySelector({selector:?}).value")).await
    }

    /// Types a day, key by key, into a field that shows its parts in the order of the browser's language.
    pub async fn type_day(&self, selector: &str, day: &str) {
        let (year, month, date) = (&day[..4], &day[5..7], &day[8..]);
        for keys in [format!("{month}{date}{year}"), format!("{date}{month}{year}")] {
            // Focus lands on the first part.
            self.eval::<()>(&format!(
                "(() => {{ const e = document.querySelector({selector:?}); e.blur(); e.focus(); }})()"
            ))
            .await;
            self.keys(&keys).await;
            if self.value(selector).await == day {
                return;
            }
        }
        panic!("{day} cannot be typed into {selector}: it holds {:?}", self.value(selector).await);
    }

    /// Presses a key that types nothing visible.
    pub async fn press_key(&self, key: Key) {
        let (name, number, text) = match key {
            Key::Tab => ("Tab", 9, None),
            Key::Enter => ("Enter", 13, Some("\r")),
            Key::Space => (" ", 32, Some(" ")),
            Key::ArrowUp => ("ArrowUp", 38, None),
            Key::ArrowDown => ("ArrowDown", 40, None),
        };
        let code = if key == Key::Space { "Space" } else { name };
        let kind =
            if text.is_some() { DispatchKeyEventType::KeyDown } else { DispatchKeyEventType::RawKeyDown };
        let mut down = DispatchKeyEventParams::new(kind);
        (down.key, down.code) = (Some(name.to_owned()), Some(code.to_owned()));
        (down.text, down.windows_virtual_key_code) = (text.map(str::to_owned), Some(number));
        let mut up = down.clone();
        (up.r#type, up.text) = (DispatchKeyEventType::KeyUp, None);
        self.page.execute(down).await.unwrap();
        self.page.execute(up).await.unwrap();
    }

    /// Presses the tab key until what is focused fulfils a condition on `e`; returns how often.
    pub async fn tab_to(&self, what: &str, condition: &str) -> usize {
        let reached = format!("Boolean(((e) => {condition})(document.activeElement))");
        for stops in 0..400 {
            if self.eval::<bool>(&reached).await {
                return stops;
            }
            self.press_key(Key::Tab).await;
        }
        panic!("{what} cannot be reached with the tab key");
    }

    /// Presses the enter key on what is focused, and waits for the page that it leads to.
    pub async fn enter_on(&self) {
        let before = self.begun().await;
        self.press_key(Key::Enter).await;
        self.another_document(before).await;
    }

    async fn keys(&self, keys: &str) {
        for key in keys.chars() {
            let mut down = DispatchKeyEventParams::new(DispatchKeyEventType::KeyDown);
            (down.text, down.key) = (Some(key.to_string()), Some(key.to_string()));
            (down.code, down.windows_virtual_key_code) =
                (Some(format!("Digit{key}")), Some(i64::from(u32::from(key))));
            let mut up = down.clone();
            (up.r#type, up.text) = (DispatchKeyEventType::KeyUp, None);
            self.page.execute(down).await.unwrap();
            self.page.execute(up).await.unwrap();
        }
    }

    /// Chooses a file in a file field.
    pub async fn choose_file(&self, selector: &str, path: &str) {
        self.choose_files(selector, vec![path.to_owned()]).await;
    }

    /// Chooses several files in a file field.
    pub async fn choose_files(&self, selector: &str, paths: Vec<String>) {
        let object = self
            .page
            .execute(EvaluateParams::new(format!("document.querySelector({selector:?})")))
            .await
            .unwrap();
        let id: RemoteObjectId = object.result.result.object_id.clone().unwrap();
        let mut files = SetFileInputFilesParams::new(paths);
        files.object_id = Some(id);
        self.page.execute(files).await.unwrap();
    }

    /// The window's width and height; a narrow one is a phone or tablet.
    pub async fn size(&self, width: u32, height: u32) {
        let mobile = width < 1000;
        let (w, h) = (i64::from(width), i64::from(height));
        self.page.execute(SetDeviceMetricsOverrideParams::new(w, h, 1.0, mobile)).await.unwrap();
    }

    /// Fingers instead of a mouse.
    pub async fn touch(&self) {
        self.page.execute(SetTouchEmulationEnabledParams::new(true)).await.unwrap();
    }

    /// Scripts off.
    pub async fn without_scripts(&self) {
        self.page.execute(SetScriptExecutionDisabledParams::new(true)).await.unwrap();
    }

    /// Light or dark, screen or paper.
    pub async fn media(&self, media: &str, theme: &str) {
        let features = vec![MediaFeature::new("prefers-color-scheme", theme)];
        let params = SetEmulatedMediaParams { media: Some(media.to_owned()), features: Some(features) };
        self.page.execute(params).await.unwrap();
    }

    /// A picture of the window.
    pub async fn picture(&self) -> Vec<u8> {
        let mut params = CaptureScreenshotParams::default();
        (params.format, params.optimize_for_speed) = (Some(CaptureScreenshotFormat::Png), Some(true));
        self.page.screenshot(params).await.unwrap()
    }

    /// A picture of the whole page, as in a window high enough for it, so that what sticks to the
    /// window's edge covers nothing.
    pub async fn whole_picture(&self, (width, height): (u32, u32)) -> Vec<u8> {
        let all: u32 = self.eval("document.documentElement.scrollHeight").await;
        self.size(width, all.max(height)).await;
        self.settle().await;
        let picture = self.picture().await;
        self.size(width, height).await;
        picture
    }

    /// Waits until the page is drawn anew.
    pub async fn settle(&self) {
        let drawn =
            "new Promise((done) => requestAnimationFrame(() => requestAnimationFrame(() => done(null))))";
        let late = "new Promise((done) => setTimeout(() => done(null), 200))";
        self.eval::<()>(&format!("Promise.race([{drawn}, {late}])")).await;
    }

    /// The page on paper.
    pub async fn paper(&self) -> Vec<u8> {
        // A4 in inches.
        let a4 = PrintToPdfParams {
            paper_width: Some(8.27),
            paper_height: Some(11.69),
            ..PrintToPdfParams::default()
        };
        self.page.pdf(a4).await.unwrap()
    }
}
