//! Every page, light and dark, on a phone, a tablet and a desktop: nothing that axe-core objects to,
//! nothing the browser complains of, nothing wider than the window. A picture of each is kept.

use crate::{
    TODAY, axe,
    clinic::{Clinic, WITNESSES},
    run, screens,
    stops::{self, Stop},
    tab::{Browsing, Tab},
    tablet_stops,
};
use clinic::{Account, CodeSecret};
use futures::FutureExt;
use plantigrade::{
    app::{App, Mode},
    auth,
    clock::Clock,
    demo,
};
use record::{Body, Roles, UserId};
use std::{
    collections::{BTreeMap, BTreeSet},
    fmt::Write,
    panic::AssertUnwindSafe,
};

const THEMES: [&str; 2] = ["light", "dark"];
const WINDOWS: [(u32, u32); 3] = [(390, 844), (820, 1180), (1280, 900)];

/// Something wrong, and where: page, what, on which theme and width.
#[derive(Default)]
struct Found {
    wrong: BTreeMap<(String, String), Vec<String>>,
    unsure: BTreeMap<(String, String), Vec<String>>,
    looked_at: usize,
    rules_passed: usize,
    words_in_pictures: usize,
    /// The paths of the pages, each in the words of the router.
    visited: BTreeSet<&'static str>,
}

impl Found {
    fn add(&mut self, page: &str, what: String, seen: &str) {
        self.wrong.entry((page.to_owned(), what)).or_default().push(seen.to_owned());
    }

    fn join(&mut self, other: Self) {
        self.wrong.extend(other.wrong);
        self.unsure.extend(other.unsure);
        self.looked_at += other.looked_at;
        self.rules_passed += other.rules_passed;
        self.words_in_pictures += other.words_in_pictures;
        self.visited.extend(other.visited);
    }
}

fn listed(found: &BTreeMap<(String, String), Vec<String>>) -> String {
    let mut text = String::new();
    for ((page, what), seen) in found {
        writeln!(text, "{page}: {what}\n    in {}", seen.join(", ")).unwrap();
    }
    text
}

#[test]
fn every_page_can_be_used_by_everybody() {
    run(async {
        // So many that the attention list has a second page.
        let clinic = Clinic::demo(90, TODAY);
        let browsing = Browsing::start().await;
        let (one, two) = (browsing.tab().await, browsing.tab().await);
        let mut found = round(&one, &clinic, stops::outside()).await;
        let empty = tempfile::tempdir().unwrap();
        let first_start = Clinic::serve(empty.path(), TODAY);
        let path = first_start.link.split('/').skip(3).fold(String::new(), |path, part| path + "/" + part);
        found.join(round(&one, &first_start, stops::first_start(&path)).await);
        found.join(network(&one).await);
        found.join(chosen_password(&one).await);
        found.join(second_step(&one).await);
        found.join(as_coordinator(&clinic).await);
        found.join(on_a_tablet(&clinic).await);
        one.go(&clinic.link).await;
        two.go(&clinic.at("/day")).await;
        let mut of_a_child = stops::of_a_child();
        of_a_child.extend(stops::of_documents());
        let rest = of_a_child.split_off(of_a_child.len() / 2);
        let first = stops::of_the_clinic().into_iter().chain(of_a_child).collect();
        let second = rest.into_iter().chain(stops::of_adding()).collect();
        let (first, second) = tokio::join!(round(&one, &clinic, first), round(&two, &clinic, second));
        found.join(first);
        found.join(second);
        browsing.close().await;
        unvisited(&mut found);
        report(&found);
        nobody_is_named_in(&clinic.log());
    });
}

/// The log after the tour has no name, number, day of birth, telephone number or free text of the invented clinic.
fn nobody_is_named_in(log: &str) {
    let words: BTreeSet<&str> = log.split(|c: char| !c.is_alphanumeric()).collect();
    let (mut searched, mut named) = (0, BTreeSet::new());
    let entries = demo::clinic_in_parts(90, 1, TODAY.parse().unwrap()).flatten();
    for entry in entries {
        let body: serde_json::Value = serde_json::from_str(&entry.body.to_json().unwrap()).unwrap();
        let is_person = matches!(entry.body, Body::Registration(_));
        for text in texts(&body) {
            let in_whole = text.chars().count() >= 8 && log.contains(text);
            let by_word = |word: &str| {
                word.chars().count() >= 4 && words.contains(word) && word.starts_with(char::is_uppercase)
            };
            let in_words = is_person && text.split(|c: char| !c.is_alphanumeric()).any(by_word);
            searched += 1;
            if (is_person || text.contains(' ')) && (in_whole || in_words) {
                named.insert(text.to_owned());
            }
        }
    }
    println!("{} lines of log searched for {searched} texts", log.lines().count());
    assert!(
        log.contains("route=") && searched > 1_000,
        "there was nothing to search, or nothing to search for"
    );
    assert!(named.is_empty(), "in the log: {named:?}");
}

/// Every text in a value.
fn texts(value: &serde_json::Value) -> Vec<&str> {
    match value {
        serde_json::Value::String(text) => vec![text],
        serde_json::Value::Array(all) => all.iter().flat_map(texts).collect(),
        serde_json::Value::Object(all) => all.values().flat_map(texts).collect(),
        _ => Vec::new(),
    }
}

/// The pages of the clinic's network, of a clinic that serves it.
async fn network(tab: &Tab) -> Found {
    let folder = tempfile::tempdir().unwrap();
    // Otherwise the page of the second factor would come before every other.
    std::fs::write(folder.path().join("clinic.toml"), "second_factor = \"optional\"\n").unwrap();
    let clinic = Clinic::serve_network(folder.path(), TODAY);
    let start = clinic.link.split('/').skip(3).fold(String::new(), |path, part| path + "/" + part);
    round(tab, &clinic, stops::of_the_network(&start, &clinic.network())).await
}

/// The page on which a person with a one-time password chooses an own one.
async fn chosen_password(tab: &Tab) -> Found {
    let folder = tempfile::tempdir().unwrap();
    let data = folder.path().to_str().unwrap();
    let add =
        ["people", "add", "ole", "--name", "Ole Brandt", "--role", "lead", "--data", data, "--today", TODAY];
    let output = std::process::Command::new(env!("CARGO_BIN_EXE_plantigrade"))
        .env(WITNESSES.0, WITNESSES.1)
        .args(add)
        .output()
        .unwrap();
    let text = String::from_utf8(output.stdout).unwrap();
    let one_time = text.lines().next().and_then(|line| line.rsplit(' ').next()).unwrap().to_owned();
    round(tab, &Clinic::serve(folder.path(), TODAY), stops::one_time_password(one_time)).await
}

/// The second step of signing in, of a person who has time-based codes.
async fn second_step(tab: &Tab) -> Found {
    let folder = tempfile::tempdir().unwrap();
    let clock = Clock::new(Some(TODAY.parse().unwrap()));
    let app = App::open(folder.path(), clock, Mode::default()).unwrap();
    let id = UserId::new(clock.id());
    let account = Account {
        id,
        name: "ida".into(),
        display_name: "Ida Maren".into(),
        password_hash: auth::hash_password("plaster and patience").unwrap(),
        created_at: clock.now(),
        disabled: false,
        roles: Roles::FIRST,
        one_time_until: None,
        last_sign_in: None,
    };
    app.records.accounts().create_account(account).unwrap();
    let secret = CodeSecret { secret: auth::new_secret(), set_up_at: clock.now(), last_step: 0 };
    app.records.accounts().set_code_secret(id, secret).unwrap();
    drop(app);
    round(tab, &Clinic::serve(folder.path(), TODAY), stops::second_step()).await
}

/// Pages as the clinic coordinator sees them, in a browser that keeps its own cookies.
async fn as_coordinator(clinic: &Clinic) -> Found {
    let browsing = Browsing::start().await;
    let found = round(&browsing.tab().await, clinic, stops::of_a_coordinator()).await;
    browsing.close().await;
    found
}

/// Pages of the lock and of drafts, in a browser that keeps its own cookies.
async fn on_a_tablet(clinic: &Clinic) -> Found {
    let browsing = Browsing::start().await;
    let found = round(&browsing.tab().await, clinic, tablet_stops::of_a_tablet()).await;
    browsing.close().await;
    found
}

/// The path of the router that answers an address: the one with the most parts written out.
fn answered_by(address: &str) -> Option<&'static str> {
    let parts: Vec<&str> = address.split('/').collect();
    let written_out = |path: &&'static str| path.split('/').filter(|part| !part.starts_with('{')).count();
    let fits = |path: &&'static str| {
        let own: Vec<&str> = path.split('/').collect();
        own.len() == parts.len()
            && own.iter().zip(&parts).all(|(own, part)| own.starts_with('{') || own == part)
    };
    plantigrade::routes::page_paths().into_iter().filter(fits).max_by_key(written_out)
}

/// A page of the router that no stop leads to would never be judged.
fn unvisited(found: &mut Found) {
    if std::env::var_os("PLANTIGRADE_PAGES").is_some() {
        return;
    }
    for path in plantigrade::routes::page_paths() {
        // A build that cannot encrypt has no recovery sheet to show.
        if path == pages::encryption::SHEET_PATH && !clinic::CAN_ENCRYPT {
            continue;
        }
        if !found.visited.contains(path) {
            found.add(path, "no stop in stops/ leads to this page".to_owned(), "any");
        }
    }
}

fn report(found: &Found) {
    let Found { looked_at, rules_passed, words_in_pictures, .. } = found;
    println!("{looked_at} pictures of pages are in {}", screens::folder().display());
    println!("{rules_passed} times a rule was met; {} times none could decide", found.unsure.len());
    println!("{words_in_pictures} words in course pictures were judged besides");
    screens::keep("undecided.txt", listed(&found.unsure).as_bytes());
    screens::keep("wrong.txt", listed(&found.wrong).as_bytes());
    assert!(*rules_passed > 10 * looked_at, "the rules found next to nothing to judge: are they run at all?");
    assert!(found.wrong.is_empty(), "{} things are wrong:\n{}", found.wrong.len(), listed(&found.wrong));
}

async fn round(tab: &Tab, clinic: &Clinic, stops: Vec<Stop>) -> Found {
    let mut found = Found::default();
    for stop in stops.into_iter().filter(|stop| wanted(stop.name)) {
        tab.size(1280, 900).await;
        tab.media("screen", "light").await;
        // A page that cannot be come to is told of with the rest, and the rest is still looked at.
        let at = |path: &str| clinic.at(path);
        match AssertUnwindSafe(stop.come(tab, &at)).catch_unwind().await {
            Ok(()) => look(tab, &stop, &mut found).await,
            Err(_) => found.add(stop.name, "cannot be come to, as said above".to_owned(), "any"),
        }
    }
    found
}

/// Whether a page is to be looked at; `PLANTIGRADE_PAGES` names a few by a part of their names, for work
/// on those.
fn wanted(name: &str) -> bool {
    std::env::var("PLANTIGRADE_PAGES").map_or(true, |parts| parts.split(',').any(|part| name.contains(part)))
}

/// Looks at the page as it stands.
async fn look(tab: &Tab, stop: &Stop, found: &mut Found) {
    found.visited.extend(answered_by(&tab.path().await));
    helps(tab, stop, found).await;
    for (width, height) in WINDOWS {
        tab.size(width, height).await;
        for theme in THEMES {
            let seen = format!("{theme} {width}");
            tab.media("screen", theme).await;
            tab.settle().await;
            picture(tab, stop, (width, height), theme).await;
            too_wide(tab, stop, width, &seen, found).await;
            words_in_pictures(tab, stop, &seen, found).await;
            stops::open_all(tab).await;
            tab.settle().await;
            too_wide(tab, stop, width, &format!("{seen} unfolded"), found).await;
            rules(tab, stop, &seen, found).await;
            stops::close_again(tab).await;
            found.looked_at += 1;
        }
    }
    let own: String = tab.eval("location.href").await;
    for trouble in tab.troubles() {
        // A page that comes with 404 or 422 is logged as a failed request; here it is meant to.
        let meant = stop.status != 200
            && trouble.url.as_deref() == Some(&own)
            && trouble.text.contains("Failed to load");
        if !meant {
            found.add(stop.name, format!("the browser says: {} ({:?})", trouble.text, trouble.url), "any");
        }
    }
}

/// Notes a page without a link to its section of the manual, or with one that leads nowhere.
async fn helps(tab: &Tab, stop: &Stop, found: &mut Found) {
    let expression = "(async () => {
        const link = document.querySelector('header .help-link');
        if (!link) return 'no link to the manual';
        if (!link.checkVisibility() || !link.innerText.includes('Help for this page')) return 'the link to the manual cannot be seen or has no name';
        const [path, anchor] = link.getAttribute('href').split('#');
        const answer = await fetch(path);
        if (answer.status !== 200 || answer.redirected) return `the manual answers ${answer.status} to ${path}`;
        const page = new DOMParser().parseFromString(await answer.text(), 'text/html');
        return anchor && page.getElementById(anchor) ? null : `the manual has no section ${path}#${anchor}`; })()";
    if let Some(why) = tab.eval::<Option<String>>(expression).await {
        found.add(stop.name, why, "any");
    }
}

async fn rules(tab: &Tab, stop: &Stop, seen: &str, found: &mut Found) {
    let findings = axe::judge(tab).await;
    found.rules_passed += findings.passed;
    for finding in findings.violations {
        found.add(stop.name, format!("{} at {}: {}", finding.rule, finding.selector, finding.why), seen);
    }
    for finding in findings.unsure {
        let what = format!("{} at {}: {}", finding.rule, finding.selector, finding.why);
        found.unsure.entry((stop.name.to_owned(), what)).or_default().push(seen.to_owned());
    }
}

/// Words in the course picture must stand out from what lies below them as other words must: 4.5 to 1
/// (WCAG 2.2, 1.4.3). axe-core does not judge words in drawings, so this is worked out here, with the
/// luminance as defined there.
const FAINT_WORDS: &str = "(() => {
    const parts = (colour) => [...colour.match(/[\\d.]+/g).map(Number), 1];
    const light = (colour) => { const [r, g, b] = parts(colour).slice(0, 3).map((v) => v / 255).map((v) => v <= 0.04045 ? v / 12.92 : ((v + 0.055) / 1.055) ** 2.4); return 0.2126 * r + 0.7152 * g + 0.0722 * b; };
    const ratio = (a, b) => { const [x, y] = [light(a), light(b)].sort((p, q) => q - p); return (x + 0.05) / (y + 0.05); };
    const paper = getComputedStyle(document.body).backgroundColor;
    const faint = [];
    for (const text of document.querySelectorAll('.picture text')) {
        if (!text.checkVisibility()) continue;
        const box = text.getBoundingClientRect(), x = box.x + box.width / 2, y = box.y + box.height / 2;
        const below = [...text.closest('svg').querySelectorAll('rect.band')].find((band) => { const r = band.getBoundingClientRect(); return r.left <= x && x <= r.right && r.top <= y && y <= r.bottom; });
        const ground = below ? getComputedStyle(below).fill : paper;
        const found = ratio(getComputedStyle(text).fill, ground);
        if (found < 4.5) faint.push(`“${text.textContent}” ${found.toFixed(2)} to 1`);
    }
    return { faint, judged: document.querySelectorAll('.picture text').length }; })()";

#[derive(serde::Deserialize)]
struct Faint {
    faint: Vec<String>,
    judged: usize,
}

async fn words_in_pictures(tab: &Tab, stop: &Stop, seen: &str, found: &mut Found) {
    let Faint { faint, judged } = tab.eval(FAINT_WORDS).await;
    found.words_in_pictures += judged;
    for words in faint {
        found.add(stop.name, format!("in the course picture too faint: {words}"), seen);
    }
}

/// The whole page, and of the long form of a visit what the person has before them at once.
async fn picture(tab: &Tab, stop: &Stop, window: (u32, u32), theme: &str) {
    let (name, width) = (stop.name, window.0);
    if name.starts_with("visit") {
        screens::keep(&format!("{name}-{width}-{theme}-window.png"), &tab.picture().await);
    }
    screens::keep(&format!("{name}-{width}-{theme}.png"), &tab.whole_picture(window).await);
}

/// Notes what makes the page scroll sideways.
async fn too_wide(tab: &Tab, stop: &Stop, width: u32, seen: &str, found: &mut Found) {
    let expression = format!(
        "(() => {{ const all = document.documentElement.scrollWidth; if (all <= {width}) return null;
           const inner = (e) => {{ for (let p = e.parentElement; p; p = p.parentElement) if (getComputedStyle(p).overflowX !== 'visible') return true; return false; }};
           const out = [...document.querySelectorAll('body *')].filter((e) => e.getBoundingClientRect().right > {width} + 0.5 && !inner(e));
           return `${{all}} px wide because of ` + out.slice(-2).map((e) => e.tagName.toLowerCase() + '.' + (e.getAttribute('class') ?? '')).join(' and '); }})()"
    );
    if let Some(why) = tab.eval::<Option<String>>(&expression).await {
        found.add(stop.name, format!("scrolls sideways, {why}"), seen);
    }
}
