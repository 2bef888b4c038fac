//! The program itself, started as a clinic starts it.

use std::{
    io::{BufRead, BufReader},
    path::Path,
    process::{Child, ChildStdout, Command, Stdio},
};
use tempfile::TempDir;

/// The witnesses of the records of tests, so that none is left in the home folder of whoever runs them.
pub const WITNESSES: (&str, &str) = ("PLANTIGRADE_WITNESS", concat!(env!("CARGO_TARGET_TMPDIR"), "/witness"));

const LOG: &str = "program.log";

/// A running server; it ends with this value.
pub struct Clinic {
    child: Child,
    /// Kept, so that the program may go on printing.
    _output: BufReader<ChildStdout>,
    /// What it printed until it was ready.
    pub printed: String,
    /// The link it printed.
    pub link: String,
    /// Where the program puts what it throws away, and its log.
    temp: TempDir,
}

impl Clinic {
    /// `serve` on a folder.
    pub fn serve(data: &Path, today: &str) -> Self {
        Self::start(&["serve", "--data", data.to_str().unwrap(), "--today", today])
    }

    /// `serve` on a folder, for the clinic's network too.
    pub fn serve_network(data: &Path, today: &str) -> Self {
        let data = data.to_str().unwrap();
        Self::start(&["serve", "--data", data, "--today", today, "--clinic-network=127.0.0.1:0"])
    }

    /// The address of the encrypted door to the clinic's network.
    pub fn network(&self) -> String {
        let told = self.printed.lines().map(str::trim).find(|line| line.starts_with("https://"));
        let port =
            told.and_then(|line| line.rsplit(':').next()).expect("no address of the network was printed");
        format!("https://127.0.0.1:{port}")
    }

    /// `demo`.
    pub fn demo(children: u32, today: &str) -> Self {
        Self::start(&["demo", "--children", &children.to_string(), "--today", today])
    }

    /// The program as it is started by its name alone, for a person whose home is this folder.
    pub fn at_home(home: &Path, arguments: &[&str]) -> Self {
        Self::begin(Self::command(home, arguments))
    }

    /// A command typed by that person, in that folder.
    pub fn command(home: &Path, arguments: &[&str]) -> Command {
        let mut command = Command::new(env!("CARGO_BIN_EXE_plantigrade"));
        command.args(arguments).current_dir(home).env("HOME", home);
        command.env_remove("XDG_DATA_HOME").env_remove("XDG_STATE_HOME").env_remove("PLANTIGRADE_DATA");
        command
    }

    fn start(arguments: &[&str]) -> Self {
        let mut command = Command::new(env!("CARGO_BIN_EXE_plantigrade"));
        command.args(arguments).env_remove("PLANTIGRADE_DATA").env(WITNESSES.0, WITNESSES.1);
        Self::begin(command)
    }

    fn begin(mut command: Command) -> Self {
        let temp = tempfile::tempdir().unwrap();
        let mut child = command
            .args(["--listen", "127.0.0.1:0", "--no-open"])
            .env("TMPDIR", temp.path())
            .env("PLANTIGRADE_LOG", "debug")
            .env("PLANTIGRADE_LOG_FILE", temp.path().join(LOG))
            .stdout(Stdio::piped())
            .spawn()
            .unwrap();
        let mut output = BufReader::new(child.stdout.take().unwrap());
        let printed = until_ready(&mut output);
        let link = printed.lines().map(str::trim).find(|line| line.starts_with("http://"));
        let link = link.unwrap_or_else(|| panic!("no address was printed: {printed}")).to_owned();
        Self { child, _output: output, printed, link, temp }
    }

    /// What it logged so far, at the level that says most.
    pub fn log(&self) -> String {
        std::fs::read_to_string(self.temp.path().join(LOG)).unwrap()
    }

    /// Ends the program with Ctrl-C, and waits until it has ended.
    pub fn interrupt(mut self) {
        let sent = Command::new("kill").args(["-INT", &self.child.id().to_string()]).status().unwrap();
        assert!(sent.success(), "the signal was not sent");
        let ended = self.child.wait().unwrap();
        assert!(ended.success(), "the program ended with {ended}");
    }

    /// Address of a path on this server; an address of its own stays as it is.
    pub fn at(&self, path: &str) -> String {
        if path.starts_with("https://") {
            return path.to_owned();
        }
        let end = self.link.match_indices('/').nth(2).map_or(self.link.len(), |(end, _)| end);
        format!("{}{path}", &self.link[..end])
    }
}

impl Drop for Clinic {
    fn drop(&mut self) {
        let _ = self.child.kill();
        let _ = self.child.wait();
    }
}

fn until_ready(output: &mut BufReader<ChildStdout>) -> String {
    let mut printed = String::new();
    while !printed.contains("Ctrl-C") {
        let read = output.read_line(&mut printed).unwrap();
        assert!(read > 0, "the program ended before it was ready: {printed}");
    }
    printed
}
