//! The second step of signing in, and the page of the own second factor, with invented data.

use super::{frame, people::history};
use maud::Markup;
use pages::{
    Frame, Here, NewCodesView, PasskeyRow, RecoveryCodesView, SecondFactorView, SecondStepView,
    fields::Filled, second_factor::CODE,
};
use record::Rights;

fn whole() -> SecondFactorView {
    SecondFactorView {
        missing: false,
        confirmed: true,
        codes: Some("2 May 2024, 10:31".into()),
        may_codes: true,
        passkeys: vec![PasskeyRow {
            key: "0a1b".into(),
            name: "Tablet, cast room".into(),
            place: "desk.local".into(),
            words: "Added 2 May 2024, 10:40, last used 13 May 2024, 08:04".into(),
        }],
        may_passkeys: true,
        passkeys_here: true,
        passkey_addresses: vec!["https://desk.local:8461".into()],
        recovery_left: 2,
        history: history(),
        filled: Filled::default(),
    }
}

fn none() -> SecondFactorView {
    SecondFactorView {
        confirmed: false,
        codes: None,
        passkeys: Vec::new(),
        passkeys_here: false,
        recovery_left: 0,
        history: Vec::new(),
        ..whole()
    }
}

pub fn pages() -> Vec<(&'static str, Markup)> {
    let own = frame(Here::Account);
    let outside = Frame { user: None, rights: Rights::NONE, ..frame(Here::Elsewhere) };
    let closed = Frame { rights: Rights::NONE, ..frame(Here::Account) };
    let missing = SecondFactorView { missing: true, confirmed: true, ..none() };
    let wrong = SecondFactorView {
        filled: Filled::default().wrong(CODE, "The codes are not removed: this code is wrong."),
        ..whole()
    };
    let codes = NewCodesView {
        secret: "GEZD GNBV GY3T QOJQ GEZD GNBV GY3T QOJQ".into(),
        address: "otpauth://totp/Harbour:hanne?secret=GEZDGNBVGY3TQOJQGEZDGNBVGY3TQOJQ&issuer=Harbour&algorithm=SHA1&digits=6&period=30".into(),
        filled: Filled::default().wrong(CODE, "This is not the code of this secret."),
    };
    let recovery = RecoveryCodesView {
        name: "Hanne Kvist".into(),
        codes: (2..=9).chain(2..=3).map(|n| format!("k7pm-q2xd-9wt{n}")).collect(),
    };
    let step = SecondStepView {
        token: "token".into(),
        name: "Hanne Kvist".into(),
        codes: true,
        passkey: true,
        passkey_at: None,
        filled: Filled::default(),
    };
    let elsewhere = SecondStepView {
        codes: false,
        passkey: false,
        passkey_at: Some("http://localhost:8460".into()),
        filled: Filled::default().wrong(CODE, "This code is wrong, was used already, or its time is over."),
        ..step.clone()
    };
    vec![
        ("second-factor", pages::second_factor_page(&own, &whole())),
        ("second-factor-none", pages::second_factor_page(&own, &none())),
        ("second-factor-missing", pages::second_factor_page(&closed, &missing)),
        ("second-factor-refused", pages::second_factor_page(&own, &wrong)),
        ("second-factor-codes", pages::new_codes(&own, &codes)),
        ("second-factor-recovery", pages::recovery_codes(&own, &recovery)),
        ("second-step", pages::second_step(&outside, &step)),
        ("second-step-refused", pages::second_step(&outside, &elsewhere)),
    ]
}
