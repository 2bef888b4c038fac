//! Fields of the record that the measures need, and whether they are recorded.

use serde::Serialize;

macro_rules! fields {
    ($($(#[$doc:meta])* $name:ident = $key:literal, $child:literal, $words:literal, $when:literal;)*) => {
        /// A field that is counted if it is missing.
        #[derive(Debug, Clone, Copy, PartialEq, Eq, Serialize)]
        pub enum ExpectedField { $($(#[$doc])* $name,)* }

        impl ExpectedField {
            /// Every field.
            pub const ALL: &[Self] = &[$(Self::$name),*];

            /// A stable key.
            #[must_use]
            pub const fn key(self) -> &'static str { match self { $(Self::$name => $key,)* } }

            /// The field in words.
            #[must_use]
            pub const fn words(self) -> &'static str { match self { $(Self::$name => $words,)* } }

            /// For whom it is expected.
            #[must_use]
            pub const fn when(self) -> &'static str { match self { $(Self::$name => $when,)* } }

            /// Whether it is counted once per child rather than per foot.
            #[must_use]
            pub const fn of_child(self) -> bool { match self { $(Self::$name => $child,)* } }

            pub(crate) const fn bit(self) -> u16 { 1 << self as u16 }
        }
    };
}

fields! {
    /// Day of birth.
    Born = "born", true, "day of birth", "every child";
    /// Sex.
    Sex = "sex", true, "sex", "every child";
    /// Aetiology.
    Nature = "aetiology", false, "aetiology of the foot", "every foot";
    /// Full score before casting.
    FirstScore = "first-score", false, "full Pirani score up to the first cast", "every foot cast here";
    /// Full score at the end of casting.
    LastScore = "last-score", false, "full Pirani score in the 14 days up to the tenotomy, or the brace without one", "every foot that had one of them";
    /// Dorsiflexion in casting.
    Dorsiflexion = "dorsiflexion", false, "dorsiflexion measured between first cast and brace", "every foot braced";
    /// Abduction in casting.
    Abduction = "abduction", false, "abduction measured between first cast and brace", "every foot braced";
    /// Dorsiflexion after tenotomy.
    AfterTenotomy = "after-tenotomy", false, "dorsiflexion just after the tenotomy", "every foot with a tenotomy";
    /// Hours prescribed.
    Hours = "hours", true, "hours of wear prescribed with the first brace", "every child braced";
    /// Wear.
    Wear = "wear", true, "any hours of wear, reported or logged", "every child braced for three months";
    /// Relapse grade.
    RelapseGrade = "relapse-grade", false, "grade of the first recorded relapse", "every foot with a recorded relapse";
}
