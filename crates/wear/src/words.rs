//! What a reader of a logger's days should know.

use super::WearModel;
use super::WornDay;
use super::split::Split;
use super::steps::Steps;
use std::fmt;

/// Something a reader should know, in a sentence.
#[derive(Debug, Clone, Copy, PartialEq)]
pub enum WearNote {
    /// Too few samples to fit anything.
    TooFewSamples(usize),
    /// So many samples were no temperature, or not after the one before.
    Faults(usize),
    /// The sampling is so coarse that short take-offs may be missed; minutes.
    Coarse(f64),
    /// No quick change was ever seen, so there is one level only.
    OneLevel {
        /// The level is too cool to be wear.
        off: bool,
    },
    /// So many hours could not be judged because the room is about as warm as the boot when worn.
    Undecided(f64),
    /// No warm spell looks like a foot.
    NoFoot,
    /// So many hours were warm without looking enough like a foot.
    Doubted(f64),
    /// The worn level is cool for a foot.
    CoolWorn(f64),
    /// The room sensor missed so many samples.
    RoomMissing(usize),
    /// The room sensor covers too little of the time and was not used.
    RoomUnused,
}

/// Sampling from which short take-offs may be missed.
const COARSE_MIN: f64 = 20.0;
/// Fewer undecided hours need no note.
const LEAST_TOLD_H: f64 = 0.5;
/// A worn level below this is odd. Judgement.
const COOL_C: f64 = 28.0;

pub(super) fn notes(
    steps: &Steps,
    split: &Split,
    model: &WearModel,
    foot_seen: bool,
    days: &[WornDay],
) -> Vec<WearNote> {
    let mut notes = Vec::new();
    if steps.faults > 0 {
        notes.push(WearNote::Faults(steps.faults));
    }
    if model.sampling_min > COARSE_MIN {
        notes.push(WearNote::Coarse(model.sampling_min));
    }
    if split.changes == 0 {
        notes.push(WearNote::OneLevel { off: split.threshold_c == f64::INFINITY });
    } else if model.worn_level_c < COOL_C {
        notes.push(WearNote::CoolWorn(model.worn_level_c));
    }
    let doubted: f64 = days.iter().map(|day| day.hours_doubted).sum();
    if !foot_seen && doubted > 0.0 {
        notes.push(WearNote::NoFoot);
    } else if doubted >= LEAST_TOLD_H {
        notes.push(WearNote::Doubted(doubted));
    }
    let undecided = days.iter().map(|day| day.hours_undecided).sum::<f64>() - doubted;
    if undecided >= LEAST_TOLD_H {
        notes.push(WearNote::Undecided(undecided));
    }
    if steps.room_missing > 0 {
        let used = !steps.room.is_empty();
        notes.push(if used { WearNote::RoomMissing(steps.room_missing) } else { WearNote::RoomUnused });
    }
    notes
}

impl fmt::Display for WearNote {
    fn fmt(&self, f: &mut fmt::Formatter<'_>) -> fmt::Result {
        match self {
            Self::TooFewSamples(count) => write!(
                f,
                "There are only {count} usable samples. At least 24 are needed before anything can be said."
            ),
            Self::Faults(count) => write!(
                f,
                "{count} samples lie outside −30 to 60 °C or do not come after the one before them. They \
                 count as missing."
            ),
            Self::Coarse(minutes) => write!(
                f,
                "The logger takes a sample every {minutes:.0} minutes. Take-offs shorter than that may be \
                 missed, so a single day may be off by half an hour or more. Sampling every 10 minutes or \
                 oftener is better."
            ),
            Self::OneLevel { off: true } => write!(
                f,
                "The temperature never changes as quickly as it does when a boot is put on or taken off, and \
                 it is too cool for a worn boot. It is read as never worn."
            ),
            Self::OneLevel { off: false } => write!(
                f,
                "The temperature never changes as quickly as it does when a boot is put on or taken off. A \
                 boot always worn and a boot lying in a warm room look the same; a sensor for the room would \
                 tell them apart."
            ),
            Self::Undecided(hours) => write!(
                f,
                "{hours:.1} hours could not be judged: the room is about as warm as the worn boot, or how \
                 warm one of the two is cannot be told from the file. These hours count neither as worn nor \
                 as not worn."
            ),
            Self::NoFoot => write!(
                f,
                "It cannot be told whether this boot was worn: it was warm at times, but no warm spell looks like a \
                 foot. Something else may have warmed it, such as a bed, the sun, a heater or a body it was \
                 carried against. The warm hours are undecided."
            ),
            Self::Doubted(hours) => write!(
                f,
                "{hours:.1} warm hours are undecided because something else than the child's foot may have warmed \
                 the boot. The days state why. These hours count neither as worn nor as not worn."
            ),
            Self::CoolWorn(celsius) => write!(
                f,
                "The warmer of the two levels is only {celsius:.1} °C. That is cool for a foot in a boot: \
                 is the sensor inside the boot, and does something else warm it, such as sunshine or a heater?"
            ),
            Self::RoomMissing(count) => write!(
                f,
                "The room sensor has nothing near {count} samples of the boot. Its mean is used for these."
            ),
            Self::RoomUnused => {
                write!(f, "The room sensor covers less than half of the boot's samples, so it is not used.")
            }
        }
    }
}
