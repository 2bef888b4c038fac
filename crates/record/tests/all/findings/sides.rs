//! The foot an entry is about.

use crate::examples::full;
use record::*;

/// Every kind that names a foot names the other afterwards, twice gives what it was, and the boots of a bar
/// are exchanged with all they hold.
#[test]
fn the_other_foot_keeps_every_value() {
    for &kind in Kind::ALL {
        let body = full(kind);
        let Some(other) = body.of_other_foot() else {
            assert_eq!(body.side(), None, "{}", kind.wire());
            continue;
        };
        assert_eq!(other.side(), body.side().map(Side::other), "{}", kind.wire());
        assert_ne!(other, body, "{}", kind.wire());
        assert_eq!(other.of_other_foot(), Some(body), "{}", kind.wire());
    }
    let Some(Body::BraceFitted(fitted)) = full(Kind::BraceFitted).of_other_foot() else { panic!("no boots") };
    // Right 65° and left 35° before.
    let boots: Vec<_> = fitted.brace.boots.iter().map(|boot| (boot.side, boot.abduction_deg)).collect();
    assert_eq!(boots, [(Side::Right, Some(35)), (Side::Left, Some(65))]);
    assert_eq!(full(Kind::Note).of_other_foot(), None);
}

/// Kinds about one foot name it; kinds about the child name none, so that no side is ever guessed.
#[test]
fn the_side_of_an_entry_is_the_side_of_its_body() {
    for &kind in Kind::ALL {
        let body = full(kind);
        let wire = serde_json::to_value(&body).unwrap();
        let inner = if kind == Kind::Correction { &wire["body"]["body"]["body"] } else { &wire["body"] };
        assert_eq!(body.side().map(Side::word), inner["side"].as_str(), "{}", kind.wire());
    }
}

#[test]
fn sides_lead_to_the_feet_meant() {
    assert_eq!(Sides::Both.each(), [Side::Right, Side::Left]);
    for side in Side::BOTH {
        assert_eq!(Sides::from(side).each(), [side]);
        assert_eq!(side.other().other(), side);
        assert_ne!(side.other(), side);
        assert_eq!(serde_json::to_value(side).unwrap(), side.word());
    }
    assert_eq!(Sides::of(Some(()), None), Some(Sides::Right));
    assert_eq!(Sides::of(None, Some(())), Some(Sides::Left));
    assert_eq!(Sides::of(Some(()), Some(())), Some(Sides::Both));
    assert_eq!(Sides::of(None, None), None);
}
