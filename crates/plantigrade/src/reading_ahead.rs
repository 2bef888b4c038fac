//! Reads the clinic for the forecasts of today as soon as the records are open, and again on each new day, so that
//! nobody who opens the first child waits for it.

use crate::web::Shared;
use std::{sync::Arc, thread, time::Duration};

/// How often it is asked whether a new day has begun.
const ASKED_EVERY: Duration = Duration::from_secs(60);

/// Reads on a thread of its own that ends with the program. What is read is kept, so that asking again costs nothing.
///
/// The thread does not keep the records open between two readings: it ends once they are closed.
pub fn start(app: &Shared) {
    let app = Arc::downgrade(app);
    let reading = move || {
        while let Some(app) = app.upgrade() {
            // A page that needs the forecasts meets the same error and shows it.
            if let Err(error) = app.records.forecaster(app.clock.today()) {
                tracing::warn!("the clinic is not read ahead for its forecasts: {error}");
            }
            drop(app);
            thread::sleep(ASKED_EVERY);
        }
    };
    if let Err(error) = thread::Builder::new().name("reading ahead".into()).spawn(reading) {
        tracing::warn!("the clinic is not read ahead for its forecasts: {error}");
    }
}
