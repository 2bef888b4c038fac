//! How much of a deviation is left after a step.

/// Shares of a deviation that are left after a step and that are gone, while worn and while off. Computed again
/// only when the length of the step changes.
#[derive(Debug, Default)]
pub(super) struct Decay {
    seconds: f64,
    /// What is left.
    pub(super) stay: [f64; 2],
    /// What is gone, and its inverse.
    pub(super) gone: [f64; 2],
    pub(super) per_gone: [f64; 2],
}

impl Decay {
    /// After a step of this length, with the time constants of warming and of cooling; all in seconds.
    pub(super) fn of(&mut self, seconds: f64, warm: f64, cool: f64) -> &Self {
        if seconds != self.seconds {
            let stay = [warm, cool].map(|constant| (-seconds / constant).exp());
            let gone = stay.map(|stay| 1.0 - stay);
            *self = Self { seconds, stay, gone, per_gone: gone.map(|gone| 1.0 / gone) };
        }
        self
    }
}
