//! Numbers in cells of delimited text.

/// A number. If the separator is not a comma, a comma may be the decimal mark.
pub fn number(cell: &[u8], separator: u8) -> Option<f64> {
    if let Some(short) = short(cell) {
        return Some(short);
    }
    let text = std::str::from_utf8(cell).ok()?;
    let plain = text.strip_prefix('+').unwrap_or(text);
    // `parse` knows words such as "inf" and "nan", which are not numbers here.
    if !plain.bytes().any(|byte| byte.is_ascii_digit()) {
        return None;
    }
    match plain.parse() {
        Ok(number) => Some(number),
        Err(_) if separator != b',' && !plain.contains('.') => plain.replacen(',', ".", 1).parse().ok(),
        Err(_) => None,
    }
}

/// Powers of ten that a double represents exactly, as far as fifteen digits need them.
const TENS: [f64; 16] =
    [1.0, 1e1, 1e2, 1e3, 1e4, 1e5, 1e6, 1e7, 1e8, 1e9, 1e10, 1e11, 1e12, 1e13, 1e14, 1e15];

/// A number of at most fifteen digits without an exponent. Digits and power of ten are then both exact, so
/// one division rounds as `parse` does (Clinger 1990, How to read floating point numbers accurately).
fn short(cell: &[u8]) -> Option<f64> {
    let (negative, rest) = match cell.first() {
        Some(b'-') => (true, &cell[1..]),
        _ => (false, cell),
    };
    if rest.len() > 16 {
        return None;
    }
    let (mut digits, mut count, mut decimals, mut pointed) = (0_u64, 0_usize, 0_usize, false);
    for byte in rest {
        let digit = byte.wrapping_sub(b'0');
        if digit <= 9 {
            digits = digits * 10 + u64::from(digit);
            count += 1;
            decimals += usize::from(pointed);
        } else if *byte == b'.' && !pointed {
            pointed = true;
        } else {
            return None;
        }
    }
    if count == 0 || count > 15 {
        return None;
    }
    let value = digits as f64 / TENS[decimals];
    Some(if negative { -value } else { value })
}

#[cfg(test)]
mod tests {
    #![allow(clippy::unwrap_used)]
    use super::*;

    #[test]
    fn numbers() {
        assert_eq!(number(b"12", b','), Some(12.0));
        assert_eq!(number(b"-1.5e2", b','), Some(-150.0));
        assert_eq!(number(b"1,5", b';'), Some(1.5));
        assert_eq!(number(b"1,5", b','), None);
        assert_eq!(number(b"inf", b','), None);
        assert_eq!(number(b"1,234.5", b';'), None);
        assert_eq!(number(b"+3", b','), Some(3.0));
        for nothing in ["", "-", ".", "-.", "1.2.3", "--1", "1e", "0x10"] {
            assert_eq!(number(nothing.as_bytes(), b','), None, "{nothing}");
        }
    }

    /// The short way gives the same number as the library, to the last bit.
    #[test]
    fn short_numbers_equal_those_of_the_library() {
        let mut state = 7_u64;
        for _ in 0..200_000 {
            state = state.wrapping_mul(6_364_136_223_846_793_005).wrapping_add(1_442_695_040_888_963_407);
            let (digits, decimals) = ((state >> 14) % 10_u64.pow(1 + (state % 16) as u32), (state >> 8) % 16);
            let mut text = format!("{digits:0width$}", width = decimals as usize + 1);
            text.insert(text.len() - decimals as usize, '.');
            let text = if state >> 63 == 1 { format!("-{text}") } else { text };
            let parsed: f64 = text.parse().unwrap();
            assert_eq!(number(text.as_bytes(), b',').unwrap().to_bits(), parsed.to_bits(), "{text}");
        }
    }
}
