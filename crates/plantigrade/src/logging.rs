//! The log, on standard error: never a name, a form or a token.

use tracing_subscriber::EnvFilter;

/// Begins the log: warnings and errors, or what `PLANTIGRADE_LOG` asks for.
pub fn log() {
    let filter = EnvFilter::try_from_env("PLANTIGRADE_LOG").unwrap_or_else(|_| EnvFilter::new("warn"));
    // Fails only if logging was set up before, as in tests.
    let _ = tracing_subscriber::fmt().with_env_filter(filter).with_writer(std::io::stderr).try_init();
}
