//! What each command needs, and who runs it. Both lists name every command, so that a new one is decided about.

use super::{Command, SignedArgs};
use crate::access::AccessNeed;
use record::Right;

/// How a command is noted in the access log.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub struct NotedCommand {
    /// Its name there.
    pub name: &'static str,
    /// Whether it is about one child and notes that itself, once it has found the child.
    pub notes_child: bool,
}

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
            | Self::Salvage(_)
            | Self::Backup(_)
            | Self::Drill(_)
            | Self::TakeBackUpgrade(_)
            | Self::Encrypt(_)
            | Self::ChangeKey(_)
            | Self::RecoverySheet(_) => AccessNeed::Right(Right::CareForRecords),
            Self::Child(_) | Self::Due(_) => AccessNeed::Right(Right::SeeClinical),
            Self::Backtest(args) if args.demo => AccessNeed::Nothing,
            Self::Capacity(args) if args.demo => AccessNeed::Nothing,
            Self::Backtest(_) | Self::Audit(_) => AccessNeed::Right(Right::SeeResults),
            Self::Capacity(_) => AccessNeed::Right(Right::SeeCapacity),
            Self::AccessLog(_) => AccessNeed::Right(Right::SeeAccessLog),
            Self::FamilyCopy(_) => AccessNeed::Right(Right::RecordClinical),
            Self::Erasure(_) | Self::Retention(_) => AccessNeed::Right(Right::ProtectRecords),
            Self::People(_) => AccessNeed::Right(Right::ManagePeople),
            Self::Serve(_)
            | Self::Demo(_)
            | Self::Survival(_)
            | Self::Agreement(_)
            | Self::Wear(_)
            // Needs the passphrase or the recovery code; there may be no records in which somebody could sign in.
            | Self::Restore(_)
            | Self::Completions { .. } => AccessNeed::Nothing,
        }
    }

    /// Its name in the access log, for a command that shows or exports children; `None` for all others. A command
    /// about one child notes the child itself.
    #[must_use]
    pub const fn noted_as(&self) -> Option<NotedCommand> {
        match self {
            Self::Import(_) => Some(NotedCommand { name: "import", notes_child: false }),
            Self::Export(_) => Some(NotedCommand { name: "export", notes_child: false }),
            Self::Due(_) => Some(NotedCommand { name: "due", notes_child: false }),
            Self::Child(_) => Some(NotedCommand { name: "child", notes_child: true }),
            Self::AccessLog(_) => Some(NotedCommand { name: "access-log", notes_child: false }),
            Self::FamilyCopy(_) => Some(NotedCommand { name: "family-copy", notes_child: true }),
            Self::Erasure(_) => Some(NotedCommand { name: "erasure", notes_child: false }),
            Self::Retention(_) => Some(NotedCommand { name: "retention", notes_child: false }),
            Self::Salvage(_) => Some(NotedCommand { name: "salvage", notes_child: false }),
            Self::Serve(_)
            | Self::Demo(_)
            | Self::Backtest(_)
            | Self::Audit(_)
            | Self::Capacity(_)
            | Self::Survival(_)
            | Self::Agreement(_)
            | Self::Wear(_)
            | Self::Verify(_)
            | Self::AcceptRecords(_)
            | Self::Backup(_)
            | Self::Drill(_)
            | Self::Restore(_)
            | Self::TakeBackUpgrade(_)
            | Self::Encrypt(_)
            | Self::ChangeKey(_)
            | Self::RecoverySheet(_)
            | Self::People(_)
            | Self::Completions { .. } => None,
        }
    }

    /// Who runs it and where the records are, for a command that needs a right.
    #[must_use]
    pub fn signed(&self) -> Option<&SignedArgs> {
        match self {
            Self::Import(args) => Some(&args.signed),
            Self::Export(args) => Some(&args.signed),
            Self::Child(args) => Some(&args.signed),
            Self::Due(args) => Some(&args.signed),
            Self::Backtest(args) => Some(&args.signed),
            Self::Audit(args) => Some(&args.signed),
            Self::Capacity(args) => Some(&args.signed),
            Self::Verify(args) => Some(&args.signed),
            Self::AccessLog(args) => Some(args.command.signed()),
            Self::Erasure(args) => Some(args.command.signed()),
            Self::FamilyCopy(args) => Some(&args.signed),
            Self::Retention(args) => Some(&args.signed),
            Self::AcceptRecords(args) => Some(&args.signed),
            // Whoever signs in is looked up in the records, which may be too damaged for that.
            Self::Salvage(args) => Some(&args.signed),
            Self::Backup(args) => Some(&args.signed),
            Self::Drill(args) => Some(&args.signed),
            Self::TakeBackUpgrade(args) => Some(&args.signed),
            Self::Encrypt(args) => Some(&args.signed),
            Self::ChangeKey(args) => Some(&args.signed),
            Self::RecoverySheet(args) => Some(&args.signed),
            Self::People(args) => Some(args.command.signed()),
            Self::Serve(_)
            | Self::Demo(_)
            | Self::Survival(_)
            | Self::Agreement(_)
            | Self::Wear(_)
            | Self::Restore(_)
            | Self::Completions { .. } => None,
        }
    }
}
