//! The values of an entry by the path of each in its wire form, `pirani.talar_head`, as they stand in a
//! form: yes and no for true and false, numbers as short as they can be written, nothing for what is
//! absent.
//!
//! It goes through serialisation like the wire form itself, so that no kind needs a second list, but
//! makes no JSON on the way: a timeline asks this of every entry of a child.

use serde::ser::{self, Serialize};
use std::{collections::BTreeMap, fmt};

/// The values by path.
pub(super) fn values_by_path(value: &impl Serialize) -> BTreeMap<String, String> {
    let mut flat = Flat::default();
    // Only what no wire form can hold fails; nothing is shown rather than a part.
    value.serialize(&mut flat).map(|()| flat.values).unwrap_or_default()
}

/// What has been found so far, and where we are.
#[derive(Default)]
struct Flat {
    path: String,
    values: BTreeMap<String, String>,
}

impl Flat {
    fn put(&mut self, text: String) -> Result<(), Unshown> {
        self.values.insert(self.path.clone(), text);
        Ok(())
    }

    /// A value one step further down.
    fn below(&mut self, key: &str, value: &(impl Serialize + ?Sized)) -> Result<(), Unshown> {
        let above = self.path.len();
        if above > 0 {
            self.path.push('.');
        }
        self.path.push_str(key);
        let done = value.serialize(&mut *self);
        self.path.truncate(above);
        done
    }
}

/// Something that no entry holds and no form can show.
#[derive(Debug)]
struct Unshown;

impl fmt::Display for Unshown {
    fn fmt(&self, f: &mut fmt::Formatter<'_>) -> fmt::Result {
        f.write_str("this cannot be shown in a form")
    }
}

impl std::error::Error for Unshown {}

impl ser::Error for Unshown {
    fn custom<T: fmt::Display>(_: T) -> Self {
        Self
    }
}

macro_rules! plain {
    ($($name:ident: $type:ty),*) => {
        $(fn $name(self, value: $type) -> Result<(), Unshown> { self.put(value.to_string()) })*
    };
}

impl<'a> ser::Serializer for &'a mut Flat {
    type Ok = ();
    type Error = Unshown;
    type SerializeSeq = List<'a>;
    type SerializeTuple = ser::Impossible<(), Unshown>;
    type SerializeTupleStruct = ser::Impossible<(), Unshown>;
    type SerializeTupleVariant = ser::Impossible<(), Unshown>;
    type SerializeMap = ser::Impossible<(), Unshown>;
    type SerializeStruct = Self;
    type SerializeStructVariant = ser::Impossible<(), Unshown>;

    plain!(
        serialize_i8: i8, serialize_i16: i16, serialize_i32: i32, serialize_i64: i64,
        serialize_u8: u8, serialize_u16: u16, serialize_u32: u32, serialize_u64: u64,
        serialize_char: char, serialize_str: &str
    );

    fn serialize_bool(self, value: bool) -> Result<(), Unshown> {
        self.put(if value { "yes" } else { "no" }.to_owned())
    }

    fn serialize_f32(self, value: f32) -> Result<(), Unshown> {
        self.serialize_f64(value.into())
    }

    // The wire form has no way to write what is not a finite number.
    fn serialize_f64(self, value: f64) -> Result<(), Unshown> {
        if value.is_finite() { self.put(value.to_string()) } else { Ok(()) }
    }

    fn serialize_bytes(self, _: &[u8]) -> Result<(), Unshown> {
        Err(Unshown)
    }

    fn serialize_none(self) -> Result<(), Unshown> {
        Ok(())
    }

    fn serialize_some<T: Serialize + ?Sized>(self, value: &T) -> Result<(), Unshown> {
        value.serialize(self)
    }

    fn serialize_unit(self) -> Result<(), Unshown> {
        Ok(())
    }

    fn serialize_unit_struct(self, _: &'static str) -> Result<(), Unshown> {
        Ok(())
    }

    fn serialize_unit_variant(self, _: &'static str, _: u32, key: &'static str) -> Result<(), Unshown> {
        self.put(key.to_owned())
    }

    fn serialize_newtype_struct<T: Serialize + ?Sized>(
        self,
        _: &'static str,
        value: &T,
    ) -> Result<(), Unshown> {
        value.serialize(self)
    }

    fn serialize_newtype_variant<T: Serialize + ?Sized>(
        self,
        _: &'static str,
        _: u32,
        key: &'static str,
        value: &T,
    ) -> Result<(), Unshown> {
        self.below(key, value)
    }

    fn serialize_seq(self, _: Option<usize>) -> Result<List<'a>, Unshown> {
        Ok(List(self))
    }

    fn serialize_tuple(self, _: usize) -> Result<Self::SerializeTuple, Unshown> {
        Err(Unshown)
    }

    fn serialize_tuple_struct(
        self,
        _: &'static str,
        _: usize,
    ) -> Result<Self::SerializeTupleStruct, Unshown> {
        Err(Unshown)
    }

    fn serialize_tuple_variant(
        self,
        _: &'static str,
        _: u32,
        _: &'static str,
        _: usize,
    ) -> Result<Self::SerializeTupleVariant, Unshown> {
        Err(Unshown)
    }

    fn serialize_map(self, _: Option<usize>) -> Result<Self::SerializeMap, Unshown> {
        Err(Unshown)
    }

    fn serialize_struct(self, _: &'static str, _: usize) -> Result<Self, Unshown> {
        Ok(self)
    }

    fn serialize_struct_variant(
        self,
        _: &'static str,
        _: u32,
        _: &'static str,
        _: usize,
    ) -> Result<Self::SerializeStructVariant, Unshown> {
        Err(Unshown)
    }
}

impl ser::SerializeStruct for &mut Flat {
    type Ok = ();
    type Error = Unshown;

    fn serialize_field<T: Serialize + ?Sized>(
        &mut self,
        key: &'static str,
        value: &T,
    ) -> Result<(), Unshown> {
        self.below(key, value)
    }

    fn end(self) -> Result<(), Unshown> {
        Ok(())
    }
}

/// The only list outside a registration: the boots on the bar, told apart by their side.
struct List<'a>(&'a mut Flat);

impl ser::SerializeSeq for List<'_> {
    type Ok = ();
    type Error = Unshown;

    fn serialize_element<T: Serialize + ?Sized>(&mut self, boot: &T) -> Result<(), Unshown> {
        let mut parts = Flat::default();
        boot.serialize(&mut parts)?;
        let Some(side) = parts.values.remove("side") else { return Ok(()) };
        self.0.values.insert(format!("brace.{side}.boot"), "yes".to_owned());
        for (key, value) in parts.values {
            self.0.values.insert(format!("brace.{side}.{key}"), value);
        }
        Ok(())
    }

    fn end(self) -> Result<(), Unshown> {
        Ok(())
    }
}

#[cfg(test)]
mod tests {
    #![allow(clippy::unwrap_used)]
    use record::{Body, Kind};

    fn of(kind: Kind, json: &str) -> Vec<(String, String)> {
        let values = crate::fields::values_of(&Body::from_json(kind, json).unwrap()).values;
        values.into_iter().collect()
    }

    #[test]
    fn values_stand_under_their_paths() {
        let seen = r#"{"side":"left","pirani":{"talar_head":0.5,"empty_heel":1.0},"stated_total":4.0,
            "dimeglio":{"equinus":{"deg":-10},"cavus":true},"dorsiflexion_deg":-15}"#;
        let expected = [
            ("dimeglio.cavus", "yes"),
            ("dimeglio.equinus.deg", "-10"),
            ("dorsiflexion_deg", "-15"),
            ("pirani.empty_heel", "1"),
            ("pirani.talar_head", "0.5"),
            ("side", "left"),
            ("stated_total", "4"),
        ];
        let expected = expected.map(|(path, value)| (path.to_owned(), value.to_owned()));
        assert_eq!(of(Kind::Assessment, seen), expected);
    }

    #[test]
    fn boots_are_told_apart_by_their_side() {
        let fitted = r#"{"brace":{"boots":[{"side":"right","abduction_deg":70},{"side":"left"}],"bar_mm":210},
            "regime":"full_time"}"#;
        let expected = [
            ("brace.bar_mm", "210"),
            ("brace.left.boot", "yes"),
            ("brace.right.abduction_deg", "70"),
            ("brace.right.boot", "yes"),
            ("regime", "full_time"),
        ];
        let expected = expected.map(|(path, value)| (path.to_owned(), value.to_owned()));
        assert_eq!(of(Kind::BraceFitted, fitted), expected);
    }
}
