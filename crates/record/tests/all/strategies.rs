//! Any body of any kind, in bounds or not, made from what the kind declares: the wire form must carry what
//! was written either way.

use proptest::{collection::vec, option::of, prelude::*, sample::select, strategy::Union};
use record::{field::Presence, *};
use serde_json::{Map, Number, Value, json};

fn text() -> impl Strategy<Value = Value> {
    prop_oneof!["\\PC{0,12}", "[\\x00-\\x7f]{0,6}", Just("“½ − 😀”\\\"".to_owned())].prop_map(Value::from)
}

fn any_day() -> impl Strategy<Value = Day> {
    (Day::FIRST.number()..=Day::LAST.number()).prop_map(Day::from_number)
}

fn hours() -> impl Strategy<Value = f64> {
    prop_oneof![0.0..=24.0, prop::num::f64::NORMAL | prop::num::f64::ZERO | prop::num::f64::SUBNORMAL]
}

fn uuid() -> impl Strategy<Value = uuid::Uuid> {
    any::<u128>().prop_map(uuid::Uuid::from_u128)
}

/// Any value that the type of the field can hold.
fn value(spec: &'static FieldSpec) -> BoxedStrategy<Value> {
    let any_whole = || (spec.range.0..=spec.range.1).prop_map(Value::from).boxed();
    match spec.takes {
        FieldType::Line | FieldType::Long | FieldType::Phone | FieldType::Time => text().boxed(),
        FieldType::Day => any_day().prop_map(|day| json!(day)).boxed(),
        FieldType::Whole => any_whole(),
        FieldType::Points(_) if spec.range.1 > 0 => any_whole(),
        FieldType::Points(answers) => {
            select(answers).prop_map(|(key, _)| Value::Number(key.parse::<Number>().unwrap())).boxed()
        }
        FieldType::Decimal => hours().prop_map(Value::from).boxed(),
        FieldType::HalfSteps => any::<u8>().prop_map(|halves| (f64::from(halves) / 2.0).into()).boxed(),
        FieldType::YesNo | FieldType::Flag(_) => any::<bool>().prop_map(Value::from).boxed(),
        FieldType::Choice(answers) => select(answers).prop_map(|(key, _)| Value::from(key)).boxed(),
        FieldType::Entry => uuid().prop_map(|id| json!(id)).boxed(),
        FieldType::Entries => vec(uuid(), 0..3).prop_map(|ids| json!(ids)).boxed(),
        FieldType::Kept if spec.range.1 > 0 => any_whole(),
        FieldType::Taps => {
            vec(any::<(u16, u16)>(), 1..5).prop_map(|points| json!(PictureTaps::new(points).unwrap())).boxed()
        }
        FieldType::Kept => any::<[u8; 32]>().prop_map(|bytes| json!(PictureHash::new(bytes))).boxed(),
        FieldType::Child => uuid().prop_map(|id| json!(id)).boxed(),
        FieldType::Body => plain().prop_map(|body| serde_json::to_value(body).unwrap()).boxed(),
        FieldType::Group(parts) => object(parts),
        FieldType::OneOf(parts) => {
            Union::new(parts.iter().map(|part| value(part).prop_map(|value| json!({ part.key: value }))))
                .boxed()
        }
        FieldType::PerFoot(_, parts) | FieldType::Several(_, parts) => {
            vec(object(parts), 0..3).prop_map(Value::from).boxed()
        }
        FieldType::Lines(_) => vec(text(), 0..3).prop_map(Value::from).boxed(),
    }
}

/// An object of these fields, each that may be absent there or not.
fn object(fields: &'static [FieldSpec]) -> BoxedStrategy<Value> {
    let one = |spec: &'static FieldSpec| match spec.presence {
        Presence::Optional => of(value(spec)).boxed(),
        Presence::Always | Presence::Required => value(spec).prop_map(Some).boxed(),
    };
    let all: Vec<_> = fields.iter().map(one).collect();
    all.prop_map(|values| {
        let named = fields.iter().zip(values).filter_map(|(spec, value)| Some((spec.key.to_owned(), value?)));
        Value::Object(named.collect::<Map<_, _>>())
    })
    .boxed()
}

/// Any body of a kind.
pub fn of_kind(kind: Kind) -> BoxedStrategy<Body> {
    let read = move |json: Value| {
        Body::from_value(kind, json.clone()).unwrap_or_else(|error| panic!("{kind:?} {json}: {error}"))
    };
    object(kind.spec().fields).prop_map(read).boxed()
}

fn kinds(amend: bool) -> impl Iterator<Item = Kind> {
    Kind::ALL.iter().copied().filter(move |kind| kind.spec().amends == amend)
}

fn plain() -> BoxedStrategy<Body> {
    Union::new(kinds(false).map(of_kind)).boxed()
}

/// Any body of any kind, amendments among them.
pub fn body() -> impl Strategy<Value = Body> {
    prop_oneof![9 => plain(), 1 => Union::new(kinds(true).map(of_kind))]
}

/// Any entry.
pub fn entry() -> impl Strategy<Value = Entry> {
    let ids = (uuid(), uuid(), uuid(), uuid(), of(uuid()));
    (ids, body(), any_day(), any::<i64>()).prop_map(|((id, child, by, site, follows), body, on, seconds)| {
        Entry {
            id: EntryId::new(id),
            child: ChildId::new(child),
            body,
            on,
            at: Timestamp::from_seconds(seconds % 4_000_000_000),
            by: UserId::new(by),
            site: SiteId::new(site),
            follows: follows.map(EntryId::new),
        }
    })
}
