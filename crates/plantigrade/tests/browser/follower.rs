//! Follows a guide to the letter: its commands are run, its names are pressed in their order, and what it says is seen
//! has to be on the page.

use crate::{
    clinic::Clinic,
    guide::{Guide, Step},
    tab::{Browsing, Tab},
};
use std::{
    collections::HashMap,
    fs,
    path::{Path, PathBuf},
    process::Command,
};

/// The folder of the guides.
pub fn docs() -> PathBuf {
    Path::new(env!("CARGO_MANIFEST_DIR")).join("../../docs").canonicalize().unwrap()
}

/// Follows a guide of the folder of documents on a day, and returns the number of steps taken.
pub async fn follow(file: &str, day: &'static str) -> usize {
    let text = fs::read_to_string(docs().join(file)).unwrap();
    let guide = Guide::read(&text).unwrap();
    let browsing = Browsing::start().await;
    let tab = browsing.tab().await;
    tab.size(1280, 900).await;
    let mut person = Newcomer {
        day,
        home: tempfile::tempdir().unwrap(),
        program: None,
        records: PathBuf::new(),
        tab,
        read: String::new(),
        noted: HashMap::new(),
    };
    for (line, step) in &guide.steps {
        println!("line {line}: {step:?}");
        person.take(step).await;
    }
    for (line, name) in &guide.names {
        assert!(person.read.contains(name), "line {line}: *{name}* was on no page");
    }
    let troubles = person.tab.troubles();
    assert!(troubles.is_empty(), "the browser complains: {troubles:?}");
    browsing.close().await;
    guide.steps.len()
}

/// A person at a computer: a folder of one's own, a terminal window, a browser.
struct Newcomer {
    /// The day on which the guide is followed.
    day: &'static str,
    home: tempfile::TempDir,
    program: Option<Clinic>,
    /// Where the window says that the records are.
    records: PathBuf,
    tab: Tab,
    /// All that was read on the way.
    read: String,
    /// What was written down, by what it is called.
    noted: HashMap<String, String>,
}

impl Newcomer {
    async fn take(&mut self, step: &Step) {
        match step {
            Step::Commands(lines) => lines.iter().for_each(|line| self.command(line)),
            Step::WindowShows(words) => assert!(self.window().printed.contains(words), "{words}"),
            Step::OpenLink => self.tab.go(&self.window().link.clone()).await,
            Step::Open(name) => self.follow(name, "a, summary").await,
            Step::Press(name) => self.follow(name, "button, a.button").await,
            Step::Type { text, field } => self.enter(text, field).await,
            Step::WriteDown(what) => {
                let text = self.tab.text_of(".one-time-text code").await;
                assert!(!text.is_empty(), "nothing to write down: {what}");
                self.noted.insert(what.clone(), text);
            }
            Step::TypeNoted { what, field } => {
                let text = self.noted.get(what).unwrap_or_else(|| panic!("“{what}” was never written down"));
                self.tab.type_into(&self.field(field).await, text).await;
            }
            Step::ChooseFile { file, field } => {
                let path = docs().join(file);
                assert!(path.is_file(), "{file} is not beside the guide");
                self.tab.choose_file(&self.field(field).await, path.to_str().unwrap()).await;
            }
            Step::Choose { question, answer } => self.choose(question, answer).await,
            Step::See(words) => self.tab.says(words).await,
            Step::End => self.program.take().expect("the program runs").interrupt(),
            Step::StartAgain => self.command("plantigrade"),
            Step::Save { file, lines } => fs::write(self.records.join(file), lines).unwrap(),
            Step::CopyRecords(to) => copy(&self.records, &self.home.path().join(to)),
        }
        if self.program.is_some() && self.tab.path().await.starts_with('/') {
            let seen = self.tab.text().await;
            self.read.extend(seen.split_whitespace().flat_map(|word| [word, " "]));
        }
    }

    fn window(&self) -> &Clinic {
        self.program.as_ref().expect("the program runs")
    }

    /// Types a line in a terminal window. A free port and the day are added; nothing else.
    fn command(&mut self, line: &str) {
        let mut words = line.split_whitespace();
        assert_eq!(words.next(), Some("plantigrade"), "{line}");
        let arguments: Vec<&str> = words.collect();
        if arguments.is_empty() {
            let program = Clinic::at_home(self.home.path(), &["--today", self.day]);
            let said = program.printed.lines().find_map(|line| line.trim().strip_prefix("Records: "));
            self.records = said.expect("the window says where the records are").into();
            assert!(self.records.starts_with(self.home.path()), "{}", self.records.display());
            self.program = Some(program);
            return;
        }
        let output = Clinic::command(self.home.path(), &arguments).output().unwrap();
        let said =
            String::from_utf8_lossy(&output.stdout).into_owned() + &String::from_utf8_lossy(&output.stderr);
        assert!(output.status.success(), "{line}: {said}");
        println!("{line}: {said}");
    }

    /// What can be pressed under a name: first what is called so, then what begins so, then what holds it; the
    /// contents of the page before its frame.
    async fn meant(&self, name: &str, kinds: &str) -> String {
        let expression = format!(
            "(() => {{ document.querySelectorAll('[data-meant]').forEach((e) => e.removeAttribute('data-meant'));
               const plain = (text) => (text ?? '').replace(/\\s+/g, ' ').trim();
               const said = (e) => {{ const copy = e.cloneNode(true); copy.querySelectorAll('.sr').forEach((s) => s.remove()); return plain(copy.textContent); }};
               const all = [...document.querySelectorAll({kinds})].filter((e) => e.checkVisibility());
               const own = (e) => e.closest('main') ? 0 : 1;
               const rank = (e) => [said(e), plain(e.innerText)].map((text) => text === {name} ? 0 : text.startsWith({name}) ? 1 : text.includes({name}) ? 2 : 9).sort()[0];
               const found = all.map((e) => [rank(e), own(e), e]).filter(([rank]) => rank < 9).sort((a, b) => a[0] - b[0] || a[1] - b[1]);
               if (found.length) found[0][2].setAttribute('data-meant', '');
               return found.length > 0; }})()",
            kinds = serde_json::to_string(kinds).unwrap(),
            name = serde_json::to_string(name).unwrap(),
        );
        let found: bool = self.tab.eval(&expression).await;
        assert!(found, "nothing to press is called “{name}”:\n{}", self.tab.text().await);
        "[data-meant]".to_owned()
    }

    async fn follow(&self, name: &str, kinds: &str) {
        let meant = self.meant(name, kinds).await;
        let fold: bool = self.tab.eval("document.querySelector('[data-meant]').matches('summary')").await;
        // The lock is laid over the page, and what is chosen on it stays there.
        let stays = "(() => { const e = document.querySelector('[data-meant]'); return e.matches('[data-part]') || !!e.closest('form[action=\"/session/lock\"]'); })()";
        if self.tab.eval::<bool>(stays).await {
            return self.tab.click(&meant).await;
        }
        if !fold {
            return self.tab.click_on(&meant).await;
        }
        self.tab.click(&meant).await;
        self.tab.until("the open fold", "document.querySelector('[data-meant]').parentElement.open").await;
    }

    /// The field whose label has this name.
    async fn field(&self, name: &str) -> String {
        let name = serde_json::to_string(name).unwrap();
        let expression = format!(
            "(() => {{ document.querySelectorAll('[data-meant]').forEach((e) => e.removeAttribute('data-meant'));
               const plain = (text) => (text ?? '').replace(/\\s+/g, ' ').trim();
               const labels = [...document.querySelectorAll('label')].filter((e) => e.control?.checkVisibility() && plain(e.innerText).startsWith({name}));
               labels[0]?.control.setAttribute('data-meant', '');
               return labels.length > 0; }})()"
        );
        let found: bool = self.tab.eval(&expression).await;
        assert!(found, "no field is called {name}:\n{}", self.tab.text().await);
        "[data-meant]".to_owned()
    }

    /// Types into a field; a day is typed as it is written, "30 March 2024".
    async fn enter(&self, text: &str, field: &str) {
        let place = self.field(field).await;
        let is_day: bool = self.tab.eval("document.querySelector('[data-meant]').type === 'date'").await;
        if is_day {
            return self.tab.type_day(&place, &iso(text)).await;
        }
        self.tab.type_into(&place, text).await;
    }

    /// Taps an answer to a question.
    async fn choose(&self, question: &str, answer: &str) {
        let [question, answer] = [question, answer].map(|text| serde_json::to_string(text).unwrap());
        let expression = format!(
            "(() => {{ document.querySelectorAll('[data-meant]').forEach((e) => e.removeAttribute('data-meant'));
               const plain = (text) => (text ?? '').replace(/\\s+/g, ' ').trim();
               const sets = [...document.querySelectorAll('fieldset')].filter((e) => e.checkVisibility() && plain(e.querySelector('legend')?.textContent).startsWith({question}));
               if (sets.length !== 1) return `${{sets.length}} questions are called ` + {question};
               const bare = (e) => {{ const copy = e.cloneNode(true); copy.querySelectorAll('.hint').forEach((h) => h.remove()); return copy; }};
               const first = (e) => plain((e.querySelector('.tile-word') ?? bare(e)).textContent);
               const label = [...sets[0].querySelectorAll('label')].find((e) => first(e) === {answer});
               label?.setAttribute('data-meant', '');
               return label ? null : 'no answer is called ' + {answer}; }})()"
        );
        let wrong: Option<String> = self.tab.eval(&expression).await;
        assert_eq!(wrong, None, "{}", self.tab.text().await);
        self.tab.click("[data-meant]").await;
        self.tab.until("the answer", "document.querySelector('[data-meant]').control.checked").await;
    }
}

/// A folder with all that is in it.
fn copy(from: &Path, to: &Path) {
    let status = Command::new("cp").arg("-r").args([from, to]).status().unwrap();
    assert!(status.success(), "{} to {}", from.display(), to.display());
}

/// A day in words as a date: "30 March 2024" is 2024-03-30.
fn iso(words: &str) -> String {
    const MONTHS: [&str; 12] = [
        "January",
        "February",
        "March",
        "April",
        "May",
        "June",
        "July",
        "August",
        "September",
        "October",
        "November",
        "December",
    ];
    let parts: Vec<&str> = words.split(' ').collect();
    let [day, month, year] = parts[..] else { panic!("“{words}” is no day") };
    let month =
        MONTHS.iter().position(|name| *name == month).unwrap_or_else(|| panic!("“{month}” is no month"));
    format!("{year}-{:02}-{:02}", month + 1, day.parse::<u32>().unwrap())
}
