//! The macros that declare a kind of entry or a group of fields.
//!
//! ```text
//! entry! {
//!     /// Someone tried to reach the family.                   documentation and more derives
//!     #[derive(Eq)]
//!     ContactAttempt = KindSpec::new("contact_attempt", "contact attempt")
//!         .form(FormSpec::new(30, "Contact the family")).day_label("Contact attempted on");
//!
//!     /// How.                                                  presence, name, type, field of a form
//!     required way: ContactWay => field("How");
//!     /// Result.
//!     optional note: Option<String> => long("Result");
//! }
//! ```
//!
//! The first word of a field defines its presence in the wire form: `required` (always, never blank),
//! `always` (always, perhaps blank) or `optional` (left out if nothing was recorded). The order of the
//! fields is their order in the wire form. With `entry! { with hooks; … }` the file implements
//! [`super::KindHooks`] itself, for rules between fields or for a sentence of its own.
//!
//! `group!` declares a struct of fields that can be the type of a field.

/// Declares a kind of entry.
macro_rules! entry {
    (with hooks; $(#[$meta:meta])* $name:ident = $spec:expr; $($fields:tt)*) => {
        declare! { @sort entry [[$(#[$meta])*] $name [$spec]] {} () () $($fields)* }
    };
    ($(#[$meta:meta])* $name:ident = $spec:expr; $($fields:tt)*) => {
        declare! { @sort entry [[$(#[$meta])*] $name [$spec]] {} () () $($fields)* }
        impl $crate::field::KindHooks for $name {}
    };
}

/// Declares a group of fields.
macro_rules! group {
    ($(#[$meta:meta])* $name:ident; $($fields:tt)*) => {
        declare! { @sort group [[$(#[$meta])*] $name []] {} () () $($fields)* }
    };
}

/// Collects the fields one by one (`@sort`), then writes the struct and its traits (`@write`).
macro_rules! declare {
    (@sort $what:ident $head:tt {$($done:tt)*} ($($need:tt)*) ($($spare:tt)*)) => {
        declare! { @write $what $head {$($done)*} ($($need)*) ($($spare)*) }
    };
    (@sort $what:ident $head:tt {$($done:tt)*} ($($need:tt)*) ($($spare:tt)*)
        $(#[$meta:meta])* required $field:ident: $type:ty => $spec:expr; $($rest:tt)*) => {
        declare! { @sort $what $head
            {$($done)* { [$(#[$meta])*] $field [$type] [$spec.required()] }}
            ($($need)* $field [$type]) ($($spare)*) $($rest)* }
    };
    (@sort $what:ident $head:tt {$($done:tt)*} ($($need:tt)*) ($($spare:tt)*)
        $(#[$meta:meta])* always $field:ident: $type:ty => $spec:expr; $($rest:tt)*) => {
        declare! { @sort $what $head
            {$($done)* { [$(#[$meta])*] $field [$type] [$spec.always()] }}
            ($($need)*) ($($spare)* $field) $($rest)* }
    };
    (@sort $what:ident $head:tt {$($done:tt)*} ($($need:tt)*) ($($spare:tt)*)
        $(#[$meta:meta])* optional $field:ident: $type:ty => $spec:expr; $($rest:tt)*) => {
        declare! { @sort $what $head
            {$($done)* {
                [$(#[$meta])* #[serde(default, skip_serializing_if = "crate::field::FieldValue::is_absent")]]
                $field [$type] [$spec]
            }}
            ($($need)*) ($($spare)* $field) $($rest)* }
    };

    (@write entry [$meta:tt $name:ident [$kind:expr]] $fields:tt $need:tt $spare:tt) => {
        declare! { @struct $meta $name $fields }
        declare! { @of $name $need $spare }
        declare! { @walk $name $fields }

        impl $crate::field::KindOfEntry for $name {
            const SPEC: $crate::field::KindSpec = $kind.fields(Self::FIELDS);

            fn inspect(&self, on: $crate::Day, findings: &mut Vec<$crate::Finding>) {
                self.inspect_fields(findings);
                $crate::field::KindHooks::rules(self, on, findings);
            }

            fn version(&self) -> u16 {
                self.version_of_fields().max(Self::SPEC.since)
            }

            fn side(&self) -> Option<$crate::Side> {
                self.side_of_fields()
            }

            fn show(&self, shown: &mut $crate::field::ShownValues) {
                self.show_fields(shown);
            }
        }
    };

    (@write group [$meta:tt $name:ident []] $fields:tt $need:tt $spare:tt) => {
        declare! { @struct $meta $name $fields }
        declare! { @of $name $need $spare }
        declare! { @walk $name $fields }

        impl $crate::field::FieldValue for $name {
            const TAKES: $crate::field::FieldType = $crate::field::FieldType::Group(Self::FIELDS);

            fn is_absent(&self) -> bool {
                self.has_no_field()
            }

            fn inspect(&self, _spec: &'static $crate::field::FieldSpec, findings: &mut Vec<$crate::Finding>) {
                self.inspect_fields(findings);
            }

            fn version(&self) -> u16 {
                self.version_of_fields()
            }

            fn show(&self, _spec: &'static $crate::field::FieldSpec, shown: &mut $crate::field::ShownValues) {
                self.show_fields(shown);
            }
        }
    };

    (@struct [$($meta:tt)*] $name:ident {$({ [$($attr:tt)*] $field:ident [$type:ty] [$spec:expr] })*}) => {
        $($meta)*
        #[derive(Debug, Clone, PartialEq, serde::Serialize, serde::Deserialize)]
        #[serde(deny_unknown_fields)]
        pub struct $name {
            $($($attr)* pub $field: $type,)*
        }
    };

    (@of $name:ident () $spare:tt) => {};
    (@of $name:ident ($($need:ident [$needed:ty])*) ($($spare:ident)*)) => {
        impl $name {
            /// With its required fields, and nothing else recorded.
            #[must_use]
            #[allow(clippy::too_many_arguments, reason = "one for each required field")]
            pub fn of($($need: $needed),*) -> Self {
                Self { $($need,)* $($spare: Default::default(),)* }
            }
        }
    };

    (@walk $name:ident {$({ [$($attr:tt)*] $field:ident [$type:ty] [$spec:expr] })*}) => {
        impl $name {
            /// Its fields, in the order of the wire form.
            pub(crate) const FIELDS: &'static [$crate::field::FieldSpec] = &[$($spec.place(
                stringify!($field),
                <$type as $crate::field::FieldValue>::TAKES,
                <$type as $crate::field::FieldValue>::RANGE,
            )),*];

            // Only groups of fields use it: an empty one is left out of the wire form.
            #[allow(dead_code)]
            fn has_no_field(&self) -> bool {
                true $(&& $crate::field::FieldValue::is_absent(&self.$field))*
            }

            fn inspect_fields(&self, findings: &mut Vec<$crate::Finding>) {
                let mut specs = Self::FIELDS.iter();
                $(if let Some(spec) = specs.next() {
                    $crate::field::FieldValue::inspect(&self.$field, spec, findings);
                })*
            }

            fn version_of_fields(&self) -> u16 {
                let (mut specs, mut version) = (Self::FIELDS.iter(), 1);
                $(if let Some(spec) = specs.next() {
                    version = version.max($crate::field::version_of(&self.$field, spec));
                })*
                version
            }

            // Only entries use it.
            #[allow(dead_code)]
            fn side_of_fields(&self) -> Option<$crate::Side> {
                None $(.or_else(|| $crate::field::FieldValue::side(&self.$field)))*
            }

            fn show_fields(&self, shown: &mut $crate::field::ShownValues) {
                let mut specs = Self::FIELDS.iter();
                $(if let Some(spec) = specs.next() {
                    shown.field(spec, &self.$field);
                })*
            }
        }
    };
}
