//! Notes for the reader of a logger's days.

use super::WearModel;
use super::WornDay;
use super::split::Split;
use super::steps::Steps;
use std::fmt;

/// A note for the reader, in a sentence.
#[derive(Debug, Clone, Copy, PartialEq)]
pub enum WearNote {
    /// Too few samples to fit anything.
    TooFewSamples(usize),
    /// The number of samples that were not a temperature, or not later than the one before.
    Faults(usize),
    /// The sampling is so coarse that short take-offs may be missed; minutes.
    Coarse(f64),
    /// There was no quick change, so there is only one level.
    OneLevel {
        /// The level is too cool to be wear.
        off: bool,
    },
    /// The number of hours that could not be judged because the room is about as warm as the worn boot.
    Undecided(f64),
    /// No warm spell looks like a foot.
    NoFoot,
    /// The number of hours that were warm without looking enough like a foot.
    Doubted(f64),
    /// The worn level is cool for a foot.
    CoolWorn(f64),
    /// The number of samples of the boot without one of the room sensor nearby.
    RoomMissing(usize),
    /// The room sensor covers too little of the time and was not used.
    RoomUnused,
}

/// Sampling, minutes, above which short take-offs may be missed.
const COARSE_MIN: f64 = 20.0;
/// Fewer undecided hours need no note.
const LEAST_NOTED_H: f64 = 0.5;
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
    } else if doubted >= LEAST_NOTED_H {
        notes.push(WearNote::Doubted(doubted));
    }
    let undecided = days.iter().map(|day| day.hours_undecided).sum::<f64>() - doubted;
    if undecided >= LEAST_NOTED_H {
        notes.push(WearNote::Undecided(undecided));
    }
    if steps.room_missing > 0 {
        let used = !steps.room.is_empty();
        notes.push(if used { WearNote::RoomMissing(steps.room_missing) } else { WearNote::RoomUnused });
    }
    notes
}

impl WearNote {
    /// Whether it puts every day of the file in question, so that a reader has to see it first.
    #[must_use]
    pub const fn is_about_every_day(self) -> bool {
        match self {
            Self::TooFewSamples(_) | Self::OneLevel { .. } | Self::NoFoot | Self::CoolWorn(_) => true,
            Self::Faults(_)
            | Self::Coarse(_)
            | Self::Undecided(_)
            | Self::Doubted(_)
            | Self::RoomMissing(_)
            | Self::RoomUnused => false,
        }
    }
}

impl fmt::Display for WearNote {
    fn fmt(&self, f: &mut fmt::Formatter<'_>) -> fmt::Result {
        match self {
            Self::TooFewSamples(count) => {
                write!(f, "There are only {count} usable samples. At least 24 are needed to judge anything.")
            }
            Self::Faults(count) => write!(
                f,
                "{count} samples are outside −30 to 60 °C or not later than the one before. They \
                 count as missing."
            ),
            Self::Coarse(minutes) => write!(
                f,
                "The logger takes a sample every {minutes:.0} minutes. Take-offs shorter than that may be \
                 missed, so a single day may be wrong by half an hour or more. Sampling every 10 minutes or \
                 more often is better."
            ),
            Self::OneLevel { off: true } => write!(
                f,
                "The temperature never changes as quickly as it does when a boot is put on or taken off, and \
                 it is too low for a worn boot. The boot counts as never worn."
            ),
            Self::OneLevel { off: false } => write!(
                f,
                "The temperature never changes as quickly as it does when a boot is put on or taken off. A \
                 boot that is always worn and a boot in a warm room look the same; with a room sensor they \
                 can be distinguished."
            ),
            Self::Undecided(hours) => write!(
                f,
                "{hours:.1} hours could not be judged: the room is about as warm as the worn boot, or the file \
                 does not show how warm one of the two is. These hours count neither as worn nor as not worn."
            ),
            Self::NoFoot => write!(
                f,
                "It cannot be told whether this boot was worn: it was warm at times, but no warm spell looks like a \
                 foot. Something else may have warmed it, such as a bed, the sun, a heater or the body of somebody \
                 who carried it. The warm hours are undecided."
            ),
            Self::Doubted(hours) => write!(
                f,
                "{hours:.1} warm hours are undecided because something other than the child's foot may have warmed \
                 the boot. Each day states the reason. These hours count neither as worn nor as not worn."
            ),
            Self::CoolWorn(celsius) => write!(
                f,
                "The warmer of the two levels is only {celsius:.1} °C. That is cool for a foot in a boot: \
                 is the sensor inside the boot, and does something else warm it, such as sunshine or a heater?"
            ),
            Self::RoomMissing(count) => write!(
                f,
                "The room sensor has no sample near {count} samples of the boot. Its mean is used for these."
            ),
            Self::RoomUnused => {
                write!(f, "The room sensor covers less than half of the boot's samples, so it is not used.")
            }
        }
    }
}
