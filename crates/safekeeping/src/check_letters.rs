//! Letters that are typed from paper: groups of four with a fifth that finds typing errors.
//!
//! The fifth is a weighted sum of the four in the field of 32 elements (weights g, g², g³, g⁴ for a generator g
//! of its multiplicative group; its own weight is 1), plus a number that says which group it is. All weights differ
//! and none is zero, so that one wrong letter and two letters exchanged are always found, and so is a group in another
//! place: 32 numbers are enough for every group of a whole code and of both halves.

use crate::error::SafekeepingError;

/// Letters and digits that cannot be mistaken for each other.
const LETTERS: &[u8; 32] = b"abcdefghijkmnpqrstuvwxyz23456789";
/// Letters of a group that carry something.
const CARRYING: usize = 4;
/// Letters of a group.
pub(crate) const GROUP: usize = CARRYING + 1;
/// Bits of a letter.
const BITS: usize = 5;
/// The field of 32 elements as polynomials modulo x⁵ + x² + 1, which is primitive over two elements, so that x
/// generates the multiplicative group.
const MODULUS: u8 = 0b10_0101;

/// The groups of `bytes`, the first with the number `first`. The number of bits is a multiple of 20.
pub(crate) fn groups(bytes: &[u8], first: u8) -> Vec<String> {
    let values = five_bits(bytes);
    let numbered = values.chunks(CARRYING).zip(first..);
    numbered
        .map(|(group, number)| {
            let check = check_value(group, number);
            group.iter().chain(std::iter::once(&check)).map(|value| letter(*value)).collect()
        })
        .collect()
}

/// The letters of a typed text as values; spaces, dashes and capitals do not matter.
pub(crate) fn typed_values(text: &str) -> Result<Vec<u8>, SafekeepingError> {
    let shown =
        text.chars().filter(|char| !char.is_whitespace() && !matches!(char, '-' | '–' | '—' | '.' | '_'));
    shown
        .map(|char| {
            let lower = char.to_ascii_lowercase();
            let place = LETTERS.iter().position(|letter| char::from(*letter) == lower);
            place.and_then(|place| u8::try_from(place).ok()).ok_or(SafekeepingError::NotInCode(char))
        })
        .collect()
}

/// The bytes of typed values whose groups are numbered from `first`.
///
/// # Errors
/// The first group, from 1, that does not fit its check letter.
pub(crate) fn bytes_of(values: &[u8], first: u8) -> Result<Vec<u8>, SafekeepingError> {
    let mut bits = Vec::with_capacity(values.len() * BITS);
    for (place, (group, number)) in values.chunks(GROUP).zip(first..).enumerate() {
        let (carrying, check) = group.split_at(CARRYING.min(group.len()));
        if check != [check_value(carrying, number)] {
            return Err(SafekeepingError::CodeGroup(place + 1));
        }
        bits.extend(carrying.iter().flat_map(|value| (0..BITS).rev().map(move |bit| value >> bit & 1)));
    }
    Ok(bits.chunks_exact(8).map(|byte| byte.iter().fold(0, |sum, bit| sum << 1 | bit)).collect())
}

fn five_bits(bytes: &[u8]) -> Vec<u8> {
    let bits: Vec<u8> = bytes.iter().flat_map(|byte| (0..8).rev().map(move |bit| byte >> bit & 1)).collect();
    bits.chunks_exact(BITS).map(|five| five.iter().fold(0, |sum, bit| sum << 1 | bit)).collect()
}

fn check_value(group: &[u8], number: u8) -> u8 {
    let weighted = group.iter().scan(2, |weight, value| {
        let term = times(*weight, *value);
        *weight = times(*weight, 2);
        Some(term)
    });
    weighted.fold(number % 32, |sum, term| sum ^ term)
}

/// The product in the field of 32 elements.
fn times(mut a: u8, mut b: u8) -> u8 {
    let mut product = 0;
    while b > 0 {
        if b & 1 == 1 {
            product ^= a;
        }
        a <<= 1;
        if a & 0b10_0000 != 0 {
            a ^= MODULUS;
        }
        b >>= 1;
    }
    product
}

fn letter(value: u8) -> char {
    LETTERS.get(usize::from(value % 32)).map_or('a', |letter| char::from(*letter))
}

#[cfg(test)]
mod tests {
    #![allow(clippy::unwrap_used)]
    use super::*;

    /// x generates all 31 elements other than zero: otherwise the weights could agree.
    #[test]
    fn the_weights_are_powers_of_a_generator() {
        let powers: std::collections::HashSet<u8> = (0..31)
            .scan(1, |power, _| {
                *power = times(*power, 2);
                Some(*power)
            })
            .collect();
        assert_eq!(powers.len(), 31);
        // x⁵ = x² + 1 by the modulus: 2⁵ → 0b00101.
        assert_eq!(times(16, 2), 0b0_0101);
    }

    #[test]
    fn every_single_error_and_every_exchange_is_found() {
        let typed = typed_values(&groups(&[0x12, 0x34, 0x56, 0x78, 0x9a], 3).concat()).unwrap();
        assert_eq!(bytes_of(&typed, 3).unwrap(), [0x12, 0x34, 0x56, 0x78, 0x9a]);
        let mut tried = 0;
        for place in 0..typed.len() {
            for value in (0..32).filter(|value| *value != typed[place]) {
                let mut wrong = typed.clone();
                wrong[place] = value;
                assert_eq!(bytes_of(&wrong, 3), Err(SafekeepingError::CodeGroup(place / GROUP + 1)));
                tried += 1;
            }
            for other in 0..place {
                let mut wrong = typed.clone();
                wrong.swap(place, other);
                assert!(typed[place] == typed[other] || bytes_of(&wrong, 3).is_err(), "{place} {other}");
            }
        }
        // Ten letters, 31 other values each.
        assert_eq!(tried, 310);
    }
}
