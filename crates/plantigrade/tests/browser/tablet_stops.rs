//! The pages of the lock and of drafts, and how to come to them.

use crate::stops::{Stop, Way, refused, stop};

/// Pages of a device that several people use.
pub fn of_a_tablet() -> Vec<Stop> {
    // Not the person of the other stops: a draft would fill their forms.
    let sign_in = &[("#f-sign-in-name", "tove"), ("#f-password", "invented clinic")];
    let pin = &[("#f-pin", "4071"), ("#f-pin-again", "4071"), ("#f-pin-password", "invented clinic")];
    vec![
        stop("tablet-day", Way::Sent("/sign-in", sign_in, "Sign in"), "Expected"),
        stop("tablet-pin", Way::Sent("/account", pin, "Set the PIN"), "The PIN is set"),
        stop("tablet-restored", Way::Draft("/register", "#f-family-name", "Quist"), "not saved yet"),
        stop("tablet-drafts", Way::Path("/drafts"), "did not save"),
        stop("tablet-sign-out", Way::Link("/day", "form[action='/sign-out'] button"), "Before you sign out"),
        stop("tablet-locked", Way::Locked, "Use the password"),
        refused(
            "tablet-locked-refused",
            Way::Sent("/unlock", &[("#unlock-pin", "1111")], "Unlock"),
            "The PIN is wrong",
        ),
    ]
}
