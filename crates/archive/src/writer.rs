//! The one connection that writes. Jobs that arrive together share one commit, each within its own
//! savepoint, and are answered only after the commit. A job that arrives alone, and every import, has a
//! transaction of its own.
//!
//! The connection belongs to a thread, to which jobs are sent. Somebody who writes while nobody else does works on it
//! without the thread, because waking two threads takes time that the commit does not.

use crate::{
    cache::LogCache,
    error::ArchiveError,
    generation::LogWatch,
    health::Health,
    sealing::Sealing,
    summary::WorkKind,
    tally::{self, Tallies},
};
use record::Day;
use rusqlite::Connection;
use std::{
    sync::{
        Arc, Mutex,
        atomic::{AtomicU64, AtomicUsize, Ordering},
        mpsc::{self, Receiver, Sender, TryRecvError},
    },
    thread::JoinHandle,
    time::{Duration, Instant},
};

/// Jobs that share a commit at most; keeps the wait of the first one short.
const JOBS_PER_COMMIT: usize = 256;

/// How long jobs are waited for that are likely to come at once, at most; and as a part of what the last commit took.
const GATHERING: Duration = Duration::from_millis(2);
const GATHERING_PART: u32 = 4;

/// Told whether the commit went through; then answers the caller.
type Answer = Box<dyn FnOnce(Result<(), ArchiveError>) + Send>;
/// Does the work, or is told why it cannot be done; hands back its failure if it is to be undone.
type Job = Box<dyn FnOnce(Result<&Connection, ArchiveError>) -> (Option<ArchiveError>, Answer) + Send>;

/// What the thread is asked.
enum Asked {
    /// To write.
    Job(Job),
    /// To write very much, in a transaction of its own.
    Import(Job),
    /// To work on the file outside any transaction.
    Outside(Box<dyn FnOnce(&Connection) + Send>),
    /// To count the items of a day, and say when it is done.
    Count(WorkKind, Day, Sender<()>),
}

/// How often was written.
#[derive(Debug, Default)]
pub(crate) struct Counters {
    /// Goes up with every commit; what was read before it may be out of date.
    pub commits: AtomicU64,
    /// Jobs answered.
    pub jobs: AtomicU64,
    /// What was asked and not yet begun.
    pub waiting: AtomicU64,
}

/// The connection that writes, with what has to be brought up to date with each commit. Whoever holds it writes.
struct WritingEnd {
    conn: Connection,
    after: AfterCommit,
}

/// The way to the connection that writes.
pub(crate) struct Writer {
    end: Arc<Mutex<WritingEnd>>,
    callers: AtomicUsize,
    sender: Mutex<Option<Sender<Asked>>>,
    thread: Mutex<Option<JoinHandle<()>>>,
    health: Arc<Health>,
    pub counters: Arc<Counters>,
    pub tallies: Arc<Tallies>,
}

impl Writer {
    /// Starts the thread. Without `sealing` the records have no witness.
    pub(crate) fn start(
        conn: Connection,
        cache: &Arc<LogCache>,
        watch: &Arc<LogWatch>,
        sealing: Option<Sealing>,
        health: &Arc<Health>,
    ) -> Result<Self, ArchiveError> {
        let (sender, receiver) = mpsc::channel();
        let counters = Arc::new(Counters::default());
        let tallies = Arc::new(Tallies::of(Arc::clone(cache)));
        let after = AfterCommit {
            counters: Arc::clone(&counters),
            tallies: Arc::clone(&tallies),
            watch: Arc::clone(watch),
            sealing,
        };
        let end = Arc::new(Mutex::new(WritingEnd { conn, after }));
        let of_thread = Arc::clone(&end);
        let thread = std::thread::Builder::new()
            .name("archive writer".into())
            .spawn(move || serve(&of_thread, &receiver))
            .map_err(|error| ArchiveError::Database(error.to_string()))?;
        let (sender, thread) = (Mutex::new(Some(sender)), Mutex::new(Some(thread)));
        let (callers, health) = (AtomicUsize::new(0), Arc::clone(health));
        Ok(Self { end, callers, sender, thread, health, counters, tallies })
    }

    /// Runs `work` on the connection that writes, and returns when what it did is on disk, or undone.
    pub(crate) fn run<T: Send + 'static>(
        &self,
        work: impl FnOnce(&Connection) -> Result<T, ArchiveError> + Send + 'static,
    ) -> Result<T, ArchiveError> {
        let alone = self.callers.fetch_add(1, Ordering::AcqRel) == 0;
        let done = if alone { self.here_or_there(work) } else { self.there(work) };
        self.callers.fetch_sub(1, Ordering::AcqRel);
        done
    }

    /// Runs `work` on the thread of the caller if nothing is being written or waiting to be, otherwise on the writing
    /// thread, where it shares a commit.
    fn here_or_there<T: Send + 'static>(
        &self,
        work: impl FnOnce(&Connection) -> Result<T, ArchiveError> + Send + 'static,
    ) -> Result<T, ArchiveError> {
        if self.counters.waiting.load(Ordering::Acquire) > 0 {
            return self.there(work);
        }
        let Ok(end) = self.end.try_lock() else { return self.there(work) };
        let (job, answered) = job_of(work, || (), &self.health);
        end.after.commit(&end.conn, vec![job]);
        drop(end);
        answered.recv().unwrap_or(Err(ArchiveError::Closed))
    }

    fn there<T: Send + 'static>(
        &self,
        work: impl FnOnce(&Connection) -> Result<T, ArchiveError> + Send + 'static,
    ) -> Result<T, ArchiveError> {
        self.begin(work)?.recv().unwrap_or(Err(ArchiveError::Closed))
    }

    /// Hands `work` to the writing thread; the answer comes through the channel.
    fn begin<T: Send + 'static>(
        &self,
        work: impl FnOnce(&Connection) -> Result<T, ArchiveError> + Send + 'static,
    ) -> Result<Receiver<Result<T, ArchiveError>>, ArchiveError> {
        let (job, answered) = job_of(work, || (), &self.health);
        self.ask(Asked::Job(job))?;
        Ok(answered)
    }

    /// The same in a transaction that no other job shares.
    pub(crate) fn begin_alone<T: Send + 'static>(
        &self,
        work: impl FnOnce(&Connection) -> Result<T, ArchiveError> + Send + 'static,
    ) -> Result<Receiver<Result<T, ArchiveError>>, ArchiveError> {
        self.begin_alone_then(work, || ())
    }

    /// The same; `then` is called on the writing thread once the commit has succeeded, before any other job.
    pub(crate) fn begin_alone_then<T: Send + 'static>(
        &self,
        work: impl FnOnce(&Connection) -> Result<T, ArchiveError> + Send + 'static,
        then: impl FnOnce() + Send + 'static,
    ) -> Result<Receiver<Result<T, ArchiveError>>, ArchiveError> {
        let (job, answered) = job_of(work, then, &self.health);
        self.ask(Asked::Import(job))?;
        Ok(answered)
    }

    /// Runs `work` on the writing thread outside any transaction, after everything that was asked before.
    pub(crate) fn outside<T: Send + 'static>(
        &self,
        work: impl FnOnce(&Connection) -> Result<T, ArchiveError> + Send + 'static,
    ) -> Result<T, ArchiveError> {
        let (answer, answered) = mpsc::channel();
        self.ask(Asked::Outside(Box::new(move |conn| {
            // A caller that has gone away needs no answer.
            let _ = answer.send(work(conn));
        })))?;
        answered.recv().unwrap_or(Err(ArchiveError::Closed))
    }

    /// Has the items of a day counted. Told through the channel when that is done.
    pub(crate) fn count(&self, kind: WorkKind, day: Day) -> Result<Receiver<()>, ArchiveError> {
        let (tell, told) = mpsc::channel();
        self.ask(Asked::Count(kind, day, tell))?;
        Ok(told)
    }

    fn ask(&self, asked: Asked) -> Result<(), ArchiveError> {
        let sender = self.sender.lock().map_err(|_| ArchiveError::Closed)?;
        let sender = sender.as_ref().ok_or(ArchiveError::Closed)?;
        self.counters.waiting.fetch_add(1, Ordering::Release);
        sender.send(asked).map_err(|_| ArchiveError::Closed)
    }
}

/// The job that does `work` and, once that is committed, `then`; and where its answer comes.
fn job_of<T: Send + 'static>(
    work: impl FnOnce(&Connection) -> Result<T, ArchiveError> + Send + 'static,
    then: impl FnOnce() + Send + 'static,
    health: &Arc<Health>,
) -> (Job, Receiver<Result<T, ArchiveError>>) {
    let (answer, answered) = mpsc::channel();
    let health = Arc::clone(health);
    let job: Job = Box::new(move |conn| {
        let done = conn.and_then(work);
        let failed = done.as_ref().err().cloned();
        let reply = move |commit: Result<(), ArchiveError>| {
            let done = done.and_then(|value| commit.map(|()| value));
            match &done {
                Ok(_) => then(),
                Err(error) => health.note(error),
            }
            // A caller that has gone away needs no answer.
            let _ = answer.send(done);
        };
        (failed, Box::new(reply))
    });
    (job, answered)
}

impl Drop for Writer {
    fn drop(&mut self) {
        if let Ok(mut sender) = self.sender.lock() {
            sender.take();
        }
        if let Ok(mut thread) = self.thread.lock()
            && let Some(thread) = thread.take()
        {
            let _ = thread.join();
        }
    }
}

/// What has to be brought up to date with each commit.
struct AfterCommit {
    counters: Arc<Counters>,
    tallies: Arc<Tallies>,
    watch: Arc<LogWatch>,
    sealing: Option<Sealing>,
}

fn serve(end: &Mutex<WritingEnd>, receiver: &Receiver<Asked>) {
    let mut gathering = Gathering { answered: 0, took: Duration::ZERO };
    while let Ok(first) = receiver.recv() {
        let gathered = gathering.gather(first, receiver);
        // Whoever panicked while writing left the transaction in an unknown state.
        let Ok(end) = end.lock() else { return };
        let WritingEnd { conn, after } = &*end;
        let (mut jobs, mut imports, mut counts) = (Vec::new(), Vec::new(), Vec::new());
        let mut outside = Vec::new();
        for asked in gathered {
            after.counters.waiting.fetch_sub(1, Ordering::AcqRel);
            match asked {
                Asked::Job(job) => jobs.push(job),
                Asked::Import(job) => imports.push(job),
                Asked::Outside(work) => outside.push(work),
                Asked::Count(kind, day, tell) => counts.push((kind, day, tell)),
            }
        }
        // Short jobs first: whoever saves a visit does not wait for an import that came just before.
        gathering.answered = jobs.len();
        if !jobs.is_empty() {
            let begun = Instant::now();
            after.commit(conn, jobs);
            gathering.took = begun.elapsed();
        }
        for import in imports {
            after.commit(conn, vec![import]);
        }
        for work in outside {
            work(conn);
        }
        for (kind, day, tell) in counts {
            after.tallies.count(conn, kind, day);
            // Whoever asked may have given up waiting.
            let _ = tell.send(());
        }
    }
}

/// What is known of the last commit. Whoever was just answered is likely to save again at once; without waiting for
/// them half of them would always miss the commit of the other half.
struct Gathering {
    answered: usize,
    took: Duration,
}

impl Gathering {
    /// The jobs of the next commit. Where the last one had a single job nothing is waited for.
    fn gather(&self, first: Asked, receiver: &Receiver<Asked>) -> Vec<Asked> {
        let until = Instant::now() + (self.took / GATHERING_PART).min(GATHERING);
        let mut asked = vec![first];
        while asked.len() < JOBS_PER_COMMIT {
            let next = match receiver.try_recv() {
                Err(TryRecvError::Empty) if asked.len() < self.answered => {
                    receiver.recv_timeout(until.saturating_duration_since(Instant::now())).ok()
                }
                next => next.ok(),
            };
            let Some(next) = next else { break };
            asked.push(next);
        }
        asked
    }
}

impl AfterCommit {
    /// Does the jobs in one transaction and answers them.
    fn commit(&self, conn: &Connection, jobs: Vec<Job>) {
        self.counters.jobs.fetch_add(jobs.len() as u64, Ordering::Relaxed);
        let (commit, answers) = together(conn, jobs, self);
        self.watch.look(conn);
        self.counters.commits.fetch_add(1, Ordering::Release);
        for answer in answers {
            answer(commit.clone());
        }
    }
}

/// Does the jobs in one transaction.
fn together(
    conn: &Connection,
    mut jobs: Vec<Job>,
    after: &AfterCommit,
) -> (Result<(), ArchiveError>, Vec<Answer>) {
    if jobs.len() == 1
        && let Some(job) = jobs.pop()
    {
        let (state, answer) = alone(conn, job, after);
        return (state, vec![answer]);
    }
    let mut state = conn.execute_batch("BEGIN IMMEDIATE").map_err(ArchiveError::from);
    let mut answers = Vec::with_capacity(jobs.len());
    for job in jobs {
        let (done, answer) = in_savepoint(conn, &state, job);
        answers.push(answer);
        state = state.and(done);
    }
    (commit(conn, state, after), answers)
}

/// Does one job in a transaction of its own, without a savepoint. In a savepoint SQLite keeps the former
/// content of every page that the job changes, and goes through all of it after each statement: an import
/// into a large file would take longer with the square of its size.
fn alone(conn: &Connection, job: Job, after: &AfterCommit) -> (Result<(), ArchiveError>, Answer) {
    let begun = conn.execute_batch("BEGIN IMMEDIATE").map_err(ArchiveError::from);
    let (failed, answer) = job(begun.clone().map(|()| conn));
    let state = match failed {
        _ if begun.is_err() => begun,
        None => commit(conn, begun, after),
        // A full disk makes SQLite give up the whole transaction by itself.
        Some(error) if conn.is_autocommit() => Err(error),
        Some(_) => conn.execute_batch("ROLLBACK").map_err(Into::into),
    };
    (state, answer)
}

/// Commits, unless the transaction is lost. When this returns what was committed is on the disk, and so is the line
/// of the witness about it.
fn commit(
    conn: &Connection,
    state: Result<(), ArchiveError>,
    after: &AfterCommit,
) -> Result<(), ArchiveError> {
    let changes = state.is_ok().then(|| tally::take(conn));
    let sealing = after.sealing.as_ref();
    let sealed = state.and_then(|()| sealing.map_or(Ok(None), |sealing| sealing.before_commit(conn)));
    let done = sealed.and_then(|seal| {
        let done = conn.execute_batch("COMMIT");
        done.map(|()| seal).map_err(|error| undone(conn, error))
    });
    if done.is_err() && !conn.is_autocommit() {
        let _ = conn.execute_batch("ROLLBACK");
    }
    let seal = done?;
    if let Some(changes) = &changes {
        after.tallies.changed(conn, changes);
    }
    if let (Some(sealing), Some(seal)) = (sealing, seal) {
        sealing.after_commit(seal);
    }
    Ok(())
}

/// The error of a commit that failed, after making sure that nothing of it remains. Where only the flush failed, the
/// pages are whole in the write-ahead log and would count at the next start, although whoever saved was told that
/// nothing was. Another commit is written over them; if that fails too, nobody can tell.
fn undone(conn: &Connection, error: rusqlite::Error) -> ArchiveError {
    let flush = rusqlite::ffi::SQLITE_IOERR_FSYNC;
    if error.sqlite_error().is_none_or(|failure| failure.extended_code != flush) {
        return error.into();
    }
    if !conn.is_autocommit() {
        let _ = conn.execute_batch("ROLLBACK");
    }
    // Writing the number that is there writes a page.
    let covered = conn
        .pragma_query_value(None, "user_version", |row| row.get::<_, i32>(0))
        .and_then(|version| conn.pragma_update(None, "user_version", version));
    match covered {
        Ok(()) => error.into(),
        Err(_) => ArchiveError::Unsure(error.to_string()),
    }
}

/// Does one job in its savepoint, unless the transaction is lost already. An error here means that it
/// now is: the failure of a single job is in its answer.
fn in_savepoint(
    conn: &Connection,
    state: &Result<(), ArchiveError>,
    job: Job,
) -> (Result<(), ArchiveError>, Answer) {
    let begun = state.clone().and_then(|()| Ok(conn.execute_batch("SAVEPOINT job")?));
    let (failed, answer) = job(begun.clone().map(|()| conn));
    if begun.is_err() {
        return (begun, answer);
    }
    let ended = match failed {
        // A full disk makes SQLite give up the whole transaction by itself.
        Some(error) if conn.is_autocommit() => Err(error),
        Some(_) => conn.execute_batch("ROLLBACK TO job; RELEASE job").map_err(Into::into),
        None => conn.execute_batch("RELEASE job").map_err(Into::into),
    };
    (ended, answer)
}
