//! How a browser comes to a page.

use super::{Stop, Way};
use crate::tab::{Finger, Tab};

impl Stop {
    /// Goes there.
    pub async fn come(&self, tab: &Tab, at: &dyn Fn(&str) -> String) {
        match &self.way {
            Way::Path(path) => tab.go(&at(path)).await,
            Way::Child(number, below) => tab.go(&at(&format!("{}{below}", child(tab, *number).await))).await,
            Way::Entry(number, says) => {
                tab.go(&at(&child(tab, *number).await)).await;
                to_entry(tab, says).await;
            }
            Way::Sent(path, fields, button) => {
                tab.go(&at(path)).await;
                send(tab, fields, button).await;
            }
            Way::ChildSent(number, below, pressed, fields, button) => {
                tab.go(&at(&format!("{}{below}", child(tab, *number).await))).await;
                tab.press(Finger::Mouse, pressed).await;
                send(tab, fields, button).await;
            }
            Way::Pressed(path, pressed, fields, button) => {
                press_and_send(tab, &at(path), pressed, fields, button).await;
            }
            Way::Visit(number, fields, button) => {
                tab.go(&at(&format!("{}/visit", child(tab, *number).await))).await;
                send(tab, fields, button).await;
            }
            Way::OfSomeEntry(numbers, below) => {
                tab.go(&some_entry(tab, numbers, below).await).await;
                // Addresses tried before this one were answered with a refusal.
                tab.troubles();
            }
            Way::LoggerFile(_) | Way::File(..) | Way::Confirm | Way::ShowAgain | Way::Pairs => {
                self.come_with_a_file(tab, at).await;
            }
            Way::ChildLinks(number, below, links) => {
                tab.go(&at(&format!("{}{below}", child(tab, *number).await))).await;
                for link in *links {
                    tab.click_on(link).await;
                }
            }
            Way::ChildFound(number, below, typed, links) => {
                tab.go(&at(&format!("{}{below}", child(tab, *number).await))).await;
                tab.type_into("#q", typed).await;
                tab.click_on("form.find button").await;
                for link in *links {
                    tab.click_on(link).await;
                }
            }
            Way::Locked => {
                let lock = "fetch('/session/lock', { method: 'POST', body: new URLSearchParams({ part: 1, csrf: document.querySelector('[name=csrf]').value }) }).then(() => null)";
                tab.eval::<()>(lock).await;
                tab.go(&at("/unlock?then=/day")).await;
            }
            Way::Draft(path, selector, text) => {
                tab.go(&at(path)).await;
                tab.type_into(selector, text).await;
                tab.part_says(".draft-state", "Draft saved").await;
                tab.go(&at(path)).await;
            }
            Way::MoveAppointment => {
                tab.go(&at("/day")).await;
                let href: String = tab.eval("document.querySelector('a[href$=\"/move\"]').href").await;
                tab.go(&href).await;
            }
            Way::Link(path, link) => {
                tab.go(&at(path)).await;
                tab.click_on(link).await;
            }
        }
        tab.says(self.says).await;
        assert_eq!(tab.status().await, self.status, "{}", self.name);
    }

    /// Goes to a page of a file that is sent, or of an import.
    async fn come_with_a_file(&self, tab: &Tab, at: &dyn Fn(&str) -> String) {
        match &self.way {
            Way::LoggerFile(number) => {
                tab.go(&at(&format!("{}/wear", child(tab, *number).await))).await;
                choose(tab, "#f-boot", "boot.csv", &logger_file()).await;
                tab.click_on("form[action$='/wear/logger'] button[type=submit]").await;
            }
            Way::File(name, contents) => {
                tab.go(&at("/import")).await;
                choose(tab, "input[name=file]", name, contents).await;
                send(tab, &[], "Read the file").await;
            }
            Way::Confirm => tab.click_on("#confirm button.primary").await,
            Way::ShowAgain => tab.click_on(&tab.named("Show again with these choices").await).await,
            Way::Pairs => {
                tab.go(&at("/import")).await;
                choose(tab, "input[name=file]", "twins.csv", &alike()).await;
                send(tab, &[], "Read the file").await;
                tab.click_on("a[href^='/import/pairs']").await;
            }
            _ => unreachable!("this way sends no file"),
        }
    }
}

async fn press_and_send(tab: &Tab, url: &str, pressed: &str, fields: &[(&str, &str)], button: &str) {
    tab.go(url).await;
    tab.press(Finger::Mouse, pressed).await;
    send(tab, fields, button).await;
}

async fn send(tab: &Tab, fields: &[(&str, &str)], button: &str) {
    for (selector, text) in fields {
        // A field for a day takes its parts one by one.
        if text.parse::<record::Day>().is_ok() {
            tab.type_day(selector, text).await;
        } else {
            tab.type_into(selector, text).await;
        }
    }
    let meant = tab.named(button).await;
    tab.click_on(&meant).await;
}

/// Chooses a file; it is gone once the page has read it, so that its folder lives as long as the tests.
pub async fn choose(tab: &Tab, selector: &str, name: &str, contents: &str) {
    let file = tempfile::tempdir().unwrap().keep().join(name);
    std::fs::write(&file, contents).unwrap();
    tab.choose_file(selector, file.to_str().unwrap()).await;
}

/// Sixty names that each stand under two numbers. Invented.
fn alike() -> String {
    let mut text = "number,name,date of birth,side,date,total\n".to_owned();
    for number in 0..120 {
        let pair = number / 2;
        let (day, month) = (pair % 28 + 1, pair / 28 + 1);
        text += &format!("P{number},Ottoline Twinly{pair:02}x,{day:02}/{month:02}/2024,R,25/04/2024,4\n");
    }
    text
}

/// A logger in a boot over three days, every half hour: warm and a little restless at night, room
/// temperature by day. Invented.
fn logger_file() -> String {
    let mut text = "serial,time,temp C\n".to_owned();
    for sample in 0..3 * 48 {
        let (day, half_hour) = (10 + sample / 48, sample % 48);
        let night = !(16..40).contains(&half_hour);
        let celsius =
            if night { 31.0 + 0.3 * f64::from(sample * 7 % 5) } else { 20.0 + 0.1 * f64::from(sample % 3) };
        let (hour, minute) = (half_hour / 2, half_hour % 2 * 30);
        text += &format!("K-9,2024-02-{day:02} {hour:02}:{minute:02}:00,{celsius:.1}\n");
    }
    text
}

/// A function of the page that returns the list of what a search finds.
const SEARCH: &str = "(q) => fetch('/find', { method: 'POST', body: new URLSearchParams({ q, part: 1, csrf: document.querySelector('[name=csrf]').value }) }).then((answer) => answer.text())";

/// The address made from that of an entry, of some child, that answers as a page of its own.
async fn some_entry(tab: &Tab, numbers: &str, below: &str) -> String {
    let search = SEARCH;
    let expression = format!(
        "(async () => {{
           const parsed = (text) => new DOMParser().parseFromString(text, 'text/html');
           const read = async (path) => parsed(await (await fetch(path)).text());
           const found = [...parsed(await ({search})('{numbers}')).querySelectorAll('.found .who-name')];
           for (const child of found) {{
             const page = await read(child.getAttribute('href'));
             for (const link of page.querySelectorAll('.timeline .entry a')) {{
               if (!link.closest('.entry').textContent.includes('Pirani')) continue;
               const path = link.getAttribute('href').replace('/entry/', '{below}');
               const answer = await fetch(path);
               if (answer.status === 200 && !answer.redirected) return new URL(path, location.href).href;
             }}
           }}
           return null; }})()"
    );
    let found: Option<String> = tab.eval(&expression).await;
    found.unwrap_or_else(|| panic!("no entry of a child {numbers}… has a page {below}"))
}

/// The path of a child of the invented clinic by its number there.
pub async fn child(tab: &Tab, number: u32) -> String {
    // The planted child whose day of birth is unknown has a number apart: its registration was replaced.
    let number = if number == 20 { "SK19999".to_owned() } else { format!("SK{}", 20_000 + number) };
    let search = SEARCH;
    let expression = format!(
        "({search})('{number}').then((text) => {{
           const page = new DOMParser().parseFromString(text, 'text/html');
           return [...page.querySelectorAll('.found')].filter((e) => e.textContent.includes('{number}')).map((e) => e.querySelector('.who-name').getAttribute('href')); }})"
    );
    let found: Vec<String> = tab.eval(&expression).await;
    assert_eq!(found.len(), 1, "children with the number {number}: {found:?}");
    found[0].clone()
}

/// Opens everything that is folded.
pub async fn open_all(tab: &Tab) {
    tab.eval::<()>("document.querySelectorAll('details:not([open])').forEach((e) => { e.open = true; e.dataset.opened = ''; })").await;
}

/// Folds it again.
pub async fn close_again(tab: &Tab) {
    tab.eval::<()>("document.querySelectorAll('details[data-opened]').forEach((e) => { e.open = false; e.removeAttribute('data-opened'); })").await;
}

/// From the page of a child to the entry whose line says this.
async fn to_entry(tab: &Tab, says: &str) {
    open_all(tab).await;
    let entry = format!(
        "[...document.querySelectorAll('.timeline .entry')].find((e) => e.innerText.includes({says:?})).querySelector('a').href"
    );
    let href: String = tab.eval(&entry).await;
    tab.go(&href).await;
}
