//! Enumerations whose variants have a text each, the same for people and in JSON.

/// Defines an enumeration: each variant with its text, which a method of the stated name gives.
macro_rules! texts {
    (
        $(#[$about:meta])*
        $name:ident::$method:ident:
        $($(#[$doc:meta])* $variant:ident = $text:literal,)*
    ) => {
        $(#[$about])*
        #[derive(Debug, Clone, Copy, PartialEq, Eq, Hash, PartialOrd, Ord)]
        #[derive(serde::Serialize, schemars::JsonSchema)]
        pub enum $name {
            $($(#[$doc])* #[serde(rename = $text)] $variant,)*
        }

        impl $name {
            /// All of them.
            pub const ALL: [Self; [$($text,)*].len()] = [$(Self::$variant,)*];

            /// As a text.
            pub const fn $method(self) -> &'static str {
                match self { $(Self::$variant => $text,)* }
            }
        }
    };
}

pub(crate) use texts;
