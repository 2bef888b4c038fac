//! Each check, shown to accept what is right and to refuse what is altered in one place. The keys and signatures are
//! made here, by an authenticator in software; those of RSA, which the library cannot make, by OpenSSL.

#![allow(clippy::unwrap_used)]

use super::{
    CreatedResponse, NewPasskey, PasskeyError, PasskeyPlace, StoredKey, UsedResponse, challenge_of,
    cose_key::PublicKey, verify_new, verify_use,
};
use ciborium::Value;
use data_encoding::{BASE64URL_NOPAD, HEXLOWER};
use ring::{
    digest,
    rand::SystemRandom,
    signature::{self, EcdsaKeyPair, Ed25519KeyPair, KeyPair},
};

const CHALLENGE: &[u8] = b"a challenge of thirty-two bytes.";
const OWNER: &[u8] = b"owner of the key";
const ID: &[u8] = b"the id of a credential";
/// Present, verified.
const PRESENT_AND_VERIFIED: u8 = 0b101;
const WITH_KEY: u8 = 0b100_0101;

fn place() -> PasskeyPlace {
    PasskeyPlace { origin: "http://localhost:8460".into(), rp_id: "localhost".into() }
}

enum Key {
    Es256(EcdsaKeyPair),
    EdDsa(Ed25519KeyPair),
}

impl Key {
    fn es256() -> Self {
        let (algorithm, random) = (&signature::ECDSA_P256_SHA256_ASN1_SIGNING, SystemRandom::new());
        let made = EcdsaKeyPair::generate_pkcs8(algorithm, &random).unwrap();
        Self::Es256(EcdsaKeyPair::from_pkcs8(algorithm, made.as_ref(), &random).unwrap())
    }

    fn ed_dsa() -> Self {
        let made = Ed25519KeyPair::generate_pkcs8(&SystemRandom::new()).unwrap();
        Self::EdDsa(Ed25519KeyPair::from_pkcs8(made.as_ref()).unwrap())
    }

    fn sign(&self, message: &[u8]) -> Vec<u8> {
        match self {
            Self::Es256(key) => key.sign(&SystemRandom::new(), message).unwrap().as_ref().to_vec(),
            Self::EdDsa(key) => key.sign(message).as_ref().to_vec(),
        }
    }

    /// The members of its COSE key.
    fn cose(&self) -> Vec<(i64, Value)> {
        match self {
            Self::Es256(key) => {
                let point = key.public_key().as_ref();
                let part = |range: std::ops::Range<usize>| Value::Bytes(point[range].to_vec());
                vec![(1, 2.into()), (3, (-7).into()), (-1, 1.into()), (-2, part(1..33)), (-3, part(33..65))]
            }
            Self::EdDsa(key) => {
                let point = Value::Bytes(key.public_key().as_ref().to_vec());
                vec![(1, 1.into()), (3, (-8).into()), (-1, 6.into()), (-2, point)]
            }
        }
    }
}

fn cbor(value: &Value) -> Vec<u8> {
    let mut bytes = Vec::new();
    ciborium::into_writer(value, &mut bytes).unwrap();
    bytes
}

fn cose(members: Vec<(i64, Value)>) -> Vec<u8> {
    cbor(&Value::Map(members.into_iter().map(|(label, value)| (label.into(), value)).collect()))
}

fn client_data(r#type: &str, challenge: &[u8], origin: &str) -> Vec<u8> {
    let challenge = BASE64URL_NOPAD.encode(challenge);
    format!(r#"{{"type":"{}","challenge":"{challenge}","origin":"{origin}","crossOrigin":false}}"#, r#type)
        .into_bytes()
}

fn data(rp_id: &str, flags: u8, count: u32) -> Vec<u8> {
    let hash = digest::digest(&digest::SHA256, rp_id.as_bytes());
    [hash.as_ref(), &[flags], &count.to_be_bytes()].concat()
}

fn with_key(mut data: Vec<u8>, id: &[u8], cose: &[u8]) -> Vec<u8> {
    data.extend([0; 16]);
    data.extend((id.len() as u16).to_be_bytes());
    data.extend([id, cose].concat());
    data
}

fn attestation(format: &str, statement: Vec<(Value, Value)>, data: &[u8]) -> Vec<u8> {
    cbor(&Value::Map(vec![
        ("fmt".into(), format.into()),
        ("attStmt".into(), Value::Map(statement)),
        ("authData".into(), Value::Bytes(data.to_vec())),
    ]))
}

/// A new passkey of a key.
fn created(key: &Key) -> CreatedResponse {
    let data = with_key(data("localhost", WITH_KEY, 0), ID, &cose(key.cose()));
    CreatedResponse {
        client_data: client_data("webauthn.create", CHALLENGE, "http://localhost:8460"),
        attestation: attestation("none", Vec::new(), &data),
    }
}

fn new(response: &CreatedResponse) -> Result<NewPasskey, PasskeyError> {
    verify_new(response, CHALLENGE, &place())
}

/// A new passkey whose authenticator data is these bytes.
fn new_with(data: &[u8]) -> Result<NewPasskey, PasskeyError> {
    let attestation = attestation("none", Vec::new(), data);
    new(&CreatedResponse { attestation, ..created(&Key::es256()) })
}

/// A use with these statements, rightly signed.
fn used_with(key: &Key, client_data: Vec<u8>, data: Vec<u8>) -> UsedResponse {
    let hash = digest::digest(&digest::SHA256, &client_data);
    let signature = key.sign(&[&data, hash.as_ref()].concat());
    let id = ID.to_vec();
    UsedResponse { id, client_data, authenticator_data: data, signature, user_handle: Some(OWNER.to_vec()) }
}

fn get() -> Vec<u8> {
    client_data("webauthn.get", CHALLENGE, "http://localhost:8460")
}

fn used(key: &Key) -> UsedResponse {
    used_with(key, get(), data("localhost", PRESENT_AND_VERIFIED, 7))
}

fn judge(key: &Key, response: &UsedResponse) -> Result<u32, PasskeyError> {
    let public_key = cose(key.cose());
    let stored =
        StoredKey { owner: OWNER, rp_id: "localhost", public_key: &public_key, backup_eligible: false };
    verify_use(response, stored, CHALLENGE, &place()).map(|used| used.sign_count)
}

#[test]
fn a_new_passkey_of_each_kind_is_accepted_and_signs_in() {
    for key in [Key::es256(), Key::ed_dsa()] {
        let made = new(&created(&key)).unwrap();
        assert_eq!((made.id.as_slice(), made.sign_count, made.backup_eligible), (ID, 0, false));
        assert_eq!(made.public_key, cose(key.cose()));
        assert_eq!(judge(&key, &used(&key)), Ok(7));
        let unnamed = UsedResponse { user_handle: None, ..used(&key) };
        assert_eq!(judge(&key, &unnamed), Ok(7), "some authenticators give no user handle");
    }
    assert_eq!(challenge_of(&get()).as_deref(), Some(CHALLENGE));
}

/// What the browser states: type, challenge, origin, and that no other site shows the page.
#[test]
fn what_the_browser_states_is_checked_for_both() {
    use PasskeyError::{OtherChallenge, OtherOrigin, OtherType, TooLong, Unreadable};
    let key = Key::es256();
    let home = "http://localhost:8460";
    let framed =
        |text: &str| String::from_utf8(get()).unwrap().replace("\"crossOrigin\":false", text).into_bytes();
    let cases = [
        (client_data("webauthn.create", CHALLENGE, home), OtherType),
        (client_data("payment.get", CHALLENGE, home), OtherType),
        (client_data("webauthn.get", b"another challenge", home), OtherChallenge),
        (client_data("webauthn.get", b"", home), OtherChallenge),
        (client_data("webauthn.get", CHALLENGE, "https://localhost:8460"), OtherOrigin),
        (client_data("webauthn.get", CHALLENGE, "http://localhost:8461"), OtherOrigin),
        (client_data("webauthn.get", CHALLENGE, "http://localhost:8460.elsewhere.example"), OtherOrigin),
        (client_data("webauthn.get", CHALLENGE, "http://LOCALHOST:8460"), OtherOrigin),
        (framed("\"crossOrigin\":true"), OtherOrigin),
        (framed("\"crossOrigin\":false,\"topOrigin\":\"https://elsewhere.example\""), OtherOrigin),
        (b"{}".to_vec(), Unreadable("the browser’s part")),
        (Vec::new(), Unreadable("the browser’s part")),
        (framed(&format!("\"more\":\"{}\"", "x".repeat(5000))), TooLong),
    ];
    for (client_data, error) in cases {
        let response = used_with(&key, client_data.clone(), data("localhost", PRESENT_AND_VERIFIED, 7));
        assert_eq!(judge(&key, &response), Err(error), "{}", String::from_utf8_lossy(&client_data));
    }
    let more = framed("\"crossOrigin\":false,\"other\":[1]");
    assert_eq!(judge(&key, &used_with(&key, more, data("localhost", PRESENT_AND_VERIFIED, 7))), Ok(7));
    for (r#type, challenge, origin, error) in [
        ("webauthn.get", CHALLENGE, home, OtherType),
        ("webauthn.create", &b"another"[..], home, OtherChallenge),
        ("webauthn.create", CHALLENGE, "http://127.0.0.1:8460", OtherOrigin),
    ] {
        let client_data = client_data(r#type, challenge, origin);
        assert_eq!(new(&CreatedResponse { client_data, ..created(&key) }), Err(error));
    }
    let none = verify_use(
        &used_with(&key, client_data("webauthn.get", b"", home), data("localhost", 5, 7)),
        StoredKey { owner: OWNER, rp_id: "localhost", public_key: &cose(key.cose()), backup_eligible: false },
        b"",
        &place(),
    );
    assert_eq!(none, Err(OtherChallenge), "an empty challenge is none");
}

/// What the authenticator states: the computer, present, verified, copies.
#[test]
fn what_the_authenticator_states_is_checked_for_both() {
    use PasskeyError::{NotPresent, NotVerified, OddBackup, OtherComputer};
    let key = Key::es256();
    let cases = [
        ("localhost.elsewhere.example", 0b0101, OtherComputer),
        ("", 0b0101, OtherComputer),
        ("localhost", 0b0100, NotPresent),
        ("localhost", 0b0001, NotVerified),
        ("localhost", 0b0000, NotPresent),
        ("localhost", 0b1_0101, OddBackup),
    ];
    for (rp_id, flags, error) in cases {
        let response = used_with(&key, get(), data(rp_id, flags, 7));
        assert_eq!(judge(&key, &response), Err(error.clone()), "{rp_id} {flags:b}");
        let made = with_key(data(rp_id, flags | 0b100_0000, 0), ID, &cose(key.cose()));
        assert_eq!(new_with(&made), Err(error), "{rp_id} {flags:b}");
    }
    // A key that may be copied says so from the beginning.
    let copied = used_with(&key, get(), data("localhost", 0b1_1101, 7));
    assert_eq!(judge(&key, &copied), Err(OddBackup));
    let made = with_key(data("localhost", 0b101_1101, 0), ID, &cose(key.cose()));
    assert!(new_with(&made).unwrap().backup_eligible);
}

#[test]
fn authenticator_data_has_its_length_and_nothing_behind_it() {
    let key = Key::es256();
    let whole = with_key(data("localhost", WITH_KEY, 0), ID, &cose(key.cose()));
    assert!(new_with(&whole).is_ok());
    for length in 0..whole.len() {
        assert!(new_with(&whole[..length]).is_err(), "{length} bytes of {}", whole.len());
    }
    assert!(new_with(&[&whole[..], &[0]].concat()).is_err(), "a byte behind it");
    let mut extended = whole.clone();
    extended[32] |= 0b1000_0000;
    assert!(new_with(&extended).is_err(), "extensions that are not there");
    extended.extend(cbor(&Value::Map(vec![("credProtect".into(), 2.into())])));
    assert!(new_with(&extended).is_ok(), "extensions are read and not used");
    assert!(new_with(&data("localhost", PRESENT_AND_VERIFIED, 0)).is_err(), "there is no key");
    assert!(
        new_with(&with_key(data("localhost", WITH_KEY, 0), b"", &cose(key.cose()))).is_err(),
        "an empty id"
    );
    let long = with_key(data("localhost", WITH_KEY, 0), &[7; 1024], &cose(key.cose()));
    assert_eq!(new_with(&long), Err(PasskeyError::TooLong));
    let longest = with_key(data("localhost", WITH_KEY, 0), &[7; 1023], &cose(key.cose()));
    assert!(new_with(&longest).is_ok());
    assert!(judge(&key, &used_with(&key, get(), [data("localhost", 5, 7), vec![0]].concat())).is_err());
}

#[test]
fn only_the_kinds_of_key_that_were_asked_for_are_accepted() {
    let es256 = Key::es256().cose();
    let made = |members: Vec<(i64, Value)>| {
        new_with(&with_key(data("localhost", WITH_KEY, 0), ID, &cose(members))).map(|_| ())
    };
    let with = |label: i64, value: Value| {
        let mut members = es256.clone();
        members.iter_mut().filter(|(own, _)| *own == label).for_each(|(_, old)| *old = value.clone());
        made(members)
    };
    assert_eq!(made(es256.clone()), Ok(()));
    // ES384, another type of key, another curve.
    for (label, value) in [(3, -35), (3, -8), (3, -257), (1, 1), (1, 3), (-1, 2), (-1, 6)] {
        assert_eq!(with(label, value.into()), Err(PasskeyError::OtherAlgorithm), "{label}: {value}");
    }
    for part in [Value::Bytes(vec![1; 31]), Value::Bytes(vec![1; 33]), Value::Bytes(Vec::new()), 1.into()] {
        assert_eq!(with(-2, part.clone()), Err(PasskeyError::Unreadable("the key")), "{part:?}");
    }
    let twice = [es256.clone(), vec![(3, (-8).into())]].concat();
    assert_eq!(made(twice), Err(PasskeyError::Unreadable("a part of it comes twice")));
    let short_rsa = vec![
        (1, 3.into()),
        (3, (-257).into()),
        (-1, Value::Bytes(vec![0xff; 128])),
        (-2, Value::Bytes(vec![1, 0, 1])),
    ];
    assert_eq!(made(short_rsa), Err(PasskeyError::Unreadable("the key")), "1024 bits");
}

/// A point that is not on the curve is only noticed when it is used, and then nothing is verified with it.
#[test]
fn a_point_off_the_curve_verifies_nothing() {
    let key = Key::es256();
    let mut members = key.cose();
    members[4].1 = Value::Bytes(vec![1; 32]);
    let public_key = cose(members);
    let stored =
        StoredKey { owner: OWNER, rp_id: "localhost", public_key: &public_key, backup_eligible: false };
    let judged = verify_use(&used(&key), stored, CHALLENGE, &place());
    assert_eq!(judged, Err(PasskeyError::WrongSignature));
}

#[test]
fn an_attestation_is_none_or_made_by_the_key_itself() {
    let key = Key::es256();
    let bytes = with_key(data("localhost", WITH_KEY, 0), ID, &cose(key.cose()));
    let client = created(&key).client_data;
    let hash = digest::digest(&digest::SHA256, &client);
    let signature = key.sign(&[&bytes, hash.as_ref()].concat());
    let packed = |alg: i64, signature: Vec<u8>| {
        vec![("alg".into(), alg.into()), ("sig".into(), Value::Bytes(signature))]
    };
    let judge = |format: &str, statement: Vec<(Value, Value)>| {
        let attestation = attestation(format, statement, &bytes);
        new(&CreatedResponse { client_data: client.clone(), attestation }).map(|_| ())
    };
    assert_eq!(judge("none", Vec::new()), Ok(()));
    assert_eq!(judge("packed", packed(-7, signature.clone())), Ok(()));
    assert_eq!(judge("packed", packed(-8, signature.clone())), Err(PasskeyError::OtherAlgorithm));
    let mut wrong = signature.clone();
    *wrong.last_mut().unwrap() ^= 1;
    assert_eq!(judge("packed", packed(-7, wrong)), Err(PasskeyError::WrongSignature));
    let certified = [packed(-7, signature.clone()), vec![("x5c".into(), Value::Array(Vec::new()))]].concat();
    for (format, statement) in
        [("none", packed(-7, signature)), ("packed", Vec::new()), ("packed", certified), ("tpm", Vec::new())]
    {
        assert!(judge(format, statement).is_err(), "{format}");
    }
    let more = [attestation("none", Vec::new(), &bytes), vec![0]].concat();
    assert!(new(&CreatedResponse { client_data: client, attestation: more }).is_err());
}

#[test]
fn a_signature_covers_every_byte_and_belongs_to_one_key() {
    for key in [Key::es256(), Key::ed_dsa()] {
        let right = used(&key);
        for at in 0..right.signature.len() {
            let mut altered = right.clone();
            altered.signature[at] ^= 1;
            assert_eq!(
                judge(&key, &altered),
                Err(PasskeyError::WrongSignature),
                "byte {at} of the signature"
            );
        }
        // The counter is the last of what the authenticator states.
        let mut altered = right.clone();
        *altered.authenticator_data.last_mut().unwrap() ^= 1;
        assert_eq!(judge(&key, &altered), Err(PasskeyError::WrongSignature));
        let mut altered = right.clone();
        altered.client_data.push(b' ');
        assert_eq!(judge(&key, &altered), Err(PasskeyError::WrongSignature), "a space in the browser's part");
        for wrong in [Vec::new(), vec![0; 64], right.signature[1..].to_vec()] {
            let altered = UsedResponse { signature: wrong, ..right.clone() };
            assert_eq!(judge(&key, &altered), Err(PasskeyError::WrongSignature));
        }
        assert_eq!(judge(&Key::es256(), &right), Err(PasskeyError::WrongSignature), "another key");
    }
}

#[test]
fn a_passkey_of_another_person_or_for_another_name_is_refused() {
    let key = Key::es256();
    let altered = UsedResponse { user_handle: Some(b"somebody else...".to_vec()), ..used(&key) };
    assert_eq!(judge(&key, &altered), Err(PasskeyError::OtherPerson));
    let public_key = cose(key.cose());
    let stored =
        StoredKey { owner: OWNER, rp_id: "desk.local", public_key: &public_key, backup_eligible: false };
    assert_eq!(verify_use(&used(&key), stored, CHALLENGE, &place()), Err(PasskeyError::OtherComputer));
}

/// A key of 2048 bits and a signature of "a message that was signed", made with OpenSSL 3.
#[test]
fn a_signature_of_rsa_is_verified() {
    let bytes = |hex: &str| HEXLOWER.decode(hex.as_bytes()).unwrap();
    let members = vec![
        (1, 3.into()),
        (3, (-257).into()),
        (-1, Value::Bytes(bytes(RSA_MODULUS))),
        (-2, Value::Bytes(vec![1, 0, 1])),
    ];
    let key = PublicKey::read(&cose(members)).unwrap();
    let signature = bytes(RSA_SIGNATURE);
    assert_eq!(key.verify(b"a message that was signed", &signature), Ok(()));
    assert_eq!(key.verify(b"a message that was not", &signature), Err(PasskeyError::WrongSignature));
    let mut altered = signature;
    altered[9] ^= 1;
    assert_eq!(key.verify(b"a message that was signed", &altered), Err(PasskeyError::WrongSignature));
}

#[test]
fn what_the_page_sends_is_read_and_its_length_limited() {
    let text = |id: &str| {
        format!(
            r#"{{"id":"{id}","clientData":"e30","authenticatorData":"AA","signature":"AQ","userHandle":null}}"#
        )
    };
    let read = UsedResponse::read(&text("AQI")).unwrap();
    assert_eq!((read.id, read.client_data, read.user_handle), (vec![1, 2], b"{}".to_vec(), None));
    for wrong in [
        text(""),
        text("A+Q"),
        text("AQI="),
        "{}".to_owned(),
        String::new(),
        text("AQI").replace("null", "7"),
    ] {
        assert!(UsedResponse::read(&wrong).is_err(), "{wrong}");
    }
    assert!(UsedResponse::read(&text(&BASE64URL_NOPAD.encode(&[7; 1023]))).is_ok());
    assert_eq!(UsedResponse::read(&text(&BASE64URL_NOPAD.encode(&[7; 1024]))), Err(PasskeyError::TooLong));
    let long = format!(r#"{{"clientData":"{}","attestation":"AA"}}"#, "A".repeat(20_000));
    assert_eq!(CreatedResponse::read(&long), Err(PasskeyError::TooLong));
    assert!(CreatedResponse::read(r#"{"clientData":"e30","attestation":"AA"}"#).is_ok());
}

const RSA_MODULUS: &str = "\
a341ec22308502ecbfbcf86128d9419b2b275a636eb6abff9f1e1c59dce9170af76d605996c21af0ca5b7990ab914cba05eb\
1475724bb501ce6d9daedc0a87d8fc26053b9ec3fe8731fe1b8e6c2b6b65ac545638ed1e3b6f3dd40ce5a8ed6b33a0728e10\
f9bc719601ab9cdabe1f82e0a1790c504a2c7e811bf349b8da15210b2c8dd75514aee00009a683cf6bb42490cd5a3e39fe65\
5edded3c07ee0dad609f3f8db6648ac092865b5af06a7486e311febece99f050c5000fd0e5ed7f67eee6aba4478ad0b270b8\
e3f83bd9178040b3d5547cb7129d705a51d65ea711499ce8e07f13c59bec3733e2a328c2cbbc781621ebd897f53b7915a76d\
c71132ad3dc5";

const RSA_SIGNATURE: &str = "\
52203e2f6ce6b0a5c473b077fb1618927abf73925af5e6e500b8aa852c441edf5c7159f6ca5ee1e009f3a29acc2cd370bf22\
06c6b5c5ad03e61b9a35e2aa1c9a460568ac243f0468694e802e11eb54380dd81af1147dc58682eac23db5ba2e27d45da0ac\
0ef48669299a5c407dc6045844fbb4bfd02f85704f04837f03b83a4c55482841924e4e77fcc5953973754c4ce7f9c19132ce\
7baaede28b5f5abd6c5c9390a2d232d3db4664ab91fd48fa19c637b9724dba195ec15703fa7cee5f0246d8f4cacd070df771\
39dada43e154e9d34b13948aee72af9560ec259617f1b62e7a8b3a99a69bcc7c2bb5e491291886d4bd9f438b2b8962eaecd0\
c9afc56b9cbe";
