//! Enums of which every value has one word that a grower writes for it.

/// Declares such an enum, each variant with its word beside it.
macro_rules! worded {
    ($(#[$about:meta])* pub enum $name:ident {
        $($(#[$doc:meta])* $variant:ident = $word:literal,)+
    }) => {
        $(#[$about])*
        pub enum $name { $($(#[$doc])* $variant,)+ }

        impl $name {
            /// Every value with its word.
            pub const ALL: &'static [(&'static str, $name)] = &[$(($word, $name::$variant),)+];

            /// The word a grower writes.
            pub fn word(self) -> &'static str {
                match self { $($name::$variant => $word,)+ }
            }
        }
    };
}

pub(crate) use worded;
