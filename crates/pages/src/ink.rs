//! HTML written directly into the buffer of the page, for the long parts: the picture, the tables, the
//! timeline, the reasons.
//!
//! Each nested piece of markup is one more copy of a string, and a child's page nests a thousand of them.
//! User input can only be added escaped: unescaped text must be a literal of the program (`&'static str`).

use maud::Render;
use record::{ChildId, Day, EntryId, Halves};

/// A writer that appends HTML to a page.
pub(crate) struct Ink<'a>(&'a mut String);

/// HTML written by a function, for use within markup.
pub(crate) struct Drawn<F: Fn(&mut Ink<'_>)>(pub F);

impl<F: Fn(&mut Ink<'_>)> Render for Drawn<F> {
    fn render_to(&self, page: &mut String) {
        (self.0)(&mut Ink(page));
    }
}

/// The HTML that a function writes.
pub(crate) fn markup(draw: impl FnOnce(&mut Ink<'_>)) -> maud::Markup {
    markup_of(1_024, draw)
}

/// The HTML that a function writes, with a buffer of the expected size in bytes.
pub(crate) fn markup_of(bytes: usize, draw: impl FnOnce(&mut Ink<'_>)) -> maud::Markup {
    let mut page = String::with_capacity(bytes);
    draw(&mut Ink(&mut page));
    maud::PreEscaped(page)
}

const fn is_special(byte: u8) -> bool {
    matches!(byte, b'&' | b'<' | b'>' | b'"')
}

impl Ink<'_> {
    /// Appends a literal of the program, unescaped.
    pub fn tag(&mut self, markup: &'static str) -> &mut Self {
        self.0.push_str(markup);
        self
    }

    /// Appends text, escaped for an element or a quoted attribute.
    pub fn text(&mut self, text: &str) -> &mut Self {
        // Nearly every text has nothing to escape, and a scan without an early exit is fast.
        let special = text.bytes().fold(false, |any, byte| any | is_special(byte));
        if special {
            return self.escaped(text);
        }
        self.0.push_str(text);
        self
    }

    fn escaped(&mut self, text: &str) -> &mut Self {
        for part in text.split_inclusive(|letter: char| letter.is_ascii() && is_special(letter as u8)) {
            let plain = part.strip_suffix(['&', '<', '>', '"']).unwrap_or(part);
            self.0.push_str(plain);
            self.0.push_str(match part.get(plain.len()..) {
                Some("&") => "&amp;",
                Some("<") => "&lt;",
                Some(">") => "&gt;",
                Some("\"") => "&quot;",
                _ => "",
            });
        }
        self
    }

    /// Appends a small piece of markup.
    pub fn markup(&mut self, markup: &impl Render) -> &mut Self {
        markup.render_to(self.0);
        self
    }

    /// Appends again what was written between two lengths of the page.
    pub fn again(&mut self, from: usize, to: usize) -> &mut Self {
        if self.0.get(from..to).is_some() {
            self.0.extend_from_within(from..to);
        }
        self
    }

    /// Ends a chain of calls whose value is not needed.
    pub fn done(&mut self) {}

    /// Length of the page so far, in bytes.
    pub fn length(&self) -> usize {
        self.0.len()
    }

    /// Appends a whole number.
    pub fn whole(&mut self, number: impl Into<i64>) -> &mut Self {
        let number = number.into();
        if number < 0 {
            self.0.push('-');
        }
        self.digits(number.unsigned_abs())
    }

    fn digits(&mut self, number: u64) -> &mut Self {
        // Days, years and coordinates have at most four digits; division by a constant is fast.
        let digit = |digit: u64| char::from(b'0' + (digit % 10) as u8);
        match number {
            0..10 => self.0.push(digit(number)),
            10..100 => self.0.extend([digit(number / 10), digit(number)]),
            100..1_000 => self.0.extend([digit(number / 100), digit(number / 10), digit(number)]),
            1_000..10_000 => {
                self.0.extend([1_000, 100].map(|place| digit(number / place)));
                self.0.extend([digit(number / 10), digit(number)]);
            }
            _ => self.0.push_str(&number.to_string()),
        }
        self
    }

    /// Appends a coordinate, rounded to a tenth, in its shortest form.
    pub fn num(&mut self, value: f64) -> &mut Self {
        let tenths = value * 10.0;
        let rounded = tenths.round_ties_even();
        // Half-way between two tenths only exact arithmetic rounds correctly; a negative zero keeps its sign.
        let doubtful = (tenths - tenths.trunc()).abs() - 0.5;
        let large = rounded.is_nan() || rounded.abs() >= 1e15;
        if large || doubtful.abs() < 1e-6 || (rounded == 0.0 && value.is_sign_negative()) {
            let text = format!("{value:.1}");
            self.0.push_str(text.strip_suffix(".0").unwrap_or(&text));
            return self;
        }
        // Larger values have returned above.
        #[allow(clippy::cast_possible_truncation)]
        let tenths = rounded as i64;
        if tenths < 0 {
            self.0.push('-');
        }
        let tenths = tenths.unsigned_abs();
        self.digits(tenths / 10);
        if !tenths.is_multiple_of(10) {
            self.0.push('.');
            self.digits(tenths % 10);
        }
        self
    }

    /// Appends a day as "14 May 2024".
    pub fn day_words(&mut self, day: Day) -> &mut Self {
        let (year, month, number) = day.parts();
        self.digits(number.into());
        self.0.push(' ');
        self.0.push_str(Day::month_word(month));
        self.0.push(' ');
        self.whole(year)
    }

    /// Appends a day as "14 May 2024" in a machine-readable `time` element.
    pub fn day(&mut self, day: Day) -> &mut Self {
        let (year, month, number) = day.parts();
        self.tag("<time datetime=\"").whole(year);
        for part in [month, number] {
            self.tag(if part < 10 { "-0" } else { "-" }).digits(part.into());
        }
        self.tag("\">").day_words(day).tag("</time>")
    }

    /// Appends a score counted in half points, "4.5".
    pub fn halves(&mut self, Halves(halves): Halves) -> &mut Self {
        self.whole(halves / 2).tag(if halves % 2 == 1 { ".5" } else { "" })
    }

    /// Appends degrees, "−15°", with a true minus sign.
    pub fn degrees(&mut self, deg: i16) -> &mut Self {
        self.tag(if deg < 0 { "−" } else { "" }).digits(deg.unsigned_abs().into()).tag("°")
    }

    /// Appends the URL of an entry.
    pub fn entry_href(&mut self, child: ChildId, entry: EntryId) -> &mut Self {
        let mut hex = [0; 36];
        self.tag("/child/").0.push_str(child.uuid().hyphenated().encode_lower(&mut hex));
        self.tag("/entry/").0.push_str(entry.uuid().hyphenated().encode_lower(&mut hex));
        self
    }
}

#[cfg(test)]
mod tests {
    use super::*;
    use maud::html;

    fn written(draw: impl FnOnce(&mut Ink<'_>)) -> String {
        markup(draw).into_string()
    }

    #[test]
    fn text_is_escaped_as_in_markup() {
        for text in ["", "plain", "a<b>&\"c\"'", "<script>", "ü\u{2212}5°&", "&&", "\"", "tail<"] {
            assert_eq!(written(|ink| ink.text(text).done()), html! { (text) }.into_string(), "{text:?}");
        }
    }

    #[test]
    fn a_coordinate_is_written_as_the_formatter_rounds_it() {
        let short = |value: f64| {
            let text = format!("{value:.1}");
            text.strip_suffix(".0").map_or(text.clone(), str::to_owned)
        };
        let mut values = vec![
            0.0,
            -0.0,
            0.04,
            -0.04,
            0.05,
            0.25,
            0.35,
            0.45,
            -0.25,
            999.95,
            1e15,
            f64::NAN,
            f64::INFINITY,
        ];
        values.extend((0..200_000).map(|n| f64::from(n - 100_000) * 0.012_345));
        values.extend((0..20_000).map(|n| f64::from(n - 10_000) / 20.0));
        for value in values {
            assert_eq!(written(|ink| ink.num(value).done()), short(value), "{value}");
        }
    }

    #[test]
    fn days_and_numbers_equal_those_of_the_other_formatters() {
        for number in (-25_567..84_005).step_by(17) {
            let day = Day::from_number(number);
            assert_eq!(written(|ink| ink.day_words(day).done()), day.words());
            let expected = html! { time datetime=(day) { (day.words()) } };
            assert_eq!(written(|ink| ink.day(day).done()), expected.into_string());
        }
        for number in [0, 7, 10, -1, i64::MAX, i64::MIN] {
            assert_eq!(written(|ink| ink.whole(number).done()), number.to_string());
        }
    }
}
