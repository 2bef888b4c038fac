//! A locked device, switching to another person, drafts, and signing in again over a form.

use super::{frame, in_casts};
use maud::Markup;
use pages::{
    DraftRow, DraftsView, Frame, Here, KeptForm, PersonHere, RegisterView, RestoredDraft, SignInView,
    SignOutView, UnlockView,
    fields::{DRAFT, Filled},
};
use record::Rights;

fn stranger() -> Frame {
    let person = String::new();
    Frame { user: None, rights: Rights::NONE, person, ..frame(Here::Elsewhere) }
}

fn somebody(id: &str, name: &str, pin: bool) -> PersonHere {
    PersonHere { id: id.into(), name: name.into(), pin }
}

fn locks() -> Vec<(&'static str, Markup)> {
    let (hanne, ole) = (somebody("1", "Hanne Kvist", true), somebody("2", "Ole Brandt", true));
    let own = UnlockView {
        then: "/day?on=2024-05-14".into(),
        locked: Some(hanne.clone()),
        chosen: Some(hanne.clone()),
        others: vec![ole.clone()],
        filled: Filled::default()
            .wrong("", "The PIN is wrong. 4 tries are left, then only the password helps."),
    };
    let other = UnlockView {
        chosen: Some(ole),
        others: vec![hanne.clone()],
        filled: Filled::default(),
        ..own.clone()
    };
    let off = PersonHere { pin: false, ..hanne.clone() };
    let password = UnlockView { locked: Some(off.clone()), chosen: Some(off), ..own.clone() };
    let nobody = UnlockView { locked: None, chosen: None, others: vec![hanne], ..other.clone() };
    vec![
        ("unlock", pages::unlock(&stranger(), &own)),
        ("unlock-other", pages::unlock(&stranger(), &other)),
        ("unlock-password", pages::unlock(&stranger(), &password)),
        ("unlock-nobody", pages::unlock(&stranger(), &nobody)),
    ]
}

/// A page with a form that was filled with a draft of an earlier day.
fn restored(given: &str) -> Markup {
    let filled =
        Filled::default().with("given_name", given).with("family_name", "Rasmussen").with(DRAFT, "/register");
    let draft = RestoredDraft {
        form: "/register".into(),
        words: vec![
            "Draft of 13 May 2024, 14:02 restored: not saved yet.".into(),
            "It was begun on 13 May 2024.".into(),
        ],
        doubtful: true,
        values: vec![given.into(), "an answer that is not offered".into()],
    };
    let frame = Frame { restored: vec![draft], drafts: 2, ..frame(Here::Register) };
    pages::register(&frame, &RegisterView { filled, possible: Vec::new() })
}

pub fn pages(given: &str) -> Vec<(&'static str, Markup)> {
    let child = in_casts(given);
    let row = |form: &str, words: &str| DraftRow {
        form: form.into(),
        words: words.into(),
        who: None,
        saved: "on 13 May 2024, 14:02 (Tablet, cast room)".into(),
        href: form.into(),
        due: None,
    };
    let visit = DraftRow {
        who: Some(child.who()),
        due: Some("11 August 2024".into()),
        ..row("/child/1/visit?on=2024-05-13", "Visit")
    };
    let list = DraftsView {
        rows: vec![visit, row("/register", "New child")],
        hidden: 1,
        filled_by: Some("Ole Brandt".into()),
    };
    let kept = SignInView {
        passkeys: pages::PasskeySignIn::None,
        filled: Filled::default(),
        then: "/child/1/visit?on=2024-05-13".into(),
        kept: Some(KeptForm { name: "Hanne Kvist".into(), person: "1".into() }),
        can_unlock: true,
        demo_account: None,
        demo_others: Vec::new(),
    };
    let own = frame(Here::Elsewhere);
    let mut all = locks();
    all.extend([
        ("drafts", pages::drafts(&own, &list)),
        ("drafts-none", pages::drafts(&own, &DraftsView::default())),
        ("draft-restored", restored(given)),
        ("sign-out", pages::sign_out(&own, SignOutView { drafts: 2 })),
        ("sign-in-kept", pages::sign_in(&stranger(), &kept)),
    ]);
    all
}
