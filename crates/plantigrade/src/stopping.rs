//! How the program ends: the first signal lets the requests under way finish, a second one ends it at once.

use crate::{exit::Exit, service_notice, serving::ServedApp};
use std::thread;
use tokio::sync::oneshot;

/// Waits for the first signal (Ctrl-C; elsewhere than on Windows also that of a service manager) on a thread of its
/// own, which goes on to wait for the second: also while the last requests finish and the files are closed.
pub fn stop_signal() -> oneshot::Receiver<()> {
    let (tell, told) = oneshot::channel();
    let waiting = thread::Builder::new().name("signals".into()).spawn(move || wait(tell));
    if let Err(error) = waiting {
        tracing::warn!("signals cannot be waited for: {error}");
    }
    told
}

fn wait(tell: oneshot::Sender<()>) {
    let Ok(runtime) = tokio::runtime::Builder::new_current_thread().enable_all().build() else { return };
    runtime.block_on(async {
        let mut signals = StopSignals::new();
        signals.next().await;
        tracing::info!("stopping: running requests are finished first");
        service_notice::tell("STOPPING=1");
        // The server may have stopped by itself.
        let _ = tell.send(());
        signals.next().await;
        tracing::warn!("ended at once by a second signal");
        std::process::exit(Exit::Failed as i32);
    });
}

struct StopSignals {
    #[cfg(unix)]
    terminate: Option<tokio::signal::unix::Signal>,
    #[cfg(unix)]
    interrupt: Option<tokio::signal::unix::Signal>,
}

impl StopSignals {
    #[cfg(unix)]
    fn new() -> Self {
        use tokio::signal::unix::{SignalKind, signal};
        Self {
            terminate: signal(SignalKind::terminate()).ok(),
            interrupt: signal(SignalKind::interrupt()).ok(),
        }
    }

    #[cfg(not(unix))]
    const fn new() -> Self {
        Self {}
    }

    /// The next signal. Without signals it never comes.
    #[cfg(unix)]
    async fn next(&mut self) {
        async fn one(signal: &mut Option<tokio::signal::unix::Signal>) {
            match signal {
                Some(signal) => drop(signal.recv().await),
                None => std::future::pending().await,
            }
        }
        tokio::select! {
            () = one(&mut self.terminate) => {}
            () = one(&mut self.interrupt) => {}
        }
    }

    #[cfg(not(unix))]
    async fn next(&mut self) {
        if tokio::signal::ctrl_c().await.is_err() {
            std::future::pending::<()>().await;
        }
    }
}

/// Called once nothing answers any more: what was noted and not yet written is on the disk when this returns, and the
/// files are closed unless a request that could not finish still holds them.
pub fn closed(served: &ServedApp) {
    let Some(app) = served.now() else { return };
    tracing::warn!("a request did not finish in time; its form may not have been saved");
    if let Err(error) = app.access_log.flush() {
        tracing::error!("the access log could not be written at the end: {error}");
    }
}
