//! What each command needs, and who runs it. Both lists name every command, so that a new one is decided about.

use super::{Command, DataArgs, SignInArgs};
use crate::access::AccessNeed;
use record::Right;

impl Command {
    /// What is needed to run it. A command that uses no records, and one whose pages ask for a sign-in, needs
    /// nothing.
    #[must_use]
    pub fn needs(&self) -> AccessNeed {
        match self {
            Self::Import(_)
            | Self::Export(_)
            | Self::Verify(_)
            | Self::AcceptRecords(_)
            | Self::Salvage(_) => AccessNeed::Right(Right::CareForRecords),
            Self::Child(_) | Self::Due(_) => AccessNeed::Right(Right::SeeClinical),
            Self::Backtest(args) if args.demo => AccessNeed::Nothing,
            Self::Capacity(args) if args.demo => AccessNeed::Nothing,
            Self::Backtest(_) | Self::Audit(_) => AccessNeed::Right(Right::SeeResults),
            Self::Capacity(_) => AccessNeed::Right(Right::SeeCapacity),
            Self::People(_) => AccessNeed::Right(Right::ManagePeople),
            Self::Serve(_)
            | Self::Demo(_)
            | Self::Survival(_)
            | Self::Agreement(_)
            | Self::Wear(_)
            | Self::Completions { .. } => AccessNeed::Nothing,
        }
    }

    /// Who runs it and where the records are, for a command that needs a right.
    #[must_use]
    pub fn signed(&self) -> Option<(&SignInArgs, &DataArgs)> {
        match self {
            Self::Import(args) => Some((&args.sign_in, &args.data)),
            Self::Export(args) => Some((&args.sign_in, &args.data)),
            Self::Child(args) => Some((&args.sign_in, &args.data)),
            Self::Due(args) => Some((&args.sign_in, &args.data)),
            Self::Backtest(args) => Some((&args.sign_in, &args.data)),
            Self::Audit(args) => Some((&args.sign_in, &args.data)),
            Self::Capacity(args) => Some((&args.sign_in, &args.data)),
            Self::Verify(args) => Some((&args.sign_in, &args.data)),
            Self::AcceptRecords(args) => Some((&args.sign_in, &args.data)),
            // Whoever signs in is looked up in the records, which may be too damaged for that.
            Self::Salvage(args) => Some((&args.sign_in, &args.data)),
            Self::People(args) => Some(args.command.signed()),
            Self::Serve(_)
            | Self::Demo(_)
            | Self::Survival(_)
            | Self::Agreement(_)
            | Self::Wear(_)
            | Self::Completions { .. } => None,
        }
    }
}
