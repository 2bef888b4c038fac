//! Every page, light and dark, on a phone, a tablet and a desktop: nothing that axe-core objects to,
//! nothing the browser complains of, nothing wider than the window. A picture of each is kept.

use crate::{
    TODAY, axe,
    clinic::Clinic,
    run, screens,
    stops::{self, Stop},
    tab::{Browsing, Tab},
};
use std::{collections::BTreeMap, fmt::Write};

const THEMES: [&str; 2] = ["light", "dark"];
const WINDOWS: [(u32, u32); 3] = [(390, 844), (820, 1180), (1280, 900)];

/// Something wrong, and where: page, what, on which theme and width.
#[derive(Default)]
struct Found {
    wrong: BTreeMap<(String, String), Vec<String>>,
    unsure: BTreeMap<(String, String), Vec<String>>,
    looked_at: usize,
    rules_passed: usize,
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
        let clinic = Clinic::demo(60, TODAY);
        let browsing = Browsing::start().await;
        let (one, two) = (browsing.tab().await, browsing.tab().await);
        let mut found = round(&one, &clinic, stops::outside()).await;
        one.go(&clinic.link).await;
        two.go(&clinic.at("/day")).await;
        let mut of_a_child = stops::of_a_child();
        let rest = of_a_child.split_off(of_a_child.len() / 2);
        let first = stops::of_the_clinic().into_iter().chain(of_a_child).collect();
        let second = rest.into_iter().chain(stops::of_adding()).collect();
        let (first, second) = tokio::join!(round(&one, &clinic, first), round(&two, &clinic, second));
        found.join(first);
        found.join(second);
        browsing.close().await;
        report(&found);
    });
}

fn report(found: &Found) {
    let Found { looked_at, rules_passed, .. } = found;
    println!("{looked_at} pictures of pages are in {}", screens::folder().display());
    println!("{rules_passed} times a rule was met; {} times none could decide", found.unsure.len());
    screens::keep("undecided.txt", listed(&found.unsure).as_bytes());
    screens::keep("wrong.txt", listed(&found.wrong).as_bytes());
    assert!(*rules_passed > 10 * looked_at, "the rules found next to nothing to judge: are they run at all?");
    assert!(found.wrong.is_empty(), "{} things are wrong:\n{}", found.wrong.len(), listed(&found.wrong));
}

async fn round(tab: &Tab, clinic: &Clinic, stops: Vec<Stop>) -> Found {
    let mut found = Found::default();
    for stop in stops {
        tab.size(1280, 900).await;
        tab.media("screen", "light").await;
        stop.come(tab, &|path| clinic.at(path)).await;
        look(tab, &stop, &mut found).await;
    }
    found
}

/// Looks at the page as it stands.
async fn look(tab: &Tab, stop: &Stop, found: &mut Found) {
    for (width, height) in WINDOWS {
        tab.size(width, height).await;
        for theme in THEMES {
            let seen = format!("{theme} {width}");
            tab.media("screen", theme).await;
            settle(tab).await;
            screens::keep(&format!("{}-{width}-{theme}.png", stop.name), &tab.picture().await);
            too_wide(tab, stop, width, &seen, found).await;
            stops::open_all(tab).await;
            settle(tab).await;
            too_wide(tab, stop, width, &format!("{seen} unfolded"), found).await;
            rules(tab, stop, &seen, found).await;
            stops::close_again(tab).await;
            found.looked_at += 1;
        }
    }
    let own: String = tab.eval("location.href").await;
    for trouble in tab.troubles() {
        // A page that comes with 404 or 422 is logged as a failed request; here it is meant to.
        let meant = stop.status != 200 && trouble.url.as_deref() == Some(&own) && trouble.text.contains("Failed to load");
        if !meant {
            found.add(stop.name, format!("the browser says: {} ({:?})", trouble.text, trouble.url), "any");
        }
    }
}

/// Waits until the page is drawn anew.
async fn settle(tab: &Tab) {
    let drawn = "new Promise((done) => requestAnimationFrame(() => requestAnimationFrame(() => done(null))))";
    let late = "new Promise((done) => setTimeout(() => done(null), 200))";
    tab.eval::<()>(&format!("Promise.race([{drawn}, {late}])")).await;
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
