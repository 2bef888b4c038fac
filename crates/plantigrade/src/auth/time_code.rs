//! Time-based one-time codes: RFC 6238, which is RFC 4226 with the number of 30-second steps since 1970 as counter.
//!
//! The codes are of the kind that every telephone app can show: HMAC-SHA-1, 30 seconds, 6 digits. The other two
//! hashes of RFC 6238 are there for its test vectors.

use super::token::same;
use data_encoding::BASE32_NOPAD;
use ring::hmac;
use std::fmt::Write as _;

/// Seconds of a step (X of RFC 6238, section 4.1; its default).
pub const STEP_SECONDS: i64 = 30;
/// Digits of a code.
pub const CODE_DIGITS: u32 = 6;
/// Steps before and after the present one whose codes are accepted, for clocks that differ and for the time that
/// typing takes (RFC 6238, section 5.2, recommends at most one for the delay).
pub const SKEW_STEPS: i64 = 1;
/// Bytes of a secret: the length of the hash (RFC 4226, section 4, R6).
const SECRET_BYTES: usize = 20;

/// The hash under the HMAC.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub enum CodeHash {
    /// SHA-1, which RFC 4226 prescribes. Its weaknesses do not touch HMAC.
    Sha1,
    /// SHA-256.
    Sha256,
    /// SHA-512.
    Sha512,
}

/// The code of a counter (RFC 4226, section 5.3): `digits` decimal digits, zeros in front included. At most 9 digits.
#[must_use]
pub fn counter_code(hash: CodeHash, secret: &[u8], counter: u64, digits: u32) -> String {
    let algorithm = match hash {
        CodeHash::Sha1 => hmac::HMAC_SHA1_FOR_LEGACY_USE_ONLY,
        CodeHash::Sha256 => hmac::HMAC_SHA256,
        CodeHash::Sha512 => hmac::HMAC_SHA512,
    };
    let tag = hmac::sign(&hmac::Key::new(algorithm, secret), &counter.to_be_bytes());
    let number = truncated(tag.as_ref()) % 10_u32.pow(digits.min(9));
    format!("{number:0width$}", width = digits as usize)
}

/// Dynamic truncation: the last four bits say where the 31 bits of the code begin.
fn truncated(tag: &[u8]) -> u32 {
    let offset = usize::from(tag.last().copied().unwrap_or(0) & 0xf);
    let four = tag.get(offset..offset + 4).unwrap_or(&[0; 4]);
    four.iter().fold(0_u32, |number, byte| (number << 8) | u32::from(*byte)) & 0x7fff_ffff
}

/// The step of an instant, in seconds since 1970.
#[must_use]
pub const fn step_of(unix_seconds: i64) -> i64 {
    unix_seconds.div_euclid(STEP_SECONDS)
}

/// The step whose code was typed, if it is the present one or at most [`SKEW_STEPS`] away, and later than the last
/// one that was accepted.
#[must_use]
pub fn matching_step(secret: &[u8], typed: &str, unix_seconds: i64, last_step: i64) -> Option<i64> {
    let present = step_of(unix_seconds);
    // Every step is computed, so that the time does not tell which one it was.
    let steps = (present - SKEW_STEPS..=present + SKEW_STEPS).filter(|step| {
        let counter = u64::try_from(*step).unwrap_or(0);
        same(&counter_code(CodeHash::Sha1, secret, counter, CODE_DIGITS), typed)
    });
    steps.collect::<Vec<_>>().into_iter().find(|step| *step > last_step)
}

/// A new secret from the operating system's random numbers.
#[must_use]
pub fn new_secret() -> Vec<u8> {
    let mut bytes = vec![0u8; SECRET_BYTES];
    rand::fill(&mut bytes[..]);
    bytes
}

/// A secret to be typed, in groups of four letters and digits (base 32, RFC 4648).
#[must_use]
pub fn secret_words(secret: &[u8]) -> String {
    let text = BASE32_NOPAD.encode(secret);
    let groups: Vec<String> =
        text.chars().collect::<Vec<_>>().chunks(4).map(|group| group.iter().collect()).collect();
    groups.join(" ")
}

/// A secret as the address that a telephone reads from the picture.
#[must_use]
pub fn secret_address(secret: &[u8], clinic: &str, sign_in_name: &str) -> String {
    let (clinic, name) = (encoded(clinic), encoded(sign_in_name));
    let text = BASE32_NOPAD.encode(secret);
    format!(
        "otpauth://totp/{clinic}:{name}?secret={text}&issuer={clinic}&algorithm=SHA1&digits={CODE_DIGITS}&period={STEP_SECONDS}"
    )
}

/// Percent-encoded (RFC 3986, section 2.1).
fn encoded(text: &str) -> String {
    text.bytes().fold(String::new(), |mut text, byte| {
        if byte.is_ascii_alphanumeric() || b"-._~".contains(&byte) {
            text.push(char::from(byte));
        } else {
            // Writing to a string does not fail.
            let _ = write!(text, "%{byte:02X}");
        }
        text
    })
}

#[cfg(test)]
mod tests {
    use super::*;

    const TWENTY: &[u8] = b"12345678901234567890";

    /// RFC 4226, appendix D: the secret "12345678901234567890", counters 0 to 9, as truncated numbers and as codes.
    #[test]
    fn rfc_4226_appendix_d() {
        let truncated: [u32; 10] = [
            1_284_755_224,
            1_094_287_082,
            137_359_152,
            1_726_969_429,
            1_640_338_314,
            868_254_676,
            1_918_287_922,
            82_162_583,
            673_399_871,
            645_520_489,
        ];
        let codes = [
            "755224", "287082", "359152", "969429", "338314", "254676", "287922", "162583", "399871",
            "520489",
        ];
        for ((counter, number), code) in (0..).zip(truncated).zip(codes) {
            let key = hmac::Key::new(hmac::HMAC_SHA1_FOR_LEGACY_USE_ONLY, TWENTY);
            let tag = hmac::sign(&key, &u64::to_be_bytes(counter));
            assert_eq!(super::truncated(tag.as_ref()), number, "{counter}");
            assert_eq!(counter_code(CodeHash::Sha1, TWENTY, counter, 6), code, "{counter}");
        }
    }

    /// RFC 6238, appendix B: eight digits. The secrets are 20, 32 and 64 bytes of "1234567890" repeated, as in the
    /// reference implementation of its appendix A.
    #[test]
    fn rfc_6238_appendix_b() {
        let secret = |bytes: usize| TWENTY.iter().copied().cycle().take(bytes).collect::<Vec<u8>>();
        let table = [
            (59, "94287082", "46119246", "90693936"),
            (1_111_111_109, "07081804", "68084774", "25091201"),
            (1_111_111_111, "14050471", "67062674", "99943326"),
            (1_234_567_890, "89005924", "91819424", "93441116"),
            (2_000_000_000, "69279037", "90698825", "38618901"),
            (20_000_000_000, "65353130", "77737706", "47863826"),
        ];
        for (seconds, sha1, sha256, sha512) in table {
            let counter = step_of(seconds) as u64;
            let code = |hash, bytes| counter_code(hash, &secret(bytes), counter, 8);
            assert_eq!(code(CodeHash::Sha1, 20), sha1, "{seconds}");
            assert_eq!(code(CodeHash::Sha256, 32), sha256, "{seconds}");
            assert_eq!(code(CodeHash::Sha512, 64), sha512, "{seconds}");
        }
    }

    /// The codes of RFC 4226, appendix D, are those of steps 0 to 9. Step 5 lasts from second 150 to second 179.
    #[test]
    fn a_code_counts_one_step_before_and_after_its_own_to_the_second() {
        let accepted = |seconds| matching_step(TWENTY, "254676", seconds, -1).is_some();
        assert!(!accepted(119) && accepted(120), "one step early: from 30 seconds before its own");
        assert!(accepted(150) && accepted(179));
        assert!(accepted(209) && !accepted(210), "one step late: until 30 seconds after its own");
    }

    #[test]
    fn a_step_that_was_used_and_every_earlier_one_are_refused() {
        // Second 165 is in step 5: the codes of steps 4, 5 and 6.
        for (typed, step) in [("338314", 4), ("254676", 5), ("287922", 6)] {
            for last in 3..=7 {
                let expected = (step > last).then_some(step);
                assert_eq!(matching_step(TWENTY, typed, 165, last), expected, "{typed} after {last}");
            }
        }
        for typed in ["969429", "162583", "25467", "2546760", ""] {
            assert_eq!(matching_step(TWENTY, typed, 165, -1), None, "{typed:?}");
        }
    }

    /// RFC 4648, section 10: "foobar" is MZXW6YTBOI with its padding.
    #[test]
    fn a_secret_is_shown_in_groups_and_as_an_address() {
        assert_eq!(secret_words(b"foobar"), "MZXW 6YTB OI");
        assert_eq!(
            secret_address(b"foobar", "Hillside & Sons", "ida@ü"),
            "otpauth://totp/Hillside%20%26%20Sons:ida%40%C3%BC?secret=MZXW6YTBOI&issuer=Hillside%20%26%20Sons&algorithm=SHA1&digits=6&period=30"
        );
        assert!(new_secret() != new_secret() && new_secret().len() == 20);
    }
}
