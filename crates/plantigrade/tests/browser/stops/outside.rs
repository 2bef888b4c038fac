//! Pages before and around signing in: a first start, the clinic's network, a second step, and another role.

use super::{Stop, Way, refused, stop};

/// Pages seen without signing in.
pub fn outside() -> Vec<Stop> {
    vec![
        stop("sign-in", Way::Path("/sign-in"), "Sign in"),
        stop("help-sign-in", Way::Path("/help/sign-in"), "The first account"),
        refused(
            "sign-in-refused",
            Way::Sent(
                "/sign-in",
                &[("#f-sign-in-name", "maren"), ("#f-password", "not the password")],
                "Sign in",
            ),
            "Not signed in",
        ),
    ]
}

/// The page behind the link of a first start.
pub fn first_start(link: &str) -> Vec<Stop> {
    vec![
        stop("first-account", Way::Path(link.to_owned().leak()), "have no users yet"),
        stop("first-restore", Way::Path(format!("{link}/restore").leak()), "comes to this computer"),
    ]
}

/// Pages of the clinic's network, from the first account on: those of the lead on the computer, and those that a
/// device sees at its own address before it is enrolled.
pub fn of_the_network(start: &str, network: &str) -> Vec<Stop> {
    let path = |path: &str| Way::Path(format!("{network}{path}").leak());
    let account: &[(&str, &str)] = &[
        ("#f-name", "Ida Maren"),
        ("#f-sign-in-name", "ida"),
        ("#f-password", "plaster and patience"),
        ("#f-password-again", "plaster and patience"),
    ];
    let not_enrolled = "Only devices enrolled by a lead";
    vec![
        stop(
            "first-encryption",
            Way::Sent(start.to_owned().leak(), account, "Create this account"),
            "Encrypt the records?",
        ),
        recovery_sheet(),
        stop("first-clinic", Way::Path("/first-steps/clinic"), "When the clinic is held"),
        stop("devices", Way::Path("/devices"), "No device is enrolled"),
        refused(
            "devices-refused",
            Way::Sent("/devices", &[("#f-device", "   ")], "Make a one-time code"),
            "A name is needed",
        ),
        stop(
            "devices-code",
            Way::Sent("/devices", &[("#f-device", "Tablet, cast room")], "Make a one-time code"),
            "Code for Tablet, cast room",
        ),
        stop("devices-enrol-here", Way::Path("/enrol"), "needs no enrolment"),
        stop("devices-trust-here", Way::Path("/trust"), "Compare the fingerprint"),
        Stop { name: "devices-not-enrolled", way: path("/day"), status: 403, says: not_enrolled },
        stop("devices-trust", path("/trust"), "Compare the fingerprint"),
        stop("devices-enrol", path("/enrol"), "One-time code"),
    ]
}

/// The sheet of a clinic that is not encrypted yet; a build that cannot encrypt has none.
fn recovery_sheet() -> Stop {
    if !clinic::CAN_ENCRYPT {
        return stop("first-encryption-again", Way::Path("/first-steps/encryption"), "cannot encrypt");
    }
    let fields: &[(&str, &str)] = &[
        ("#f-passphrase", "heron quay lantern"),
        ("#f-passphrase-again", "heron quay lantern"),
        ("#f-own-password", "plaster and patience"),
    ];
    stop(
        "recovery-sheet",
        Way::Sent("/first-steps/encryption", fields, "Show the recovery sheet"),
        "Recovery code of the records",
    )
}

/// The page behind a one-time password.
pub fn one_time_password(password: String) -> Vec<Stop> {
    let password: &str = password.leak();
    let fields = vec![("#f-sign-in-name", "ole"), ("#f-password", password)];
    vec![stop("choose-password", Way::Sent("/sign-in", fields.leak(), "Sign in"), "was accepted")]
}

/// The second step of a person who has one, with this name and password.
pub fn second_step() -> Vec<Stop> {
    let fields = &[("#f-sign-in-name", "ida"), ("#f-password", "plaster and patience")];
    vec![stop("second-step", Way::Sent("/sign-in", fields, "Sign in"), "Now the code")]
}

/// Pages as a person sees them who makes appointments and sees no treatment.
pub fn of_a_coordinator() -> Vec<Stop> {
    let sign_in = &[("#f-sign-in-name", "liv"), ("#f-password", "invented clinic")];
    vec![
        stop("coordinator-day", Way::Sent("/sign-in", sign_in, "Sign in"), "Expected"),
        stop("coordinator-find", Way::Sent("/find", &[("#q", "sk200")], "Find"), "children"),
        stop("coordinator-child", Way::Child(2, ""), "Due"),
        stop("coordinator-call", Way::Child(2, "/call"), "Was the family reached"),
        stop("coordinator-stock", Way::Path("/stock"), "own list"),
        Stop {
            status: 403,
            ..stop("coordinator-refused", Way::Path("/attention"), "Your role does not allow this")
        },
    ]
}
