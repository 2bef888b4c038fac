//! The thread that writes the log: what comes within a second is one transaction.

use super::{AccessHead, file::LogFile, row::AccessEvent};
use crate::error::ArchiveError;
use record::Timestamp;
use std::{
    sync::{
        Mutex, PoisonError,
        atomic::{AtomicU64, Ordering},
        mpsc::{Receiver, RecvTimeoutError, Sender},
    },
    time::{Duration, Instant},
};

/// How long rows may wait to be written with others.
const WITHIN: Duration = Duration::from_secs(1);
/// Rows written at once at most.
const AT_ONCE: usize = 1_000;
/// Rows that wait while the disk fails; more are counted as lost.
const WAITING: usize = 10_000;
/// How often the length of the log is noted with the records.
const NOTED_EVERY: Duration = Duration::from_secs(60);

/// What the thread is asked.
pub(super) enum Asked {
    /// To write a row.
    Event(AccessEvent),
    /// To write everything that came before, and say so.
    Flush(Sender<Result<(), ArchiveError>>),
}

/// Notes the length of the log and its last hash with the records.
pub(super) type NoteHead = Box<dyn Fn(Timestamp, AccessHead) -> Result<(), ArchiveError> + Send>;

/// What the thread has to say to everybody else.
#[derive(Default)]
pub(super) struct LogState {
    trouble: Mutex<Option<(Timestamp, String)>>,
    lost: AtomicU64,
    pub(super) changes: AtomicU64,
}

impl LogState {
    pub(super) fn trouble(&self) -> Option<(Timestamp, String)> {
        self.trouble.lock().unwrap_or_else(PoisonError::into_inner).clone()
    }

    pub(super) fn lose(&self, count: u64, at: Timestamp, why: &str) {
        self.lost.fetch_add(count, Ordering::AcqRel);
        self.fails(at, why);
    }

    fn fails(&self, at: Timestamp, why: &str) {
        let mut trouble = self.trouble.lock().unwrap_or_else(PoisonError::into_inner);
        if trouble.is_none() {
            *trouble = Some((at, why.to_owned()));
            self.changes.fetch_add(1, Ordering::AcqRel);
        }
    }

    fn works_again(&self) {
        let mut trouble = self.trouble.lock().unwrap_or_else(PoisonError::into_inner);
        if trouble.take().is_some() {
            self.changes.fetch_add(1, Ordering::AcqRel);
        }
    }
}

/// What came in, and whether more can come.
struct Gathered {
    flushes: Vec<Sender<Result<(), ArchiveError>>>,
    open: bool,
}

/// Writes until nothing more can come.
pub(super) fn serve(mut file: LogFile, receiver: &Receiver<Asked>, state: &LogState, note: &NoteHead) {
    let mut waiting: Vec<AccessEvent> = Vec::new();
    let (mut noted_at, mut unnoted) = (Instant::now(), None);
    loop {
        let gathered = gather(receiver, &mut waiting);
        let last = waiting.last().map(|event| event.at);
        let written = write(&mut file, &mut waiting, state);
        if let (Ok(Some(head)), Some(at)) = (&written, last) {
            unnoted = Some((at, *head));
        }
        // A tail that is cut off is found from the last note on, so the end of the program is always noted, with what
        // commands have added.
        if !gathered.open {
            unnoted = file.last().ok().flatten();
        }
        if let Some((at, head)) = unnoted.filter(|_| !gathered.open || noted_at.elapsed() >= NOTED_EVERY) {
            match note(at, head) {
                Ok(()) => (noted_at, unnoted) = (Instant::now(), None),
                Err(error) => state.fails(at, &error.to_string()),
            }
        }
        let answer = written.map(|_| ());
        for flush in gathered.flushes {
            // Whoever asked may have gone.
            let _ = flush.send(answer.clone());
        }
        if !gathered.open {
            return;
        }
    }
}

/// Waits for a row, then for others for as long as they may wait.
fn gather(receiver: &Receiver<Asked>, waiting: &mut Vec<AccessEvent>) -> Gathered {
    let mut gathered = Gathered { flushes: Vec::new(), open: true };
    let mut until = (!waiting.is_empty()).then(|| Instant::now() + WITHIN);
    let most = waiting.len() + AT_ONCE;
    while waiting.len() < most {
        let asked = match until {
            None => receiver.recv().map_err(|_| RecvTimeoutError::Disconnected),
            Some(until) => receiver.recv_timeout(until.saturating_duration_since(Instant::now())),
        };
        match asked {
            Ok(Asked::Event(event)) => waiting.push(event),
            Ok(Asked::Flush(done)) => {
                gathered.flushes.push(done);
                return gathered;
            }
            Err(RecvTimeoutError::Timeout) => return gathered,
            Err(RecvTimeoutError::Disconnected) => {
                gathered.open = false;
                return gathered;
            }
        }
        until = until.or_else(|| Some(Instant::now() + WITHIN));
    }
    gathered
}

/// Writes what waits, after a row about what was lost. What cannot be written waits on.
fn write(
    file: &mut LogFile,
    waiting: &mut Vec<AccessEvent>,
    state: &LogState,
) -> Result<Option<AccessHead>, ArchiveError> {
    let lost = state.lost.load(Ordering::Acquire);
    let Some(at) = waiting.last().map(|event| event.at) else {
        return Ok(None);
    };
    let gap = (lost > 0).then(|| {
        let note = format!(
            "{lost} openings could not be noted before this row, because the log could not be written."
        );
        AccessEvent::gap(at, note)
    });
    let gapped = gap.is_some();
    let rows: Vec<AccessEvent> = gap.into_iter().chain(waiting.iter().cloned()).collect();
    match file.append(&rows) {
        Ok(head) => {
            waiting.clear();
            if gapped {
                state.lost.fetch_sub(lost, Ordering::AcqRel);
            }
            state.works_again();
            Ok(Some(head))
        }
        Err(error) => {
            state.fails(at, &error.to_string());
            if waiting.len() > WAITING {
                state.lost.fetch_add(waiting.len() as u64, Ordering::AcqRel);
                waiting.clear();
            }
            Err(error)
        }
    }
}
