//! Pages of the clinic's network with invented devices.

use super::{day, frame};
use maud::Markup;
use pages::{
    DeviceRow, DeviceState, DevicesView, EnrolView, Frame, Here, NetworkShown, NewCodeShown, TrustView,
    fields::Filled,
};

fn network() -> NetworkShown {
    NetworkShown {
        urls: vec!["https://desk.local:8461".into(), "https://192.168.7.20:8461".into()],
        fingerprint: (0..32).map(|pair| format!("{:02X}", pair * 7 + 16)).collect::<Vec<_>>().join(":"),
        until: day("2034-05-14"),
        renamed: None,
    }
}

fn row(name: &str, state: DeviceState) -> DeviceRow {
    DeviceRow { id: format!("id-of-{name}"), name: name.into(), by: "Hanne Kvist".into(), state }
}

fn rows(given: &str) -> Vec<DeviceRow> {
    let enrolled = |idle| DeviceState::Enrolled {
        when: "2 May 2024, 09:12".into(),
        last_used: "13 May 2024, 16:40".into(),
        idle,
    };
    vec![
        row("Phone of the plaster room", DeviceState::Waiting { until: "14 May 2024, 10:27".into() }),
        row(&format!("Tablet of {given}"), enrolled(false)),
        row("Tablet, brace clinic", enrolled(true)),
        row(
            "Tablet, lost in April",
            DeviceState::Removed { when: "20 April 2024, 08:05".into(), by: "Ole Brandt".into() },
        ),
    ]
}

pub fn pages(given: &str) -> Vec<(&'static str, Markup)> {
    let view = DevicesView {
        network: Some(network()),
        new_code: None,
        filled: Filled::default(),
        rows: rows(given),
        idle_days: 180,
    };
    let code = NewCodeShown {
        device: format!("Tablet of {given}"),
        code: "0482 7153".into(),
        until: "14 May 2024, 10:27".into(),
        minutes: 15,
    };
    let coded = DevicesView { new_code: Some(code), ..view.clone() };
    let renamed = NetworkShown { renamed: Some("front-desk.local".into()), ..network() };
    let wrong = Filled::default().wrong("device", "A name is needed, by which the clinic knows the device.");
    let refused = DevicesView { network: Some(renamed), filled: wrong, ..view.clone() };
    let off = DevicesView { network: None, rows: Vec::new(), ..view.clone() };
    let inside = frame(Here::Devices);
    let mut all = vec![
        ("devices", pages::devices(&inside, &view)),
        ("devices-code", pages::devices(&inside, &coded)),
        ("devices-refused", pages::devices(&inside, &refused)),
        ("devices-off", pages::devices(&inside, &off)),
    ];
    all.extend(outside());
    all
}

/// What a device sees before it is enrolled, and the same on the computer itself.
fn outside() -> Vec<(&'static str, Markup)> {
    let frame = Frame { user: None, ..frame(Here::Elsewhere) };
    let enrol = |device: Option<&str>, here, filled| {
        pages::enrol(&frame, &EnrolView { device: device.map(Into::into), here, filled })
    };
    let wrong = Filled::default().wrong("code", "This code is wrong.");
    vec![
        ("enrol", enrol(None, false, Filled::default())),
        ("enrol-refused", enrol(None, false, wrong)),
        ("enrolled", enrol(Some("Tablet, cast room"), false, Filled::default())),
        ("enrol-here", enrol(None, true, Filled::default())),
        ("not-enrolled", pages::not_enrolled(&frame)),
        ("trust", pages::trust(&frame, &TrustView { network: Some(network()), here: false })),
        ("trust-here", pages::trust(&frame, &TrustView { network: Some(network()), here: true })),
        ("trust-off", pages::trust(&frame, &TrustView { network: None, here: true })),
    ]
}
