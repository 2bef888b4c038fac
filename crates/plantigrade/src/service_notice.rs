//! What a service manager is told: that the program is ready, that it lives, that it stops. After the protocol of
//! `sd_notify` (systemd, man page sd_notify(3), section "Notes"): datagrams to the socket that `NOTIFY_SOCKET` names.

use crate::serving::ServedApp;
use std::time::Duration;

/// Tells the service manager, if there is one. That it cannot be told is no reason to stop.
pub fn tell(state: &str) {
    #[cfg(unix)]
    if let Some(socket) = std::env::var_os("NOTIFY_SOCKET") {
        // Nobody may be there to listen.
        let _ = unix::send(&socket, state);
    }
    #[cfg(not(unix))]
    let _ = state;
}

/// How often the service manager wants to hear that the program lives; `None` where it does not ask.
fn asked_every() -> Option<Duration> {
    let number = |name: &str| std::env::var(name).ok()?.parse::<u64>().ok();
    let of_this = number("WATCHDOG_PID").is_none_or(|process| process == u64::from(std::process::id()));
    number("WATCHDOG_USEC").filter(|_| of_this).map(Duration::from_micros)
}

/// Tells at twice the rate asked for that the program lives, as long as the records answer. While they are locked, or
/// being written anew, there is nothing to ask.
pub async fn keep_alive(served: ServedApp) {
    let Some(every) = asked_every() else { return };
    let mut turns = tokio::time::interval(every / 2);
    loop {
        turns.tick().await;
        let served = served.clone();
        let answered = tokio::task::spawn_blocking(move || {
            // Records that are damaged answer with an error and are served for reading: also that is being alive.
            served.now().map(|app| app.records.generation().is_ok())
        });
        if answered.await.is_ok() {
            tell("WATCHDOG=1");
        }
    }
}

#[cfg(unix)]
mod unix {
    use std::{ffi::OsStr, io, os::unix::net::UnixDatagram};

    pub(super) fn send(socket: &OsStr, state: &str) -> io::Result<usize> {
        let from = UnixDatagram::unbound()?;
        match socket.as_encoded_bytes() {
            #[cfg(target_os = "linux")]
            [b'@', name @ ..] => {
                use std::os::{linux::net::SocketAddrExt, unix::net::SocketAddr};
                from.send_to_addr(state.as_bytes(), &SocketAddr::from_abstract_name(name)?)
            }
            _ => from.send_to(state.as_bytes(), socket),
        }
    }
}
