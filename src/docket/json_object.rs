//! An object of JSON written field by field.

/// Writes an object with these fields.
macro_rules! object {
    ($serializer:expr, $($name:literal: $value:expr),* $(,)?) => {{
        let mut map = $serializer.serialize_map(None)?;
        $(map.serialize_entry($name, &$value)?;)*
        map.end()
    }};
}

pub(super) use object;
