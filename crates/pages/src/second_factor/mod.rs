//! The second factor: its step at the sign-in, and the page on which a person sets it up.

mod set_up;
mod step;

pub(crate) use set_up::history;
pub use set_up::{
    AccountEventRow, NewCodesView, PasskeyRow, RecoveryCodesView, SecondFactorView, new_codes,
    recovery_codes, second_factor,
};
pub(crate) use step::passkey_sign_in;
pub use step::{PasskeySignIn, SecondStepView, second_step};

use crate::{fields::Filled, parts};
use maud::{Markup, html};

/// The form field with a code.
pub const CODE: &str = "code";
/// The form field with the answer of a passkey, which the script fills.
pub const CREDENTIAL: &str = "credential";
/// The form field with the name of a new passkey.
pub const PASSKEY_NAME: &str = "passkey_name";
/// The form field that names a passkey.
pub const PASSKEY: &str = "passkey";
/// The address at which the script asks for a challenge.
pub const CHALLENGE_PATH: &str = "/passkey/challenge";

/// Which codes a field takes.
#[derive(Clone, Copy, PartialEq, Eq)]
enum CodeKind {
    /// Those of a telephone.
    Time,
    /// Those of a telephone, and recovery codes.
    Both,
    /// Recovery codes.
    Recovery,
}

impl CodeKind {
    const fn label(self) -> &'static str {
        match self {
            Self::Time => "Code",
            Self::Both => "Code, or recovery code",
            Self::Recovery => "Recovery code",
        }
    }

    const fn hint(self) -> &'static str {
        match self {
            Self::Time => "Six digits, shown by the app on your telephone; they change every 30 seconds.",
            Self::Both => {
                "Six digits, shown by the app on your telephone; they change every 30 seconds. Without the telephone: one of your recovery codes, such as k7pm-q2xd-9wta."
            }
            Self::Recovery => "Such as k7pm-q2xd-9wta. Each works once.",
        }
    }
}

/// The field for a code.
fn code_field(filled: &Filled, kind: CodeKind) -> Markup {
    let error = filled.has_error(CODE);
    let described = if error { "f-code-hint f-code-error" } else { "f-code-hint" };
    // A recovery code has letters.
    let mode = if kind == CodeKind::Time { "numeric" } else { "text" };
    html! {
        div.field.line {
            label for="f-code" { (kind.label()) " " span.needed { "required" } }
            input.code-input id="f-code" name=(CODE) type="text" inputmode=(mode) autocomplete="one-time-code" autocapitalize="none" spellcheck="false" maxlength="40" required aria-describedby=(described) aria-invalid=[error.then_some("true")];
            p.hint id="f-code-hint" { (kind.hint()) }
            (parts::field_error(filled, CODE))
        }
    }
}

/// What a passkey needs within its form: the field for its answer, the button that the script shows, and a place for
/// what the script has to tell. Without a script there are no passkeys.
fn passkey_parts(purpose: &str, button: &str, primary: bool) -> Markup {
    html! {
        (parts::hidden(CREDENTIAL, ""))
        button.primary[primary] type="button" data-passkey=(purpose) data-challenge=(CHALLENGE_PATH) aria-describedby="f-passkey-said" hidden { (button) }
        p.hint data-passkey-without="" { "Passkeys need a browser that knows them, with scripts turned on." }
        p.field-error id="f-passkey-said" data-passkey-said="" role="alert" hidden {}
    }
}
