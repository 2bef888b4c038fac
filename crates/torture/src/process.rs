//! Starts the child and listens to it.

use crate::{deed::DeedLine, load::LoadTask, outcome::TortureError, preload::Preload};
use std::{
    io::{BufRead, BufReader},
    path::PathBuf,
    process::{Child, Command, Stdio},
    sync::mpsc::{self, Receiver, RecvTimeoutError},
    time::{Duration, Instant},
};

/// A running child with what it has said.
#[derive(Debug)]
pub struct Running {
    process: Child,
    lines: Receiver<String>,
    heard: Vec<DeedLine>,
}

/// The file of this program, which is also the child's.
///
/// # Errors
/// When the system does not say.
pub fn own_program() -> Result<PathBuf, TortureError> {
    // Tests are programs of their own beside which this one lies.
    let here = std::env::current_exe()?;
    let named = |path: &PathBuf| path.file_stem().is_some_and(|stem| stem == "torture");
    Some(here.clone()).filter(named).map_or_else(
        || {
            let beside = here.parent().and_then(|deps| deps.parent()).map(|folder| folder.join("torture"));
            beside.filter(|path| path.exists()).ok_or_else(|| {
                TortureError::Words(format!("the program torture is not beside {}", here.display()))
            })
        },
        Ok,
    )
}

impl Running {
    /// Starts a child.
    ///
    /// # Errors
    /// When the process cannot be started.
    pub fn start(task: &LoadTask, preload: Option<&Preload>) -> Result<Self, TortureError> {
        let mut command = Command::new(own_program()?);
        command
            .arg("child")
            .arg(&task.folder)
            .args(["--seed", &task.seed.to_string(), "--generation", &task.generation.to_string()])
            .args(["--writers", &task.writers.to_string()])
            .stdout(Stdio::piped())
            .stderr(Stdio::null());
        if let Some(deeds) = task.deeds {
            command.args(["--deeds", &deeds.to_string()]);
        }
        if let Some(preload) = preload {
            preload.add_to(&mut command);
        }
        let mut process = command.spawn()?;
        let out = process.stdout.take().ok_or_else(|| TortureError::Words("no pipe".into()))?;
        let (sender, lines) = mpsc::channel();
        // The thread ends with the pipe.
        std::thread::spawn(move || {
            let mut reader = BufReader::new(out);
            let mut line = String::new();
            // What does not end with a line break was cut off: the child was killed while it said it.
            while reader.read_line(&mut line).is_ok_and(|length| length > 0) && line.ends_with('\n') {
                if sender.send(std::mem::take(&mut line)).is_err() {
                    break;
                }
            }
        });
        Ok(Self { process, lines, heard: Vec::new() })
    }

    /// Listens for a while, or until the child has opened the records.
    fn listen(&mut self, until: Instant, only_until_open: bool) -> Result<(), TortureError> {
        loop {
            let left = until.saturating_duration_since(Instant::now());
            match self.lines.recv_timeout(left) {
                Ok(line) => self.take(&line)?,
                Err(RecvTimeoutError::Timeout | RecvTimeoutError::Disconnected) => return Ok(()),
            }
            if only_until_open && !self.heard.is_empty() {
                return Ok(());
            }
        }
    }

    fn take(&mut self, line: &str) -> Result<(), TortureError> {
        let parsed = line.trim_end().parse();
        self.heard.push(parsed.map_err(|()| TortureError::Words(format!("the child said {line:?}")))?);
        Ok(())
    }

    /// Waits until the child has opened the records or said why not.
    ///
    /// # Errors
    /// When it said something else.
    pub fn until_open(&mut self, at_most: Duration) -> Result<bool, TortureError> {
        self.listen(Instant::now() + at_most, true)?;
        Ok(self.heard.first() == Some(&DeedLine::Open))
    }

    /// What was said so far, with what comes within a time.
    ///
    /// # Errors
    /// When the child said something that is no line of a deed.
    pub fn heard_within(&mut self, time: Duration) -> Result<&[DeedLine], TortureError> {
        self.listen(Instant::now() + time, false)?;
        Ok(&self.heard)
    }

    /// Kills the child with SIGKILL; what it said before counts. Says whether it was still running.
    ///
    /// # Errors
    /// As [`Running::heard_within`].
    pub fn kill(mut self) -> Result<(Vec<DeedLine>, bool), TortureError> {
        // It may have ended by itself.
        let _ = self.process.kill();
        let status = self.process.wait()?;
        self.rest()?;
        Ok((self.heard, !status.success()))
    }

    /// Waits until the child has ended by itself.
    ///
    /// # Errors
    /// As [`Running::heard_within`].
    pub fn end(mut self) -> Result<Vec<DeedLine>, TortureError> {
        self.rest()?;
        self.process.wait()?;
        Ok(self.heard)
    }

    fn rest(&mut self) -> Result<(), TortureError> {
        while let Ok(line) = self.lines.recv() {
            self.take(&line)?;
        }
        Ok(())
    }
}
