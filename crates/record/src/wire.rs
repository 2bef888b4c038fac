//! Reads and writes the wire form, in one pass over the text if the kind comes before the body, as this
//! program writes it. Any other order can be read too.

use crate::{Body, ChildId, Day, Entry, EntryId, Kind, SiteId, Timestamp, UserId, WireError, entry::VERSION};
use serde::{
    Deserialize, Deserializer, Serialize, Serializer,
    de::{Error, MapAccess, Visitor},
};
use std::{borrow::Cow, fmt};

/// A body without its kind, to be serialised to any format.
#[derive(Debug, Clone, Copy)]
pub struct Contents<'a>(&'a Body);

impl Body {
    /// The body without its kind, to be serialised.
    #[must_use]
    pub const fn contents(&self) -> Contents<'_> {
        Contents(self)
    }
}

impl Serialize for Contents<'_> {
    fn serialize<S: Serializer>(&self, serializer: S) -> Result<S::Ok, S::Error> {
        self.0.write(serializer)
    }
}

#[derive(Serialize)]
struct Out<'a> {
    v: u16,
    id: EntryId,
    child: ChildId,
    kind: &'static str,
    body: Contents<'a>,
    on: Day,
    at: Timestamp,
    by: UserId,
    site: SiteId,
    #[serde(skip_serializing_if = "Option::is_none")]
    follows: Option<EntryId>,
}

impl Entry {
    /// The wire form, one line of JSON without a line end.
    ///
    /// # Errors
    /// When a number, such as hours of wear, is not finite; [`Entry::findings`] refuses such an entry.
    pub fn to_json(&self) -> Result<String, WireError> {
        serde_json::to_string(&Out {
            v: self.body.version(),
            id: self.id,
            child: self.child,
            kind: self.kind().wire(),
            body: Contents(&self.body),
            on: self.on,
            at: self.at,
            by: self.by,
            site: self.site,
            follows: self.follows,
        })
        .map_err(WireError::Unwritable)
    }

    /// Reads the wire form of any version up to [`VERSION`].
    ///
    /// # Errors
    /// When the text has a later version, an unknown kind or an unexpected shape.
    pub fn from_json(json: &str) -> Result<Self, WireError> {
        match serde_json::from_str(json) {
            Ok(In { v, .. }) if v > VERSION => Err(WireError::Newer(v)),
            Ok(In { v, entry }) if v >= entry.body.version() => Ok(entry),
            Ok(In { v, entry }) if v > 0 => {
                let needs = entry.body.version();
                let why = format!("version {v} has no such field or kind, version {needs} has");
                Err(serde_json::Error::custom(why).into())
            }
            Ok(In { v, .. }) => Err(serde_json::Error::custom(format!("there is no version {v}")).into()),
            Err(error) => Err(explain(json, error)),
        }
    }
}

/// Why a text of an unexpected shape cannot be read. A later version may have any shape, so the version is
/// checked first.
fn explain(json: &str, error: serde_json::Error) -> WireError {
    #[derive(Deserialize)]
    struct Version {
        v: u64,
    }
    #[derive(Deserialize)]
    struct Named<'a> {
        #[serde(borrow)]
        kind: Cow<'a, str>,
    }
    match serde_json::from_str(json) {
        Ok(Version { v }) if v > VERSION.into() => {
            return WireError::Newer(u16::try_from(v).unwrap_or(u16::MAX));
        }
        _ => {}
    }
    match serde_json::from_str(json) {
        Ok(Named { kind }) if Kind::from_wire(&kind).is_none() => {
            WireError::Kind(kind.chars().take(60).collect())
        }
        _ => WireError::Json(error),
    }
}

struct In {
    v: u16,
    entry: Entry,
}

impl<'de> Deserialize<'de> for In {
    fn deserialize<D: Deserializer<'de>>(deserializer: D) -> Result<Self, D::Error> {
        deserializer.deserialize_map(InVisitor)
    }
}

#[derive(Deserialize)]
#[serde(field_identifier, rename_all = "lowercase")]
enum Field {
    V,
    Id,
    Child,
    Kind,
    Body,
    On,
    At,
    By,
    Site,
    Follows,
}

/// What has been read of an entry so far.
#[derive(Default)]
struct Slots {
    v: Option<u16>,
    id: Option<EntryId>,
    child: Option<ChildId>,
    body: BodySlot,
    on: Option<Day>,
    at: Option<Timestamp>,
    by: Option<UserId>,
    site: Option<SiteId>,
    follows: Option<Option<EntryId>>,
}

fn once<'de, T: Deserialize<'de>, A: MapAccess<'de>>(
    slot: &mut Option<T>,
    name: &'static str,
    map: &mut A,
) -> Result<(), A::Error> {
    if slot.is_some() {
        return Err(A::Error::duplicate_field(name));
    }
    *slot = Some(map.next_value()?);
    Ok(())
}

impl Slots {
    fn read<'de, A: MapAccess<'de>>(&mut self, field: Field, map: &mut A) -> Result<(), A::Error> {
        match field {
            Field::V => once(&mut self.v, "v", map),
            Field::Id => once(&mut self.id, "id", map),
            Field::Child => once(&mut self.child, "child", map),
            Field::Kind => self.body.read_kind(map),
            Field::Body => self.body.read_body(map),
            Field::On => once(&mut self.on, "on", map),
            Field::At => once(&mut self.at, "at", map),
            Field::By => once(&mut self.by, "by", map),
            Field::Site => once(&mut self.site, "site", map),
            Field::Follows => once(&mut self.follows, "follows", map),
        }
    }

    fn finish<E: Error>(self) -> Result<In, E> {
        let entry = Entry {
            id: self.id.ok_or_else(|| E::missing_field("id"))?,
            child: self.child.ok_or_else(|| E::missing_field("child"))?,
            body: self.body.finish()?,
            on: self.on.ok_or_else(|| E::missing_field("on"))?,
            at: self.at.ok_or_else(|| E::missing_field("at"))?,
            by: self.by.ok_or_else(|| E::missing_field("by"))?,
            site: self.site.ok_or_else(|| E::missing_field("site"))?,
            follows: self.follows.flatten(),
        };
        Ok(In { v: self.v.ok_or_else(|| E::missing_field("v"))?, entry })
    }
}

struct InVisitor;

impl<'de> Visitor<'de> for InVisitor {
    type Value = In;

    fn expecting(&self, f: &mut fmt::Formatter<'_>) -> fmt::Result {
        f.write_str("an entry")
    }

    fn visit_map<A: MapAccess<'de>>(self, mut map: A) -> Result<In, A::Error> {
        let mut slots = Slots::default();
        while let Some(field) = map.next_key()? {
            slots.read(field, &mut map)?;
        }
        slots.finish()
    }
}

/// A body while an entry is read: decoded at once if its kind is known, otherwise held as a value.
#[derive(Default)]
enum BodySlot {
    #[default]
    Empty,
    Kind(Kind),
    Aside(serde_json::Value),
    Both(Body),
}

impl BodySlot {
    fn read_kind<'de, A: MapAccess<'de>>(&mut self, map: &mut A) -> Result<(), A::Error> {
        *self = match std::mem::take(self) {
            Self::Empty => Self::Kind(map.next_value()?),
            Self::Aside(value) => {
                Self::Both(Body::from_value(map.next_value()?, value).map_err(A::Error::custom)?)
            }
            Self::Kind(_) | Self::Both(_) => return Err(A::Error::duplicate_field("kind")),
        };
        Ok(())
    }

    fn read_body<'de, A: MapAccess<'de>>(&mut self, map: &mut A) -> Result<(), A::Error> {
        *self = match std::mem::take(self) {
            Self::Empty => Self::Aside(map.next_value()?),
            Self::Kind(kind) => Self::Both(Body::read(kind, map)?),
            Self::Aside(_) | Self::Both(_) => return Err(A::Error::duplicate_field("body")),
        };
        Ok(())
    }

    fn finish<E: Error>(self) -> Result<Body, E> {
        match self {
            Self::Both(body) => Ok(body),
            Self::Kind(_) => Err(E::missing_field("body")),
            Self::Empty | Self::Aside(_) => Err(E::missing_field("kind")),
        }
    }
}

impl Serialize for Body {
    fn serialize<S: Serializer>(&self, serializer: S) -> Result<S::Ok, S::Error> {
        use serde::ser::SerializeStruct;
        let mut out = serializer.serialize_struct("Body", 2)?;
        out.serialize_field("kind", self.kind().wire())?;
        out.serialize_field("body", &Contents(self))?;
        out.end()
    }
}

impl<'de> Deserialize<'de> for Body {
    fn deserialize<D: Deserializer<'de>>(deserializer: D) -> Result<Self, D::Error> {
        deserializer.deserialize_map(BodyVisitor)
    }
}

#[derive(Deserialize)]
#[serde(field_identifier, rename_all = "lowercase")]
enum BodyField {
    Kind,
    Body,
}

struct BodyVisitor;

impl<'de> Visitor<'de> for BodyVisitor {
    type Value = Body;

    fn expecting(&self, f: &mut fmt::Formatter<'_>) -> fmt::Result {
        f.write_str("a kind of entry and its body")
    }

    fn visit_map<A: MapAccess<'de>>(self, mut map: A) -> Result<Body, A::Error> {
        let mut slot = BodySlot::default();
        while let Some(field) = map.next_key()? {
            match field {
                BodyField::Kind => slot.read_kind(&mut map)?,
                BodyField::Body => slot.read_body(&mut map)?,
            }
        }
        slot.finish()
    }
}

impl Serialize for Kind {
    fn serialize<S: Serializer>(&self, serializer: S) -> Result<S::Ok, S::Error> {
        serializer.serialize_str(self.wire())
    }
}

impl<'de> Deserialize<'de> for Kind {
    fn deserialize<D: Deserializer<'de>>(deserializer: D) -> Result<Self, D::Error> {
        crate::text::deserialize(deserializer, "a kind of entry")
    }
}

impl std::str::FromStr for Kind {
    type Err = WireError;

    fn from_str(wire: &str) -> Result<Self, WireError> {
        Self::from_wire(wire).ok_or_else(|| WireError::Kind(wire.chars().take(60).collect()))
    }
}
