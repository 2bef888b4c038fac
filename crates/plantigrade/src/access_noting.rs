//! What of a request is noted in the access log: decided in one place, by what the route needs.
//!
//! A page that needs a right to see or record something about children is noted with the child in its address; a
//! list is noted as such, without the children in it and without what was searched. A refusal for want of a right is
//! noted for every page. It is done at the gate, in front of the cache of drawn pages.

use crate::{
    access::AccessNeed,
    app::App,
    auth::AdmittedDevice,
    request::{Door, Visitor},
};
use axum::http::{Method, StatusCode};
use clinic::{AccessAct, AccessEvent, AccessOutcome};
use record::{ChildId, Right, UserId};
use std::net::IpAddr;

/// The name of this computer in the log.
pub const THIS_COMPUTER: &str = "this computer";

/// Where parts of pictures are sent. They are one act, which is noted once: what makes pictures of them is noted itself.
pub const PARTS_PATH: &str = "/child/{id}/photographs/part";
/// The same for parts of a video.
pub const VIDEO_PARTS_PATH: &str = "/child/{id}/videos/part";

/// The right that was lacking, on an answer that refuses for want of it.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub struct LackedRight(pub Right);

/// On an answer that refuses because a record is closed to the person.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub struct ClosedRefused(pub ChildId);

/// A request as far as the log is concerned.
#[derive(Debug, Clone)]
pub struct NotedRequest {
    person: Option<UserId>,
    device: String,
    children: Vec<ChildId>,
    act: AccessAct,
    what: String,
    /// Whether opening it is noted, or only its refusal.
    opens_records: bool,
    /// Whether it is a search, which is sent as a form and saves nothing.
    is_search: bool,
}

/// Whether what needs this right is about children, or about who looked at them.
const fn is_about_children(right: Right) -> bool {
    match right {
        Right::SeeChildren
        | Right::RecordContact
        | Right::SeeClinical
        | Right::RecordClinical
        | Right::KeepStock
        | Right::SeeTheatreList
        | Right::CareForRecords
        | Right::SeeAccessLog
        | Right::ProtectRecords => true,
        Right::SeeCapacity | Right::SeeResults | Right::ManagePeople | Right::ChangeSettings => false,
    }
}

/// The name of the device of a visitor.
#[must_use]
pub fn device_name(door: &Door, from: Option<IpAddr>) -> String {
    match door {
        Door::ClinicNetwork(Some(admitted)) => enrolled_name(admitted),
        Door::ClinicNetwork(None) => "a device that is not enrolled".to_owned(),
        Door::ThisComputer => match from {
            Some(address) if !address.is_loopback() => format!("address {address}"),
            _ => THIS_COMPUTER.to_owned(),
        },
    }
}

fn enrolled_name(admitted: &AdmittedDevice) -> String {
    admitted.device.name.clone()
}

/// The parameters of an address by the pattern of its route, decoded.
#[must_use]
pub fn parameters(pattern: &str, path: &str) -> Vec<(String, String)> {
    let parts = pattern.split('/').zip(path.split('/'));
    let named = parts.filter_map(|(name, value)| {
        let name = name.strip_prefix('{')?.strip_suffix('}')?;
        Some((name.to_owned(), decoded(value)))
    });
    named.collect()
}

/// A part of an address with its percent signs resolved; what cannot be resolved stays as it is.
#[must_use]
pub fn decoded(text: &str) -> String {
    let mut bytes = Vec::with_capacity(text.len());
    let mut rest = text.as_bytes();
    while let [first, after @ ..] = rest {
        let pair =
            after.first_chunk::<2>().filter(|pair| *first == b'%' && pair.iter().all(u8::is_ascii_hexdigit));
        let code = pair.and_then(|pair| u8::from_str_radix(std::str::from_utf8(pair).ok()?, 16).ok());
        match code {
            Some(byte) => {
                bytes.push(byte);
                rest = after.get(2..).unwrap_or_default();
            }
            None => {
                bytes.push(*first);
                rest = after;
            }
        }
    }
    String::from_utf8_lossy(&bytes).into_owned()
}

/// The values of a query, decoded.
pub fn query_values(query: &str) -> impl Iterator<Item = String> + '_ {
    let values = query.split('&').map(|pair| pair.split_once('=').map_or(pair, |(_, value)| value));
    values.map(|value| decoded(&value.replace('+', " ")))
}

impl NotedRequest {
    /// The request of a visitor for a route; `None` for a route that needs no right.
    #[must_use]
    pub fn of(
        visitor: &Visitor,
        door: &Door,
        method: &Method,
        (pattern, path): (&str, &str),
        needed: AccessNeed,
    ) -> Option<Self> {
        let AccessNeed::Right(right) = needed else { return None };
        let of_child = pattern.starts_with("/child/{id}");
        let is_search = pattern == pages::fields::SEARCH_PATH;
        let is_part = pattern == PARTS_PATH || pattern == VIDEO_PARTS_PATH;
        let saves = *method == Method::POST && !is_search && !is_part;
        let children =
            parameters(pattern, path).into_iter().filter(|(name, _)| matches!(&**name, "id" | "other"));
        let children = children.filter_map(|(_, value)| value.parse().ok());
        Some(Self {
            person: visitor.who.as_ref().map(|who| who.user),
            device: device_name(door, visitor.from),
            children: if of_child { children.collect() } else { Vec::new() },
            act: if saves { AccessAct::Send } else { AccessAct::Look },
            what: pattern.to_owned(),
            opens_records: is_about_children(right),
            is_search: is_search && *method == Method::POST,
        })
    }

    /// Notes a refusal for want of a right.
    pub fn refused(&self, app: &App, lacking: Right) {
        self.note(app, AccessOutcome::Refused, lacking.words());
    }

    /// Notes what came of it, by the status of the answer. What does not exist is not noted, nor an error of the
    /// program.
    pub fn answered(
        &self,
        app: &App,
        status: StatusCode,
        lacked: Option<LackedRight>,
        closed: Option<ClosedRefused>,
    ) {
        if let Some(ClosedRefused(child)) = closed {
            let children = vec![child];
            let of_child = Self { children, ..self.clone() };
            return of_child.note(app, AccessOutcome::Restricted, "");
        }
        if let Some(LackedRight(right)) = lacked {
            return self.refused(app, right);
        }
        let shown = status.is_success()
            || status.is_redirection()
            || matches!(status, StatusCode::UNPROCESSABLE_ENTITY | StatusCode::CONFLICT);
        // A search that leads to a page shows nothing itself; the page is noted.
        let leads_on = self.is_search && status.is_redirection();
        if shown && self.opens_records && !leads_on {
            self.note(app, AccessOutcome::Opened, "");
        }
    }

    /// The event of this request about a child.
    #[must_use]
    pub fn event(
        &self,
        app: &App,
        child: Option<ChildId>,
        outcome: AccessOutcome,
        note: &str,
    ) -> AccessEvent {
        AccessEvent {
            at: app.clock.now(),
            person: self.person,
            device: self.device.clone(),
            child,
            act: self.act,
            what: self.what.clone(),
            outcome,
            note: note.to_owned(),
        }
    }

    fn note(&self, app: &App, outcome: AccessOutcome, note: &str) {
        if self.children.is_empty() {
            return app.access_log.note(self.event(app, None, outcome, note));
        }
        for child in &self.children {
            app.access_log.note(self.event(app, Some(*child), outcome, note));
        }
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn parameters_are_read_by_the_pattern_and_decoded() {
        let found = parameters("/child/{id}/join/{other}", "/child/%30%31-a/join/b%2");
        let pairs: Vec<(&str, &str)> = found.iter().map(|(name, value)| (&**name, &**value)).collect();
        assert_eq!(pairs, [("id", "01-a"), ("other", "b%2")]);
        // A sign is no digit, though a number may begin with one.
        assert_eq!(decoded("%+5%5A"), "%+5Z");
        assert_eq!(query_values("with=%30a&q=b+c&part").collect::<Vec<_>>(), ["0a", "b c", "part"]);
    }
}
