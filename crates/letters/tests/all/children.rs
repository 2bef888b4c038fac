//! Three invented children: first casts, full-time brace, relapse.

use crate::story::{Story, day};
use guidance::{Outlook, Protocol};
use letters::{ClinicContact, FamilyFacts, NoDocument};

pub const CASTS: &str = "| 2025-02-03 | – | registered | name Solveig; born 2025-01-20; gestation 40 w |
    | 2025-02-03 | left | diagnosis | isolated |
    | 2025-02-03 | left | score | 1 1 1 / 1 1 1 |
    | 2025-02-03 | left | cast | |
    | 2025-02-10 | left | score | 1 ½ 1 / 1 1 1 |
    | 2025-02-10 | left | cast | |
    | 2025-02-10 | – | appointment | for 2025-02-17; cast |";

pub const BRACE: &str = "| 2024-10-07 | – | registered | name Tarek; born 2024-09-25; gestation 40 w |
    | 2024-10-07 | both | score | 1 1 1 / 1 1 1 |
    | 2024-10-07 | both | cast | |
    | 2024-10-14 | both | cast | |
    | 2024-10-21 | both | score | 0 0 0 / 1 1 1; abduction 60; dorsiflexion 0 |
    | 2024-10-21 | both | tenotomy | dorsiflexion 20 |
    | 2024-10-21 | both | cast | after tenotomy |
    | 2024-11-11 | both | score | 0 0 0 / 0 0 0; abduction 65; dorsiflexion 20 |
    | 2024-11-11 | – | brace | full time; hours 22; boots 85; bar 220 |";

pub const RELAPSE: &str = "| 2023-01-09 | – | registered | name Ines; born 2022-12-27; gestation 40 w |
    | 2023-01-09 | right | score | 1 1 1 / 1 1 1 |
    | 2023-01-09 | right | cast | |
    | 2023-01-16 | right | cast | |
    | 2023-01-23 | right | tenotomy | dorsiflexion 20 |
    | 2023-01-23 | right | cast | after tenotomy |
    | 2023-02-13 | – | brace | full time |
    | 2023-05-15 | – | brace | nights and naps |
    | 2025-02-24 | right | score | ½ 0 0 / ½ ½ 0; dorsiflexion 5 |
    | 2025-02-24 | right | relapse | |
    | 2025-02-24 | right | cast | |";

pub fn clinic() -> ClinicContact {
    ClinicContact {
        name: "Clubfoot clinic, Harbour Hospital".to_owned(),
        telephone: Some("0155 20 18 44".to_owned()),
        ..ClinicContact::default()
    }
}

pub fn outlook(rows: &str, on: &str) -> Outlook {
    Story::rows(rows).on(on)
}

/// Runs a test with the facts of a child on a day.
pub fn with<T>(rows: &str, on: &str, then: impl FnOnce(Result<FamilyFacts<'_>, NoDocument>) -> T) -> T {
    let (outlook, clinic) = (outlook(rows, on), clinic());
    then(FamilyFacts::of(&outlook, &Protocol::built_in(), &clinic, &[], day(on)))
}
