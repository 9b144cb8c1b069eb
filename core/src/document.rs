//! What all documents of the engine share.

/// Declares the parts of a document, each with these derives.
macro_rules! document {
    (
        $derive:meta;
        $(
            $(#[$meta:meta])*
            pub struct $name:ident { $($(#[$field_meta:meta])* pub $field:ident: $kind:ty,)* }
        )*
    ) => {
        $($(#[$meta])*
        #[$derive]
        #[derive(schemars::JsonSchema)]
        pub struct $name { $($(#[$field_meta])* pub $field: $kind,)* })*
    };
}
pub(crate) use document;
