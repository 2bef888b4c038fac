//! Devices of the clinic's network: the lead's page with codes and the list, and the two pages that a device sees
//! before it is enrolled.

use super::admission::{self, device_of};
use crate::{
    app::App,
    auth::{CODE_MINUTES, DEVICE_IDLE_DAYS, EnrolmentCode, is_current},
    clock,
    web::{Door, Fail, PageResult, Posted, Shared, Visitor, again, page, to, work},
};
use axum::{
    extract::{Path, State},
    http::header,
    response::{IntoResponse, Redirect, Response},
};
use clinic::Device;
use pages::{
    DeviceRow, DeviceState, DevicesView, EnrolView, Here, NetworkShown, NewCodeShown, RequestError,
    TrustView, fields::Filled,
};
use record::DeviceId;

/// The longest name of a device, in characters.
const NAME_CHARS: usize = 60;

/// The lead's page.
pub async fn list(State(app): State<Shared>, visitor: Visitor) -> PageResult {
    page(shown(&app, &visitor, Filled::default(), None).await?)
}

/// Makes a one-time code. The answer is the only page that shows it.
pub async fn expect(State(app): State<Shared>, visitor: Visitor, Posted(filled): Posted) -> PageResult {
    if app.network.is_none() {
        return Err(Fail(RequestError::Refused("The clinic's network is not served now.".to_owned())));
    }
    let name = match filled.given("device").map(|name| (name.to_owned(), name.chars().count())) {
        Some((name, length)) if length <= NAME_CHARS => name,
        other => {
            let why = if other.is_none() {
                "A name is needed, by which the clinic knows the device."
            } else {
                "The name is too long."
            };
            let wrong = Filled::default().with("device", filled.value("device")).wrong("device", why);
            return again(shown(&app, &visitor, wrong, None).await?);
        }
    };
    let (by, device) = (visitor.user()?, name.clone());
    let made = work(&app, move |app| {
        Ok(app.devices.expect(DeviceId::new(app.clock.id()), device, by, app.clock.now())?)
    });
    let (code, expires) = made.await?;
    let code = NewCodeShown {
        device: name,
        code: code.words(),
        until: clock::local_words(expires),
        minutes: CODE_MINUTES,
    };
    page(shown(&app, &visitor, Filled::default(), Some(code)).await?)
}

/// Removes a device: its next request is refused.
pub async fn remove(
    State(app): State<Shared>,
    visitor: Visitor,
    Path(id): Path<String>,
    Posted(_): Posted,
) -> PageResult {
    let id: DeviceId = id.parse().map_err(|_| Fail::not_found())?;
    let by = visitor.user()?;
    // Sent twice, or by two people: the list says who removed it.
    work(&app, move |app| Ok(app.devices.remove(id, by, app.clock.now())?)).await?;
    to("/devices")
}

async fn shown(
    app: &Shared,
    visitor: &Visitor,
    filled: Filled,
    new_code: Option<NewCodeShown>,
) -> Result<maud::Markup, Fail> {
    let frame = app.frame(visitor, Here::Devices);
    work(app, move |app| {
        let now = app.clock.now();
        let devices = app.devices.all(now)?;
        let rows = devices.iter().map(|device| row(app, device)).collect();
        let network = app.network.as_ref().map(network_shown);
        let view = DevicesView { network, new_code, filled, rows, idle_days: DEVICE_IDLE_DAYS };
        Ok(pages::devices(&frame, &view))
    })
    .await
}

fn network_shown(network: &crate::network::ClinicNetwork) -> NetworkShown {
    let authority = network.authority();
    let own = &network.place().name;
    NetworkShown {
        urls: network.urls(),
        fingerprint: authority.fingerprint(),
        until: authority.last_day(),
        renamed: (own != authority.name()).then(|| own.clone()),
    }
}

fn row(app: &App, device: &Device) -> DeviceRow {
    let by = app.name_of(device.made_by);
    let state = match (device.removed, device.enrolled_at, device.last_used) {
        (Some((by, at)), ..) => DeviceState::Removed { when: clock::local_words(at), by: app.name_of(by) },
        (None, None, _) => DeviceState::Waiting { until: clock::local_words(device.code_expires) },
        (None, Some(at), last) => DeviceState::Enrolled {
            when: clock::local_words(at),
            last_used: clock::local_words(last.unwrap_or(at)),
            idle: !is_current(device, app.clock.now()),
        },
    };
    DeviceRow { id: device.id.to_string(), name: device.name.clone(), by, state }
}

fn enrol_view(door: &Door, filled: Filled) -> EnrolView {
    let device = device_of(door).map(|admitted| admitted.device.name.clone());
    EnrolView { device, here: matches!(door, Door::ThisComputer), filled }
}

/// The form in which a device's one-time code is typed.
pub async fn enrol_form(State(app): State<Shared>, visitor: Visitor, door: Door) -> PageResult {
    page(pages::enrol(&app.frame(&visitor, Here::Elsewhere), &enrol_view(&door, Filled::default())))
}

/// Enrols the device from which the code was sent.
pub async fn enrol(
    State(app): State<Shared>,
    visitor: Visitor,
    door: Door,
    Posted(filled): Posted,
) -> PageResult {
    admission::from_network(&door)?;
    if !app.code_throttle.allows(visitor.from) {
        return Err(Fail(RequestError::TooMany));
    }
    let enrolled = match EnrolmentCode::read(filled.value("code")) {
        Some(code) => work(&app, move |app| Ok(app.devices.enrol(&code, app.clock.now())?)).await?,
        None => None,
    };
    if let Some((token, _)) = enrolled {
        let mut response = Redirect::to("/sign-in").into_response();
        admission::give_token(&mut response, &token);
        return Ok(response);
    }
    let wrong = Filled::default().wrong(
        "code",
        "This code is wrong, was used already, or is older than 15 minutes. Ask the lead for a new one.",
    );
    again(pages::enrol(&app.frame(&visitor, Here::Elsewhere), &enrol_view(&door, wrong)))
}

/// How a device comes to trust this computer.
pub async fn trust(State(app): State<Shared>, visitor: Visitor, door: Door) -> PageResult {
    let view = TrustView {
        network: app.network.as_ref().map(network_shown),
        here: matches!(door, Door::ThisComputer),
    };
    page(pages::trust(&app.frame(&visitor, Here::Elsewhere), &view))
}

/// The authority's certificate as a file. It is not secret.
pub async fn certificate(State(app): State<Shared>) -> PageResult {
    let network = app.network.as_ref().ok_or_else(Fail::not_found)?;
    let bytes = network.authority().certificate().to_vec();
    let kind = [
        (header::CONTENT_TYPE, "application/x-x509-ca-cert"),
        (header::CONTENT_DISPOSITION, "inline; filename=\"clinic-network.crt\""),
    ];
    Ok::<Response, Fail>((kind, bytes).into_response())
}
