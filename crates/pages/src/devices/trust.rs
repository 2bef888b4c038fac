//! How a device comes to trust the clinic's computer. It is the one page besides the form for the code that a
//! device sees before it is enrolled, so it holds nothing but what everybody may know.

use super::{CERTIFICATE_PATH, NetworkShown, fingerprint};
use crate::{Frame, HelpTopic, frame};
use maud::{Markup, html};

/// The page.
#[derive(Debug, Clone)]
pub struct TrustView {
    /// The network; `None` where only this computer is served.
    pub network: Option<NetworkShown>,
    /// Whether the page is opened on the computer of the records itself, so that its fingerprint can be relied on.
    pub here: bool,
}

/// Where the setting is found, by the kind of device. The names of settings differ between versions.
const SYSTEMS: [(&str, &[&str]); 3] = [
    (
        "Apple tablets and phones",
        &[
            "Open the downloaded file and allow it.",
            "In the settings, open the profile that was downloaded and install it.",
            "In the settings under General, About, open the trust settings for certificates and switch on full trust for “Clinic network …”.",
        ],
    ),
    (
        "Android tablets and phones",
        &[
            "In the settings, search for “certificate” and choose to install a CA certificate.",
            "Confirm the warning of the system, and choose the downloaded file.",
            "The list of trusted certificates shows it under “User”, with its fingerprint. Use the browser that came with the device: some others ignore certificates installed this way.",
        ],
    ),
    (
        "Computers",
        &[
            "Open the downloaded file, or the certificate settings of the browser.",
            "Import it as an authority that is trusted to identify websites, for yourself only.",
        ],
    ),
];

/// The page that shows how to trust the clinic's computer.
#[must_use]
pub fn trust(frame: &Frame, view: &TrustView) -> Markup {
    let body = html! {
        div.narrow {
            h1 { "Let this device trust the clinic’s computer" }
            @match &view.network {
                Some(network) => (steps(network, view.here)),
                None => p { "The clinic’s network is not served now: only the computer of the records can open the pages." },
            }
        }
    };
    frame::page(frame, HelpTopic::EnrolDevice, "Trust the clinic’s computer", &body)
}

fn steps(network: &NetworkShown, here: bool) -> Markup {
    html! {
        p.lead { "This is done once on each device. Afterwards its browser recognises the computer by itself and no longer warns." }
        ol.device-steps {
            li {
                p { strong { "Download the certificate" } " of the clinic’s network." }
                p.actions { a.button.primary href=(CERTIFICATE_PATH) { "Download the certificate" } }
            }
            li { p { strong { "Install it" } " as an authority that this device trusts:" } @for (system, ways) in SYSTEMS { (system_steps(system, ways)) } }
            li {
                p { strong { "Compare the fingerprint " } "(SHA-256) that the device shows for the installed certificate with the one on the computer’s screen, on the page “Devices”. If one pair differs, remove the certificate and do not go on." }
                @if here { (fingerprint(&network.fingerprint)) }
            }
            li {
                p { strong { "Open the address again." } " If the browser does not warn any more, enrol the device with the one-time code." }
                p.actions { a.button href="/enrol" { "I have a one-time code" } }
            }
        }
    }
}

fn system_steps(system: &str, ways: &[&str]) -> Markup {
    html! { details.more { summary { (system) } ol.plain-steps { @for way in ways { li { (way) } } } } }
}
