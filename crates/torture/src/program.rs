//! Kills the whole program while forms are sent to it: a first start, an account, a child, and then notes about the
//! child from several browsers. A note is acknowledged by the page that follows the form. After each kill the program
//! is started again, the forms without an answer are sent once more, as a person would, and each note must be there
//! exactly once.

use crate::{
    browsing::{Browsing, HttpAnswer, form},
    deed::draw,
    outcome::{Outcome, TortureError},
    preload::{Preload, compile},
};
use archive::{Archive, Options, Summary, WitnessPlace};
use rand::{RngExt, rngs::StdRng};
use record::{Body, Entry};
use std::{
    collections::BTreeMap,
    fs,
    io::{BufRead, BufReader},
    net::SocketAddr,
    path::{Path, PathBuf},
    process::{Child, Command, Stdio},
    sync::{
        Mutex, PoisonError,
        atomic::{AtomicBool, AtomicU64, Ordering},
    },
    time::{Duration, Instant},
};

const NAME: &str = "ida";
const PASSWORD: &str = "plaster and patience";
/// Browsers that send at the same time.
const BROWSERS: u64 = 3;
/// How long a start may take.
const START: Duration = Duration::from_secs(60);

/// Kills the program so often, in a folder below `within`. Stops at the first fault.
///
/// # Errors
/// When the program cannot be started, or its pages are not those that are expected.
pub fn run(seed: u64, kills: u64, program: &Path, within: &Path) -> Result<Outcome, TortureError> {
    let mut outcome = Outcome::default();
    let mut rng = draw(seed, "program");
    let library = compile(within).ok();
    let mut site = Site::new(program, within, library)?;
    site.first_start()?;
    while outcome.kills < kills && outcome.verdict.is_sound() {
        site.generation(&mut rng, &mut outcome)?;
    }
    Ok(outcome)
}

/// A form that was sent: the note in it, and its fields, so that it can be sent once more.
#[derive(Debug, Clone)]
struct SentForm {
    fields: BTreeMap<String, String>,
    acknowledged: bool,
}

/// The program and its folders.
struct Site {
    program: PathBuf,
    data: PathBuf,
    witness: PathBuf,
    library: Option<PathBuf>,
    browser: Browsing,
    note: String,
    forms: BTreeMap<String, SentForm>,
    next: AtomicU64,
}

struct Server {
    process: Child,
    address: SocketAddr,
    path: String,
}

impl Site {
    fn new(program: &Path, within: &Path, library: Option<PathBuf>) -> Result<Self, TortureError> {
        let (data, witness) = (within.join("data"), within.join("witness"));
        fs::create_dir_all(&data)?;
        let nowhere = SocketAddr::from(([127, 0, 0, 1], 0));
        Ok(Self {
            program: program.into(),
            data,
            witness,
            library,
            browser: Browsing::at(nowhere),
            note: String::new(),
            forms: BTreeMap::new(),
            next: AtomicU64::new(0),
        })
    }

    /// Starts the program with its clock set, and waits until it says where it is.
    fn start(&self, clock: i64) -> Result<Server, TortureError> {
        let mut command = Command::new(&self.program);
        command.args(["serve", "--no-open", "--listen", "127.0.0.1:0", "--data"]).arg(&self.data);
        command.env("PLANTIGRADE_WITNESS", &self.witness).stdout(Stdio::piped()).stderr(Stdio::null());
        if let (Some(library), true) = (&self.library, clock != 0) {
            let preload = Preload { library: library.clone(), clock, ..Preload::default() };
            preload.add_to(&mut command);
        }
        let mut process = command.spawn()?;
        let out = process.stdout.take().ok_or_else(|| TortureError::Words("no pipe".into()))?;
        let mut lines = BufReader::new(out).lines().map_while(Result::ok);
        let url = lines.find_map(|line| Some(line.split_once("http://")?.1.trim().to_owned()));
        let (address, path) = url
            .as_deref()
            .and_then(|url| url.split_once('/'))
            .and_then(|(address, path)| Some((address.parse().ok()?, format!("/{path}"))))
            .ok_or_else(|| TortureError::Words("the program does not start".into()))?;
        // Nobody reads the rest; the pipe must stay open.
        std::thread::spawn(move || lines.for_each(drop));
        Ok(Server { process, address, path })
    }

    /// The first account, and a child.
    fn first_start(&mut self) -> Result<(), TortureError> {
        let mut server = self.start(0)?;
        self.browser.turn_to(server.address);
        let account = [
            ("name", "Ida Maren"),
            ("sign_in_name", NAME),
            ("password", PASSWORD),
            ("password_again", PASSWORD),
        ];
        expect(&self.browser.send(&server.path, &account)?, "the first account")?;
        let child =
            [("given_name", "Amina"), ("family_name", "Vesterholt"), ("number", "CF-1"), ("sides", "both")];
        let made = self.browser.send("/register", &child)?;
        expect(&made, "the child")?;
        let place = made.location.split('?').next().unwrap_or_default();
        self.note = format!("{place}/add/note");
        server.process.kill()?;
        server.process.wait()?;
        Ok(())
    }

    fn generation(&mut self, rng: &mut StdRng, outcome: &mut Outcome) -> Result<(), TortureError> {
        // Now and then the clock is two minutes behind, which the program takes as it comes.
        let clock = if rng.random_bool(0.2) { -120 } else { 0 };
        let mut server = self.start(clock)?;
        if rng.random_bool(0.15) {
            std::thread::sleep(Duration::from_millis(rng.random_range(0..40)));
        } else {
            self.load(&mut server, Duration::from_millis(rng.random_range(20..700)), outcome)?;
        }
        server.process.kill()?;
        server.process.wait()?;
        outcome.kills += 1;
        self.compare(outcome);
        self.send_again(outcome)?;
        self.compare(outcome);
        Ok(())
    }

    fn sign_in(&mut self, server: &Server) -> Result<(), TortureError> {
        self.browser.turn_to(server.address);
        let begun = Instant::now();
        while self.browser.get("/day").is_err() && begun.elapsed() < START {
            std::thread::sleep(Duration::from_millis(5));
        }
        if self.browser.get("/day")?.status != 200 {
            let in_there = [("sign_in_name", NAME), ("password", PASSWORD)];
            expect(&self.browser.send("/sign-in", &in_there)?, "the sign-in")?;
        }
        Ok(())
    }

    /// Sends notes from several browsers until the program is killed.
    fn load(
        &mut self,
        server: &mut Server,
        time: Duration,
        outcome: &mut Outcome,
    ) -> Result<(), TortureError> {
        self.sign_in(server)?;
        let (ending, forms, mean) = (AtomicBool::new(false), Mutex::new(Vec::new()), Mutex::new(Vec::new()));
        std::thread::scope(|scope| {
            for _ in 0..BROWSERS {
                scope.spawn(|| {
                    let mut browser = self.browser.clone();
                    while !ending.load(Ordering::Acquire) {
                        match self.one_note(&mut browser, &forms) {
                            Ok(None) => {}
                            Ok(Some(odd)) => mean.lock().unwrap_or_else(PoisonError::into_inner).push(odd),
                            Err(_) => break,
                        }
                    }
                });
            }
            std::thread::sleep(time);
            let killed = server.process.kill();
            ending.store(true, Ordering::Release);
            killed
        })?;
        for odd in mean.into_inner().unwrap_or_else(PoisonError::into_inner) {
            outcome.verdict.wrong(odd);
        }
        for (text, form) in forms.into_inner().unwrap_or_else(PoisonError::into_inner) {
            self.forms.insert(text, form);
        }
        let saved = self.forms.values().filter(|form| form.acknowledged).count() as u64;
        (outcome.acknowledged, outcome.entries) = (saved, saved);
        Ok(())
    }

    /// Fills in and sends one note. An answer that is neither a refusal nor the page that follows is returned.
    fn one_note(
        &self,
        browser: &mut Browsing,
        forms: &Mutex<Vec<(String, SentForm)>>,
    ) -> std::io::Result<Option<String>> {
        let text = format!("note number {} end", self.next.fetch_add(1, Ordering::Relaxed));
        let mut fields = form(&browser.get(&self.note)?.text, &self.note);
        fields.insert("text".into(), text.clone());
        let push = |acknowledged: bool| {
            let sent = SentForm { fields: fields.clone(), acknowledged };
            let mut forms = forms.lock().unwrap_or_else(PoisonError::into_inner);
            forms.push((text.clone(), sent));
        };
        match browser.post(&self.note, &fields) {
            Ok(answer) if answer.status == 303 => push(true),
            Ok(answer) => return Ok(Some(format!("a note was answered with {}", answer.status))),
            Err(error) => {
                push(false);
                return Err(error);
            }
        }
        Ok(None)
    }

    /// Every form without an answer is sent once more, as it was.
    fn send_again(&mut self, outcome: &mut Outcome) -> Result<(), TortureError> {
        let open: Vec<String> =
            self.forms.iter().filter(|(_, form)| !form.acknowledged).map(|(text, _)| text.clone()).collect();
        if open.is_empty() {
            return Ok(());
        }
        let mut server = self.start(0)?;
        self.sign_in(&server)?;
        // The mark of a form belongs to a session, which goes on.
        for text in open {
            let Some(form) = self.forms.get_mut(&text) else { continue };
            let answer = self.browser.post(&self.note, &form.fields)?;
            if answer.status == 303 {
                form.acknowledged = true;
            } else {
                outcome.verdict.wrong(format!("“{text}” sent again was answered with {}", answer.status));
            }
            outcome.open_deeds += 1;
        }
        server.process.kill()?;
        server.process.wait()?;
        Ok(())
    }

    /// Reads the records past the program.
    fn compare(&self, outcome: &mut Outcome) {
        match self.notes() {
            Ok(notes) => {
                for (text, form) in &self.forms {
                    match (notes.get(text).copied().unwrap_or(0), form.acknowledged) {
                        (0, true) => {
                            outcome.verdict.lost += 1;
                            outcome.verdict.wrong(format!("lost: “{text}”"));
                        }
                        (0 | 1, _) => {}
                        (times, _) => {
                            outcome.verdict.phantoms += 1;
                            outcome.verdict.wrong(format!("“{text}” is there {times} times"));
                        }
                    }
                }
                for text in notes.keys().filter(|text| !self.forms.contains_key(*text)) {
                    outcome.verdict.phantoms += 1;
                    outcome.verdict.wrong(format!("“{text}” was never sent"));
                }
            }
            Err(error) => outcome.verdict.wrong(error),
        }
    }

    /// How often each note is in the records.
    fn notes(&self) -> Result<BTreeMap<String, usize>, String> {
        let mut options = Options::new("torture", |entries: &[Entry]| {
            Summary::empty(
                entries.first().map_or(record::ChildId::new(uuid::Uuid::nil()), |entry| entry.child),
            )
        });
        options.witness = self.witness_place().map(|place| WitnessPlace::in_folder(&place));
        let archive = Archive::open_for_reading(&self.data, options).map_err(|error| error.to_string())?;
        if let Some(finding) = archive.finding() {
            return Err(finding.sentence(&|at| at.to_string()));
        }
        let report = archive.verify().map_err(|error| error.to_string())?;
        if !report.is_sound() {
            return Err(report.to_string());
        }
        let mut notes = BTreeMap::new();
        let read = archive.for_each_child(&mut |_, entries| {
            for entry in entries {
                if let Body::Note(note) = entry.body {
                    *notes.entry(note.text).or_insert(0) += 1;
                }
            }
        });
        read.map(|()| notes).map_err(|error| error.to_string())
    }

    /// The folder in which the program has put the witness: the named one, or the only one in it.
    fn witness_place(&self) -> Option<PathBuf> {
        let has_log = |folder: &PathBuf| folder.join("witness.log").exists();
        let below = fs::read_dir(&self.witness).ok()?.flatten().map(|found| found.path());
        Some(self.witness.clone()).filter(has_log).or_else(|| below.into_iter().find(has_log))
    }
}

fn expect(answer: &HttpAnswer, what: &str) -> Result<(), TortureError> {
    if answer.status == 303 {
        return Ok(());
    }
    Err(TortureError::Words(format!("{what} was answered with {}: {}", answer.status, answer.text)))
}
