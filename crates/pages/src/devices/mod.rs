//! Tablets and phones on the clinic's own network: the lead's page, and the two pages that a device sees before it
//! is enrolled.

mod enrol;
pub(crate) mod qr;
mod trust;

pub use enrol::{EnrolView, enrol, not_enrolled};
pub use trust::{TrustView, trust};

use crate::{
    Frame, HelpTopic,
    fields::{Field, Filled, What},
    frame, parts, words,
};
use maud::{Markup, html};
use record::Day;

/// Path of the authority's certificate.
pub const CERTIFICATE_PATH: &str = "/trust/clinic-network.crt";

/// The clinic's network as it is served now.
#[derive(Debug, Clone, PartialEq, Eq)]
pub struct NetworkShown {
    /// The addresses of the pages: by the stable name first, then by each address of the computer.
    pub urls: Vec<String>,
    /// The SHA-256 fingerprint of the authority's certificate, pairs of digits separated by colons.
    pub fingerprint: String,
    /// The last day on which devices accept the authority.
    pub until: Day,
    /// The present name of the computer, where it is no longer the one that the devices trust.
    pub renamed: Option<String>,
}

/// A one-time code just made; no other page shows it.
#[derive(Debug, Clone, PartialEq, Eq)]
pub struct NewCodeShown {
    /// The device for which it is.
    pub device: String,
    /// The code in groups.
    pub code: String,
    /// Until when it is valid, in words.
    pub until: String,
    /// Minutes for which it is valid.
    pub minutes: i64,
}

/// What a device is allowed at present.
#[derive(Debug, Clone, PartialEq, Eq)]
pub enum DeviceState {
    /// Its code was not used yet.
    Waiting {
        /// When the code expires, in words.
        until: String,
    },
    /// It is enrolled.
    Enrolled {
        /// Since when, in words.
        when: String,
        /// When it was last used, in words.
        last_used: String,
        /// Whether that is too long ago, so that it has to be enrolled again.
        idle: bool,
    },
    /// It was removed.
    Removed {
        /// When, in words.
        when: String,
        /// Who removed it.
        by: String,
    },
}

/// A device in the list.
#[derive(Debug, Clone, PartialEq, Eq)]
pub struct DeviceRow {
    /// Its id.
    pub id: String,
    /// The name by which the clinic knows it.
    pub name: String,
    /// Who made its code.
    pub by: String,
    /// What it is allowed.
    pub state: DeviceState,
}

/// The lead's page.
#[derive(Debug, Clone)]
pub struct DevicesView {
    /// The network; `None` where only this computer is served.
    pub network: Option<NetworkShown>,
    /// A code just made.
    pub new_code: Option<NewCodeShown>,
    /// `device`, the name of a device to enrol.
    pub filled: Filled,
    /// The devices, the latest first.
    pub rows: Vec<DeviceRow>,
    /// Days without use after which a device has to be enrolled again.
    pub idle_days: i64,
}

/// The lead's page: what to do on a tablet, its one-time code, and the list of devices.
#[must_use]
pub fn devices(frame: &Frame, view: &DevicesView) -> Markup {
    let body = html! {
        header.page-head { div {
            h1 { "Devices" }
            p.tally { "Tablets and phones that may open these pages on the clinic’s own network" }
        } }
        @match (&view.network, &view.new_code) {
            (None, _) => { (not_served()) (list(frame, view)) },
            (Some(network), Some(code)) => { (code_card(code)) (steps(network, true)) (list(frame, view)) },
            (Some(network), None) => {
                @if let Some(name) = &network.renamed { (renamed(network, name)) }
                (form(frame, view))
                (list(frame, view))
                (steps(network, false))
            },
        }
    };
    frame::page(frame, HelpTopic::Devices, "Devices", &body)
}

fn not_served() -> Markup {
    html! {
        section.card {
            h2 { "The clinic’s network is not served" }
            p { "Only this computer can open the pages now. To let tablets and phones of the clinic open them, end the program and start it with " code { "plantigrade serve --clinic-network" } ". Their connections are then encrypted, and only devices enrolled here are admitted." }
        }
    }
}

fn renamed(network: &NetworkShown, name: &str) -> Markup {
    let first = network.urls.first().map_or("", String::as_str);
    html! {
        p.message.warning role="status" {
            strong { "Warning: " } "This computer is now called " strong { (name) } ", but the devices trust it at " strong { (first) } ". Give the computer its earlier name again, or use one of its other addresses below."
        }
    }
}

fn code_card(code: &NewCodeShown) -> Markup {
    html! {
        section.card.device-code aria-labelledby="code-head" {
            h2 id="code-head" { "Code for " (code.device) }
            p.code-digits { (code.code) }
            p { "Valid for " (code.minutes) " minutes, until " (code.until) ", and for one device. It is shown only now." }
        }
    }
}

fn form(frame: &Frame, view: &DevicesView) -> Markup {
    let name = Field::new("device", "Name of the device", What::Text)
        .needed()
        .hint("So that it can be told from the others, such as “Tablet, cast room”.");
    html! {
        (parts::error_summary(&view.filled))
        form.card.narrow method="post" action="/devices" {
            h2 { "Enrol a device" }
            (parts::csrf(&frame.csrf))
            (parts::field(&view.filled, &name))
            button.primary type="submit" { "Make a one-time code" }
        }
    }
}

/// What to do on a device, with the address as a picture to be read by its camera.
fn steps(network: &NetworkShown, code: bool) -> Markup {
    let mut urls = network.urls.iter();
    let first = urls.next().map_or("", String::as_str);
    html! {
        section.card aria-labelledby="steps-head" {
            h2 id="steps-head" { "On the new device" }
            ol.device-steps {
                li { (address(first, urls.clone().next().is_some())) @for url in urls { (other_address(url)) } }
                li {
                    p { strong { "Install the certificate once. " } "The page that opens says how. At this first visit only, the browser warns that it does not know the computer." }
                    p.actions { a.button href=(CERTIFICATE_PATH) { "Download the certificate" } }
                    p.rel { "Safer than over the network: copy this file to the device by cable or memory stick. It holds no secret and no data of a child." }
                }
                li {
                    p { strong { "Compare the fingerprint " } "(SHA-256) that the device shows for the installed certificate with this one. If one pair differs, remove the certificate from the device and do not go on." }
                    (fingerprint(&network.fingerprint))
                }
                li { p { strong { "Open the address again. " } "Now there must be no warning. " @if code { "Type the code above" } @else { "Type the one-time code, which is made above" } ", then sign in." } }
            }
            p.rel { "The certificate is valid until " (network.until.words()) ". It vouches for this computer on the clinic’s network and for nothing else." }
        }
    }
}

fn address(url: &str, others: bool) -> Markup {
    html! {
        p { strong { "Connect the device to the clinic’s network and open this address" } ", or point its camera at the picture:" }
        (picture(url))
        @if others { p.rel { "If the device does not find that name, use the address with numbers. It may change when the computer is started again; the certificate then still holds." } }
    }
}

fn other_address(url: &str) -> Markup {
    html! { details.more { summary { "Address with numbers: " (url) } (picture(url)) } }
}

fn picture(url: &str) -> Markup {
    let url = format!("{url}/trust");
    html! { div.device-address { (qr::picture(&url)) code { (url) } } }
}

/// A fingerprint in groups, so that it can be compared by eye.
pub(super) fn fingerprint(text: &str) -> Markup {
    let pairs: Vec<&str> = text.split(':').collect();
    let groups = pairs.chunks(4).map(|group| group.join(":"));
    html! { p.fingerprint { @for group in groups { code { (group) } " " } } }
}

fn list(frame: &Frame, view: &DevicesView) -> Markup {
    let (removed, present): (Vec<_>, Vec<_>) =
        view.rows.iter().partition(|row| matches!(row.state, DeviceState::Removed { .. }));
    html! {
        section aria-labelledby="list-head" {
            h2 id="list-head" { "Enrolled devices" }
            @if present.is_empty() { p { "No device is enrolled." } }
            @else {
                (table(frame, &present, "Table: enrolled devices"))
                p.rel.device-note { "A device that was not used for " (words::count(view.idle_days, "day", "days")) " has to be enrolled again. Remove a device as soon as it is lost or given away: its next request is refused." }
            }
            @if !removed.is_empty() {
                details.more { summary { (words::count(removed.len() as i64, "device", "devices")) " removed" }
                    (table(frame, &removed, "Table: removed devices"))
                }
            }
        }
    }
}

fn table(frame: &Frame, rows: &[&DeviceRow], label: &str) -> Markup {
    let removable = |row: &DeviceRow| !matches!(row.state, DeviceState::Removed { .. });
    let with_buttons = rows.iter().all(|row| removable(row));
    html! {
        div.scroll tabindex="0" role="region" aria-label=(label) { table.stack role="table" {
            thead role="rowgroup" { tr role="row" {
                th role="columnheader" scope="col" { "Device" } th role="columnheader" scope="col" { "State" } th role="columnheader" scope="col" { "Last used" } th role="columnheader" scope="col" { "Code made by" }
                @if with_buttons { th role="columnheader" scope="col" { (LOST) } }
            } }
            tbody role="rowgroup" { @for row in rows { (device_row(frame, row, with_buttons)) } }
        } }
    }
}

/// When a device is to be removed.
const LOST: &str = "Lost or given away?";

fn device_row(frame: &Frame, row: &DeviceRow, with_button: bool) -> Markup {
    html! {
        tr role="row" {
            th role="rowheader" scope="row" { (row.name) }
            td role="cell" data-label="State" { (state(&row.state)) }
            td role="cell" data-label="Last used" { @if let DeviceState::Enrolled { last_used, .. } = &row.state { (last_used) } @else { "–" } }
            td role="cell" data-label="Code made by" { (row.by) }
            @if with_button { td role="cell" data-label=(LOST) { (remove(frame, row)) } }
        }
    }
}

fn remove(frame: &Frame, row: &DeviceRow) -> Markup {
    html! {
        form.inline method="post" action={ "/devices/" (row.id) "/remove" } {
            (parts::csrf(&frame.csrf))
            button.grave type="submit" { "Remove" span.sr { " " (row.name) } }
        }
    }
}

fn state(state: &DeviceState) -> Markup {
    html! {
        @match state {
            DeviceState::Waiting { until } => { "Code not used yet; valid until " (until) },
            DeviceState::Enrolled { when, idle: false, .. } => { "Enrolled on " (when) },
            DeviceState::Enrolled { when, idle: true, .. } => { "Enrolled on " (when) "; not used for too long, has to be enrolled again" },
            DeviceState::Removed { when, by } => { "Removed on " (when) " by " (by) },
        }
    }
}
