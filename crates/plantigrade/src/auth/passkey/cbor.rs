//! The few shapes of CBOR (RFC 8949) that authenticators write.

use super::PasskeyError;
use ciborium::Value;

const BAD: PasskeyError = PasskeyError::Unreadable("it is not CBOR");

/// A map at the beginning of some bytes, with the bytes behind it. A key that comes twice is refused.
pub(super) fn map_and_rest(bytes: &[u8]) -> Result<(CborMap, &[u8]), PasskeyError> {
    let mut rest = bytes;
    let value: Value = ciborium::from_reader(&mut rest).map_err(|_| BAD)?;
    let Value::Map(pairs) = value else { return Err(BAD) };
    let twice =
        |(n, (key, _)): (usize, &(Value, Value))| pairs.iter().skip(n + 1).any(|(other, _)| other == key);
    if pairs.iter().enumerate().any(twice) {
        return Err(PasskeyError::Unreadable("a part of it comes twice"));
    }
    Ok((CborMap(pairs), rest))
}

/// A map and nothing behind it.
pub(super) fn whole_map(bytes: &[u8]) -> Result<CborMap, PasskeyError> {
    match map_and_rest(bytes)? {
        (map, []) => Ok(map),
        _ => Err(PasskeyError::Unreadable("something follows its end")),
    }
}

/// A map with keys that are texts or numbers.
pub(super) struct CborMap(Vec<(Value, Value)>);

impl CborMap {
    fn value(&self, key: &Value) -> Option<&Value> {
        self.0.iter().find(|(own, _)| own == key).map(|(_, value)| value)
    }

    pub(super) fn is_empty(&self) -> bool {
        self.0.is_empty()
    }

    pub(super) fn has(&self, key: &str) -> bool {
        self.value(&Value::from(key)).is_some()
    }

    pub(super) fn text(&self, key: &str) -> Option<&str> {
        self.value(&Value::from(key))?.as_text()
    }

    pub(super) fn bytes(&self, key: &str) -> Option<&[u8]> {
        self.value(&Value::from(key))?.as_bytes().map(Vec::as_slice)
    }

    pub(super) fn number(&self, key: &str) -> Option<i64> {
        i64::try_from(self.value(&Value::from(key))?.as_integer()?).ok()
    }

    pub(super) fn map(&self, key: &str) -> Option<Self> {
        self.value(&Value::from(key))?.as_map().cloned().map(Self)
    }

    /// The number under a number, as in a COSE key.
    pub(super) fn labelled_number(&self, label: i64) -> Option<i64> {
        i64::try_from(self.value(&Value::from(label))?.as_integer()?).ok()
    }

    /// The bytes under a number, as in a COSE key.
    pub(super) fn labelled_bytes(&self, label: i64) -> Option<&[u8]> {
        self.value(&Value::from(label))?.as_bytes().map(Vec::as_slice)
    }
}
